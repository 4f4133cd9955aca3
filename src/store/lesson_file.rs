//! The lesson file `*.lesson.ron`: reading it with errors that say where and why, and saving it whole.

use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use ron::error::SpannedResult;
use serde::{Deserialize, Serialize};

use super::atomic::{self, WriteError};
use super::fault::{Fault, end_of, shown};
use super::fingerprint::Fingerprint;
use super::layout::lay_out;
use super::migration::{self, MIGRATIONS};
use crate::lesson::document::Lesson;

/// The format that is written, and the newest that is understood.
pub const FORMAT: u32 = 1;

/// The largest file that is read. A lesson of 10,000 full bars takes some 8 MB.
pub const LARGEST: u64 = 32 * 1024 * 1024;

/// What a lesson file's name ends in.
pub const EXTENSION: &str = ".lesson.ron";

/// The line at the top of every saved file.
const TOP_LINE: &str =
    "// A fingerpost lesson. It may be edited by hand; `fingerpost check FILE` says if it still reads.\n";

/// A lesson as it was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Loaded {
    /// The lesson.
    pub lesson: Lesson,
    /// What the file held, to notice a change by another program.
    pub fingerprint: Fingerprint,
    /// The format the file was written in.
    pub origin: Origin,
}

/// The format a file was written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// Today's.
    Current,
    /// An older one, brought up to date in memory; the file itself changes when it is saved.
    Older {
        /// Its number.
        format: u32,
    },
    /// A newer one that happened to be readable. Saving would lose what this version does not know, so
    /// the lesson is for reading only.
    Newer {
        /// Its number.
        format: u32,
    },
}

/// Why a lesson was not read.
#[derive(Debug, thiserror::Error)]
pub enum LoadError {
    /// There is no such file.
    #[error("{}: there is no such file", shown(path))]
    Missing {
        /// The file.
        path: PathBuf,
    },
    /// It is a folder, a device or the like.
    #[error("{}: this is {what}, not a lesson file", shown(path))]
    NotAFile {
        /// The path.
        path: PathBuf,
        /// What it is.
        what: &'static str,
    },
    /// The system refuses to open it.
    #[error("{}: no permission to read this file", shown(path))]
    NoPermission {
        /// The file.
        path: PathBuf,
    },
    /// Anything else that went wrong while reading.
    #[error("{}: cannot be read: {source}", shown(path))]
    Read {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// It is larger than any lesson.
    #[error("{}: the file is larger than {} MB, which no lesson is", shown(path), LARGEST / (1024 * 1024))]
    TooLarge {
        /// The file.
        path: PathBuf,
    },
    /// There is nothing in it.
    #[error("{}: the file is empty", shown(path))]
    Empty {
        /// The file.
        path: PathBuf,
    },
    /// A place in it is wrong.
    #[error("{}:{fault}", shown(path))]
    Fault {
        /// The file.
        path: PathBuf,
        /// The place and what is wrong.
        fault: Box<Fault>,
    },
    /// It was written by a newer version, and in a way that this one cannot read.
    #[error("{}: the file has format {format}, and this version reads up to {FORMAT}", shown(path))]
    Newer {
        /// The file.
        path: PathBuf,
        /// Its format.
        format: u32,
    },
}

impl LoadError {
    /// Returns what to do about it.
    pub fn hint(&self) -> &str {
        match self {
            Self::Missing { .. } => "check the name and the folder, or make a new lesson under this name",
            Self::NotAFile { .. } => "name a file that ends in `.lesson.ron`",
            Self::NoPermission { .. } => "ask its owner to let you read it, or copy it as its owner",
            Self::Read { .. } => "check the disk or the connection it lies on and try again",
            Self::TooLarge { .. } => "check that this is the file you meant",
            Self::Empty { .. } => "open an older copy, or delete the file and make a new lesson under this name",
            Self::Fault { fault, .. } => &fault.hint,
            Self::Newer { .. } => "open it with the version of fingerpost that wrote it, or a newer one",
        }
    }

    /// Returns the whole message on several lines: what and where, the line concerned, what to do.
    pub fn report(&self) -> String {
        match self {
            Self::Fault { path, fault } => fault.report(path),
            other => format!("{other}\n{}", other.hint()),
        }
    }
}

/// Reads the lesson at `path`.
///
/// A lesson with slips in it, a link to nothing or an identity given twice, is read all the same:
/// those are findings of the check.
pub fn load(path: &Path) -> Result<Loaded, LoadError> {
    parse(path, &read(path)?)
}

/// Reads the bytes of a file that may not be larger than a lesson.
pub(super) fn read(path: &Path) -> Result<Vec<u8>, LoadError> {
    let refused = |source: io::Error| {
        let path = path.to_owned();
        match source.kind() {
            io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => LoadError::Missing { path },
            io::ErrorKind::PermissionDenied => LoadError::NoPermission { path },
            io::ErrorKind::IsADirectory => LoadError::NotAFile { path, what: "a folder" },
            _ => LoadError::Read { path, source },
        }
    };
    // Asked before opening, because opening a pipe would wait for somebody to write into it.
    let metadata = fs::metadata(path).map_err(refused)?;
    if metadata.is_dir() {
        return Err(LoadError::NotAFile { path: path.to_owned(), what: "a folder" });
    }
    if !metadata.is_file() {
        return Err(LoadError::NotAFile { path: path.to_owned(), what: "a device or a pipe" });
    }
    let too_large = || LoadError::TooLarge { path: path.to_owned() };
    if metadata.len() > LARGEST {
        return Err(too_large());
    }
    let mut bytes = Vec::new();
    // Limited again, since the file may grow while it is read.
    File::open(path).map_err(refused)?.take(LARGEST + 1).read_to_end(&mut bytes).map_err(refused)?;
    if bytes.len() as u64 > LARGEST { Err(too_large()) } else { Ok(bytes) }
}

/// Reads a lesson from the content of a file; `path` is for the messages only.
pub fn parse(path: &Path, bytes: &[u8]) -> Result<Loaded, LoadError> {
    let fault = |fault: Fault| LoadError::Fault { path: path.to_owned(), fault: Box::new(fault) };
    let text = as_text(bytes).map_err(fault)?;
    if text.trim().is_empty() {
        return Err(LoadError::Empty { path: path.to_owned() });
    }
    let fingerprint = Fingerprint::of(bytes);
    let format = format_of(text);
    let document: SpannedResult<Document> = match format {
        Some(format) if format < FORMAT => {
            let text = migration::upgrade(text, format, FORMAT, MIGRATIONS).map_err(fault)?;
            options().from_str(&text)
        }
        _ => options().from_str(text),
    };
    match (document, format) {
        (Ok(Document { lesson, format }), _) => {
            let origin = match format {
                FORMAT => Origin::Current,
                format if format < FORMAT => Origin::Older { format },
                format => Origin::Newer { format },
            };
            Ok(Loaded { lesson, fingerprint, origin })
        }
        (Err(_), Some(format)) if format > FORMAT => Err(LoadError::Newer { path: path.to_owned(), format }),
        (Err(error), _) => Err(fault(Fault::from_ron(text, &error))),
    }
}

/// Returns the text of a lesson file, with a line feed at its end.
pub fn to_text(lesson: &Lesson) -> Result<String, SaveError> {
    let compact = options()
        .to_string(&DocumentRef { format: FORMAT, lesson })
        .map_err(|error| SaveError::Unwritable { reason: error.to_string() })?;
    // The outer bracket, the lesson, and its header and lists.
    Ok(TOP_LINE.to_owned() + &lay_out(&compact, 3))
}

/// What may be replaced by saving.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Replace {
    /// Nothing: there must be no such file yet.
    Nothing,
    /// The file as it was last read or saved.
    Unchanged(Fingerprint),
    /// Whatever is there: the teacher has been asked.
    Anything,
}

/// Why a lesson was not saved. Whatever was on the disk before is still there.
#[derive(Debug, thiserror::Error)]
pub enum SaveError {
    /// Another program has changed the file since it was read.
    #[error("{}: the file was changed by another program since it was opened", shown(path))]
    ChangedOnDisk {
        /// The file.
        path: PathBuf,
    },
    /// Another program has removed or renamed the file since it was read.
    #[error("{}: the file was moved or deleted since it was opened", shown(path))]
    Gone {
        /// The file.
        path: PathBuf,
    },
    /// There is a file of that name, and nobody said it may be replaced.
    #[error("{}: there is a file of this name already", shown(path))]
    Exists {
        /// The file.
        path: PathBuf,
    },
    /// The lesson was opened for reading only.
    #[error("{}: not saved: {reason}", shown(path))]
    ReadOnly {
        /// The file.
        path: PathBuf,
        /// Why.
        reason: String,
    },
    /// The lesson holds something that cannot be written so that it reads back.
    #[error("the lesson cannot be written: {reason}")]
    Unwritable {
        /// What.
        reason: String,
    },
    /// The lesson takes more room than a lesson file may have.
    #[error("{}: the lesson takes more than {} MB and could not be opened again", shown(path), LARGEST / (1024 * 1024))]
    TooLarge {
        /// The file.
        path: PathBuf,
    },
    /// The system refused.
    #[error("{}: not saved: {source}", shown(path))]
    Write {
        /// The file.
        path: PathBuf,
        /// Why.
        source: WriteError,
    },
}

impl SaveError {
    /// Returns what to do about it.
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::ChangedOnDisk { .. } => "save under another name and compare the two, or overwrite the file",
            Self::Gone { .. } => "save it again under this name, or under another",
            Self::Exists { .. } => "choose another name, or overwrite the file",
            Self::ReadOnly { .. } => "save under another name",
            Self::Unwritable { .. } => "undo the last change and try again",
            Self::TooLarge { .. } => "split the lesson in two",
            Self::Write { source, .. } => source.hint(),
        }
    }
}

/// Saves `lesson` at `path`, whole or not at all, and returns the file's fingerprint.
pub fn save(path: &Path, lesson: &Lesson, replace: Replace) -> Result<Fingerprint, SaveError> {
    let text = to_text(lesson)?;
    save_text(path, &text, replace)
}

/// Saves the text of a lesson; see [`save`].
pub(super) fn save_text(path: &Path, text: &str, replace: Replace) -> Result<Fingerprint, SaveError> {
    if text.len() as u64 > LARGEST {
        return Err(SaveError::TooLarge { path: path.to_owned() });
    }
    check_replaced(path, replace)?;
    atomic::replace(path, text.as_bytes()).map_err(|source| SaveError::Write { path: path.to_owned(), source })?;
    Ok(Fingerprint::of(text.as_bytes()))
}

/// Refuses to replace what must not be replaced.
fn check_replaced(path: &Path, replace: Replace) -> Result<(), SaveError> {
    let owned = || path.to_owned();
    match replace {
        Replace::Anything => Ok(()),
        Replace::Nothing if fs::symlink_metadata(path).is_ok() => Err(SaveError::Exists { path: owned() }),
        Replace::Nothing => Ok(()),
        Replace::Unchanged(expected) => match read(path) {
            Ok(bytes) if Fingerprint::of(&bytes) == expected => Ok(()),
            Ok(_) | Err(LoadError::TooLarge { .. } | LoadError::NotAFile { .. }) => {
                Err(SaveError::ChangedOnDisk { path: owned() })
            }
            Err(LoadError::Missing { .. }) => Err(SaveError::Gone { path: owned() }),
            Err(LoadError::Read { source, .. }) => {
                Err(SaveError::Write { path: owned(), source: WriteError::Other { source } })
            }
            Err(_) => Err(SaveError::Write { path: owned(), source: WriteError::Protected }),
        },
    }
}

/// How RON is written and read: an optional value stands for itself, without `Some(…)`.
pub(super) fn options() -> ron::Options {
    ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Document {
    format: u32,
    lesson: Lesson,
}

#[derive(Serialize)]
struct DocumentRef<'a> {
    format: u32,
    lesson: &'a Lesson,
}

/// Returns the `format` of a file whose other fields need not be understood; `None` if it cannot be found.
fn format_of(text: &str) -> Option<u32> {
    #[derive(Deserialize)]
    struct Envelope {
        format: u32,
    }
    options().from_str(text).ok().map(|Envelope { format }| format)
}

/// Returns the bytes as text without a byte order mark, or the first place that is none.
pub(super) fn as_text(bytes: &[u8]) -> Result<&str, Fault> {
    const HINT: &str = "save the file as plain text in UTF-8, or open an older copy";
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let (valid, problem) = match std::str::from_utf8(bytes) {
        Ok(text) => match text.find('\0') {
            None => return Ok(text),
            Some(at) => (at, "a zero byte stands here: expected plain text"),
        },
        Err(_) if bytes.starts_with(b"\xff\xfe") || bytes.starts_with(b"\xfe\xff") => {
            (0, "the text is stored as UTF-16: expected UTF-8")
        }
        Err(error) => (error.valid_up_to(), "a byte here is not UTF-8: expected plain text"),
    };
    let (line, column) = end_of(bytes.get(..valid).and_then(|good| std::str::from_utf8(good).ok()).unwrap_or_default());
    Err(Fault::at(&String::from_utf8_lossy(bytes), line, column, problem, HINT))
}
