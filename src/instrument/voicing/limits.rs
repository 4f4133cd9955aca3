//! What no hand goes beyond, whatever the chord.

use crate::instrument::neck::Fret;

/// The most frets from the lowest finger to the highest: each of four fingers has a fret of its own, and one reaches
/// further by one. Common practice of playing in position, no published source.
pub const SPAN: i8 = 4;

/// The most strings that are damped between sounding ones: further apart no finger reaches to damp them.
pub const INNER_MUTES: u32 = 2;

/// The wires there can be, the nut among them.
pub(super) const WIRES: usize = Fret::LAST as usize + 1;
