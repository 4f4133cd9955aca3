//! The end of a journal's file, where the next line goes.

use std::fs;
use std::io;
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use super::error::JournalError;
use super::lines::Chain;
use crate::store::atomic::folder_of;
use crate::store::disk::{Disk, DiskFile};
use crate::store::fingerprint::Fingerprint;

/// The end of the file.
#[derive(Debug)]
pub(super) struct Tail {
    file: Arc<DiskFile>,
    /// The bytes of its whole lines.
    length: u64,
    /// The checksum of the last of them.
    last: Option<u64>,
    /// Every content of the lesson's file that its base lines name: a file that holds one of them fits what comes next.
    named: Vec<Fingerprint>,
    /// What stands at its end.
    end: End,
    /// What of it the disk has.
    on_disk: OnDisk,
    /// Whether the disk did not confirm what was waited for last.
    refused: Arc<AtomicBool>,
}

/// What stands at the end of the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum End {
    /// A line, or nothing.
    Line,
    /// Half a line that could not be taken back.
    HalfLine,
}

/// What of a file the disk itself has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum OnDisk {
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
    refused: Arc<AtomicBool>,
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
        self.refused.store(synced.is_err(), Ordering::Release);
        synced.map_err(|source| JournalError::Unconfirmed { path: self.file.path().to_owned(), source })
    }
}

impl Tail {
    /// Goes on with the journal at `path` after its first `length` bytes, the last line of which has the checksum `last`.
    ///
    /// Errors: it cannot be opened.
    pub fn goes_on(
        disk: &Disk,
        path: &Path,
        length: u64,
        last: Option<u64>,
        named: Vec<Fingerprint>,
    ) -> io::Result<Self> {
        let file = disk.open_to_add(path)?;
        let end = if file.cut(length).is_ok() { End::Line } else { End::HalfLine };
        // The process before this one may not have waited for the disk.
        Ok(Self { file: Arc::new(file), length, last, named, end, on_disk: OnDisk::Nothing, refused: Arc::default() })
    }

    /// Writes a journal of these lines at `path`, in one step where one lies there.
    ///
    /// Errors: the system refuses; what lay there is as it was.
    pub fn written(disk: &Disk, path: &Path, mode: u32, lines: &Chain, base: Fingerprint) -> io::Result<Self> {
        let replaces = fs::symlink_metadata(path).is_ok();
        let made_at = if replaces { part_of(path) } else { path.to_owned() };
        if replaces {
            // Left by a process that was killed here.
            let _ = disk.remove(&made_at);
        }
        let file = disk.create(&made_at, mode)?;
        let put = || -> io::Result<()> {
            file.put(lines.text.as_bytes())?;
            if replaces {
                // What is replaced may be on the disk itself already, and must not be gone after a power cut.
                file.sync()?;
                disk.rename(&made_at, path)?;
            }
            Ok(())
        };
        if let Err(error) = put() {
            let _ = disk.remove(&made_at);
            return Err(error);
        }
        let file = if replaces { disk.open_to_add(path)? } else { file };
        Ok(Self {
            file: Arc::new(file),
            length: lines.text.len() as u64,
            last: lines.last,
            named: vec![base],
            end: End::Line,
            on_disk: OnDisk::Nothing,
            refused: Arc::default(),
        })
    }

    /// Returns where it lies.
    pub fn path(&self) -> &Path {
        self.file.path()
    }

    /// Returns whether what comes next belongs to a lesson's file with this content, and the journal is where it was.
    pub fn takes(&self, base: Fingerprint) -> bool {
        self.named.contains(&base) && fs::symlink_metadata(self.path()).is_ok_and(|there| there.is_file())
    }

    /// Returns whether it says anything.
    pub const fn is_empty(&self) -> bool {
        self.length == 0
    }

    /// Writes lines in one piece, so that they begin on a line of their own whatever failed before.
    ///
    /// Errors: the system refuses; then nothing of them counts.
    pub fn write(&mut self, add: impl FnOnce(&mut Chain)) -> io::Result<()> {
        let mut lines = Chain::after(self.last);
        if self.end == End::HalfLine && self.file.cut(self.length).is_err() {
            let half = self.file.metadata()?.len().saturating_sub(self.length);
            lines.text.push('\n');
            lines.torn(half + 1);
        }
        add(&mut lines);
        if self.refused.swap(false, Ordering::AcqRel) {
            // All of it is waited for once more, with what comes now.
            self.on_disk = OnDisk::Nothing;
        } else if self.on_disk == OnDisk::All {
            self.on_disk = OnDisk::Name;
        }
        let written = self.file.put(lines.text.as_bytes());
        match written {
            Ok(()) => {
                self.length = self.file.metadata().map_or(self.length + lines.text.len() as u64, |file| file.len());
                self.last = lines.last;
                self.end = End::Line;
            }
            // Half a line must not stay before whatever is written next.
            Err(_) if self.file.cut(self.length).is_err() => self.end = End::HalfLine,
            Err(_) => {}
        }
        written
    }

    /// Notes that the file is about to hold `next`.
    ///
    /// Errors: the system refuses.
    pub fn write_base(&mut self, next: Fingerprint, add: impl FnOnce(&mut Chain)) -> io::Result<()> {
        self.write(add)?;
        self.named.push(next);
        Ok(())
    }

    /// Empties it.
    ///
    /// Errors: the system refuses; it is as it was.
    pub fn empty(&mut self) -> io::Result<()> {
        self.file.cut(0)?;
        (self.length, self.last, self.end) = (0, None, End::Line);
        self.named.clear();
        Ok(())
    }

    /// Returns whether some of it is not on the disk itself yet.
    pub fn is_unsynced(&self) -> bool {
        self.on_disk != OnDisk::All
    }

    /// Returns what is to be waited for until it is on the disk itself, if anything is.
    pub fn take_unsynced(&mut self, disk: &Disk) -> Option<Unsynced> {
        let on_disk = std::mem::replace(&mut self.on_disk, OnDisk::All);
        (on_disk != OnDisk::All).then(|| Unsynced {
            disk: disk.clone(),
            file: Arc::clone(&self.file),
            on_disk,
            refused: Arc::clone(&self.refused),
        })
    }

    /// Takes back what was not confirmed.
    pub fn still_unsynced(&mut self, unsynced: &Unsynced) {
        self.on_disk = unsynced.on_disk;
    }
}

/// Returns where a journal is written that is to take the place of the one at `path`.
fn part_of(path: &Path) -> std::path::PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".part");
    name.into()
}
