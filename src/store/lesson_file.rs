//! The lesson file `*.lesson.ron`: reading it with errors that say where and why, and saving it whole.
//!
//! A file of 32 MiB is the largest that is read; there is no limit on the number of bars. A file of nothing but
//! millions of empty bars would still take more than a gigabyte: nobody has such a lesson by accident, and a limit
//! on bars would be one more to explain.

use std::fs;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::atomic::{self, WriteError};
use super::disk::Disk;
use super::fault::{Fault, shown};
use super::fingerprint::Fingerprint;
use super::formats::LESSON_FORMAT;
use super::layout::{lay_out, quoted_length};
use super::migration::{self, MIGRATIONS, SAME_WORDS, identity_of};
pub use super::ron_file::{LARGEST, LoadError};
use super::ron_file::{as_text, options, read};
use crate::lesson::document::Lesson;

/// What a lesson file's name ends in.
pub const EXTENSION: &str = ".lesson.ron";

/// The line at the top of every saved file.
const TOP_LINE: &str = "// A fingerpost lesson. It may be edited by hand (comments are not kept); `fingerpost check FILE` says if it still reads.\n";

/// A lesson as it was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Loaded {
    /// The lesson.
    pub lesson: Lesson,
    /// What the file held, to notice a change by another program.
    pub fingerprint: Fingerprint,
    /// The format the file was written in.
    pub origin: Origin,
    /// Whether saving would lose comments.
    pub comments: Comments,
    /// Where its identity is from.
    pub identity: IdentityFrom,
}

/// Where the identity of a lesson that was read is from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum IdentityFrom {
    /// The file states it.
    File,
    /// The file states none, and it follows from its content: another content would give another one.
    Content,
}

/// Whether a file holds comments. They are no part of the lesson, so saving drops them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Comments {
    /// None but the line at the top.
    None,
    /// Somebody has written some.
    ByHand,
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

/// Reads the lesson at `path`.
///
/// A lesson with slips in it, a link to nothing or an identity given twice, is read all the same:
/// those are findings of the check.
///
/// Errors: the file is not there, cannot be read, or is too large, empty, faulty or too new to be understood.
pub fn load(path: &Path) -> Result<Loaded, LoadError> {
    parse(path, &read(path, LARGEST)?)
}

/// Reads a lesson from the content of a file; `path` is for the messages only. A lesson without an identity gets the one
/// that follows from its content.
///
/// Errors: the content is empty, faulty or too new to be understood.
pub fn parse(path: &Path, bytes: &[u8]) -> Result<Loaded, LoadError> {
    let text = as_text(bytes).map_err(|fault| LoadError::Fault { path: path.to_owned(), fault: Box::new(fault) })?;
    let (mut lesson, origin) = parse_text(path, text)?;
    let fingerprint = Fingerprint::of(bytes);
    let identity = if lesson.id.is_some() { IdentityFrom::File } else { IdentityFrom::Content };
    lesson.id.get_or_insert_with(|| identity_of(text, bytes, &fingerprint));
    Ok(Loaded { lesson, fingerprint, origin, comments: comments_in(text), identity })
}

/// Reads what the text of a file says, and no more.
fn parse_text(path: &Path, text: &str) -> Result<(Lesson, Origin), LoadError> {
    let fault = |fault: Fault| LoadError::Fault { path: path.to_owned(), fault: Box::new(fault) };
    if text.trim().is_empty() {
        return Err(LoadError::Empty { path: path.to_owned() });
    }
    let newer = |format| LoadError::Newer { path: path.to_owned(), format, newest: LESSON_FORMAT };
    // Nearly every file has the words of today, so they are tried before asking which format it is.
    Ok(match options().from_str::<Document>(text) {
        Ok(Document { lesson, format: LESSON_FORMAT }) => (lesson, Origin::Current),
        Ok(Document { lesson, format }) if format > LESSON_FORMAT => (lesson, Origin::Newer { format }),
        Ok(Document { lesson, format }) if format >= SAME_WORDS => (lesson, Origin::Older { format }),
        Ok(Document { format, .. }) => (upgraded(text, format).map_err(fault)?, Origin::Older { format }),
        Err(error) => match format_of(text) {
            Some(format) if format > LESSON_FORMAT => return Err(newer(format)),
            Some(format) if format < SAME_WORDS => (upgraded(text, format).map_err(fault)?, Origin::Older { format }),
            _ => return Err(fault(Fault::from_ron(text, &error))),
        },
    })
}

/// Reads a lesson of an older format.
fn upgraded(text: &str, format: u32) -> Result<Lesson, Fault> {
    let text = migration::upgrade(text, format, LESSON_FORMAT, MIGRATIONS)?;
    let document: Document = options().from_str(&text).map_err(|error| Fault::from_ron(&text, &error))?;
    Ok(document.lesson)
}

/// Returns the text of a lesson file, with a line feed at its end.
///
/// Errors: the lesson holds something that cannot be written.
pub fn to_text(lesson: &Lesson) -> Result<String, SaveError> {
    let compact = options()
        .to_string(&DocumentRef { format: LESSON_FORMAT, lesson })
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

/// Why a lesson was not saved. Whatever was on the disk before is still there, but for [`SaveError::Unconfirmed`].
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
        /// The reason.
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
        /// The reason.
        source: WriteError,
    },
    /// The lesson is in its file, but the disk did not confirm it.
    #[error("{}: {source}", shown(path))]
    Unconfirmed {
        /// The file.
        path: PathBuf,
        /// The reason.
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
            Self::Write { source, .. } | Self::Unconfirmed { source, .. } => source.hint(),
        }
    }
}

/// Saves `lesson` at `path`, whole or not at all, and returns the file's fingerprint.
///
/// Errors: what is there may not be replaced, or the lesson cannot be written; what was there is still there.
pub fn save(path: &Path, lesson: &Lesson, replace: Replace) -> Result<Fingerprint, SaveError> {
    save_text(&Disk::real(), path, &to_checked_text(lesson)?, replace)
}

/// Returns the text of a lesson file after reading it back: what could not be opened again must not
/// take the place of what can.
///
/// Errors: the lesson would not read back as it is.
pub(super) fn to_checked_text(lesson: &Lesson) -> Result<String, SaveError> {
    let text = to_text(lesson)?;
    match parse_text(Path::new(""), &text) {
        Ok((read, _)) if read == *lesson => Ok(text),
        Ok(_) => Err(SaveError::Unwritable { reason: "it would read back differently".to_owned() }),
        Err(LoadError::Fault { fault, .. }) => Err(SaveError::Unwritable { reason: fault.problem }),
        Err(other) => Err(SaveError::Unwritable { reason: other.to_string() }),
    }
}

/// Saves the text of a lesson on this disk; see [`save`].
///
/// Errors: the text is too large, what is there may not be replaced, or the system refuses.
pub(super) fn save_text(disk: &Disk, path: &Path, text: &str, replace: Replace) -> Result<Fingerprint, SaveError> {
    if text.len() as u64 > LARGEST {
        return Err(SaveError::TooLarge { path: path.to_owned() });
    }
    check_replaced(path, replace)?;
    atomic::replace_on(disk, path, text.as_bytes()).map_err(|source| match source {
        WriteError::Unconfirmed { .. } => SaveError::Unconfirmed { path: path.to_owned(), source },
        source => SaveError::Write { path: path.to_owned(), source },
    })?;
    Ok(Fingerprint::of(text.as_bytes()))
}

/// Refuses to replace what must not be replaced.
fn check_replaced(path: &Path, replace: Replace) -> Result<(), SaveError> {
    let owned = || path.to_owned();
    match replace {
        Replace::Anything => Ok(()),
        Replace::Nothing if fs::symlink_metadata(path).is_ok() => Err(SaveError::Exists { path: owned() }),
        Replace::Nothing => Ok(()),
        Replace::Unchanged(expected) => match read(path, LARGEST) {
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

/// Looks for comments in the text of a lesson that was read, so that every quote has its partner.
fn comments_in(text: &str) -> Comments {
    let text = match text.split_once('\n') {
        Some((first, rest)) if first.starts_with("// A fingerpost lesson.") => rest,
        _ => text,
    };
    let mut rest = text;
    while let Some(at) = rest.bytes().position(|byte| matches!(byte, b'"' | b'/')) {
        let (before, found) = rest.split_at(at);
        if found.starts_with('/') {
            return Comments::ByHand;
        }
        // A raw text, r#"…"#, ends at a quote with as many signs after it, and knows no escapes.
        let signs = before.len() - before.trim_end_matches('#').len();
        let raw = before.trim_end_matches('#').ends_with('r');
        let end = if raw {
            let close = format!("\"{}", "#".repeat(signs));
            found.get(1..).and_then(|inside| inside.find(&close)).map(|at| at + 1 + close.len())
        } else {
            Some(quoted_length(found))
        };
        rest = end.and_then(|end| found.get(end..)).unwrap_or_default();
    }
    Comments::None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_are_told_from_text_and_from_the_line_at_the_top() {
        for (text, expected) in [
            (TOP_LINE, Comments::None),
            ("(title: \"a // b\", meter: \"4/4\", note: \"\\\"//\")", Comments::None),
            ("(title: r#\"a \"// b\"#, x: r\"\\\", y: \"//\")", Comments::None),
            ("(title: \"a\", // the riff\n)", Comments::ByHand),
            ("(title: r\"\\\", /* the riff */)", Comments::ByHand),
            ("// my own line\n(title: \"a\")", Comments::ByHand),
        ] {
            assert_eq!(comments_in(text), expected, "{text}");
        }
    }
}
