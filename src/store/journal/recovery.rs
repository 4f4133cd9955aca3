//! Bringing back what a journal holds, and keeping what cannot be brought back.

use std::ffi::OsString;
use std::fs;
use std::path::{Path, PathBuf};

use super::lines::{Entry, Line, Lines, Linking, PROGRAM, Trouble, Writer};
use super::on_file::{LARGEST, OnFile};
use super::places::{JournalPlaces, Refuge};
use crate::lesson::document::Lesson;
use crate::lesson::edit::Edit;
use crate::lesson::history::{Change, Reason, Transaction, TransactionError};
use crate::store::atomic::folder_of;
use crate::store::disk::Disk;
use crate::store::fingerprint::Fingerprint;
use crate::store::lesson_file;
use crate::store::ron_file::{self, options};
use crate::text::safe::printable;

/// What was found in a journal when its lesson was opened.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Recovered {
    /// What the changes that were brought back did, in order, without those that were undone again.
    pub reasons: Vec<Reason>,
    /// The changes themselves with what takes each back, in order, for undo; none where the file was changed since. What one of them
    /// took back is not among them.
    pub undoable: Vec<Change>,
    /// Whether the last line was cut off: the change being written when the program ended.
    pub cut_off: CutOff,
    /// What could not be used, and where it is kept.
    pub kept: Option<Kept>,
    /// The things that another program has changed as well, as the unsaved changes would have made them. They wait to be
    /// decided about.
    pub apart: Vec<Edit>,
    /// Whether the file is the one that the changes were made on.
    pub file: FileSince,
}

/// What became of the lesson's file since the changes were made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum FileSince {
    /// The file is as it was.
    #[default]
    Same,
    /// Another program has changed it.
    Changed,
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
    /// The reason why it was put aside.
    pub why: WhyKept,
    /// Where it is now; `None` if even that failed, and it lies where it was.
    pub path: Option<PathBuf>,
}

/// Why a journal was put aside.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WhyKept {
    /// The lesson was changed by another program after the changes in the journal were made.
    FileChanged,
    /// It is the journal of another lesson, which lay under this name before.
    OtherLesson,
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
            Self::OtherLesson => "they belong to another lesson, which had this file's name before".to_owned(),
            Self::Damaged { line } => format!("their journal is damaged from line {line} on"),
            Self::DoesNotFit { line } => format!("from line {line} of their journal on they do not fit the lesson"),
            Self::OtherVersion(Writer { format, program }) => {
                let writer = match program.as_str() {
                    "" => "another version of fingerpost wrote them".to_owned(),
                    program => format!("fingerpost {} wrote them in file version {format}", printable(program)),
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
            | Self::OtherLesson
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
    /// There are changes that are not saved.
    Usable {
        /// Where the journal lies that they came from.
        path: PathBuf,
        /// Where its lines end, if it may be gone on with as it is; else it is to be written anew.
        end: Option<GoesOn>,
        /// The changes, as they are written.
        log: Vec<String>,
        /// The versions that wait to be decided about.
        apart: Vec<Edit>,
    },
    /// One that could be neither used nor put aside.
    InTheWay,
}

/// Where a journal is gone on with.
#[derive(Debug)]
pub(super) struct GoesOn {
    /// The bytes of its whole lines.
    pub length: u64,
    /// The checksum of the last of them.
    pub last: Option<u64>,
    /// Every content of the lesson's file that it names.
    pub named: Vec<Fingerprint>,
}

/// What a journal says about a file, before anything is done to either.
#[derive(Debug)]
#[expect(clippy::large_enum_variant, reason = "there is one at a time, and it is taken apart at once")]
enum Replayed {
    /// Nothing: whoever wrote it was killed before its first line was whole.
    Nothing,
    /// None of it can be used, and why.
    Foreign(WhyKept),
    /// Changes, which are made in the lesson now.
    Changes {
        recovered: Recovered,
        /// Why the rest could not be used.
        why: Option<WhyKept>,
        log: Vec<String>,
        end: Option<GoesOn>,
    },
}

/// Applies what the journal of a lesson holds to `document`, which was read from `on_file`, and keeps what cannot be applied.
pub(super) fn bring_back(
    disk: &Disk,
    places: &JournalPlaces,
    refuge: &Refuge,
    on_file: &OnFile,
    document: &mut Lesson,
) -> (Left, Recovered) {
    fetch_from_kept(disk, &places.lesson, &places.beside, on_file.fingerprint);
    let Some((path, bytes)) = fullest(places.found(disk, refuge)) else {
        return if fs::symlink_metadata(&places.beside).is_ok() {
            kept_whole(disk, &places.lesson, &places.beside, WhyKept::Unreadable)
        } else {
            (Left::Nothing, Recovered::default())
        };
    };
    let (mut recovered, why, log, end) = match replay(&bytes, on_file, document) {
        Replayed::Nothing => {
            let _ = disk.remove(&path);
            return (Left::Nothing, Recovered::default());
        }
        Replayed::Foreign(why) => return kept_whole(disk, &places.lesson, &path, why),
        Replayed::Changes { recovered, why, log, end } => (recovered, why, log, end),
    };
    // Only what could be used stays in the journal; the rest is kept beside it.
    recovered.kept = why.map(|why| Kept { why, path: copy_aside(disk, &places.lesson, &path) });
    if left_in_the_way(recovered.kept.as_ref()) {
        return (Left::InTheWay, recovered);
    }
    if log.is_empty() && recovered.apart.is_empty() {
        let _ = disk.remove(&path);
        return (Left::Nothing, recovered);
    }
    // Under the name that its lesson had it would not be found again.
    let end = end.filter(|_| places.all().any(|place| place == path));
    let apart = recovered.apart.clone();
    (Left::Usable { path, end, log, apart }, recovered)
}

/// Applies what the journal of the lesson at `lesson` holds to `document`, which was read from `on_file`, and changes nothing on the
/// disk: for whoever only looks. `None` where there is nothing unsaved.
pub fn look_for_unsaved(lesson: &Path, refuge: &Refuge, on_file: &OnFile, document: &mut Lesson) -> Option<Recovered> {
    let places = JournalPlaces::of(lesson, document.id, refuge);
    let (_, bytes) = fullest(places.found(&Disk::real(), refuge))?;
    match replay(&bytes, on_file, document) {
        Replayed::Nothing => None,
        Replayed::Foreign(why) => Some(Recovered { kept: Some(Kept { why, path: None }), ..Recovered::default() }),
        Replayed::Changes { recovered, .. } if !recovered.reasons.is_empty() || !recovered.apart.is_empty() => {
            Some(recovered)
        }
        Replayed::Changes { why, .. } => {
            why.map(|why| Recovered { kept: Some(Kept { why, path: None }), ..Recovered::default() })
        }
    }
}

/// Reads those of the journals that can be read, and returns the one with the most changes: where one could not be gone on with,
/// another holds what it holds, and more.
fn fullest(found: Vec<PathBuf>) -> Option<(PathBuf, Vec<u8>)> {
    let read = |path: PathBuf| ron_file::read(&path, LARGEST).ok().map(|bytes| (path, bytes));
    let mut readable: Vec<(PathBuf, Vec<u8>)> = found.into_iter().filter_map(read).collect();
    if readable.len() > 1 {
        readable.sort_by_key(|(_, bytes)| Lines::of(bytes).changes().count());
    }
    readable.pop()
}

/// Makes the changes of a journal in `document`, which was read from `on_file`.
fn replay(bytes: &[u8], on_file: &OnFile, document: &mut Lesson) -> Replayed {
    let read = Lines::of(bytes);
    if read.lines.is_empty() && read.trouble.is_none() {
        return Replayed::Nothing;
    }
    if let (Some(stated), Some(lesson)) = (read.lesson, on_file.lesson)
        && stated != lesson
    {
        return Replayed::Foreign(WhyKept::OtherLesson);
    }
    let why = read.trouble.clone().map(WhyKept::from);
    if let Some(why @ WhyKept::OtherVersion(_)) = why {
        // Whoever wrote it brings back all of it or nothing, so nothing is taken out of it here.
        return Replayed::Foreign(why);
    }
    if read.lines.is_empty() {
        return Replayed::Foreign(why.unwrap_or(WhyKept::FileChanged));
    }
    let cut_off = if read.is_cut_off { CutOff::LastChange } else { CutOff::No };
    // The last line that names this content; the changes before it are in the file already. Where it stands after a damaged
    // line, so do the changes that are not.
    let base = on_file.fingerprint;
    let is_base = |line: &Line| matches!(line.entry, Entry::Base(named) if named == base);
    match read.lines.iter().rposition(is_base) {
        Some(start) => {
            let mut replayed = made_again(read, start, document, why);
            if let Replayed::Changes { recovered, .. } = &mut replayed {
                recovered.cut_off = cut_off;
            }
            replayed
        }
        None if read.bases.contains(&base) => Replayed::Foreign(why.unwrap_or(WhyKept::FileChanged)),
        None => carried_over(read, document, why, cut_off),
    }
}

/// Makes the changes after the line at `start`, which names what the file holds.
fn made_again(read: Lines, start: usize, document: &mut Lesson, mut why: Option<WhyKept>) -> Replayed {
    let mut recovered = Recovered::default();
    let (mut named, mut length, mut log) = (Vec::new(), 0, Vec::new());
    let mut last = None;
    for (index, line) in read.lines.into_iter().enumerate() {
        match line.entry {
            Entry::Change { change, text } if index > start => {
                if make_after(&mut recovered.undoable, document, change).is_err() {
                    why = Some(WhyKept::DoesNotFit { line: line.number });
                    break;
                }
                log.push(text);
            }
            Entry::Base(next) => named.push(next),
            Entry::Apart(version) => recovered.apart.extend(version.edits),
            Entry::Change { .. } | Entry::File(_) | Entry::Format | Entry::Torn => {}
        }
        (length, last) = (line.end, line.sum);
    }
    recovered.apart.retain(|version| !document.has_taken_over(version));
    recovered.reasons = recovered.undoable.iter().map(Change::reason).collect();
    if recovered.undoable.is_empty() {
        // Every change was undone: the file holds all there is.
        log.clear();
    }
    let is_ours = why.is_none() && read.writer == Writer::current() && read.linking == Linking::Chained;
    let goes_on = is_ours || (why.is_some() && read.linking == Linking::Chained);
    let end = goes_on.then_some(GoesOn { length, last, named });
    Replayed::Changes { recovered, why, log, end }
}

/// Makes a transaction that came after `done`. One that begins by taking back the last of those, as undo does and the second digit
/// of a fret, leaves that out of them. On error nothing is changed.
fn make_after(done: &mut Vec<Change>, document: &mut Lesson, transaction: Transaction) -> Result<(), TransactionError> {
    let back = done.last().map(|last| last.taking_back().edits).unwrap_or_default();
    if back.is_empty() || !transaction.edits.starts_with(&back) {
        done.push(Change::make(document, transaction)?);
        return Ok(());
    }
    let rest = transaction.edits.get(back.len()..).unwrap_or_default().to_vec();
    let again = document.apply_all(back)?;
    if rest.is_empty() {
        done.pop();
        return Ok(());
    }
    match Change::make(document, Transaction { edits: rest, ..transaction }) {
        Ok(change) => {
            done.pop();
            done.push(change);
            Ok(())
        }
        Err(error) => {
            document.apply_all(again)?;
            Err(error)
        }
    }
}

/// Carries the changes over to a file that another program has changed since they were made.
fn carried_over(read: Lines, document: &mut Lesson, mut why: Option<WhyKept>, cut_off: CutOff) -> Replayed {
    let (mut before, mut base) = (None, None);
    let (mut changes, mut numbers, mut apart) = (Vec::new(), Vec::new(), Vec::new());
    for line in read.lines {
        match line.entry {
            Entry::Base(named) => before = Some(named),
            Entry::File(text) => {
                base = lesson_file::parse(Path::new(""), text.as_bytes())
                    .ok()
                    .filter(|read| before == Some(read.fingerprint))
                    .map(|read| read.lesson);
            }
            Entry::Change { change, .. } => {
                changes.push(change);
                numbers.push(line.number);
            }
            Entry::Apart(version) => apart.extend(version.edits),
            Entry::Format | Entry::Torn => {}
        }
    }
    let mut as_in_file = document.clone();
    let merged = match base {
        Some(base) => document.merge(base, changes),
        None => document.merge_nothing(changes),
    };
    if let Some(stuck) = merged.stuck {
        why = why.or(Some(WhyKept::DoesNotFit { line: numbers.get(stuck).copied().unwrap_or_default() }));
    }
    // A later version of the same thing takes the place of one that waited before.
    apart.retain(|version: &Edit| {
        !document.has_taken_over(version) && merged.apart.iter().all(|later| later.place() != version.place())
    });
    apart.extend(merged.apart);
    // What was carried over was made once already, so it can be made again.
    let mut left = Vec::new();
    let all_made = merged.carried.iter().all(|change| make_after(&mut left, &mut as_in_file, change.clone()).is_ok());
    let reasons: Vec<Reason> = match all_made {
        true => left.iter().map(Change::reason).collect(),
        false => merged.carried.iter().map(|change| change.reason).collect(),
    };
    let carried = if reasons.is_empty() { Vec::new() } else { merged.carried };
    let recovered = Recovered { reasons, undoable: Vec::new(), cut_off, kept: None, apart, file: FileSince::Changed };
    let log = carried.iter().filter_map(|change| options().to_string(change).ok()).collect();
    Replayed::Changes { recovered, why, log, end: None }
}

/// Gives the journal beside a lesson, if one lies there, another name, because the lesson was just saved without it.
pub(super) fn clear_place(disk: &Disk, places: &JournalPlaces) -> (Left, Option<Kept>) {
    let kept = fs::symlink_metadata(&places.beside)
        .is_ok()
        .then(|| put_aside(disk, &places.lesson, &places.beside, WhyKept::OtherLesson));
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

/// Returns a free name beside the lesson for the journal of another lesson that had this one's name.
fn free_name_for_another(lesson: &Path) -> Option<PathBuf> {
    let name = |number: u32| {
        let mut kept = OsString::from(".");
        kept.push(lesson.file_name()?);
        kept.push(format!(".of-another-{number}.journal"));
        Some(folder_of(lesson).join(kept))
    };
    (1..1000).filter_map(name).find(|path| fs::symlink_metadata(path).is_err())
}

/// Gives a journal another name; nothing in it is lost.
fn put_aside(disk: &Disk, lesson: &Path, path: &Path, why: WhyKept) -> Kept {
    let free = match why {
        // Where it is found by the lesson that it is of.
        WhyKept::OtherLesson => free_name_for_another(lesson),
        WhyKept::OtherVersion(_) => free_name(lesson, OF_OTHER_VERSION),
        WhyKept::FileChanged
        | WhyKept::Damaged { .. }
        | WhyKept::DoesNotFit { .. }
        | WhyKept::NotUnderstood { .. }
        | WhyKept::Unreadable => free_name(lesson, KEPT),
    };
    let kept = free.filter(|kept| disk.rename(path, kept).is_ok());
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
