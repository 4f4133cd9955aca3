//! The questions of the recording view.

use serde::{Deserialize, Serialize};

/// A question that the recording view asks in a box for typing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum RecordingQuestion {
    /// The time that its clock should show.
    Clock,
}
