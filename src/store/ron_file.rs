//! Reading a RON file whatever it holds: its size, its bytes, its text, and errors with their place.

use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use serde::de::DeserializeOwned;

use super::fault::{Fault, end_of, shown};

/// The largest file that is read, in bytes. A lesson of 10,000 full bars takes some 9 MB.
pub const LARGEST: u64 = 32 * 1024 * 1024;

/// Why a file was not read.
#[derive(Debug, thiserror::Error)]
pub enum LoadError {
    /// There is no such file.
    #[error("{}: there is no such file", shown(path))]
    Missing {
        /// The file.
        path: PathBuf,
    },
    /// It is a folder, a device or the like.
    #[error("{}: this is {what}, not a file", shown(path))]
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
    /// It is larger than [`LARGEST`].
    #[error("{}: the file is larger than {} MB and is not read", shown(path), LARGEST / (1024 * 1024))]
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
    #[error("{}: the file version is {format}, and this program reads up to {newest}", shown(path))]
    Newer {
        /// The file.
        path: PathBuf,
        /// Its format.
        format: u32,
        /// The newest format that is understood.
        newest: u32,
    },
}

impl LoadError {
    /// Returns what it means that the system refused to read the file at `path`.
    fn of(path: &Path, source: io::Error) -> Self {
        let path = path.to_owned();
        match source.kind() {
            io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => Self::Missing { path },
            io::ErrorKind::PermissionDenied => Self::NoPermission { path },
            io::ErrorKind::IsADirectory => Self::NotAFile { path, what: "a folder" },
            _ => Self::Read { path, source },
        }
    }

    /// Returns what to do about it.
    pub fn hint(&self) -> &str {
        match self {
            Self::Missing { .. } => "check the name and the folder",
            Self::NotAFile { .. } => "name the file itself; a lesson's name ends in `.lesson.ron`",
            Self::NoPermission { .. } => "ask its owner to let you read it, or copy it as its owner",
            Self::Read { .. } => "check the disk or the connection it lies on and try again",
            Self::TooLarge { .. } => "check that this is the file you meant",
            Self::Empty { .. } => "put an older copy in its place, or delete it and start again",
            Self::Fault { fault, .. } => &fault.hint,
            Self::Newer { .. } => "open it with the fingerpost that wrote it, or a newer one",
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

/// Reads the bytes of an ordinary file of at most `largest` bytes.
///
/// Errors: it is missing, no file, larger than that, or the system refuses.
pub(super) fn read(path: &Path, largest: u64) -> Result<Vec<u8>, LoadError> {
    let refused = |source: io::Error| LoadError::of(path, source);
    // Asked before opening, because opening a pipe would wait for somebody to write into it.
    let metadata = fs::metadata(path).map_err(refused)?;
    if metadata.is_dir() {
        return Err(LoadError::NotAFile { path: path.to_owned(), what: "a folder" });
    }
    if !metadata.is_file() {
        return Err(LoadError::NotAFile { path: path.to_owned(), what: "a device or a pipe" });
    }
    let too_large = || LoadError::TooLarge { path: path.to_owned() };
    if metadata.len() > largest {
        return Err(too_large());
    }
    let mut bytes = Vec::new();
    // Limited again, since the file may grow while it is read.
    File::open(path).map_err(refused)?.take(largest.saturating_add(1)).read_to_end(&mut bytes).map_err(refused)?;
    if bytes.len() as u64 > largest { Err(too_large()) } else { Ok(bytes) }
}

/// Reads a whole value from the content of a file; `path` is for the messages only.
///
/// Errors: it is empty, or the place of what is wrong.
pub(super) fn parse_whole<T: DeserializeOwned>(path: &Path, bytes: &[u8]) -> Result<T, LoadError> {
    let fault = |fault: Fault| LoadError::Fault { path: path.to_owned(), fault: Box::new(fault) };
    let text = as_text(bytes).map_err(fault)?;
    if text.trim().is_empty() {
        return Err(LoadError::Empty { path: path.to_owned() });
    }
    options().from_str(text).map_err(|error| fault(Fault::from_ron(text, &error)))
}

/// Returns how RON is written and read: an optional value stands for itself, without `Some(…)`.
pub(super) fn options() -> ron::Options {
    ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME)
}

/// Returns the bytes as text without a byte order mark, or the first place that is none.
///
/// Errors: the place of the first byte that is no text.
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
        Err(error) => (error.valid_up_to(), "this is not plain text (UTF-8)"),
    };
    let (line, column) = end_of(bytes.get(..valid).and_then(|good| std::str::from_utf8(good).ok()).unwrap_or_default());
    Err(Fault::at(&String::from_utf8_lossy(bytes), line, column, problem, HINT))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_the_system_refuses_is_said_in_plain_words() {
        use io::ErrorKind as Kind;
        for (kind, words) in [
            (Kind::NotFound, "there is no such file"),
            (Kind::NotADirectory, "there is no such file"),
            (Kind::PermissionDenied, "no permission to read this file"),
            (Kind::IsADirectory, "this is a folder, not a file"),
        ] {
            let refused = LoadError::of(Path::new("reel.lesson.ron"), io::Error::from(kind));
            assert_eq!(refused.to_string(), format!("reel.lesson.ron: {words}"));
        }
    }
}
