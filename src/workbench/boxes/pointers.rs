//! What players look for and no key does: which command does it, or what comes near. The words are data (`assets/pointers.txt`).

use crate::workbench::boxes::other_words::same_word;
use crate::workbench::boxes::typed_query::{TypedQuery, apart};
use crate::workbench::keys::action::Pane;
use crate::workbench::keys::table::KeyTable;

/// The list that is compiled in.
const POINTERS: &str = include_str!("../../../assets/pointers.txt");

/// How many letters of a word in the making tell which one it is.
const TELLING: usize = 4;

/// A sentence for whoever looks for something that no key does.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Pointer {
    /// What may be typed, each as its words.
    called: Vec<Vec<String>>,
    /// What is said.
    said: String,
}

/// Returns every pointer, with the keys of the person as they are struck at `here`.
pub(super) fn pointers(keys: &KeyTable, here: Pane) -> Vec<Pointer> {
    let words = |called: &str| apart(called).split_whitespace().map(str::to_owned).collect();
    let pointer = |(called, said): (&str, &str)| Pointer {
        called: called.split(", ").map(words).collect(),
        said: keys.name_keys_at(here, said),
    };
    POINTERS
        .lines()
        .filter(|line| !line.starts_with('#'))
        .filter_map(|line| line.split_once(" = "))
        .map(pointer)
        .collect()
}

/// Returns what is said to whoever types this; `None` where nothing points anywhere.
pub(super) fn pointed<'a>(pointers: &'a [Pointer], query: &TypedQuery) -> Option<&'a str> {
    pointers.iter().find(|pointer| pointer.answers(query.typed())).map(|pointer| pointer.said.as_str())
}

impl Pointer {
    /// Returns whether something that it is called stands in `typed`; of its last word, the beginning is enough.
    fn answers(&self, typed: &[String]) -> bool {
        let fits = |(typed, called): (&String, &String)| {
            same_word(typed, called) || (typed.chars().count() >= TELLING && called.starts_with(typed.as_str()))
        };
        let stands = |called: &Vec<String>| {
            !called.is_empty() && typed.windows(called.len()).any(|typed| typed.iter().zip(called).all(fits))
        };
        self.called.iter().any(stands)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(typed: &str) -> Option<String> {
        let pointers = pointers(&KeyTable::built_in(), Pane::Passage);
        pointed(&pointers, &TypedQuery::of(typed)).map(str::to_owned)
    }

    #[test]
    fn a_word_its_forms_and_its_beginning_point_to_the_same() {
        for typed in ["subtitle", "subtitles", "subt", "add subtitles", "SRT"] {
            assert!(said(typed).is_some_and(|said| said.contains("fingerpost chapters")), "{typed}");
        }
        // The first line that answers is shown: an export of MIDI is about MIDI.
        assert!(said("export midi").is_some_and(|said| said.contains("fingerpost place")));
        for typed in ["", "sub", "vibrato", "lesson", "delete"] {
            assert_eq!(said(typed), None, "{typed}");
        }
    }

    #[test]
    fn every_line_is_read_and_none_names_a_key_that_is_not_there() {
        let lines = POINTERS.lines().filter(|line| !line.starts_with('#')).count();
        let all = pointers(&KeyTable::built_in(), Pane::Passage);
        assert_eq!(all.len(), lines);
        for pointer in all {
            assert!(!pointer.said.contains(['{', '}']), "{}", pointer.said);
        }
    }
}
