//! Tunings and capos: what the open strings sound.

use serde::{Deserialize, Deserializer, Serialize};

use super::neck::{Fret, StringNumber};
use crate::theory::pitch::Pitch;

/// The open strings without a capo, highest string number first (for standard: low to high).
///
/// Invariant: 3 to 12 strings. Re-entrant tunings are allowed: the order is by string, not by pitch.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize)]
#[serde(transparent)]
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

impl<'de> Deserialize<'de> for Tuning {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let strings = Vec::<Pitch>::deserialize(deserializer)?;
        let count = strings.len();
        Self::new(strings).ok_or_else(|| {
            serde::de::Error::custom(format!("a tuning has 3 to 12 strings, highest string number first; got {count}"))
        })
    }
}

/// A capo: at a fret, over all strings or some. On the strings it covers, frets count from the
/// capo; on the others from the nut (common practice: a partial capo acts like a retuning).
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
