//! What a note of the passage is to be on the new rig.

use crate::instrument::neck::Place;
use crate::theory::pitch::MidiNote;

/// What a note is to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Plan {
    /// This pitch, so many semitones above what it was.
    Pitch { note: MidiNote, raised: i32 },
    /// This place.
    At(Place),
    /// A natural harmonic at this place.
    Harmonic(Place),
    /// The note at this place in the list, held on.
    TiedTo(usize),
    /// Left out.
    Nothing,
}
