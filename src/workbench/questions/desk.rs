//! The questions of the desk.

use serde::{Deserialize, Serialize};

/// A question that the desk asks in a box for typing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum DeskQuestion {
    /// The title of the lesson.
    LessonTitle,
}
