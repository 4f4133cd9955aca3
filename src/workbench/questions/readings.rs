//! The questions of the readings.

/// A question that the readings ask in a box for typing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReadingsQuestion {
    /// A bass that somebody else plays.
    StatedBass,
}
