//! What a search finds, in full and in its smallest form.

use crate::instrument::fingering::{Fingering, Held, PackedFingering};
use crate::instrument::neck::Shape;

/// One way to play a chord.
#[derive(Debug, Clone, PartialEq)]
pub struct FoundVoicing {
    /// Where the fingers are.
    pub shape: Shape,
    /// Which fingers they are.
    pub fingering: Fingering,
    /// What the ranking makes of it; lower stands first.
    pub cost: u32,
}

/// A voicing in its smallest form.
#[derive(Debug, Clone, Copy)]
pub(super) struct Hit {
    pub(super) cost: u32,
    pub(super) held: Held,
    pub(super) grip: PackedFingering,
}
