//! What is asked of the voicings of a chord, beside its name.

use std::fmt;
use std::ops::RangeInclusive;
use std::str::FromStr;

use super::level::PlayerLevel;
use crate::instrument::hand::{Hand, ThumbUse};
use crate::instrument::neck::Fret;
use crate::text::quote::quoted;
use crate::theory::pitch::{MidiNote, NoteName, Pitch, PitchClass};

/// A tone that is wanted on top or in the bass: of one octave, or of any.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sought {
    /// In whatever octave.
    Tone(NoteName),
    /// Exactly this one.
    Note(Pitch),
}

impl Sought {
    /// Returns whether `note` is the one that is wanted.
    pub fn is(self, note: MidiNote) -> bool {
        match self {
            Self::Tone(name) => name.pitch_class() == note.pitch_class(),
            Self::Note(pitch) => pitch.midi() == note,
        }
    }

    /// Returns its pitch class.
    pub fn pitch_class(self) -> PitchClass {
        match self {
            Self::Tone(name) => name.pitch_class(),
            Self::Note(pitch) => pitch.pitch_class(),
        }
    }
}

impl fmt::Display for Sought {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Tone(name) => name.fmt(f),
            Self::Note(pitch) => pitch.fmt(f),
        }
    }
}

/// The text is neither a note nor the name of a tone.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{}` is not a note: expected a letter with its sharps or flats, as in `Bb`, or with an octave, as in `E4`", quoted(.text))]
pub struct SoughtError {
    /// What was typed.
    pub text: String,
}

impl FromStr for Sought {
    type Err = SoughtError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let wanted = text.trim();
        let tone = wanted.parse().map(Self::Tone).ok();
        let wrong = || SoughtError { text: text.to_owned() };
        tone.or_else(|| wanted.parse().map(Self::Note).ok()).ok_or_else(wrong)
    }
}

/// What is asked of voicings.
#[derive(Debug, Clone, PartialEq)]
pub struct Request {
    /// The frets that may be used, as shapes are written: counted from the capo, with an open string as fret 0.
    pub frets: RangeInclusive<Fret>,
    /// What the highest note must be.
    pub top: Option<Sought>,
    /// What the lowest note must be.
    pub bass: Option<Sought>,
    /// The hand that holds them.
    pub hand: Hand,
    /// Whether the thumb may help.
    pub thumb: ThumbUse,
    /// How far the player has come.
    pub level: PlayerLevel,
}

impl Request {
    /// Returns whether frets, a top note or a bass are asked for.
    pub(super) fn asks_for_more(&self) -> bool {
        self.frets != Self::default().frets || self.top.is_some() || self.bass.is_some()
    }
}

impl Default for Request {
    fn default() -> Self {
        let last = Fret::new(Fret::LAST).unwrap_or(Fret::OPEN);
        let (top, bass, hand, level) = (None, None, Hand::default(), PlayerLevel::default());
        Self { frets: Fret::OPEN..=last, top, bass, hand, thumb: ThumbUse::IfNeeded, level }
    }
}
