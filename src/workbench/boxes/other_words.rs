//! What players type in other words than the program writes: names of the trade, verbs that ask for the same, and forms of a word.
//!
//! The list is data (`assets/also_called.txt`); the forms of a word follow rules.

/// What is typed, and what the program writes for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct OtherWord {
    /// What players say.
    pub(super) called: &'static str,
    /// What the program writes.
    pub(super) written: &'static str,
    /// Whether it is a thing or what is done with one.
    pub(super) sort: WordSort,
}

/// What a word stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum WordSort {
    /// A thing of the trade.
    Thing,
    /// What is done with it.
    Verb,
}

/// The list that is compiled in.
const ALSO_CALLED: &str = include_str!("../../../assets/also_called.txt");

/// Returns every pair of the list: a thing with how it is written, and each verb with each other one of its class.
pub(super) fn other_words() -> Vec<OtherWord> {
    let mut all = Vec::new();
    for line in ALSO_CALLED.lines().filter(|line| !line.starts_with('#')) {
        if let Some((called, written)) = line.split_once(" = ") {
            all.push(OtherWord { called, written, sort: WordSort::Thing });
        }
        for called in line.split(" / ").filter(|_| line.contains(" / ")) {
            let others = line.split(" / ").filter(|other| *other != called);
            all.extend(others.map(|written| OtherWord { called, written, sort: WordSort::Verb }));
        }
    }
    all
}

/// Returns whether two words are forms of one: singular and plural, or the forms in -ing and -ed (common practice).
pub(super) fn same_word(one: &str, other: &str) -> bool {
    // A form lacks at most five letters of its word (`taggings`, `tag`), and all but its last stand at the head of it. So most words differ
    // too early for their forms to be one, and need no list of them.
    let alike = one.chars().zip(other.chars()).take_while(|(one, other)| one == other).count();
    let longest = one.chars().count().max(other.chars().count());
    one == other || (alike > 0 && alike + 6 >= longest && forms(one).iter().any(|form| forms(other).contains(form)))
}

/// Returns a word and what it may be a form of. Not all of them are words: `tapping` may come from `tapp`, `tap` or `tappe`.
fn forms(word: &str) -> Vec<String> {
    let mut forms = vec![word.to_owned()];
    let singular = match word {
        _ if word.ends_with("ss") => None,
        _ if word.ends_with("ies") && word.len() > 4 => word.strip_suffix("ies").map(|root| format!("{root}y")),
        _ if ["ses", "xes", "zes", "ches", "shes"].iter().any(|end| word.ends_with(end)) => {
            forms.extend(word.strip_suffix('s').map(str::to_owned));
            word.strip_suffix("es").map(str::to_owned)
        }
        _ => word.strip_suffix('s').map(str::to_owned),
    };
    forms.extend(singular.filter(|singular| is_root(singular)));
    for form in forms.clone() {
        for root in ["ing", "ed"].iter().filter_map(|end| form.strip_suffix(end)).filter(|root| is_root(root)) {
            forms.extend([root.to_owned(), format!("{root}e")]);
            let mut letters = root.chars().rev();
            if let (Some(last), true) = (letters.next(), letters.next() == root.chars().next_back()) {
                forms.extend(root.strip_suffix(last).map(str::to_owned));
            }
        }
    }
    forms
}

/// Returns whether letters can be a word of their own: at least two, and a vowel among them.
fn is_root(letters: &str) -> bool {
    letters.chars().nth(1).is_some() && letters.contains(['a', 'e', 'i', 'o', 'u', 'y'])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plurals_and_forms_of_a_word_are_that_word_and_others_are_not() {
        for (one, other) in [
            ("segments", "segment"),
            ("libraries", "library"),
            ("pitches", "pitch"),
            ("pieces", "piece"),
            ("choruses", "chorus"),
            ("tapped", "tap"),
            ("tapping", "tap"),
            ("tapped", "tapping"),
            ("muted", "mute"),
            ("tunings", "tuning"),
            ("pulled", "pull"),
            ("rolling", "rolled"),
            ("tied", "tie"),
            ("strumming", "strum"),
            ("strummings", "strum"),
            ("strummings", "strummed"),
            ("re-recordings", "re-recorded"),
        ] {
            assert!(same_word(one, other) && same_word(other, one), "{one}, {other}");
        }
        for (one, other) in [("bass", "bas"), ("note", "not"), ("string", "str"), ("ring", "r"), ("barre", "bar")] {
            assert!(!same_word(one, other) && !same_word(other, one), "{one}, {other}");
        }
    }

    #[test]
    fn each_verb_of_a_class_stands_for_the_others() {
        let pairs = other_words();
        let stands = |called, written| pairs.contains(&OtherWord { called, written, sort: WordSort::Verb });
        assert!(stands("remove", "delete") && stands("delete", "erase") && stands("clone", "copy"));
        assert!(!stands("delete", "delete") && !stands("new", "delete"));
        assert!(pairs.iter().any(|pair| (pair.called, pair.written) == ("strum", "pick stroke")));
    }
}
