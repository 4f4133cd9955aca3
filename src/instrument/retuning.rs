//! What hands turn and move to get from one setup of an instrument into another, in a player's words.

use super::neck::{Fret, StringNumber};
use super::tuning::{Capo, Tuning};

/// Returns what to turn from `from` to `to`: `string 6 up a whole step`,
/// `strings 6 and 1 down a whole step; string 2 up a half step`. Returns `None` when nothing is to be
/// turned, or the two have not the same number of strings.
pub fn turns(from: &Tuning, to: &Tuning) -> Option<String> {
    let count = to.strings().len();
    if from.strings().len() != count {
        return None;
    }
    // The strings that are turned alike, in the order of the first of them.
    let mut groups: Vec<(i32, Vec<u8>)> = Vec::new();
    for (place, (from, to)) in from.strings().iter().zip(to.strings()).enumerate() {
        let change = i32::from(to.midi().number()) - i32::from(from.midi().number());
        let Some(string) = StringNumber::at(place, count).filter(|_| change != 0) else { continue };
        match groups.iter_mut().find(|(known, _)| *known == change) {
            Some((_, strings)) => strings.push(string.number()),
            None => groups.push((change, vec![string.number()])),
        }
    }
    let say = |(change, strings): &(i32, Vec<u8>)| {
        let which = if strings.len() == count { "every string".to_owned() } else { string_list(strings) };
        format!("{which} {} {}", if *change < 0 { "down" } else { "up" }, steps(change.unsigned_abs()))
    };
    (!groups.is_empty()).then(|| groups.iter().map(say).collect::<Vec<_>>().join("; "))
}

/// Returns what to do with the capo: `off`, `on at fret 3`, `from fret 2 to fret 3`. Returns `None` when it
/// stays where it is.
pub fn capo_move(from: Option<&Capo>, to: Option<&Capo>) -> Option<String> {
    if from == to {
        return None;
    }
    Some(match (from, to) {
        (None, Some(to)) => format!("on at fret {}", to.fret),
        (Some(from), Some(to)) if from.fret != to.fret => format!("from fret {} to fret {}", from.fret, to.fret),
        (Some(_), Some(_)) => "over other strings".to_owned(),
        (_, None) => "off".to_owned(),
    })
}

/// What becomes of the capo.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CapoStep {
    /// It goes on at a fret.
    On(Fret),
    /// It moves to another fret.
    To(Fret),
    /// It goes over other strings.
    Over,
    /// It comes off.
    Off,
}

impl CapoStep {
    /// Returns what happens between two capos; `None` where the capo stays as it is.
    pub fn between(from: Option<&Capo>, to: Option<&Capo>) -> Option<Self> {
        if from == to {
            return None;
        }
        Some(match (from, to) {
            (None, Some(to)) => Self::On(to.fret),
            (Some(from), Some(to)) if from.fret != to.fret => Self::To(to.fret),
            (Some(_), Some(_)) => Self::Over,
            (_, None) => Self::Off,
        })
    }

    /// Returns what to do: `put the capo on fret 3`, `take the capo off`.
    pub fn order(self) -> String {
        match self {
            Self::On(fret) => format!("put the capo on fret {fret}"),
            Self::To(fret) => format!("move the capo to fret {fret}"),
            Self::Over => "put the capo over other strings".to_owned(),
            Self::Off => "take the capo off".to_owned(),
        }
    }

    /// Returns the same where there is little room: `capo on fret 3`, `capo off`.
    pub fn short(self) -> String {
        match self {
            Self::On(fret) => format!("capo on fret {fret}"),
            Self::To(fret) => format!("capo to fret {fret}"),
            Self::Over => "capo over other strings".to_owned(),
            Self::Off => "capo off".to_owned(),
        }
    }
}

/// Returns `string 6`, `strings 6 and 1`, `strings 6, 5 and 1`.
pub fn string_list(strings: &[u8]) -> String {
    let numbers: Vec<String> = strings.iter().map(u8::to_string).collect();
    match numbers.split_last() {
        None => String::new(),
        Some((only, [])) => format!("string {only}"),
        Some((last, others)) => format!("strings {} and {last}", others.join(", ")),
    }
}

/// Returns semitones in the words of players.
fn steps(semitones: u32) -> String {
    match semitones {
        1 => "a half step".to_owned(),
        2 => "a whole step".to_owned(),
        3 => "one and a half steps".to_owned(),
        4 => "two whole steps".to_owned(),
        5 => "two and a half steps".to_owned(),
        12 => "an octave".to_owned(),
        other => format!("{other} half steps"),
    }
}
