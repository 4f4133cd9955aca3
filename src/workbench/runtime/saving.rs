//! Where a lesson is saved when another place was typed, and the words for what went wrong with its file or its journal. Part
//! of the impure side: it asks for folders. Saving itself is not here; see [`session`](super::session).

use std::path::{Path, PathBuf};

use crate::store::fault::shown;
use crate::store::journal::JournalError;
use crate::store::lesson_file::{EXTENSION, SaveError};

/// Returns what is wrong with the journal and what to do about it, in words.
pub(super) fn with_hint(error: &JournalError) -> String {
    format!("{error}; {}", error.hint())
}

/// Says that a journal has stopped, for as long as it has.
pub(super) fn unprotected(error: &JournalError) -> String {
    format!("no journal, so that a crash would lose what is not saved; save the lesson ({error})")
}

/// Returns the file that a lesson is saved in where a folder or a file was typed; `~` is the home folder.
pub(super) fn lesson_path(typed: &Path, now: &Path) -> PathBuf {
    let home = directories::BaseDirs::new().map(|dirs| dirs.home_dir().to_owned());
    let path = match (typed.strip_prefix("~"), home) {
        (Ok(rest), Some(home)) => home.join(rest),
        _ => typed.to_owned(),
    };
    let is_folder = path.is_dir() || typed.as_os_str().as_encoded_bytes().ends_with(b"/");
    let name = now.file_name().unwrap_or_default();
    if is_folder {
        path.join(name)
    } else if path.to_string_lossy().ends_with(EXTENSION) {
        path
    } else {
        let mut named = path.into_os_string();
        named.push(EXTENSION);
        named.into()
    }
}

/// Returns why a lesson was not saved, in words without its path, since only one lesson is open.
pub(super) fn without_path(error: &SaveError) -> String {
    match error {
        SaveError::ReadOnly { reason, .. } => reason.clone(),
        SaveError::Write { source, .. } | SaveError::Unconfirmed { source, .. } => source.to_string(),
        SaveError::ChangedOnDisk { path }
        | SaveError::Gone { path }
        | SaveError::Exists { path }
        | SaveError::TooLarge { path } => {
            let told = error.to_string();
            told.strip_prefix(&format!("{}: ", shown(path))).unwrap_or(&told).to_owned()
        }
        SaveError::Unwritable { .. } => error.to_string(),
    }
}
