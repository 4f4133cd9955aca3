//! Things that were changed on both sides, here and in the file: their versions wait until somebody decides.

use crate::lesson::edit::Edit;

/// The versions that wait to be decided about.
#[derive(Debug, Clone, Default)]
pub struct Undecided {
    waiting: Vec<Edit>,
    /// How many there were at first.
    in_all: usize,
    /// What was decided since it was asked for last.
    decided: Option<Decided>,
}

/// A version that was decided about, and where it stood among those that waited.
#[derive(Debug, Clone, PartialEq)]
pub struct Decided {
    place: usize,
    version: Edit,
}

impl Undecided {
    /// Takes in the versions that wait.
    pub fn new(waiting: Vec<Edit>) -> Self {
        Self { in_all: waiting.len(), waiting, decided: None }
    }

    /// Returns the versions that wait.
    pub fn waiting(&self) -> &[Edit] {
        &self.waiting
    }

    /// Says how many are left: `2 of 5 left`.
    pub fn left(&self) -> String {
        format!("{} of {} left", self.waiting.len(), self.in_all)
    }

    /// Takes note that the version at `place` was decided about.
    pub fn decide_on(&mut self, place: usize) {
        if place < self.waiting.len() {
            let version = self.waiting.remove(place);
            self.decided = Some(Decided { place, version });
        }
    }

    /// Takes out what was decided since the last call.
    pub const fn take_decided(&mut self) -> Option<Decided> {
        self.decided.take()
    }

    /// Has a version wait again, where it stood.
    pub fn take_back(&mut self, decided: &Decided) {
        self.waiting.insert(decided.place.min(self.waiting.len()), decided.version.clone());
    }

    /// Takes note that a version is decided about again that had come back.
    pub fn decide_again(&mut self, decided: &Decided) {
        if self.waiting.get(decided.place) == Some(&decided.version) {
            self.waiting.remove(decided.place);
        }
    }
}
