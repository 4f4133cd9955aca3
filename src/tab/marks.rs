//! The marks that stand in the rows over and under the strings.
//!
//! Each mark says by itself what it is, so the rows need no names and may share a line: writing and
//! reading both go through [`Mark::read`]. A chord name is whatever is no other mark.

use crate::lesson::music::Stroke;
use crate::lesson::time::{Length, Meter, NoteValue, Tempo, Tuplet};
use crate::theory::key::Key;

use super::signs::{self, StretchSign};
use crate::text::charset::Charset;
use crate::text::width;

/// The widest chord name that stands over its beat; a longer one goes under the system.
const WIDEST_CHORD: usize = 16;
/// The widest words that stand over their beat.
const WIDEST_TEXT: usize = 36;

/// A rest as long as the length before it in the row.
pub(in crate::tab) const REST_AGAIN: &str = "r";

/// One mark.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::tab) enum Mark {
    /// Words in quotation marks.
    Text(String),
    /// A reference to a line under the system.
    FootNote(usize),
    /// A stroke.
    Stroke(Stroke),
    /// A line over notes that are all played alike; without an end it covers one column.
    Stretch(StretchSign, Reach),
    /// A meter.
    Meter(Meter),
    /// A tempo.
    Tempo(Tempo),
    /// A key.
    Key(Key),
    /// A pickup bar.
    Pickup,
    /// How often a repeat is played.
    Times(u8),
    /// The endings of the bars under it.
    Ending(Vec<u8>),
    /// A written length.
    Length(Length),
    /// A rest of a written length.
    Rest(Length),
    /// A rest as long as the length before it in the row.
    RestAgain,
    /// Anything else.
    Chord(String),
}

/// How far a stretch goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::tab) enum Reach {
    /// It covers one column.
    Here,
    /// It goes on to the end of the mark.
    ToItsEnd,
}

impl Mark {
    /// Reads one mark as split off by [`split`].
    pub(in crate::tab) fn read(text: &str) -> Self {
        let inner = text.strip_prefix('"').and_then(|rest| rest.strip_suffix('"'));
        if let Some(inner) = inner {
            return Self::Text(inner.to_owned());
        }
        if let Some(number) = text.strip_prefix('*').and_then(digits) {
            return Self::FootNote(number);
        }
        if let Some(rest) = text.strip_prefix('r').and_then(read_length) {
            return Self::Rest(rest);
        }
        if text == REST_AGAIN {
            return Self::RestAgain;
        }
        let times = || text.strip_prefix('x').and_then(digits::<u8>).map(Self::Times);
        let key = || text.strip_prefix("key:").and_then(read_key).map(Self::Key);
        read_length(text)
            .map(Self::Length)
            .or_else(|| read_stroke(text).map(Self::Stroke))
            .or_else(|| read_stretch(text))
            .or_else(|| text.parse().ok().map(Self::Meter))
            .or_else(|| read_tempo(text).map(Self::Tempo))
            .or_else(|| (text == "pickup").then_some(Self::Pickup))
            .or_else(times)
            .or_else(key)
            .or_else(|| read_endings(text).map(Self::Ending))
            .unwrap_or_else(|| Self::Chord(text.to_owned()))
    }
}

/// Returns whether a chord name can stand over its beat without being taken for another mark.
pub(in crate::tab) fn fits_as_chord(name: &str) -> bool {
    let single = !name.contains(char::is_whitespace) && !name.starts_with(['"', '*']) && !name.starts_with("let");
    single && width::width(name) <= WIDEST_CHORD && Mark::read(name) == Mark::Chord(name.to_owned())
}

/// Returns whether words can stand over their beat.
pub(in crate::tab) fn fits_as_text(text: &str) -> bool {
    !text.contains('"') && width::width(text) <= WIDEST_TEXT
}

/// Splits a row into its marks, each with the column it begins at and its width.
pub(in crate::tab) fn split(row: &str) -> Vec<(usize, usize, String)> {
    let mut marks = Vec::new();
    let mut open: Option<(usize, String)> = None;
    let mut column = 0;
    for (sign, width) in width::signs(row) {
        let inside = match &open {
            Some((_, mark)) if mark.starts_with('"') => mark.len() == 1 || !mark.ends_with('"'),
            Some((_, mark)) => sign == " " && mark == "let",
            None => false,
        };
        if sign.chars().all(char::is_whitespace) && !inside {
            if let Some((start, mark)) = open.take() {
                marks.push((start, column - start, mark));
            }
        } else if let Some((_, mark)) = &mut open {
            mark.push_str(sign);
        } else {
            open = Some((column, sign.to_owned()));
        }
        column += width;
    }
    if let Some((start, mark)) = open {
        marks.push((start, column - start, mark));
    }
    marks
}

/// Reads plain digits.
fn digits<T: std::str::FromStr>(text: &str) -> Option<T> {
    text.bytes().all(|byte| byte.is_ascii_digit()).then(|| text.parse().ok()).flatten()
}

/// Reads `q`, `e.`, `e3`, `s5:6`.
pub(in crate::tab) fn read_length(text: &str) -> Option<Length> {
    let letter = text.chars().next()?;
    let value = NoteValue::ALL.into_iter().find(|value| signs::value_letter(*value) == letter)?;
    let rest = text.get(letter.len_utf8()..)?;
    let tuplet = rest.trim_start_matches('.');
    let dots = u8::try_from(rest.len() - tuplet.len()).ok()?;
    let tuplet = match tuplet.split_once(':') {
        _ if tuplet.is_empty() => None,
        Some((actual, normal)) => Some(Tuplet { actual: digits(actual)?, normal: digits(normal)? }),
        None => digits(tuplet).map(|actual| Some(Tuplet { actual, normal: signs::usual_normal(actual) }))?,
    };
    Length::new(value, dots, tuplet)
}

/// Reads `q=92` and `dotted quarter note = 92`.
pub(in crate::tab) fn read_tempo(text: &str) -> Option<Tempo> {
    let (beat, per_minute) = text.split_once('=')?;
    let (beat, per_minute) = (beat.trim(), per_minute.trim());
    Tempo::new(read_length(beat).or_else(|| read_length_in_words(beat))?, digits(per_minute)?)
}

/// Reads `dotted quarter note`.
fn read_length_in_words(text: &str) -> Option<Length> {
    let text = text.strip_suffix("note")?.trim_end();
    let (dots, text) = match text.split_once(' ') {
        Some(("dotted", value)) => (1, value),
        Some(("double-dotted", value)) => (2, value),
        Some(_) | None => (0, text),
    };
    let value = NoteValue::ALL.into_iter().find(|value| value.name() == text)?;
    Length::new(value, dots, None)
}

/// Returns whether what stands where a chord name may stand says that there is none.
pub(in crate::tab) fn is_no_chord(word: &str) -> bool {
    matches!(word, "N.C." | "NC" | "N.C" | "n.c.")
}

/// Reads a key with either kind of accidentals, a mode behind a hyphen or a space.
pub(in crate::tab) fn read_key(text: &str) -> Option<Key> {
    text.replace('♭', "b").replace('♯', "#").replacen('-', " ", 1).parse().ok()
}

/// Reads a stroke in either character set.
fn read_stroke(text: &str) -> Option<Stroke> {
    use Stroke::{ArpeggioDown, ArpeggioUp, Down, RakeDown, RakeUp, Up};
    [Down, Up, RakeDown, RakeUp, ArpeggioDown, ArpeggioUp]
        .into_iter()
        .find(|stroke| text == signs::stroke(*stroke, Charset::Utf8) || text == signs::stroke(*stroke, Charset::Ascii))
}

/// Reads `P.M.`, `PM---|`, `let ring──│`.
fn read_stretch(text: &str) -> Option<Mark> {
    StretchSign::ALL.into_iter().find_map(|stretch| {
        stretch.words().iter().find_map(|word| {
            let line = text.strip_prefix(word)?;
            if line.is_empty() {
                return Some(Mark::Stretch(stretch, Reach::Here));
            }
            let line = line.strip_suffix(['|', '│']).unwrap_or(line);
            line.chars().all(|sign| matches!(sign, '-' | '─')).then_some(Mark::Stretch(stretch, Reach::ToItsEnd))
        })
    })
}

/// Reads `1.----|`, `1,2.`.
fn read_endings(text: &str) -> Option<Vec<u8>> {
    let (numbers, line) = text.split_once('.')?;
    let line = line.strip_suffix(['|', '│']).unwrap_or(line);
    let drawn = line.chars().all(|sign| matches!(sign, '-' | '─'));
    drawn.then(|| numbers.split(',').map(digits).collect()).flatten()
}
