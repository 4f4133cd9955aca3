//! The questions of the readings.

use serde::{Deserialize, Serialize};

/// A question that the readings ask in a box for typing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum ReadingsQuestion {
    /// A bass that somebody else plays.
    StatedBass,
}
