//! Putting a file in place whole or not at all.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use super::disk::{Disk, DiskFile};
use super::temporary::{self, temporary_in};

/// Why a file was not written. Whatever was there before is still there, but for [`WriteError::Unconfirmed`].
#[derive(Debug, thiserror::Error)]
pub enum WriteError {
    /// The place is a folder or another thing that is no ordinary file.
    #[error("it is not a file")]
    NotAFile,
    /// The file is write-protected, or belongs to somebody else.
    #[error("the file is write-protected")]
    Protected,
    /// The folder is not there.
    #[error("its folder is not there")]
    NoFolder,
    /// No file may be made in the folder.
    #[error("no file may be written in its folder")]
    FolderProtected {
        /// What the system said.
        source: io::Error,
    },
    /// The disk is full.
    #[error("the disk is full")]
    DiskFull {
        /// What the system said.
        source: io::Error,
    },
    /// The new content is in its place, but the disk did not confirm that it will be there after a power cut.
    #[error(
        "the disk did not confirm what was written, and a power cut may bring back what was there before: {source}"
    )]
    Unconfirmed {
        /// What the system said.
        source: io::Error,
    },
    /// Anything else.
    #[error("the system refused: {source}")]
    Other {
        /// What the system said.
        source: io::Error,
    },
}

impl WriteError {
    /// Returns what to do about it.
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::NotAFile => "choose another file name",
            Self::Protected => "save under another name, or take the write protection off the file",
            Self::NoFolder => "make the folder first, or save somewhere else",
            Self::FolderProtected { .. } => "save in a folder of your own",
            Self::DiskFull { .. } => "make room, or save on another disk; what was there before is unharmed",
            Self::Unconfirmed { .. } => "save again; if that does not help, save on another disk",
            Self::Other { .. } => "save under another name or on another disk",
        }
    }

    fn from_write(source: io::Error) -> Self {
        match source.kind() {
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => Self::DiskFull { source },
            _ => Self::Other { source },
        }
    }

    fn from_create(source: io::Error) -> Self {
        match source.kind() {
            io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => Self::NoFolder,
            io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => Self::FolderProtected { source },
            _ => Self::from_write(source),
        }
    }
}

/// Writes `content` to `path`; see [`replace_with`].
///
/// Errors: those of [`replace_with`].
pub fn replace(path: &Path, content: &[u8]) -> Result<(), WriteError> {
    replace_on(&Disk::real(), path, content)
}

/// Writes `content` to `path` on this disk; see [`replace_with`].
///
/// Errors: those of [`replace_with`].
pub fn replace_on(disk: &Disk, path: &Path, content: &[u8]) -> Result<(), WriteError> {
    replace_filled(disk, path, |file| file.put(content))
}

/// Puts what `fill` writes in the place of the file at `path`, or makes a new file there.
///
/// The content goes to a temporary file in the same folder first and takes the old file's place in
/// one step, after it has reached the disk; if anything fails, the old file is untouched and the
/// temporary one is removed. A symbolic link stays, and the file it points to is replaced.
/// Permissions are kept, and the owner where the system allows it; other hard links to the old file keep the old content.
///
/// Errors: a path that is no file, or a folder, file or disk that refuses; the old file is then untouched. After
/// [`WriteError::Unconfirmed`] the new content is in place.
pub fn replace_with(path: &Path, fill: impl FnOnce(&mut DiskFile) -> io::Result<()>) -> Result<(), WriteError> {
    replace_filled(&Disk::real(), path, fill)
}

fn replace_filled(
    disk: &Disk,
    path: &Path,
    fill: impl FnOnce(&mut DiskFile) -> io::Result<()>,
) -> Result<(), WriteError> {
    // The system drops a slash at the end, and a file would appear where a folder was meant.
    if path.as_os_str().as_encoded_bytes().ends_with(b"/") {
        return Err(WriteError::NotAFile);
    }
    let path = real_path(path);
    let old = check_old_file(disk, &path)?;
    let folder = folder_of(&path);
    temporary::clear(disk, folder);
    let mut temporary = temporary_in(disk, folder).map_err(WriteError::from_create)?;
    let placed = fill_and_sync(&mut temporary, old.as_ref(), fill).and_then(|()| disk.rename(temporary.path(), &path));
    if let Err(source) = placed {
        let _ = disk.remove(temporary.path());
        return Err(WriteError::from_write(source));
    }
    disk.sync_folder(folder).map_err(|source| WriteError::Unconfirmed { source })
}

/// Puts `content` in the place of the file at `path` in one step, without waiting for the disk: whole after a crash of the
/// program, perhaps gone or empty after a power cut.
///
/// Errors: the system refuses; what was there is untouched.
pub(super) fn replace_unsynced(disk: &Disk, path: &Path, content: &[u8]) -> io::Result<()> {
    let temporary = temporary_in(disk, folder_of(path))?;
    let placed = temporary.put(content).and_then(|()| disk.rename(temporary.path(), path));
    if placed.is_err() {
        let _ = disk.remove(temporary.path());
    }
    placed
}

fn fill_and_sync(
    file: &mut DiskFile,
    old: Option<&fs::Metadata>,
    fill: impl FnOnce(&mut DiskFile) -> io::Result<()>,
) -> io::Result<()> {
    if let Some(old) = old {
        file.keep_owner(old);
        file.protect(old.permissions())?;
    }
    fill(file)?;
    file.sync()
}

/// Returns the path of the file itself: absolute where possible, symbolic links followed, also to a file that is not there yet.
pub fn real_path(path: &Path) -> PathBuf {
    let mut path = path.to_owned();
    // As many links in a row as Linux follows.
    for _ in 0..40 {
        if let Ok(found) = fs::canonicalize(&path) {
            return found;
        }
        match fs::read_link(&path) {
            Ok(target) => path = folder_of(&path).join(target),
            Err(_) => break,
        }
    }
    match (fs::canonicalize(folder_of(&path)), path.file_name()) {
        (Ok(folder), Some(name)) => folder.join(name),
        _ => path,
    }
}

/// Returns the path of a file beside `path`, hidden where a leading point hides it: `.NAME.EXTENSION`.
pub fn sibling(path: &Path, extension: &str) -> PathBuf {
    let mut name = std::ffi::OsString::from(".");
    name.push(path.file_name().unwrap_or_default());
    name.push(".");
    name.push(extension);
    folder_of(path).join(name)
}

/// Returns the path of the file that `sibling`, a file of this extension, lies beside; `None` where it is none.
pub(super) fn beside(sibling: &Path, extension: &str) -> Option<PathBuf> {
    let name = sibling.file_name()?.to_str()?.strip_prefix('.')?;
    let name = name.strip_suffix(extension)?.strip_suffix('.').filter(|name| !name.is_empty())?;
    Some(folder_of(sibling).join(name))
}

/// Returns the folder a file lies in; `.` for a bare name.
pub fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// Returns what is known of the file that will be replaced; `None` if there is none.
fn check_old_file(disk: &Disk, path: &Path) -> Result<Option<fs::Metadata>, WriteError> {
    let old = match fs::metadata(path) {
        Ok(old) => old,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(WriteError::from_create(error)),
    };
    if !old.is_file() {
        return Err(WriteError::NotAFile);
    }
    // Renaming over a file asks only the folder, so the file's own protection is asked for here.
    if old.permissions().readonly() {
        return Err(WriteError::Protected);
    }
    match disk.open_to_add(path) {
        Ok(_) => Ok(Some(old)),
        Err(error) => Err(match error.kind() {
            io::ErrorKind::PermissionDenied => WriteError::Protected,
            _ => WriteError::from_create(error),
        }),
    }
}
