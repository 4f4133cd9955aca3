//! Reads the signs on a string; the counterpart of `passage::note_sign`.

use std::ops::Range;

use crate::instrument::neck::{Fret, StringNumber};
use crate::lesson::music::{BendAmount, Join, Note, Technique};
use crate::lesson::technique::{AfterSign, TECHNIQUES, TabSign, Takes};

use super::lines::is_bar;
use crate::tab::signs::FULL_BEND;

/// What others write behind a fret in place of a sign of ours, and what we wrote once: ours first.
const ALSO: [(&str, &str); 4] = [("b", "B"), ("b", "^"), (WIDE_VIBRATO, "V"), ("m", ".")];

/// The sign of a dip of the bar; without an amount many mean a vibrato by it.
const WIDE_VIBRATO: &str = "v";

/// A note as it stands on a string.
#[derive(Debug, Clone)]
pub(super) struct WrittenNote {
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
    pub(super) cells: Vec<WrittenNote>,
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
        self.problems.push(format!("string {}: digits that make no fret were read one by one", self.string));
        Fret::new(digit)
    }

    /// Reads a note with all its signs.
    fn note(&mut self) -> Option<WrittenNote> {
        let start = self.at;
        let mut techniques = Vec::new();
        // More would not be a note, and looking on without end would take too long.
        for _ in 0..4 {
            let Some(technique) = self.prefix() else { break };
            techniques.push(technique);
        }
        let (fret, core) = self.core(&mut techniques)?;
        while self.suffix(fret, &mut techniques) {}
        let join_sign = self.sign(0);
        let join = self.join();
        techniques.sort_unstable();
        techniques.dedup();
        let note = Note { string: self.string, fret, join, techniques, finger: None };
        Some(WrittenNote { start, core, note, join_sign })
    }

    /// Reads one sign before the number.
    fn prefix(&mut self) -> Option<Technique> {
        TECHNIQUES.iter().find_map(|row| match (row.sign, row.takes) {
            (TabSign::Before(sign), Takes::Nothing(technique)) => self.eat_loosely(sign).then_some(technique),
            (TabSign::Before(_), Takes::Amount(_) | Takes::Fret(_))
            | (TabSign::Instead(_) | TabSign::Around(..) | TabSign::Behind { .. }, _) => None,
        })
    }

    /// Steps over `text`, or over the first of its signs alone, large or small: many write `/7` and `T7`.
    fn eat_loosely(&mut self, text: &str) -> bool {
        let begins = |first: char| self.sign(0).eq_ignore_ascii_case(&first);
        let first = text.chars().next().is_some_and(begins);
        if !self.eat(text) && first {
            self.at += 1;
        }
        first
    }

    /// Reads the number or `x`, with what encloses it.
    fn core(&mut self, techniques: &mut Vec<Technique>) -> Option<(Fret, Range<usize>)> {
        let (open, close) = enclosed(Technique::Ghost);
        let ghost = open.starts_with(self.sign(0)) && self.closes_with_parenthesis();
        if ghost {
            self.eat(open);
            techniques.push(Technique::Ghost);
        }
        let harmonic = [enclosed(Technique::NaturalHarmonic), ("[", "]"), ("{", "}")];
        let harmonic = harmonic.into_iter().find(|(open, _)| self.eat(open));
        techniques.extend(harmonic.map(|_| Technique::NaturalHarmonic));
        let from = self.at;
        let fret = if let TabSign::Instead(sign) = Technique::Dead.row().sign
            && self.eat_loosely(sign)
        {
            techniques.push(Technique::Dead);
            Fret::OPEN
        } else {
            self.fret()?
        };
        let core = from..self.at;
        if harmonic.is_some_and(|(_, close)| !self.eat(close)) {
            return None;
        }
        if ghost {
            self.eat(close);
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
        if self.sign(0) == self.fill {
            return false;
        }
        let before = self.at;
        for row in TECHNIQUES {
            let TabSign::Behind { sign, then, .. } = row.sign else { continue };
            if !self.eat(sign) && !ALSO.iter().any(|(known, also)| *known == sign && self.eat(also)) {
                continue;
            }
            match (row.takes, then) {
                (Takes::Nothing(technique), _) => techniques.push(technique),
                (Takes::Fret(technique), AfterSign::Fret("")) => {
                    let other = self.number().and_then(Fret::new).or_else(|| self.two_up(fret, row.name));
                    techniques.extend(other.map(technique));
                }
                (Takes::Fret(technique), then) => {
                    let close = if let AfterSign::Fret(close) = then { close } else { "" };
                    match self.number().and_then(Fret::new) {
                        Some(other) if self.eat(close) => techniques.push(technique(other)),
                        Some(_) | None => self.at = before,
                    }
                }
                (Takes::Amount(technique), AfterSign::Steps) => {
                    let counted = self.sign(0).is_ascii_digit();
                    match self.steps_in_brackets().or_else(|| self.half_steps()) {
                        Some(amount) => techniques.push(technique(amount)),
                        None if sign == WIDE_VIBRATO => techniques.push(Technique::Vibrato),
                        None if counted => {}
                        None => self.at = before,
                    }
                }
                (Takes::Amount(technique), _) => self.bend(fret, techniques, technique, let_down(sign)),
            }
            if self.at > before {
                return true;
            }
        }
        let harmonic = self.eat("*");
        techniques.extend(harmonic.then_some(Technique::NaturalHarmonic));
        harmonic
    }

    /// Takes a fret that is missing behind the sign of `name` as two frets up.
    fn two_up(&mut self, fret: Fret, name: &str) -> Option<Fret> {
        self.problems.push(format!("string {}: a {name} without a fret was read as two frets up", self.string));
        Fret::new(fret.number() + 2)
    }

    /// Reads how far a bend goes and whether it comes back.
    fn bend(
        &mut self,
        fret: Fret,
        techniques: &mut Vec<Technique>,
        up: fn(BendAmount) -> Technique,
        back: Option<fn(BendAmount) -> Technique>,
    ) {
        let amount = self.bend_amount(fret).unwrap_or_else(|| {
            self.problems.push(format!("string {}: a bend without an amount was read as a whole step", self.string));
            BendAmount::FULL
        });
        match back {
            Some(back) if matches!(self.sign(0), 'r' | 'R') => {
                self.at += 1;
                self.number();
                techniques.push(back(amount));
            }
            Some(_) | None => techniques.push(up(amount)),
        }
    }

    /// Reads the target of a bend: the fret whose pitch it reaches, or a count of whole steps.
    fn bend_amount(&mut self, fret: Fret) -> Option<BendAmount> {
        if [FULL_BEND, "Full", "FULL"].iter().any(|word| self.eat(word)) {
            return Some(BendAmount::FULL);
        }
        if let Some(quarters) = self.part_of_a_step() {
            return BendAmount::quarter_tones(quarters);
        }
        let before = self.at;
        if let Some(steps) = self.number()
            && self.eat("+")
            && let Some(quarters) = self.part_of_a_step()
        {
            return BendAmount::quarter_tones(steps.saturating_mul(4).saturating_add(quarters));
        }
        self.at = before;
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

    /// Reads a part of a whole step, in quarter tones.
    fn part_of_a_step(&mut self) -> Option<u8> {
        [("1/2", 2), ("1/4", 1), ("3/4", 3)].into_iter().find_map(|(text, quarters)| self.eat(text).then_some(quarters))
    }

    /// Reads how far the bar goes in whole steps: `(1/2)`, `(1+1/2)`.
    fn steps_in_brackets(&mut self) -> Option<BendAmount> {
        let before = self.at;
        let amount = self.eat("(").then(|| self.steps()).flatten();
        let amount = amount.filter(|_| self.eat(")"));
        if amount.is_none() {
            self.at = before;
        }
        amount
    }

    /// Reads whole steps and a part of one.
    fn steps(&mut self) -> Option<BendAmount> {
        if let Some(quarters) = self.part_of_a_step() {
            return BendAmount::quarter_tones(quarters);
        }
        let steps = self.number()?;
        let more = if self.eat("+") { self.part_of_a_step()? } else { 0 };
        BendAmount::quarter_tones(steps.saturating_mul(4).saturating_add(more))
    }

    /// Reads half steps of the bar, as they stood there once: `2`, `0+`.
    fn half_steps(&mut self) -> Option<BendAmount> {
        let half_steps = self.number()?;
        let odd = u8::from(self.eat("+"));
        BendAmount::quarter_tones(half_steps.saturating_mul(2).saturating_add(odd))
    }

    /// Reads the sign that leads to the next note.
    fn join(&mut self) -> Option<Join> {
        let (sign, next) = (self.sign(0), self.sign(1));
        // A double line is drawn, not tied, and `PM` begins a palm mute.
        let other = matches!((sign, next), ('=', '=') | ('p' | 'P', 'M'));
        if other || sign == self.fill {
            return None;
        }
        let leads = |join: &Join| {
            let row = join.row();
            std::iter::once(row.sign).chain(row.falling).any(|known| known.sign.eq_ignore_ascii_case(&sign))
        };
        let join = Join::ALL.into_iter().find(leads)?;
        self.at += 1;
        Some(join)
    }

    /// Deals with a sign that begins no note: a join that stands away from its note, or nothing we know.
    fn loose(&mut self, cells: &mut [WrittenNote]) {
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

/// Returns what stands on both sides of a fret for `technique`.
const fn enclosed(technique: Technique) -> (&'static str, &'static str) {
    match technique.row().sign {
        TabSign::Around(open, close) => (open, close),
        TabSign::Before(_) | TabSign::Instead(_) | TabSign::Behind { .. } => ("", ""),
    }
}

/// Returns the bend that is written with `sign` and let down again.
fn let_down(sign: &str) -> Option<fn(BendAmount) -> Technique> {
    TECHNIQUES.iter().find_map(|row| {
        let TabSign::Behind { sign: known, then: AfterSign::ReachAndBack, .. } = row.sign else { return None };
        let Takes::Amount(technique) = row.takes else { return None };
        (known == sign).then_some(technique)
    })
}
