//! Numbers, lengths and lists as a player says them.

use std::fmt::Display;

use crate::lesson::time::{NoteValue, Ticks};

/// Returns `1 bar`, `3 bars`, `3 halves`.
pub(super) fn counted(count: usize, word: &str) -> String {
    match word.strip_suffix("half") {
        _ if count == 1 => format!("1 {word}"),
        Some(before) => format!("{count} {before}halves"),
        None => format!("{count} {word}s"),
    }
}

/// Returns `a`, `a and b`, `a, b and c`.
pub(super) fn listed<T: Display>(items: &[T]) -> String {
    match items {
        [] => String::new(),
        [only] => only.to_string(),
        [first @ .., last] => {
            let first: Vec<String> = first.iter().map(ToString::to_string).collect();
            format!("{} and {last}", first.join(", "))
        }
    }
}

/// Returns `string 3`, `strings 6 and 1`.
pub(super) fn strings<T: Display>(numbers: &[T]) -> String {
    format!("string{} {}", if numbers.len() == 1 { "" } else { "s" }, listed(numbers))
}

/// Returns a length as a fraction of a whole note in lowest terms, over 4 where that is possible,
/// as meters are written: `7/8`, `3/4`, `4/4`.
pub(super) fn fraction(length: Ticks) -> String {
    let (mut top, mut bottom) = (length.0, Ticks::WHOLE.0);
    let divisor = greatest_common_divisor(top, bottom).max(1);
    (top, bottom) = (top / divisor, bottom / divisor);
    while bottom < 4 {
        (top, bottom) = (top * 2, bottom * 2);
    }
    format!("{top}/{bottom}")
}

fn greatest_common_divisor(one: u64, other: u64) -> u64 {
    if other == 0 { one } else { greatest_common_divisor(other, one % other) }
}

/// Returns a length in note values where at most two say it: `an eighth`, `a dotted quarter`,
/// `a half and an eighth`; otherwise as a fraction: `5/12 of a whole note`.
pub(super) fn note_values(length: Ticks) -> String {
    if let Some(name) = one_value(length) {
        return name;
    }
    for value in NoteValue::ALL {
        let rest = length.0.checked_sub(value.ticks().0).map(Ticks);
        if let Some(rest) = rest.and_then(one_value) {
            return format!("{} and {rest}", with_article("", value));
        }
    }
    format!("{} of a whole note", fraction(length))
}

fn one_value(length: Ticks) -> Option<String> {
    NoteValue::ALL.into_iter().find_map(|value| {
        let plain = value.ticks();
        if plain == length {
            Some(with_article("", value))
        } else {
            (plain.0 * 3 == length.0 * 2).then(|| with_article("dotted ", value))
        }
    })
}

fn with_article(dot: &str, value: NoteValue) -> String {
    let name = value.name();
    let vowel = dot.is_empty() && name.starts_with('e');
    format!("{} {dot}{name}", if vowel { "an" } else { "a" })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_said_as_players_say_them() {
        for (text, words) in [
            ("1/8", "an eighth"),
            ("1/4.", "a dotted quarter"),
            ("1/1", "a whole note"),
            ("1/8 3:2", "1/12 of a whole note"),
            ("1/4..", "a quarter and a dotted eighth"),
        ] {
            let length: crate::lesson::time::Length = text.parse().unwrap();
            assert_eq!(note_values(length.ticks()), words, "{text}");
        }
    }

    #[test]
    fn fractions_look_like_meters() {
        let eighths = |count: u64| fraction(Ticks(NoteValue::Eighth.ticks().0 * count));
        assert_eq!([eighths(7), eighths(8), eighths(6), eighths(0)], ["7/8", "4/4", "3/4", "0/4"]);
    }

    #[test]
    fn more_than_one_takes_the_plural() {
        assert_eq!(
            [counted(1, "bar"), counted(0, "bar"), counted(3, "more half")],
            ["1 bar", "0 bars", "3 more halves"]
        );
    }

    #[test]
    fn lists_end_in_and() {
        assert_eq!(
            [strings(&[3]), strings(&[6, 1]), listed(&[3, 2, 1])],
            ["string 3", "strings 6 and 1", "3, 2 and 1"]
        );
    }
}
