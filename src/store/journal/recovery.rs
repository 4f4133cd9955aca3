//! Bringing back what a journal holds, and keeping what cannot be brought back.

use std::fs;
use std::path::{Path, PathBuf};

use super::lines::{Entry, Line, Lines, PROGRAM, Trouble, Writer};
use crate::lesson::document::Lesson;
use crate::lesson::history::Reason;
use crate::store::atomic::folder_of;
use crate::store::disk::Disk;
use crate::store::fingerprint::Fingerprint;
use crate::store::ron_file;
use crate::text::safe::printable;

/// The largest journal that is read, in bytes: weeks of work without a save.
const LARGEST: u64 = 512 * 1024 * 1024;

/// What was found in a journal when its lesson was opened.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Recovered {
    /// What the changes that were brought back did, in order.
    pub reasons: Vec<Reason>,
    /// Whether the last line was cut off: the change being written when the program ended.
    pub cut_off: CutOff,
    /// What could not be used, and where it is kept.
    pub kept: Option<Kept>,
}

/// Whether the journal ends in the middle of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum CutOff {
    /// It ends as it should.
    #[default]
    No,
    /// The last change was not written to its end.
    LastChange,
}

/// A journal that was put aside.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    /// Why.
    pub why: WhyKept,
    /// Where it is now; `None` if even that failed, and it lies where it was.
    pub path: Option<PathBuf>,
}

/// Why a journal was put aside.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WhyKept {
    /// The lesson was changed by another program after the changes in the journal were made.
    FileChanged,
    /// From some line on it is damaged.
    Damaged {
        /// The line, counted from 1.
        line: usize,
    },
    /// A change does not fit the lesson.
    DoesNotFit {
        /// The line, counted from 1.
        line: usize,
    },
    /// Another version wrote it, in a way that this one cannot read.
    OtherVersion(Writer),
    /// From some line on it is whole, and this version, which may have written it, cannot make sense of it.
    NotUnderstood {
        /// The line, counted from 1.
        line: usize,
    },
    /// It cannot be read.
    Unreadable,
}

impl WhyKept {
    /// Returns the reason as a sentence about the changes.
    pub fn sentence(&self) -> String {
        match self {
            Self::FileChanged => "they belong to an earlier state of the file".to_owned(),
            Self::Damaged { line } => format!("their journal is damaged from line {line} on"),
            Self::DoesNotFit { line } => format!("from line {line} of their journal on they do not fit the lesson"),
            Self::OtherVersion(Writer { format, program }) => {
                let writer = match program.as_str() {
                    "" => "another version of fingerpost wrote them".to_owned(),
                    program => format!("fingerpost {} wrote them in format {format}", printable(program)),
                };
                format!("{writer}, and this version, {PROGRAM}, cannot read them")
            }
            Self::NotUnderstood { line } => {
                format!("from line {line} of their journal on this version, {PROGRAM}, does not understand them")
            }
            Self::Unreadable => "their journal cannot be read".to_owned(),
        }
    }

    /// Returns what to do to have the changes back, where something can be done.
    pub const fn remedy(&self) -> Option<&'static str> {
        match self {
            Self::OtherVersion(_) => {
                Some("to have them back, open the lesson with that version before you save it with this one")
            }
            Self::FileChanged
            | Self::Damaged { .. }
            | Self::DoesNotFit { .. }
            | Self::NotUnderstood { .. }
            | Self::Unreadable => None,
        }
    }
}

impl From<Trouble> for WhyKept {
    fn from(trouble: Trouble) -> Self {
        match trouble {
            Trouble::Damaged { line } => Self::Damaged { line },
            Trouble::NotUnderstood { writer, .. } if writer != Writer::current() => Self::OtherVersion(writer),
            Trouble::NotUnderstood { line, .. } => Self::NotUnderstood { line },
        }
    }
}

impl Recovered {
    /// Returns whether there is anything to tell.
    pub fn is_nothing(&self) -> bool {
        *self == Self::default()
    }
}

/// What became of the journal's file.
#[derive(Debug)]
pub(super) enum Left {
    /// There is none now.
    Nothing,
    /// It is there and may be gone on with.
    Usable {
        /// After so many bytes.
        length: u64,
        /// Every content of the lesson's file that it names.
        named: Vec<Fingerprint>,
        /// Whether this version wrote its end, and in today's format.
        is_ours: bool,
    },
    /// One that could be neither used nor put aside.
    InTheWay,
}

/// Applies what the journal at `path` holds to `document`, which was read from a file with the content `base`, and keeps what
/// cannot be applied.
pub(super) fn bring_back(
    disk: &Disk,
    lesson: &Path,
    path: &Path,
    base: Fingerprint,
    document: &mut Lesson,
) -> (Left, Recovered) {
    fetch_from_kept(disk, lesson, path, base);
    let bytes = match ron_file::read(path, LARGEST) {
        Ok(bytes) => bytes,
        // Nothing can lie under a name that the system refuses as too long.
        Err(_) if fs::symlink_metadata(path).is_err() => return (Left::Nothing, Recovered::default()),
        Err(_) => return kept_whole(disk, lesson, path, WhyKept::Unreadable),
    };
    let read = Lines::of(&bytes);
    if read.lines.is_empty() && read.trouble.is_none() {
        // Killed before the first line was whole: there was no change yet.
        let _ = disk.remove(path);
        return (Left::Nothing, Recovered::default());
    }
    if !read.bases.contains(&base) {
        let why = if read.lines.is_empty() { read.trouble.map(WhyKept::from) } else { None };
        return kept_whole(disk, lesson, path, why.unwrap_or(WhyKept::FileChanged));
    }
    let mut why = read.trouble.map(WhyKept::from);
    if let Some(why @ WhyKept::OtherVersion(_)) = why {
        // Whoever wrote it brings back all of it or nothing, so nothing is taken out of it here.
        return kept_whole(disk, lesson, path, why);
    }
    // The last line that names this content; the changes before it are in the file already. Where it stands after a damaged
    // line, so do the changes that are not.
    let is_base = |line: &Line| matches!(line.entry, Entry::Base(named) if named == base);
    let Some(start) = read.lines.iter().rposition(is_base) else {
        return kept_whole(disk, lesson, path, why.unwrap_or(WhyKept::FileChanged));
    };
    let mut recovered = Recovered::default();
    if read.is_cut_off {
        recovered.cut_off = CutOff::LastChange;
    }
    let (mut named, mut length) = (Vec::new(), 0);
    for (index, line) in read.lines.into_iter().enumerate() {
        match line.entry {
            Entry::Change(change) if index > start => {
                if document.apply_all(change.edits).is_err() {
                    why = Some(WhyKept::DoesNotFit { line: line.number });
                    break;
                }
                recovered.reasons.push(change.reason);
            }
            Entry::Base(next) => named.push(next),
            Entry::Change(_) | Entry::Format | Entry::Torn => {}
        }
        length = line.end;
    }
    let is_ours = why.is_none() && read.writer == Writer::current();
    // Only what could be used stays in the journal; the rest is kept beside it.
    recovered.kept = why.map(|why| Kept { why, path: copy_aside(disk, lesson, path) });
    let left = if left_in_the_way(recovered.kept.as_ref()) {
        Left::InTheWay
    } else if recovered.reasons.is_empty() {
        let _ = disk.remove(path);
        Left::Nothing
    } else {
        Left::Usable { length, named, is_ours }
    };
    (left, recovered)
}

/// Gives the journal at `path`, if one lies there, another name, because the lesson was just saved without it.
pub(super) fn clear_place(disk: &Disk, lesson: &Path, path: &Path) -> (Left, Option<Kept>) {
    let kept = fs::symlink_metadata(path).is_ok().then(|| put_aside(disk, lesson, path, WhyKept::FileChanged));
    (if left_in_the_way(kept.as_ref()) { Left::InTheWay } else { Left::Nothing }, kept)
}

/// Puts a journal in its place again that a version before this one has kept because it could not read it, if this one can
/// and the file is as it was then.
fn fetch_from_kept(disk: &Disk, lesson: &Path, path: &Path, base: Fingerprint) {
    if fs::symlink_metadata(path).is_ok() {
        return;
    }
    for kept in (1..10).filter_map(|number| kept_name(lesson, OF_OTHER_VERSION, number)) {
        let Ok(bytes) = ron_file::read(&kept, LARGEST) else { continue };
        let read = Lines::of(&bytes);
        if read.trouble.is_none() && read.bases.contains(&base) {
            let _ = disk.rename(&kept, path);
            return;
        }
    }
}

fn kept_whole(disk: &Disk, lesson: &Path, path: &Path, why: WhyKept) -> (Left, Recovered) {
    let kept = put_aside(disk, lesson, path, why);
    let left = if left_in_the_way(Some(&kept)) { Left::InTheWay } else { Left::Nothing };
    (left, Recovered { kept: Some(kept), ..Recovered::default() })
}

fn left_in_the_way(kept: Option<&Kept>) -> bool {
    kept.is_some_and(|kept| kept.path.is_none())
}

/// What the names of kept journals end in, before a number.
const KEPT: &str = "journal";
/// The same for those that another version can read.
const OF_OTHER_VERSION: &str = "journal-of-other-version";

fn kept_name(lesson: &Path, ending: &str, number: u32) -> Option<PathBuf> {
    // Not hidden: it is there for the teacher to find.
    let mut kept = lesson.file_name()?.to_owned();
    kept.push(format!(".{ending}-{number}"));
    Some(folder_of(lesson).join(kept))
}

/// Returns a name beside the lesson under which nothing lies yet.
fn free_name(lesson: &Path, ending: &str) -> Option<PathBuf> {
    (1..1000).filter_map(|number| kept_name(lesson, ending, number)).find(|path| fs::symlink_metadata(path).is_err())
}

/// Gives a journal another name; nothing in it is lost.
fn put_aside(disk: &Disk, lesson: &Path, path: &Path, why: WhyKept) -> Kept {
    let ending = if matches!(why, WhyKept::OtherVersion(_)) { OF_OTHER_VERSION } else { KEPT };
    let kept = free_name(lesson, ending).filter(|kept| disk.rename(path, kept).is_ok());
    Kept { why, path: kept }
}

/// Copies a journal, to the disk itself, before the part of it that cannot be used is cut off.
fn copy_aside(disk: &Disk, lesson: &Path, path: &Path) -> Option<PathBuf> {
    let kept = free_name(lesson, KEPT)?;
    let bytes = fs::read(path).ok()?;
    let copy = disk.create(&kept, mode_of(path)).ok()?;
    let written = copy.put(&bytes).and_then(|()| copy.sync()).and_then(|()| disk.sync_folder(folder_of(&kept)));
    if written.is_err() {
        let _ = disk.remove(&kept);
        return None;
    }
    Some(kept)
}

/// Returns who may read and write a file, as Unix counts it; without an answer, only its owner.
pub(super) fn mode_of(path: &Path) -> u32 {
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        fs::metadata(path).map_or(0o600, |metadata| metadata.permissions().mode() & 0o666)
    }
    #[cfg(not(unix))]
    {
        let _ = path;
        0o600
    }
}
