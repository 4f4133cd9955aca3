//! Names of files: those that are being typed, completed from outside, and those that are told.

use std::path::Path;

use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::state::State;

/// Takes a completed name of a file into the line where it is typed, unless that line was changed since.
pub fn take_completed(state: &mut State, typed: &str, completed: String, names: &[String]) -> PaneReply {
    const SHOWN: usize = 8;
    let Some(Overlay::Entry(entry)) = &mut state.overlay else { return PaneReply::nothing() };
    if entry.question.sought().is_none() || entry.line.text() != typed {
        return PaneReply::nothing();
    }
    entry.retype(completed);
    match names {
        [] => PaneReply::say(Notice::note("no file has a name that begins like this")),
        [_] => PaneReply::nothing(),
        several => {
            let shown = several.iter().take(SHOWN).cloned().collect::<Vec<String>>().join("  ");
            let more = several.len().saturating_sub(SHOWN);
            let more = match more {
                0 => String::new(),
                1 => "  and 1 more file".to_owned(),
                _ => format!("  and {more} more files"),
            };
            PaneReply::say(Notice::note(format!("{shown}{more}")))
        }
    }
}

/// Returns the name of a file whose folder is clear.
pub fn name_of(path: &Path) -> String {
    path.file_name().unwrap_or(path.as_os_str()).to_string_lossy().into_owned()
}
