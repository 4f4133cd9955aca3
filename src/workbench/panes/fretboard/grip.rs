//! What lies on the strings: which shape, how sure the ear is of each string, what it is called.

use crate::instrument::hand::{Barre, Finger};
use crate::instrument::neck::Shape;
use crate::theory::reading::Doubt;

/// What lies on the strings.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Grip {
    /// The frets, highest string number first.
    pub shape: Shape,
    /// How sure the ear is, one for each string of the shape.
    pub doubts: Vec<Doubt>,
    /// The readings kept; the first is the name.
    pub kept: Vec<String>,
    /// The finger on each string, as in the shape; shorter or empty means not decided.
    pub fingers: Vec<Option<Finger>>,
    /// The barre, if one finger holds several strings.
    pub barre: Option<Barre>,
}

impl Grip {
    pub(super) fn muted(strings: usize) -> Self {
        let shape = Shape::muted(strings);
        Self { doubts: vec![Doubt::Sure; shape.strings().len()], shape, ..Self::default() }
    }

    /// Returns a grip with as many doubts as strings.
    pub fn new(shape: Shape, mut doubts: Vec<Doubt>, kept: Vec<String>) -> Self {
        doubts.resize(shape.strings().len(), Doubt::Sure);
        Self { shape, doubts, kept, ..Self::default() }
    }

    /// Returns the grip held with these fingers, one of which may lie over several strings.
    pub fn held_with(self, fingers: Vec<Option<Finger>>, barre: Option<Barre>) -> Self {
        Self { fingers, barre, ..self }
    }

    /// Returns whether no string sounds.
    pub fn is_silent(&self) -> bool {
        self.shape.strings().iter().all(Option::is_none)
    }

    /// Returns the doubts as a voicing keeps them: none where the ear is sure of all.
    pub fn doubts_to_keep(&self) -> Vec<Doubt> {
        if self.doubts.iter().all(|doubt| *doubt == Doubt::Sure) { Vec::new() } else { self.doubts.clone() }
    }
}
