//! Putting a file in place whole or not at all.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Why a file was not written. Whatever was there before is still there.
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
    replace_with(path, |file| file.write_all(content))
}

/// Puts what `fill` writes in the place of the file at `path`, or makes a new file there.
///
/// The content goes to a temporary file in the same folder first and takes the old file's place in
/// one step, after it has reached the disk; if anything fails, the old file is untouched and the
/// temporary one is removed. A symbolic link stays, and the file it points to is replaced.
/// Permissions are kept, and the owner where the system allows it; other hard links to the old file keep the old content.
///
/// Errors: a path that is no file, or a folder, file or disk that refuses; the old file is then untouched.
pub fn replace_with(path: &Path, fill: impl FnOnce(&mut File) -> io::Result<()>) -> Result<(), WriteError> {
    // The system drops a slash at the end, and a file would appear where a folder was meant.
    if path.as_os_str().as_encoded_bytes().ends_with(b"/") {
        return Err(WriteError::NotAFile);
    }
    let path = real_path(path);
    let old = check_old_file(&path)?;
    let folder = folder_of(&path);
    let mut builder = tempfile::Builder::new();
    // Not made of the file's own name, which may be as long as names can be.
    builder.prefix(".fingerpost-").suffix(".part");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // As for any new file: what the user's umask leaves of it.
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    let mut temporary = builder.tempfile_in(folder).map_err(WriteError::from_create)?;
    if let Some(old) = &old {
        keep_owner(temporary.as_file(), old);
        temporary.as_file().set_permissions(old.permissions()).map_err(WriteError::from_write)?;
    }
    fill(temporary.as_file_mut()).map_err(WriteError::from_write)?;
    temporary.as_file().sync_all().map_err(WriteError::from_write)?;
    temporary.persist(&path).map_err(|failed| WriteError::from_write(failed.error))?;
    sync_folder(folder);
    Ok(())
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

/// Returns the folder a file lies in; `.` for a bare name.
pub fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// Returns what is known of the file that will be replaced; `None` if there is none.
fn check_old_file(path: &Path) -> Result<Option<fs::Metadata>, WriteError> {
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
    match OpenOptions::new().append(true).open(path) {
        Ok(_) => Ok(Some(old)),
        Err(error) => Err(match error.kind() {
            io::ErrorKind::PermissionDenied => WriteError::Protected,
            _ => WriteError::from_create(error),
        }),
    }
}

/// Gives the new file the old one's owner and group as far as the system lets us.
fn keep_owner(file: &File, old: &fs::Metadata) {
    #[cfg(unix)]
    {
        use std::os::unix::fs::{MetadataExt, fchown};
        let same = file.metadata().is_ok_and(|new| (new.uid(), new.gid()) == (old.uid(), old.gid()));
        if !same && fchown(file, Some(old.uid()), Some(old.gid())).is_err() {
            // A plain user may still pass the file on to a group of theirs.
            let _ = fchown(file, None, Some(old.gid()));
        }
    }
    #[cfg(not(unix))]
    let _ = (file, old);
}

/// Makes the new name itself reach the disk. Some file systems cannot; the file is in place all the same.
fn sync_folder(folder: &Path) {
    #[cfg(unix)]
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
    #[cfg(not(unix))]
    let _ = folder;
}
