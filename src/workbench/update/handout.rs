//! The handout: looked at before it is printed, and written beside the lesson.

use std::path::Path;
use std::sync::Arc;

use crate::lesson::document::Lesson;
use crate::tab::handout::options::{Columns, SegmentPick, SegmentPickError};
use crate::text::quote::quoted;
use crate::workbench::boxes::choice::ChoiceBox;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::boxes::preview::PreviewBox;
use crate::workbench::boxes::typed_line::EntryBox;
use crate::workbench::keys::action::PreviewAction;
use crate::workbench::messages::effect::{Effect, FileEffect};
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::questions::pick::Pick;
use crate::workbench::questions::program::{Existing, ProgramPick, ProgramQuestion};
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

/// Asks for a choice about the handout that has to be typed; `None` for other actions.
pub fn ask_for_choice(state: &mut State, action: PreviewAction) -> Option<PaneReply> {
    let options = &state.chosen.handout;
    let entry = match action {
        PreviewAction::ChooseSegments => EntryBox::new(
            ProgramQuestion::HandoutSegments,
            "Segments on the handout",
            "Numbers as it prints them, ranges and kinds: 1,3-5,performance. Leave empty: all.",
            if options.segments == SegmentPick::All { String::new() } else { options.segments.to_string() },
        ),
        PreviewAction::ChooseWidth => EntryBox::new(
            ProgramQuestion::HandoutWidth,
            "Width of the handout, in characters",
            "From 40 to 200. Leave empty: as many as fit on the paper.",
            options.columns.map(|columns| columns.get().to_string()).unwrap_or_default(),
        ),
        PreviewAction::Up
        | PreviewAction::Down
        | PreviewAction::PageUp
        | PreviewAction::PageDown
        | PreviewAction::PreviousPage
        | PreviewAction::NextPage
        | PreviewAction::FirstPage
        | PreviewAction::LastPage
        | PreviewAction::ShiftLeft
        | PreviewAction::ShiftRight
        | PreviewAction::SwitchPaper
        | PreviewAction::SwitchCharacters
        | PreviewAction::SwitchPoints
        | PreviewAction::SwitchUnused
        | PreviewAction::SwitchVideo
        | PreviewAction::Write
        | PreviewAction::Close => return None,
    };
    state.laid_aside.extend(state.overlay.take());
    Some(PaneReply::ask(Overlay::Entry(entry)))
}

/// Takes the segments that were typed for the handout. Errors: in words, what could not be read, or is not in the lesson.
pub fn take_segments(state: &mut State, text: &str) -> Result<PaneReply, String> {
    let picked = match text.trim() {
        "" => SegmentPick::All,
        text => text.parse().map_err(|error: SegmentPickError| error.to_string())?,
    };
    if let Some(lacking) = state.desk().and_then(|desk| picked.lacking(desk.lesson.lesson())) {
        return Err(lacking);
    }
    state.chosen.handout.segments = picked;
    Ok(lay_out_anew(state))
}

/// Takes the width that was typed for the handout. Errors: in words, that it is none.
pub fn take_width(state: &mut State, text: &str) -> Result<PaneReply, String> {
    let typed = text.trim();
    let columns = match typed {
        "" => None,
        typed => Some(typed.parse().ok().and_then(Columns::new).ok_or_else(|| {
            let (least, most) = (Columns::RANGE.start(), Columns::RANGE.end());
            format!("`{}` is not a width: type a number from {least} to {most}", quoted(typed))
        })?),
    };
    state.chosen.handout.columns = columns;
    Ok(lay_out_anew(state))
}

/// Lays the preview out anew that a box has come over, and shows it.
fn lay_out_anew(state: &mut State) -> PaneReply {
    let options = state.chosen.handout.clone();
    let Some(lesson) = state.desk().map(|desk| Arc::clone(desk.lesson.shared())) else { return PaneReply::nothing() };
    match state.laid_aside.pop() {
        Some(Overlay::Preview(mut preview)) => {
            preview.ask_for(options);
            let effect = lay_out(&mut preview, &lesson);
            PaneReply { effect, ..PaneReply::ask(Overlay::Preview(preview)) }
        }
        other => {
            state.laid_aside.extend(other);
            preview(state)
        }
    }
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
        "There is already a file of that name",
        format!("{} lies beside the lesson and was written or changed by another program.", name_of(path)),
        vec![
            ("save as a new file".into(), Pick::Program(ProgramPick::WriteHandout(Existing::OtherName))),
            ("overwrite it".into(), Pick::Program(ProgramPick::WriteHandout(Existing::Replace))),
            ("cancel".into(), Pick::Nothing),
        ],
    )))
}
