//! What is written next, and what the last key leaves to the next one.

use crate::lesson::edit::Edit;
use crate::lesson::history::Reason;
use crate::lesson::phrase::Slot;
use crate::lesson::time::{Length, NoteValue};
use crate::workbench::keys::action::PassageAction;
use crate::workbench::panes::passage::cursor::Cursor;

/// What a digit put down, so that the next one can make it a number of two.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Typed {
    /// The digit; `None` where it made a number of two, which no further one can continue.
    pub(super) digit: Option<u8>,
    /// The revision of the lesson after it, if it made a change.
    pub(super) revision: Option<u64>,
    /// Where the cursor was afterwards.
    pub(super) cursor: Cursor,
    /// The slot it was typed at, which may have been one behind the last event.
    pub(super) from: Option<Slot>,
}

impl Typed {
    /// Returns the same where no second digit can follow: something was done to the note.
    pub(super) const fn finished(self) -> Self {
        Self { digit: None, revision: None, ..self }
    }
}

/// How a technique was asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum AskedBy {
    /// By the key of this action.
    Key(PassageAction),
    /// By a line of a list.
    List,
    /// By the answer to a question.
    Answer,
}

/// What was refused just before; asked for again, it is done.
#[derive(Debug, Clone, PartialEq)]
enum Refused {
    /// These edits.
    Edits(Vec<Edit>),
    /// A question, which was then asked all the same: every answer to it is taken.
    Question,
}

/// What is written next.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct WrittenNext {
    /// How long it is.
    pub(super) length: Length,
    /// The digit that the next one may make a number of two with.
    pub(super) typed: Option<Typed>,
    refused: Option<Refused>,
    /// How what is being done was asked for, or what was done last.
    pub(super) asked: AskedBy,
    /// Why the music is changed by what is being done, or was by the last thing that was to change it.
    pub(super) reason: Reason,
}

impl Default for WrittenNext {
    fn default() -> Self {
        Self {
            length: Length::plain(NoteValue::Eighth),
            typed: None,
            refused: None,
            asked: AskedBy::List,
            reason: Reason::PutFret,
        }
    }
}

impl WrittenNext {
    /// Forgets what the last key left; the length stays.
    pub(super) fn forget(&mut self) {
        (self.typed, self.refused) = (None, None);
    }

    /// Returns whether these edits were refused just before, and forgets it: what is asked for a second time is done.
    pub(super) fn was_refused(&mut self, edits: &[Edit]) -> bool {
        match self.refused.take() {
            Some(Refused::Edits(refused)) => refused == edits,
            Some(Refused::Question) => self.asked == AskedBy::Answer,
            None => false,
        }
    }

    /// Notes what was refused.
    pub(super) fn refuse(&mut self, edits: Vec<Edit>) {
        self.refused = Some(Refused::Edits(edits));
    }

    /// Notes that a question was refused and is asked all the same.
    pub(super) fn insist(&mut self) {
        self.refused = Some(Refused::Question);
    }
}
