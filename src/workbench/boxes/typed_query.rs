//! What is typed to find an action: in the words that were typed, and in those that the program may write for them.

use crate::workbench::boxes::other_words::{other_words, same_word};

/// What is typed, ready to be compared.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct TypedQuery {
    /// The words as typed come first.
    wordings: Vec<Wording>,
}

/// One way to say what is typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Wording {
    /// Its words.
    pub(super) words: Vec<String>,
    /// How many other words stand in it in the place of typed ones.
    pub(super) replaced: usize,
}

/// How many things or verbs of what is typed are said in other words.
const MOST_REPLACED: usize = 2;
/// How many letters of a word in the making tell which one it is.
const TELLING: usize = 3;

impl TypedQuery {
    /// Reads what is typed.
    pub(super) fn of(typed: &str) -> Self {
        // A comma alone is a key.
        let bare = |word: &str| word.strip_suffix(',').filter(|bare| !bare.is_empty()).unwrap_or(word).to_owned();
        let words: Vec<String> = apart(&plain(typed)).split_whitespace().map(bare).collect();
        let mut query = Self { wordings: vec![Wording { words, replaced: 0 }] };
        let others = other_words();
        for replaced in 1..=MOST_REPLACED {
            let before: Vec<Wording> =
                query.wordings.iter().filter(|wording| wording.replaced + 1 == replaced).cloned().collect();
            for wording in before {
                for other in &others {
                    query.wordings.extend(wording.with(other.called, other.written, &query.wordings));
                }
            }
        }
        query
    }

    /// Returns the words as typed.
    pub(super) fn typed(&self) -> &[String] {
        self.wordings.first().map_or(&[], |wording| &wording.words)
    }

    /// Returns every way to say it, the typed one first.
    pub(super) fn wordings(&self) -> &[Wording] {
        &self.wordings
    }
}

impl Wording {
    /// Returns the words in one line.
    pub(super) fn together(&self) -> String {
        self.words.join(" ")
    }

    /// Returns this with `written` in the place of `called`; `None` where that is not in it, or what comes of it is known.
    fn with(&self, called: &str, written: &str, known: &[Self]) -> Option<Self> {
        let called: Vec<String> = apart(called).split(' ').map(str::to_owned).collect();
        let begins = |typed: &[String]| {
            typed.iter().zip(&called).enumerate().all(|(place, (typed, called))| {
                let in_the_making = place + 1 == self.words.len() && typed.len() >= TELLING;
                same_word(typed, called) || (in_the_making && called.starts_with(typed.as_str()))
            })
        };
        let at = self.words.windows(called.len()).position(begins)?;
        let written = apart(written);
        let (before, rest) = self.words.split_at_checked(at)?;
        let after = rest.get(called.len()..)?;
        let words: Vec<String> = before
            .iter()
            .map(String::as_str)
            .chain(written.split(' '))
            .chain(after.iter().map(String::as_str))
            .map(str::to_owned)
            .collect();
        let is_new = known.iter().all(|known| known.words != words);
        is_new.then_some(Self { words, replaced: self.replaced + 1 })
    }
}

/// Returns `text` as it is compared.
pub(super) fn plain(text: &str) -> String {
    text.to_lowercase()
}

/// Returns `query` with compounds taken apart: `count-in` is looked for as two words, while the key `-` stays a key.
pub(super) fn apart(query: &str) -> String {
    let letters: Vec<char> = query.chars().collect();
    let within = |place: usize| {
        let beside =
            |other: Option<usize>| other.and_then(|other| letters.get(other)).is_some_and(|l| l.is_alphanumeric());
        beside(place.checked_sub(1)) && beside(place.checked_add(1))
    };
    letters
        .iter()
        .enumerate()
        .map(|(place, letter)| if *letter == '-' && within(place) { ' ' } else { *letter })
        .collect()
}
