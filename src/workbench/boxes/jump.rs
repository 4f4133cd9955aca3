//! Letters typed over a list: they jump to the line that they begin, as its words, its initials or some word of it do.

use crate::workbench::boxes::other_words::{OtherWord, WordSort, other_words};

/// The letters that were typed so far; a key that moves the selection forgets them.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Jump {
    /// What is typed and fits a line, with the spaces between its words.
    letters: String,
    /// Whether any letter was typed, also one that fits no line.
    is_typing: bool,
}

/// What a typed character comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Jumped {
    /// The line with this number, from 0, fits best.
    To(usize),
    /// The character belongs to what is typed and changes nothing: a space, a comma.
    Stayed,
    /// No line fits it.
    Nowhere,
}

/// What a line says behind its name while what it names is on.
pub const ON: &str = ", on: turns it off";

/// What a line says behind its name where, of several, it is the one that holds now.
pub const ON_NOW: &str = " (on now)";

/// How many letters of a verb are typed before another one is tried for it; a list is seldom one of verbs.
const TELLING: usize = 3;

impl Jump {
    /// Returns what is typed, as it is shown beside the title.
    pub fn letters(&self) -> &str {
        &self.letters
    }

    /// Returns a title with the letters that were typed, beside which they are shown.
    pub fn beside(&self, title: &str) -> String {
        if self.letters.is_empty() { title.to_owned() } else { format!("{title}: {}", self.letters) }
    }

    /// Returns whether letters are being typed, so that a space belongs to them.
    pub const fn is_typing(&self) -> bool {
        self.is_typing
    }

    /// Forgets what was typed.
    pub fn forget(&mut self) {
        self.letters.clear();
        self.is_typing = false;
    }

    /// Adds a character and returns where that leads.
    ///
    /// Where no line fits all of one typed word, the letter begins anew; a second word only narrows the first one down.
    pub fn add<'a>(&mut self, sign: char, lines: impl Iterator<Item = &'a str> + Clone) -> Jumped {
        if !sign.is_alphanumeric() {
            if sign == ' ' && !self.letters.is_empty() && !self.letters.ends_with(' ') {
                self.letters.push(' ');
            }
            return if self.is_typing { Jumped::Stayed } else { Jumped::Nowhere };
        }
        self.is_typing = true;
        let more: String = self.letters.chars().chain(sign.to_lowercase()).collect();
        if let Some(line) = nearest(&more, lines.clone()) {
            self.letters = more;
            return Jumped::To(line);
        }
        if self.letters.contains(' ') {
            return Jumped::Nowhere;
        }
        self.letters = sign.to_lowercase().collect();
        let line = nearest(&self.letters, lines);
        if line.is_none() {
            self.letters.clear();
        }
        line.map_or(Jumped::Nowhere, Jumped::To)
    }
}

/// Returns the line that fits best; of two that fit alike the one of which more is typed, then the upper one. What a line says of how
/// things stand counts for nothing, so that the same letters always lead to the same line.
fn nearest<'a>(typed: &str, lines: impl Iterator<Item = &'a str>) -> Option<usize> {
    let letters: String = typed.chars().filter(|sign| sign.is_alphanumeric()).collect();
    let others = in_other_words(&letters);
    let ranked = lines.enumerate().filter_map(|(number, line)| {
        let line = without_state(line).to_lowercase();
        let by_another_name = || others.iter().any(|other| fit(&line, other).is_some()).then_some(3);
        Some((fit(&line, &letters).or_else(by_another_name)?, length_of_name(&line), number))
    });
    ranked.min().map(|(_, _, number)| number)
}

/// Returns a line without what it says of being on.
fn without_state(line: &str) -> &str {
    [ON, ON_NOW].into_iter().find_map(|state| line.strip_suffix(state)).unwrap_or(line)
}

/// Returns the length of a line in characters without the value that it names behind a colon; a question is longer than what acts at
/// once.
fn length_of_name(line: &str) -> usize {
    let dots = if line.ends_with("...") { 3 } else { 0 };
    let name = line.split_once(": ").map_or_else(|| line.trim_end_matches('.'), |(name, _)| name);
    name.chars().count() + dots
}

/// Returns what the lists write for letters that begin what players also call it, or go on after it.
fn in_other_words(letters: &str) -> Vec<String> {
    let joined = |text: &str| text.chars().filter(|sign| sign.is_alphanumeric()).collect::<String>();
    let tells = |sort| match sort {
        WordSort::Thing => true,
        WordSort::Verb => letters.len() >= TELLING,
    };
    let other = |OtherWord { called, written, .. }: OtherWord| {
        let (called, written) = (joined(called), joined(written));
        match letters.strip_prefix(called.as_str()) {
            Some(rest) => Some(format!("{written}{rest}")),
            None => called.starts_with(letters).then_some(written),
        }
    };
    other_words().into_iter().filter(|word| tells(word.sort)).filter_map(other).collect()
}

/// Returns how well letters fit a line, 0 being best; `None` where they do not.
fn fit(line: &str, letters: &str) -> Option<u8> {
    let words: Vec<&str> = line.split(|sign: char| !sign.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    let initials: String = words.iter().filter_map(|word| word.chars().next()).collect();
    let begin_at = |word: usize| words.iter().skip(word).copied().collect::<String>().starts_with(letters);
    if begin_at(0) {
        Some(0)
    } else if letters.chars().nth(1).is_some() && initials.starts_with(letters) {
        Some(1)
    } else if (1..words.len()).any(begin_at) {
        Some(2)
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(letters: &str, lines: &[&str]) -> (Option<usize>, String) {
        let mut jump = Jump::default();
        let mut found = None;
        for letter in letters.chars() {
            found = match jump.add(letter, lines.iter().copied()) {
                Jumped::To(line) => Some(line),
                Jumped::Stayed | Jumped::Nowhere => None,
            };
        }
        (found, jump.letters)
    }

    #[test]
    fn the_beginning_comes_before_initials_and_these_before_another_word() {
        let lines = ["muted", "trill to fret 7", "tapped harmonic", "thumb", "let ring to the end"];
        assert_eq!(typed("t", &lines), (Some(3), "t".into()), "the shortest that begins so");
        assert_eq!(typed("tr", &lines).0, Some(1));
        assert_eq!(typed("th", &lines).0, Some(3));
        assert_eq!(typed("lr", &lines).0, Some(4), "initials");
        assert_eq!(typed("fretz", &lines), (None, String::new()), "what fits nothing is forgotten");
        assert_eq!(typed("TRILLTO", &lines).0, Some(1), "spaces need not be typed");
        assert_eq!(typed("end", &lines).0, Some(4), "another word");
    }

    #[test]
    fn a_letter_that_fits_no_further_begins_anew() {
        let lines = ["bend", "slide"];
        assert_eq!(typed("bs", &lines), (Some(1), "s".into()));
        assert_eq!(typed("b-", &lines), (None, "b".into()), "only letters and figures are taken");
    }

    #[test]
    fn letters_lead_to_the_same_line_whatever_is_on() {
        let line =
            |starts: &str, ends: &str| [format!("repeat starts here{starts}"), format!("repeat ends here{ends}...")];
        for lines in [line("", ""), line(ON, ""), line("", ": 3 times"), line(ON, ": 16 times")] {
            let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
            assert_eq!(typed("rep", &lines).0, Some(0), "{lines:?}");
            assert_eq!(typed("repeat e", &lines).0, Some(1), "{lines:?}");
        }
        let feel = |one: &str, other: &str| [format!("straight{one}"), format!("swung{other}")];
        for lines in [feel(ON_NOW, ""), feel("", ON_NOW)] {
            let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
            assert_eq!(typed("s", &lines).0, Some(1), "{lines:?}");
            assert_eq!(typed("on", &lines).0, None, "{lines:?}");
        }
    }

    #[test]
    fn a_space_belongs_to_what_is_typed_and_a_second_word_never_begins_anew() {
        let lines = ["drop D", "another tuning or capo...", "palm mute", "open G"];
        assert_eq!(typed("palm mu", &lines), (Some(2), "palm mu".into()));
        assert_eq!(typed("tuning or", &lines).0, Some(1), "from another word on");
        assert_eq!(typed("drop D, capo 2", &lines), (None, "drop d ".into()), "no other line is gone to");
        let mut jump = Jump::default();
        assert_eq!(jump.add(' ', lines.iter().copied()), Jumped::Nowhere, "nothing is typed yet");
        jump.add('z', lines.iter().copied());
        assert_eq!(jump.add(' ', lines.iter().copied()), Jumped::Stayed, "also after what fits nothing");
        jump.forget();
        assert_eq!(jump.add(' ', lines.iter().copied()), Jumped::Nowhere);
    }

    #[test]
    fn a_line_is_found_by_what_players_also_call_it() {
        let lines = ["hammer-on", "tremolo-bar dip...", "tremolo-bar dive...", "pick stroke down"];
        let bar = |word: &OtherWord| word.written == "tremolo bar" && !word.called.contains(' ');
        let called = other_words().into_iter().find(bar).unwrap().called;
        assert_eq!(typed(called, &lines).0, Some(1));
        assert_eq!(typed(&format!("{called} bar"), &lines).0, Some(1));
        assert_eq!(typed(&format!("{called} dive"), &lines).0, Some(2));
        assert_eq!(typed("strum", &lines).0, Some(3));
    }
}
