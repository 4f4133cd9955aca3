//! What the timeline asks and offers about the segments.

use crate::lesson::document::{Progress, SegmentKind};
use crate::lesson::id::{PassageId, SegmentId, SetupId, VoicingId};

/// What the timeline has typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TimelineQuestion {
    /// The title of a new segment, which goes to this place in the list.
    NewSegment(usize),
    /// The title of a segment.
    Title(SegmentId),
    /// The planned length of a segment.
    Length(SegmentId),
    /// When a segment was recorded.
    Recorded(SegmentId),
    /// Where a segment is split.
    SplitAt(SegmentId),
    /// The length that the whole video should have.
    Target,
    /// The title of the piece that a segment is about.
    PieceTitle(SegmentId),
    /// The key of that piece.
    PieceKey {
        /// The segment.
        segment: SegmentId,
        /// The title of the piece, as it was typed.
        title: String,
    },
    /// A new setup for a segment.
    NewSetup(SegmentId),
}

/// What the timeline offers for a segment.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TimelinePick {
    /// The segment is of this kind.
    Kind(SegmentId, SegmentKind),
    /// The segment is this far.
    Progress(SegmentId, Progress),
    /// The segment is played in this setup; `None` keeps the one before it.
    Setup(SegmentId, Option<SetupId>),
    /// A new setup is wanted for the segment.
    AddSetup(SegmentId),
}

/// What is written in a segment, line by line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SegmentText {
    /// Talking points.
    Points,
    /// Camera and light.
    Shot,
    /// The sound of the instrument.
    Tone,
}

impl SegmentText {
    /// Returns what it is called.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Points => "talking points",
            Self::Shot => "shot notes",
            Self::Tone => "tone notes",
        }
    }
}

/// Something that a segment shows or does not show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Marked {
    /// A passage.
    Passage(PassageId),
    /// A voicing.
    Voicing(VoicingId),
}
