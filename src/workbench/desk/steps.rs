//! What was done, whatever its sort, in one order.
//!
//! A step lies between two moments, and a moment is how things stood between two keys. What a pane
//! does needs no word here: [`Steps::note`] sees after every key whether something has changed.
//! Going to another segment is no step, though the fretboard follows it.

use crate::lesson::id::SegmentId;
use crate::lesson::time::Length;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::editing::history::{History, Step};
use crate::workbench::library::shelved::Shelved;
use crate::workbench::panes::fretboard::pane::{Grip, Origin};

/// What was done, and how things stood after the last key.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Steps {
    pub(super) history: History<Beside>,
    /// How things stood after the last key; nothing where the next look is only to be remembered.
    last: Option<Moment>,
}

impl Steps {
    /// Looks whether the last key has done something that can be undone: `now` is how things stand, `shelved` what the
    /// key did to the library.
    pub(super) fn note(&mut self, lesson: &mut EditedLesson, now: Moment, shelved: Option<Shelved>) {
        let made = lesson.take_made();
        let Some(before) = self.last.replace(now.clone()) else { return };
        let stayed = before.segment == now.segment;
        // The fretboard follows the selection; but fingers put down by hand are never lost that way.
        let by_hand = before.origin == Origin::Hand && !before.grip.is_silent();
        let fingers = before.grip != now.grip && (stayed || by_hand);
        if made.is_some() || fingers || shelved.as_ref().is_some_and(Shelved::counts) {
            lesson.keep_last(made.clone());
            self.history.push(Step { made, beside: Beside { before, after: now, shelved } }, Beside::join);
        }
    }

    /// Has the next look only be remembered: what it finds is no step.
    pub(super) fn begin_anew(&mut self) {
        self.last = None;
    }
}

/// How things stood between two keys.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Moment {
    pub(super) grip: Grip,
    pub(super) origin: Origin,
    pub(super) segment: Option<SegmentId>,
    /// The length that is written in.
    pub(super) writing: Length,
}

/// What one key did beside the lesson.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Beside {
    pub(super) before: Moment,
    pub(super) after: Moment,
    pub(super) shelved: Option<Shelved>,
}

impl Beside {
    /// Returns what two keys did that count as one.
    fn join(self, later: Self) -> Self {
        Self { before: self.before, after: later.after, shelved: later.shelved.or(self.shelved) }
    }

    /// Returns what to say of it after "undone" or "done again", where the lesson was not changed.
    pub(super) fn label(&self) -> &'static str {
        let (before, after) = (&self.before.grip, &self.after.grip);
        match &self.shelved {
            Some(shelved) => shelved.label(),
            None if matches!(self.after.origin, Origin::Voicing(_)) => "voicing put on the fretboard",
            None if before.shape != after.shape => "fingers",
            None if before.fingers != after.fingers || before.barre != after.barre => "which fingers",
            None if before.doubts != after.doubts => "doubt mark",
            None if before.kept.len() > after.kept.len() => "reading dropped",
            None => "reading kept",
        }
    }
}
