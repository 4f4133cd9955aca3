//! A lesson that is being worked on: its file, its lock, its journal, and what there is to say about them.

use std::fmt;
use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use super::atomic::{folder_of, real_path};
use super::disk::Disk;
use super::fault::shown;
use super::fingerprint::Fingerprint;
use super::formats::LESSON_FORMAT;
use super::journal::{
    CutOff, FileSince, Journal, JournalError, Kept, OnFile, Recovered, Refuge, Unsynced, look_for_unsaved,
};
use super::leftovers;
use super::lesson_file::{
    self, Comments, EXTENSION, IdentityFrom, LARGEST, LoadError, Loaded, Origin, Replace, SaveError,
};
use super::lock::{Asked, Holder, Lock};
use super::ron_file;
use crate::lesson::document::Lesson;
use crate::lesson::edit::Edit;
use crate::lesson::history::Transaction;
use crate::lesson::id::LessonId;

/// The file side of a lesson that is being worked on. The lesson itself is its owner's.
///
/// Dropping it lets go of the lock and leaves unsaved changes in the journal, where the next
/// opening finds them; [`OpenLesson::discard`] throws them away.
#[derive(Debug)]
pub struct OpenLesson {
    disk: Disk,
    path: PathBuf,
    refuge: Refuge,
    fingerprint: Fingerprint,
    access: Access,
    journal: Option<Journal>,
    notices: Vec<OpeningNotice>,
    /// The format that the file has.
    origin: Origin,
    // Last, so that the lock goes after everything it protects.
    lock: Option<Lock>,
}

/// A lesson with its file.
#[derive(Debug)]
pub struct Opened {
    /// The lesson as it stands, changes recovered from the journal included.
    pub lesson: Lesson,
    /// Whether it differs from the file.
    pub state: SavedState,
    /// The file.
    pub file: OpenLesson,
}

/// Whether a lesson is as its file has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SavedState {
    /// It is.
    Saved,
    /// Changes were recovered that are not saved yet.
    Unsaved,
}

/// What may be done with the file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Access {
    /// Read and save.
    Full,
    /// Read; saving only under another name.
    ReadOnly(ReadOnly),
}

/// Why a lesson is for reading only.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ReadOnly {
    /// Another window has it open.
    OpenElsewhere(Holder),
    /// A newer version wrote it.
    NewerFormat(u32),
    /// The file is write-protected.
    Protected,
    /// Nothing may be written in its folder.
    FolderProtected,
}

impl fmt::Display for ReadOnly {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OpenElsewhere(holder) => write!(f, "it is open in {holder}"),
            Self::NewerFormat(format) => {
                write!(
                    f,
                    "its file version is {format}, from a newer fingerpost, and saving would lose what version {LESSON_FORMAT} cannot hold"
                )
            }
            Self::Protected => f.write_str("the file is write-protected"),
            Self::FolderProtected => f.write_str("nothing may be written in its folder"),
        }
    }
}

/// Whether a save has changed the format of the file.
///
/// Opening a file of an older format changes nothing and loses nothing, so that nothing is said of it. The first save is
/// what there is no way back from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FormatRenewal {
    /// It has the format that it had.
    No,
    /// It had an older format and has today's, which older versions cannot read.
    FromOlder,
}

impl FormatRenewal {
    /// Returns what there is to tell of it, once.
    pub const fn told(self) -> Option<&'static str> {
        match self {
            Self::No => None,
            Self::FromOlder => Some(
                "until now it was as an older version of fingerpost wrote it; older versions cannot open it any more",
            ),
        }
    }
}

/// Something to tell once, after opening.
#[derive(Debug, Clone, PartialEq)]
pub enum OpeningNotice {
    /// The lesson is for reading only.
    ReadOnly(ReadOnly),
    /// Changes were brought back after a crash.
    Recovered(Recovered),
    /// A journal could not be used, or not all of it.
    JournalKept(Kept),
    /// There are changes from a crash, but not for a lesson that is for reading only.
    JournalWaits,
    /// The last change before a crash was not written to its end.
    LastChangeCutOff,
    /// There is no protection against a second window here.
    NoLock,
    /// The file holds comments, which a save would drop.
    CommentsWillGo,
}

impl fmt::Display for OpeningNotice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::ReadOnly(why) => write!(f, "opened for reading only: {why}"),
            Self::Recovered(recovered) => {
                if recovered.file == FileSince::Changed {
                    f.write_str("another program has changed the file; ")?;
                }
                if !recovered.reasons.is_empty() {
                    write!(f, "brought back {}", counted(recovered.reasons.len(), "unsaved change"))?;
                    if let Some(last) = recovered.reasons.last() {
                        write!(f, " (the last: {})", last.label())?;
                    }
                    f.write_str("; save to keep them")?;
                }
                if !recovered.apart.is_empty() {
                    let joined = if recovered.reasons.is_empty() { "" } else { "; " };
                    let waiting = counted(recovered.apart.len(), "thing");
                    write!(f, "{joined}{waiting} changed on both sides: choose which version stays")?;
                }
                Ok(())
            }
            Self::JournalKept(Kept { why, path }) => {
                write!(f, "unsaved changes could not be brought back, because {}; ", why.sentence())?;
                match path {
                    Some(path) => write!(f, "their journal is kept as {}", shown(path))?,
                    None => f.write_str("until the journal is moved away, only saving protects your changes")?,
                }
                why.remedy().map_or(Ok(()), |remedy| write!(f, "; {remedy}"))
            }
            Self::JournalWaits => f.write_str(
                "there are unsaved changes from an earlier session; open the lesson for writing to bring them back",
            ),
            Self::LastChangeCutOff => f.write_str("the very last change was not completely written and is lost"),
            Self::NoLock => f.write_str("no lock can be set here: take care not to open the lesson in two windows at once"),
            Self::CommentsWillGo => {
                f.write_str("the file holds comments written by hand, and saving does not keep them; to keep them, save under another name")
            }
        }
    }
}

impl OpenLesson {
    /// Opens the lesson at `path`: takes its lock, reads it, brings back what a crash left unsaved.
    ///
    /// A lesson that is open in another window, cannot be written, or comes from a newer version
    /// opens for reading only.
    ///
    /// Errors: the file cannot be read as a lesson, as for [`lesson_file::load`].
    pub fn open(path: &Path) -> Result<Opened, LoadError> {
        Self::open_on(&Disk::real(), path)
    }

    /// Opens the lesson at `path` on this disk; see [`OpenLesson::open`].
    ///
    /// Errors: those of [`OpenLesson::open`].
    pub fn open_on(disk: &Disk, path: &Path) -> Result<Opened, LoadError> {
        Self::open_with(disk, path, &Refuge::default())
    }

    /// Opens the lesson at `path` on this disk, with a refuge for journals that cannot lie beside it; see [`OpenLesson::open`].
    ///
    /// Errors: those of [`OpenLesson::open`].
    pub fn open_with(disk: &Disk, path: &Path, refuge: &Refuge) -> Result<Opened, LoadError> {
        let path = real_path(path);
        leftovers::clear(disk, folder_of(&path));
        // Asked for before reading, so that nobody saves in between; but not beside what is no file.
        if !fs::metadata(&path).is_ok_and(|metadata| metadata.is_file()) {
            lesson_file::load(&path)?;
        }
        let mut notices = Vec::new();
        let mut access = Access::Full;
        let lock = match Lock::ask_on(disk, &path) {
            Asked::Held(lock) => Some(lock),
            Asked::Elsewhere(holder) => {
                access = Access::ReadOnly(ReadOnly::OpenElsewhere(holder));
                None
            }
            Asked::NoLock { .. } => {
                notices.push(OpeningNotice::NoLock);
                None
            }
            Asked::NotAllowed { .. } => {
                access = Access::ReadOnly(ReadOnly::FolderProtected);
                None
            }
        };
        let (loaded, on_file) = read_whole(&path)?;
        if let Origin::Newer { format } = loaded.origin {
            access = Access::ReadOnly(ReadOnly::NewerFormat(format));
        }
        if loaded.comments == Comments::ByHand && access == Access::Full {
            notices.push(OpeningNotice::CommentsWillGo);
        }
        if access == Access::Full && fs::metadata(&path).is_ok_and(|metadata| metadata.permissions().readonly()) {
            access = Access::ReadOnly(ReadOnly::Protected);
        }
        let mut lesson = loaded.lesson;
        let mut state = SavedState::Saved;
        let journal = match &access {
            Access::ReadOnly(why) => {
                let waits = fs::symlink_metadata(Journal::path_for(&path)).is_ok();
                if waits && !matches!(why, ReadOnly::OpenElsewhere(_)) {
                    notices.push(OpeningNotice::JournalWaits);
                }
                notices.push(OpeningNotice::ReadOnly(why.clone()));
                None
            }
            Access::Full => {
                let (journal, recovered) = Journal::recover(disk, &path, refuge, on_file, &mut lesson);
                if !recovered.reasons.is_empty() {
                    state = SavedState::Unsaved;
                }
                tell(recovered, &mut notices);
                Some(journal)
            }
        };
        let (disk, refuge) = (disk.clone(), refuge.clone());
        let (fingerprint, origin) = (loaded.fingerprint, loaded.origin);
        let file = Self { disk, path, refuge, fingerprint, access, journal, notices, origin, lock };
        Ok(Opened { lesson, state, file })
    }

    /// Makes a new file for `lesson`; there must be none of that name yet.
    ///
    /// Errors: there is a file of that name, it is open elsewhere, or it cannot be written.
    pub fn create(path: &Path, lesson: &Lesson) -> Result<Self, SaveError> {
        Self::create_on(&Disk::real(), path, lesson)
    }

    /// Makes a new file for `lesson` on this disk; see [`OpenLesson::create`].
    ///
    /// Errors: those of [`OpenLesson::create`].
    pub fn create_on(disk: &Disk, path: &Path, lesson: &Lesson) -> Result<Self, SaveError> {
        Self::create_with(disk, path, lesson, &Refuge::default())
    }

    /// Makes a new file for `lesson` on this disk, with a refuge for journals that cannot lie beside it; see
    /// [`OpenLesson::create`].
    ///
    /// Errors: those of [`OpenLesson::create`].
    pub fn create_with(disk: &Disk, path: &Path, lesson: &Lesson, refuge: &Refuge) -> Result<Self, SaveError> {
        Self::save_at(disk, path, lesson, Replace::Nothing, refuge)
    }

    /// Returns the path of the file, symbolic links followed.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Returns which lesson it is, where that is known; `None` for one that is for reading only.
    pub fn identity(&self) -> Option<LessonId> {
        self.journal.as_ref().and_then(Journal::lesson)
    }

    /// Returns the fingerprint of what the file held when it was read or saved last.
    pub const fn fingerprint(&self) -> Fingerprint {
        self.fingerprint
    }

    /// Returns what may be done with the file.
    pub const fn access(&self) -> &Access {
        &self.access
    }

    /// Returns what there was to tell when the lesson was opened.
    pub fn notices(&self) -> &[OpeningNotice] {
        &self.notices
    }

    /// Returns what was brought back from the journal when the lesson was opened, if anything was.
    pub fn recovered(&self) -> Option<&Recovered> {
        self.notices.iter().find_map(|notice| match notice {
            OpeningNotice::Recovered(recovered) => Some(recovered),
            OpeningNotice::ReadOnly(_)
            | OpeningNotice::JournalKept(_)
            | OpeningNotice::JournalWaits
            | OpeningNotice::LastChangeCutOff
            | OpeningNotice::NoLock
            | OpeningNotice::CommentsWillGo => None,
        })
    }

    /// Returns whether another program has changed or removed the file since it was read or saved.
    pub fn differs_on_disk(&self) -> bool {
        !ron_file::read(&self.path, lesson_file::LARGEST).is_ok_and(|bytes| Fingerprint::of(&bytes) == self.fingerprint)
    }

    /// Returns whether there is no file any more where the lesson lay.
    pub fn is_gone(&self) -> bool {
        fs::symlink_metadata(&self.path).is_err_and(|error| error.kind() == ErrorKind::NotFound)
    }

    /// Returns the file in the same folder that holds what the lesson's file held last: it has another name now.
    pub fn renamed_to(&self) -> Option<PathBuf> {
        /// Nobody keeps more lessons in a folder and waits for an answer.
        const MOST: usize = 500;
        let is_lesson = |path: &PathBuf| path.to_string_lossy().ends_with(EXTENSION);
        let files = fs::read_dir(folder_of(&self.path)).ok()?.filter_map(|entry| Some(entry.ok()?.path()));
        let holds_it = |path: &PathBuf| {
            ron_file::read(path, LARGEST).is_ok_and(|bytes| Fingerprint::of(&bytes) == self.fingerprint)
        };
        files.filter(is_lesson).take(MOST).find(holds_it)
    }

    /// Writes a change, which has been applied already, to the journal. Undoing and redoing are
    /// changes too. A lesson that is for reading only keeps no journal.
    ///
    /// Errors: the change cannot be written; it is then not safe before the next save.
    pub fn record(&mut self, change: &Transaction) -> Result<(), JournalError> {
        self.journal.as_mut().map_or(Ok(()), |journal| journal.append(change))
    }

    /// Tries to bring all that is not saved into the journal again, where it has stopped.
    ///
    /// Errors: it cannot be written yet.
    pub fn retry(&mut self) -> Result<(), JournalError> {
        self.journal.as_mut().map_or(Ok(()), Journal::retry)
    }

    /// Returns whether there are changes that are neither in the file nor in the journal.
    pub fn is_unprotected(&self) -> bool {
        self.journal.as_ref().is_some_and(Journal::is_stopped)
    }

    /// Returns the versions that wait to be decided about, since another program has changed the same things.
    pub fn apart(&self) -> &[Edit] {
        self.journal.as_ref().map_or(&[], Journal::apart)
    }

    /// Keeps these versions until they are decided about.
    ///
    /// Errors: the journal cannot be written.
    pub fn keep_apart(&mut self, apart: Vec<Edit>) -> Result<(), JournalError> {
        self.journal.as_mut().map_or(Ok(()), |journal| journal.keep_apart(apart))
    }

    /// Waits until the journal has reached the disk itself; before leaving.
    ///
    /// Errors: the disk did not confirm it; after a power cut, changes may be missing.
    pub fn sync(&mut self) -> Result<(), JournalError> {
        self.journal.as_mut().map_or(Ok(()), Journal::sync)
    }

    /// Returns whether the journal holds changes that may not have reached the disk itself.
    pub fn is_unsynced(&self) -> bool {
        self.journal.as_ref().is_some_and(Journal::is_unsynced)
    }

    /// Returns what is to be waited for until the journal has reached the disk itself, to be done by whoever has the time;
    /// for quiet moments.
    pub fn take_unsynced(&mut self) -> Option<Unsynced> {
        self.journal.as_mut().and_then(Journal::take_unsynced)
    }

    /// Saves the lesson, unless another program has changed the file in the meantime. Returns whether that was the save
    /// that changed the format of the file.
    ///
    /// Errors: the lesson is for reading only, another program has changed the file, or it cannot be written.
    pub fn save(&mut self, lesson: &Lesson) -> Result<FormatRenewal, SaveError> {
        self.save_over(lesson, Replace::Unchanged(self.fingerprint))
    }

    /// Saves the lesson whatever lies in the file: the teacher has been asked. Returns what [`OpenLesson::save`] does.
    ///
    /// Errors: the lesson is for reading only, or it cannot be written.
    pub fn overwrite(&mut self, lesson: &Lesson) -> Result<FormatRenewal, SaveError> {
        self.save_over(lesson, Replace::Anything)
    }

    /// Saves the lesson under another name and goes on with that file. The old file stays as it was
    /// last saved, in its format. Returns what [`OpenLesson::save`] does.
    ///
    /// Errors: what is there may not be replaced or is open elsewhere, or the lesson cannot be written; the file that
    /// was open stays open.
    pub fn save_as(&mut self, path: &Path, lesson: &Lesson, replace: Replace) -> Result<FormatRenewal, SaveError> {
        if real_path(path) == self.path {
            return self.save_over(lesson, replace);
        }
        let next = Self::save_at(&self.disk, path, lesson, replace, &self.refuge)?;
        // Everything is in the new file, so the old one's journal has nothing more to protect.
        if let Some(journal) = &mut self.journal {
            // One that stays is brought back with the old file; the new one is saved all the same.
            let _ = journal.discard();
        }
        *self = next;
        Ok(FormatRenewal::No)
    }

    /// Closes the file and throws unsaved changes away: the teacher has been asked.
    ///
    /// Errors: the journal cannot be removed, and will be brought back.
    pub fn discard(mut self) -> Result<(), JournalError> {
        self.journal.as_mut().map_or(Ok(()), Journal::discard)
    }

    fn save_over(&mut self, lesson: &Lesson, replace: Replace) -> Result<FormatRenewal, SaveError> {
        if let Access::ReadOnly(why) = &self.access {
            return Err(SaveError::ReadOnly { path: self.path.clone(), reason: why.to_string() });
        }
        let text = lesson_file::to_checked_text(lesson)?;
        let next = Fingerprint::of(text.as_bytes());
        if let Some(journal) = &mut self.journal {
            // If this line cannot be written, a crash right after the save would leave a journal that
            // is kept aside instead of one known to be saved; no reason not to save.
            let _ = journal.about_to_save(next);
        }
        let saved = lesson_file::save_text(&self.disk, &self.path, &text, replace);
        match &saved {
            Ok(_) => {
                self.fingerprint = next;
                self.journal.iter_mut().for_each(|journal| journal.saved(OnFile::of(&text, lesson.id)));
            }
            Err(SaveError::Unconfirmed { .. }) => {
                self.fingerprint = next;
                self.journal.iter_mut().for_each(|journal| journal.saved_perhaps(OnFile::of(&text, lesson.id)));
            }
            Err(_) => {}
        }
        saved?;
        Ok(match std::mem::replace(&mut self.origin, Origin::Current) {
            Origin::Older { .. } => FormatRenewal::FromOlder,
            Origin::Current | Origin::Newer { .. } => FormatRenewal::No,
        })
    }

    /// Saves a lesson at a path that is not open here, and opens it.
    fn save_at(
        disk: &Disk,
        path: &Path,
        lesson: &Lesson,
        replace: Replace,
        refuge: &Refuge,
    ) -> Result<Self, SaveError> {
        let path = real_path(path);
        let mut notices = Vec::new();
        let lock = match Lock::ask_on(disk, &path) {
            Asked::Held(lock) => Some(lock),
            Asked::Elsewhere(holder) => {
                let reason = ReadOnly::OpenElsewhere(holder).to_string();
                return Err(SaveError::ReadOnly { path, reason });
            }
            Asked::NoLock { .. } => {
                notices.push(OpeningNotice::NoLock);
                None
            }
            // The save itself fails for the same reason and says it better.
            Asked::NotAllowed { .. } => None,
        };
        let text = lesson_file::to_checked_text(lesson)?;
        let fingerprint = lesson_file::save_text(disk, &path, &text, replace)?;
        let (journal, kept) = Journal::start(disk, &path, refuge, OnFile::of(&text, lesson.id));
        notices.extend(kept.map(OpeningNotice::JournalKept));
        let (disk, refuge, access, origin) = (disk.clone(), refuge.clone(), Access::Full, Origin::Current);
        Ok(Self { disk, path, refuge, fingerprint, access, journal: Some(journal), notices, origin, lock })
    }

    /// Returns whether the lock against a second window is held.
    pub const fn is_locked(&self) -> bool {
        self.lock.is_some()
    }
}

/// Says how many there are: `1 change`, `3 changes`.
fn counted(count: usize, word: &str) -> String {
    format!("{count} {word}{}", if count == 1 { "" } else { "s" })
}

/// A lesson that is only looked at: nothing on the disk is changed, and no lock is taken.
#[derive(Debug)]
pub struct LookedAt {
    /// The lesson as its file has it.
    pub loaded: Loaded,
    /// The lesson with the changes that are not saved, and what there is to say about them. They may be those of a window
    /// that is open.
    pub unsaved: Option<(Lesson, Recovered)>,
}

impl LookedAt {
    /// Reads the lesson at `path` and what waits beside it.
    ///
    /// Errors: the file cannot be read as a lesson.
    pub fn at(path: &Path, refuge: &Refuge) -> Result<Self, LoadError> {
        let (loaded, on_file) = read_whole(path)?;
        let mut lesson = loaded.lesson.clone();
        let unsaved = look_for_unsaved(&real_path(path), refuge, &on_file, &mut lesson);
        Ok(Self { loaded, unsaved: unsaved.map(|recovered| (lesson, recovered)) })
    }
}

/// Returns a free name beside `path` for a second version: `NAME 2.lesson.ron`.
pub fn name_beside(path: &Path) -> PathBuf {
    let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let stem = name.strip_suffix(EXTENSION).unwrap_or(&name);
    let candidate = |number: u32| folder_of(path).join(format!("{stem} {number}{EXTENSION}"));
    (2..1000).map(candidate).find(|path| fs::symlink_metadata(path).is_err()).unwrap_or_else(|| candidate(1000))
}

/// Reads a lesson, with what its file holds.
fn read_whole(path: &Path) -> Result<(Loaded, OnFile), LoadError> {
    let bytes = ron_file::read(path, LARGEST)?;
    let loaded = lesson_file::parse(path, &bytes)?;
    let lesson = loaded.lesson.id.filter(|_| loaded.identity == IdentityFrom::File);
    // It was read as a lesson, so it is text.
    let text = String::from_utf8_lossy(&bytes);
    let on_file = OnFile { fingerprint: loaded.fingerprint, text: text.into(), lesson };
    Ok((loaded, on_file))
}

/// Turns what a journal gave into what to tell.
fn tell(recovered: Recovered, notices: &mut Vec<OpeningNotice>) {
    let kept = recovered.kept.clone();
    if recovered.cut_off == CutOff::LastChange {
        notices.push(OpeningNotice::LastChangeCutOff);
    }
    if !recovered.reasons.is_empty() || !recovered.apart.is_empty() {
        notices.insert(0, OpeningNotice::Recovered(recovered));
    }
    notices.extend(kept.map(OpeningNotice::JournalKept));
}
