//! Intervals: how far two notes are apart, and what a player calls that.

use std::fmt;

use super::degree::Degree;
use super::pitch::{NoteName, Pitch};

/// What sort of second, third and so on an interval is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum IntervalQuality {
    /// Narrower than minor or perfect by this many semitones, at least one.
    Diminished(u8),
    /// The narrower of the two common kinds of second, third, sixth and seventh.
    Minor,
    /// The one common kind of unison, fourth, fifth and octave.
    Perfect,
    /// The wider of the two common kinds of second, third, sixth and seventh.
    Major,
    /// Wider than major or perfect by this many semitones, at least one.
    Augmented(u8),
}

/// A spelled distance upward: letters and semitones.
///
/// Invariant: `1 <= number <= 127`; the semitones lie within eight of the plain interval of that
/// number, as spelled notes cannot be further off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Interval {
    number: u8,
    semitones: i16,
}

/// The semitones of the plain (major or perfect) intervals within an octave.
const PLAIN: [i16; 7] = [0, 2, 4, 5, 7, 9, 11];

impl Interval {
    /// The furthest a spelling can stand from the plain interval, in semitones.
    const WIDEST: i16 = 8;

    /// Returns the interval of `number` letters, counted with both ends as musicians do, that spans
    /// `semitones`; `None` when no spelling is that far from the plain interval.
    pub fn new(number: u8, semitones: i16) -> Option<Self> {
        let interval = Self { number, semitones };
        ((1..=127).contains(&number) && interval.offset().abs() <= Self::WIDEST).then_some(interval)
    }

    /// Returns the interval from `low` up to the next `high`, within an octave.
    pub fn between(low: NoteName, high: NoteName) -> Self {
        let letters = (high.letter().index() - low.letter().index()).rem_euclid(7);
        let natural = i16::from(high.letter().semitones()) - i16::from(low.letter().semitones());
        let accidentals = i16::from(high.accidental()) - i16::from(low.accidental());
        Self { number: letters.unsigned_abs() + 1, semitones: natural.rem_euclid(12) + accidentals }
    }

    /// Returns the interval between two sounding notes, counted from the lower one; octaves count.
    pub fn between_pitches(one: Pitch, other: Pitch) -> Self {
        let place = |pitch: Pitch| i16::from(pitch.octave()) * 7 + i16::from(pitch.name().letter().index());
        let order = |pitch: Pitch| (pitch.midi(), place(pitch));
        let (low, high) = if order(one) <= order(other) { (one, other) } else { (other, one) };
        let semitones = i16::from(high.midi().number()) - i16::from(low.midi().number());
        let letters = place(high) - place(low);
        match u8::try_from(letters + 1).ok().filter(|number| *number > 0) {
            Some(number) => Self { number, semitones },
            // Spelled against their sound (B# below Cb): the letters run the other way.
            None => Self { number: 1, semitones },
        }
    }

    /// Returns the interval that `degree` stands above a root.
    pub fn of_degree(degree: Degree) -> Self {
        Self { number: degree.number(), semitones: i16::from(degree.semitones()) }
    }

    /// Returns the letters spanned, both ends counted: 1 unison, 3 third, 8 octave, 9 ninth.
    pub const fn number(self) -> u8 {
        self.number
    }

    /// Returns the semitones spanned; negative only for a diminished unison.
    pub const fn semitones(self) -> i16 {
        self.semitones
    }

    /// Returns what sort of interval it is.
    pub fn quality(self) -> IntervalQuality {
        let perfect = matches!((self.number - 1) % 7, 0 | 3 | 4);
        let count = |offset: i16| u8::try_from(offset.abs()).unwrap_or(u8::MAX);
        match (perfect, self.offset()) {
            (true, 0) => IntervalQuality::Perfect,
            (false, 0) => IntervalQuality::Major,
            (false, -1) => IntervalQuality::Minor,
            (_, offset @ 1..) => IntervalQuality::Augmented(count(offset)),
            (true, offset) => IntervalQuality::Diminished(count(offset)),
            (false, offset) => IntervalQuality::Diminished(count(offset + 1)),
        }
    }

    /// Returns the note this far above `low`; `None` when it needs more accidentals than a name can carry.
    pub fn above(self, low: NoteName) -> Option<NoteName> {
        let steps = self.number.saturating_sub(1);
        let letter = low.letter().step(i8::try_from(steps % 7).ok()?);
        let natural = i16::from(letter.semitones() - low.letter().semitones()).rem_euclid(12);
        let accidental = i16::from(low.accidental()) + self.semitones - 12 * i16::from(steps / 7) - natural;
        NoteName::new(letter, i8::try_from(accidental).ok()?)
    }

    /// Returns how many semitones the interval is wider than the plain one of its number.
    fn offset(self) -> i16 {
        let steps = self.number.saturating_sub(1);
        self.semitones - PLAIN[usize::from(steps % 7)] - 12 * i16::from(steps / 7)
    }
}

/// Prints in a player's words: `major third`, `perfect fifth`, `minor ninth`, `octave`.
impl fmt::Display for Interval {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.quality(), self.number) {
            (IntervalQuality::Perfect, 1) => return f.write_str("unison"),
            (IntervalQuality::Perfect, 8) => return f.write_str("octave"),
            (IntervalQuality::Perfect, 15) => return f.write_str("double octave"),
            (IntervalQuality::Diminished(times), _) => write!(f, "{}diminished", multiple(times))?,
            (IntervalQuality::Minor, _) => f.write_str("minor")?,
            (IntervalQuality::Perfect, _) => f.write_str("perfect")?,
            (IntervalQuality::Major, _) => f.write_str("major")?,
            (IntervalQuality::Augmented(times), _) => write!(f, "{}augmented", multiple(times))?,
        }
        f.write_str(" ")?;
        match ordinal(self.number) {
            Some(word) => f.write_str(word),
            None => write!(f, "{}th", self.number),
        }
    }
}

fn multiple(times: u8) -> &'static str {
    match times {
        0 | 1 => "",
        2 => "doubly ",
        3 => "triply ",
        _ => "many times ",
    }
}

fn ordinal(number: u8) -> Option<&'static str> {
    const WORDS: [&str; 15] = [
        "unison",
        "second",
        "third",
        "fourth",
        "fifth",
        "sixth",
        "seventh",
        "octave",
        "ninth",
        "tenth",
        "eleventh",
        "twelfth",
        "thirteenth",
        "fourteenth",
        "fifteenth",
    ];
    WORDS.get(usize::from(number).checked_sub(1)?).copied()
}
