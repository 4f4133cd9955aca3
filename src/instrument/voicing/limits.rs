//! The limits that no hand goes beyond, whatever the chord.

use crate::instrument::fingering::{Held, MUTED};
use crate::instrument::neck::Fret;

/// The most frets from the lowest finger to the highest: each of the four fingers has a fret of its own, and one of
/// them reaches one fret further. This is the common practice of playing in position; no published source.
pub const SPAN: i8 = 4;

/// The most strings that are damped between sounding ones. No finger reaches to damp more. Common practice, no
/// published source.
pub const INNER_MUTES: u32 = 2;

/// The number of wires that a neck can have, the nut among them.
pub(super) const WIRES: usize = Fret::LAST as usize + 1;

/// Returns how many strings are damped between sounding ones.
pub(super) fn inner_mutes(held: &Held) -> u32 {
    let sounds = |wire: &i8| *wire != MUTED;
    let (first, last) = (held.iter().position(sounds), held.iter().rposition(sounds));
    let between = first.zip(last).and_then(|(first, last)| held.get(first..=last)).unwrap_or_default();
    between.iter().filter(|wire| !sounds(wire)).count() as u32
}
