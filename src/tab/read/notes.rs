//! Reads the signs on a string; the counterpart of `passage::signs`.

use std::ops::Range;

use crate::instrument::neck::{Fret, StringNumber};
use crate::lesson::music::{BendAmount, Join, Note, Technique};

use super::lines::is_bar;

/// A note as it stands on a string.
#[derive(Debug, Clone)]
pub(super) struct Cell {
    /// The column of its first sign.
    pub(super) start: usize,
    /// The columns of its number.
    pub(super) core: Range<usize>,
    /// The note.
    pub(super) note: Note,
    /// The sign of its join; a space without one.
    pub(super) join_sign: char,
}

/// What was read from one string between two bar lines.
#[derive(Debug, Default)]
pub(super) struct Scan {
    /// The notes, from left to right.
    pub(super) cells: Vec<Cell>,
    /// What had to be guessed or left out.
    pub(super) problems: Vec<String>,
}

/// How digits that touch are taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Digits {
    /// Two of them are one fret where a neck has it.
    Together,
    /// Each is a note of its own.
    Apart,
}

/// Reads one string. `fill` is what the string is drawn with, beside dashes and spaces.
pub(super) fn scan(cells: &[char], range: Range<usize>, string: StringNumber, fill: char, digits: Digits) -> Scan {
    let end = range.end.min(cells.len());
    let signs = cells.get(..end).unwrap_or_default();
    let mut reader = Reader { signs, at: range.start, string, digits, fill, problems: Vec::new() };
    let mut scan = Scan::default();
    // Where the column of the note after `&` is that of the note before.
    let mut same: Option<usize> = None;
    while reader.at < end {
        let sign = reader.sign(0);
        if matches!(sign, '-' | ' ') || sign == fill || is_bar(sign) {
            reader.at += 1;
            continue;
        }
        let before = reader.at;
        match reader.note() {
            Some(mut cell) => {
                if let Some(start) = same {
                    cell.start = start;
                }
                same = (reader.sign(0) == '&').then_some(cell.start);
                reader.at += usize::from(same.is_some());
                scan.cells.push(cell);
            }
            None => {
                reader.at = before;
                reader.loose(&mut scan.cells);
            }
        }
    }
    scan.problems = reader.problems;
    scan
}

/// A place on a string.
struct Reader<'a> {
    signs: &'a [char],
    at: usize,
    string: StringNumber,
    digits: Digits,
    fill: char,
    problems: Vec<String>,
}

impl Reader<'_> {
    /// Returns the sign `ahead` columns further, a space past the end.
    fn sign(&self, ahead: usize) -> char {
        self.signs.get(self.at + ahead).copied().unwrap_or(' ')
    }

    /// Steps over `text` if it stands here.
    fn eat(&mut self, text: &str) -> bool {
        let here = text.chars().enumerate().all(|(ahead, sign)| self.sign(ahead) == sign);
        if here {
            self.at += text.len();
        }
        here
    }

    /// Steps over a number of at most two digits.
    fn number(&mut self) -> Option<u8> {
        let count = (0..2).take_while(|ahead| self.sign(*ahead).is_ascii_digit()).count();
        let text: String = (0..count).map(|ahead| self.sign(ahead)).collect();
        self.at += count;
        text.parse().ok()
    }

    /// Steps over a fret.
    fn fret(&mut self) -> Option<Fret> {
        let before = self.at;
        if self.digits == Digits::Apart && self.sign(0).is_ascii_digit() {
            let fret = self.sign(0).to_digit(10).and_then(|digit| u8::try_from(digit).ok()).and_then(Fret::new);
            self.at += 1;
            return fret;
        }
        if let Some(fret) = self.number().and_then(Fret::new) {
            return Some(fret);
        }
        // No neck has so many frets: two notes that touch.
        self.at = before;
        let digit = self.sign(0).to_digit(10).and_then(|digit| u8::try_from(digit).ok())?;
        self.at += 1;
        self.problems.push(format!("string {}: digits that make no fret were taken one by one", self.string));
        Fret::new(digit)
    }

    /// Reads a note with all its signs.
    fn note(&mut self) -> Option<Cell> {
        let start = self.at;
        let mut techniques = Vec::new();
        // More would not be a note, and looking on without end would take too long.
        for _ in 0..4 {
            match self.sign(0) {
                '/' if self.eat("//") || self.eat("/") => techniques.push(Technique::SlideInFromBelow),
                '\\' if self.eat("\\\\") || self.eat("\\") => techniques.push(Technique::SlideInFromAbove),
                't' | 'T' => {
                    self.at += 1;
                    techniques.push(Technique::Tap);
                }
                'h' | 'H' => {
                    self.at += 1;
                    techniques.push(Technique::FrettingHandTap);
                }
                _ => break,
            }
        }
        let (fret, core) = self.core(&mut techniques)?;
        while self.suffix(fret, &mut techniques) {}
        let join_sign = self.sign(0);
        let join = self.join();
        techniques.sort_unstable();
        techniques.dedup();
        let note = Note { string: self.string, fret, join, techniques, finger: None };
        Some(Cell { start, core, note, join_sign })
    }

    /// Reads the number or `x`, with what encloses it.
    fn core(&mut self, techniques: &mut Vec<Technique>) -> Option<(Fret, Range<usize>)> {
        let ghost = self.sign(0) == '(' && self.closes_with_parenthesis();
        if ghost {
            self.at += 1;
            techniques.push(Technique::Ghost);
        }
        let close = match self.sign(0) {
            '<' => '>',
            '[' => ']',
            '{' => '}',
            _ => ' ',
        };
        if close != ' ' {
            self.at += 1;
            techniques.push(Technique::NaturalHarmonic);
        }
        let from = self.at;
        let fret = if matches!(self.sign(0), 'x' | 'X') {
            self.at += 1;
            techniques.push(Technique::Dead);
            Fret::OPEN
        } else {
            self.fret()?
        };
        let core = from..self.at;
        if close != ' ' && !self.eat(close.encode_utf8(&mut [0; 4])) {
            return None;
        }
        if ghost {
            self.eat(")");
        }
        Some((fret, core))
    }

    /// Returns whether the parenthesis that opens here holds one note and nothing else.
    fn closes_with_parenthesis(&self) -> bool {
        (1..7)
            .find(|ahead| !"<>[]xX0123456789".contains(self.sign(*ahead)))
            .is_some_and(|ahead| self.sign(ahead) == ')')
    }

    /// Reads one sign behind the number; returns whether there was one.
    fn suffix(&mut self, fret: Fret, techniques: &mut Vec<Technique>) -> bool {
        let before = self.at;
        match self.sign(0) {
            sign if sign == self.fill => {}
            '[' | '(' => {
                let close = if self.sign(0) == '[' { "]" } else { ")" };
                self.at += 1;
                let over = self.number().and_then(Fret::new);
                match over {
                    Some(over) if self.eat(close) => techniques.push(if close == "]" {
                        Technique::TouchedHarmonic(over)
                    } else {
                        Technique::TappedHarmonic(over)
                    }),
                    _ => self.at = before,
                }
            }
            't' if self.eat("tr") => self.trill(fret, techniques),
            'b' | 'B' | '^' => {
                self.at += 1;
                self.bend(fret, techniques, Technique::Bend, Technique::BendRelease);
            }
            'p' if self.eat("pb") => self.bend(fret, techniques, Technique::PreBend, Technique::PreBendRelease),
            '~' => {
                while self.eat("~") {}
                techniques.push(Technique::Vibrato);
            }
            'v' | 'V' => {
                self.at += 1;
                techniques.push(self.half_steps().map_or(Technique::Vibrato, Technique::WhammyDip));
            }
            'd' if self.sign(1).is_ascii_digit() => {
                self.at += 1;
                techniques.extend(self.half_steps().map(Technique::WhammyDive));
            }
            '!' if self.eat("!") => techniques.push(Technique::PinchHarmonic),
            '*' if self.eat("*") => techniques.push(Technique::NaturalHarmonic),
            ':' if self.eat(":") => techniques.push(Technique::TremoloPicking),
            '_' if self.eat("_") => techniques.push(Technique::LetRing),
            '.' if self.eat(".") => techniques.push(Technique::PalmMute),
            '/' if self.eat("//") => techniques.push(Technique::SlideOutUp),
            '\\' if self.eat("\\\\") => techniques.push(Technique::SlideOutDown),
            _ => {}
        }
        self.at > before
    }

    /// Reads the other note of a trill.
    fn trill(&mut self, fret: Fret, techniques: &mut Vec<Technique>) {
        let other = self.number().and_then(Fret::new).or_else(|| {
            self.problems.push(format!("string {}: a trill without a fret was taken as two frets up", self.string));
            Fret::new(fret.number() + 2)
        });
        techniques.extend(other.map(Technique::Trill));
    }

    /// Reads how far a bend goes and whether it comes back.
    fn bend(
        &mut self,
        fret: Fret,
        techniques: &mut Vec<Technique>,
        up: fn(BendAmount) -> Technique,
        back: fn(BendAmount) -> Technique,
    ) {
        let amount = self.bend_amount(fret).unwrap_or_else(|| {
            self.problems.push(format!("string {}: a bend without an amount was taken as a whole step", self.string));
            BendAmount::FULL
        });
        if matches!(self.sign(0), 'r' | 'R') {
            self.at += 1;
            self.number();
            techniques.push(back(amount));
        } else {
            techniques.push(up(amount));
        }
    }

    /// Reads the target of a bend: the fret whose pitch it reaches, or a count of whole steps.
    fn bend_amount(&mut self, fret: Fret) -> Option<BendAmount> {
        for (text, quarters) in [("1/2", 2), ("1/4", 1), ("3/4", 3)] {
            if self.eat(text) {
                return BendAmount::quarter_tones(quarters);
            }
        }
        let before = self.at;
        let enclosed = self.eat("(");
        let target = self.number();
        let closed = !enclosed || self.eat(")");
        let Some(target) = target.filter(|_| closed) else {
            self.at = before;
            return None;
        };
        let odd = u8::from(self.eat("+"));
        match target.checked_sub(fret.number()) {
            Some(half_steps) => BendAmount::quarter_tones(half_steps.saturating_mul(2).saturating_add(odd)),
            None => BendAmount::quarter_tones(target.saturating_mul(4)),
        }
    }

    /// Reads half steps of the bar: `2`, `0+`.
    fn half_steps(&mut self) -> Option<BendAmount> {
        let half_steps = self.number()?;
        let odd = u8::from(self.eat("+"));
        BendAmount::quarter_tones(half_steps.saturating_mul(2).saturating_add(odd))
    }

    /// Reads the sign that leads to the next note.
    fn join(&mut self) -> Option<Join> {
        let join = match self.sign(0) {
            sign if sign == self.fill => return None,
            '=' if self.sign(1) != '=' => Join::Tie,
            'h' | 'H' => Join::HammerOn,
            'p' | 'P' if self.sign(1) != 'M' => Join::PullOff,
            '/' | '\\' => Join::LegatoSlide,
            's' | 'S' => Join::ShiftSlide,
            _ => return None,
        };
        self.at += 1;
        Some(join)
    }

    /// Deals with a sign that begins no note: a join that stands away from its note, or nothing we know.
    fn loose(&mut self, cells: &mut [Cell]) {
        let sign = self.sign(0);
        let join = self.join();
        match (join, cells.last_mut()) {
            (Some(join), Some(cell)) if cell.note.join.is_none() => {
                cell.note.join = Some(join);
                cell.join_sign = sign;
            }
            _ => {
                if join.is_none() {
                    self.at += 1;
                }
                self.problems
                    .push(format!("string {}: the sign `{sign}` says nothing here and was left out", self.string));
            }
        }
    }
}
