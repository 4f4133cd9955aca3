//! Tunings and capos: what the open strings sound.

use std::fmt;

use serde::de::{SeqAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::neck::{Fret, StringNumber};
use super::tuning_text::OpenNotesError;
use crate::theory::pitch::Pitch;

/// The open strings without a capo, highest string number first (for standard: low to high).
///
/// Invariant: 3 to 12 strings. Re-entrant tunings are allowed: the order is by string, not by pitch.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Tuning(Vec<Pitch>);

impl Tuning {
    /// The fewest strings an instrument here can have.
    pub const FEWEST: usize = 3;

    /// Returns `None` unless there are 3 to 12 strings.
    pub fn new(strings: Vec<Pitch>) -> Option<Self> {
        (Self::FEWEST..=usize::from(StringNumber::LAST)).contains(&strings.len()).then_some(Self(strings))
    }

    /// Returns the open pitches, highest string number first.
    pub fn strings(&self) -> &[Pitch] {
        &self.0
    }

    /// Returns the open pitch of `string`; `None` when it is not there.
    pub fn open(&self, string: StringNumber) -> Option<Pitch> {
        self.0.get(string.index(self.0.len())?).copied()
    }
}

impl Serialize for Tuning {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

/// Reads one text, `"E2 A2 D3 G3 B3 E4"`, or a list of such notes.
impl<'de> Deserialize<'de> for Tuning {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(TuningVisitor)
    }
}

struct TuningVisitor;

impl<'de> Visitor<'de> for TuningVisitor {
    type Value = Tuning;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the open strings, highest string number first, as in \"E2 A2 D3 G3 B3 E4\"")
    }

    fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<Tuning, E> {
        text.parse().map_err(E::custom)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Tuning, A::Error> {
        let mut strings = Vec::new();
        while let Some(pitch) = list.next_element()? {
            strings.push(pitch);
        }
        let got = strings.len();
        Tuning::new(strings).ok_or_else(|| serde::de::Error::custom(OpenNotesError::Count { got }))
    }
}

/// A capo: at a fret, over all strings or some. On the strings it covers, frets count from the
/// capo; on the others from the nut (common practice: a partial capo acts like a retuning).
///
/// Every string it covers sounds `fret` semitones higher (MusicXML 4.0, element `capo`). That holds
/// for a short fifth string too: players raise it along with the others at a spike or by its peg;
/// one that stays as it was is left out of `strings`.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Capo {
    /// The fret it lies at, counted from the nut.
    pub fret: Fret,
    /// The strings it covers; empty means all of them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub strings: Vec<StringNumber>,
}

impl Capo {
    /// Returns whether the capo lies on `string`.
    pub fn covers(&self, string: StringNumber) -> bool {
        self.strings.is_empty() || self.strings.contains(&string)
    }
}
