//! What the desk asks.

/// What the desk has typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DeskQuestion {
    /// The title of the lesson.
    LessonTitle,
}
