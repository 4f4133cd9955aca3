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

impl PassagePane {
    /// Returns where the cursor stands; `None` where no passage is shown.
    pub fn standpoint(&self) -> Option<PassageStandpoint> {
        let passage = self.shown.id()?;
        Some(PassageStandpoint { place: self.shown.place, passage, cursor: self.cursor })
    }

    /// Goes back to where the cursor stood in the music of `segment`. Returns whether that passage is still there.
    pub fn stand_at(&mut self, lesson: &Lesson, segment: Option<SegmentId>, at: &PassageStandpoint) -> bool {
        if uses(lesson, segment).get(at.place).is_none_or(|used| used.passage != at.passage) {
            return false;
        }
        self.show(segment, at.place);
        // What was shown before does not count as another passage, at whose beginning one would begin.
        self.shown.part = None;
        self.cursor = at.cursor;
        true
    }
}
