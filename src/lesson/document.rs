//! The lesson document: header, instruments and setups, pieces, passages, voicings, segments.
//!
//! Links are by identity and may dangle: `check` reports them, nothing breaks.

use serde::{Deserialize, Serialize};

use super::id::{InstrumentId, LessonId, PieceId, SetupId, VoicingId};
use super::music::Passage;
use super::named::Named;
pub use super::segment::{BarRange, PassageUse, Progress, Recorded, Segment, SegmentKind};
use super::time::{Tempo, VideoLength};
use crate::instrument::body::Instrument;
use crate::instrument::hand::{Barre, Finger};
use crate::instrument::neck::Shape;
use crate::instrument::tuning::{Capo, Tuning};
use crate::theory::key::Key;
use crate::theory::pitch::Hertz;
use crate::theory::reading::Doubt;

/// One lesson. Identities are unique within each list.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lesson {
    /// Which lesson it is. `None` only where it has been in no file yet and nobody has given it one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub id: Option<LessonId>,
    /// Title, author, rights.
    pub header: Header,
    /// The instruments it is played on.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub instruments: Vec<OwnedInstrument>,
    /// Tunings and capos, each on one of the instruments.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub setups: Vec<Setup>,
    /// The pieces it draws on.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub pieces: Vec<Piece>,
    /// The notated passages.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub passages: Vec<Passage>,
    /// The voicings taught.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub voicings: Vec<Voicing>,
    /// The video, in order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub segments: Vec<Segment>,
}

/// What stands at the head of a lesson. Empty text means not given.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Header {
    /// The title.
    pub title: String,
    /// The series it belongs to.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub series: String,
    /// Its number in the series.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub number: Option<u32>,
    /// Who teaches.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub author: String,
    /// The date as the teacher writes it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub date: String,
    /// Whom to credit, printed on the handout.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub credit: String,
    /// The rights note, printed on the handout.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub rights: String,
    /// Whether chord names follow the shape or the sound, where a capo or lowered tuning parts them.
    #[serde(default)]
    pub chord_names: ChordNames,
    /// The length the video should have.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub target: Option<VideoLength>,
}

/// Which names a handout uses where a capo or a lowered tuning parts the two.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
pub enum ChordNames {
    /// Named by the shape, as if there were no capo.
    #[default]
    PlayedAs,
    /// Named by what sounds.
    SoundsAs,
}

/// An instrument of this lesson.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OwnedInstrument {
    /// Its identity.
    pub id: InstrumentId,
    /// What it is.
    pub body: Instrument,
}

/// How an instrument is set up for a piece.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Setup {
    /// Its identity.
    pub id: SetupId,
    /// What the teacher calls it: `capo 3`, `double drop D`.
    pub name: String,
    /// The instrument.
    pub instrument: InstrumentId,
    /// The open strings.
    pub tuning: Tuning,
    /// The capo, if there is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub capo: Option<Capo>,
    /// What A4 sounds at, where that is not [`Hertz::STANDARD_PITCH`].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reference: Option<Hertz>,
    /// Pickup, pedal, string and pick notes.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub tone: String,
}

/// A song or study that the lesson draws on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Piece {
    /// Its identity.
    pub id: PieceId,
    /// The title.
    pub title: String,
    /// Who wrote and plays it, and where the teacher has it from.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub credit: String,
    /// How the instrument is set up for it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub setup: Option<SetupId>,
    /// Its key, as it sounds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub key: Option<Key>,
    /// Its tempo.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tempo: Option<Tempo>,
    /// Anything else.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
}

/// A shape with a chosen name.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Voicing {
    /// Its identity.
    pub id: VoicingId,
    /// Where the fingers are.
    pub shape: Shape,
    /// How sure the ear is, string by string as in the shape; shorter or empty means sure.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub doubts: Vec<Doubt>,
    /// The setup it is played in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub setup: Option<SetupId>,
    /// The readings kept, as played; the first is the name.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub readings: Vec<String>,
    /// The finger on each string, as in the shape; empty means not decided.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub fingers: Vec<Option<Finger>>,
    /// The barre, if one finger holds several strings.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub barre: Option<Barre>,
    /// Words to find it by.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub tags: Vec<String>,
    /// What to say about it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
}

impl Voicing {
    /// Returns the name kept first, if any.
    pub fn name(&self) -> Option<&str> {
        self.readings.first().map(String::as_str)
    }

    /// Returns how sure the ear is of the string at `index` of the shape.
    pub fn doubt(&self, index: usize) -> Doubt {
        self.doubts.get(index).copied().unwrap_or_default()
    }
}

impl Named for OwnedInstrument {
    fn title(&self) -> Option<&str> {
        Some(&self.body.name)
    }
}

impl Named for Setup {
    fn title(&self) -> Option<&str> {
        Some(&self.name)
    }
}

impl Named for Piece {
    fn title(&self) -> Option<&str> {
        Some(&self.title)
    }
}

impl Named for Voicing {
    fn title(&self) -> Option<&str> {
        self.name()
    }
}
