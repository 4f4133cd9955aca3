//! What the fretboard asks.

/// What the fretboard has typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FretboardQuestion {
    /// A whole shape to put down.
    Shape,
    /// A chord whose voicings are wanted.
    ChordName,
}
