//! The questions of the recording view.

/// A question that the recording view asks in a box for typing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RecordingQuestion {
    /// The time that its clock should show.
    Clock,
}
