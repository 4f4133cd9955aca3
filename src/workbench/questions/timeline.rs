//! The questions of the timeline, and what it offers in lists.

use serde::{Deserialize, Serialize};

use crate::lesson::check::Finding;
use crate::lesson::document::{Progress, SegmentKind};
use crate::lesson::id::{PassageId, PieceId, SegmentId, SetupId, VoicingId};
use crate::lesson::tunings::FretsOrSound;
use crate::lesson::voicings_along::VoicingsThere;

/// A question that the timeline asks in a box for typing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum TimelineQuestion {
    /// The title of a new segment, which takes this index in the list.
    NewSegment(usize),
    /// The title of a segment.
    Title(SegmentId),
    /// The planned length of a segment.
    Length(SegmentId),
    /// The times at which a segment was recorded.
    Recorded(SegmentId),
    /// The time at which a segment is split.
    SplitAt(SegmentId),
    /// What of a segment's recording is left out of the video.
    Cuts(SegmentId),
    /// The number of the place to which a segment is moved.
    Place(SegmentId),
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
    /// Another title for a piece.
    PieceName(PieceId),
    /// One of the credits of a piece.
    PieceCredit(PieceId, PieceCredit),
    /// The description of a new setup for a segment.
    NewSetup(SegmentId),
    /// Another name for a tuning of the lesson.
    TuningName(SetupId),
    /// Another tuning or capo in the place of one of the lesson.
    TuningNotes(SetupId),
}

/// A line that the timeline offers in a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TimelinePick {
    /// The segment is of this kind.
    Kind(SegmentId, SegmentKind),
    /// The work on the segment is this far.
    Progress(SegmentId, Progress),
    /// The segment is played in this setup; `None` keeps the setup of the segment before.
    Setup(SegmentId, Option<SetupId>),
    /// A new setup is wanted for the segment.
    AddSetup(SegmentId),
    /// The segment is played in this tuning, and this becomes of the voicings that are shown in it.
    PlayIn(SegmentId, SegmentTuning, VoicingsThere),
    /// The chapter list is copied in the planned times.
    CopyPlannedChapters,
    /// What can be done with a piece is listed.
    Piece(PieceId),
    /// Another title for a piece is asked for.
    RenamePiece(PieceId),
    /// One of the credits of a piece is asked for.
    AskCredit(PieceId, PieceCredit),
    /// A piece is deleted.
    DeletePiece(PieceId),
    /// The tunings of the lesson are listed, to be changed.
    ListTunings,
    /// What can be done with a tuning is listed.
    Tuning(SetupId),
    /// A question about a tuning that has to be answered first.
    AskTuning(SetupId, TuningChange),
    /// A tuning becomes what was typed; passages that are played in it keep this.
    ChangeTuning(SetupId, String, FretsOrSound),
    /// Of the ways to mend what was found, the one with this index is taken.
    Mend(Box<Finding>, usize),
    /// A tuning is deleted; what is played in it is asked about.
    DeleteTuning(SetupId),
    /// A tuning is deleted, and what is played in it is played in another from then on; passages keep this.
    DeleteTuningFor(SetupId, SetupId, FretsOrSound),
}

/// The tuning and capo that a segment is to be played in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SegmentTuning {
    /// That of the segment before it.
    AsBefore,
    /// One of the lesson.
    Known(SetupId),
    /// One that was typed, and that the lesson may not have yet.
    Typed(String),
}

/// What is said of where a piece comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum PieceCredit {
    /// Who wrote it.
    Author,
    /// The recording it was learned from.
    Recording,
    /// Who allows it to be taught and published.
    Permission,
}

impl PieceCredit {
    /// Returns what stands before it.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Author => "written by",
            Self::Recording => "learned from",
            Self::Permission => "permission",
        }
    }
}

/// What can be changed about a tuning.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TuningChange {
    /// Its name.
    Name,
    /// Its strings and its capo.
    Notes,
}

/// The notes of a segment that are written line by line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum SegmentText {
    /// Talking points.
    Points,
    /// Notes on camera and light.
    Shot,
    /// Notes on the sound of the instrument.
    Tone,
}

impl SegmentText {
    /// Returns the name of these notes on the screen.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Points => "talking points",
            Self::Shot => "shot notes",
            Self::Tone => "tone notes",
        }
    }
}

/// Something that a segment can show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Marked {
    /// A passage.
    Passage(PassageId),
    /// A voicing.
    Voicing(VoicingId),
}
