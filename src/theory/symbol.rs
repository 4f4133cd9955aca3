//! Chord symbols: what people write, read into a root, a formula and a bass, printed one way.

use std::fmt;
use std::str::FromStr;

use super::degree::Degree;
use super::formula::Formula;
use super::interval::Interval;
use super::key::Key;
use super::pitch::{Letter, NoteName, PitchClass, PitchError, serde_as_text, split_note_name};
use super::pitch_set::PitchSet;
use super::spelling;
use super::symbol_suffix::{self, Stop};
use super::symbol_words::split;
use crate::text::quote::quoted;

/// A chord symbol: root, formula and an optional bass that is not the root.
///
/// Invariants: the root carries at most two accidentals, so that every degree can be spelled above
/// it; the suffix is the one spelling of the formula.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct ChordSymbol {
    root: NoteName,
    formula: Vec<Degree>,
    suffix: String,
    bass: Option<NoteName>,
}

/// The text is no chord symbol.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SymbolError {
    /// Nothing was written.
    #[error("nothing is written where a chord symbol was expected, as in `Am7` or `D/F#`")]
    Empty,
    /// The text does not start with a root.
    #[error("`{}` is not a chord symbol: it should start with its root, a capital A to G, as in `Bb7`", quoted(.text))]
    Root {
        /// What was read.
        text: String,
    },
    /// The root has too many accidentals.
    #[error("`{}` is not a chord symbol: a root has at most two sharps or flats", quoted(.text))]
    RootAccidental {
        /// What was read.
        text: String,
    },
    /// A bracket has no partner.
    #[error("`{}` is not a chord symbol: a bracket is opened or closed without its partner", quoted(.text))]
    Bracket {
        /// What was read.
        text: String,
    },
    /// The slash is followed by something that is no note.
    #[error(
        "`{}` is not a chord symbol: {} is read, but `{}` after the slash is no bass note, a capital A to G",
        quoted(.text),
        quoted(.read),
        quoted(.rest)
    )]
    Bass {
        /// What was read.
        text: String,
        /// What was understood.
        read: String,
        /// What was not.
        rest: String,
    },
    /// The slash is followed by nothing.
    #[error("`{}` is not a chord symbol: expected a bass note after the slash, a capital A to G", quoted(.text))]
    NoBass {
        /// What was read.
        text: String,
    },
    /// A degree is to be left out that the chord does not have.
    #[error("`{}` is not a chord symbol: {} has no {number} to leave out", quoted(.text), quoted(.read))]
    NothingToOmit {
        /// What was read.
        text: String,
        /// What was understood.
        read: String,
        /// The degree.
        number: u8,
    },
    /// Every part is understood, and together they are no chord.
    #[error("`{}` is not a chord symbol: its parts do not go together", quoted(.text))]
    Unheard {
        /// What was read.
        text: String,
    },
    /// Part of the text is not understood.
    #[error(
        "`{}` is not a chord symbol: {} is read, but `{}` is not{}",
        quoted(.text),
        quoted(.read),
        quoted(.rest),
        meant(.read, .rest)
    )]
    Rest {
        /// What was read.
        text: String,
        /// What was understood.
        read: String,
        /// What was not.
        rest: String,
    },
}

/// Returns how to write what is meant by a sign of handwriting behind a root, `h` for half-diminished and `^` for a
/// major seventh; nothing for other texts.
fn meant(read: &str, rest: &str) -> String {
    let number = rest.trim_start_matches(['h', '^']);
    let written = match rest.strip_suffix(number) {
        Some("h") if matches!(number, "" | "7") => format!("{read}m7b5"),
        Some("h") => format!("{read}m{number}b5"),
        Some("^") if number.is_empty() => format!("{read}maj7"),
        Some("^") => format!("{read}maj{number}"),
        Some(_) | None => return String::new(),
    };
    let is_root = read.parse::<NoteName>().is_ok();
    if is_root && written.parse::<ChordSymbol>().is_ok() { format!("; write `{written}`") } else { String::new() }
}

impl ChordSymbol {
    /// The most accidentals a root can carry.
    pub const WIDEST_ROOT: i8 = 2;

    /// Returns the chord of `formula` on `root`, over `bass` where that is not the root.
    ///
    /// Returns `None` when the root carries more than two accidentals, or no chord symbol has the formula.
    pub fn new(root: NoteName, formula: Formula, bass: Option<NoteName>) -> Option<Self> {
        if root.accidental().abs() > Self::WIDEST_ROOT || !formula.has(Degree::ROOT) {
            return None;
        }
        Some(Self {
            root,
            formula: formula.degrees().collect(),
            suffix: symbol_suffix::suffix(formula)?,
            bass: bass.filter(|bass| *bass != root),
        })
    }

    /// Returns the root.
    pub const fn root(&self) -> NoteName {
        self.root
    }

    /// Returns the written bass; `None` when the root is the bass.
    pub const fn bass(&self) -> Option<NoteName> {
        self.bass
    }

    /// Returns whether the written bass is one of the chord's own notes.
    pub fn is_inversion(&self) -> bool {
        let own = |bass: NoteName| self.tones().iter().any(|tone| tone.pitch_class() == bass.pitch_class());
        self.bass.is_some_and(own)
    }

    /// Returns the same chord with its root as its bass.
    pub fn over_its_root(&self) -> Self {
        Self { bass: None, ..self.clone() }
    }

    /// Returns the degrees of the whole chord, from the root up; a foreign bass is not among them.
    pub fn formula(&self) -> &[Degree] {
        &self.formula
    }

    /// Returns what is printed between the root and the bass.
    pub fn suffix(&self) -> &str {
        &self.suffix
    }

    /// Returns the tones of the formula, spelled above the root; a foreign bass is not among them.
    pub fn tones(&self) -> Vec<NoteName> {
        self.formula.iter().filter_map(|degree| degree.above(self.root)).collect()
    }

    /// Returns the pitch classes of the chord, its bass among them.
    pub fn pitch_classes(&self) -> PitchSet {
        let tones = self.tones().into_iter().chain(self.bass).map(NoteName::pitch_class);
        tones.collect()
    }

    /// Returns the chord a spelled interval higher, spelled exactly that far away; `None` when that
    /// needs a root with more than two accidentals.
    pub fn transposed(&self, by: Interval) -> Option<Self> {
        let root = by.above(self.root)?;
        let bass = match self.bass {
            Some(bass) => Some(by.above(bass)?),
            None => None,
        };
        (root.accidental().abs() <= Self::WIDEST_ROOT).then(|| Self { root, bass, ..self.clone() })
    }

    /// Returns the chord `semitones` higher (lower if negative), its root spelled as `key` would or,
    /// without one, as players do; the bass keeps its place above the root. A bass that has come to be the root itself,
    /// because nobody would read its own spelling, is no bass any more.
    pub fn moved(&self, semitones: i32, key: Option<Key>) -> Self {
        let class = PitchClass::of(i32::from(self.root.pitch_class().number()) + semitones % 12);
        let formula = self.formula.iter().fold(Formula::default(), |all, degree| all.with(Formula::of(*degree)));
        let root = spelling::chord_root(class, formula, key);
        let bass = self.bass.map(|bass| {
            let class = PitchClass::of(i32::from(bass.pitch_class().number()) + semitones % 12);
            let letter = root.letter().step(bass.letter().index() - self.root.letter().index());
            NoteName::spelled(letter, class)
                .filter(|name| name.accidental().abs() <= 2)
                .unwrap_or_else(|| spelling::loose(class, key))
        });
        Self { root, bass: bass.filter(|bass| *bass != root), ..self.clone() }
    }

    /// Returns chords that stand together `semitones` higher (lower if negative).
    ///
    /// `key` spells their roots. Without one, the roots have sharps or flats, but not both: those that need fewer
    /// accidentals in all chords together, or else those that most of the roots would have alone.
    pub fn moved_together(symbols: &[Self], semitones: i32, key: Option<Key>) -> Vec<Self> {
        let alone: Vec<Self> = symbols.iter().map(|symbol| symbol.moved(semitones, key)).collect();
        let with = |accidental: i8| alone.iter().filter(|symbol| symbol.root.accidental() == accidental).count();
        if key.is_some() || with(1) == 0 || with(-1) == 0 {
            return alone;
        }
        let spelled = |accidental: i8| alone.iter().map(|symbol| symbol.respelled(accidental)).collect::<Vec<Self>>();
        let [sharps, flats] = [1, -1].map(spelled);
        let cost = |symbols: &[Self]| -> u32 { symbols.iter().map(|symbol| spelling::cost(&symbol.tones())).sum() };
        let price = (cost(&sharps), cost(&flats));
        if price.0 < price.1 || (price.0 == price.1 && with(1) > with(-1)) { sharps } else { flats }
    }

    /// Returns the chord with the accidental that its root has turned into `accidental`, where it has one.
    fn respelled(&self, accidental: i8) -> Self {
        let class = self.root.pitch_class();
        let root = Letter::ALL.into_iter().filter_map(|letter| NoteName::new(letter, accidental));
        let root = root.filter(|_| self.root.accidental() != 0).find(|name| name.pitch_class() == class);
        let Some(root) = root else { return self.clone() };
        let bass = self.bass.map(|bass| {
            let letter = root.letter().step(bass.letter().index() - self.root.letter().index());
            let own = NoteName::spelled(letter, bass.pitch_class()).filter(|name| name.accidental().abs() <= 2);
            own.unwrap_or(bass)
        });
        Self { root, bass: bass.filter(|bass| *bass != root), ..self.clone() }
    }
}

/// Prints in ASCII, one spelling for each chord: `Cmaj7`, `F#m7b5/E`.
impl fmt::Display for ChordSymbol {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", self.root, self.suffix)?;
        match self.bass {
            Some(bass) => write!(f, "/{bass}"),
            None => Ok(()),
        }
    }
}

impl FromStr for ChordSymbol {
    type Err = SymbolError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let whole = text.trim();
        let owned = || whole.to_owned();
        if whole.is_empty() {
            return Err(SymbolError::Empty);
        }
        if !whole.starts_with(|first: char| first.is_ascii_uppercase()) {
            return Err(SymbolError::Root { text: owned() });
        }
        let (root, after_root) = split_root(whole)?;
        let (suffix, bass) = split_bass(after_root);
        let (words, readable) = split(suffix);
        let understood = |end: usize| {
            let read = suffix.get(..end).unwrap_or("").trim_end_matches([' ', '(', ',', '/', '[']);
            format!("{root}{read}")
        };
        let formula = symbol_suffix::formula(&words).map_err(|stop| {
            let (Stop::Meaningless { understood: count } | Stop::NothingToOmit { understood: count, .. }) = stop;
            let end = count.checked_sub(1).and_then(|last| words.get(last)).map_or(0, |placed| placed.end);
            match stop {
                Stop::Meaningless { .. } => {
                    let rest = after_root.get(end..).unwrap_or("").trim().to_owned();
                    SymbolError::Rest { text: owned(), read: understood(end), rest }
                }
                Stop::NothingToOmit { number, .. } => {
                    SymbolError::NothingToOmit { text: owned(), read: understood(end), number }
                }
            }
        })?;
        let unread = after_root.get(readable..).unwrap_or("").trim().to_owned();
        if suffix.get(..readable).is_some_and(|read| read.trim_end().ends_with('/')) {
            if unread.is_empty() {
                return Err(SymbolError::NoBass { text: owned() });
            }
            return Err(SymbolError::Bass { text: owned(), read: understood(readable), rest: unread });
        }
        if readable < suffix.len() {
            return Err(SymbolError::Rest { text: owned(), read: understood(readable), rest: unread });
        }
        if !balanced(suffix) {
            return Err(SymbolError::Bracket { text: owned() });
        }
        Self::new(root, formula, bass).ok_or_else(|| SymbolError::Unheard { text: owned() })
    }
}

serde_as_text!(ChordSymbol);

fn split_root(text: &str) -> Result<(NoteName, &str), SymbolError> {
    let accidentals = || SymbolError::RootAccidental { text: text.to_owned() };
    match split_name(text) {
        Ok((root, rest)) if root.accidental().abs() <= ChordSymbol::WIDEST_ROOT => Ok((root, rest)),
        Ok(_) | Err(PitchError::Accidental { .. }) => Err(accidentals()),
        Err(_) => Err(SymbolError::Root { text: text.to_owned() }),
    }
}

/// Splits a note name off the front of a symbol: its accidentals point one way, so that the flat of
/// `F#b5` belongs to the five.
fn split_name(text: &str) -> Result<(NoteName, &str), PitchError> {
    let letter = text.chars().next().map_or(0, char::len_utf8);
    let signs = text.get(letter..).unwrap_or("");
    let first = signs.chars().next().and_then(direction);
    let ends = |sign: char| first.is_none() || direction(sign) != first;
    let (name, rest) = text.split_at(signs.find(ends).map_or(text.len(), |at| letter + at));
    split_note_name(name).map(|(name, _)| (name, rest))
}

/// Returns whether a sign sharpens (1), flattens (-1) or leaves (0) a note; `None` when it is no accidental.
const fn direction(sign: char) -> Option<i8> {
    match sign {
        '#' | '♯' | '𝄪' => Some(1),
        'b' | '♭' | '𝄫' => Some(-1),
        '♮' => Some(0),
        _ => None,
    }
}

/// Splits a bass off the end: a note name in capitals after the last slash. The slashes of `6/9` and
/// `m/maj7` are followed by no note name and stay in the suffix.
fn split_bass(text: &str) -> (&str, Option<NoteName>) {
    let Some((before, after)) = text.rsplit_once('/') else { return (text, None) };
    let after = after.trim();
    match split_name(after) {
        Ok((bass, "")) if after.starts_with(|first: char| first.is_ascii_uppercase()) => (before, Some(bass)),
        _ => (text, None),
    }
}

fn balanced(text: &str) -> bool {
    let depth = text.chars().try_fold(0u32, |depth, sign| match sign {
        '(' | '[' => Some(depth.saturating_add(1)),
        ')' | ']' => depth.checked_sub(1),
        _ => Some(depth),
    });
    depth == Some(0)
}
