//! The JSON of one shape: the answer of `fingerpost name --json`. Readings are not found here.

use serde::{Serialize, Serializer};

use crate::cli::held_shape::OpenShapeAnswer;
use crate::instrument::neck::StringNumber;
use crate::theory::degree::Degree;
use crate::theory::pitch::{NoteName, Pitch};
use crate::theory::reading::{Decision, Reading, Tone};

/// One line: a shape with its readings, or the reason why there are none.
#[derive(Debug, Serialize)]
#[serde(untagged)]
pub(super) enum NameAnswer<'a> {
    Named {
        shape: &'a str,
        notes: Vec<Option<Pitch>>,
        candidates: Vec<ReadingAnswer<'a>>,
        #[serde(skip_serializing_if = "Vec::is_empty")]
        decisions: Vec<Weighed>,
    },
    Refused {
        shape: &'a str,
        error: String,
    },
}

/// One reading.
#[derive(Debug, Serialize)]
pub(super) struct ReadingAnswer<'a> {
    symbol: &'a str,
    root: Option<NoteName>,
    bass: NoteName,
    formula: &'a [Degree],
    missing: &'a [Degree],
    #[serde(serialize_with = "names")]
    notes: &'a [Option<Tone>],
    reason: &'a str,
    /// The name by the shape, where a capo or a lowered tuning makes it differ from the name by the sound.
    #[serde(skip_serializing_if = "Option::is_none")]
    played_as: Option<String>,
    /// The open shape that the shape comes from, beside the chord that it makes.
    #[serde(skip_serializing_if = "Option::is_none")]
    open_shape: Option<OpenShapeAnswer>,
}

impl<'a> ReadingAnswer<'a> {
    pub(super) fn new(reading: &'a Reading, played_as: Option<String>, open_shape: Option<OpenShapeAnswer>) -> Self {
        Self {
            symbol: &reading.symbol,
            root: reading.root,
            bass: reading.bass,
            formula: &reading.formula,
            missing: &reading.missing,
            notes: &reading.notes,
            reason: &reading.reason,
            played_as,
            open_shape,
        }
    }
}

fn names<S: Serializer>(tones: &[Option<Tone>], serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_seq(tones.iter().map(|tone| tone.map(|tone| tone.name)))
}

/// What one string in doubt decides. JSON shows the names of both sides, best first.
#[derive(Debug)]
pub(super) struct Weighed {
    pub(super) string: StringNumber,
    pub(super) written: WrittenString,
    pub(super) decision: Decision,
}

impl Serialize for Weighed {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        #[derive(Serialize)]
        struct Shown<'a> {
            string: StringNumber,
            with: Vec<&'a str>,
            without: Vec<&'a str>,
            sentence: &'a str,
        }
        let Decision { with, without, sentence, .. } = &self.decision;
        Shown { string: self.string, with: symbols(with), without: symbols(without), sentence }.serialize(serializer)
    }
}

fn symbols(readings: &[Reading]) -> Vec<&str> {
    readings.iter().map(|reading| reading.symbol.as_str()).collect()
}

/// Whether a string in doubt sounds or is muted in the written shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum WrittenString {
    Sounding,
    Muted,
}
