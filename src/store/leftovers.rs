//! What killed processes have left in a folder: files half written, journals half written anew, locks.
//!
//! Only what we name so is taken away, and only where the process that made it is gone: it does not run on this computer, and the
//! lock that it would hold is free, on whatever computer it runs. Where there are no locks, everything stays.

use std::fs;
use std::path::{Path, PathBuf};

use super::atomic::beside;
use super::disk::Disk;
use super::lesson_file::EXTENSION;
use super::lock::{self, Asked, Lock};
use super::temporary::{self, is_running};

/// What the name of a journal that is being written anew ends in.
const JOURNAL_PART: &str = "journal.part";

/// Takes away what killed processes have left in `folder`. What cannot be taken away stays.
pub fn clear(disk: &Disk, folder: &Path) {
    temporary::clear(disk, folder);
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.filter_map(Result::ok) {
        let is_hidden = entry.file_name().as_encoded_bytes().starts_with(b".");
        // A link is not ours, whatever it is called.
        if !is_hidden || !entry.file_type().is_ok_and(|kind| kind.is_file()) {
            continue;
        }
        let path = entry.path();
        if let Some(lesson) = beside(&path, JOURNAL_PART).filter(|lesson| is_lesson(lesson)) {
            clear_under_lock(disk, &lesson, Some(&path));
        } else if let Some((lesson, process)) = left_lock(&path)
            && !process.is_some_and(is_running)
        {
            clear_under_lock(disk, &lesson, None);
        }
    }
}

/// Returns what a lock file tells that is beside a lesson or beside a file of the user's own.
fn left_lock(path: &Path) -> Option<(PathBuf, Option<u32>)> {
    let own = |lesson: &Path| lesson.file_name().is_some_and(|name| name == "library.ron" || name == "settings.ron");
    lock::left_by(path).filter(|(lesson, _)| is_lesson(lesson) || own(lesson))
}

fn is_lesson(path: &Path) -> bool {
    path.file_name().and_then(|name| name.to_str()).is_some_and(|name| name.ends_with(EXTENSION))
}

/// Takes a lesson's lock for a moment, which takes a lock file away that was left, and with it what lies at `part`.
fn clear_under_lock(disk: &Disk, lesson: &Path, part: Option<&Path>) {
    if let Asked::Held(_lock) = Lock::ask_on(disk, lesson)
        && let Some(part) = part
    {
        let _ = disk.remove(part);
    }
}
