//! The handout: looked at before it is printed, and written beside the lesson.

use std::path::Path;
use std::sync::Arc;

use crate::lesson::document::Lesson;
use crate::workbench::boxes::choice::ChoiceBox;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::boxes::preview::PreviewBox;
use crate::workbench::messages::effect::{Effect, FileEffect};
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::questions::pick::Pick;
use crate::workbench::questions::program::{Existing, ProgramPick};
use crate::workbench::state::State;
use crate::workbench::update::file_names::name_of;

/// Shows the handout as it will print.
pub fn preview(state: &State) -> PaneReply {
    state.desk().map_or_else(PaneReply::nothing, |desk| {
        let mut preview = PreviewBox::new(state.chosen.handout.clone());
        let effect = lay_out(&mut preview, desk.lesson.shared());
        PaneReply { effect, ..PaneReply::ask(Overlay::Preview(preview)) }
    })
}

/// Lays the handout in a preview out, or returns what has that done behind the keys.
pub fn lay_out(preview: &mut PreviewBox, lesson: &Arc<Lesson>) -> Option<Effect> {
    preview.lay_out(lesson);
    preview.is_awaited().then(|| FileEffect::LayOut(Arc::clone(lesson), preview.options().clone()).into())
}

/// Has the handout written as it was laid out last.
pub fn write(state: &State, existing: Existing) -> PaneReply {
    match state.desk() {
        Some(desk) => {
            let lesson = Box::new(desk.lesson.lesson().clone());
            PaneReply::want(FileEffect::WriteHandout(lesson, state.chosen.handout.clone(), existing))
        }
        None => PaneReply::nothing(),
    }
}

/// Asks what to do about a file that stands where the handout should go.
pub fn ask_about(state: &mut State, path: &Path) -> PaneReply {
    if matches!(state.overlay, Some(Overlay::Preview(_))) {
        state.laid_aside.extend(state.overlay.take());
    }
    PaneReply::ask(Overlay::Choice(ChoiceBox::new(
        "There is a file already",
        format!("{} lies beside the lesson and was written or changed outside the program.", name_of(path)),
        vec![
            ("save as a new file".into(), Pick::Program(ProgramPick::WriteHandout(Existing::OtherName))),
            ("overwrite it".into(), Pick::Program(ProgramPick::WriteHandout(Existing::Replace))),
            ("cancel".into(), Pick::Nothing),
        ],
    )))
}
