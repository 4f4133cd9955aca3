//! A lock beside an open lesson, so that two windows do not overwrite each other.
//!
//! The system holds the lock for this process and lets go of it when the process ends, however it
//! ends. What the lock file says about its holder is only there to be shown.

use std::fmt;
use std::fs::{self, File, TryLockError};
use std::io;
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime, UNIX_EPOCH};

use super::atomic::{beside, sibling};
use super::disk::{Disk, DiskFile};
use crate::text::quote::written_out;

/// What the name of a lock file ends in.
const LOCK: &str = "lock";

/// What came of asking for a lock.
#[derive(Debug)]
pub enum Asked {
    /// It is ours.
    Held(Lock),
    /// Another window has it.
    Elsewhere(Holder),
    /// There can be no lock here, as on a file system that knows none: the work goes on, without
    /// this protection.
    NoLock {
        /// What the system said.
        source: io::Error,
    },
    /// No lock file may be made here, and so no lesson saved either.
    NotAllowed {
        /// What the system said.
        source: io::Error,
    },
}

/// A lock that is held; dropping it lets go.
#[derive(Debug)]
pub struct Lock {
    path: PathBuf,
    disk: Disk,
    // Held open, because closing it gives the lock up.
    _file: DiskFile,
}

/// Who holds a lock, as far as is known.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Holder {
    /// The process.
    pub process: Option<u32>,
    /// The computer.
    pub computer: Option<String>,
    /// For how long.
    pub held_for: Option<Duration>,
}

/// Prints `another window (process 4711 on kestrel, for 12 minutes)`.
impl fmt::Display for Holder {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("another window")?;
        let Some(process) = self.process else { return Ok(()) };
        write!(f, " (process {process}")?;
        if let Some(computer) = &self.computer {
            write!(f, " on {}", written_out(computer))?;
        }
        if let Some(held_for) = self.held_for {
            write!(f, ", for {}", Spoken(held_for))?;
        }
        f.write_str(")")
    }
}

/// A duration as one says it.
struct Spoken(Duration);

impl fmt::Display for Spoken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let minutes = self.0.as_secs() / 60;
        let (count, unit) = match minutes {
            0 => return f.write_str("less than a minute"),
            1..120 => (minutes, "minute"),
            120..2880 => (minutes / 60, "hour"),
            _ => (minutes / 1440, "day"),
        };
        write!(f, "{count} {unit}{}", if count == 1 { "" } else { "s" })
    }
}

impl Lock {
    /// Asks for the lock on the lesson at `path` without waiting.
    pub fn ask(path: &Path) -> Asked {
        Self::ask_on(&Disk::real(), path)
    }

    /// Asks for the lock on the lesson at `path` on this disk without waiting.
    pub fn ask_on(disk: &Disk, path: &Path) -> Asked {
        let path = sibling(path, LOCK);
        // A window that lets go removes the file. Whoever opened it just before then holds a lock
        // on a file that is gone, and has to ask again; ten times in a row is no coincidence.
        for _ in 0..10 {
            let mut file = match disk.open_or_create(&path) {
                Ok(file) => file,
                Err(source) => {
                    return match source.kind() {
                        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
                            Asked::NotAllowed { source }
                        }
                        // A name too long, no room left: no reason to refuse the work.
                        _ => Asked::NoLock { source },
                    };
                }
            };
            match file.try_lock() {
                Ok(()) => {}
                Err(TryLockError::WouldBlock) => return Asked::Elsewhere(Holder::read(&mut file)),
                Err(TryLockError::Error(source)) => {
                    let _ = disk.remove(&path);
                    return Asked::NoLock { source };
                }
            }
            if is_still_at(&file, &path) {
                // Nothing depends on what stands in the file, so a failure here is no failure.
                let _ = file.cut(0).and_then(|()| file.put(Holder::own_line().as_bytes()));
                return Asked::Held(Self { path, disk: disk.clone(), _file: file });
            }
        }
        Asked::Elsewhere(Holder::default())
    }
}

/// Returns whether nobody holds the lock on the lesson at `path`.
pub fn is_free(path: &Path) -> bool {
    match File::open(sibling(path, LOCK)) {
        // Shared, so that two who look see the same.
        Ok(file) => file.try_lock_shared().is_ok(),
        Err(error) => error.kind() == io::ErrorKind::NotFound,
    }
}

/// Returns the lesson that a lock file of this name is beside, and the process that made it, as far as its line says
/// so; `None` where we do not make such a file.
pub(super) fn left_by(path: &Path) -> Option<(PathBuf, Option<u32>)> {
    let lesson = beside(path, LOCK)?;
    let line = fs::read_to_string(path).ok().filter(|line| line.len() <= 1000)?;
    let mut words = line.split_whitespace();
    let process = words.next().map(|word| word.parse().ok());
    let rest_is_ours = words.next().is_none_or(|seconds| seconds.parse::<u64>().is_ok()) && words.count() <= 1;
    match process {
        // Killed before it wrote its line.
        None => Some((lesson, None)),
        Some(Some(process)) if rest_is_ours => Some((lesson, Some(process))),
        Some(_) => None,
    }
}

impl Drop for Lock {
    fn drop(&mut self) {
        // Removed while it is still held, so that nobody can lock a file that is about to go
        // without noticing. Windows refuses to remove an open file; there it stays.
        let _ = self.disk.remove(&self.path);
    }
}

impl Holder {
    /// Returns the line a lock file holds: process, seconds since 1970, computer.
    fn own_line() -> String {
        let now = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |since| since.as_secs());
        format!("{} {now} {}\n", std::process::id(), computer().unwrap_or_default())
    }

    /// Reads what a lock file says; whatever is missing stays unknown.
    fn read(file: &mut DiskFile) -> Self {
        let bytes = file.read_beginning(1000).unwrap_or_default();
        Self::from_line(&String::from_utf8_lossy(&bytes), SystemTime::now())
    }

    fn from_line(line: &str, now: SystemTime) -> Self {
        let mut words = line.split_whitespace();
        let process = words.next().and_then(|word| word.parse().ok());
        let since = words
            .next()
            .and_then(|word| word.parse().ok())
            .and_then(|seconds| UNIX_EPOCH.checked_add(Duration::from_secs(seconds)));
        let held_for = since.and_then(|since| now.duration_since(since).ok());
        Self { process, computer: words.next().map(str::to_owned), held_for }
    }
}

/// Returns the computer's name, where it is easily known.
fn computer() -> Option<String> {
    let name = fs::read_to_string("/proc/sys/kernel/hostname")
        .ok()
        .or_else(|| std::env::var("COMPUTERNAME").ok())
        .or_else(|| std::env::var("HOSTNAME").ok())?;
    name.split_whitespace().next().map(str::to_owned)
}

/// Returns whether the open file is the one that lies at `path` now.
#[cfg(unix)]
fn is_still_at(file: &DiskFile, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    match (file.metadata(), fs::metadata(path)) {
        (Ok(open), Ok(there)) => (open.dev(), open.ino()) == (there.dev(), there.ino()),
        _ => false,
    }
}

/// Returns that an open file is still at its path, because no such file can be removed here.
#[cfg(not(unix))]
fn is_still_at(_file: &DiskFile, _path: &Path) -> bool {
    true
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_holder_is_named_as_far_as_it_is_known() {
        let now = UNIX_EPOCH + Duration::from_secs(100_000);
        for (line, expected) in [
            ("", "another window"),
            ("nonsense \u{1b}[2J", "another window"),
            ("4711", "another window (process 4711)"),
            ("4711 99990 kestrel\n", "another window (process 4711 on kestrel, for less than a minute)"),
            ("4711 99280 kestrel", "another window (process 4711 on kestrel, for 12 minutes)"),
            ("4711 1000 \u{1b}[2J", "another window (process 4711 on \\u{1b}[2J, for 27 hours)"),
            ("4711 200000", "another window (process 4711)"),
            ("4711 18446744073709551615 kestrel", "another window (process 4711 on kestrel)"),
        ] {
            assert_eq!(Holder::from_line(line, now).to_string(), expected);
        }
    }
}
