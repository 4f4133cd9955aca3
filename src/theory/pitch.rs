//! Pitches: integers for what sounds, with the spelling kept beside them.

use std::fmt::{self, Write};
use std::marker::PhantomData;
use std::ops::{Add, AddAssign, Neg, Sub};
use std::str::FromStr;

use serde::de::Visitor;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::text::quote::quoted;

/// The seven letters of a note name, counted from C as octaves are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Letter {
    /// C
    C,
    /// D
    D,
    /// E
    E,
    /// F
    F,
    /// G
    G,
    /// A
    A,
    /// B
    B,
}

impl Letter {
    /// The letters of an octave, upward from C.
    pub const ALL: [Self; 7] = [Self::C, Self::D, Self::E, Self::F, Self::G, Self::A, Self::B];

    /// Returns the semitones of the natural note above C, `0..=11`.
    pub const fn semitones(self) -> i8 {
        match self {
            Self::C => 0,
            Self::D => 2,
            Self::E => 4,
            Self::F => 5,
            Self::G => 7,
            Self::A => 9,
            Self::B => 11,
        }
    }

    /// Returns the place of the letter above C, `0..=6`.
    pub const fn index(self) -> i8 {
        self as i8
    }

    /// Returns the letter `steps` letters higher (lower if negative), wrapping at the octave.
    pub fn step(self, steps: i8) -> Self {
        let place = (i16::from(self.index()) + i16::from(steps)).rem_euclid(7);
        Self::ALL[usize::try_from(place).unwrap_or(0)]
    }

    /// Reads a letter in either case; `None` for anything but A to G.
    pub fn from_char(letter: char) -> Option<Self> {
        Some(match letter.to_ascii_uppercase() {
            'C' => Self::C,
            'D' => Self::D,
            'E' => Self::E,
            'F' => Self::F,
            'G' => Self::G,
            'A' => Self::A,
            'B' => Self::B,
            _ => return None,
        })
    }

    /// Returns the upper-case letter.
    pub const fn to_char(self) -> char {
        match self {
            Self::C => 'C',
            Self::D => 'D',
            Self::E => 'E',
            Self::F => 'F',
            Self::G => 'G',
            Self::A => 'A',
            Self::B => 'B',
        }
    }
}

/// One of the twelve pitch classes, C = 0. Invariant: below 12.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PitchClass(u8);

impl PitchClass {
    /// Returns the class of any count of semitones above C, also negative ones.
    pub const fn of(semitones: i32) -> Self {
        Self(semitones.rem_euclid(12) as u8)
    }

    /// Returns the semitones above C, `0..=11`.
    pub const fn number(self) -> u8 {
        self.0
    }

    /// Returns the semitones upward from `self` to `other`, `0..=11`.
    pub const fn up_to(self, other: Self) -> u8 {
        (other.0 + 12 - self.0) % 12
    }
}

/// A spelled note without its octave: a letter and an accidental.
///
/// Invariant: the accidental lies in `-4..=4` semitones (theory needs triple sharps at the far
/// ends of the keys, never more than four).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NoteName {
    letter: Letter,
    accidental: i8,
}

/// The names as they are printed, since some lines of output hold a hundred: letters from C, from four flats to four
/// sharps.
const NAMES: [[&str; 9]; 7] = [
    ["Cbbbb", "Cbbb", "Cbb", "Cb", "C", "C#", "C##", "C###", "C####"],
    ["Dbbbb", "Dbbb", "Dbb", "Db", "D", "D#", "D##", "D###", "D####"],
    ["Ebbbb", "Ebbb", "Ebb", "Eb", "E", "E#", "E##", "E###", "E####"],
    ["Fbbbb", "Fbbb", "Fbb", "Fb", "F", "F#", "F##", "F###", "F####"],
    ["Gbbbb", "Gbbb", "Gbb", "Gb", "G", "G#", "G##", "G###", "G####"],
    ["Abbbb", "Abbb", "Abb", "Ab", "A", "A#", "A##", "A###", "A####"],
    ["Bbbbb", "Bbbb", "Bbb", "Bb", "B", "B#", "B##", "B###", "B####"],
];

impl NoteName {
    /// The largest accidental a name can carry, in semitones either way.
    pub const WIDEST_ACCIDENTAL: i8 = 4;

    /// Returns the name of `letter` with `accidental` in semitones; `None` when that is wider than any spelling needs.
    pub const fn new(letter: Letter, accidental: i8) -> Option<Self> {
        if accidental >= -Self::WIDEST_ACCIDENTAL && accidental <= Self::WIDEST_ACCIDENTAL {
            Some(Self { letter, accidental })
        } else {
            None
        }
    }

    /// Returns the natural note of `letter`.
    pub const fn natural(letter: Letter) -> Self {
        Self { letter, accidental: 0 }
    }

    /// Returns the letter.
    pub const fn letter(self) -> Letter {
        self.letter
    }

    /// Returns the accidental in semitones, sharps positive.
    pub const fn accidental(self) -> i8 {
        self.accidental
    }

    /// Returns the pitch class the name stands for.
    pub fn pitch_class(self) -> PitchClass {
        PitchClass::of(i32::from(self.letter.semitones()) + i32::from(self.accidental))
    }

    /// Returns the name in ASCII: `C`, `F#`, `Bb`, `C##`, `Bbb`.
    pub const fn as_str(self) -> &'static str {
        NAMES[self.letter as usize][(self.accidental + Self::WIDEST_ACCIDENTAL) as usize]
    }

    /// Spells `class` with `letter`; `None` when that needs more than four accidentals.
    pub fn spelled(letter: Letter, class: PitchClass) -> Option<Self> {
        let natural = Self::natural(letter).pitch_class();
        let up = i8::try_from(natural.up_to(class)).ok()?;
        Self::new(letter, if up > 6 { up - 12 } else { up })
    }

    /// Spells `class` the way players do where nothing else decides: C C♯ D E♭ E F F♯ G A♭ A B♭ B.
    /// Common practice; no published source.
    pub fn usual(class: PitchClass) -> Self {
        let (letter, accidental) = match class.number() {
            0 => (Letter::C, 0),
            1 => (Letter::C, 1),
            2 => (Letter::D, 0),
            3 => (Letter::E, -1),
            4 => (Letter::E, 0),
            5 => (Letter::F, 0),
            6 => (Letter::F, 1),
            7 => (Letter::G, 0),
            8 => (Letter::A, -1),
            9 => (Letter::A, 0),
            10 => (Letter::B, -1),
            _ => (Letter::B, 0),
        };
        Self { letter, accidental }
    }
}

/// Prints in ASCII: `C`, `F#`, `Bb`, `C##`, `Bbb`.
impl fmt::Display for NoteName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

/// What was typed is no note.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PitchError {
    /// The text does not start with a letter A to G.
    #[error("`{}` is not a note: it should start with a letter from A to G", quoted(.text))]
    Letter {
        /// What was read.
        text: String,
    },
    /// The text after the letter is no accidental.
    #[error(
        "`{}` is not a note: expected a letter and up to {} sharps or flats",
        quoted(.text),
        NoteName::WIDEST_ACCIDENTAL
    )]
    Accidental {
        /// What was read.
        text: String,
    },
    /// The octave is missing or no number.
    #[error("`{}` needs an octave, as in `E2` (middle C is C4)", quoted(.text))]
    Octave {
        /// What was read.
        text: String,
    },
    /// The pitch lies outside MIDI notes 0 to 127.
    #[error("`{}` lies outside what can be written: C-1 to G9", quoted(.text))]
    Range {
        /// What was read.
        text: String,
    },
}

/// Splits a note name off the front of `text`; takes `# b ♯ ♭ ♮ 𝄪 𝄫` and either case of the letter.
///
/// Returns the name and the rest of the text. Errors: no letter A to G at the start, or more
/// accidentals than any spelling needs.
pub fn split_note_name(text: &str) -> Result<(NoteName, &str), PitchError> {
    let mut chars = text.chars();
    let letter =
        chars.next().and_then(Letter::from_char).ok_or_else(|| PitchError::Letter { text: text.to_owned() })?;
    let mut accidental = 0i8;
    let mut rest = chars.as_str();
    while let Some(sign) = rest.chars().next() {
        let step: i8 = match sign {
            '#' | '♯' => 1,
            'b' | '♭' => -1,
            '𝄪' => 2,
            '𝄫' => -2,
            '♮' => 0,
            _ => break,
        };
        accidental = accidental.saturating_add(step);
        rest = &rest[sign.len_utf8()..];
    }
    let name = NoteName::new(letter, accidental).ok_or_else(|| PitchError::Accidental { text: text.to_owned() })?;
    Ok((name, rest))
}

impl FromStr for NoteName {
    type Err = PitchError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        match split_note_name(text)? {
            (name, "") => Ok(name),
            _ => Err(PitchError::Accidental { text: text.to_owned() }),
        }
    }
}

/// A MIDI note number. Invariant: at most 127.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MidiNote(u8);

impl MidiNote {
    /// The highest note number, G9.
    pub const LAST: u8 = 127;
    /// A4, the note tuning forks give.
    pub const A4: Self = Self(69);

    /// Returns the note of that number; `None` above 127.
    pub const fn new(number: u8) -> Option<Self> {
        if number <= Self::LAST { Some(Self(number)) } else { None }
    }

    /// Returns the number, `0..=127`.
    pub const fn number(self) -> u8 {
        self.0
    }

    /// Returns the pitch class.
    pub const fn pitch_class(self) -> PitchClass {
        PitchClass::of(self.0 as i32)
    }

    /// Returns the note `semitones` higher (lower if negative); `None` outside 0 to 127.
    pub fn up(self, semitones: i32) -> Option<Self> {
        u8::try_from(i32::from(self.0).checked_add(semitones)?).ok().and_then(Self::new)
    }
}

/// A frequency in hertz. Any finite positive value is meaningful.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize)]
#[serde(transparent)]
pub struct Hertz(pub f64);

impl<'de> Deserialize<'de> for Hertz {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let number = f64::deserialize(deserializer)?;
        if number.is_finite() && number > 0.0 {
            Ok(Self(number))
        } else {
            Err(serde::de::Error::custom(format!("expected a frequency in hertz above 0, got {number}")))
        }
    }
}

impl Hertz {
    /// The frequency of A4 where a setup asks for no other. Source: ISO 16:1975, 440 Hz.
    pub const STANDARD_PITCH: Self = Self(440.0);
}

/// Prints the number alone, without the unit: `440`, `432.5`.
impl fmt::Display for Hertz {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// A difference of pitch in hundredths of an equal-tempered semitone.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Deserialize)]
#[serde(transparent)]
pub struct Cents(pub f64);

/// A difference of pitch in equal-tempered semitones, upward where it is positive.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default, Deserialize)]
#[serde(transparent)]
pub struct Semitones(pub f64);

impl Add for Semitones {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for Semitones {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Neg for Semitones {
    type Output = Self;

    fn neg(self) -> Self {
        Self(-self.0)
    }
}

/// A pitch between the keys as well: a MIDI note number with a fraction. 69.0 is A4, 69.5 lies a quarter tone above it.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct FinePitch(pub f64);

impl FinePitch {
    /// Returns the frequency when A4 sounds at `reference`.
    ///
    /// Source: equal temperament, `f = reference * 2^((n - 69) / 12)`.
    pub fn frequency(self, reference: Hertz) -> Hertz {
        Hertz(reference.0 * ((self.0 - 69.0) / 12.0).exp2())
    }
}

impl From<MidiNote> for FinePitch {
    fn from(note: MidiNote) -> Self {
        Self(f64::from(note.number()))
    }
}

impl Add<Semitones> for FinePitch {
    type Output = Self;

    fn add(self, up: Semitones) -> Self {
        Self(self.0 + up.0)
    }
}

impl AddAssign<Semitones> for FinePitch {
    fn add_assign(&mut self, up: Semitones) {
        self.0 += up.0;
    }
}

impl Sub for FinePitch {
    type Output = Semitones;

    fn sub(self, other: Self) -> Semitones {
        Semitones(self.0 - other.0)
    }
}

/// Returns the frequency of `note` when A4 sounds at `reference`; see [`FinePitch::frequency`].
pub fn equal_tempered(note: MidiNote, reference: Hertz) -> Hertz {
    FinePitch::from(note).frequency(reference)
}

/// A sounding note: a spelling and an octave. Middle C is C4, MIDI note 60.
///
/// Invariant: its MIDI number lies in `0..=127`. Ordered and compared by sound first, then spelling.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Pitch {
    midi: MidiNote,
    name: NoteName,
}

impl Pitch {
    /// Returns the note of that name in that octave; `None` outside C-1 to G9.
    pub fn new(name: NoteName, octave: i8) -> Option<Self> {
        let number = (i32::from(octave) + 1) * 12 + i32::from(name.letter().semitones()) + i32::from(name.accidental());
        let midi = u8::try_from(number).ok().and_then(MidiNote::new)?;
        Some(Self { midi, name })
    }

    /// Spells `midi` as `name`; `None` when they are not the same pitch class.
    pub fn spelled(midi: MidiNote, name: NoteName) -> Option<Self> {
        (midi.pitch_class() == name.pitch_class()).then_some(Self { midi, name })
    }

    /// Spells `midi` as players do where nothing else decides; see [`NoteName::usual`].
    pub fn usual(midi: MidiNote) -> Self {
        Self { midi, name: NoteName::usual(midi.pitch_class()) }
    }

    /// Returns the note that sounds, however it is spelt.
    pub const fn midi(self) -> MidiNote {
        self.midi
    }

    /// Returns the spelling.
    pub const fn name(self) -> NoteName {
        self.name
    }

    /// Returns the octave as written: B♯3 and C4 sound alike.
    pub fn octave(self) -> i8 {
        let natural = i32::from(self.midi.number()) - i32::from(self.name.accidental());
        i8::try_from(natural.div_euclid(12) - 1).unwrap_or(i8::MAX)
    }

    /// Returns the pitch class.
    pub const fn pitch_class(self) -> PitchClass {
        self.midi.pitch_class()
    }
}

/// Prints in ASCII with the octave: `E2`, `Bb3`, `F#4`.
impl fmt::Display for Pitch {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name.as_str())?;
        match self.octave() {
            // A digit needs none of the care that numbers take; most of the lines of a batch are such notes.
            octave @ 0..=9 => f.write_char(char::from(b'0' + octave.unsigned_abs())),
            octave => write!(f, "{octave}"),
        }
    }
}

impl FromStr for Pitch {
    type Err = PitchError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let (name, octave) = split_note_name(text)?;
        let wrong = || PitchError::Octave { text: text.to_owned() };
        // `parse` would take a plus sign, which no octave has.
        let octave: i8 = if octave.starts_with('+') { None } else { octave.parse().ok() }.ok_or_else(wrong)?;
        Self::new(name, octave).ok_or_else(|| PitchError::Range { text: text.to_owned() })
    }
}

/// Serializes a type through its printed form and reads it back with `FromStr`, so that files
/// hold what a player would write.
macro_rules! serde_as_text {
    ($($type:ty),+ $(,)?) => {$(
        impl ::serde::Serialize for $type {
            fn serialize<S: ::serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }
        impl<'de> ::serde::Deserialize<'de> for $type {
            fn deserialize<D: ::serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                $crate::theory::pitch::from_text(deserializer)
            }
        }
    )+};
}
pub(crate) use serde_as_text;

/// Reads a value from its text where it stands, since a lesson holds a written length for every event.
///
/// Errors: the text is no such value; the message is that of its own error.
pub(crate) fn from_text<'de, T, D>(deserializer: D) -> Result<T, D::Error>
where
    T: FromStr<Err: fmt::Display>,
    D: Deserializer<'de>,
{
    struct Text<T>(PhantomData<T>);

    impl<T: FromStr<Err: fmt::Display>> Visitor<'_> for Text<T> {
        type Value = T;

        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            f.write_str("a string")
        }

        fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<T, E> {
            text.parse().map_err(E::custom)
        }
    }

    deserializer.deserialize_str(Text(PhantomData))
}

serde_as_text!(Pitch);

impl Serialize for NoteName {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.as_str())
    }
}

impl<'de> Deserialize<'de> for NoteName {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        from_text(deserializer)
    }
}

impl Serialize for MidiNote {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_u8(self.0)
    }
}

impl<'de> Deserialize<'de> for MidiNote {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let number = u8::deserialize(deserializer)?;
        Self::new(number).ok_or_else(|| serde::de::Error::custom(format!("MIDI note {number} is above {}", Self::LAST)))
    }
}
