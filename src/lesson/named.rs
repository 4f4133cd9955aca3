//! What the teacher calls the things of a lesson.

/// A thing in one of the lesson's lists.
pub trait Named {
    /// Returns what the teacher calls it, if anything.
    fn title(&self) -> Option<&str>;
}
