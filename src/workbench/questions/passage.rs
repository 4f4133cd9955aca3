//! The questions of the passage, and what it offers in lists.

use serde::{Deserialize, Serialize};

use crate::lesson::harmony::suggestion::SuggestedName;
use crate::lesson::id::{PassageId, PieceId, SetupId};
use crate::lesson::music::{Feel, Join, Stroke, Technique};
use crate::lesson::time::Meter;
use crate::lesson::tunings::FretsOrSound;

/// A question that the passage asks in a box for typing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum PassageQuestion {
    /// The title of a new passage.
    NewTitle,
    /// The meter of a new passage.
    NewMeter {
        /// The title.
        title: String,
    },
    /// The tempo of a new passage.
    NewTempo {
        /// The title.
        title: String,
        /// The meter.
        meter: Meter,
    },
    /// A new title for the passage.
    Title,
    /// The length of a note.
    Length,
    /// How far a bend goes, and which way.
    Bend,
    /// The other fret of a trill.
    Trill,
    /// The fret over which a harmonic is touched.
    TouchedHarmonic,
    /// The fret over which a harmonic is tapped.
    TappedHarmonic,
    /// How far the vibrato bar dips.
    Dip,
    /// How far the vibrato bar dives.
    Dive,
    /// Grace notes before the note.
    Grace,
    /// The finger that frets the note.
    Finger,
    /// The chord name over the beat.
    Chord,
    /// Words over the beat.
    Words,
    /// The meter from this bar on.
    Meter,
    /// The tempo from this bar on.
    Tempo,
    /// The key from this bar on.
    Key,
    /// How often a repeat that ends at this bar is played.
    Times,
    /// The endings to which this bar belongs.
    Endings,
    /// The interval of a transposition, in semitones.
    Semitones,
    /// The file from which text tab is read.
    TabFile,
    /// The title of the passage that pasted tab becomes.
    PastedTab(String),
    /// Another tuning and capo for the passage.
    Tuning,
}

/// A line that the passage offers in a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PassagePick {
    /// The join is set on the note, or removed.
    Join(Join),
    /// The technique is set on the note, or removed.
    Technique(Technique),
    /// The stroke is set on the beat; `None` removes it.
    Stroke(Option<Stroke>),
    /// A question that has to be answered first.
    Ask(PassageQuestion),
    /// The mark that a repeat begins at this bar is set or removed.
    RepeatStart,
    /// The mark that the bar is a pickup is set or removed.
    Pickup,
    /// The feel, straight or swung, in which the passage is played.
    Feel(Feel),
    /// Names for bars that have none: what becomes of the first of these, and the rest of them.
    Names(NameTaken, Vec<SuggestedName>),
    /// The passage is deleted; where several segments play it, that is asked about first.
    Delete,
    /// This passage is deleted, also from all segments that play it.
    DeleteEverywhere(PassageId),
    /// The passage goes to this tuning; what stays as it is has to be asked.
    Tuning(WantedTuning),
    /// These passages go to this tuning, and keep this.
    Retune(WantedTuning, FretsOrSound, Retuning, TheirSegments),
}

/// What becomes of a suggested name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NameTaken {
    /// This name is written.
    This(String),
    /// Nothing is written there.
    Skipped,
    /// The best name is written there and at every place that is left.
    AllTheRest,
}

/// A tuning and capo.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WantedTuning {
    /// One of the lesson.
    Known(SetupId),
    /// One that was typed, and that the lesson may not have yet.
    Typed(String),
}

/// The passages that go to another tuning.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Retuning {
    /// The one that is shown.
    This,
    /// All of a piece, and the piece with them.
    Piece(PieceId),
}

/// What becomes of the segments that play passages which go to another tuning.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TheirSegments {
    /// They stay in their own tuning.
    Stay,
    /// They are played in the new one as well.
    ComeAlong,
}
