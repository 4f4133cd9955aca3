//! One order for everything that was done, whatever its sort: undo takes back what was done last.
//!
//! A step lies between two moments, and a moment is how things stood between two keys. What a pane
//! does needs no word here: before whatever is declared to leave a step ([`Desk::expect`]) the desk remembers how things
//! stand, and afterwards [`Desk::note_step`] sees whether something has changed. Nothing is remembered or compared for the
//! rest; what it does all the same is told as a fault. Going to another segment is no step, though the fretboard follows it.

use crate::lesson::history::Reason;
use crate::lesson::id::SegmentId;
use crate::lesson::place::LessonPlace;
use crate::lesson::time::Length;
use crate::store::library::{LibraryChange, LibraryVoicing};
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::editing::history::{History, Step};
use crate::workbench::keys::action::changes::Changes;
use crate::workbench::messages::effect::Effect;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::panes::fretboard::fingers::{Grip, GripOrigin};

/// What was done, and what the key that is struck now does.
#[derive(Debug, Clone, PartialEq, Default)]
pub(in crate::workbench) struct Steps {
    history: History<Beside>,
    /// Whether something is being done that was declared to leave a step, so that the next look is due.
    look_is_due: bool,
    /// How things stood before it; nothing where it is undo, which leaves none.
    before: Option<Moment>,
    /// What this key does to the library.
    shelved: Option<Shelved>,
    /// How often the grip had been changed when the last key was done.
    grip_changes: u64,
}

impl Steps {
    /// Notes what the key that is struck now does to the library.
    pub(in crate::workbench) fn shelve(&mut self, shelved: Shelved) {
        self.shelved = Some(shelved);
    }
}

/// What was done although it was declared to do nothing of the kind: a fault of ours.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Undeclared {
    /// The lesson was to be changed; it was not.
    Lesson,
    /// The fingers on the fretboard were changed.
    Fingers,
    /// The library was changed.
    Library,
}

impl Undeclared {
    /// Says what has happened, and that nobody is to blame who sits at the keys.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Lesson => {
                "this is a fault of the program, not yours: what you asked for is not meant to change the lesson, so the \
                 lesson is as it was"
            }
            Self::Fingers => {
                "this is a fault of the program, not yours: what you asked for is not meant to change the fingers, so undo \
                 cannot take them back"
            }
            Self::Library => {
                "this is a fault of the program, not yours: what you asked for is not meant to change the library, so undo \
                 cannot take it back"
            }
        }
    }
}

/// What a key did to the library.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::workbench) enum Shelved {
    /// Put a voicing in that was not there.
    PutIn(LibraryVoicing),
    /// Kept a voicing that was there already.
    Renewed(LibraryVoicing),
    /// Took a voicing out.
    TakenOut(LibraryVoicing),
    /// Gave a voicing other tags.
    Tagged(LibraryChange),
    /// Made one of voicings that are the same.
    Joined(LibraryChange),
}

impl Shelved {
    /// Returns what to say after "undone" or "done again", where the lesson was not changed.
    const fn label(&self) -> &'static str {
        match self {
            Self::PutIn(_) | Self::Renewed(_) => Reason::SaveVoicing.label(),
            Self::TakenOut(_) => "voicing taken out of the library",
            Self::Tagged(_) => Reason::TagVoicing.label(),
            Self::Joined(_) => "voicings joined",
        }
    }
}

/// How things stood between two keys.
#[derive(Debug, Clone, PartialEq)]
struct Moment {
    grip: Grip,
    origin: GripOrigin,
    segment: Option<SegmentId>,
    /// The length that is written in.
    writing: Length,
}

/// What one key did beside the lesson.
#[derive(Debug, Clone, PartialEq)]
struct Beside {
    before: Moment,
    after: Moment,
    shelved: Option<Shelved>,
}

impl Beside {
    /// Returns what two keys did that count as one.
    fn join(self, later: Self) -> Self {
        Self { before: self.before, after: later.after, shelved: later.shelved.or(self.shelved) }
    }

    /// Returns what to say of it after "undone" or "done again", where the lesson was not changed.
    fn label(&self) -> &'static str {
        let (before, after) = (&self.before.grip, &self.after.grip);
        match &self.shelved {
            Some(shelved) => shelved.label(),
            None if matches!(self.after.origin, GripOrigin::Voicing(_)) => "voicing put on the fretboard",
            None if before.shape != after.shape => "fingers",
            None if before.fingers != after.fingers || before.barre != after.barre => "which fingers",
            None if before.doubts != after.doubts => "doubt mark",
            None if before.kept.len() > after.kept.len() => "reading dropped",
            None => "reading kept",
        }
    }
}

/// Which way to go through the steps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum HistoryWay {
    Back,
    Forth,
}

impl Desk {
    /// Prepares for what is declared to do no more than this: opens the lesson to changes or closes it, and remembers how
    /// things stand where there may be a step.
    pub fn expect(&mut self, declared: Changes) {
        self.lesson.expect(declared);
        if declared.may_leave_step() && !self.steps.look_is_due {
            self.steps.look_is_due = true;
            self.steps.before = Some(self.moment());
        }
    }

    /// Returns whether something that was done since the last look may have left a step, for history or journal.
    pub(in crate::workbench) const fn may_have_changed(&self) -> bool {
        self.steps.look_is_due
    }

    /// Returns what was done since the last look that was declared not to be, if anything.
    pub fn take_undeclared(&mut self) -> Option<Undeclared> {
        if self.lesson.take_undeclared() {
            return Some(Undeclared::Lesson);
        }
        if self.may_have_changed() {
            return None;
        }
        let library = self.steps.shelved.take().map(|_| Undeclared::Library);
        let fingers = self.fretboard.changes() != self.steps.grip_changes;
        library.or_else(|| fingers.then_some(Undeclared::Fingers))
    }

    fn moment(&self) -> Moment {
        Moment {
            grip: self.fretboard.grip().clone(),
            origin: self.fretboard.origin(),
            segment: self.timeline.selected(),
            writing: self.passage.writing(),
        }
    }

    /// Looks whether what was done can be undone, where it was declared that it may be.
    pub(in crate::workbench) fn note_step(&mut self) {
        self.steps.grip_changes = self.fretboard.changes();
        // What comes next has to say for itself what it changes.
        self.lesson.expect(Changes::Never);
        if !std::mem::take(&mut self.steps.look_is_due) {
            return;
        }
        let (made, shelved) = (self.lesson.take_made(), self.steps.shelved.take());
        let Some(before) = self.steps.before.take() else { return };
        let now = self.moment();
        let stayed = before.segment == now.segment;
        // The fretboard follows the selection; but fingers put down by hand are never lost that way.
        let by_hand = before.origin == GripOrigin::Hand && !before.grip.is_silent();
        let fingers = before.grip != now.grip && (stayed || by_hand);
        let library = match &shelved {
            Some(Shelved::PutIn(_) | Shelved::TakenOut(_) | Shelved::Tagged(_) | Shelved::Joined(_)) => true,
            Some(Shelved::Renewed(_)) | None => false,
        };
        if made.is_some() || fingers || library {
            self.lesson.keep_last(made.clone());
            self.steps.history.push(Step { made, beside: Beside { before, after: now, shelved } }, Beside::join);
        }
    }

    /// Returns how many steps undo can take back.
    pub const fn undoable(&self) -> usize {
        self.steps.history.len()
    }

    /// Undoes what was done last.
    pub(in crate::workbench) fn undo(&mut self) -> Reply {
        let mut history = std::mem::take(&mut self.steps.history);
        let reply = history.undo(|step| self.go(step, HistoryWay::Back));
        self.steps.history = history;
        reply.unwrap_or_else(|| Err(Notice::note("nothing to undo"))).unwrap_or_else(Reply::say)
    }

    /// Does again what was undone last.
    pub(in crate::workbench) fn redo(&mut self) -> Reply {
        let mut history = std::mem::take(&mut self.steps.history);
        let reply = history.redo(|step| self.go(step, HistoryWay::Forth));
        self.steps.history = history;
        reply.unwrap_or_else(|| Err(Notice::note("nothing to redo"))).unwrap_or_else(Reply::say)
    }

    /// Brings everything to one end of `step` and says so. Errors: why the lesson could not be changed.
    fn go(&mut self, step: &Step<Beside>, way: HistoryWay) -> Result<Reply, Notice> {
        let Step { made, beside } = step;
        let (from, to) = match way {
            HistoryWay::Back => (&beside.after, &beside.before),
            HistoryWay::Forth => (&beside.before, &beside.after),
        };
        // What the step did belongs to the segment that was selected when the key was struck. Fingers
        // that had to make way for another segment's belong to the one they were put down in.
        let made_way = made.is_none() && from.segment != to.segment;
        let elsewhere = made_way || self.timeline.selected() != from.segment;
        if let Some(made) = made {
            let changed = match way {
                HistoryWay::Back => self.lesson.take_back(made),
                HistoryWay::Forth => self.lesson.make_again(made),
            };
            changed.map_err(|error| Notice::trouble(error.to_string()))?;
        }
        // What undo does is no step.
        self.steps.before = None;
        if let Some(segment) = to.segment {
            self.timeline.select(segment);
        }
        if let Some(LessonPlace::Passage(id, spot)) = made.as_ref().and_then(|made| made.change.place()) {
            self.passage.go_to_spot(self.lesson.lesson(), to.segment, id, spot);
        }
        if from.writing != to.writing {
            self.passage.write_in(to.writing);
        }
        self.followed = to.segment;
        let (rig, trouble) = self.lesson.rig_at(to.segment);
        self.fretboard.tune(rig, trouble);
        self.fretboard.put_back(to.grip.clone(), to.origin);
        self.select_kept_reading();
        let done = match way {
            HistoryWay::Back => "undone",
            HistoryWay::Forth => "done again",
        };
        let label = made.as_ref().map_or_else(|| beside.label(), |made| made.change.reason().label());
        let mut text = format!("{done}: {label}");
        if elsewhere && let Some(segment) = to.segment {
            text += &format!(", in {}", LessonPlace::Segment(segment).text(self.lesson.lesson()));
        }
        let effect = self.effect_on_library(beside, way, &mut text);
        Ok(Reply { notice: Some(Notice::done(text)), overlay: None, effect })
    }

    /// Returns what the library is to do. A voicing saved stays there, which is said.
    fn effect_on_library(&self, beside: &Beside, way: HistoryWay, text: &mut String) -> Option<Effect> {
        match (beside.shelved.as_ref()?, way) {
            (Shelved::Tagged(change) | Shelved::Joined(change), HistoryWay::Back) => {
                Some(Effect::change_library(change.clone().inverse()))
            }
            (Shelved::Tagged(change) | Shelved::Joined(change), HistoryWay::Forth) => {
                Some(Effect::change_library(change.clone()))
            }
            (Shelved::TakenOut(voicing), HistoryWay::Back) => Some(Effect::keep_in_library(voicing.clone())),
            (Shelved::TakenOut(voicing), HistoryWay::Forth) => Some(Effect::take_out_of_library(voicing.clone())),
            (Shelved::PutIn(voicing) | Shelved::Renewed(voicing), way) => {
                let kept = self.library.keeps(voicing);
                if kept && way == HistoryWay::Back {
                    *text += "; the library keeps its copy";
                }
                let missing = !kept && way == HistoryWay::Forth;
                missing.then(|| Effect::keep_in_library(voicing.clone()))
            }
        }
    }
}
