//! What the readings ask.

/// What the readings have typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReadingsQuestion {
    /// A bass that somebody else plays.
    StatedBass,
}
