//! The disk as the store changes it: whatever is made, written, synced, renamed or removed goes through [`Disk`].
//!
//! Reading does not. A [`Witness`] sees each call before and after it is made and may refuse it or cut it short; the tests
//! have the disk fail at every call in turn this way, and work out what a power cut would leave. Nothing else may change
//! a file: a test reads the source for it.

use std::fmt::Debug;
use std::fs::{self, File, Metadata, OpenOptions, Permissions, TryLockError};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// One thing that is done to the disk.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Call<'a> {
    /// Makes a folder, and those it lies in, where they are missing.
    MakeFolder(&'a Path),
    /// Makes a file that must not be there yet.
    Create(&'a Path),
    /// Opens a file that is there, or makes it, to be written to.
    Open(&'a Path),
    /// Gives a file these bytes, at its end where it was opened to be added to.
    Write(&'a Path, &'a [u8]),
    /// Cuts a file off after so many bytes.
    Cut(&'a Path, u64),
    /// Gives a file owner and permissions.
    Protect(&'a Path),
    /// Waits until all that was written to a file has reached the disk itself.
    SyncFile(&'a Path),
    /// Waits until the names of the files in a folder have reached the disk itself.
    SyncFolder(&'a Path),
    /// Gives a file another name, in place of the file that has it.
    Rename {
        /// The name it had.
        from: &'a Path,
        /// The name it gets.
        to: &'a Path,
    },
    /// Takes a file away.
    Remove(&'a Path),
    /// Locks a file for this process.
    Lock(&'a Path),
}

/// What becomes of a call.
#[derive(Debug)]
pub enum Verdict {
    /// It is made.
    Make,
    /// Of the bytes to be written, at most so many are taken, as a system may do at any time. Any other call is made.
    Take(usize),
    /// It is not made, and this is what the system says.
    Refuse(io::Error),
}

/// Somebody who sees every call.
pub trait Witness: Debug + Send + Sync {
    /// Decides about a call that is about to be made.
    fn before(&self, call: Call<'_>) -> Verdict;

    /// Hears that a call was made, and what the system said; of a write, the bytes that were taken.
    fn after(&self, call: Call<'_>, outcome: Result<(), &io::Error>);
}

/// The disk. Cheap to clone.
#[derive(Debug, Clone, Default)]
pub struct Disk {
    witness: Option<Arc<dyn Witness>>,
}

impl Disk {
    /// Returns the disk as it is.
    pub const fn real() -> Self {
        Self { witness: None }
    }

    /// Returns the disk with somebody who sees every call.
    pub fn watched(witness: Arc<dyn Witness>) -> Self {
        Self { witness: Some(witness) }
    }

    /// Makes a folder, and those it lies in, where they are missing.
    ///
    /// Errors: the system refuses.
    pub fn make_folder(&self, path: &Path) -> io::Result<()> {
        self.make(Call::MakeFolder(path), || fs::create_dir_all(path))
    }

    /// Makes a file that must not be there yet. What is written goes to its end. Only Unix knows the permissions `mode`, and the
    /// user's mask takes its part of them.
    ///
    /// Errors: there is a file of this name, or the system refuses.
    pub fn create(&self, path: &Path, mode: u32) -> io::Result<DiskFile> {
        let mut options = OpenOptions::new();
        options.append(true).create_new(true);
        #[cfg(unix)]
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, mode);
        #[cfg(not(unix))]
        let _ = mode;
        self.opened(Call::Create(path), path, || options.open(path))
    }

    /// Makes a file that must not be there yet, to be written at any place.
    ///
    /// Errors: there is a file of this name, or the system refuses.
    pub fn create_to_fill(&self, path: &Path) -> io::Result<DiskFile> {
        self.opened(Call::Create(path), path, || OpenOptions::new().write(true).create_new(true).open(path))
    }

    /// Opens a file that is there to add to its end.
    ///
    /// Errors: the system refuses.
    pub fn open_to_add(&self, path: &Path) -> io::Result<DiskFile> {
        self.opened(Call::Open(path), path, || OpenOptions::new().append(true).open(path))
    }

    /// Opens a file to read and write it, and makes it where it is missing.
    ///
    /// Errors: the system refuses.
    pub fn open_or_create(&self, path: &Path) -> io::Result<DiskFile> {
        let mut options = OpenOptions::new();
        options.read(true).write(true).create(true).truncate(false);
        self.opened(Call::Open(path), path, || options.open(path))
    }

    /// Gives a file another name, in place of the file that has it.
    ///
    /// Errors: the system refuses; both are as they were.
    pub fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.make(Call::Rename { from, to }, || fs::rename(from, to))
    }

    /// Takes a file away.
    ///
    /// Errors: the system refuses.
    pub fn remove(&self, path: &Path) -> io::Result<()> {
        self.make(Call::Remove(path), || fs::remove_file(path))
    }

    /// Waits until the names of the files in a folder have reached the disk itself. Where a system or a file system knows no
    /// such thing, there is nothing to wait for.
    ///
    /// Errors: the disk failed; new names may be gone after a power cut.
    pub fn sync_folder(&self, path: &Path) -> io::Result<()> {
        self.make(Call::SyncFolder(path), || sync_folder(path))
    }

    fn opened(&self, call: Call<'_>, path: &Path, open: impl FnOnce() -> io::Result<File>) -> io::Result<DiskFile> {
        let file = self.make(call, open)?;
        Ok(DiskFile { file, path: path.to_owned(), disk: self.clone() })
    }

    fn make<T>(&self, call: Call<'_>, make: impl FnOnce() -> io::Result<T>) -> io::Result<T> {
        let Some(witness) = &self.witness else { return make() };
        if let Verdict::Refuse(error) = witness.before(call) {
            return Err(error);
        }
        let made = make();
        witness.after(call, made.as_ref().map(|_| ()));
        made
    }
}

/// A file that is open to be written to.
#[derive(Debug)]
pub struct DiskFile {
    file: File,
    path: PathBuf,
    disk: Disk,
}

impl DiskFile {
    /// Returns its path when it was opened.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Writes all of `bytes`.
    ///
    /// Errors: the system refuses; some of the bytes may be written.
    pub fn put(&self, bytes: &[u8]) -> io::Result<()> {
        let mut shared = self;
        shared.write_all(bytes)
    }

    /// Cuts the file off after so many bytes.
    ///
    /// Errors: the system refuses.
    pub fn cut(&self, length: u64) -> io::Result<()> {
        self.disk.make(Call::Cut(&self.path, length), || self.file.set_len(length))
    }

    /// Waits until all that was written has reached the disk itself.
    ///
    /// Errors: the disk failed; what was written may be gone after a power cut.
    pub fn sync(&self) -> io::Result<()> {
        self.disk.make(Call::SyncFile(&self.path), || self.file.sync_all())
    }

    /// Gives the file these permissions.
    ///
    /// Errors: the system refuses.
    pub fn protect(&self, permissions: Permissions) -> io::Result<()> {
        self.disk.make(Call::Protect(&self.path), || self.file.set_permissions(permissions))
    }

    /// Gives the file the owner and group of another, as far as the system lets us.
    pub fn keep_owner(&self, old: &Metadata) {
        #[cfg(unix)]
        {
            use std::os::unix::fs::{MetadataExt, fchown};
            let same = self.file.metadata().is_ok_and(|new| (new.uid(), new.gid()) == (old.uid(), old.gid()));
            if !same && fchown(&self.file, Some(old.uid()), Some(old.gid())).is_err() {
                // A plain user may still pass the file on to a group of theirs.
                let _ = fchown(&self.file, None, Some(old.gid()));
            }
        }
        #[cfg(not(unix))]
        let _ = old;
    }

    /// Locks the file for this process without waiting.
    ///
    /// Errors: another process has it, or there can be no lock.
    pub fn try_lock(&self) -> Result<(), TryLockError> {
        let mut held = Ok(());
        let asked = self.disk.make(Call::Lock(&self.path), || {
            held = self.file.try_lock();
            Ok(())
        });
        asked.map_err(TryLockError::Error).and(held)
    }

    /// Returns how long it is and whose it is.
    ///
    /// Errors: the system refuses.
    pub fn metadata(&self) -> io::Result<Metadata> {
        self.file.metadata()
    }

    /// Reads at most `largest` bytes from its beginning.
    ///
    /// Errors: the system refuses.
    pub fn read_beginning(&mut self, largest: u64) -> io::Result<Vec<u8>> {
        let mut bytes = Vec::new();
        self.file.seek(SeekFrom::Start(0))?;
        Read::by_ref(&mut self.file).take(largest).read_to_end(&mut bytes)?;
        Ok(bytes)
    }
}

impl Write for &DiskFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let Some(witness) = &self.disk.witness else { return (&self.file).write(bytes) };
        let bytes = match witness.before(Call::Write(&self.path, bytes)) {
            Verdict::Make => bytes,
            Verdict::Take(most) => bytes.get(..most).unwrap_or(bytes),
            Verdict::Refuse(error) => return Err(error),
        };
        let taken = (&self.file).write(bytes);
        let written = taken.as_ref().map_or(bytes, |taken| bytes.get(..*taken).unwrap_or(bytes));
        witness.after(Call::Write(&self.path, written), taken.as_ref().map(|_| ()));
        taken
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

impl Write for DiskFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let mut shared = &*self;
        shared.write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

impl Seek for DiskFile {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        self.file.seek(to)
    }
}

#[cfg(unix)]
fn sync_folder(path: &Path) -> io::Result<()> {
    let synced = File::open(path).and_then(|folder| folder.sync_all());
    synced.or_else(|error| match error.kind() {
        // A folder that may not be read, or a file system that syncs no folders: it is in place all the same.
        io::ErrorKind::PermissionDenied | io::ErrorKind::InvalidInput | io::ErrorKind::Unsupported => Ok(()),
        _ => Err(error),
    })
}

#[cfg(not(unix))]
fn sync_folder(_: &Path) -> io::Result<()> {
    Ok(())
}
