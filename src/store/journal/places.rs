//! Where the journal of a lesson may lie, and how it is found again when the lesson has another name.

use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};

use super::lines::Lines;
use super::on_file::LARGEST;
use crate::lesson::id::LessonId;
use crate::store::atomic::{folder_of, sibling};
use crate::store::disk::Disk;
use crate::store::fingerprint::Fingerprint;
use crate::store::folders::Folders;
use crate::store::lesson_file::{self, IdentityFrom};
use crate::store::lock::{Asked, Lock};
use crate::store::ron_file;
use crate::store::settings::Settings;

/// What the name of a journal ends in.
const ENDING: &str = ".journal";

/// Where the program may keep journals besides the folders of the lessons, and where else to look for one.
#[derive(Debug, Clone, Default)]
pub struct Refuge {
    /// The folder for journals that cannot lie beside their lesson.
    pub folder: Option<PathBuf>,
    /// Folders that a lesson may have been moved from.
    pub earlier: Vec<PathBuf>,
}

impl Refuge {
    /// Returns the refuge of the user: a folder beside the library, and the folders of the lessons opened last.
    pub fn of_user() -> Self {
        Folders::of_user().as_ref().map_or_else(Self::default, Self::of)
    }

    /// Returns the refuge of a user with these folders.
    pub fn of(folders: &Folders) -> Self {
        let recent = Settings::load(folders).0.recent;
        let earlier = recent.iter().filter_map(|path| path.parent().map(Path::to_owned)).collect();
        Self { folder: Some(folders.journals()), earlier }
    }
}

/// Where the journal of one lesson may lie.
#[derive(Debug, Clone)]
pub(super) struct JournalPlaces {
    /// The lesson's file.
    pub lesson: PathBuf,
    /// Which lesson it is.
    pub identity: Option<LessonId>,
    /// Beside the lesson.
    pub beside: PathBuf,
    /// In the program's own folder, where it has one.
    pub elsewhere: Option<PathBuf>,
}

impl JournalPlaces {
    pub fn of(lesson: &Path, identity: Option<LessonId>, refuge: &Refuge) -> Self {
        let name = |folder: &PathBuf| folder.join(format!("{}{}", prefix(identity), name_elsewhere(lesson)));
        Self {
            lesson: lesson.to_owned(),
            identity,
            beside: beside(lesson),
            elsewhere: refuge.folder.as_ref().map(name),
        }
    }

    /// Returns every place, the first choice first.
    pub fn all(&self) -> impl Iterator<Item = &Path> {
        std::iter::once(self.beside.as_path()).chain(self.elsewhere.as_deref())
    }

    /// Returns the journals that lie at these places, and if there are none, those of the same lesson under a name that no file
    /// has any more.
    pub fn found(&self, disk: &Disk, refuge: &Refuge) -> Vec<PathBuf> {
        let own: Vec<PathBuf> =
            self.all().filter(|path| fs::symlink_metadata(path).is_ok()).map(Path::to_owned).collect();
        let Some(identity) = self.identity.filter(|_| own.is_empty()) else { return own };
        let mut folders = vec![folder_of(&self.lesson)];
        folders.extend(refuge.earlier.iter().map(PathBuf::as_path));
        let mut found: Vec<PathBuf> = folders.into_iter().flat_map(|folder| names_in(folder, ".")).collect();
        found.extend(refuge.folder.iter().flat_map(|folder| names_in(folder, &prefix(Some(identity)))));
        found.retain(|path| is_left(disk, path, identity));
        found.sort();
        found.dedup();
        found
    }
}

/// Returns the place of the journal beside the lesson at `lesson`.
pub(super) fn beside(lesson: &Path) -> PathBuf {
    sibling(lesson, "journal")
}

/// Returns what the names of a lesson's journals begin with in the program's own folder.
fn prefix(identity: Option<LessonId>) -> String {
    identity.map_or_else(|| "lesson-".to_owned(), |identity| format!("{identity}-"))
}

/// Returns the rest of the name: copies of a lesson have one identity and several paths.
fn name_elsewhere(lesson: &Path) -> String {
    format!("{:016x}{ENDING}", Fingerprint::of(lesson.as_os_str().as_encoded_bytes()).short())
}

/// Returns whether a journal is of this lesson, and was left behind: the file beside which it was written is not there any more
/// and open in no window.
fn is_left(disk: &Disk, journal: &Path, identity: LessonId) -> bool {
    let Ok(bytes) = ron_file::read(journal, LARGEST) else { return false };
    let first = Lines::of(bytes.split_inclusive(|byte| *byte == b'\n').next().unwrap_or_default());
    first.lesson == Some(identity) && first.path.is_some_and(|lesson| is_left_behind(disk, &lesson, identity))
}

/// Returns whether what lies beside the file at `lesson` was left behind by the lesson `identity`: that is not there any more and open in
/// no window.
pub fn is_left_behind(disk: &Disk, lesson: &Path, identity: LessonId) -> bool {
    let is_gone = fs::symlink_metadata(lesson).is_err() || is_another(lesson, identity);
    is_gone && !matches!(Lock::ask_on(disk, lesson), Asked::Elsewhere(_))
}

/// Returns whether the lesson that lies under a name now is not the one that lay there.
fn is_another(lesson: &Path, identity: LessonId) -> bool {
    lesson_file::load(lesson).is_ok_and(|read| read.identity == IdentityFrom::File && read.lesson.id != Some(identity))
}

fn names_in(folder: &Path, beginning: &str) -> impl Iterator<Item = PathBuf> + use<> {
    let is_journal = {
        let beginning = beginning.to_owned();
        move |name: &OsStr| name.to_str().is_some_and(|name| name.starts_with(&beginning) && name.ends_with(ENDING))
    };
    let entries = fs::read_dir(folder).into_iter().flatten().filter_map(Result::ok);
    entries.map(|entry| entry.path()).filter(move |path| path.file_name().is_some_and(&is_journal))
}
