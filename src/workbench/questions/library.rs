//! The questions of the library.

use serde::{Deserialize, Serialize};

/// A question that the library asks in a box for typing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum LibraryQuestion {
    /// The tags of the voicing whose fingers and strings these words say.
    Tags(String),
}
