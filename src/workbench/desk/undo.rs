//! Undo takes back what was done last, whatever its sort, and redo does it again.

use crate::lesson::place::LessonPlace;
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::desk::steps::Beside;
use crate::workbench::editing::history::Step;
use crate::workbench::library::shelved::Shelved;
use crate::workbench::messages::effect::Effect;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::panes::library::pane::LibraryPane;

/// Which way to go through the steps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Way {
    Back,
    Forth,
}

impl Desk {
    /// Undoes what was done last.
    pub(super) fn undo(&mut self) -> Reply {
        let mut history = std::mem::take(&mut self.steps.history);
        let reply = history.undo(|step| self.go(step, Way::Back));
        self.steps.history = history;
        reply.unwrap_or_else(|| Err(Notice::note("nothing to undo"))).unwrap_or_else(Reply::say)
    }

    /// Does again what was undone last.
    pub(super) fn redo(&mut self) -> Reply {
        let mut history = std::mem::take(&mut self.steps.history);
        let reply = history.redo(|step| self.go(step, Way::Forth));
        self.steps.history = history;
        reply.unwrap_or_else(|| Err(Notice::note("nothing to redo"))).unwrap_or_else(Reply::say)
    }

    /// Brings everything to one end of `step` and says so. Errors: why the lesson could not be changed.
    fn go(&mut self, step: &Step<Beside>, way: Way) -> Result<Reply, Notice> {
        let Step { made, beside } = step;
        let (from, to) = match way {
            Way::Back => (&beside.after, &beside.before),
            Way::Forth => (&beside.before, &beside.after),
        };
        // What the step did belongs to the segment that was selected when the key was struck. Fingers
        // that had to make way for another segment's belong to the one they were put down in.
        let made_way = made.is_none() && from.segment != to.segment;
        let elsewhere = made_way || self.timeline.selected() != from.segment;
        if let Some(made) = made {
            let changed = match way {
                Way::Back => self.lesson.take_back(made),
                Way::Forth => self.lesson.make_again(made),
            };
            changed.map_err(|error| Notice::trouble(error.to_string()))?;
        }
        self.steps.begin_anew();
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
            Way::Back => "undone",
            Way::Forth => "done again",
        };
        let label = made.as_ref().map_or_else(|| beside.label(), |made| made.change.reason().label());
        let mut text = format!("{done}: {label}");
        if elsewhere && let Some(segment) = to.segment {
            text += &format!(", in {}", LessonPlace::Segment(segment).text(self.lesson.lesson()));
        }
        let effect = effect_on_library(&self.library, beside, way, &mut text);
        Ok(Reply { notice: Some(Notice::done(text)), overlay: None, effect })
    }
}

/// Returns what the library is to do. A voicing that was saved stays there, which `text` then says too.
fn effect_on_library(library: &LibraryPane, beside: &Beside, way: Way, text: &mut String) -> Option<Effect> {
    match (beside.shelved.as_ref()?, way) {
        (Shelved::Tagged(change) | Shelved::Joined(change), Way::Back) => {
            Some(Effect::change_library(change.clone().inverse()))
        }
        (Shelved::Tagged(change) | Shelved::Joined(change), Way::Forth) => Some(Effect::change_library(change.clone())),
        (Shelved::TakenOut(voicing), Way::Back) => Some(Effect::keep_in_library(voicing.clone())),
        (Shelved::TakenOut(voicing), Way::Forth) => Some(Effect::take_out_of_library(voicing.clone())),
        (Shelved::PutIn(voicing) | Shelved::Renewed(voicing), way) => {
            let kept = library.keeps(voicing);
            if kept && way == Way::Back {
                *text += "; the library keeps its copy";
            }
            let missing = !kept && way == Way::Forth;
            missing.then(|| Effect::keep_in_library(voicing.clone()))
        }
    }
}
