//! Small files of the user's own, read with a default where there is none and changed without
//! losing what another window changed in the meantime.
//!
//! A change is made under a lock beside the file, from reading to renaming. Where there can be no lock, what another
//! window wrote in between is noticed by comparing, which leaves the moment between comparing and renaming.

use std::fs;
use std::path::{Path, PathBuf};
use std::thread;
use std::time::{Duration, Instant, SystemTime};

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use super::atomic::{self, WriteError, folder_of, real_path};
use super::disk::Disk;
use super::fault::shown;
use super::fingerprint::Fingerprint;
use super::layout::lay_out;
use super::lock::{Asked, Holder, Lock};
use super::ron_file::{LARGEST, LoadError, options, parse_whole, read};

/// What is kept in such a file.
pub trait UserFile: Default + Serialize + DeserializeOwned {
    /// The line at the top of the file.
    const TOP_LINE: &'static str;
    /// The format that is written.
    const FORMAT: u32;

    /// Returns the format a file was read with.
    fn format(&self) -> u32;

    /// States the format that is written: what is written has the words of today, whatever it was read with.
    fn renew_format(&mut self);
}

/// Why such a file was not changed. What was there before is still there, but for [`UpdateError::Unconfirmed`].
#[derive(Debug, thiserror::Error)]
pub enum UpdateError {
    /// What is there cannot be read, so it is not written over.
    #[error("{source}; it is left as it is, and nothing is added to it")]
    Unreadable {
        /// What is wrong with it.
        source: LoadError,
    },
    /// What should be written cannot be.
    #[error("{}: cannot be written: {reason}", shown(path))]
    Unwritable {
        /// The file.
        path: PathBuf,
        /// What.
        reason: String,
    },
    /// The system refused.
    #[error("{}: not saved: {source}", shown(path))]
    Write {
        /// The file.
        path: PathBuf,
        /// The reason.
        source: WriteError,
    },
    /// It is changed, but the disk did not confirm it.
    #[error("{}: {source}", shown(path))]
    Unconfirmed {
        /// The file.
        path: PathBuf,
        /// The reason.
        source: WriteError,
    },
    /// Another window is changing it and does not come to an end.
    #[error("{}: not saved, because {holder} is changing it", shown(path))]
    Held {
        /// The file.
        path: PathBuf,
        /// The window that has it.
        holder: Holder,
    },
    /// Other windows kept changing it.
    #[error("{}: not saved, because other windows keep changing it", shown(path))]
    Busy {
        /// The file.
        path: PathBuf,
    },
}

impl UpdateError {
    /// Returns what to do about it.
    pub fn hint(&self) -> &str {
        match self {
            Self::Unreadable { source } => source.hint(),
            Self::Unwritable { .. } => "undo the last change and try again",
            Self::Write { source, .. } | Self::Unconfirmed { source, .. } => source.hint(),
            Self::Held { .. } => "try again; if that does not help, close the other window",
            Self::Busy { .. } => "try again",
        }
    }
}

/// Reads the file at `path`; without a file, returns the default.
///
/// Errors: the file is there and cannot be read, or is faulty or too new.
pub fn load<T: UserFile>(path: &Path) -> Result<T, LoadError> {
    load_with_fingerprint(path).map(|(content, _)| content)
}

/// How long a window waits for another that is changing a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Patience {
    /// How long nothing may move.
    pub still: Duration,
    /// How long in all, while others change the file one after the other.
    pub longest: Duration,
}

impl Patience {
    /// As long as a person waits for a key without wondering. A save takes some hundredths of a second.
    pub const USUAL: Self = Self { still: Duration::from_secs(2), longest: Duration::from_secs(10) };
    /// As long as nobody notices who has struck a key. Another window is usually done by then.
    pub const AT_A_KEY: Self = Self { still: Duration::from_millis(30), longest: Duration::from_millis(30) };
    /// Not at all.
    pub const NONE: Self = Self { still: Duration::ZERO, longest: Duration::ZERO };

    /// Returns the shorter of both.
    pub fn at_most(self, other: Self) -> Self {
        Self { still: self.still.min(other.still), longest: self.longest.min(other.longest) }
    }

    /// The time between two looks.
    const LOOK: Duration = Duration::from_millis(2);
}

/// Changes the file at `path` on this disk: reads it, lets `change` change it, and writes it back whole. Other windows
/// wait for that, and this one waits for them.
///
/// Where there can be no lock and another window writes in between, the change is made again on what that window wrote.
/// A folder that is missing is made.
///
/// Errors: the file cannot be read, what is changed cannot be written, or other windows keep changing it.
pub fn update<T: UserFile>(
    disk: &Disk,
    path: &Path,
    patience: Patience,
    mut change: impl FnMut(&mut T),
) -> Result<T, UpdateError> {
    let write = |source| match source {
        WriteError::Unconfirmed { .. } => UpdateError::Unconfirmed { path: path.to_owned(), source },
        source => UpdateError::Write { path: path.to_owned(), source },
    };
    disk.make_folder(folder_of(path)).map_err(|source| write(WriteError::FolderProtected { source }))?;
    let _lock = lock(disk, path, patience)?;
    // Without a lock, another window in between is rare; again and again in between is not another window.
    for _ in 0..5 {
        let (mut content, before) =
            load_with_fingerprint::<T>(path).map_err(|source| UpdateError::Unreadable { source })?;
        change(&mut content);
        content.renew_format();
        let text = to_text(&content).map_err(|reason| UpdateError::Unwritable { path: path.to_owned(), reason })?;
        if fingerprint_at(path) == before {
            atomic::replace_on(disk, path, text.as_bytes()).map_err(write)?;
            return Ok(content);
        }
    }
    Err(UpdateError::Busy { path: path.to_owned() })
}

/// Returns the lock on the file at `path`, or `None` where there can be none. While others write the file one after the
/// other it waits longer than for one that does not come to an end.
///
/// Errors: another window has the lock and does not let go.
fn lock(disk: &Disk, path: &Path, patience: Patience) -> Result<Option<Lock>, UpdateError> {
    let real = real_path(path);
    let begun = Instant::now();
    let (mut still_since, mut seen) = (begun, written_at(&real));
    loop {
        let holder = match Lock::ask_on(disk, &real) {
            Asked::Held(lock) => return Ok(Some(lock)),
            // The write fails for the same reason, or goes on without this protection.
            Asked::NoLock { .. } | Asked::NotAllowed { .. } => return Ok(None),
            Asked::Elsewhere(holder) => holder,
        };
        let now = written_at(&real);
        if now != seen {
            (still_since, seen) = (Instant::now(), now);
        }
        if still_since.elapsed() >= patience.still || begun.elapsed() >= patience.longest {
            return Err(UpdateError::Held { path: path.to_owned(), holder });
        }
        thread::sleep(Patience::LOOK);
    }
}

/// Returns when a file was written, as far as is known.
fn written_at(path: &Path) -> Option<SystemTime> {
    fs::metadata(path).and_then(|metadata| metadata.modified()).ok()
}

/// Returns the text of a file, after reading it back.
fn to_text<T: UserFile>(content: &T) -> Result<String, String> {
    let compact = options().to_string(content).map_err(|error| error.to_string())?;
    // The outer bracket and its lists.
    let text = format!("// {}\n{}", T::TOP_LINE, lay_out(&compact, 2));
    match options().from_str::<T>(&text) {
        Ok(_) => Ok(text),
        Err(error) => Err(error.code.to_string()),
    }
}

fn load_with_fingerprint<T: UserFile>(path: &Path) -> Result<(T, Option<Fingerprint>), LoadError> {
    let bytes = match read(path, LARGEST) {
        Ok(bytes) => bytes,
        Err(LoadError::Missing { .. }) => return Ok((T::default(), None)),
        Err(other) => return Err(other),
    };
    let newer = |format| LoadError::Newer { path: path.to_owned(), format, newest: T::FORMAT };
    let content: T = match parse_whole(path, &bytes) {
        Ok(content) => content,
        // Words of a newer format are unknown here, and no fault of the file.
        Err(error) => return Err(stated_format(&bytes).filter(|format| *format > T::FORMAT).map_or(error, newer)),
    };
    if content.format() > T::FORMAT {
        return Err(newer(content.format()));
    }
    Ok((content, Some(Fingerprint::of(&bytes))))
}

/// Returns the format that a file states, whatever else is in it.
fn stated_format(bytes: &[u8]) -> Option<u32> {
    #[derive(Deserialize)]
    struct Stated {
        format: u32,
    }
    options().from_str::<Stated>(std::str::from_utf8(bytes).ok()?).ok().map(|stated| stated.format)
}

fn fingerprint_at(path: &Path) -> Option<Fingerprint> {
    read(path, LARGEST).ok().map(|bytes| Fingerprint::of(&bytes))
}
