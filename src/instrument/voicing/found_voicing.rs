//! A voicing that a search has found, in full and in its smallest form.

use crate::instrument::fingering::{Fingering, Held, PackedFingering};
use crate::instrument::neck::Shape;

/// One way to play a chord.
#[derive(Debug, Clone, PartialEq)]
pub struct FoundVoicing {
    /// Where the fingers are.
    pub shape: Shape,
    /// Which fingers they are.
    pub fingering: Fingering,
    /// Its price in the ranking, in points; the lowest price stands first.
    pub cost: u32,
}

/// A voicing in its smallest form.
#[derive(Debug, Clone, Copy)]
pub(super) struct Hit {
    /// Its price in the ranking, in points.
    pub(super) cost: u32,
    pub(super) held: Held,
    pub(super) grip: PackedFingering,
}
