//! The journal beside a lesson: every change since the last save, to be replayed after a crash.
//!
//! Each line is complete in itself: a checksum, a word, and the rest. A `base` line says which
//! content of the file the changes after it belong to; there is one at the top, and one more is
//! written just before each save, so that a crash between the save and the removal of the journal
//! loses nothing and repeats nothing. A `change` line holds one transaction. Every line is handed to
//! the system in one piece, so a process that is killed loses at most the line it was writing.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use super::atomic::{folder_of, sibling};
use super::fault::shown;
use super::fingerprint::Fingerprint;
use super::ron_file::{self, options};
use crate::lesson::document::Lesson;
use crate::lesson::history::{Reason, Transaction};

/// The largest journal that is read, in bytes: weeks of work without a save.
const LARGEST: u64 = 512 * 1024 * 1024;

/// The longest line, in bytes, that is read back when it is written: a millisecond or two.
const LONG_LINE: usize = 64 * 1024;

/// The journal of one lesson file. It makes its file with the first change.
#[derive(Debug)]
pub struct Journal {
    lesson: PathBuf,
    base: Fingerprint,
    state: State,
}

/// Where the journal stands.
#[derive(Debug)]
enum State {
    /// Nothing has changed since the last save: there is no file.
    Clean,
    /// The file is open at its end, and so long.
    Open { file: File, length: u64 },
    /// A change could not be written; those after it would be worth nothing without it.
    Stopped,
    /// A journal that could be neither used nor put aside lies there. It is left alone.
    InTheWay,
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
        "save the lesson: until then, a crash would lose the changes made since the last save"
    }
}

/// What was found in a journal when its lesson was opened.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Recovered {
    /// What the changes that were brought back did, in order.
    pub reasons: Vec<Reason>,
    /// Whether the last line was cut off: the change being written when the program ended.
    pub cut_off: CutOff,
    /// What could not be used, and where it is kept.
    pub kept: Option<Kept>,
}

/// Whether the journal ends in the middle of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum CutOff {
    /// It ends as it should.
    #[default]
    No,
    /// The last change was not written to its end.
    LastChange,
}

/// A journal that was put aside.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    /// Why.
    pub why: WhyKept,
    /// Where it is now; `None` if even that failed, and it lies where it was.
    pub path: Option<PathBuf>,
}

/// Why a journal was put aside.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhyKept {
    /// The lesson was changed by another program after the changes in the journal were made.
    FileChanged,
    /// From some line on it is damaged.
    Damaged {
        /// The line, counted from 1.
        line: usize,
    },
    /// A change does not fit the lesson.
    DoesNotFit {
        /// The line, counted from 1.
        line: usize,
    },
    /// It cannot be read.
    Unreadable,
}

impl WhyKept {
    /// Returns the reason as a sentence about the changes.
    pub fn sentence(self) -> String {
        match self {
            Self::FileChanged => "they belong to an earlier state of the file".to_owned(),
            Self::Damaged { line } => format!("their journal is damaged from line {line} on"),
            Self::DoesNotFit { line } => format!("from line {line} of their journal on they do not fit the lesson"),
            Self::Unreadable => "their journal cannot be read".to_owned(),
        }
    }
}

impl Recovered {
    /// Whether there is anything to tell.
    pub fn is_nothing(&self) -> bool {
        *self == Self::default()
    }
}

impl Journal {
    /// Returns the place of the journal of the lesson at `lesson`.
    pub fn path_for(lesson: &Path) -> PathBuf {
        sibling(lesson, "journal")
    }

    /// Returns the journal of a lesson that was just saved with this content. Whatever journal lies there is put aside.
    pub fn start(lesson: &Path, base: Fingerprint) -> (Self, Option<Kept>) {
        let path = Self::path_for(lesson);
        let kept = fs::symlink_metadata(&path).is_ok().then(|| put_aside(lesson, &path, WhyKept::FileChanged));
        (Self { lesson: lesson.to_owned(), base, state: state_after(kept.as_ref()) }, kept)
    }

    /// Opens the journal of the lesson at `lesson`, whose file holds `base`, and applies what it
    /// finds there to `document`, which was read from that file.
    pub fn recover(lesson: &Path, base: Fingerprint, document: &mut Lesson) -> (Self, Recovered) {
        let path = Self::path_for(lesson);
        let clean = |kept: Option<Kept>| {
            let journal = Self { lesson: lesson.to_owned(), base, state: state_after(kept.as_ref()) };
            (journal, Recovered { kept, ..Recovered::default() })
        };
        let bytes = match ron_file::read(&path, LARGEST) {
            Ok(bytes) => bytes,
            // Nothing can lie under a name that the system refuses as too long.
            Err(_) if fs::symlink_metadata(&path).is_err() => return clean(None),
            Err(_) => return clean(Some(put_aside(lesson, &path, WhyKept::Unreadable))),
        };
        let read = Read::of(&bytes);
        if read.lines.is_empty() && read.damaged.is_none() {
            // Killed before the first line was whole: there was no change yet.
            let _ = fs::remove_file(&path);
            return clean(None);
        }
        // The last line that names this content; the changes before it are in the file already.
        let Some(start) = read.lines.iter().rposition(|line| matches!(line.entry, Entry::Base(named) if named == base))
        else {
            let why = if read.lines.is_empty() { WhyKept::Damaged { line: 1 } } else { WhyKept::FileChanged };
            return clean(Some(put_aside(lesson, &path, why)));
        };
        let mut recovered = Recovered { cut_off: read.cut_off, ..Recovered::default() };
        let mut damaged = read.damaged.map(|line| WhyKept::Damaged { line });
        let mut length = 0;
        for (index, line) in read.lines.into_iter().enumerate() {
            if let (Entry::Change(change), true) = (line.entry, index > start) {
                if document.apply_all(change.edits).is_err() {
                    damaged = Some(WhyKept::DoesNotFit { line: index + 1 });
                    break;
                }
                recovered.reasons.push(change.reason);
            }
            length = line.end;
        }
        // Only what could be used stays in the journal; the rest is kept beside it.
        recovered.kept = damaged.map(|why| Kept { why, path: copy_aside(lesson, &path) });
        let state = match state_after(recovered.kept.as_ref()) {
            State::Clean if recovered.reasons.is_empty() => {
                let _ = fs::remove_file(&path);
                State::Clean
            }
            State::Clean => reopen(&path, length).map_or(State::Stopped, |file| State::Open { file, length }),
            in_the_way => in_the_way,
        };
        (Self { lesson: lesson.to_owned(), base, state }, recovered)
    }

    /// Adds one change. After an error nothing more is added until the lesson is saved.
    pub fn append(&mut self, change: &Transaction) -> Result<(), JournalError> {
        match self.state {
            State::Clean | State::Open { .. } => {}
            State::Stopped => return Err(JournalError::Stopped { path: Self::path_for(&self.lesson) }),
            State::InTheWay => return Err(JournalError::InTheWay { path: Self::path_for(&self.lesson) }),
        }
        let unwritable =
            |reason: String, lesson: &Path| JournalError::Unwritable { path: Self::path_for(lesson), reason };
        let text = match options().to_string(change) {
            Ok(text) => text,
            Err(error) => {
                self.state = State::Stopped;
                return Err(unwritable(error.to_string(), &self.lesson));
            }
        };
        // Read back at once: what cannot be read later is no protection. Not where it would be felt.
        if text.len() <= LONG_LINE
            && let Err(error) = options().from_str::<Transaction>(&text)
        {
            self.state = State::Stopped;
            return Err(unwritable(error.code.to_string(), &self.lesson));
        }
        self.write_line("change", &text)
    }

    /// Notes that the file is about to hold `next`. Without changes there is nothing to note.
    ///
    /// Errors: the line cannot be written.
    pub fn about_to_save(&mut self, next: Fingerprint) -> Result<(), JournalError> {
        match self.state {
            State::Open { .. } => self.write_line("base", &next.to_string()),
            State::Clean | State::Stopped | State::InTheWay => Ok(()),
        }
    }

    /// Notes that the file holds `base` now: the journal has done its work and is removed.
    pub fn saved(&mut self, base: Fingerprint) {
        self.base = base;
        self.remove();
    }

    /// Removes the journal: its changes are saved, or are not wanted.
    pub fn remove(&mut self) {
        if matches!(self.state, State::InTheWay) {
            return;
        }
        self.state = State::Clean;
        let path = Self::path_for(&self.lesson);
        // If it cannot be removed, it is emptied; if not even that, its last line still says that its
        // changes are in the file.
        if fs::remove_file(&path).is_err() {
            let _ = OpenOptions::new().write(true).truncate(true).open(&path);
        }
    }

    /// Waits until the changes have reached the disk itself, for the case that the power fails.
    ///
    /// Errors: the system refuses.
    pub fn sync(&self) -> io::Result<()> {
        match &self.state {
            State::Open { file, .. } => file.sync_data(),
            State::Clean | State::Stopped | State::InTheWay => Ok(()),
        }
    }

    fn write_line(&mut self, word: &str, rest: &str) -> Result<(), JournalError> {
        let path = Self::path_for(&self.lesson);
        if matches!(self.state, State::Clean) {
            match create(&path, &self.lesson) {
                Ok(file) => self.state = State::Open { file, length: 0 },
                Err(source) => {
                    self.state = State::Stopped;
                    return Err(JournalError::Write { path, source });
                }
            }
        }
        let (file, length) = match &mut self.state {
            State::Open { file, length } => (file, length),
            State::InTheWay => return Err(JournalError::InTheWay { path }),
            State::Clean | State::Stopped => return Err(JournalError::Stopped { path }),
        };
        let mut text = String::new();
        if *length == 0 {
            text = line("base", &self.base.to_string());
        }
        text.push_str(&line(word, rest));
        match file.write_all(text.as_bytes()) {
            Ok(()) => {
                *length += text.len() as u64;
                Ok(())
            }
            Err(source) => {
                // Half a line must not stay before whatever is written next.
                let _ = file.set_len(*length);
                self.state = State::Stopped;
                Err(JournalError::Write { path, source })
            }
        }
    }
}

/// One line of a journal, as written.
fn line(word: &str, rest: &str) -> String {
    let content = format!("{word} {rest}");
    format!("{:016x} {content}\n", Fingerprint::of(content.as_bytes()).short())
}

/// Makes the journal's file, as readable for others as the lesson is.
fn create(path: &Path, lesson: &Path) -> io::Result<File> {
    let mut options = OpenOptions::new();
    options.append(true).create_new(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::{OpenOptionsExt, PermissionsExt};
        options.mode(fs::metadata(lesson).map_or(0o600, |lesson| lesson.permissions().mode() & 0o666));
    }
    #[cfg(not(unix))]
    let _ = lesson;
    options.open(path)
}

/// Opens a journal to go on after its first `length` bytes.
fn reopen(path: &Path, length: u64) -> io::Result<File> {
    let file = OpenOptions::new().append(true).open(path)?;
    file.set_len(length)?;
    Ok(file)
}

/// A line that was read.
struct Line {
    entry: Entry,
    /// The bytes up to its end.
    end: u64,
}

/// What a line says.
enum Entry {
    Base(Fingerprint),
    Change(Transaction),
}

/// What a journal holds.
struct Read {
    lines: Vec<Line>,
    cut_off: CutOff,
    /// The first damaged line, counted from 1, unless it is the last one cut off.
    damaged: Option<usize>,
}

impl Read {
    fn of(bytes: &[u8]) -> Self {
        let mut read = Self { lines: Vec::new(), cut_off: CutOff::No, damaged: None };
        let mut end = 0;
        for piece in bytes.split_inclusive(|byte| *byte == b'\n') {
            end += piece.len() as u64;
            match entry(piece) {
                Some(entry) => read.lines.push(Line { entry, end }),
                None if !piece.ends_with(b"\n") => read.cut_off = CutOff::LastChange,
                None => {
                    read.damaged = Some(read.lines.len() + 1);
                    break;
                }
            }
        }
        read
    }
}

/// Reads one line with its line feed; `None` if anything is wrong with it.
fn entry(piece: &[u8]) -> Option<Entry> {
    let text = std::str::from_utf8(piece).ok()?.strip_suffix('\n')?;
    let (sum, content) = text.split_once(' ')?;
    if sum.len() != 16 || u64::from_str_radix(sum, 16).ok()? != Fingerprint::of(content.as_bytes()).short() {
        return None;
    }
    match content.split_once(' ')? {
        ("base", fingerprint) => fingerprint.parse().ok().map(Entry::Base),
        ("change", change) => options().from_str(change).ok().map(Entry::Change),
        _ => None,
    }
}

/// Returns a name beside the lesson under which nothing lies yet.
fn free_name(lesson: &Path) -> Option<PathBuf> {
    let name = lesson.file_name()?;
    (1..1000).find_map(|number| {
        // Not hidden: it is there for the teacher to find.
        let mut kept = name.to_owned();
        kept.push(format!(".journal-{number}"));
        let path = folder_of(lesson).join(kept);
        fs::symlink_metadata(&path).is_err().then_some(path)
    })
}

/// Returns the state of a journal that starts anew after the old one was put aside, or was not there.
fn state_after(kept: Option<&Kept>) -> State {
    if kept.is_some_and(|kept| kept.path.is_none()) { State::InTheWay } else { State::Clean }
}

/// Gives a journal another name; nothing in it is lost.
fn put_aside(lesson: &Path, path: &Path, why: WhyKept) -> Kept {
    let kept = free_name(lesson).filter(|kept| fs::rename(path, kept).is_ok());
    Kept { why, path: kept }
}

/// Copies a journal before the part of it that cannot be used is cut off.
fn copy_aside(lesson: &Path, path: &Path) -> Option<PathBuf> {
    free_name(lesson).filter(|kept| fs::copy(path, kept).is_ok())
}
