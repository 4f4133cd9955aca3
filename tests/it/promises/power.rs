//! What a disk holds after its power failed: what was synced, and as much of the rest as the cut leaves.
//!
//! Names that were made, changed and taken away since the last sync of their folder are there up to some point, in their order. That is
//! what POSIX leaves open (`fsync`, Rationale) where a journalling file system keeps the order of names. A file that nobody has
//! touched yet is as it lies there, synced.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use fingerpost::store::disk::Call;

/// How much of what was not synced is there afterwards.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unsynced {
    Nothing,
    Half,
    All,
}

impl Unsynced {
    pub const ALL: &[Self] = &[Self::Nothing, Self::Half, Self::All];

    const fn of(self, count: usize) -> usize {
        match self {
            Self::Nothing => 0,
            Self::Half => count / 2,
            Self::All => count,
        }
    }
}

/// A power cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PowerCut {
    pub names: Unsynced,
    pub contents: Unsynced,
}

#[derive(Debug, Default)]
struct Content {
    now: Vec<u8>,
    synced: Vec<u8>,
}

/// The names of files with the place of their content; `None` where there is no such file.
type Names = BTreeMap<PathBuf, Option<usize>>;

/// What is on a disk, and what of it is there for good.
#[derive(Debug, Default)]
pub struct Power {
    contents: Vec<Content>,
    now: Names,
    synced: Names,
    /// What was done to names since, in order; a new name in place of an old one is one thing.
    pending: Vec<Names>,
}

impl Power {
    /// Takes note of a call that is about to be made.
    pub fn before(&mut self, call: Call<'_>) {
        match call {
            Call::Rename { from, to } => [from, to].into_iter().for_each(|path| self.look_at(path)),
            Call::Create(path)
            | Call::Open(path)
            | Call::Write(path, _)
            | Call::Cut(path, _)
            | Call::SyncFile(path)
            | Call::Remove(path) => self.look_at(path),
            Call::MakeFolder(_) | Call::Protect(_) | Call::SyncFolder(_) | Call::Lock(_) => {}
        }
    }

    /// Takes note of a call that was made.
    pub fn after(&mut self, call: Call<'_>) {
        match call {
            Call::Create(path) => self.make(path),
            Call::Open(path) if self.at(path).is_none() => self.make(path),
            Call::Write(path, bytes) => self.content(path, |content| content.now.extend(bytes)),
            Call::Cut(path, length) => {
                self.content(path, |content| content.now.truncate(usize::try_from(length).unwrap()));
            }
            Call::SyncFile(path) => self.content(path, |content| content.synced.clone_from(&content.now)),
            Call::SyncFolder(folder) => {
                let is_in = |path: &Path| path.parent() == Some(folder);
                self.synced
                    .extend(self.now.iter().filter(|(path, _)| is_in(path)).map(|(path, at)| (path.clone(), *at)));
                self.pending.retain(|names| names.keys().any(|path| !is_in(path)));
            }
            Call::Rename { from, to } => {
                let content = self.at(from);
                self.name([(from.to_owned(), None), (to.to_owned(), content)].into());
            }
            Call::Remove(path) => self.name([(path.to_owned(), None)].into()),
            Call::Open(_) | Call::MakeFolder(_) | Call::Protect(_) | Call::Lock(_) => {}
        }
    }

    /// Another program has changed this file, and it is as it lies there now.
    pub fn forget(&mut self, path: &Path) {
        self.now.remove(path);
        self.synced.remove(path);
        self.pending.iter_mut().for_each(|names| _ = names.remove(path));
    }

    /// Leaves on the real disk what a power cut leaves.
    pub fn cut(&mut self, cut: PowerCut) {
        let mut names = self.synced.clone();
        let kept = cut.names.of(self.pending.len());
        self.pending.drain(..kept).for_each(|change| names.extend(change));
        for (path, at) in names {
            let Some(Content { now, synced }) = at.and_then(|at| self.contents.get(at)) else {
                let _ = fs::remove_file(path);
                continue;
            };
            let left = match cut.contents {
                Unsynced::Nothing => synced.clone(),
                Unsynced::Half => now[..usize::midpoint(synced.len().min(now.len()), now.len())].to_vec(),
                Unsynced::All => now.clone(),
            };
            if fs::read(&path).ok().as_ref() != Some(&left) {
                fs::write(&path, left).unwrap();
            }
        }
        *self = Self::default();
    }

    /// Takes in how a file lies there, where nobody has touched it yet.
    fn look_at(&mut self, path: &Path) {
        if self.now.contains_key(path) {
            return;
        }
        let at = fs::read(path).ok().map(|bytes| {
            self.contents.push(Content { now: bytes.clone(), synced: bytes });
            self.contents.len() - 1
        });
        self.now.insert(path.to_owned(), at);
        self.synced.insert(path.to_owned(), at);
    }

    fn at(&self, path: &Path) -> Option<usize> {
        self.now.get(path).copied().flatten()
    }

    fn make(&mut self, path: &Path) {
        self.contents.push(Content::default());
        self.name([(path.to_owned(), Some(self.contents.len() - 1))].into());
    }

    fn name(&mut self, change: Names) {
        self.now.extend(change.clone());
        self.pending.push(change);
    }

    fn content(&mut self, path: &Path, change: impl FnOnce(&mut Content)) {
        // A file that another program has taken away is still written to.
        if let Some(content) = self.at(path).and_then(|at| self.contents.get_mut(at)) {
            change(content);
        }
    }
}
