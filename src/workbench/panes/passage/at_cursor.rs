//! What a key goes by that writes or asks: the passage, the cursor in it, and how long what is written is.

use std::ops::Range;

use crate::instrument::neck::StringNumber;
use crate::instrument::rig::Rig;
use crate::lesson::bar_numbers::{BarName, BarNumbers};
use crate::lesson::document::Lesson;
use crate::lesson::edit::Edit;
use crate::lesson::music::{Event, Note, Passage};
use crate::lesson::phrase::{PhraseEdits, PhraseError, Slot, notes};
use crate::lesson::time::Length;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::passage::cursor::Cursor;
use crate::workbench::panes::passage::shown::rig_of;

/// What a key goes by that writes or asks.
#[derive(Debug, Clone)]
pub(super) struct AtCursor<'a> {
    pub(super) lesson: &'a Lesson,
    /// The passage that is shown.
    pub(super) passage: &'a Passage,
    /// Which of its bars are shown.
    pub(super) bars: Range<usize>,
    pub(super) cursor: Cursor,
    /// How long what is written next is.
    pub(super) length: Length,
}

impl<'a> AtCursor<'a> {
    /// Returns where in time the cursor is.
    pub(super) const fn slot(&self) -> Slot {
        self.cursor.slot
    }

    /// Returns the string that the cursor is on.
    pub(super) const fn string(&self) -> StringNumber {
        self.cursor.string
    }

    /// Returns the event under the cursor; `None` behind the last one.
    pub(super) fn event(&self) -> Option<&'a Event> {
        self.cursor.slot.read(self.passage)
    }

    /// Returns the note under the cursor. Errors: there is no event, or it has no note on the string.
    pub(super) fn note(&self) -> Result<&'a Note, PhraseError> {
        notes::note_at(self.passage, self.cursor.slot, self.cursor.string)
    }

    /// Returns what the passage is played on.
    pub(super) fn rig(&self) -> Rig {
        rig_of(self.lesson, self.passage)
    }

    /// Returns the numbers of the bars.
    pub(super) fn numbers(&self) -> BarNumbers {
        BarNumbers::of(self.passage)
    }

    /// Returns what the bar under the cursor is called.
    pub(super) fn bar_name(&self) -> BarName {
        self.numbers().name(self.cursor.slot.bar)
    }

    /// Returns edits after which the cursor stays where it is.
    pub(super) const fn staying(&self, edits: Vec<Edit>) -> PhraseEdits {
        PhraseEdits { edits, slot: self.cursor.slot }
    }
}

impl From<PhraseError> for Notice {
    fn from(error: PhraseError) -> Self {
        Self::trouble(error.to_string())
    }
}

/// Says that there is nothing to write into.
pub(super) fn nothing_shown() -> PaneReply {
    PaneReply::say(no_passage())
}

/// Says that the segment plays no passage, and how it gets one.
pub(super) fn no_passage() -> Notice {
    Notice::note(
        "this segment plays no passage yet: {Passage(NewPassage)} begins a new one, {Passage(ReadTab)} reads text tab",
    )
}
