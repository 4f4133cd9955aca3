//! Tunings typed as notes: `D2 A2 D3 G3 A3 D4`, `D A D G A D`, `DADGAD`, `Eb2, Ab2, …`.
//!
//! Notes run from the highest string number down, for most instruments low to high. Where an
//! octave is left out it is the one nearest to a known tuning, string by string.

use std::fmt;
use std::str::FromStr;

use serde::de::{SeqAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::tuning::Tuning;
use crate::theory::pitch::{NoteName, Pitch, PitchError, split_note_name};

/// What was typed is no list of open strings.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum OpenNotesError {
    /// Nothing was written.
    #[error("a tuning needs one note for each string, as in `E2 A2 D3 G3 B3 E4`")]
    Empty,
    /// Fewer than 3 or more than 12 strings.
    #[error("a tuning has 3 to 12 strings, this one has {got}")]
    Count {
        /// How many were written.
        got: usize,
    },
    /// Not as many notes as the instrument has strings.
    #[error("that is {got} {}, the instrument has {wanted} strings{}", if *.got == 1 { "note" } else { "notes" }, as_in(.example.as_ref()))]
    CountFor {
        /// How many were written.
        got: usize,
        /// How many strings there are.
        wanted: usize,
        /// A tuning with that many strings, where one is known.
        example: Option<Tuning>,
    },
    /// One of the notes is none.
    #[error("string {string}: {source}")]
    Note {
        /// The string it stands for, counted as tab does.
        string: usize,
        /// What is wrong with it.
        source: PitchError,
    },
}

fn as_in(example: Option<&Tuning>) -> String {
    example.map_or_else(String::new, |example| format!(" (as in {example})"))
}

/// Prints the notes with their octaves: `E2 A2 D3 G3 B3 E4`.
impl fmt::Display for Tuning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, pitch) in self.strings().iter().enumerate() {
            let gap = if index == 0 { "" } else { " " };
            write!(f, "{gap}{pitch}")?;
        }
        Ok(())
    }
}

/// Reads notes that all have their octaves.
impl FromStr for Tuning {
    type Err = OpenNotesError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        read_notes(text, None)
    }
}

impl Serialize for Tuning {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

/// Reads one text, `"E2 A2 D3 G3 B3 E4"`, or a list of such notes.
impl<'de> Deserialize<'de> for Tuning {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(TuningVisitor)
    }
}

struct TuningVisitor;

impl<'de> Visitor<'de> for TuningVisitor {
    type Value = Tuning;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the open strings, highest string number first, as in \"E2 A2 D3 G3 B3 E4\"")
    }

    fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<Tuning, E> {
        text.parse().map_err(E::custom)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Tuning, A::Error> {
        let mut strings = Vec::new();
        while let Some(pitch) = list.next_element()? {
            strings.push(pitch);
        }
        let got = strings.len();
        Tuning::new(strings).ok_or_else(|| serde::de::Error::custom(OpenNotesError::Count { got }))
    }
}

/// Reads the open strings of an instrument tuned like `near`: as many notes, and an octave that was
/// left out is the one that moves the string least (down, if two are as near).
///
/// Errors: not as many notes as `near` has strings, or a word that is no note.
pub fn read_near(text: &str, near: &Tuning) -> Result<Tuning, OpenNotesError> {
    read_notes(text, Some(near))
}

/// Returns whether `text` is meant as notes: written with nothing else, or mostly notes.
pub(super) fn looks_like_notes(text: &str) -> bool {
    let note_like = |character: char| {
        NOTE_LETTERS.contains(character)
            || character.is_ascii_digit()
            || matches!(character, '#' | '♯' | '♭' | '𝄪' | '𝄫' | '♮')
            || separates(character)
    };
    let words: Vec<&str> = text.split(separates).filter(|word| !word.is_empty()).collect();
    let notes = words.iter().filter(|word| split_note_name(word).is_ok_and(|(_, rest)| rest.len() < 2)).count();
    !words.is_empty() && (text.chars().all(note_like) || (words.len() >= Tuning::FEWEST && notes * 2 > words.len()))
}

const NOTE_LETTERS: &str = "ABCDEFGabcdefg";

/// Returns whether `text` is letters A to G alone, as in `eadgbe`.
fn spelled_run(text: &str) -> bool {
    text.len() >= Tuning::FEWEST && text.chars().all(|character| NOTE_LETTERS.contains(character))
}

fn separates(character: char) -> bool {
    character.is_whitespace() || matches!(character, ',' | ';' | '-' | '–' | '—')
}

fn read_notes(text: &str, near: Option<&Tuning>) -> Result<Tuning, OpenNotesError> {
    let wanted = near.map(|tuning| tuning.strings().len());
    let notes = split_notes(text.trim(), wanted);
    let got = notes.len();
    if got == 0 {
        return Err(OpenNotesError::Empty);
    }
    if let Some(example) = near.filter(|_| wanted != Some(got)) {
        let (wanted, example) = (example.strings().len(), Some(example.clone()));
        return Err(OpenNotesError::CountFor { got, wanted, example });
    }
    let mut pitches = Vec::new();
    for (index, note) in notes.into_iter().enumerate() {
        let neighbour = near.and_then(|tuning| tuning.strings().get(index)).copied();
        let pitch =
            read_pitch(note, neighbour).map_err(|source| OpenNotesError::Note { string: got - index, source })?;
        pitches.push(pitch);
    }
    Tuning::new(pitches).ok_or(OpenNotesError::Count { got })
}

fn read_pitch(text: &str, near: Option<Pitch>) -> Result<Pitch, PitchError> {
    match (split_note_name(text)?, near) {
        ((name, ""), Some(near)) => {
            nearest_octave(name, near).ok_or_else(|| PitchError::Range { text: text.to_owned() })
        }
        _ => text.parse(),
    }
}

fn nearest_octave(name: NoteName, near: Pitch) -> Option<Pitch> {
    (-1..=9)
        .filter_map(|octave| Pitch::new(name, octave))
        .min_by_key(|pitch| (pitch.midi().number().abs_diff(near.midi().number()), pitch.midi()))
}

/// Splits the text into what each string is said to be; nothing is judged yet.
fn split_notes(text: &str, wanted: Option<usize>) -> Vec<&str> {
    // `eadgbe` holds a B, not a G flat, if that makes the number of strings come out right.
    let lower_run = text.chars().all(|character| character.is_ascii_lowercase()) && spelled_run(text);
    if lower_run && wanted.is_some_and(|wanted| wanted == text.len()) {
        return text.split("").filter(|letter| !letter.is_empty()).collect();
    }
    let mut notes = Vec::new();
    let mut rest = text;
    loop {
        rest = rest.trim_start_matches(separates);
        if rest.is_empty() {
            return notes;
        }
        let (note, after) = rest.split_at(note_length(rest));
        notes.push(note);
        rest = after;
    }
}

/// Returns how many bytes of `text` belong to its first note; all up to the next gap if it is none.
fn note_length(text: &str) -> usize {
    // Found only where it is needed: in a long run of notes without gaps it is far away from each.
    let gap = || text.find(separates).filter(|&at| at > 0).unwrap_or(text.len());
    let head = text.char_indices().nth(LONGEST_NOTE).map_or(text, |(at, _)| text.split_at(at).0);
    let Ok((_, left)) = split_note_name(head) else {
        return gap();
    };
    let after = text.get(head.len() - left.len()..).unwrap_or_default();
    let digits_at = |text: &str| text.len() - text.trim_start_matches(|c: char| c.is_ascii_digit()).len();
    let sign = usize::from(after.starts_with('-') && digits_at(after.get(1..).unwrap_or_default()) > 0);
    let octave = sign + digits_at(after.get(sign..).unwrap_or_default());
    let end = text.len() - after.len() + octave;
    // What follows must be a gap or another note, otherwise the whole word is wrong: `E2x`.
    match text.get(end..).and_then(|next| next.chars().next()) {
        None => end,
        Some(next) if separates(next) || NOTE_LETTERS.contains(next) => end,
        Some(_) => gap().max(end),
    }
}

/// More characters than a letter with its sharps or flats can have.
const LONGEST_NOTE: usize = 16;

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::theory::pitch::MidiNote;

    fn guitar() -> Tuning {
        "E2 A2 D3 G3 B3 E4".parse().unwrap()
    }

    #[track_caller]
    fn check_reads(typed: &str, expected: &str) {
        assert_eq!(read_near(typed, &guitar()).unwrap().to_string(), expected, "`{typed}`");
    }

    #[test]
    fn a_very_long_run_of_notes_is_counted_at_once() {
        // Looking for the end of the run from each of its notes would take minutes.
        let error = "E2".repeat(1_000_000).parse::<Tuning>().unwrap_err();
        assert_eq!(error, OpenNotesError::Count { got: 1_000_000 });
    }

    #[track_caller]
    fn check_refuses(typed: &str, expected: &str) {
        assert_eq!(read_near(typed, &guitar()).unwrap_err().to_string(), expected, "`{typed}`");
    }

    #[test]
    fn notes_are_read_with_and_without_octaves_and_gaps() {
        for typed in [
            "D2 A2 D3 G3 A3 D4",
            "DADGAD",
            "dadgad",
            "D A D G A D",
            "D,A,D,G,A,D",
            "D2-A2-D3-G3-A3-D4",
            "d2a2d3g3a3d4",
            "D2, A, D3, G, A, D",
            "DAD GAD",
        ] {
            check_reads(typed, "D2 A2 D3 G3 A3 D4");
        }
        check_reads("eadgbe", "E2 A2 D3 G3 B3 E4");
        check_reads("EbAbDbGbBbEb", "Eb2 Ab2 Db3 Gb3 Bb3 Eb4");
        check_reads("E♭ A♭ D♭ G♭ B♭ E♭", "Eb2 Ab2 Db3 Gb3 Bb3 Eb4");
        check_reads("C G C G C E", "C2 G2 C3 G3 C4 E4");
        check_reads("C-1 A2 D3 G3 B3 E4", "C-1 A2 D3 G3 B3 E4");
    }

    #[test]
    fn an_octave_left_out_moves_the_string_least_and_down_if_it_must_choose() {
        // B flat lies six semitones below and above E: the slack string is the safe guess.
        check_reads("Bb A D G B E", "Bb1 A2 D3 G3 B3 E4");
    }

    #[test]
    fn a_wrong_note_is_named_with_its_string() {
        check_refuses("", "a tuning needs one note for each string, as in `E2 A2 D3 G3 B3 E4`");
        check_refuses("E A D H B E", "string 3: `H` is not a note: it should start with a letter from A to G");
        check_refuses("E2 A2 D3 G3 B3 E99", "string 1: `E99` lies outside what can be written: C-1 to G9");
        check_refuses("E2 A2 D3x G3 B3 E4", "string 4: `D3x` needs an octave, as in `E2` (middle C is C4)");
        check_refuses("E A D G B", "that is 5 notes, the instrument has 6 strings (as in E2 A2 D3 G3 B3 E4)");
        assert_eq!(
            "E A D".parse::<Tuning>().unwrap_err().to_string(),
            "string 3: `E` needs an octave, as in `E2` (middle C is C4)"
        );
        assert_eq!("E2 A2".parse::<Tuning>().unwrap_err().to_string(), "a tuning has 3 to 12 strings, this one has 2");
    }

    fn any_tuning() -> impl Strategy<Value = Tuning> {
        let pitch = (0..=MidiNote::LAST).prop_map(|number| Pitch::usual(MidiNote::new(number).unwrap()));
        proptest::collection::vec(pitch, 3..=12).prop_map(|strings| Tuning::new(strings).unwrap())
    }

    proptest! {
        #[test]
        fn every_tuning_reads_back(tuning in any_tuning()) {
            prop_assert_eq!(&tuning.to_string().parse::<Tuning>().unwrap(), &tuning);
            prop_assert_eq!(&tuning.to_string().replace(' ', "").parse::<Tuning>().unwrap(), &tuning);
            prop_assert_eq!(&read_near(&tuning.to_string(), &tuning).unwrap(), &tuning);
            prop_assert_eq!(&ron::from_str::<Tuning>(&ron::to_string(&tuning).unwrap()).unwrap(), &tuning);
            let list = ron::to_string(tuning.strings()).unwrap();
            prop_assert_eq!(&ron::from_str::<Tuning>(&list).unwrap(), &tuning);
        }

        #[test]
        fn no_text_makes_it_panic(text in "[A-Ha-h0-9 #b♭,-]{0,24}|\\PC{0,24}") {
            let _ = (read_near(&text, &guitar()), text.parse::<Tuning>(), looks_like_notes(&text));
        }
    }
}
