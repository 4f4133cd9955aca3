//! The questions of the library.

use serde::{Deserialize, Serialize};

use crate::lesson::id::VoicingId;

/// A question that the library asks in a box for typing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum LibraryQuestion {
    /// The tags of the voicing whose fingers and strings these words say.
    Tags(String),
}

/// What a list of the library offers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LibraryPick {
    /// These voicings are deleted from the lesson, also from all that shows them.
    DeleteFromLesson(Vec<VoicingId>),
}
