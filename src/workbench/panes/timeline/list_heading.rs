//! What the timeline shows over and in its list, where the list begins, and how many lines are said under it.

use crate::lesson::document::Lesson;
use crate::lesson::id::SegmentId;
use crate::text::charset::Charset;

/// What the lines of the selected row are counted for: the revision of the lesson, the segment, what is wrong with it, the width and
/// the charset.
pub(super) type CountedFor = (u64, Option<SegmentId>, Option<String>, (usize, Charset));

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

/// How many lines take all that the selected row says, and what they were counted for.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct CountedRow {
    /// The revision, the segment, what is wrong with it, the width and the characters.
    pub(super) counted_for: Option<CountedFor>,
    pub(super) lines: usize,
}
