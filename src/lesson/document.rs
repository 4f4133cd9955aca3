//! The lesson document: header, instruments and setups, pieces, passages, voicings, segments.
//!
//! Links are by identity and may dangle: `check` reports them, nothing breaks. Each thing says here what is told of it and which
//! texts it holds ([`super::detailed`]); segments do in [`super::segment`], passages in [`super::music`].

use serde::{Deserialize, Serialize};

use super::detailed::{Detail, Detailed, TypedText, line, lines, maybe, several, title, words};
use super::id::{InstrumentId, ItemId, LessonId, PieceId, SetupId, VoicingId};
use super::music::Passage;
use super::named::Named;
pub use super::segment::{BarRange, PassageUse, Progress, Recorded, Segment, SegmentKind, VideoCut};
use super::time::{Tempo, VideoLength};
use crate::instrument::body::Instrument;
use crate::instrument::hand::{Barre, Finger};
use crate::instrument::neck::{Shape, StringNumber};
use crate::instrument::rig::Rig;
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
    #[serde(default, skip_serializing_if = "Vec::is_empty", rename = "tunings", alias = "setups")]
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
    /// Whether chord names over the tab, and on the handout, follow the shape or the sound, where a capo or lowered tuning parts them.
    #[serde(default)]
    pub chord_names: ChordNames,
    /// The length the video should have.
    #[serde(default, skip_serializing_if = "Option::is_none", rename = "goal", alias = "target")]
    pub target: Option<VideoLength>,
}

/// Which names stand over the tab and on the handout where a capo or a lowered tuning parts the two. Voicings are named by the shape in
/// either case.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
pub enum ChordNames {
    /// Named by the shape, as if there were no capo.
    #[default]
    PlayedAs,
    /// Named by what sounds.
    SoundsAs,
}

impl ChordNames {
    /// Returns how many semitones a name over the tab lies above the name of its shape on `rig`.
    pub const fn above_the_shape(self, rig: &Rig) -> i32 {
        match self {
            Self::PlayedAs => 0,
            Self::SoundsAs => rig.played_as().semitones(),
        }
    }

    /// Returns how many semitones a name over the tab lies below what sounds on `rig`.
    pub const fn below_the_sound(self, rig: &Rig) -> i32 {
        match self {
            Self::PlayedAs => rig.played_as().semitones(),
            Self::SoundsAs => 0,
        }
    }
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
    #[serde(rename = "strings", alias = "tuning")]
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
    /// Who wrote it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub credit: String,
    /// Which recording it was learned from.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub recording: String,
    /// Who allows it to be taught and published.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub permission: String,
    /// How the instrument is set up for it.
    #[serde(default, skip_serializing_if = "Option::is_none", rename = "tuning", alias = "setup")]
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
    #[serde(default, skip_serializing_if = "Vec::is_empty", rename = "heard", alias = "doubts")]
    pub doubts: Vec<Doubt>,
    /// The setup it is played in.
    #[serde(default, skip_serializing_if = "Option::is_none", rename = "tuning", alias = "setup")]
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

impl Detailed for Header {
    fn details(&self, _: &dyn Fn(ItemId) -> String) -> Vec<Detail> {
        let Self { title, series, number, author, date, credit, rights, chord_names, target } = self;
        let names = match chord_names {
            ChordNames::PlayedAs => "as played, by the shape",
            ChordNames::SoundsAs => "as they sound",
        };
        vec![
            words("title", title),
            words("series", series),
            maybe("number in the series", *number),
            words("teacher", author),
            words("date", date),
            words("credit", credit),
            words("rights", rights),
            words("chord names", names),
            maybe("length of the video", *target),
        ]
    }

    fn texts(&self) -> Vec<TypedText<'_>> {
        vec![
            title("the title", &self.title),
            line("the series", &self.series),
            line("the author", &self.author),
            line("the date", &self.date),
            lines("the credit", &self.credit),
            lines("the rights note", &self.rights),
        ]
    }
}

impl Named for OwnedInstrument {
    fn title(&self) -> Option<&str> {
        Some(&self.body.name)
    }
}

impl Detailed for OwnedInstrument {
    fn details(&self, _: &dyn Fn(ItemId) -> String) -> Vec<Detail> {
        let Self { id: _, body } = self;
        let short = body.short.map(|short| format!("string {}, from fret {} on", short.string, short.starts_at));
        vec![
            words("name", &body.name),
            words("strings", body.strings.to_string()),
            words("frets", body.frets.to_string()),
            words("scale length", format!("{} mm", body.scale.0)),
            maybe("short string", short),
        ]
    }

    fn texts(&self) -> Vec<TypedText<'_>> {
        vec![title("the name", &self.body.name)]
    }
}

impl Named for Setup {
    fn title(&self) -> Option<&str> {
        Some(&self.name)
    }
}

impl Detailed for Setup {
    fn details(&self, called: &dyn Fn(ItemId) -> String) -> Vec<Detail> {
        let Self { id: _, name, instrument, tuning, capo, reference, tone } = self;
        vec![
            words("name", name),
            words("instrument", called((*instrument).into())),
            words("tuning", tuning.to_string()),
            maybe("capo", capo.as_ref()),
            maybe("pitch of A", reference.map(|reference| format!("{reference} Hz"))),
            words("tone", tone),
        ]
    }

    fn texts(&self) -> Vec<TypedText<'_>> {
        vec![title("the name", &self.name), lines("the tone note", &self.tone)]
    }
}

impl Named for Piece {
    fn title(&self) -> Option<&str> {
        Some(&self.title)
    }
}

impl Detailed for Piece {
    fn details(&self, called: &dyn Fn(ItemId) -> String) -> Vec<Detail> {
        let Self { id: _, title, credit, recording, permission, setup, key, tempo, notes } = self;
        vec![
            words("title", title),
            words("credit", credit),
            words("recording", recording),
            words("permission", permission),
            maybe("tuning", setup.map(|setup| called(setup.into()))),
            maybe("key", *key),
            maybe("tempo", *tempo),
            words("notes", notes),
        ]
    }

    fn texts(&self) -> Vec<TypedText<'_>> {
        vec![
            title("the title", &self.title),
            lines("the credit", &self.credit),
            lines("the recording", &self.recording),
            lines("the permission", &self.permission),
            lines("the note", &self.notes),
        ]
    }
}

impl Piece {
    /// Returns a piece of which only the title is known.
    pub fn new(id: PieceId, title: impl Into<String>) -> Self {
        Self {
            id,
            title: title.into(),
            credit: String::new(),
            recording: String::new(),
            permission: String::new(),
            setup: None,
            key: None,
            tempo: None,
            notes: String::new(),
        }
    }
}

impl Named for Voicing {
    fn title(&self) -> Option<&str> {
        self.name()
    }
}

impl Detailed for Voicing {
    fn details(&self, called: &dyn Fn(ItemId) -> String) -> Vec<Detail> {
        let Self { id: _, shape, doubts, setup, readings, fingers, barre, tags, notes } = self;
        let barre = barre.map(|Barre { fret, from, to }| format!("fret {fret}, strings {from} to {to}"));
        vec![
            words("shape", shape.to_string()),
            words("unsure strings", heard(shape.strings().len(), doubts)),
            maybe("tuning", setup.map(|setup| called(setup.into()))),
            several("name", readings.clone()),
            words("fingers", fingering(fingers)),
            maybe("barre", barre),
            words("tags", tags.join(", ")),
            words("notes", notes),
        ]
    }

    fn texts(&self) -> Vec<TypedText<'_>> {
        let readings = self.readings.iter().map(|reading| line("a reading", reading));
        let tags = self.tags.iter().map(|tag| line("a tag", tag));
        readings.chain(tags).chain([lines("the note", &self.notes)]).collect()
    }
}

/// Says which strings of a shape the ear is not sure of; nothing where it is sure of all.
fn heard(strings: usize, doubts: &[Doubt]) -> String {
    let said = doubts.iter().enumerate().filter_map(|(index, doubt)| {
        let number = strings.checked_sub(index).and_then(|number| u8::try_from(number).ok());
        let string = number.and_then(StringNumber::new)?;
        match doubt {
            Doubt::Sure => None,
            Doubt::Unsure => Some(format!("string {string} unsure")),
            Doubt::NotHeard => Some(format!("string {string} not heard")),
        }
    });
    said.collect::<Vec<_>>().join(", ")
}

/// Writes the finger of each string as under a chord grid: `- 3 2 - 1 -`.
fn fingering(fingers: &[Option<Finger>]) -> String {
    let sign = |finger: &Option<Finger>| finger.map_or_else(|| "-".to_owned(), |finger| finger.to_char().to_string());
    fingers.iter().map(sign).collect::<Vec<_>>().join(" ")
}
