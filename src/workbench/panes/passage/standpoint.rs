//! Where the cursor stands in the music of a segment, to be gone back to.

use serde::{Deserialize, Serialize};

use crate::lesson::document::Lesson;
use crate::lesson::id::{PassageId, SegmentId};
use crate::workbench::panes::passage::cursor::Cursor;
use crate::workbench::panes::passage::pane::PassagePane;
use crate::workbench::panes::passage::shown::uses;

/// Where the cursor stands in the music of a segment, and what is selected from there.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PassageStandpoint {
    /// Which of the segment's passages is shown, counted from 0.
    place: usize,
    /// That passage.
    passage: PassageId,
    cursor: Cursor,
}

impl PassageStandpoint {
    /// Returns where the cursor of a pane stands; `None` where no passage is shown.
    pub fn of(pane: &PassagePane) -> Option<Self> {
        let passage = pane.shown.id()?;
        Some(Self { place: pane.shown.place, passage, cursor: pane.cursor })
    }

    /// Has a pane go back to where its cursor stood in the music of `segment`. Returns whether that passage is still there.
    pub fn go_back(&self, pane: &mut PassagePane, lesson: &Lesson, segment: Option<SegmentId>) -> bool {
        if uses(lesson, segment).get(self.place).is_none_or(|used| used.passage != self.passage) {
            return false;
        }
        pane.show(segment, self.place);
        // What was shown before does not count as another passage, at whose beginning one would begin.
        pane.shown.part = None;
        pane.cursor = self.cursor;
        true
    }
}
