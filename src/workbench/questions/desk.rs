//! The questions of the desk.

/// A question that the desk asks in a box for typing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DeskQuestion {
    /// The title of the lesson.
    LessonTitle,
}
