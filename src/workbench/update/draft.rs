//! What stands on the screen and not in the lesson yet, so that a crash does not take it away.

use crate::store::draft::Draft;
use crate::store::open_lesson::Access;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::messages::effect::{Effect, FileEffect};
use crate::workbench::messages::notice::Notice;
use crate::workbench::panes::fretboard::fingers::GripOrigin;
use crate::workbench::state::State;

/// Returns what is not in the lesson yet.
fn of(state: &State) -> Draft {
    let Some(desk) = state.desk().filter(|desk| matches!(desk.lesson.access(), Access::Full)) else {
        return Draft::default();
    };
    let by_hand = desk.fretboard.origin() == GripOrigin::Hand && !desk.fretboard.grip().is_silent();
    let fingers = if by_hand { desk.fretboard.grip().shape.to_string() } else { String::new() };
    let (about, words) = match &state.overlay {
        Some(Overlay::Entry(entry)) => (entry.title.clone(), entry.line.text().to_owned()),
        Some(Overlay::Points(points)) => (points.title.clone(), points.lines.written().join("\n")),
        _ => (String::new(), String::new()),
    };
    let about = if words.is_empty() { String::new() } else { about };
    Draft { fingers, about, words }
}

/// Has what has changed of it kept.
pub fn changed(state: &mut State) -> Option<Effect> {
    let now = of(state);
    if state.draft == now {
        return None;
    }
    state.draft = now.clone();
    state.desk().map(|_| FileEffect::KeepDraft(Box::new(now)).into())
}

/// Puts the fingers of a crash back on the fretboard, and says what was being written.
pub fn bring_back(state: &mut State, draft: &Draft) {
    let Some(desk) = state.desk_mut() else { return };
    let fingers = !draft.fingers.is_empty() && desk.fretboard.take_text(&draft.fingers).is_ok();
    if fingers {
        state.said.say_also(Notice::note(format!("the fingers {} are back on the fretboard", draft.fingers)));
    }
    if !draft.words.is_empty() {
        state.said.say_also(Notice::note(format!("what was being written ({}): {}", draft.about, draft.words)));
    }
}
