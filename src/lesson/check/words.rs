//! Numbers, lengths and lists as a player says them.

use std::fmt::Display;

use crate::lesson::time::{Length, Meter, NoteValue, Ticks, Tuplet};

/// Returns `1 bar`, `3 bars`, `3 halves`.
pub(super) fn counted(count: usize, word: &str) -> String {
    if count == 1 { format!("1 {word}") } else { format!("{count} {}", plural(word)) }
}

fn plural(word: &str) -> String {
    word.strip_suffix("half").map_or_else(|| format!("{word}s"), |before| format!("{before}halves"))
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

/// Returns ascending numbers with those in a row as one: `2-5`, `8`.
pub(super) fn runs(numbers: &[usize]) -> Vec<String> {
    let in_a_row = numbers.chunk_by(|one, next| one.checked_add(1) == Some(*next));
    let run = |run: &[usize]| match run {
        [] => None,
        [only] => Some(only.to_string()),
        [first, .., last] => Some(format!("{first}-{last}")),
    };
    in_a_row.filter_map(run).collect()
}

/// Returns `string 3`, `strings 6 and 1`.
pub(super) fn strings<T: Display>(numbers: &[T]) -> String {
    format!("string{} {}", if numbers.len() == 1 { "" } else { "s" }, listed(numbers))
}

/// Returns a length in beats of `meter`, as in `3 1/2 beats`, `half a beat` or `1/5 of a beat`. In a compound meter
/// players count its units, as in `5 eighths`.
pub(super) fn beats(length: Ticks, meter: Meter) -> String {
    let (unit, word) =
        if meter.is_compound() { (meter.unit().ticks(), meter.unit().name()) } else { (meter.beat(), "beat") };
    match length.in_units_of(unit) {
        (1, None) => format!("1 {word}"),
        (whole, None) => counted(usize::try_from(whole).unwrap_or(usize::MAX), word),
        (0, Some(part)) => format!("{} {} {word}", part_of(&part.to_string()), article(word)),
        (whole, Some(part)) => format!("{whole} {part} {}", plural(word)),
    }
}

/// Returns a part with the word before what it is of: `half`, `a quarter of`, `1/5 of`.
fn part_of(part: &str) -> String {
    let named = [
        ("1/2", "half"),
        ("1/3", "a third of"),
        ("2/3", "two thirds of"),
        ("1/4", "a quarter of"),
        ("3/4", "three quarters of"),
    ];
    let named = named.into_iter().find(|(known, _)| *known == part);
    named.map_or_else(|| format!("{part} of"), |(_, words)| words.to_owned())
}

/// A length as players name it.
pub(super) struct NamedValue {
    /// `an eighth`, `a dotted quarter`, `a triplet eighth`.
    name: String,
    /// For one of a triplet, what the three fill: `a quarter`.
    three_in: Option<String>,
}

/// Returns the note value of this length, plain, dotted or one of a triplet; `None` where it has none.
pub(super) fn note_value(length: Ticks) -> Option<NamedValue> {
    NoteValue::ALL.into_iter().find_map(|value| {
        let (plain, name) = (value.ticks().0, value.name());
        let named = |name: String| Some(NamedValue { name: format!("{} {name}", article(&name)), three_in: None });
        if plain == length.0 {
            return named(name.to_owned());
        }
        if plain * 3 == length.0 * 2 {
            return named(format!("dotted {name}"));
        }
        // Three triplet whole notes would fill more than most bars.
        let doubled = NoteValue::ALL.into_iter().find(|double| double.ticks().0 == plain * 2)?;
        let three_in = Some(format!("{} {}", article(doubled.name()), doubled.name()));
        (plain * 2 == length.0 * 3)
            .then(|| NamedValue { three_in, ..NamedValue { name: format!("a triplet {name}"), three_in: None } })
    })
}

/// The most values that players name as one length: a half note and an eighth note.
const MOST_VALUES: usize = 3;

/// Returns the note value of this length, else the plain and dotted ones that make it up, longest first; empty where they are too many or
/// there are none.
pub(super) fn note_values(length: Ticks) -> Vec<NamedValue> {
    if let Some(value) = note_value(length) {
        return vec![value];
    }
    let mut lengths: Vec<u64> =
        NoteValue::ALL.into_iter().flat_map(|value| [value.ticks().0, value.ticks().0 * 3 / 2]).collect();
    lengths.sort_unstable_by_key(|ticks| std::cmp::Reverse(*ticks));
    let (mut left, mut values) = (length.0, Vec::new());
    while let Some(longest) = lengths.iter().copied().find(|ticks| *ticks <= left) {
        left -= longest;
        values.extend(note_value(Ticks(longest)));
    }
    if left > 0 || values.len() > MOST_VALUES { Vec::new() } else { values }
}

/// The most kinds of rests in a row that are said one by one.
const MOST_RESTS: usize = 4;

/// Says rests in their order: `an eighth rest and 2 quarter rests`, `2 triplet eighth rests`; `None` where they are too many to be said.
pub(super) fn rests_said(rests: &[Length]) -> Option<String> {
    let alike = rests.chunk_by(|one, other| one == other);
    let said = alike.map(|alike| {
        let rest = rest_said(*alike.first()?)?;
        let (_, name) = rest.split_once(' ')?;
        Some(if alike.len() == 1 { rest } else { counted(alike.len(), name) })
    });
    let said = said.collect::<Option<Vec<String>>>()?;
    (1..=MOST_RESTS).contains(&said.len()).then(|| listed(&said))
}

/// Says one rest: `an eighth rest`, `a triplet eighth rest`.
fn rest_said(rest: Length) -> Option<String> {
    let Some(tuplet) = rest.tuplet() else { return Some(note_value(rest.ticks())?.rest()) };
    let plain = note_value(Length::new(rest.value(), rest.dots(), None)?.ticks())?.rest();
    let (_, name) = plain.split_once(' ')?;
    let word = tuplet_word(tuplet).replace(' ', "-");
    Some(format!("a {word} {name}"))
}

/// Returns what players call a tuplet: `triplet`, `group of 9`.
pub(super) fn tuplet_word(tuplet: Tuplet) -> String {
    match tuplet.actual {
        2 => "duplet".to_owned(),
        3 => "triplet".to_owned(),
        4 => "quadruplet".to_owned(),
        5 => "quintuplet".to_owned(),
        6 => "sextuplet".to_owned(),
        7 => "septuplet".to_owned(),
        actual => format!("group of {actual}"),
    }
}

impl NamedValue {
    /// Says it as a note: `an eighth note`, `a triplet eighth`.
    pub(super) fn note(&self) -> String {
        if self.three_in.is_some() || self.name.ends_with(" note") {
            self.name.clone()
        } else {
            format!("{} note", self.name)
        }
    }

    /// Says it as a rest: `an eighth rest`.
    pub(super) fn rest(&self) -> String {
        format!("{} rest", self.name.strip_suffix(" note").unwrap_or(&self.name))
    }

    /// Says what one of a triplet is part of: ` (of three in a quarter)`; else empty.
    pub(super) fn aside(&self) -> String {
        self.three_in.as_ref().map_or_else(String::new, |value| format!(" (of three in {value})"))
    }
}

fn article(word: &str) -> &'static str {
    if word.starts_with('e') { "an" } else { "a" }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_said_as_players_say_them() {
        for (text, words) in [
            ("1/8", "an eighth note"),
            ("1/4.", "a dotted quarter note"),
            ("1/1", "a whole note"),
            ("1/8 3:2", "a triplet eighth (of three in a quarter)"),
            ("1/2 3:2", "a triplet half (of three in a whole note)"),
        ] {
            let length: crate::lesson::time::Length = text.parse().unwrap();
            let named = note_value(length.ticks()).unwrap();
            assert_eq!(format!("{}{}", named.note(), named.aside()), words, "{text}");
        }
        for text in ["1/4..", "1/1 3:2", "1/8 5:4"] {
            let length: crate::lesson::time::Length = text.parse().unwrap();
            assert!(note_value(length.ticks()).is_none(), "{text}");
        }
        assert_eq!(note_value(NoteValue::Whole.ticks()).unwrap().rest(), "a whole rest");
    }

    #[test]
    fn odd_lengths_are_said_as_several_values() {
        let said = |sixteenths: u64| {
            let values = note_values(Ticks(NoteValue::Sixteenth.ticks().0 * sixteenths));
            listed(&values.iter().map(NamedValue::note).collect::<Vec<_>>())
        };
        assert_eq!(
            [said(6), said(5), said(10), said(15)],
            [
                "a dotted quarter note",
                "a quarter note and a sixteenth note",
                "a half note and an eighth note",
                "a dotted half note and a dotted eighth note"
            ]
        );
        assert!(note_values("1/8 5:4".parse::<crate::lesson::time::Length>().unwrap().ticks()).is_empty());
    }

    #[test]
    fn beats_are_those_of_the_meter() {
        let said = |meter: &str, sixteenths: u64| {
            beats(Ticks(NoteValue::Sixteenth.ticks().0 * sixteenths), meter.parse().unwrap())
        };
        assert_eq!([said("4/4", 6), said("3/2", 8), said("5/8", 1)], ["1 1/2 beats", "1 beat", "half a beat"]);
        assert_eq!(
            [said("4/4", 1), said("4/4", 3), said("2/2", 6)],
            ["a quarter of a beat", "three quarters of a beat", "three quarters of a beat"]
        );
        assert_eq!(said("6/8", 1), "half an eighth");
        assert_eq!(beats(Ticks(Ticks::WHOLE.0 / 6), Meter::COMMON), "two thirds of a beat");
        assert_eq!(beats(Ticks(Ticks::WHOLE.0 / 20), Meter::COMMON), "1/5 of a beat");
        assert_eq!([said("6/8", 10), said("9/8", 3), said("4/4", 0)], ["5 eighths", "1 1/2 eighths", "0 beats"]);
        assert_eq!(beats(Ticks(Ticks::WHOLE.0 * 2 / 3), Meter::COMMON), "2 2/3 beats");
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
