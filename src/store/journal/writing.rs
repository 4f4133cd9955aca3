//! Writing the journal: one line for each change, and all of it anew where it has stopped.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use super::error::JournalError;
use super::lines::Chain;
use super::on_file::OnFile;
use super::places::{JournalPlaces, Refuge, beside};
use super::recovery::{Kept, Left, Recovered, bring_back, clear_place, mode_of};
use super::tail::{Tail, Unsynced};
use crate::lesson::document::Lesson;
use crate::lesson::edit::Edit;
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::LessonId;
use crate::store::atomic::folder_of;
use crate::store::disk::Disk;
use crate::store::fingerprint::Fingerprint;
use crate::store::ron_file::options;

/// The longest line, in bytes, that is read back when it is written: a millisecond or two.
const LONG_LINE: usize = 64 * 1024;

/// The journal of one lesson file. It makes its file with the first change.
///
/// All changes since the last save are in memory as well, as they are written, so that a journal that has stopped can be
/// written anew, whole, beside the lesson or in the program's own folder, as soon as one of them takes it.
#[derive(Debug)]
pub struct Journal {
    disk: Disk,
    places: JournalPlaces,
    on_file: OnFile,
    /// The changes since the last save.
    log: Vec<String>,
    /// The versions that wait to be decided about.
    apart: Vec<Edit>,
    /// The place beside the lesson is taken by a journal that could be neither used nor put aside; it is left alone.
    beside: BesideLesson,
    /// The journal that was found at the beginning and could not be gone on with, as long as it lies there.
    found: Option<PathBuf>,
    state: JournalState,
}

/// Whether the journal may lie beside the lesson.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum BesideLesson {
    Free,
    InTheWay,
}

/// Where the journal stands.
#[derive(Debug)]
enum JournalState {
    /// Nothing has changed since the last save: there is no file.
    Clean,
    /// The file is open at its end.
    Open(Tail),
    /// Not all changes are in it: it is to be written anew. What was written before is still there, if anything was.
    Stopped(Option<Tail>),
    /// A change would not read back, and those after it would be worth nothing without it.
    Unwritable(Option<Tail>),
}

impl Journal {
    /// Returns the place of the journal of the lesson at `lesson`, where it can lie beside it.
    pub fn path_for(lesson: &Path) -> PathBuf {
        beside(lesson)
    }

    /// Returns the journal of a lesson that was just saved with this content. Whatever journal lies there is put aside.
    pub fn start(disk: &Disk, lesson: &Path, refuge: &Refuge, on_file: OnFile) -> (Self, Option<Kept>) {
        let places = JournalPlaces::of(lesson, on_file.lesson, refuge);
        let (left, kept) = clear_place(disk, &places);
        (Self::after(disk, places, on_file, left), kept)
    }

    /// Opens the journal of the lesson at `lesson`, whose file holds `on_file`, and applies what it
    /// finds there to `document`, which was read from that file.
    pub fn recover(
        disk: &Disk,
        lesson: &Path,
        refuge: &Refuge,
        on_file: OnFile,
        document: &mut Lesson,
    ) -> (Self, Recovered) {
        let places = JournalPlaces::of(lesson, document.id, refuge);
        let (left, recovered) = bring_back(disk, &places, refuge, &on_file, document);
        (Self::after(disk, places, on_file, left), recovered)
    }

    fn after(disk: &Disk, places: JournalPlaces, on_file: OnFile, left: Left) -> Self {
        let disk = disk.clone();
        let mut journal = Self {
            disk,
            places,
            on_file,
            log: Vec::new(),
            apart: Vec::new(),
            beside: BesideLesson::Free,
            found: None,
            state: JournalState::Clean,
        };
        match left {
            Left::Nothing => {}
            Left::InTheWay => journal.beside = BesideLesson::InTheWay,
            Left::Usable { path, end, log, apart } => {
                (journal.log, journal.apart) = (log, apart);
                let tail =
                    end.and_then(|end| Tail::goes_on(&journal.disk, &path, end.length, end.last, end.named).ok());
                match tail {
                    Some(tail) => journal.state = JournalState::Open(tail),
                    None => {
                        journal.state = JournalState::Stopped(None);
                        journal.found = Some(path);
                        // Where it cannot be, the next change says so.
                        let _ = journal.write_anew();
                    }
                }
            }
        }
        journal
    }

    /// Adds one change. After an error it is tried again with the next one, and by [`Journal::retry`].
    ///
    /// Errors: the change cannot be written, or would not read back, or one before it would not.
    pub fn append(&mut self, change: &Transaction) -> Result<(), JournalError> {
        let path = || self.places.beside.clone();
        if matches!(self.state, JournalState::Unwritable(_)) {
            return Err(JournalError::Stopped { path: path() });
        }
        let text = match readable_text(change) {
            Ok(text) => text,
            Err(reason) => {
                let path = path();
                self.state = JournalState::Unwritable(self.take_tail());
                return Err(JournalError::Unwritable { path, reason });
            }
        };
        self.log.push(text);
        if let JournalState::Open(tail) = &mut self.state
            && tail.takes(self.on_file.fingerprint)
            && let Some(text) = self.log.last()
            && tail.write(|lines| lines.change(text)).is_ok()
        {
            return Ok(());
        }
        self.state = JournalState::Stopped(self.take_tail());
        self.write_anew()
    }

    /// Writes all that is not saved anew, where the journal has stopped.
    ///
    /// Errors: it cannot be written yet, or holds a change that would not read back.
    pub fn retry(&mut self) -> Result<(), JournalError> {
        match self.state {
            JournalState::Clean | JournalState::Open(_) => Ok(()),
            JournalState::Stopped(_) => self.write_anew(),
            JournalState::Unwritable(_) => Err(JournalError::Stopped { path: self.places.beside.clone() }),
        }
    }

    /// Returns whether there are changes that are not in the journal.
    pub const fn is_stopped(&self) -> bool {
        matches!(self.state, JournalState::Stopped(_) | JournalState::Unwritable(_))
    }

    /// Returns which lesson it is of, where that is known.
    pub const fn lesson(&self) -> Option<LessonId> {
        self.places.identity
    }

    /// Returns where the journal lies, if there is one.
    pub fn path(&self) -> Option<&Path> {
        self.tail().map(Tail::path)
    }

    /// Returns the versions that wait to be decided about.
    pub fn apart(&self) -> &[Edit] {
        &self.apart
    }

    /// Keeps these versions until they are decided about.
    ///
    /// Errors: the journal cannot be written.
    pub fn keep_apart(&mut self, apart: Vec<Edit>) -> Result<(), JournalError> {
        if apart == self.apart {
            return Ok(());
        }
        self.apart = apart;
        if matches!(self.state, JournalState::Unwritable(_)) {
            return Err(JournalError::Stopped { path: self.places.beside.clone() });
        }
        if self.log.is_empty() && self.apart.is_empty() {
            let path = self.places.beside.clone();
            return self.remove().map_err(|source| JournalError::Stays { path, source });
        }
        self.state = JournalState::Stopped(self.take_tail());
        self.write_anew()
    }

    /// Notes that the file is about to hold `next`, and waits until that is on the disk. Without changes there is nothing to note.
    ///
    /// Errors: the line cannot be written, or the disk did not confirm it.
    pub fn about_to_save(&mut self, next: Fingerprint) -> Result<(), JournalError> {
        let (lesson, at) = (self.places.identity, self.places.lesson.clone());
        let Some(tail) = self.tail_mut().filter(|tail| !tail.is_empty()) else { return Ok(()) };
        let path = tail.path().to_owned();
        tail.write_base(next, |lines| lines.base(next, lesson, &at))
            .map_err(|source| JournalError::Write { path, source })?;
        self.sync()
    }

    /// Notes that the file holds `on_file` now: the journal has done its work and is removed, unless versions wait in it.
    ///
    /// Where it can be neither removed nor emptied, its last line still says that its changes are in the file.
    pub fn saved(&mut self, on_file: OnFile) {
        self.on_file = on_file;
        self.log.clear();
        if self.apart.is_empty() {
            let _ = self.remove();
        } else {
            self.state = JournalState::Stopped(self.take_tail());
            // What waits is tried again, and told where that fails.
            let _ = self.write_anew();
        }
    }

    /// Notes that the file holds `on_file` now, but perhaps not after a power cut: the journal stays for that case.
    pub fn saved_perhaps(&mut self, on_file: OnFile) {
        self.on_file = on_file;
    }

    /// Throws the changes away: they are not wanted.
    ///
    /// Errors: the journal can be neither removed nor emptied nor told that its changes are done with; or the disk did not confirm that
    /// it is gone.
    pub fn discard(&mut self) -> Result<(), JournalError> {
        self.log.clear();
        self.apart.clear();
        let path = self.path().or(self.found.as_deref()).unwrap_or(&self.places.beside).to_owned();
        let is_there = self.path().or(self.found.as_deref()).is_some();
        let Err(source) = self.remove() else {
            // Where the power fails at once, it would be there again.
            let synced = if is_there { self.disk.sync_folder(folder_of(&path)) } else { Ok(()) };
            return synced.map_err(|source| JournalError::Unconfirmed { path, source });
        };
        let (base, lesson, at) = (self.on_file.fingerprint, self.places.identity, self.places.lesson.clone());
        let JournalState::Open(tail) = &mut self.state else { return Err(JournalError::Stays { path, source }) };
        // What stands before a line that names the file's content is not brought back.
        tail.write(|lines| lines.base(base, lesson, &at)).map_err(|_| JournalError::Stays { path, source })
    }

    /// Removes the file, or empties it. If neither can be done, it stays open to be gone on with.
    fn remove(&mut self) -> io::Result<()> {
        let found = self.remove_found();
        let Some(mut tail) = self.take_tail() else { return found };
        let Err(refused) = self.disk.remove(tail.path()) else { return found };
        if refused.kind() == io::ErrorKind::NotFound {
            return found;
        }
        let emptied = tail.empty();
        self.state = JournalState::Open(tail);
        emptied.map_err(|_| refused)
    }

    /// Removes the journal that was found and could not be gone on with.
    fn remove_found(&mut self) -> io::Result<()> {
        let Some(path) = &self.found else { return Ok(()) };
        match self.disk.remove(path) {
            Err(refused) if refused.kind() != io::ErrorKind::NotFound => Err(refused),
            Ok(()) | Err(_) => {
                self.found = None;
                Ok(())
            }
        }
    }

    /// Writes the whole journal, in the first of its places that takes it.
    fn write_anew(&mut self) -> Result<(), JournalError> {
        let lines = self.lines();
        let before = self.path().map(Path::to_owned);
        let mut refused = None;
        let places: Vec<PathBuf> = self.places.all().map(Path::to_owned).collect();
        for path in places {
            if path == self.places.beside && self.beside == BesideLesson::InTheWay {
                refused = Some(JournalError::InTheWay { path });
                continue;
            }
            match self.written_at(&path, &lines) {
                Ok(tail) => {
                    if let Some(before) = before.filter(|before| *before != path) {
                        // It says less than this one.
                        let _ = self.disk.remove(&before);
                    }
                    self.state = JournalState::Open(tail);
                    self.found.take_if(|found| *found == path);
                    // It says less than this one, too.
                    let _ = self.remove_found();
                    return Ok(());
                }
                Err(source) => _ = refused.get_or_insert(JournalError::Write { path, source }),
            }
        }
        refused.map_or(Ok(()), Err)
    }

    fn written_at(&self, path: &Path, lines: &Chain) -> io::Result<Tail> {
        if fs::symlink_metadata(path).is_ok_and(|there| !there.is_file()) {
            return Err(io::Error::new(io::ErrorKind::AlreadyExists, "something that is no file lies in its place"));
        }
        // Beside the lesson it is as readable for others as the lesson is.
        let mode = if path == self.places.beside {
            mode_of(&self.places.lesson)
        } else {
            self.disk.make_folder(folder_of(path))?;
            0o600
        };
        Tail::written(&self.disk, path, mode, lines, self.on_file.fingerprint)
    }

    /// Returns all that the journal has to say.
    fn lines(&self) -> Chain {
        let mut lines = Chain::default();
        lines.base(self.on_file.fingerprint, self.places.identity, &self.places.lesson);
        lines.file(self.on_file.fingerprint, &self.on_file.text);
        self.log.iter().for_each(|change| lines.change(change));
        for version in &self.apart {
            let version = Transaction::one(Reason::TakeOver, version.clone());
            // It came out of a journal, or of a lesson that was read.
            if let Ok(text) = options().to_string(&version) {
                lines.apart(&text);
            }
        }
        lines
    }

    /// Returns whether some of it is not on the disk itself yet.
    pub fn is_unsynced(&self) -> bool {
        self.tail().is_some_and(Tail::is_unsynced)
    }

    /// Returns what is to be waited for until it is on the disk itself, for the case that the power fails; nothing where there is
    /// nothing to wait for. Whoever takes it waits for it, and tells if that fails.
    pub fn take_unsynced(&mut self) -> Option<Unsynced> {
        let disk = self.disk.clone();
        self.tail_mut().and_then(|tail| tail.take_unsynced(&disk))
    }

    /// Waits until the changes have reached the disk itself.
    ///
    /// Errors: the disk did not confirm it.
    pub fn sync(&mut self) -> Result<(), JournalError> {
        let Some(unsynced) = self.take_unsynced() else { return Ok(()) };
        let synced = unsynced.sync();
        if let (Err(_), Some(tail)) = (&synced, self.tail_mut()) {
            tail.still_unsynced(&unsynced);
        }
        synced
    }

    const fn tail(&self) -> Option<&Tail> {
        match &self.state {
            JournalState::Open(tail) | JournalState::Stopped(Some(tail)) | JournalState::Unwritable(Some(tail)) => {
                Some(tail)
            }
            JournalState::Clean | JournalState::Stopped(None) | JournalState::Unwritable(None) => None,
        }
    }

    const fn tail_mut(&mut self) -> Option<&mut Tail> {
        match &mut self.state {
            JournalState::Open(tail) | JournalState::Stopped(Some(tail)) | JournalState::Unwritable(Some(tail)) => {
                Some(tail)
            }
            JournalState::Clean | JournalState::Stopped(None) | JournalState::Unwritable(None) => None,
        }
    }

    fn take_tail(&mut self) -> Option<Tail> {
        match std::mem::replace(&mut self.state, JournalState::Clean) {
            JournalState::Open(tail) | JournalState::Stopped(Some(tail)) | JournalState::Unwritable(Some(tail)) => {
                Some(tail)
            }
            JournalState::Clean | JournalState::Stopped(None) | JournalState::Unwritable(None) => None,
        }
    }
}

/// Returns the text of a change, after reading it back: what cannot be read later is no protection.
///
/// Errors: why it would not read back.
fn readable_text(change: &Transaction) -> Result<String, String> {
    let text = options().to_string(change).map_err(|error| error.to_string())?;
    // Not where it would be felt.
    if text.len() <= LONG_LINE {
        options().from_str::<Transaction>(&text).map_err(|error| error.code.to_string())?;
    }
    Ok(text)
}
