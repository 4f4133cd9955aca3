//! Disks that fail, and disks that lose their power.

use std::collections::BTreeMap;
use std::fs;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex};

use fingerpost::store::disk::{Call, Disk, Verdict, Witness};

/// How a disk fails.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// One call is refused.
    Once(ErrorKind),
    /// Half of what is written is taken, and the call after it refused; a call that writes nothing is refused itself.
    HalfThenOnce(ErrorKind),
    /// From one call on, all are refused.
    FromThenOn(ErrorKind),
    /// Half of what is written is taken, and from then on all calls are refused.
    HalfFromThenOn(ErrorKind),
    /// Only the first byte of what is written is taken, which is no failure.
    OneByte,
}

/// Every way to fail, with the usual words of a system.
pub const FAILURES: [How; 6] = [
    How::Once(ErrorKind::StorageFull),
    How::Once(ErrorKind::Other),
    How::HalfThenOnce(ErrorKind::StorageFull),
    How::FromThenOn(ErrorKind::Other),
    How::HalfFromThenOn(ErrorKind::StorageFull),
    How::OneByte,
];

/// A disk that fails at one call, counted from when it is armed.
#[derive(Debug)]
pub struct Failing {
    how: How,
    at: usize,
    /// The calls made since it was armed; the largest number before.
    count: AtomicUsize,
    /// How many were made while it was armed.
    made: AtomicUsize,
}

const UNARMED: usize = usize::MAX / 2;

impl Failing {
    pub fn new(how: How, at: usize) -> Arc<Self> {
        Arc::new(Self { how, at, count: AtomicUsize::new(UNARMED), made: AtomicUsize::new(0) })
    }

    pub fn disk(self: &Arc<Self>) -> Disk {
        Disk::watched(Arc::<Self>::clone(self))
    }

    pub fn arm(&self) {
        self.count.store(0, Ordering::SeqCst);
    }

    /// Lets every call be made from now on; returns whether one was refused or cut short.
    pub fn disarm(&self) -> bool {
        self.made.store(self.count.swap(UNARMED, Ordering::SeqCst), Ordering::SeqCst);
        self.was_reached()
    }

    /// Returns whether the call at which it fails was made at all, once it is disarmed.
    pub fn was_reached(&self) -> bool {
        self.made.load(Ordering::SeqCst) > self.at
    }
}

impl Witness for Failing {
    fn before(&self, call: Call<'_>) -> Verdict {
        let count = self.count.fetch_add(1, Ordering::SeqCst);
        if count >= UNARMED || count < self.at {
            return Verdict::Make;
        }
        let refused = |kind: ErrorKind| Verdict::Refuse(io::Error::from(kind));
        let first = count == self.at;
        match (self.how, call) {
            (How::Once(kind), _) if first => refused(kind),
            (How::OneByte, Call::Write(..)) if first => Verdict::Take(1),
            (How::HalfThenOnce(_) | How::HalfFromThenOn(_), Call::Write(_, bytes)) if first => {
                Verdict::Take((bytes.len() / 2).max(1))
            }
            (How::HalfThenOnce(kind), Call::Write(..)) if count == self.at + 1 => refused(kind),
            (How::HalfThenOnce(kind), _) if first => refused(kind),
            (How::FromThenOn(kind) | How::HalfFromThenOn(kind), _) => refused(kind),
            (How::Once(_) | How::OneByte | How::HalfThenOnce(_), _) => Verdict::Make,
        }
    }

    fn after(&self, _: Call<'_>, _: Result<(), &io::Error>) {}
}

/// The files of a folder with what they hold.
pub type Files = BTreeMap<PathBuf, Vec<u8>>;

/// What may be on the disk after the power failed at one moment.
#[derive(Debug, Clone)]
pub struct PowerCut {
    /// The call made last.
    pub after: String,
    /// How much must have survived, as the test has promised by then.
    pub promised: usize,
    /// Every state the disk may be in.
    pub disks: Vec<Files>,
}

/// A disk whose power fails. It counts on nothing that was not synced: what was written to a file since its last sync may be
/// there, half of it, or nothing; names that were made, changed and taken away since the last sync of their folder are
/// there up to some point, in their order, and not from there on.
///
/// That is what POSIX leaves open (`fsync`, Rationale) where a journalling file system keeps the order of names.
#[derive(Debug, Default)]
pub struct Power {
    model: Mutex<Model>,
}

#[derive(Debug, Default)]
struct Model {
    contents: Vec<Content>,
    /// The names as a program sees them.
    names: BTreeMap<PathBuf, usize>,
    /// The names on the disk itself.
    synced: BTreeMap<PathBuf, usize>,
    /// What was done to names since.
    pending: Vec<BTreeMap<PathBuf, usize>>,
    promised: usize,
    cuts: Vec<PowerCut>,
}

#[derive(Debug, Clone, Default)]
struct Content {
    now: Vec<u8>,
    synced: Vec<u8>,
}

/// How much of what was not synced a power cut leaves.
#[derive(Debug, Clone, Copy)]
enum Unsynced {
    Nothing,
    Half,
    All,
}

impl Content {
    fn after_cut(&self, unsynced: Unsynced) -> Vec<u8> {
        match unsynced {
            Unsynced::Nothing => self.synced.clone(),
            Unsynced::All => self.now.clone(),
            Unsynced::Half => {
                let half = usize::midpoint(self.synced.len().min(self.now.len()), self.now.len());
                self.now[..half].to_vec()
            }
        }
    }
}

impl Power {
    /// Returns a disk on which lies what lies in `folder` now.
    pub fn over(folder: &Path) -> Arc<Self> {
        let mut model = Model::default();
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let bytes = fs::read(&path).unwrap();
            model.names.insert(path, model.contents.len());
            model.contents.push(Content { now: bytes.clone(), synced: bytes });
        }
        model.synced = model.names.clone();
        Arc::new(Self { model: Mutex::new(model) })
    }

    pub fn disk(self: &Arc<Self>) -> Disk {
        Disk::watched(Arc::<Self>::clone(self))
    }

    /// Says how much must survive every power cut from now on.
    pub fn promise(&self, survives: usize) {
        let mut model = self.model.lock().unwrap();
        model.promised = survives;
        model.cut_power(format!("promise {survives}"));
    }

    /// Returns what each power cut may have left.
    pub fn cuts(&self) -> Vec<PowerCut> {
        self.model.lock().unwrap().cuts.clone()
    }
}

impl Model {
    fn name(&mut self, change: impl FnOnce(&mut BTreeMap<PathBuf, usize>)) {
        change(&mut self.names);
        self.pending.push(self.names.clone());
    }

    fn content(&mut self, path: &Path) -> &mut Content {
        let place = self.names[path];
        &mut self.contents[place]
    }

    fn make(&mut self, path: &Path) {
        let place = self.contents.len();
        self.contents.push(Content::default());
        self.name(|names| _ = names.insert(path.to_owned(), place));
    }

    fn cut_power(&mut self, after: String) {
        let mut disks = Vec::new();
        for names in std::iter::once(&self.synced).chain(&self.pending) {
            for unsynced in [Unsynced::Nothing, Unsynced::Half, Unsynced::All] {
                let files = names.iter().map(|(path, place)| (path.clone(), self.contents[*place].after_cut(unsynced)));
                let files: Files = files.collect();
                if !disks.contains(&files) {
                    disks.push(files);
                }
            }
        }
        self.cuts.push(PowerCut { after, promised: self.promised, disks });
    }
}

impl Witness for Power {
    fn before(&self, _: Call<'_>) -> Verdict {
        Verdict::Make
    }

    fn after(&self, call: Call<'_>, outcome: Result<(), &io::Error>) {
        if outcome.is_err() {
            return;
        }
        let model = &mut *self.model.lock().unwrap();
        match call {
            Call::Create(path) => model.make(path),
            Call::Open(path) if !model.names.contains_key(path) => model.make(path),
            Call::Open(_) | Call::MakeFolder(_) | Call::Protect(_) | Call::Lock(_) => {}
            Call::Write(path, bytes) => model.content(path).now.extend(bytes),
            Call::Cut(path, length) => model.content(path).now.truncate(usize::try_from(length).unwrap()),
            Call::SyncFile(path) => {
                let content = model.content(path);
                content.synced = content.now.clone();
            }
            Call::SyncFolder(_) => {
                model.synced = model.names.clone();
                model.pending.clear();
            }
            Call::Rename { from, to } => model.name(|names| {
                let place = names.remove(from).unwrap();
                names.insert(to.to_owned(), place);
            }),
            Call::Remove(path) => model.name(|names| _ = names.remove(path)),
        }
        model.cut_power(format!("{call:?}").chars().take(160).collect());
    }
}

/// Puts files with the same names into an empty folder.
pub fn lay_out(files: &Files, folder: &Path) {
    for (path, bytes) in files {
        fs::write(folder.join(path.file_name().unwrap()), bytes).unwrap();
    }
}

/// What changes a file, or could.
const CHANGES: [&str; 14] = [
    "File::create",
    "OpenOptions",
    "fs::write",
    "fs::rename",
    "fs::remove",
    "fs::create_dir",
    "fs::copy",
    "fs::hard_link",
    "symlink(",
    "set_len",
    "sync_all",
    "sync_data",
    "set_permissions",
    "tempfile",
];

/// What a file names that changes files, and is not the disk: the demo makes a folder of its own for the system to clear away.
const EXCEPTIONS: [(&str, &[&str]); 1] = [("cli/demo.rs", &["tempfile"])];

#[test]
fn nothing_changes_a_file_but_the_disk() {
    let mut folders = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join("src")];
    let (mut files, mut changing) = (0, Vec::new());
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            let text = fs::read_to_string(&path).unwrap();
            let code = text.split("#[cfg(test)]").next().unwrap();
            let is_named = |word: &&str| code.lines().any(|line| line.contains(*word) && !line.contains("fn set_len"));
            let allowed = EXCEPTIONS.iter().find(|(name, _)| path.ends_with(name)).map_or(&[][..], |(_, words)| words);
            let found: Vec<&str> =
                CHANGES.into_iter().filter(is_named).filter(|word| !allowed.contains(word)).collect();
            if !found.is_empty() {
                changing.push((path, found));
            }
            files += 1;
        }
    }
    assert!(files > 300, "only {files} files");
    let [(path, _)] = &changing[..] else { panic!("{changing:#?}") };
    assert!(path.ends_with("store/disk.rs"), "{changing:#?}");
}
