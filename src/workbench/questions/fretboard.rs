//! The questions of the fretboard.

use serde::{Deserialize, Serialize};

/// A question that the fretboard asks in a box for typing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum FretboardQuestion {
    /// A whole shape for the fretboard.
    Shape,
    /// The name of a chord whose voicings are to be shown.
    ChordName,
}
