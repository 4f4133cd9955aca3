//! How long a note is, as a player says it: `half`, `dotted eighth`, `triplet eighths`, `q.`; or as the file writes it, `1/8. 3:2`.

use crate::lesson::time::{Length, NoteValue, Tuplet};
use crate::workbench::panes::passage::typed_answers::read;

/// The words for each length: those of America, those of Britain, and the letter of the rhythm row.
const VALUES: [(NoteValue, &[&str]); 7] = [
    (NoteValue::Whole, &["whole", "semibreve", "w", "1/1"]),
    (NoteValue::Half, &["half", "minim", "h"]),
    (NoteValue::Quarter, &["quarter", "crotchet", "q", "4th"]),
    (NoteValue::Eighth, &["eighth", "quaver", "e", "8th"]),
    (NoteValue::Sixteenth, &["sixteenth", "semiquaver", "s", "16th"]),
    (NoteValue::ThirtySecond, &["thirty second", "demisemiquaver", "t", "32nd"]),
    (NoteValue::SixtyFourth, &["sixty fourth", "hemidemisemiquaver", "f", "64th"]),
];

/// The words for tuplets of so many in the time of so many (common practice).
const TUPLETS: [(Tuplet, &str); 4] = [
    (Tuplet { actual: 3, normal: 2 }, "triplet"),
    (Tuplet { actual: 5, normal: 4 }, "quintuplet"),
    (Tuplet { actual: 6, normal: 4 }, "sextuplet"),
    (Tuplet { actual: 7, normal: 4 }, "septuplet"),
];

/// Reads a length. Errors: in words, what was expected.
pub(super) fn length(text: &str) -> Result<Length, String> {
    in_words(text).map_or_else(
        || read(text).map_err(|error: String| format!("{error}; or `dotted eighth`, `q.`, `triplet eighths`")),
        Ok,
    )
}

/// Reads a length that is said in words, or with a number as in `1/8 triplet`; `None` where it is not.
fn in_words(text: &str) -> Option<Length> {
    let text = text.to_lowercase().replace('-', " ");
    let mut words: Vec<&str> =
        text.split_whitespace().filter(|word| !["a", "note", "notes", "rest"].contains(word)).collect();
    let dots = take_dots(&mut words);
    let tuplet = TUPLETS.iter().find(|(_, name)| take_one(&mut words, |word| is_name(word, name)));
    let tuplet = tuplet.map(|(tuplet, _)| *tuplet);
    let rest = words.join(" ");
    let bare = rest.trim_end_matches('.');
    let more = u8::try_from(rest.len() - bare.len()).ok()?;
    let value = VALUES.iter().find(|(_, names)| names.iter().any(|name| is_name(bare, name))).map(|(value, _)| *value);
    let value = value.or_else(|| bare.strip_prefix("1/")?.parse().ok().and_then(NoteValue::from_denominator))?;
    Length::new(value, dots.checked_add(more)?, tuplet)
}

/// Takes the words for dots out.
fn take_dots(words: &mut Vec<&str>) -> u8 {
    let double = take_one(words, |word| ["double", "doubly", "twice"].contains(&word));
    match (take_one(words, |word| word == "dotted"), double) {
        (true, true) => 2,
        (true, false) => 1,
        (false, _) => 0,
    }
}

/// Takes the first word that fits out; returns whether there is one.
fn take_one(words: &mut Vec<&str>, fits: impl Fn(&str) -> bool) -> bool {
    let place = words.iter().position(|word| fits(word));
    place.map(|place| words.remove(place)).is_some()
}

/// Returns whether a word is a name, or more than one of what it names.
fn is_name(word: &str, name: &str) -> bool {
    word == name || (name.len() > 1 && word.strip_suffix('s') == Some(name)) || (name == "half" && word == "halves")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_length_is_read_as_players_say_it() {
        for (text, written) in [
            ("half", "1/2"),
            ("Quarter note", "1/4"),
            ("a whole note", "1/1"),
            ("dotted eighth", "1/8."),
            ("dotted-half", "1/2."),
            ("double dotted quarter", "1/4.."),
            ("q.", "1/4."),
            ("q", "1/4"),
            ("s", "1/16"),
            ("triplet eighths", "1/8 3:2"),
            ("eighth triplet", "1/8 3:2"),
            ("quarter-note triplets", "1/4 3:2"),
            ("quintuplet sixteenths", "1/16 5:4"),
            ("1/8 triplet", "1/8 3:2"),
            ("dotted 1/4", "1/4."),
            ("16ths", "1/16"),
            ("8th", "1/8"),
            ("thirty-second", "1/32"),
            ("crotchet", "1/4"),
            ("dotted quaver", "1/8."),
            ("halves", "1/2"),
            ("1/8 3:2", "1/8 3:2"),
            ("1/4..", "1/4.."),
        ] {
            assert_eq!(length(text).map(|length| length.to_string()), Ok(written.to_owned()), "{text}");
        }
        for text in ["", "dotted", "loud", "quarter half", "triplet", "q...", "1/3"] {
            assert!(length(text).is_err(), "{text}");
        }
        assert!(length("loud").unwrap_err().contains("dotted eighth"));
    }

    #[test]
    fn every_length_has_the_letter_of_the_rhythm_row_and_the_name_of_its_value() {
        for value in NoteValue::ALL {
            assert_eq!(length(value.name()), Ok(Length::plain(value)), "{value:?}");
        }
        for (letter, value) in "whqestf".chars().zip(NoteValue::ALL) {
            assert_eq!(length(&letter.to_string()), Ok(Length::plain(value)), "{letter}");
        }
    }
}
