//! Keys: a tonic and its scale or mode, the signature that follows, and the spelling a key asks for.

use std::fmt;
use std::str::FromStr;

use super::pitch::{Letter, NoteName, PitchClass, serde_as_text, split_note_name};
use super::pitch_set::PitchSet;
use crate::text::quote::quoted;

/// The sort of scale that a key has: major and minor, or one of the seven modes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum KeyMode {
    /// The major scale.
    Major,
    /// The natural minor scale, whose sixth and seventh may be raised.
    Minor,
    /// The major scale by the name of its mode.
    Ionian,
    /// Minor with a major sixth.
    Dorian,
    /// Minor with a minor second.
    Phrygian,
    /// Major with a raised fourth.
    Lydian,
    /// Major with a minor seventh.
    Mixolydian,
    /// Natural minor, nothing of it raised.
    Aeolian,
    /// Minor with a minor second and a diminished fifth.
    Locrian,
}

impl KeyMode {
    /// Major and minor, then the modes in the order in which their tonics lie on the white keys, upward from C.
    pub const ALL: [Self; 9] = [
        Self::Major,
        Self::Minor,
        Self::Ionian,
        Self::Dorian,
        Self::Phrygian,
        Self::Lydian,
        Self::Mixolydian,
        Self::Aeolian,
        Self::Locrian,
    ];

    /// Returns the word that players have for it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Major => "major",
            Self::Minor => "minor",
            Self::Ionian => "ionian",
            Self::Dorian => "dorian",
            Self::Phrygian => "phrygian",
            Self::Lydian => "lydian",
            Self::Mixolydian => "mixolydian",
            Self::Aeolian => "aeolian",
            Self::Locrian => "locrian",
        }
    }

    /// Returns how many fifths above the signature of the major key its signature lies.
    const fn fifths(self) -> i8 {
        match self {
            Self::Lydian => 1,
            Self::Major | Self::Ionian => 0,
            Self::Mixolydian => -1,
            Self::Dorian => -2,
            Self::Minor | Self::Aeolian => -3,
            Self::Phrygian => -4,
            Self::Locrian => -5,
        }
    }

    /// Returns whether the third above the tonic is minor.
    pub const fn has_minor_third(self) -> bool {
        self.fifths() < -1
    }

    /// Reads what stands behind a tonic: nothing or `m`, or three letters or more of a mode's word in either case.
    fn read(word: &str) -> Option<Self> {
        match word {
            "" => return Some(Self::Major),
            "m" => return Some(Self::Minor),
            _ => {}
        }
        let word = word.to_ascii_lowercase();
        Self::ALL.into_iter().find(|mode| word.len() >= 3 && mode.name().starts_with(&word))
    }
}

/// A key with at most seven accidentals. Invariant: `fifths` lies in `-7..=7`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Key {
    tonic: NoteName,
    mode: KeyMode,
}

/// The letters in the order in which sharps are added to a signature.
const ORDER_OF_SHARPS: [Letter; 7] = [Letter::F, Letter::C, Letter::G, Letter::D, Letter::A, Letter::E, Letter::B];

impl Key {
    /// Returns the key of `tonic` in `mode`; `None` when its signature would need more than seven accidentals.
    pub fn new(tonic: NoteName, mode: KeyMode) -> Option<Self> {
        let key = Self { tonic, mode };
        (-7..=7).contains(&key.fifths()).then_some(key)
    }

    /// Returns the tonic.
    pub const fn tonic(self) -> NoteName {
        self.tonic
    }

    /// Returns the mode.
    pub const fn mode(self) -> KeyMode {
        self.mode
    }

    /// Returns the sharps (positive) or flats (negative) of the signature, as MusicXML `<fifths>`
    /// and the MIDI key signature count them.
    pub fn fifths(self) -> i8 {
        // F is one fifth below C, and every sharp moves a tonic seven fifths up.
        let natural = match self.tonic.letter() {
            Letter::F => -1,
            Letter::C => 0,
            Letter::G => 1,
            Letter::D => 2,
            Letter::A => 3,
            Letter::E => 4,
            Letter::B => 5,
        };
        natural + 7 * self.tonic.accidental() + self.mode.fifths()
    }

    /// Returns the accidental the signature gives `letter`, in semitones.
    pub fn signature(self, letter: Letter) -> i8 {
        let place = ORDER_OF_SHARPS.iter().position(|sharp| *sharp == letter).unwrap_or(0);
        let place = i8::try_from(place).unwrap_or(0);
        let fifths = self.fifths();
        if fifths > place {
            1
        } else if -fifths > 6 - place {
            -1
        } else {
            0
        }
    }

    /// Returns the seven notes of the scale or mode (natural minor for minor keys), upward from the tonic.
    pub fn scale(self) -> [NoteName; 7] {
        std::array::from_fn(|steps| {
            let letter = self.tonic.letter().step(i8::try_from(steps).unwrap_or(0));
            NoteName::new(letter, self.signature(letter)).unwrap_or(NoteName::natural(letter))
        })
    }

    /// Returns the key `semitones` higher (lower if negative), with the fewest accidentals; of two as
    /// many, the one with flats.
    pub fn moved(self, semitones: i32) -> Self {
        let class = PitchClass::of(i32::from(self.tonic.pitch_class().number()) + semitones % 12);
        let spelled = Letter::ALL.into_iter().filter_map(|letter| NoteName::spelled(letter, class));
        spelled
            .filter_map(|tonic| Self::new(tonic, self.mode))
            .min_by_key(|key| (key.fifths().abs(), key.fifths()))
            .unwrap_or(self)
    }

    /// Returns the classes that are in the key of the key: its scale and, in minor, the raised sixth and
    /// seventh.
    pub fn tones(self) -> PitchSet {
        let scale: PitchSet = self.scale().into_iter().map(NoteName::pitch_class).collect();
        if self.mode != KeyMode::Minor {
            return scale;
        }
        let tonic = self.tonic.pitch_class().number();
        scale.with_class(tonic + 9).with_class(tonic + 11)
    }

    /// Returns whether `name` is in the key of the key: a note of its scale or, in minor, the raised sixth
    /// or seventh.
    pub fn holds(self, name: NoteName) -> bool {
        let raised = match self.tonic.pitch_class().up_to(name.pitch_class()) {
            9 | 11 => self.mode == KeyMode::Minor && self.spell(name.pitch_class()) == name,
            _ => false,
        };
        raised || self.signature(name.letter()) == name.accidental()
    }

    /// Spells `class` as this key would: scale notes as the signature has them, the others as the
    /// raised or lowered neighbour that is usual in the key (minor: raised sixth and seventh).
    /// Common practice; no published source.
    pub fn spell(self, class: PitchClass) -> NoteName {
        if let Some(name) = self.scale().into_iter().find(|name| name.pitch_class() == class) {
            return name;
        }
        let above = self.tonic.pitch_class().up_to(class);
        // Letters above the tonic, as players count chromatic tones: b2 b3 #4 b6 b7 in major;
        // b2, the major third, #4 and the raised sixth and seventh in minor. In the other modes as well.
        let steps = match above {
            1 | 2 => 1,
            3 | 4 => 2,
            5 | 6 => 3,
            7 => 4,
            8 | 9 => 5,
            _ => 6,
        };
        // The leading tone of a minor key is worth a double sharp; nothing else is worth two signs.
        let widest = if self.mode.has_minor_third() && matches!(above, 9 | 11) { 2 } else { 1 };
        let letter = self.tonic.letter().step(steps);
        NoteName::spelled(letter, class)
            .filter(|name| name.accidental().abs() <= widest)
            .unwrap_or_else(|| NoteName::usual(class))
    }
}

/// Prints `C`, `Bb`, `F#m`, `D dorian`.
impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let tonic = self.tonic;
        match self.mode {
            KeyMode::Major => write!(f, "{tonic}"),
            KeyMode::Minor => write!(f, "{tonic}m"),
            mode @ (KeyMode::Ionian
            | KeyMode::Dorian
            | KeyMode::Phrygian
            | KeyMode::Lydian
            | KeyMode::Mixolydian
            | KeyMode::Aeolian
            | KeyMode::Locrian) => write!(f, "{tonic} {}", mode.name()),
        }
    }
}

/// The text names no key.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "`{}` is not a key: expected a tonic, with `m` for minor or with a mode (ionian, dorian, phrygian, lydian, \
     mixolydian, aeolian, locrian), as in `Bb`, `F#m` or `D dorian`, and at most seven accidentals",
    quoted(.text)
)]
pub struct KeyError {
    /// What was read.
    pub text: String,
}

impl FromStr for Key {
    type Err = KeyError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let wrong = || KeyError { text: text.to_owned() };
        let (tonic, rest) = split_note_name(text.trim()).map_err(|_| wrong())?;
        let mode = KeyMode::read(rest.trim()).ok_or_else(wrong)?;
        Self::new(tonic, mode).ok_or_else(wrong)
    }
}

serde_as_text!(Key);
