//! Adding to the journal: one line for each change, the base line at its top and before each save.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::lines::{base_line, format_line, line, torn_line};
use super::recovery::{Kept, Left, Recovered, bring_back, clear_place, mode_of};
use crate::lesson::document::Lesson;
use crate::lesson::history::Transaction;
use crate::store::atomic::{folder_of, sibling};
use crate::store::disk::{Disk, DiskFile};
use crate::store::fault::shown;
use crate::store::fingerprint::Fingerprint;
use crate::store::ron_file::options;

/// The longest line, in bytes, that is read back when it is written: a millisecond or two.
const LONG_LINE: usize = 64 * 1024;

/// The journal of one lesson file. It makes its file with the first change.
#[derive(Debug)]
pub struct Journal {
    disk: Disk,
    lesson: PathBuf,
    base: Fingerprint,
    state: JournalState,
}

/// Where the journal stands.
#[derive(Debug)]
enum JournalState {
    /// Nothing has changed since the last save: there is no file.
    Clean,
    /// The file is open at its end.
    Open(Tail),
    /// A change could not be written; those after it would be worth nothing without it. What was written before it is
    /// still there, if anything was. (Whoever wants to go on here has to write what is missing first.)
    Stopped(Option<Tail>),
    /// A journal that could be neither used nor put aside lies there. It is left alone.
    InTheWay,
}

/// The end of the file, where the next line goes.
#[derive(Debug)]
struct Tail {
    file: Arc<DiskFile>,
    /// The bytes of its whole lines.
    length: u64,
    /// Every content of the lesson's file that its base lines name: a file that holds one of them fits what comes next.
    named: Vec<Fingerprint>,
    /// What stands at its end.
    end: End,
    /// Who wrote its last line.
    writer: LastWriter,
    /// What of it the disk has.
    on_disk: OnDisk,
}

/// What stands at the end of the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum End {
    /// A line, or nothing.
    Line,
    /// Half a line that could not be taken back.
    HalfLine,
}

/// Who wrote a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum LastWriter {
    /// This version, in today's format; or nobody yet.
    Ours,
    /// Another one.
    Other,
}

/// What of a file the disk itself has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum OnDisk {
    /// All of it.
    All,
    /// Its name, and not all of its lines.
    Name,
    /// Perhaps not even its name.
    Nothing,
}

/// What is still to be waited for until the journal is on the disk itself. It may be waited for in another thread.
#[derive(Debug)]
pub struct Unsynced {
    disk: Disk,
    file: Arc<DiskFile>,
    on_disk: OnDisk,
}

impl Unsynced {
    /// Waits for it.
    ///
    /// Errors: the disk did not confirm it.
    pub fn sync(&self) -> Result<(), JournalError> {
        let synced = self.file.sync().and_then(|()| match self.on_disk {
            OnDisk::All | OnDisk::Name => Ok(()),
            OnDisk::Nothing => self.disk.sync_folder(folder_of(self.file.path())),
        });
        synced.map_err(|source| JournalError::Unconfirmed { path: self.file.path().to_owned(), source })
    }
}

/// Why a change did not reach the journal. The lesson itself is not affected.
#[derive(Debug, thiserror::Error)]
pub enum JournalError {
    /// The system refused.
    #[error("{}: the journal cannot be written: {source}", shown(path))]
    Write {
        /// The journal.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// The disk did not confirm what was written.
    #[error("{}: the disk did not confirm the last changes, and a power cut may take them: {source}", shown(path))]
    Unconfirmed {
        /// The journal.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// Changes that are not wanted any more could not be taken out of it.
    #[error(
        "{}: the journal cannot be removed, and the next opening will bring its changes back: {source}",
        shown(path)
    )]
    Stays {
        /// The journal.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// The change holds something that would not read back.
    #[error("{}: this change cannot be written to the journal: {reason}", shown(path))]
    Unwritable {
        /// The journal.
        path: PathBuf,
        /// What.
        reason: String,
    },
    /// An earlier change is missing from the journal.
    #[error("{}: the journal has stopped since an earlier change could not be written", shown(path))]
    Stopped {
        /// The journal.
        path: PathBuf,
    },
    /// An older journal lies in its place.
    #[error("{}: an older journal lies here and cannot be moved away", shown(path))]
    InTheWay {
        /// The journal.
        path: PathBuf,
    },
}

impl JournalError {
    /// Returns what to do about it.
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::Write { .. } | Self::Unwritable { .. } | Self::Stopped { .. } | Self::InTheWay { .. } => {
                "save the lesson: until then, a crash would lose the changes made since the last save"
            }
            Self::Unconfirmed { .. } => "save the lesson",
            Self::Stays { .. } => "take the file away by hand",
        }
    }
}

impl Journal {
    /// Returns the place of the journal of the lesson at `lesson`.
    pub fn path_for(lesson: &Path) -> PathBuf {
        sibling(lesson, "journal")
    }

    /// Returns the journal of a lesson that was just saved with this content. Whatever journal lies there is put aside.
    pub fn start(disk: &Disk, lesson: &Path, base: Fingerprint) -> (Self, Option<Kept>) {
        let (left, kept) = clear_place(disk, lesson, &Self::path_for(lesson));
        (Self::after(disk, lesson, base, left), kept)
    }

    /// Opens the journal of the lesson at `lesson`, whose file holds `base`, and applies what it
    /// finds there to `document`, which was read from that file.
    pub fn recover(disk: &Disk, lesson: &Path, base: Fingerprint, document: &mut Lesson) -> (Self, Recovered) {
        let (left, recovered) = bring_back(disk, lesson, &Self::path_for(lesson), base, document);
        (Self::after(disk, lesson, base, left), recovered)
    }

    fn after(disk: &Disk, lesson: &Path, base: Fingerprint, left: Left) -> Self {
        let state = match left {
            Left::Nothing => JournalState::Clean,
            Left::InTheWay => JournalState::InTheWay,
            Left::Usable { length, named, is_ours } => match disk.open_to_add(&Self::path_for(lesson)) {
                Ok(file) => {
                    let end = if file.cut(length).is_ok() { End::Line } else { End::HalfLine };
                    let writer = if is_ours { LastWriter::Ours } else { LastWriter::Other };
                    // The process before this one may not have waited for the disk.
                    let on_disk = OnDisk::Nothing;
                    JournalState::Open(Tail { file: Arc::new(file), length, named, end, writer, on_disk })
                }
                Err(_) => JournalState::Stopped(None),
            },
        };
        Self { disk: disk.clone(), lesson: lesson.to_owned(), base, state }
    }

    /// Adds one change. After an error nothing more is added until the lesson is saved.
    ///
    /// Errors: the change cannot be written, or would not read back, or one before it is missing.
    pub fn append(&mut self, change: &Transaction) -> Result<(), JournalError> {
        let path = Self::path_for(&self.lesson);
        match self.state {
            JournalState::Clean | JournalState::Open(_) => {}
            JournalState::Stopped(_) => return Err(JournalError::Stopped { path }),
            JournalState::InTheWay => return Err(JournalError::InTheWay { path }),
        }
        let text = readable_text(change).map_err(|reason| {
            self.stop();
            JournalError::Unwritable { path: path.clone(), reason }
        })?;
        self.write_change(&text).map_err(|source| {
            self.stop();
            JournalError::Write { path, source }
        })
    }

    /// Notes that the file is about to hold `next`, and waits until that is on the disk. Without changes there is nothing to note.
    ///
    /// Errors: the line cannot be written, or the disk did not confirm it.
    pub fn about_to_save(&mut self, next: Fingerprint) -> Result<(), JournalError> {
        let (JournalState::Open(tail) | JournalState::Stopped(Some(tail))) = &mut self.state else { return Ok(()) };
        if tail.length == 0 {
            return Ok(());
        }
        let path = Self::path_for(&self.lesson);
        tail.write(&base_line(next)).map_err(|source| JournalError::Write { path, source })?;
        tail.named.push(next);
        self.sync()
    }

    /// Notes that the file holds `base` now: the journal has done its work and is removed.
    ///
    /// Where it can be neither removed nor emptied, its last line still says that its changes are in the file.
    pub fn saved(&mut self, base: Fingerprint) {
        self.base = base;
        let _ = self.remove();
    }

    /// Notes that the file holds `base` now, but perhaps not after a power cut: the journal stays for that case.
    pub const fn saved_perhaps(&mut self, base: Fingerprint) {
        self.base = base;
    }

    /// Throws the changes away: they are not wanted.
    ///
    /// Errors: the journal can be neither removed nor emptied nor told that its changes are done with.
    pub fn discard(&mut self) -> Result<(), JournalError> {
        let path = Self::path_for(&self.lesson);
        let removed = self.remove();
        let (JournalState::Open(tail), Err(source)) = (&mut self.state, removed) else { return Ok(()) };
        // What stands before a line that names the file's content is not brought back.
        tail.write(&base_line(self.base)).map_err(|_| JournalError::Stays { path, source })
    }

    /// Removes the file, or empties it. If neither can be done, it stays open to be gone on with.
    fn remove(&mut self) -> io::Result<()> {
        let tail = match std::mem::replace(&mut self.state, JournalState::Clean) {
            JournalState::Clean | JournalState::Stopped(None) => return Ok(()),
            JournalState::InTheWay => {
                self.state = JournalState::InTheWay;
                return Ok(());
            }
            JournalState::Open(tail) | JournalState::Stopped(Some(tail)) => tail,
        };
        let Err(refused) = self.disk.remove(tail.file.path()) else { return Ok(()) };
        let emptied = tail.file.cut(0);
        let tail = match emptied {
            Ok(()) => Tail { length: 0, named: Vec::new(), end: End::Line, ..tail },
            Err(_) => tail,
        };
        self.state = JournalState::Open(tail);
        emptied.map_err(|_| refused)
    }

    /// Returns whether some of it is not on the disk itself yet.
    pub fn is_unsynced(&self) -> bool {
        self.tail().is_some_and(|tail| tail.on_disk != OnDisk::All)
    }

    /// Returns what is to be waited for until it is on the disk itself, for the case that the power fails; nothing where there is
    /// nothing to wait for. Whoever takes it waits for it, and tells if that fails.
    pub fn take_unsynced(&mut self) -> Option<Unsynced> {
        let (JournalState::Open(tail) | JournalState::Stopped(Some(tail))) = &mut self.state else { return None };
        let on_disk = std::mem::replace(&mut tail.on_disk, OnDisk::All);
        (on_disk != OnDisk::All).then(|| Unsynced { disk: self.disk.clone(), file: Arc::clone(&tail.file), on_disk })
    }

    /// Waits until the changes have reached the disk itself.
    ///
    /// Errors: the disk did not confirm it.
    pub fn sync(&mut self) -> Result<(), JournalError> {
        let Some(unsynced) = self.take_unsynced() else { return Ok(()) };
        let synced = unsynced.sync();
        if let (Err(_), JournalState::Open(tail) | JournalState::Stopped(Some(tail))) = (&synced, &mut self.state) {
            tail.on_disk = unsynced.on_disk;
        }
        synced
    }

    const fn tail(&self) -> Option<&Tail> {
        match &self.state {
            JournalState::Open(tail) | JournalState::Stopped(Some(tail)) => Some(tail),
            JournalState::Clean | JournalState::Stopped(None) | JournalState::InTheWay => None,
        }
    }

    fn stop(&mut self) {
        self.state = match std::mem::replace(&mut self.state, JournalState::Clean) {
            JournalState::Open(tail) | JournalState::Stopped(Some(tail)) => JournalState::Stopped(Some(tail)),
            JournalState::Clean | JournalState::Stopped(None) => JournalState::Stopped(None),
            JournalState::InTheWay => JournalState::InTheWay,
        };
    }

    fn write_change(&mut self, change: &str) -> io::Result<()> {
        if matches!(self.state, JournalState::Clean) {
            // As readable for others as the lesson is.
            let file = self.disk.create(&Self::path_for(&self.lesson), mode_of(&self.lesson))?;
            let (file, named) = (Arc::new(file), Vec::new());
            let (end, writer, on_disk) = (End::Line, LastWriter::Ours, OnDisk::Nothing);
            self.state = JournalState::Open(Tail { file, length: 0, named, end, writer, on_disk });
        }
        let JournalState::Open(tail) = &mut self.state else { return Ok(()) };
        let is_named = tail.named.contains(&self.base);
        let mut text = match (is_named, tail.writer) {
            (false, _) => base_line(self.base),
            (true, LastWriter::Other) => format_line(),
            (true, LastWriter::Ours) => String::new(),
        };
        text.push_str(&line("change", change));
        tail.write(&text)?;
        if !is_named {
            tail.named.push(self.base);
        }
        Ok(())
    }
}

impl Tail {
    /// Writes lines in one piece, so that they begin on a line of their own whatever failed before.
    ///
    /// Errors: the system refuses; then nothing of them counts.
    fn write(&mut self, lines: &str) -> io::Result<()> {
        let mut text = String::new();
        if self.end == End::HalfLine && self.file.cut(self.length).is_err() {
            let half = self.file.metadata()?.len().saturating_sub(self.length);
            text = format!("\n{}", torn_line(half + 1));
        }
        text.push_str(lines);
        if self.on_disk == OnDisk::All {
            self.on_disk = OnDisk::Name;
        }
        let written = self.file.put(text.as_bytes());
        match written {
            Ok(()) => {
                self.length = self.file.metadata().map_or(self.length + text.len() as u64, |file| file.len());
                self.end = End::Line;
                self.writer = LastWriter::Ours;
            }
            // Half a line must not stay before whatever is written next.
            Err(_) if self.file.cut(self.length).is_err() => self.end = End::HalfLine,
            Err(_) => {}
        }
        written
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
