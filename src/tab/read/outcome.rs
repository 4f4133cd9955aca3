//! What reading takes and gives.

use crate::instrument::neck::Fret;
use crate::instrument::tuning::Tuning;
use crate::lesson::id::{PassageId, PieceId, SetupId};
use crate::lesson::music::Passage;
use crate::lesson::time::{Meter, Tempo};

/// What the caller knows that the text does not say.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadHints {
    /// The identity of the passage.
    pub id: PassageId,
    /// Its title; where it is empty, the title that the text gives is taken.
    pub title: String,
    /// The piece it belongs to.
    pub piece: Option<PieceId>,
    /// The setup, where it is not the piece's own.
    pub setup: Option<SetupId>,
    /// The tuning, if it is known.
    pub tuning: Option<Tuning>,
    /// The meter, where the text gives none.
    pub meter: Meter,
    /// The tempo, where the text gives none.
    pub tempo: Tempo,
}

impl ReadHints {
    /// Returns hints that give the passage a name and nothing else: 4/4 at 120.
    pub fn new(id: PassageId, title: impl Into<String>) -> Self {
        Self {
            id,
            title: title.into(),
            piece: None,
            setup: None,
            tuning: None,
            meter: Meter::COMMON,
            tempo: Tempo::USUAL,
        }
    }
}

/// Tab that was read.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadTab {
    /// The music.
    pub passage: Passage,
    /// The labels as they stand in the text, highest string number first; a string without one has
    /// an empty label.
    pub labels: Vec<String>,
    /// The tuning that the words, the labels, the hints or custom suggest; `None` when nothing does.
    pub tuning: Option<Tuning>,
    /// What says the tuning.
    pub tuning_source: TuningSource,
    /// What the words say of a capo; `None` where they say nothing.
    pub capo: Option<WrittenCapo>,
    /// What was guessed or left out, in the order of the lines.
    pub notes: Vec<Guess>,
}

/// What says the tuning of tab.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TuningSource {
    /// Words above it: `tuning: drop D`.
    Words,
    /// The labels of the strings.
    Labels,
    /// Nothing: it was assumed.
    Nothing,
}

/// What words say of a capo.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WrittenCapo {
    /// There is none.
    Off,
    /// It covers all strings at this fret.
    At(Fret),
}

/// Something that the text does not say and that was guessed, or that could not be kept.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Guess {
    /// The line of the text, counted from 1.
    pub line: usize,
    /// What was guessed, in a teacher's words.
    pub message: String,
}

/// The text is no tab. Every message names the line, what was expected and what was found.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ReadError {
    /// There is nothing in it.
    #[error("line 1: expected text tab, but no line holds anything but spaces")]
    Empty,
    /// It holds characters that no text has.
    #[error(
        "line {line}: expected text tab, but this is not plain text (character U+{character:04X}): `{found}`; copy the tab into a plain text file"
    )]
    NotText {
        /// The line.
        line: usize,
        /// The offending character's number.
        character: u32,
        /// The start of the line, made printable.
        found: String,
    },
    /// A line is longer than any line of tab.
    #[error(
        "line {line}: expected lines of at most {most} characters, but this one has {length}: `{found}`; break it into systems"
    )]
    LineTooLong {
        /// The line.
        line: usize,
        /// The most that is read.
        most: usize,
        /// How long it is.
        length: usize,
        /// The start of the line, made printable.
        found: String,
    },
    /// No line looks like a string.
    #[error(
        "line {line}: expected string lines such as `e|--3--5--|`, but no line looks like one; this one is `{found}`"
    )]
    NoStrings {
        /// The first line with anything on it.
        line: usize,
        /// The start of the line, made printable.
        found: String,
    },
    /// No instrument has so few strings.
    #[error("line {line}: expected at least 3 string lines one under the other, but found {count}: `{found}`")]
    TooFewStrings {
        /// The first of them.
        line: usize,
        /// How many there are.
        count: usize,
        /// The start of the line, made printable.
        found: String,
    },
    /// No instrument has so many strings.
    #[error(
        "line {line}: expected at most 12 string lines one under the other, but found {count}: `{found}`; put a blank line between systems"
    )]
    TooManyStrings {
        /// The first of them.
        line: usize,
        /// How many there are.
        count: usize,
        /// The start of the line, made printable.
        found: String,
    },
}
