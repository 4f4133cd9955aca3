//! What undo takes back behind a save: the last changes that led to what a lesson's file holds, kept in the program's own folder.
//!
//! It is a convenience, not a promise: where it cannot be written or read, was written by another version, or the file holds
//! anything else by now, undo ends at the save. It is written after the file, so that one that does not fit is known by the
//! fingerprint that it states.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use serde::{Deserialize, Serialize};

use super::atomic::replace_unsynced;
use super::disk::Disk;
use super::fingerprint::Fingerprint;
use super::folders::Folders;
use super::formats::LESSON_FORMAT;
use super::ron_file::{self, options};
use crate::lesson::history::Change;
use crate::lesson::id::LessonId;

/// What the names of these files end in.
const ENDING: &str = ".undo.ron";

/// The file, as it is written. The words of a change are those of the lesson format.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct UndoFile {
    format: u32,
    lesson: LessonId,
    /// The fingerprint of what the lesson's file holds, as text.
    saved: String,
    /// The changes in the order in which they were made, each as a text of its own.
    changes: Vec<String>,
}

/// The changes that led to what the file of a lesson holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct UndoFolder<'a> {
    folders: &'a Folders,
}

impl<'a> UndoFolder<'a> {
    /// The most changes that are kept of a lesson: more than anybody takes back one by one.
    pub const MOST: usize = 200;
    /// The most bytes of changes that are kept of a lesson: so much is written in no time.
    const LARGEST: usize = 1024 * 1024;
    /// The most lessons of which changes are kept; those that were saved longest ago go first.
    const LESSONS: usize = 50;

    /// Returns the folder among those of the user.
    pub const fn of(folders: &'a Folders) -> Self {
        Self { folders }
    }

    fn path(self, lesson: LessonId) -> PathBuf {
        self.folders.undo().join(format!("{lesson}{ENDING}"))
    }

    /// Keeps the last of the changes that led to `saved`, which is what the file of the lesson holds now.
    ///
    /// Where that fails, undo ends at this save: nothing else is lost.
    pub fn keep(self, lesson: LessonId, saved: Fingerprint, changes: &[Change]) {
        let disk = self.folders.disk();
        let path = self.path(lesson);
        let file = UndoFile { format: LESSON_FORMAT, lesson, saved: saved.to_string(), changes: last(changes) };
        if file.changes.is_empty() {
            // What lies there fits no more.
            if fs::symlink_metadata(&path).is_ok() {
                let _ = disk.remove(&path);
            }
            return;
        }
        let Ok(text) = options().to_string(&file) else { return };
        let folder = self.folders.undo();
        if disk.make_folder(&folder).is_err() {
            return;
        }
        if replace_unsynced(disk, &path, text.as_bytes()).is_ok() {
            clear_oldest(disk, &folder);
        }
    }

    /// Returns the changes that led to `saved`, which is what the file of the lesson holds; none where that is not known.
    pub fn left(self, lesson: LessonId, saved: Fingerprint) -> Vec<Change> {
        let Ok(bytes) = ron_file::read(&self.path(lesson), 4 * Self::LARGEST as u64) else { return Vec::new() };
        read(&bytes, lesson, saved).unwrap_or_default()
    }
}

/// Returns the changes in the text of such a file; `None` where they cannot be read or led to something else than `saved`.
pub fn read(bytes: &[u8], lesson: LessonId, saved: Fingerprint) -> Option<Vec<Change>> {
    let file: UndoFile = options().from_str(std::str::from_utf8(bytes).ok()?).ok()?;
    let fits = file.format == LESSON_FORMAT && file.lesson == lesson && file.saved == saved.to_string();
    if !fits {
        return None;
    }
    file.changes.iter().map(|change| options().from_str(change).ok()).collect()
}

/// Returns the last of the changes, as many as are kept, each as text.
fn last(changes: &[Change]) -> Vec<String> {
    let mut left = UndoFolder::LARGEST;
    let mut kept = Vec::new();
    for change in changes.iter().rev().take(UndoFolder::MOST) {
        let Ok(text) = options().to_string(change) else { break };
        let Some(rest) = left.checked_sub(text.len()) else { break };
        left = rest;
        kept.push(text);
    }
    kept.reverse();
    kept
}

/// Takes away what was kept longest ago, where there is more than is kept.
fn clear_oldest(disk: &Disk, folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    let is_ours = |entry: &fs::DirEntry| entry.file_name().to_string_lossy().ends_with(ENDING);
    let dated = |entry: fs::DirEntry| {
        let changed = entry.metadata().and_then(|metadata| metadata.modified()).unwrap_or(SystemTime::UNIX_EPOCH);
        (changed, entry.path())
    };
    let mut files: Vec<(SystemTime, PathBuf)> = entries.filter_map(Result::ok).filter(is_ours).map(dated).collect();
    files.sort();
    let over = files.len().saturating_sub(UndoFolder::LESSONS);
    for (_, path) in files.into_iter().take(over) {
        let _ = disk.remove(&path);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lesson::document::{Header, Lesson};
    use crate::lesson::edit::Edit;
    use crate::lesson::history::{Reason, Transaction};

    const LESSON: LessonId = LessonId::new([7; LessonId::BYTES]);

    fn changes(count: usize) -> Vec<Change> {
        let mut lesson = Lesson::default();
        let titled = |title: String| Edit::Header(Header { title, ..Header::default() });
        let change = |number: usize| Transaction::one(Reason::EditHeader, titled(format!("title {number}")));
        (0..count).map(|number| Change::make(&mut lesson, change(number)).unwrap()).collect()
    }

    #[test]
    fn the_last_changes_are_known_where_the_file_holds_what_they_led_to() {
        let home = tempfile::tempdir().unwrap();
        let folders = Folders::under(home.path());
        let kept = UndoFolder::of(&folders);
        let (saved, other) = (Fingerprint::of(b"saved"), Fingerprint::of(b"other"));
        assert_eq!(kept.left(LESSON, saved), []);
        let changes = changes(UndoFolder::MOST + 3);
        kept.keep(LESSON, saved, &changes);
        assert_eq!(kept.left(LESSON, saved), changes[3..]);
        assert_eq!(kept.left(LESSON, other), [], "another program has written the file");
        assert_eq!(kept.left(LessonId::new([8; LessonId::BYTES]), saved), []);
        // A save behind which nothing can be taken back.
        kept.keep(LESSON, other, &[]);
        assert_eq!(kept.left(LESSON, saved), []);
    }

    #[test]
    fn what_was_cut_off_or_written_by_another_version_is_passed_over() {
        let home = tempfile::tempdir().unwrap();
        let folders = Folders::under(home.path());
        let kept = UndoFolder::of(&folders);
        let saved = Fingerprint::of(b"saved");
        kept.keep(LESSON, saved, &changes(2));
        let text = fs::read_to_string(kept.path(LESSON)).unwrap();
        assert!(read(text.as_bytes(), LESSON, saved).is_some());
        let newer = text.replacen(&format!("format:{LESSON_FORMAT}"), "format:99", 1);
        assert_ne!(newer, text);
        for damaged in [newer.as_str(), &text[..text.len() - 9], &text.replace("title 1\\\"", "title"), ""] {
            assert_eq!(read(damaged.as_bytes(), LESSON, saved), None, "{damaged}");
        }
    }

    #[test]
    fn only_so_many_lessons_are_remembered() {
        let home = tempfile::tempdir().unwrap();
        let folders = Folders::under(home.path());
        let kept = UndoFolder::of(&folders);
        let saved = Fingerprint::of(b"saved");
        for number in 0..60 {
            kept.keep(LessonId::new([number; LessonId::BYTES]), saved, &changes(1));
        }
        assert_eq!(fs::read_dir(folders.undo()).unwrap().count(), UndoFolder::LESSONS);
    }
}
