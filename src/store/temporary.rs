//! Files that are written whole before they take the place of another: how they are called, and how those are known and taken
//! away that a killed process has left.

use std::fs;
use std::io;
use std::path::Path;
use std::sync::atomic::{AtomicU64, Ordering};

use super::disk::{Disk, DiskFile};

/// Makes a file in `folder` whose name no file has. It is not made of the name of another file, which may be as long as names can be.
pub(super) fn temporary_in(disk: &Disk, folder: &Path) -> io::Result<DiskFile> {
    static NEXT: AtomicU64 = AtomicU64::new(0);
    loop {
        let number = NEXT.fetch_add(1, Ordering::Relaxed);
        let path = folder.join(format!(".fingerpost-{}-{number}.part", std::process::id()));
        match disk.create_to_fill(&path) {
            // Left by a process of that number that was killed, or in use on another computer.
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
            Ok(file) => {
                // Says that it is in use, also to another computer. Where there are no locks, it goes on without.
                let _ = file.try_lock();
                return Ok(file);
            }
            Err(error) => return Err(error),
        }
    }
}

/// Takes away the temporary files in `folder` whose makers are gone. What cannot be taken away stays.
pub(super) fn clear(disk: &Disk, folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.filter_map(Result::ok) {
        let process = entry.file_name().to_str().and_then(maker_of);
        // A link is not ours, whatever it is called.
        if process.is_some_and(|process| !is_running(process)) && entry.file_type().is_ok_and(|kind| kind.is_file()) {
            clear_one(disk, &entry.path());
        }
    }
}

fn clear_one(disk: &Disk, path: &Path) {
    if let Ok(file) = disk.open_to_add(path)
        && file.try_lock().is_ok()
    {
        let _ = disk.remove(path);
    }
}

/// Returns whether a process of this number runs on this computer. Where that cannot be known, the locks alone decide.
pub(super) fn is_running(process: u32) -> bool {
    process == std::process::id() || Path::new("/proc").join(process.to_string()).exists()
}

/// Returns the process that made a temporary file of this name; `None` where we do not make such a file.
fn maker_of(temporary: &str) -> Option<u32> {
    let (process, number) = temporary.strip_prefix(".fingerpost-")?.strip_suffix(".part")?.split_once('-')?;
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    process.parse().ok().filter(|_| digits(process) && digits(number))
}
