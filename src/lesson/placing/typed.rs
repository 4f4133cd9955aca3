//! A line of notes as a player types it: `E4 G4 A4:1/4 C3+E3+G3:1/2 r | E4`.
//!
//! Notes are letters with octaves; `+` joins the notes of a chord; a length after a colon is a part of a
//! whole note, with dots if there are any: `1/4`, `1/8.`, `3/8`, and `1/12` for a triplet eighth (twelve of
//! them are a whole note). `r` is a rest. A `|` may stand where a bar ends.

use super::lengths::{TypedLengthError, fraction, length_from_text};
use super::timed::{TimedLine, TimedNote};
use crate::instrument::placement::line::Pin;
use crate::lesson::time::{Length, Meter, Tempo, Ticks};
use crate::text::quote::quoted;
use crate::theory::pitch::{Pitch, PitchError};

/// A typed line that makes no sense, and where.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TypedError {
    /// Nothing but rests and bar lines.
    #[error(
        "there are no notes in it: expected notes with octaves, chords joined with `+`, `r` for a rest, as in `E4 G4:1/4 C3+E3+G3 r`"
    )]
    NoNotes,
    /// A part is neither a note nor a chord nor a rest.
    #[error("part {place}, `{}`: {source}", quoted(.text))]
    Note {
        /// Its number, counted from 1.
        place: usize,
        /// What was typed.
        text: String,
        /// Why it is no note.
        source: PitchError,
    },
    /// A chord has an empty place.
    #[error("part {place}, `{}`, is no chord: expected notes joined with `+`, as in `C3+E3+G3`", quoted(.text))]
    Chord {
        /// Its number, counted from 1.
        place: usize,
        /// What was typed.
        text: String,
    },
    /// The length is none.
    #[error("part {place}, `{}`: {source}", quoted(.text))]
    Length {
        /// Its number, counted from 1.
        place: usize,
        /// What was typed.
        text: String,
        /// Why it is none.
        source: TypedLengthError,
    },
    /// A bar line stands where no bar ends.
    #[error("the bar line after part {place} is {} of a whole note into a bar of {meter}: lengthen or shorten what is before it, or leave the bar line out", fraction(*.into))]
    BarLine {
        /// The part before it, counted from 1.
        place: usize,
        /// How much of the bar is filled.
        into: Ticks,
        /// The meter.
        meter: Meter,
    },
    /// It is too long to be counted.
    #[error("it is longer than {} bars: place it in several parts", TimedLine::MOST_BARS)]
    TooLong,
}

/// Reads a typed line. `usual` is the length of what has none of its own.
///
/// Errors: the part that is no note, chord, rest or length, with its number; a bar line in the middle of a bar.
pub fn read(text: &str, usual: Length, meter: Meter, tempo: Tempo) -> Result<TimedLine, TypedError> {
    let mut line = TimedLine::new(meter, tempo);
    let mut clock = Ticks::ZERO;
    let mut place = 0;
    for part in text.split_whitespace().flat_map(bar_lines_apart) {
        if part == "|" {
            let into = Ticks(clock.0 % meter.ticks().0);
            if into != Ticks::ZERO {
                return Err(TypedError::BarLine { place, into, meter });
            }
            continue;
        }
        place += 1;
        let (notes, length) = part.split_once(':').map_or((part, None), |(notes, length)| (notes, Some(length)));
        let wrong_length = |source| TypedError::Length { place, text: part.to_owned(), source };
        let length = length.map(length_from_text).transpose().map_err(wrong_length)?.unwrap_or(usual);
        for pitch in pitches(notes, place)? {
            let note = TimedNote {
                start: clock,
                length: length.ticks(),
                written: Some(length),
                pitch: pitch.midi(),
                pin: Pin::default(),
            };
            line.notes.push(note);
        }
        clock += length.ticks();
        if clock.0 / meter.ticks().0 > TimedLine::MOST_BARS {
            return Err(TypedError::TooLong);
        }
    }
    line.end = clock;
    if line.notes.is_empty() { Err(TypedError::NoNotes) } else { Ok(line) }
}

/// Parts bar lines from what is typed beside them without a space.
fn bar_lines_apart(part: &str) -> impl Iterator<Item = &str> {
    part.split_inclusive('|').flat_map(|piece| {
        let (before, line) = piece.strip_suffix('|').map_or((piece, ""), |before| (before, "|"));
        [before, line].into_iter().filter(|piece| !piece.is_empty())
    })
}

/// Reads the notes of one part; none for a rest. A note twice is a unison on two strings.
fn pitches(text: &str, place: usize) -> Result<Vec<Pitch>, TypedError> {
    if matches!(text, "r" | "R") {
        return Ok(Vec::new());
    }
    let no_chord = || TypedError::Chord { place, text: text.to_owned() };
    let mut pitches: Vec<Pitch> = Vec::new();
    for note in text.split('+') {
        if note.is_empty() && text.contains('+') {
            return Err(no_chord());
        }
        let pitch: Pitch = note.parse().map_err(|source| TypedError::Note { place, text: text.to_owned(), source })?;
        pitches.push(pitch);
    }
    Ok(pitches)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lesson::time::NoteValue;

    fn read_plain(text: &str) -> Result<TimedLine, TypedError> {
        read(text, Length::plain(NoteValue::Eighth), Meter::COMMON, Tempo::USUAL)
    }

    #[test]
    fn notes_chords_rests_and_lengths_are_read() {
        let line = read_plain("E4 Gb4:1/4 r C3+E3+G3:3/8 r| Bb2:1/12").unwrap();
        let told: Vec<(String, u8, String)> =
            line.notes.iter().map(|note| (fraction(note.start), note.pitch.number(), fraction(note.length))).collect();
        let expected = [
            ("0", 64, "1/8"),
            ("1/8", 66, "1/4"),
            ("1/2", 48, "3/8"),
            ("1/2", 52, "3/8"),
            ("1/2", 55, "3/8"),
            ("1", 46, "1/12"),
        ];
        assert_eq!(told, expected.map(|(start, pitch, length)| (start.to_owned(), pitch, length.to_owned())));
    }

    #[test]
    fn a_note_twice_in_a_chord_is_a_unison() {
        let line = read_plain("A4+C4+F4+A4:1/2").unwrap();
        let pitches: Vec<u8> = line.notes.iter().map(|note| note.pitch.number()).collect();
        assert_eq!(pitches, [69, 60, 65, 69]);
    }

    #[test]
    fn what_is_typed_wrong_is_told_with_its_place() {
        let message = |text: &str| read_plain(text).unwrap_err().to_string();
        assert_eq!(message("E4 H4"), "part 2, `H4`: `H4` is not a note: it should start with a letter from A to G");
        assert_eq!(message("E4 G"), "part 2, `G`: `G` needs an octave, as in `E2` (middle C is C4)");
        assert!(message("E4 C3++G3").starts_with("part 2, `C3++G3`, is no chord"));
        assert!(message("E4:1/7.5").contains("`1/7.5` is not a length"));
        assert!(message("r r |").starts_with("the bar line after part 2 is 1/4 of a whole note into a bar of 4/4"));
        assert!(message("r").starts_with("there are no notes in it"));
        assert!(message("").starts_with("there are no notes in it"));
    }
}
