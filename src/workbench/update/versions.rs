//! Things that another program has changed as well: which version stays is decided one by one.

use crate::lesson::edit::Edit;
use crate::lesson::history::{Reason, Transaction};
use crate::store::differences::{FieldDifference, differences};
use crate::workbench::boxes::choice::ChoiceBox;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::messages::effect::FileEffect;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::questions::pick::Pick;
use crate::workbench::questions::program::{ProgramPick, VersionPick};
use crate::workbench::state::State;

/// The most differences that are shown of one thing.
const SHOWN: usize = 4;

/// Asks about the first thing that waits, or says that none does.
pub fn ask(state: &State) -> Reply {
    ask_from(state, 0)
}

/// Asks about the thing at `place` of those that wait.
fn ask_from(state: &State, place: usize) -> Reply {
    let Some(desk) = state.desk() else { return Reply::nothing() };
    let Some(version) = desk.lesson.apart().get(place) else {
        return Reply::say(Notice::note("nothing was changed on both sides"));
    };
    let pick = |pick| Pick::Program(ProgramPick::Version(pick, place));
    Reply::ask(Overlay::Choice(ChoiceBox {
        title: format!("Changed on both sides, {} of {}", place + 1, desk.lesson.apart().len()),
        advice: told(&desk.lesson, version),
        lines: vec![
            ("keep it as it is in the file".into(), pick(VersionPick::Leave)),
            ("take your unsaved version instead; undo takes it back".into(), pick(VersionPick::Take)),
            ("decide later; both versions stay".into(), pick(VersionPick::Later)),
        ],
        selected: 0,
    }))
}

/// Says what is in the file and what was not saved.
fn told(lesson: &EditedLesson, version: &Edit) -> String {
    let place = version.place().text(lesson.lesson());
    let Some(own) = lesson.lesson().own_version(version) else { return place };
    let found = differences(&own, version);
    if found.is_empty() {
        let is_taken_out = lesson.lesson().taking_over(version).is_some_and(|edit| edit.takes_out());
        return if is_taken_out {
            format!("{place}: you took it out, and it was changed in the file")
        } else {
            format!("{place}: you changed it, and it was taken out of the file")
        };
    }
    let mut lines = vec![place];
    for FieldDifference { field, one, other } in found.iter().take(SHOWN) {
        let value = |value: &Option<String>| value.clone().unwrap_or_else(|| "nothing".to_owned());
        lines.push(format!("{field}, in the file: {}", value(one)));
        lines.push(format!("{field}, yours: {}", value(other)));
    }
    if found.len() > SHOWN {
        lines.push(format!("and {} more differences", found.len() - SHOWN));
    }
    lines.join("\n")
}

/// Does what was picked for the thing at `place` of those that wait, and asks about the next.
pub fn take(state: &mut State, pick: VersionPick, place: usize) -> Reply {
    let Some(desk) = state.desk_mut() else { return Reply::nothing() };
    let Some(version) = desk.lesson.apart().get(place).cloned() else { return Reply::nothing() };
    let (notice, next) = match pick {
        VersionPick::Later => (None, place + 1),
        VersionPick::Leave => (Some(Notice::done("kept as it is in the file")), place),
        VersionPick::Take => {
            if let Some(edit) = desk.lesson.lesson().taking_over(&version) {
                let change = Transaction::one(Reason::TakeOver, edit).at(version.place());
                if let Err(error) = desk.lesson.change(change) {
                    return Reply::say(Notice::trouble(error.to_string()));
                }
            }
            (Some(Notice::done("your version is in its place; undo takes it back")), place)
        }
    };
    let mut reply = Reply { notice, ..Reply::nothing() };
    if pick != VersionPick::Later {
        desk.lesson.decide_on(place);
        reply.effect = Some(FileEffect::KeepApart(desk.lesson.apart().to_vec()).into());
    }
    if next < desk.lesson.apart().len() {
        reply.overlay = ask_from(state, next).overlay;
    }
    reply
}
