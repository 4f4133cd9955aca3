//! One order for everything that was done, whatever its sort: undo takes back what was done last.
//!
//! A step lies between two moments, and a moment is how things stood between two keys. What a pane
//! does needs no word here: [`Desk::note_step`] sees after every key whether something has changed.
//! Going to another segment is no step, though the fretboard follows it.

use crate::lesson::history::Reason;
use crate::lesson::id::SegmentId;
use crate::lesson::place::Place;
use crate::lesson::time::Length;
use crate::store::library::{LibraryChange, LibraryVoicing};
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::messages::effect::Effect;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::panes::fretboard::pane::{Grip, Origin};

/// What was done, and what of it was undone.
#[derive(Debug, Clone, PartialEq, Default)]
pub(in crate::workbench) struct Steps {
    done: Vec<Step>,
    undone: Vec<Step>,
    /// How things stood after the last key; nothing where the next look is only to be remembered.
    last: Option<Moment>,
    /// What the last key did to the library.
    shelved: Option<Shelved>,
    /// What the last key did, where that says more than the reason of the change.
    named: Option<&'static str>,
}

impl Steps {
    /// Says what the key that is struck now does, in more detail than a change's reason can.
    pub(in crate::workbench) const fn name(&mut self, what: &'static str) {
        self.named = Some(what);
    }

    /// Notes what the key that is struck now does to the library.
    pub(in crate::workbench) fn shelve(&mut self, shelved: Shelved) {
        self.shelved = Some(shelved);
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
    /// Put voicings in the place of others.
    Changed(LibraryChange),
}

/// How things stood between two keys.
#[derive(Debug, Clone, PartialEq)]
struct Moment {
    grip: Grip,
    origin: Origin,
    segment: Option<SegmentId>,
    /// How many changes of the lesson stood.
    changes: usize,
    /// The length that is written in.
    writing: Length,
}

/// What one key did.
#[derive(Debug, Clone, PartialEq)]
struct Step {
    before: Moment,
    after: Moment,
    shelved: Option<Shelved>,
    named: Option<&'static str>,
}

impl Step {
    /// Says what a step did that changed the lesson for `reason`, or did not.
    fn label(&self, reason: Option<Reason>) -> &'static str {
        let (before, after) = (&self.before.grip, &self.after.grip);
        match reason {
            Some(reason) => self.named.unwrap_or(reason.label()),
            None if matches!(self.shelved, Some(Shelved::TakenOut(_))) => "voicing taken out of the library",
            None if matches!(self.shelved, Some(Shelved::Changed(_))) => self.named.unwrap_or("library changed"),
            None if self.shelved.is_some() => Reason::SaveVoicing.label(),
            None if matches!(self.after.origin, Origin::Voicing(_)) => "voicing put on the fretboard",
            None if before.shape != after.shape => "fingers",
            None if before.fingers != after.fingers || before.barre != after.barre => "which fingers",
            None if before.doubts != after.doubts => Reason::MarkDoubt.label(),
            None if before.kept.len() > after.kept.len() => "reading dropped",
            None => Reason::KeepReading.label(),
        }
    }
}

/// Which way to go through the steps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Way {
    Back,
    Forth,
}

impl Desk {
    /// Looks whether the last key has done something that can be undone.
    pub(in crate::workbench) fn note_step(&mut self) {
        let now = Moment {
            grip: self.fretboard.grip().clone(),
            origin: self.fretboard.origin(),
            segment: self.timeline.selected(),
            changes: self.lesson.changes(),
            writing: self.passage.writing(),
        };
        let (shelved, named) = (self.steps.shelved.take(), self.steps.named.take());
        let Some(before) = self.steps.last.replace(now.clone()) else { return };
        let stayed = before.segment == now.segment;
        // The fretboard follows the selection; but fingers put down by hand are never lost that way.
        let by_hand = before.origin == Origin::Hand && !before.grip.is_silent();
        let fingers = before.grip != now.grip && (stayed || by_hand);
        let library = matches!(shelved, Some(Shelved::PutIn(_) | Shelved::TakenOut(_) | Shelved::Changed(_)));
        if before.changes != now.changes || fingers || library {
            self.steps.undone.clear();
            self.steps.done.push(Step { before, after: now, shelved, named });
        }
    }

    /// Undoes what was done last.
    pub(in crate::workbench) fn undo(&mut self) -> Reply {
        let Some(step) = self.steps.done.pop() else { return Reply::say(Notice::note("nothing to undo")) };
        let reply = self.go(&step, Way::Back);
        let list = if reply.is_ok() { &mut self.steps.undone } else { &mut self.steps.done };
        list.push(step);
        reply.unwrap_or_else(Reply::say)
    }

    /// Does again what was undone last.
    pub(in crate::workbench) fn redo(&mut self) -> Reply {
        let Some(step) = self.steps.undone.pop() else { return Reply::say(Notice::note("nothing to redo")) };
        let reply = self.go(&step, Way::Forth);
        let list = if reply.is_ok() { &mut self.steps.done } else { &mut self.steps.undone };
        list.push(step);
        reply.unwrap_or_else(Reply::say)
    }

    /// Brings everything to one end of `step` and says so. Errors: why the lesson could not be changed.
    fn go(&mut self, step: &Step, way: Way) -> Result<Reply, Notice> {
        let (from, to) = match way {
            Way::Back => (&step.after, &step.before),
            Way::Forth => (&step.before, &step.after),
        };
        // What the step did belongs to the segment that was selected when the key was struck. Fingers
        // that had to make way for another segment's belong to the one they were put down in.
        let made_way = from.changes == to.changes && from.segment != to.segment;
        let elsewhere = made_way || self.timeline.selected() != from.segment;
        let change = self.change_lesson_to(to.changes)?;
        let reason = change.map(|(reason, _)| reason);
        self.steps.last = None;
        if let Some(segment) = to.segment {
            self.timeline.select(segment);
        }
        if let Some((_, Some(Place::Passage(id, spot)))) = change {
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
            Way::Back => "undone",
            Way::Forth => "done again",
        };
        let mut text = format!("{done}: {}", step.label(reason));
        if elsewhere && let Some(segment) = to.segment {
            text += &format!(", in {}", Place::Segment(segment).text(self.lesson.lesson()));
        }
        let effect = self.effect_on_library(step, way, &mut text);
        Ok(Reply { notice: Some(Notice::done(text)), overlay: None, effect })
    }

    /// Undoes or redoes changes of the lesson until as many stand; returns why the last was made, and
    /// where.
    fn change_lesson_to(&mut self, changes: usize) -> Result<Option<(Reason, Option<Place>)>, Notice> {
        let mut first = None;
        while self.lesson.changes() != changes {
            let changed = if self.lesson.changes() > changes { self.lesson.undo() } else { self.lesson.redo() };
            match changed.map_err(|error| Notice::trouble(error.to_string()))? {
                Some(change) => first = first.or(Some((change.reason, change.place))),
                None => break,
            }
        }
        Ok(first)
    }

    /// Returns what the library is to do. A voicing saved stays there, which is said.
    fn effect_on_library(&self, step: &Step, way: Way, text: &mut String) -> Option<Effect> {
        match (step.shelved.as_ref()?, way) {
            (Shelved::Changed(change), Way::Back) => Some(Effect::change_library(change.clone().inverse())),
            (Shelved::Changed(change), Way::Forth) => Some(Effect::change_library(change.clone())),
            (Shelved::TakenOut(voicing), Way::Back) => Some(Effect::keep_in_library(voicing.clone())),
            (Shelved::TakenOut(voicing), Way::Forth) => Some(Effect::take_out_of_library(voicing.clone())),
            (Shelved::PutIn(voicing) | Shelved::Renewed(voicing), way) => {
                let kept = self.library.keeps(voicing);
                if kept && way == Way::Back {
                    *text += "; the library keeps its copy";
                }
                let missing = !kept && way == Way::Forth;
                missing.then(|| Effect::keep_in_library(voicing.clone()))
            }
        }
    }
}
