//! What was done, whatever its sort, in one order.
//!
//! A step lies between two moments, and a moment is how things stood between two keys. What a pane
//! does needs no word here: before whatever is declared to leave a step the desk remembers how things stand
//! ([`Steps::begin`]), and afterwards [`Steps::note`] sees what has changed. Nothing is remembered or compared for the rest.
//! Going to another segment is no step, though the fretboard follows it.

use crate::lesson::id::SegmentId;
use crate::lesson::time::Length;
use crate::workbench::editing::edited_lesson::{EditedLesson, MadeChange};
use crate::workbench::editing::history::{History, Step};
use crate::workbench::editing::undecided::Decided;
use crate::workbench::library::shelved::Shelved;
use crate::workbench::panes::fretboard::fingers::GripOrigin;
use crate::workbench::panes::fretboard::grip::Grip;
use crate::workbench::panes::fretboard::pane::FretboardPane;
use crate::workbench::panes::passage::PassagePane;
use crate::workbench::panes::timeline::pane::TimelinePane;

/// What was done, and how things stood before what is being done.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Steps {
    pub(super) history: History<StepSurroundings>,
    /// Whether something is being done that was declared to leave a step, so that a look is due.
    look_is_due: bool,
    /// How things stood before it; nothing where it is undo, which leaves none.
    before: Option<Moment>,
    /// How often the grip had been changed when the last key was done.
    pub(super) grip_revision: u64,
}

impl Steps {
    /// Has undo go on behind changes that were brought back; `now` is how things stand.
    pub(super) fn go_on_behind(&mut self, changes: Vec<MadeChange>, now: &Moment) {
        for made in changes {
            let (before, after, known) = (now.clone(), now.clone(), KnownFrom::InTheJournal);
            let beside = StepSurroundings { before, after, known, shelved: None, decided: None };
            self.history.push(Step { made: Some(made), beside }, StepSurroundings::join);
        }
    }

    /// Remembers how things stand before something that was declared to leave a step; the first of several counts.
    pub(super) fn begin(&mut self, now: impl FnOnce() -> Moment) {
        if !self.look_is_due {
            self.look_is_due = true;
            self.before = Some(now());
        }
    }

    /// Returns whether something has been done since the last look that was declared to leave a step.
    pub(super) const fn look_is_due(&self) -> bool {
        self.look_is_due
    }

    /// Looks whether what was done can be undone: `now` is how things stand, `shelved` what was done to the library.
    pub(super) fn note(&mut self, lesson: &mut EditedLesson, now: Moment, shelved: Option<Shelved>) {
        let made = lesson.take_made();
        self.look_is_due = false;
        let Some(before) = self.before.take() else { return };
        let stayed = before.segment == now.segment;
        // The fretboard follows the selection; but fingers put down by hand are never lost that way.
        let by_hand = before.origin == GripOrigin::Hand && !before.grip.is_silent();
        let fingers = before.grip != now.grip && (stayed || by_hand);
        let decided = lesson.undecided_mut().take_decided();
        if made.is_some() || fingers || decided.is_some() || shelved.as_ref().is_some_and(Shelved::counts) {
            lesson.keep_last(made.clone());
            self.history.push(
                Step {
                    made,
                    beside: StepSurroundings { before, after: now, known: KnownFrom::AtTheKeys, shelved, decided },
                },
                StepSurroundings::join,
            );
        }
    }

    /// Has the look that is due find no step.
    pub(super) fn pass_over(&mut self) {
        self.before = None;
    }
}

/// How things stood between two keys.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Moment {
    pub(super) grip: Grip,
    pub(super) origin: GripOrigin,
    pub(super) segment: Option<SegmentId>,
    /// The length that is written in.
    pub(super) writing: Length,
}

impl Moment {
    /// Returns how things stand.
    pub(super) fn of(fretboard: &FretboardPane, timeline: &TimelinePane, passage: &PassagePane) -> Self {
        let grip = fretboard.grip().clone();
        Self { grip, origin: fretboard.origin(), segment: timeline.selected(), writing: passage.writing() }
    }
}

/// Where a step is known from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum KnownFrom {
    /// It was done at the keys since the lesson was opened.
    AtTheKeys,
    /// It was brought back from the journal: what it did beside the lesson is not known.
    InTheJournal,
}

/// What one key did beside the lesson.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct StepSurroundings {
    pub(super) before: Moment,
    pub(super) after: Moment,
    /// Whether it was seen how things stood, or is only known from the journal.
    pub(super) known: KnownFrom,
    pub(super) shelved: Option<Shelved>,
    /// What was decided about a thing that was changed on both sides.
    pub(super) decided: Option<Decided>,
}

impl StepSurroundings {
    /// Returns what two keys did that count as one.
    fn join(self, later: Self) -> Self {
        let (shelved, decided) = (later.shelved.or(self.shelved), later.decided.or(self.decided));
        Self { before: self.before, after: later.after, known: later.known, shelved, decided }
    }

    /// Returns what to say of it after "undone" or "done again", where the lesson was not changed.
    pub(super) fn label(&self) -> &'static str {
        let (before, after) = (&self.before.grip, &self.after.grip);
        match &self.shelved {
            Some(shelved) => shelved.label(),
            None if self.decided.is_some() => "kept as it is in the file",
            None if matches!(self.after.origin, GripOrigin::Voicing(_)) => "voicing put on the fretboard",
            None if before.shape != after.shape => "fingers",
            None if before.fingers != after.fingers || before.barre != after.barre => "fingering",
            None if before.doubts != after.doubts => "unsure mark",
            None => before.said_until(after),
        }
    }
}
