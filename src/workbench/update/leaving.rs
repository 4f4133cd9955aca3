//! Saving, and leaving the lesson or the program: nothing that was written goes without a question.

use crate::store::open_lesson::Access;
use crate::workbench::boxes::choice::ChoiceBox;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::boxes::typed_line::EntryBox;
use crate::workbench::editing::edited_lesson::Protection;
use crate::workbench::messages::effect::{FileEffect, TerminalEffect};
use crate::workbench::messages::message::SavedFile;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::timeline::taking_answers::take_written;
use crate::workbench::questions::pick::Pick;
use crate::workbench::questions::program::{AfterSave, ProgramPick, ProgramQuestion, SaveAs};
use crate::workbench::state::{State, View};
use crate::workbench::update::draft;
use crate::workbench::update::file_names::name_of;
use crate::workbench::update::taking_over::Whereabouts;

/// What there is to say in a question of somebody who leaves, where words or fingers could not be kept.
const AT_RISK: &str = "What is in an open box or on the fretboard could not be kept: it is lost.";

/// Quits or closes the lesson, after a question where something is not saved.
pub fn leave(state: &mut State, then: AfterSave) -> PaneReply {
    keep_what_is_written(state);
    if matches!(state.overlay, Some(Overlay::Entry(_) | Overlay::Marks(_) | Overlay::Preview(_))) {
        state.laid_aside.extend(state.overlay.take());
    }
    let (word, unsaved) = match then {
        AfterSave::Quit => ("quit", Pick::Program(ProgramPick::QuitUnsaved)),
        AfterSave::Close | AfterSave::Stay => ("close the lesson", Pick::Program(ProgramPick::CloseUnsaved)),
    };
    let stay = ("stay here".to_owned(), Pick::Nothing);
    let at_risk = draft::is_at_risk(state);
    let Some(desk) = state.desk().filter(|desk| !desk.lesson.is_saved()) else {
        if !at_risk {
            return leave_now(state, then);
        }
        let lines = vec![(format!("{word}; it is LOST"), unsaved), stay];
        return PaneReply::ask(Overlay::Choice(ChoiceBox::new("Not everything could be kept", AT_RISK, lines)));
    };
    let can_save = matches!(desk.lesson.access(), Access::Full);
    let save = can_save.then(|| (format!("save, then {word}"), Pick::Program(ProgramPick::SaveAnd(then))));
    let (advice, elsewhere, waits) = match desk.lesson.protection() {
        Protection::Journal if at_risk => {
            (AT_RISK.to_owned(), None, "the changes wait in the journal and come back next time")
        }
        Protection::Journal => (String::new(), None, "the changes wait in the journal and come back next time"),
        Protection::Nothing(why) => {
            let advice = if at_risk { format!("{why} {AT_RISK}") } else { why.clone() };
            let elsewhere = ("save in another place...".to_owned(), Pick::Program(ProgramPick::AskWhere(then)));
            (advice, Some(elsewhere), "what is not in the journal is LOST")
        }
    };
    let leave = (format!("{word}; {waits}"), unsaved);
    let discard = ("delete the changes...".to_owned(), Pick::Program(ProgramPick::AskToDiscard(then)));
    PaneReply::ask(Overlay::Choice(ChoiceBox::new(
        "Not everything is saved",
        advice,
        save.into_iter().chain(elsewhere).chain([leave, discard, stay]).collect(),
    )))
}

/// Takes talking points that are being written into the lesson.
pub fn keep_what_is_written(state: &mut State) -> PaneReply {
    let Some(Overlay::Points(points)) = state.overlay.take_if(|overlay| matches!(overlay, Overlay::Points(_))) else {
        return PaneReply::nothing();
    };
    state.desk_mut().map_or_else(PaneReply::nothing, |desk| take_written(&mut desk.lesson, &points))
}

/// Quits or closes the lesson without asking.
pub fn leave_now(state: &mut State, then: AfterSave) -> PaneReply {
    if then != AfterSave::Stay {
        draft::leave_behind(state);
    }
    match then {
        AfterSave::Quit => PaneReply::want(TerminalEffect::Quit),
        AfterSave::Close => {
            if let Some(desk) = state.desk() {
                let title = desk.lesson.lesson().header.title.clone();
                let path = desk.lesson.path().to_owned();
                state.start.remember(&title, &path);
            }
            let left = state.desk().and_then(Whereabouts::left_at);
            state.view = View::Start;
            state.playback.playing = None;
            state.overlay = None;
            state.laid_aside.clear();
            PaneReply::want(FileEffect::Close(left))
        }
        AfterSave::Stay => PaneReply::nothing(),
    }
}

/// Asks what to do when the file is no longer the one that was opened.
pub fn conflict(state: &mut State, what: String) -> PaneReply {
    let mut kept = "do not save now".to_owned();
    if let Some(desk) = state.desk_mut() {
        desk.lesson.fail_saving();
        if *desk.lesson.protection() == Protection::Journal {
            kept.push_str("; the changes stay in the journal");
        }
    }
    PaneReply::ask(Overlay::Choice(ChoiceBox::new(
        "The file has changed",
        what,
        vec![
            ("save as a new file; both versions stay".into(), Pick::Program(ProgramPick::Save(SaveAs::NewFile))),
            ("overwrite it".into(), Pick::Program(ProgramPick::Save(SaveAs::Over))),
            (kept, Pick::Nothing),
        ],
    )))
}

/// Takes in that the lesson was saved, and leaves it if that was asked for; or that it was not.
pub fn saved(state: &mut State, outcome: Result<SavedFile, String>) -> PaneReply {
    let then = std::mem::take(&mut state.after_save);
    let typed = state.overlay.as_ref().and_then(Overlay::kept_by);
    let without = typed.map_or_else(String::new, |key| format!(", without what is typed here: {key} first"));
    let Some(desk) = state.desk_mut() else { return PaneReply::nothing() };
    match outcome {
        Ok(SavedFile { path, renewed }) => {
            let text = format!("saved in {}{without}", name_of(&path));
            desk.lesson.end_saving(path);
            let reply = leave_now(state, then);
            let notice = match renewed.told() {
                None => Notice::done(text),
                Some(more) => Notice::note(format!("{text}; {more}")),
            };
            PaneReply { notice: Some(notice), ..reply }
        }
        Err(error) => {
            desk.lesson.fail_saving();
            let said = match desk.lesson.protection() {
                Protection::Journal => format!("not saved: {error}; the changes are in the journal"),
                Protection::Nothing(_) => format!("not saved, and not in the journal either: {error}"),
            };
            let nowhere = *desk.lesson.protection() != Protection::Journal;
            // Whoever wanted to leave is asked again, now with another place to save in.
            let asked = if nowhere || then != AfterSave::Stay { Some(where_else(then, &said)) } else { None };
            PaneReply { overlay: asked, ..PaneReply::say(Notice::trouble(said)) }
        }
    }
}

/// Offers another place for a lesson that could not be saved.
fn where_else(then: AfterSave, why: &str) -> Overlay {
    Overlay::Choice(ChoiceBox::new(
        "The lesson could not be saved",
        why,
        vec![
            ("save in another place...".into(), Pick::Program(ProgramPick::AskWhere(then))),
            ("try again".into(), Pick::Program(ProgramPick::SaveAnd(then))),
            ("stay here".into(), Pick::Nothing),
        ],
    ))
}

/// Asks for another place to save in.
pub fn ask_where(state: &State, then: AfterSave) -> PaneReply {
    let name = state.desk().map(|desk| name_of(desk.lesson.path())).unwrap_or_default();
    PaneReply::ask(Overlay::Entry(EntryBox::new(
        ProgramQuestion::SaveWhere(then),
        "Save in another place",
        "a folder on another disk or USB stick, with or without a file name; {Entry(Complete)} completes",
        format!("~/{name}"),
    )))
}

/// Asks the runtime to save the lesson in the place that was typed; after that it is left.
///
/// Errors: nothing was typed.
pub fn save_where(state: &mut State, then: AfterSave, text: &str) -> Result<PaneReply, String> {
    if text.trim().is_empty() {
        return Err("type the path of a folder or a file".to_owned());
    }
    let Some(desk) = state.desk_mut() else { return Ok(PaneReply::nothing()) };
    let reply = desk.save_at(text.trim().into());
    state.after_save = then;
    Ok(reply)
}

/// Takes note that what is not saved would not survive a crash; it stays on the screen until it would.
pub fn unprotected(state: &mut State, why: String) -> PaneReply {
    let Some(desk) = state.desk_mut() else { return PaneReply::nothing() };
    let is_news = *desk.lesson.protection() == Protection::Journal;
    desk.lesson.protect(Protection::Nothing(why.clone()));
    if is_news { PaneReply::say(Notice::trouble(why)) } else { PaneReply::nothing() }
}

/// Takes note that what is not saved would survive a crash again.
pub fn protected(state: &mut State) -> PaneReply {
    let Some(desk) = state.desk_mut() else { return PaneReply::nothing() };
    desk.lesson.protect(Protection::Journal);
    PaneReply::say(Notice::done("the journal works again, and holds all that is not saved"))
}

/// Has the lesson saved, and then left.
pub fn save_and(state: &mut State, then: AfterSave) -> PaneReply {
    state.after_save = then;
    save(state, SaveAs::Itself)
}

/// Has the lesson saved.
pub fn save(state: &mut State, to: SaveAs) -> PaneReply {
    state.desk_mut().map_or_else(PaneReply::nothing, |desk| desk.save(to))
}

/// Asks once more whether all changes are to be thrown away.
pub fn ask_to_discard(then: AfterSave) -> PaneReply {
    PaneReply::ask(Overlay::Choice(ChoiceBox::new(
        "Delete the changes?",
        "Everything changed since the last save is lost for good.",
        vec![
            ("no, stay here".into(), Pick::Nothing),
            ("yes, delete the changes".into(), Pick::Program(ProgramPick::Discard(then))),
        ],
    )))
}

/// Has the changes thrown away; the lesson is left when they are gone.
pub fn discard(state: &mut State, then: AfterSave) -> PaneReply {
    state.after_save = then;
    PaneReply::want(FileEffect::Discard)
}

/// Leaves when the changes are gone that were to be thrown away, or says why they are not.
pub fn discarded(state: &mut State, outcome: Result<(), String>) -> PaneReply {
    let then = std::mem::take(&mut state.after_save);
    let reply = leave_now(state, then);
    let notice = match outcome {
        Ok(()) => Notice::done("the changes were deleted"),
        // A note is also printed when the program is left.
        Err(why) => Notice::note(why),
    };
    PaneReply { notice: Some(notice), ..reply }
}
