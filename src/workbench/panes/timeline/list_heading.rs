//! What the timeline shows over and in its list, and where the list begins.

use crate::lesson::document::Lesson;

/// What the timeline shows over and in its list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum TimelineView {
    /// The lanes, and a list under them.
    #[default]
    Lanes,
    /// A list with columns.
    Columns,
}

impl TimelineView {
    /// Returns the line of the pane where the list begins.
    pub fn list_top(self, lesson: &Lesson) -> usize {
        if self == Self::Lanes && has_recorded(lesson) { 3 } else { 2 }
    }

    /// Returns how many lines of a pane of `height` the list has.
    pub fn list_height(self, lesson: &Lesson, height: usize) -> usize {
        height.saturating_sub(self.list_top(lesson))
    }
}

/// Returns whether anything is recorded, and so whether the second lane is drawn.
pub(super) fn has_recorded(lesson: &Lesson) -> bool {
    lesson.segments.iter().any(|segment| segment.recorded.is_some())
}
