//! The words chord symbols are made of, whatever signs they are written with.

/// One word after the root of a chord symbol.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Word {
    Major,
    Minor,
    Diminished,
    HalfDiminished,
    Augmented,
    Suspended,
    Add,
    No,
    Altered,
    /// A degree in the major scale or, after a major or minor word, an extension.
    Number(u8),
    /// A degree with its accidental: `b9`, `#11`, `-5`.
    Sign(i8, u8),
}

/// A word with where it ends, and whether a bracket, comma or slash stands right before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct PlacedWord {
    pub(super) word: Word,
    pub(super) end: usize,
    pub(super) apart: bool,
}

/// Words as they are written; the longest that fits is read.
const SPELLINGS: [(&str, Word); 37] = [
    ("major", Word::Major),
    ("Major", Word::Major),
    ("maj", Word::Major),
    ("Maj", Word::Major),
    ("MAJ", Word::Major),
    ("ma", Word::Major),
    ("Ma", Word::Major),
    ("MA", Word::Major),
    ("M", Word::Major),
    ("minor", Word::Minor),
    ("Minor", Word::Minor),
    ("min", Word::Minor),
    ("Min", Word::Minor),
    ("MIN", Word::Minor),
    ("mi", Word::Minor),
    ("Mi", Word::Minor),
    ("MI", Word::Minor),
    ("m", Word::Minor),
    ("dim", Word::Diminished),
    ("Dim", Word::Diminished),
    ("°", Word::Diminished),
    ("º", Word::Diminished),
    ("omit", Word::No),
    ("o", Word::Diminished),
    ("ø", Word::HalfDiminished),
    ("Ø", Word::HalfDiminished),
    ("aug", Word::Augmented),
    ("Aug", Word::Augmented),
    ("sus", Word::Suspended),
    ("Sus", Word::Suspended),
    ("add", Word::Add),
    ("Add", Word::Add),
    ("ADD", Word::Add),
    ("no", Word::No),
    ("No", Word::No),
    ("alt", Word::Altered),
    ("Alt", Word::Altered),
];

/// Numbers as they are written; `69` and `24` are two degrees side by side.
const NUMBERS: [(&str, &[u8]); 11] = [
    ("13", &[13]),
    ("11", &[11]),
    ("69", &[6, 9]),
    ("24", &[2, 4]),
    ("2", &[2]),
    ("3", &[3]),
    ("4", &[4]),
    ("5", &[5]),
    ("6", &[6]),
    ("7", &[7]),
    ("9", &[9]),
];

/// Returns the words of a whole suffix; `None` when part of it is no word.
pub(super) fn words(suffix: &str) -> Option<Vec<Word>> {
    let (placed, end) = split(suffix);
    (end == suffix.len()).then(|| placed.into_iter().map(|placed| placed.word).collect())
}

/// Splits words off the front of `text` until something is no word.
///
/// Returns the words and where the readable part ends.
pub(super) fn split(text: &str) -> (Vec<PlacedWord>, usize) {
    let mut splitter = Splitter { text, at: 0, depth: 0, apart: false, words: Vec::new() };
    while splitter.step() {}
    (splitter.words, splitter.at)
}

struct Splitter<'a> {
    text: &'a str,
    at: usize,
    depth: usize,
    apart: bool,
    words: Vec<PlacedWord>,
}

impl<'a> Splitter<'a> {
    fn rest(&self) -> &'a str {
        self.text.get(self.at..).unwrap_or("")
    }

    fn last(&self) -> Option<Word> {
        self.words.last().map(|placed| placed.word)
    }

    fn push(&mut self, word: Word, length: usize) {
        self.at += length;
        self.words.push(PlacedWord { word, end: self.at, apart: self.apart });
        self.apart = false;
    }

    /// Reads one word or mark; false at the end or where nothing is readable.
    fn step(&mut self) -> bool {
        let rest = self.rest();
        let Some(first) = rest.chars().next() else { return false };
        let length = first.len_utf8();
        match first {
            '(' | '[' => {
                self.depth += 1;
                self.pass(length)
            }
            ')' | ']' => {
                self.depth = self.depth.saturating_sub(1);
                self.pass(length)
            }
            ',' | '/' => self.pass(length),
            _ if first.is_whitespace() => {
                self.at += length;
                true
            }
            'Δ' | '∆' | '△' | '▵' => self.triangle(length),
            'b' | '♭' | '#' | '♯' => self.sign(if matches!(first, 'b' | '♭') { -1 } else { 1 }, length),
            '+' => self.sign(1, length) || self.alone(Word::Augmented, length),
            '-' | '−' | '–' => self.minus(length),
            _ if first.is_ascii_digit() => self.number(),
            _ => self.spelled(),
        }
    }

    fn pass(&mut self, length: usize) -> bool {
        self.at += length;
        self.apart = true;
        true
    }

    fn alone(&mut self, word: Word, length: usize) -> bool {
        self.push(word, length);
        true
    }

    /// Reads a triangle: it is a major seventh, whether the 7 is written or not.
    fn triangle(&mut self, length: usize) -> bool {
        self.push(Word::Major, length);
        if !starts_with_number(self.rest()) {
            self.push(Word::Number(7), 0);
        }
        true
    }

    /// Reads an accidental or a plus before a degree. A plus before a seventh or more at the very start
    /// is the word *augmented*: `+7`, but `+5`, `7+9`.
    fn sign(&mut self, alteration: i8, length: usize) -> bool {
        let rest = self.rest();
        let after = rest.get(length..).unwrap_or("");
        let Some((number, digits)) = single_number(after) else { return false };
        let plus = rest.starts_with('+');
        if plus && self.words.is_empty() && self.depth == 0 && number != 5 {
            return false;
        }
        self.push(Word::Sign(alteration, number), length + digits);
        true
    }

    /// Reads a minus: it is *minor* at the start and a flat before a degree anywhere else.
    fn minus(&mut self, length: usize) -> bool {
        if self.words.is_empty() && self.depth == 0 {
            self.push(Word::Minor, length);
            return true;
        }
        self.sign(-1, length)
    }

    fn number(&mut self) -> bool {
        let rest = self.rest();
        let Some((text, degrees)) = NUMBERS.iter().find(|(text, _)| rest.starts_with(text)) else { return false };
        // What follows a suspension is 2, 4 or both; a seventh after a bare `sus` suspends the fourth.
        if self.last() == Some(Word::Suspended) && !matches!(degrees.first(), Some(2 | 4)) {
            self.push(Word::Number(4), 0);
        }
        let before = self.last();
        // Two degrees side by side are written with one digit each.
        let length = text.len() / degrees.len().max(1);
        for degree in *degrees {
            self.push(Word::Number(*degree), length);
        }
        if matches!(before, Some(Word::No | Word::Add)) {
            let endings = ["rd", "th", "nd"];
            if let Some(ending) = endings.iter().find(|ending| self.rest().starts_with(**ending)) {
                self.at += ending.len();
                if let Some(last) = self.words.last_mut() {
                    last.end = self.at;
                }
            }
        }
        true
    }

    fn spelled(&mut self) -> bool {
        let rest = self.rest();
        // `dom7` says no more than `7`.
        if let Some(after) = rest.strip_prefix("dom") {
            self.at += "dom".len();
            if !starts_with_number(after) {
                self.push(Word::Number(7), 0);
            }
            return true;
        }
        // `madd9` is minor with a ninth added, not `ma` and something else.
        let fits = |spelling: &str| {
            rest.strip_prefix(spelling)
                .is_some_and(|after| !(spelling.eq_ignore_ascii_case("ma") && after.starts_with(['d', 'D'])))
        };
        let Some((spelling, word)) =
            SPELLINGS.iter().filter(|(spelling, _)| fits(spelling)).max_by_key(|(s, _)| s.len())
        else {
            return false;
        };
        self.push(*word, spelling.len());
        if *word == Word::Suspended && !starts_with_number(self.rest()) {
            self.push(Word::Number(4), 0);
        }
        true
    }
}

fn starts_with_number(text: &str) -> bool {
    text.trim_start_matches([' ', '(', '[']).starts_with(|first: char| first.is_ascii_digit())
}

/// Returns the one degree `text` begins with and how long it is written.
fn single_number(text: &str) -> Option<(u8, usize)> {
    NUMBERS
        .iter()
        .filter(|(_, degrees)| degrees.len() == 1)
        .find(|(written, _)| text.starts_with(written))
        .and_then(|(written, degrees)| Some((*degrees.first()?, written.len())))
}
