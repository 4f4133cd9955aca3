//! Undo takes back what was done last, whatever its sort, and redo does it again.

use crate::lesson::place::LessonPlace;
use crate::workbench::desk::from_tab::strings_under;
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::desk::places::segment_of;
use crate::workbench::desk::steps::{KnownFrom, StepSurroundings};
use crate::workbench::desk::undone_words::words;
use crate::workbench::editing::edited_lesson::MadeChange;
use crate::workbench::editing::history::Step;
use crate::workbench::editing::undecided::Decided;
use crate::workbench::library::shelved::Shelved;
use crate::workbench::messages::effect::{FileEffect, LibraryOrder};
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::library::pane::LibraryPane;

/// Which way to go through the steps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum HistoryWay {
    Back,
    Forth,
}

impl Desk {
    /// Returns how many steps undo can take back.
    pub const fn undoable(&self) -> usize {
        self.steps.history.len()
    }

    /// Undoes what was done last.
    pub(super) fn undo(&mut self) -> PaneReply {
        let mut history = std::mem::take(&mut self.steps.history);
        let reply = history.undo(|step| self.go(step, HistoryWay::Back));
        self.steps.history = history;
        reply.unwrap_or_else(|| Err(Notice::note("nothing to undo"))).unwrap_or_else(PaneReply::say)
    }

    /// Does again what was undone last.
    pub(super) fn redo(&mut self) -> PaneReply {
        let mut history = std::mem::take(&mut self.steps.history);
        let reply = history.redo(|step| self.go(step, HistoryWay::Forth));
        self.steps.history = history;
        reply.unwrap_or_else(|| Err(Notice::note("nothing to redo"))).unwrap_or_else(PaneReply::say)
    }

    /// Brings everything to one end of `step` and says so. Errors: why the lesson could not be changed.
    fn go(&mut self, step: &Step<StepSurroundings>, way: HistoryWay) -> Result<PaneReply, Notice> {
        let Step { made, beside } = step;
        let (from, to) = match way {
            HistoryWay::Back => (&beside.after, &beside.before),
            HistoryWay::Forth => (&beside.before, &beside.after),
        };
        // What the step did belongs to the segment that was selected when the key was struck. Fingers
        // that had to make way for another segment's belong to the one they were put down in.
        if let (Some(made), KnownFrom::InTheJournal) = (made, beside.known) {
            return self.go_behind_recovery(made, way);
        }
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
        self.steps.pass_over();
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
        let (rig, trouble) = strings_under(self.from_tab.as_ref(), &self.lesson, &to.grip.shape, to.segment);
        self.fretboard.tune(rig, trouble);
        self.fretboard.put_back(to.grip.clone(), to.origin);
        self.select_kept_reading();
        let done = match way {
            HistoryWay::Back => "undone",
            HistoryWay::Forth => "redone",
        };
        let label = made.as_ref().map_or_else(|| beside.label().to_owned(), |made| words(&made.change));
        let mut text = format!("{done}: {label}");
        if elsewhere && let Some(segment) = to.segment {
            text += &format!(", in {}", LessonPlace::Segment(segment).text(self.lesson.lesson()));
        }
        if let Some(decided) = &beside.decided {
            text += &self.go_over_decision(decided, way);
            let effect = FileEffect::KeepApart(self.lesson.undecided().waiting().to_vec()).into();
            return Ok(PaneReply { effect: Some(effect), ..PaneReply::say(Notice::done(text)) });
        }
        let order = order_for_library(&self.library, beside, way, &mut text);
        let said = Notice::done(text);
        Ok(match order {
            Some(order) => PaneReply::once_kept(order, said),
            None => PaneReply::say(said),
        })
    }

    /// Takes back a change that is known from the journal only, or makes it again, and goes where it was made; the fingers stay.
    /// Errors: why the lesson could not be changed.
    fn go_behind_recovery(&mut self, made: &MadeChange, way: HistoryWay) -> Result<PaneReply, Notice> {
        let (changed, done) = match way {
            HistoryWay::Back => (self.lesson.take_back(made), "undone"),
            HistoryWay::Forth => (self.lesson.make_again(made), "redone"),
        };
        changed.map_err(|error| Notice::trouble(error.to_string()))?;
        self.steps.pass_over();
        let mut text = format!("{done}: {}", words(&made.change));
        let lesson = self.lesson.lesson();
        let place = made.change.place();
        if let Some(segment) = place.and_then(|place| segment_of(lesson, place, self.timeline.selected())) {
            self.timeline.select(segment);
            text += &format!(", in {}", LessonPlace::Segment(segment).text(lesson));
            if let Some(LessonPlace::Passage(id, spot)) = place {
                self.passage.go_to_spot(lesson, Some(segment), id, spot);
            }
        }
        Ok(PaneReply::say(Notice::done(text)))
    }

    /// Has the version wait again that was decided about, or no more; returns how many are left, in words.
    fn go_over_decision(&mut self, decided: &Decided, way: HistoryWay) -> String {
        let undecided = self.lesson.undecided_mut();
        match way {
            HistoryWay::Back => undecided.take_back(decided),
            HistoryWay::Forth => undecided.decide_again(decided),
        }
        format!("; changed on both sides: {}", undecided.left())
    }
}

/// Returns what the library is to do. A voicing that was saved stays there, which `text` then says too.
fn order_for_library(
    library: &LibraryPane,
    beside: &StepSurroundings,
    way: HistoryWay,
    text: &mut String,
) -> Option<LibraryOrder> {
    match (beside.shelved.as_ref()?, way) {
        (Shelved::Tagged(change) | Shelved::Joined(change), HistoryWay::Back) => {
            Some(LibraryOrder::Change(change.clone().inverse()))
        }
        (Shelved::Tagged(change) | Shelved::Joined(change), HistoryWay::Forth) => {
            Some(LibraryOrder::Change(change.clone()))
        }
        (Shelved::TakenOut(voicing), HistoryWay::Back) => Some(LibraryOrder::Keep(voicing.clone())),
        (Shelved::TakenOut(voicing), HistoryWay::Forth) => Some(LibraryOrder::TakeOut(voicing.clone())),
        (Shelved::PutIn(voicing) | Shelved::Renewed(voicing), way) => {
            let kept = library.keeps(voicing);
            if kept && way == HistoryWay::Back {
                *text += "; the library keeps its copy, {Library(TakeOut)} there deletes it";
            }
            let missing = !kept && way == HistoryWay::Forth;
            missing.then(|| LibraryOrder::Keep(voicing.clone()))
        }
    }
}
