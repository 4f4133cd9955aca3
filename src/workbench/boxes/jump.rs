//! Letters typed over a list: they jump to the line that they begin, as its words, its initials or some word of it do.

/// The letters that were typed so far; a key that moves the selection forgets them.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Jump {
    letters: String,
}

impl Jump {
    /// Returns what is typed, as it is shown beside the title.
    pub fn letters(&self) -> &str {
        &self.letters
    }

    /// Forgets what was typed.
    pub fn forget(&mut self) {
        self.letters.clear();
    }

    /// Adds a letter and returns the number, from 0, of the line that fits best.
    ///
    /// Where no line fits all that is typed, the letter begins anew; `None` where no line fits it alone either. Then
    /// nothing is typed.
    pub fn add<'a>(&mut self, letter: char, lines: impl Iterator<Item = &'a str> + Clone) -> Option<usize> {
        if !letter.is_alphanumeric() {
            return None;
        }
        self.letters.extend(letter.to_lowercase());
        if let Some(line) = nearest(&self.letters, lines.clone()) {
            return Some(line);
        }
        self.letters = letter.to_lowercase().collect();
        let line = nearest(&self.letters, lines);
        if line.is_none() {
            self.forget();
        }
        line
    }
}

/// Returns the line that fits best; of two that fit alike the one of which more is typed, then the upper one.
fn nearest<'a>(letters: &str, lines: impl Iterator<Item = &'a str>) -> Option<usize> {
    let ranked = lines.enumerate().filter_map(|(number, line)| {
        let line = line.to_lowercase();
        Some((fit(&line, letters)?, line.chars().count(), number))
    });
    ranked.min().map(|(_, _, number)| number)
}

/// Returns how well letters fit a line, 0 being best; `None` where they do not.
fn fit(line: &str, letters: &str) -> Option<u8> {
    let words = || line.split(|sign: char| !sign.is_alphanumeric()).filter(|word| !word.is_empty());
    let initials: String = words().filter_map(|word| word.chars().next()).collect();
    let together: String = words().collect();
    if together.starts_with(letters) {
        Some(0)
    } else if letters.chars().nth(1).is_some() && initials.starts_with(letters) {
        Some(1)
    } else if words().any(|word| word.starts_with(letters)) {
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
            found = jump.add(letter, lines.iter().copied());
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
}
