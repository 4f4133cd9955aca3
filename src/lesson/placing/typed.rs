//! A line of notes as a player types it: `E4 G4 A4:1/4 C3+E3+G3:1/2 r | E4`.
//!
//! Notes are letters with octaves; `+` joins the notes of a chord; a length after a colon is a part of a
//! whole note, with dots if there are any: `1/4`, `1/8.`, `3/8`, and `1/12` for a triplet eighth (twelve of
//! them are a whole note). `r` is a rest. A `|` may stand where a bar ends.

use super::timed::{TimedLine, TimedNote};
use crate::instrument::placement::line::Pin;
use crate::lesson::time::{Length, Meter, NoteValue, Tempo, Ticks, Tuplet};
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
    /// A chord has an empty place or one note twice.
    #[error("part {place}, `{}`, is no chord: expected different notes joined with `+`, as in `C3+E3+G3`", quoted(.text))]
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
        source: LengthError,
    },
    /// A bar line stands where no bar ends.
    #[error("the bar line after part {place} stands {} of a whole note into a bar of {meter}: lengthen or shorten what is before it, or leave the bar line out", fraction(*.into))]
    BarLine {
        /// The part before it, counted from 1.
        place: usize,
        /// How much of the bar is filled.
        into: Ticks,
        /// The meter.
        meter: Meter,
    },
    /// It is too long to be counted.
    #[error("it is longer than {} bars: place it in pieces", TimedLine::MOST_BARS)]
    TooLong,
}

/// What was typed is no length.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{}` is not a length: expected a part of a whole note, as in `1/4`, `1/8.`, `3/8`, or `1/12` for a triplet eighth", quoted(.text))]
pub struct LengthError {
    /// What was typed.
    pub text: String,
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

/// Reads the notes of one part; none for a rest.
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
        if pitches.iter().any(|known| known.midi() == pitch.midi()) {
            return Err(no_chord());
        }
        pitches.push(pitch);
    }
    Ok(pitches)
}

/// Reads a length typed as a part of a whole note: `1/4`, `1/8.`, `3/8`, `1/12`.
///
/// Errors: no fraction, or one that no note value, dot or tuplet makes.
pub fn length_from_text(text: &str) -> Result<Length, LengthError> {
    let wrong = || LengthError { text: text.to_owned() };
    let undotted = text.trim().trim_end_matches('.');
    let dots = u8::try_from(text.trim().len() - undotted.len()).map_err(|_| wrong())?;
    let digits = |part: &str| -> Option<u64> {
        part.bytes().all(|byte| byte.is_ascii_digit()).then(|| part.parse().ok()).flatten()
    };
    let (count, of) = undotted.split_once('/').ok_or_else(wrong)?;
    let (count, of) = (digits(count).ok_or_else(wrong)?, digits(of).ok_or_else(wrong)?);
    let whole = count.checked_mul(Ticks::WHOLE.0).ok_or_else(wrong)?;
    if of == 0 || count == 0 || whole % of != 0 {
        return Err(wrong());
    }
    let plain = whole / of;
    let matching = lengths(dots).find(|length| {
        // The dots of the text are the dots of the note: compare without them.
        Length::new(length.value(), 0, length.tuplet()).is_some_and(|bare| bare.ticks().0 == plain)
    });
    match matching {
        Some(length) => Ok(length),
        // `3/8` is a dotted quarter.
        None if dots == 0 => lengths(1).chain(lengths(2)).find(|length| length.ticks().0 == plain).ok_or_else(wrong),
        None => Err(wrong()),
    }
}

/// Returns every length with so many dots, plain ones first.
pub(super) fn lengths(dots: u8) -> impl Iterator<Item = Length> {
    let tuplets = [None, Some((3, 2)), Some((5, 4)), Some((7, 4))];
    tuplets.into_iter().flat_map(move |tuplet| {
        let tuplet = tuplet.map(|(actual, normal)| Tuplet { actual, normal });
        NoteValue::ALL.into_iter().filter_map(move |value| Length::new(value, dots, tuplet))
    })
}

/// Prints a time as a part of a whole note: `3/8`, `0`, `2`.
pub fn fraction(time: Ticks) -> String {
    let (mut a, mut b) = (time.0, Ticks::WHOLE.0);
    while b != 0 {
        (a, b) = (b, a % b);
    }
    let (count, of) = (time.0 / a.max(1), Ticks::WHOLE.0 / a.max(1));
    match (count, of) {
        (0, _) => "0".to_owned(),
        (count, 1) => count.to_string(),
        (count, of) => format!("{count}/{of}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
    fn what_is_typed_wrong_is_told_with_its_place() {
        let message = |text: &str| read_plain(text).unwrap_err().to_string();
        assert_eq!(message("E4 H4"), "part 2, `H4`: `H4` is not a note: it should start with a letter from A to G");
        assert_eq!(message("E4 G"), "part 2, `G`: `G` needs an octave, as in `E2` (middle C is C4)");
        assert!(message("E4 C3++G3").starts_with("part 2, `C3++G3`, is no chord"));
        assert!(message("C3+C3").starts_with("part 1, `C3+C3`, is no chord"));
        assert!(message("E4:1/7.5").contains("`1/7.5` is not a length"));
        assert!(message("r r |").starts_with("the bar line after part 2 stands 1/4 of a whole note into a bar of 4/4"));
        assert!(message("r").starts_with("there are no notes in it"));
        assert!(message("").starts_with("there are no notes in it"));
    }

    #[test]
    fn a_length_is_a_part_of_a_whole_note() {
        let read = |text: &str| length_from_text(text).map(|length| length.to_string());
        for (typed, printed) in [
            ("1/4", "1/4"),
            ("1/8.", "1/8."),
            ("3/8", "1/4."),
            ("2/4", "1/2"),
            ("1/12", "1/8 3:2"),
            ("1/24", "1/16 3:2"),
            ("1/20", "1/16 5:4"),
            ("7/16", "1/4.."),
        ] {
            assert_eq!(read(typed), Ok(printed.to_owned()), "{typed}");
        }
        for typed in ["", "4", "1/0", "0/4", "1/128", "5/8", "-1/4", "1/4...", "x"] {
            assert!(read(typed).is_err(), "{typed}");
        }
    }
}
