//! Degrees and intervals: how far a tone stands from a root, and how it is spelled from there.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::pitch::{NoteName, from_text};
use crate::text::quote::quoted;

/// A degree of a chord or scale: a number from the major scale and an alteration.
///
/// `b3`, `5`, `#11`, `bb7`. Invariants: the number lies in `1..=13`, the alteration in `-2..=2`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Degree {
    number: u8,
    alteration: i8,
}

/// The degrees as they are printed: 1 to 13, from two flats to two sharps.
const TEXTS: [[&str; 5]; 13] = [
    ["bb1", "b1", "1", "#1", "##1"],
    ["bb2", "b2", "2", "#2", "##2"],
    ["bb3", "b3", "3", "#3", "##3"],
    ["bb4", "b4", "4", "#4", "##4"],
    ["bb5", "b5", "5", "#5", "##5"],
    ["bb6", "b6", "6", "#6", "##6"],
    ["bb7", "b7", "7", "#7", "##7"],
    ["bb8", "b8", "8", "#8", "##8"],
    ["bb9", "b9", "9", "#9", "##9"],
    ["bb10", "b10", "10", "#10", "##10"],
    ["bb11", "b11", "11", "#11", "##11"],
    ["bb12", "b12", "12", "#12", "##12"],
    ["bb13", "b13", "13", "#13", "##13"],
];

impl Degree {
    /// The root.
    pub const ROOT: Self = Self { number: 1, alteration: 0 };

    /// Returns the degree of `number` with `alteration` in semitones; `None` outside 1 to 13 or beyond two flats or sharps.
    pub const fn new(number: u8, alteration: i8) -> Option<Self> {
        if number >= 1 && number <= 13 && alteration >= -2 && alteration <= 2 {
            Some(Self { number, alteration })
        } else {
            None
        }
    }

    /// Returns the number from the major scale, `1..=13`.
    pub const fn number(self) -> u8 {
        self.number
    }

    /// Returns the alteration against the major scale, in semitones, sharps positive.
    pub const fn alteration(self) -> i8 {
        self.alteration
    }

    /// Returns the degree in ASCII: `b3`, `#11`, `bb7`.
    pub const fn as_str(self) -> &'static str {
        TEXTS[(self.number - 1) as usize][(self.alteration + 2) as usize]
    }

    /// Returns the semitones above the root, not folded into the octave: 9 is 14.
    pub const fn semitones(self) -> i8 {
        const MAJOR: [i8; 7] = [0, 2, 4, 5, 7, 9, 11];
        let steps = self.number - 1;
        MAJOR[(steps % 7) as usize] + 12 * (steps / 7) as i8 + self.alteration
    }

    /// Returns the semitones above the root folded into an octave, `0..=11`.
    pub const fn folded(self) -> u8 {
        self.semitones().rem_euclid(12) as u8
    }

    /// Spells the degree above `root`: its letter follows from the number, its accidental from the
    /// semitones. Returns `None` when that would need more accidentals than a name can carry.
    ///
    /// Source: common practice of spelling; checked against two reference libraries in the tests.
    pub fn above(self, root: NoteName) -> Option<NoteName> {
        let steps = i8::try_from((self.number - 1) % 7).unwrap_or(0);
        let letter = root.letter().step(steps);
        let class = super::pitch::PitchClass::of(i32::from(root.pitch_class().number()) + i32::from(self.semitones()));
        NoteName::spelled(letter, class)
    }
}

/// Prints in ASCII: `b3`, `#11`, `bb7`.
impl fmt::Display for Degree {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

/// The text is no degree.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "`{}` is not a degree: expected 1 to 13 with at most two flats or sharps before it, as in `b7` or `#11`",
    quoted(.text)
)]
pub struct DegreeError {
    /// What was read.
    pub text: String,
}

impl FromStr for Degree {
    type Err = DegreeError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let wrong = || DegreeError { text: text.to_owned() };
        let digits = text.trim_start_matches(['b', '#', '♭', '♯']);
        let signs = &text[..text.len() - digits.len()];
        let mut alteration = 0i8;
        for sign in signs.chars() {
            let step: i8 = if matches!(sign, 'b' | '♭') { -1 } else { 1 };
            alteration = alteration.saturating_add(step);
        }
        if !digits.bytes().all(|digit| digit.is_ascii_digit()) {
            return Err(wrong());
        }
        let number = digits.parse().map_err(|_| wrong())?;
        Self::new(number, alteration).ok_or_else(wrong)
    }
}

impl Serialize for Degree {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.as_str())
    }
}

impl<'de> Deserialize<'de> for Degree {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        from_text(deserializer)
    }
}
