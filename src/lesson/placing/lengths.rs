//! Lengths typed and printed as parts of a whole note.

use crate::lesson::time::{Length, NoteValue, Ticks, Tuplet};
use crate::text::quote::quoted;

/// What was typed is no length.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{}` is not a length: expected a part of a whole note, as in `1/4`, `1/8.`, `3/8`, or `1/12` for a triplet eighth", quoted(.text))]
pub struct TypedLengthError {
    /// What was typed.
    pub text: String,
}

/// Reads a length typed as a part of a whole note: `1/4`, `1/8.`, `3/8`, `1/12`.
///
/// Errors: no fraction, or one that no note value, dot or tuplet makes.
pub fn length_from_text(text: &str) -> Result<Length, TypedLengthError> {
    let wrong = || TypedLengthError { text: text.to_owned() };
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
