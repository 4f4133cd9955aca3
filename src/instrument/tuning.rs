//! Tunings and capos: what the open strings sound.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::neck::{Fret, StringNumber};
use crate::text::quote::quoted;
use crate::theory::pitch::Pitch;
use crate::theory::reading::Lowest;

/// The open strings without a capo, highest string number first (for standard: low to high).
///
/// Invariant: 3 to 12 strings. Re-entrant tunings are allowed: the order is by string, not by pitch.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Tuning(Vec<Pitch>);

impl Tuning {
    /// The fewest strings an instrument here can have.
    pub const FEWEST: usize = 3;
    /// The most strings of an instrument that has none to spare for a bass.
    pub const FEW: usize = 4;
    /// The lowest note of such an instrument, at least: C3. What is lower is a bass.
    pub const HIGH: u8 = 48;

    /// Returns the tuning of these open pitches, highest string number first; `None` unless there are 3 to 12.
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

    /// Returns what the lowest pitch of a chord is to the ear; whatever names chords, keeps their names or prints them asks here.
    ///
    /// It is no bass where the tuning is re-entrant: some string sounds above one with a lower number, as on the ukulele or the
    /// banjo. On a few high strings, as on the mandolin, it is one only for players who write it. Common practice.
    pub fn lowest_is(&self) -> Lowest {
        let lowest = self.0.iter().map(|pitch| pitch.midi().number()).min();
        if !self.0.is_sorted_by_key(|pitch| pitch.midi()) {
            Lowest::AnyTone
        } else if self.0.len() <= Self::FEW && lowest.is_some_and(|lowest| lowest >= Self::HIGH) {
            Lowest::HighTone
        } else {
            Lowest::Bass
        }
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

/// What was typed is no capo.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CapoError {
    /// The fret is missing, or no fret.
    #[error(
        "`{text}` is not a capo: expected its fret, as in `3`, and the strings if it covers only some, as in `2 on 5 4 3`"
    )]
    Fret {
        /// What was typed.
        text: String,
    },
    /// One of the strings is none.
    #[error("`{text}` is not a string that a capo can cover: expected numbers from 1 to 12, as in `2 on 5 4 3`")]
    Covered {
        /// What was typed for the string.
        text: String,
    },
}

/// Prints `3`, or `2 on 5 4 3` for a partial capo.
impl fmt::Display for Capo {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.fret.fmt(f)?;
        for (index, string) in self.strings.iter().enumerate() {
            write!(f, "{}{string}", if index == 0 { " on " } else { " " })?;
        }
        Ok(())
    }
}

/// Reads a fret, and for a partial capo the strings after `on` or a colon: `3`, `2 on 5 4 3`, `2:5,4,3`.
impl FromStr for Capo {
    type Err = CapoError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let no_fret = || CapoError::Fret { text: quoted(text) };
        let (fret, covered) = text.split_once(':').or_else(|| text.split_once("on")).unwrap_or((text, ""));
        let fret = fret.trim().parse().ok().and_then(Fret::new).ok_or_else(no_fret)?;
        let numbers = covered.split(|character: char| character == ',' || character.is_whitespace());
        let numbers = numbers.filter(|number| !number.is_empty());
        let string = |number: &str| {
            let string = number.parse().ok().and_then(StringNumber::new);
            string.ok_or_else(|| CapoError::Covered { text: quoted(number) })
        };
        let strings: Vec<StringNumber> = numbers.map(string).collect::<Result<_, _>>()?;
        // A mark of a partial capo with nothing after it must not turn into a full one.
        if strings.is_empty() && text.contains([':', 'o']) {
            return Err(no_fret());
        }
        Ok(Self { fret, strings })
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[track_caller]
    fn check_refuses(ron: &str, message: &str) {
        let error = ron::from_str::<Tuning>(ron).unwrap_err();
        assert_eq!(error.code.to_string(), message, "{ron}");
    }

    #[test]
    fn a_tuning_in_a_file_says_what_is_wrong_with_it() {
        check_refuses("\"E2 A2\"", "a tuning has 3 to 12 strings, this one has 2");
        check_refuses("[\"E2\", \"A2\"]", "a tuning has 3 to 12 strings, this one has 2");
        let forty = vec!["E2"; 40].join(" ");
        check_refuses(&format!("\"{forty}\""), "a tuning has 3 to 12 strings, this one has 40");
        check_refuses("\"E2 H2 D3\"", "string 2: `H2` is not a note: it should start with a letter from A to G");
    }

    #[test]
    fn a_capo_is_read_and_printed() {
        for (typed, printed) in [("3", "3"), (" 3 ", "3"), ("2:5,4,3", "2 on 5 4 3"), ("2 on 5, 4 3", "2 on 5 4 3")] {
            assert_eq!(typed.parse::<Capo>().unwrap().to_string(), printed, "`{typed}`");
        }
        for typed in ["", "x", "99", "-1", "on 3", "2:", "2 on"] {
            assert!(matches!(typed.parse::<Capo>(), Err(CapoError::Fret { .. })), "`{typed}`");
        }
        for typed in ["2:0", "2 on 13", "2 on five"] {
            assert!(matches!(typed.parse::<Capo>(), Err(CapoError::Covered { .. })), "`{typed}`");
        }
    }

    proptest! {
        #[test]
        fn every_capo_reads_back(at in 0..=Fret::LAST, strings in proptest::collection::vec(1..=12u8, 0..6)) {
            let strings = strings.into_iter().filter_map(StringNumber::new).collect();
            let capo = Capo { fret: Fret::new(at).unwrap(), strings };
            prop_assert_eq!(capo.to_string().parse(), Ok(capo));
        }
    }
}
