//! A chord of the tab that lies on the fretboard, and the strings that it brings along.

use std::sync::Arc;

use crate::instrument::neck::Shape;
use crate::instrument::rig::Rig;
use crate::lesson::id::SegmentId;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::panes::passage::TakenColumn;

/// A chord of the tab that lies on the fretboard.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct FromTab {
    /// The notes that it was taken from.
    pub(super) column: TakenColumn,
    /// The segment that was selected then.
    pub(super) segment: Option<SegmentId>,
    /// The strings of the passage.
    pub(super) rig: Arc<Rig>,
    /// The name that stood over the notes then.
    pub(super) stood: Option<NameBrought>,
}

/// A chord name that came along to the fretboard.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct NameBrought {
    /// As it stands over the notes.
    pub(super) written: String,
    /// As the hand plays it, which is how the fretboard names chords.
    pub(super) played: String,
}

impl FromTab {
    /// Returns whether a shape on the fretboard is this chord still: its segment is selected, and its fingers lie there.
    pub(super) fn is(&self, shape: &Shape, segment: Option<SegmentId>) -> bool {
        self.segment == segment && self.column.shape() == *shape
    }
}

/// Returns the strings that the fretboard has under `shape`: those of the passage as long as it is the chord that was taken from
/// there, else those of the segment; and why it cannot have these.
pub(super) fn strings_under(
    from_tab: Option<&FromTab>,
    open: &EditedLesson,
    shape: &Shape,
    segment: Option<SegmentId>,
) -> (Rig, Option<String>) {
    match from_tab.filter(|from| from.is(shape, segment)) {
        Some(from) => ((*from.rig).clone(), None),
        None => open.rig_at(segment),
    }
}
