//! A place for the hand, and what the strings can sound from there.

use crate::instrument::fingering::STRINGS;
use crate::theory::pitch_set::PitchSet;

/// For each string the tones within reach that it and those after it can add.
type Ahead = [PitchSet; STRINGS + 1];

/// For each string the lowest note that it and those after it can add.
type Deepest = [u8; STRINGS + 1];

/// A place for the hand.
pub(super) struct Position {
    /// The wire of the lowest finger; [`OPEN`](crate::instrument::fingering::OPEN) where none is down.
    pub(super) lowest: i8,
    /// The wires within reach, bit 1 for the first.
    pub(super) window: u64,
    pub(super) ahead: Ahead,
    pub(super) deepest: Deepest,
}
