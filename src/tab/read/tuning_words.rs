//! Tunings in players' words: `drop D`, `tuned down half a step`, `low E to D`, `6 = D`.
//!
//! The phrases are common practice without a published source. A step is a whole step unless it is called a half.

use crate::instrument::catalogue;
use crate::instrument::tuning::Tuning;
use crate::theory::pitch::{MidiNote, NoteName, Pitch};
use crate::theory::symbol::ChordSymbol;

use super::labels;

/// What words say of a tuning.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum TuningWords {
    /// A name or the notes of the strings.
    Called(String),
    /// A name of which all strings are so many half steps higher, or lower if negative.
    CalledAndMoved(String, i8),
    /// All strings are so many half steps higher, or lower if negative.
    Moved(i8),
    /// Some strings have another note.
    Strings(Vec<(WhichString, NoteName)>),
}

/// A string as players speak of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum WhichString {
    /// Its number, as tab counts.
    Number(u8),
    /// The one with the highest number.
    Lowest,
    /// The one string that has this note.
    Open(NoteName),
}

/// How surely words are about the tuning.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sureness {
    /// They speak of tuning.
    Stated,
    /// They are a name that could also be a title.
    Bare,
}

/// The most half steps by which strings are said to be moved.
const MOST_MOVED: f64 = 12.0;
/// The most words that can state a tuning.
const MOST_WORDS: usize = 14;
/// Words that say that the tuning is spoken of.
const OF_TUNING: [&str; 8] = ["tuning", "tunings", "tuned", "tune", "detuned", "detune", "retune", "retuned"];
/// Words that add nothing to those.
const FILLING: [&str; 23] = [
    "to",
    "in",
    "the",
    "a",
    "an",
    "all",
    "every",
    "each",
    "strings",
    "string",
    "guitar",
    "guitars",
    "gtr",
    "gtrs",
    "is",
    "are",
    "by",
    "of",
    "your",
    "on",
    "it",
    "everything",
    "from",
];

/// Reads what `text` says of the tuning; `None` where it speaks of something else.
pub(super) fn read(text: &str) -> Option<(TuningWords, Sureness)> {
    let text = text.replace('½', " 1/2");
    let pieces =
        text.split(|sign: char| sign.is_whitespace() || ":,=().-–—!".contains(sign) && !is_decimal(&text, sign));
    let words: Vec<&str> = pieces.filter(|word| !word.is_empty()).take(MOST_WORDS + 1).collect();
    if words.is_empty() || words.len() > MOST_WORDS {
        return None;
    }
    let lower: Vec<String> = words.iter().map(|word| word.to_lowercase()).collect();
    let is_stated = lower.iter().any(|word| OF_TUNING.contains(&word.as_str()));
    if let Some(strings) = strings(&lower, text.contains('=')) {
        return Some((TuningWords::Strings(strings), Sureness::Stated));
    }
    let says: Vec<(&str, &str)> = words.iter().copied().zip(lower.iter().map(String::as_str)).collect();
    let says: Vec<(&str, &str)> = says
        .into_iter()
        .filter(|(_, word)| !OF_TUNING.contains(word) && (!FILLING.contains(word) || *word == "a"))
        .collect();
    let moved_by = |words: &[(&str, &str)]| {
        let words: Vec<&str> = words.iter().map(|(_, word)| *word).collect();
        moved(&words, is_stated)
    };
    if let Some(by) = moved_by(&says) {
        return Some((TuningWords::Moved(by), Sureness::Stated));
    }
    // What stands in brackets says the same once more.
    let places = if text.contains('(') { 1..1 } else { 1..says.len() };
    for place in places {
        let (first, second) = says.split_at(place);
        for (name, by) in [(first, second), (second, first)] {
            if let (Some(name), Some(by)) = (name_of(name), moved_by(by)) {
                return Some((TuningWords::CalledAndMoved(name, by), Sureness::Stated));
            }
        }
    }
    let name = name_of(&says).or_else(|| down_to(&says).filter(|_| is_stated))?;
    if is_stated {
        return Some((TuningWords::Called(name), Sureness::Stated));
    }
    // A chord, or an instrument, is named more often than a tuning of that name; and notes in a row may be chords.
    let is_chord = name.parse::<ChordSymbol>().is_ok() || text.trim().parse::<ChordSymbol>().is_ok();
    let is_name = called(&name).next().is_some();
    (is_name && !is_chord).then_some((TuningWords::Called(name), Sureness::Bare))
}

/// Returns whether a dot stands between two digits.
fn is_decimal(text: &str, sign: char) -> bool {
    let digit = |sign: Option<char>| sign.is_some_and(|sign| sign.is_ascii_digit());
    sign == '.'
        && text
            .split_once('.')
            .is_some_and(|(before, after)| digit(before.chars().next_back()) && digit(after.chars().next()))
}

/// Returns the tuning that words name, as it was written.
fn name_of(words: &[(&str, &str)]) -> Option<String> {
    let name = words.iter().filter(|(_, word)| *word != "a" || words.len() > 2).map(|(written, _)| *written);
    let name = name.collect::<Vec<_>>().join(" ");
    (!name.is_empty() && (named(&name).is_some() || standard_or_drop(&name).is_some())).then_some(name)
}

/// Reads `down Eb`, what is left of "tuned down to E flat": the lowest string and all others are as much lower.
fn down_to(words: &[(&str, &str)]) -> Option<String> {
    let [(_, "down"), (written, _)] = words else { return None };
    let name = format!("{written} standard");
    standard_or_drop(&name).is_some().then_some(name)
}

/// Reads by how many half steps all strings are moved: `down half a step`, `1 1/2 steps down`.
fn moved(words: &[&str], is_stated: bool) -> Option<i8> {
    let mut direction = None;
    let mut rest = Vec::new();
    for word in words {
        let way = match *word {
            "down" | "lower" | "lowered" | "below" | "flat" => -1.0,
            "up" | "higher" | "raised" | "above" | "sharp" => 1.0,
            "a" => continue,
            word => {
                rest.push(word);
                continue;
            }
        };
        if direction.replace(way).is_some() {
            return None;
        }
    }
    let (unit, amount) = rest.split_last()?;
    let unit = match *unit {
        "step" | "steps" | "tone" | "tones" => 2.0,
        "halfstep" | "halfsteps" => 1.0,
        unit if unit.strip_prefix("semi").is_some_and(|rest| rest.starts_with("tone")) => 1.0,
        _ => return None,
    };
    let number = |word: &str| match word {
        "one" => Some(1.0),
        "two" => Some(2.0),
        "three" => Some(3.0),
        "four" => Some(4.0),
        "five" => Some(5.0),
        word => word.parse::<f64>().ok().filter(|number| number.is_finite()),
    };
    let times = match amount {
        // "A step down" may be a title.
        [] => is_stated.then_some(1.0)?,
        ["half" | "1/2"] => 0.5,
        ["whole" | "full"] => 1.0,
        [count] => number(count)?,
        [count, "half"] => number(count)? * 0.5,
        [count, "whole" | "full"] => number(count)?,
        [count, "1/2"] | [count, "and", "half" | "1/2"] => number(count)? + 0.5,
        _ => return None,
    };
    let by = direction? * unit * times;
    #[expect(clippy::cast_possible_truncation, reason = "a whole number of at most twelve half steps")]
    (by.fract() == 0.0 && by != 0.0 && by.abs() <= MOST_MOVED).then_some(by as i8)
}

/// Reads which strings have another note: `low E to D`, `6th string to D`, `6 = D`, `low E and high E to D`.
fn strings(words: &[String], has_equals: bool) -> Option<Vec<(WhichString, NoteName)>> {
    const WAY: [&str; 8] = ["down", "up", "lower", "lowered", "raise", "raised", "drop", "dropped"];
    let is_way = |word: &str| WAY.contains(&word);
    let told = |word: &String| OF_TUNING.contains(&word.as_str()) || is_way(word) || word.starts_with("string");
    let to = words.iter().any(|word| word == "to") || has_equals;
    if !to || !(words.iter().any(told) || words.first()?.starts_with(|sign: char| sign.is_ascii_digit())) {
        return None;
    }
    let mut found = Vec::new();
    let mut waiting: Vec<WhichString> = Vec::new();
    let says = |word: &&String| !told(word) && !["the", "your", "to", "and", "is"].contains(&word.as_str());
    let mut says = words.iter().filter(says).map(String::as_str).peekable();
    while let Some(word) = says.next() {
        let number = word.trim_end_matches(|sign: char| sign.is_ascii_alphabetic()).parse::<u8>().ok();
        let ordinal = ["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth"];
        let ordinal = ordinal.iter().zip(1..).find(|(name, _)| **name == word).map(|(_, number)| number);
        if let Some(number) = number.or(ordinal).filter(|number| (1..=12).contains(number)) {
            waiting.push(WhichString::Number(number));
        } else if let "low" | "lowest" | "bass" | "high" | "highest" | "top" = word {
            let is_high = matches!(word, "high" | "highest" | "top");
            if says.peek() == Some(&"e") {
                says.next();
            }
            waiting.push(if is_high { WhichString::Number(1) } else { WhichString::Lowest });
        } else {
            let note = note(word)?;
            match waiting.as_slice() {
                [] => waiting.push(WhichString::Open(note)),
                [..] => found.extend(waiting.drain(..).map(|string| (string, note))),
            }
        }
    }
    (waiting.is_empty() && !found.is_empty()).then_some(found)
}

/// Reads a note in either case.
fn note(word: &str) -> Option<NoteName> {
    let mut letters = word.chars();
    let upper: String = letters.next()?.to_uppercase().chain(letters).collect();
    upper.replace('♭', "b").replace('♯', "#").parse().ok()
}

/// Returns the tuning that has this name or these notes.
pub(super) fn named(words: &str) -> Option<Tuning> {
    catalogue::setup_from_text(None, Some(words)).ok().map(|(_, tuning)| tuning)
}

/// Returns the tunings that have this name, of one instrument after the other.
fn called(name: &str) -> impl Iterator<Item = Tuning> {
    let of = move |known: &catalogue::KnownInstrument| catalogue::tuning_called(name, &known.instrument);
    catalogue::instruments().iter().filter_map(of).map(|known| known.notes.clone())
}

/// Returns the guitar tuning that is the standard one or drop D, moved so far that its lowest string has the note
/// that is named: `C# standard`, `drop A`.
fn standard_or_drop(name: &str) -> Option<Tuning> {
    let lower = name.to_lowercase();
    let (root, like) = match (lower.strip_suffix(" standard"), lower.strip_prefix("drop ")) {
        (Some(root), _) => (root, "guitar standard"),
        (None, Some(root)) => (root, "DADGBE"),
        (None, None) => return None,
    };
    let root = note(root.trim())?;
    let like = named(like)?;
    let up = i32::from(like.strings().first()?.pitch_class().up_to(root.pitch_class()));
    // Strings are let down rather than wound up, but for a whole step.
    moved_by(&like, if up > 2 { up - 12 } else { up })
}

/// Returns a tuning so many half steps higher.
fn moved_by(tuning: &Tuning, half_steps: i32) -> Option<Tuning> {
    let up = |pitch: &Pitch| pitch.midi().up(half_steps);
    let notes = tuning.strings().iter().map(up).collect::<Option<Vec<_>>>()?;
    let flat = |midi: &MidiNote| {
        let flats = ["Db", "Eb", "Gb", "Ab", "Bb"].into_iter().filter_map(|name| name.parse::<NoteName>().ok());
        let lowered = flats.filter(|_| half_steps < 0).find(|name| name.pitch_class() == midi.pitch_class());
        lowered.and_then(|name| Pitch::spelled(*midi, name)).unwrap_or_else(|| Pitch::usual(*midi))
    };
    let moved = Tuning::new(notes.iter().map(flat).collect())?;
    let sounds = |other: &Tuning| other.strings().iter().map(|pitch| pitch.midi()).eq(notes.iter().copied());
    // One that is known has the spelling that players use.
    Some(catalogue::tunings().iter().map(|known| &known.notes).find(|known| sounds(known)).cloned().unwrap_or(moved))
}

impl TuningWords {
    /// Returns the tuning for strings with these labels, highest string number first; `None` where it does not suit them.
    pub(super) fn tuning_for(&self, labels: &[String]) -> Option<Tuning> {
        match self {
            Self::Called(name) => of_labels(name, labels),
            Self::CalledAndMoved(name, by) => {
                of_labels(name, labels).and_then(|tuning| moved_by(&tuning, i32::from(*by)))
            }
            Self::Moved(by) => {
                let down = |tuning: &Tuning| moved_by(tuning, i32::from(*by));
                let usual = labels::usual(labels).and_then(|usual| down(&usual));
                // Labels that are moved already say the same twice; others are what is moved.
                let twice = usual.clone().filter(|moved| labels::agree(labels, moved));
                twice.or_else(|| labels::tuning(labels, None).0.and_then(|own| down(&own)))
            }
            Self::Strings(changes) => {
                let own = labels::tuning(labels, None).0?;
                with_strings(&own, &labels::usual(labels)?, changes)
            }
        }
    }

    /// Returns `tuning` with what this says done to it; `None` where this is a tuning of its own, or does not suit it.
    pub(super) fn applied_to(&self, tuning: &Tuning) -> Option<Tuning> {
        match self {
            Self::Called(_) | Self::CalledAndMoved(..) => None,
            Self::Moved(by) => moved_by(tuning, i32::from(*by)),
            Self::Strings(changes) => with_strings(tuning, tuning, changes),
        }
    }

    /// Returns whether this can be done to what was said before.
    pub(super) fn can_follow(&self, before: Option<&Self>) -> bool {
        match (self, before) {
            (_, None) | (Self::Called(_) | Self::CalledAndMoved(..), Some(_)) => false,
            (Self::Moved(_), Some(before)) => !matches!(before, Self::Moved(_) | Self::CalledAndMoved(..)),
            (Self::Strings(_), Some(_)) => true,
        }
    }

    /// Returns whether the name is that of an instrument too: `bass`, `ukulele`.
    pub(super) fn is_instrument(&self) -> bool {
        self.name().is_some_and(|name| catalogue::instrument_named(name).is_ok())
    }

    /// Returns the tuning for strings of which nothing is known.
    pub(super) fn tuning(&self) -> Option<Tuning> {
        match self {
            Self::Called(name) => named(name),
            Self::CalledAndMoved(..) | Self::Moved(_) | Self::Strings(_) => None,
        }
    }

    /// Returns the name, where it is one and nothing else.
    pub(super) fn name(&self) -> Option<&str> {
        match self {
            Self::Called(name) => Some(name),
            Self::CalledAndMoved(..) | Self::Moved(_) | Self::Strings(_) => None,
        }
    }
}

/// Returns `tuning` with some strings changed, which may be called by their notes in `usual`.
fn with_strings(tuning: &Tuning, usual: &Tuning, changes: &[(WhichString, NoteName)]) -> Option<Tuning> {
    let mut strings = tuning.strings().to_vec();
    for (which, note) in changes {
        let string = strings.get_mut(which.place(usual)?)?;
        *string = labels::nearest(*note, *string)?;
    }
    Tuning::new(strings)
}

impl WhichString {
    /// Returns the place of the string in a tuning.
    fn place(self, usual: &Tuning) -> Option<usize> {
        let count = usual.strings().len();
        match self {
            Self::Number(number) => count.checked_sub(usize::from(number)),
            Self::Lowest => Some(0),
            Self::Open(note) => {
                let has = |pitch: &Pitch| pitch.pitch_class() == note.pitch_class();
                usual.strings().iter().position(has)
            }
        }
    }
}

/// Returns the tuning of this name, or with these notes, that suits the labels best: one that has them, else one of the instrument whose
/// usual labels they are, else the first of so many strings.
fn of_labels(name: &str, labels: &[String]) -> Option<Tuning> {
    let count = labels.len();
    let fits = |tuning: &Tuning| tuning.strings().len() == count;
    let bodies = || catalogue::instruments().iter().filter(|known| usize::from(known.instrument.strings) == count);
    let standard = |known: &catalogue::KnownInstrument| catalogue::standard_tuning(&known.instrument);
    let labelled = |known: &&catalogue::KnownInstrument| {
        standard(known).is_some_and(|standard| labels::agree(labels, &standard.notes))
    };
    let read = |known: &catalogue::KnownInstrument| {
        catalogue::tuning_from_text(name, &known.instrument).ok().filter(|tuning| fits(tuning))
    };
    let with_labels = called(name).filter(fits).find(|tuning| labels::agree(labels, tuning));
    with_labels
        .or_else(|| bodies().filter(labelled).find_map(read))
        .or_else(|| named(name).filter(fits))
        .or_else(|| bodies().find_map(read))
        .or_else(|| standard_or_drop(name).filter(fits))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(words: &str) -> Option<TuningWords> {
        read(words).map(|(told, _)| told)
    }

    #[test]
    fn steps_are_counted_as_guitarists_say_them() {
        for (words, by) in [
            ("Half step down", -1),
            ("Half-step down", -1),
            ("½ step down", -1),
            ("tuned one half step down", -1),
            ("Tuned a step down", -2),
            ("1 whole step down", -2),
            ("tune down two half steps", -2),
            ("Tuned down one and a half steps", -3),
            ("tuned down 1 1/2 steps", -3),
            ("tuning: 1.5 steps down", -3),
            ("two whole steps down", -4),
            ("guitar tuned up a half step", 1),
        ] {
            assert_eq!(told(words), Some(TuningWords::Moved(by)), "{words}");
        }
        // These may be titles, or speak of something else.
        for words in [
            "A Step Down",
            "Step up",
            "I took one step down",
            "down by the river",
            "half step",
            "Eb",
            "Dsus4",
            "6 to 8",
        ] {
            assert_eq!(told(words), None, "{words}");
        }
    }

    #[test]
    fn strings_are_called_as_guitarists_call_them() {
        let d: NoteName = "D".parse().unwrap();
        for (words, which) in [
            ("Tune low E to D", WhichString::Lowest),
            ("low E string down to D", WhichString::Lowest),
            ("6th string to D", WhichString::Number(6)),
            ("sixth string tuned to D", WhichString::Number(6)),
            ("6 = D", WhichString::Number(6)),
            ("high e string to D", WhichString::Number(1)),
            ("tune the E to D", WhichString::Open("E".parse().unwrap())),
        ] {
            assert_eq!(told(words), Some(TuningWords::Strings(vec![(which, d)])), "{words}");
        }
        assert_eq!(
            told("Tune low E and high E to D"),
            Some(TuningWords::Strings(vec![(WhichString::Lowest, d), (WhichString::Number(1), d)]))
        );
        for words in ["A to D", "from A to D", "string along to G"] {
            assert_eq!(told(words), None, "{words}");
        }
    }
}
