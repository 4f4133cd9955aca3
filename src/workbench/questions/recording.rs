//! What the recording view asks.

/// What the recording view has typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RecordingQuestion {
    /// What its clock should show.
    Clock,
}
