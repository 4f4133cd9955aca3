//! Writes the rows of a system.

use std::collections::BTreeSet;

use crate::lesson::bar_numbers::{BarName, BarNumbers};
use crate::tab::marks;
use crate::text::charset::Charset;
use crate::text::width;

use super::columns::Column;
use super::fit::{self, PiecePlace, SystemLayout};
use super::legend::Used;
use super::piece::{BarPiece, Edge};
use crate::tab::signs::{self, LineSigns, StretchSign};

/// The lines of a system, and which of them are the strings.
pub(super) struct Drawn {
    pub(super) lines: Vec<String>,
    pub(super) strings: std::ops::Range<usize>,
    /// The line of the chord names, if there are any.
    pub(super) names: Option<usize>,
}

/// What a whole passage has in common.
pub(super) struct PassageFrame<'a> {
    /// The labels, string 1 first, all of one width.
    pub(super) labels: &'a [String],
    /// The columns to the left of the first bar line.
    pub(super) margin: usize,
    /// The widest line.
    pub(super) width: usize,
    pub(super) charset: Charset,
    /// The index of the first bar in its passage.
    pub(super) first_bar: usize,
    /// The numbers of the bars of its passage.
    pub(super) numbers: BarNumbers,
}

/// A line that is written from left to right.
#[derive(Default)]
struct TextRow {
    text: String,
    width: usize,
}

impl TextRow {
    /// Writes `text` at column `at`, or after what is there, filling the gap.
    fn put(&mut self, at: usize, text: &str, fill: char) {
        self.fill(at, fill);
        self.text.push_str(text);
        self.width += width::width(text);
    }

    /// Returns whether anything but spaces is written in it.
    fn has_text(&self) -> bool {
        !self.text.trim_end().is_empty()
    }

    /// Fills up to column `at`.
    fn fill(&mut self, at: usize, fill: char) {
        let gap = at.saturating_sub(self.width);
        self.text.extend(std::iter::repeat_n(fill, gap));
        self.width += gap;
    }
}

/// Draws one system.
pub(super) fn system(
    frame: &PassageFrame,
    pieces: &[BarPiece],
    row: &SystemLayout,
    used: &mut BTreeSet<Used>,
) -> Drawn {
    let inside = pieces.get(row.pieces.clone()).unwrap_or_default();
    let drawing =
        Drawing { frame, bars: inside.iter().zip(&row.places).collect(), row, lines: signs::lines(frame.charset) };
    let mut notes = FootNotes::default();
    let mut above = vec![drawing.head(used), drawing.endings(used)];
    above.extend(drawing.texts(&mut notes));
    let before_names = above.iter().filter(|row| row.has_text()).count();
    let names = drawing.chords(&mut notes);
    let names_at = names.has_text().then_some(before_names);
    above.push(names);
    above.extend(StretchSign::ALL.map(|stretch| drawing.stretch(stretch)));
    above.push(drawing.marks(|column| column.stroke));
    let mut lines: Vec<String> = above.into_iter().map(trimmed).filter(|line| !line.is_empty()).collect();
    lines.push(trimmed(drawing.lengths(0)));
    let first_string = lines.len();
    lines.extend(drawing.strings(used));
    let strings = first_string..lines.len();
    let voices = drawing.columns().flat_map(|(column, _)| column.lengths.iter().map(|(voice, _)| *voice)).max();
    lines.extend((1..=voices.unwrap_or(0)).map(|voice| trimmed(drawing.lengths(voice))));
    lines.push(trimmed(drawing.marks(|column| column.count.as_deref())));
    while lines.len() > strings.end && lines.last().is_some_and(String::is_empty) {
        lines.pop();
    }
    if drawing.columns().any(|(column, _)| column.lengths.iter().any(|(_, sign)| sign == marks::REST_AGAIN)) {
        used.insert(Used::RestAgain);
    }
    if !notes.0.is_empty() {
        used.insert(Used::FootNote);
    }
    lines.extend(notes.lines(frame.width));
    for line in &mut lines {
        let kept = width::split_at_width(line, frame.width).0.len();
        line.truncate(kept);
    }
    Drawn { lines, strings, names: names_at }
}

/// Returns the text of a line without spaces at its end.
fn trimmed(mut line: TextRow) -> String {
    line.text.truncate(line.text.trim_end().len());
    line.text
}

/// One system while it is drawn.
struct Drawing<'a> {
    frame: &'a PassageFrame<'a>,
    bars: Vec<(&'a BarPiece, &'a PiecePlace)>,
    row: &'a SystemLayout,
    lines: LineSigns,
}

impl<'a> Drawing<'a> {
    /// Returns the columns of the system, each with its place.
    fn columns(&self) -> impl Iterator<Item = (&'a Column, usize)> {
        self.bars.iter().flat_map(|(piece, place)| piece.columns.iter().zip(place.at.iter().copied()))
    }

    /// Draws a row of which each column has at most one mark.
    fn marks(&self, mark: impl Fn(&'a Column) -> Option<&'a str>) -> TextRow {
        let mut line = TextRow::default();
        for (column, at) in self.columns() {
            if let Some(mark) = mark(column) {
                line.put(at, mark, ' ');
            }
        }
        line
    }

    /// Draws the marks that belong to whole bars.
    fn head(&self, used: &mut BTreeSet<Used>) -> TextRow {
        let mut line = TextRow::default();
        for (piece, place) in &self.bars {
            let mut at = place.lead;
            for mark in &piece.head {
                line.put(at, mark, ' ');
                at = line.width + 1;
            }
            if let Some(tail) = &piece.tail {
                used.insert(Used::RepeatTimes);
                line.put(place.end.saturating_sub(tail.len()), tail, ' ');
            }
        }
        line
    }

    /// Draws the brackets over endings.
    fn endings(&self, used: &mut BTreeSet<Used>) -> TextRow {
        let mut line = TextRow::default();
        let mut rest = self.bars.as_slice();
        while let Some(((first, start), _)) = rest.split_first() {
            let run = rest.iter().take_while(|(piece, _)| piece.endings == first.endings).count();
            let (here, after) = rest.split_at(run);
            rest = after;
            if first.endings.is_empty() {
                continue;
            }
            used.insert(Used::Ending);
            line.put(start.lead, &fit::ending_words(&first.endings), ' ');
            if let Some((last, end)) = here.last() {
                // One column short of the bar line, so that the next bracket stands apart.
                let goes_on = last.right == Edge::GoesOn;
                line.fill(end.end.saturating_sub(1), self.lines.string);
                line.put(end.end.saturating_sub(1), if goes_on { "" } else { self.lines.bar }, ' ');
            }
        }
        line
    }

    /// Draws the words over the beats, in as many rows as they need.
    fn texts(&self, notes: &mut FootNotes) -> Vec<TextRow> {
        let mut rows: Vec<TextRow> = Vec::new();
        for (column, at) in self.columns() {
            let Some(text) = &column.text else { continue };
            let quoted = format!("\"{text}\"");
            let fits = marks::fits_as_text(text) && at + width::width(&quoted) <= self.frame.width;
            let mark = if fits { quoted } else { notes.add("", text) };
            let free = |row: &TextRow| row.width == 0 || row.width < at;
            match rows.iter_mut().find(|row| free(row)) {
                Some(row) => row.put(at, &mark, ' '),
                None => {
                    let mut row = TextRow::default();
                    row.put(at, &mark, ' ');
                    rows.push(row);
                }
            }
        }
        // The row that was begun last stands farthest from the strings.
        rows.reverse();
        rows
    }

    /// Draws the chord names.
    fn chords(&self, notes: &mut FootNotes) -> TextRow {
        let mut line = TextRow::default();
        for (column, at) in self.columns() {
            let Some(name) = &column.chord else { continue };
            let mark = if marks::fits_as_chord(name) { name.clone() } else { notes.add(CHORD, name) };
            line.put(at, &mark, ' ');
        }
        line
    }

    /// Draws the lines over notes that are all played alike.
    fn stretch(&self, stretch: StretchSign) -> TextRow {
        let mut line = TextRow::default();
        let played: Vec<(&Column, usize)> =
            self.columns().filter(|(column, _)| !column.is_silent() && !column.grace).collect();
        let mut rest = played.as_slice();
        while let Some(((first, start), after)) = rest.split_first() {
            if !first.shared.contains(&stretch) {
                rest = after;
                continue;
            }
            let run = rest.iter().take_while(|(column, _)| column.shared.contains(&stretch)).count();
            let (here, after) = rest.split_at(run);
            rest = after;
            let last = here.last().map_or(*start, |(_, at)| *at);
            let next = after
                .iter()
                .find(|(column, _)| column.shared.contains(&stretch))
                .map_or(self.row.close_at, |(_, at)| *at);
            line.put(*start, &self.stretch_mark(stretch, *start, last, next), ' ');
        }
        line
    }

    /// Returns the mark from column `start` to column `last`, with the next such mark at `next`.
    fn stretch_mark(&self, stretch: StretchSign, start: usize, last: usize, next: usize) -> String {
        let words = stretch.words();
        let shortest = words.last().copied().unwrap_or_default();
        if start == last {
            return words.iter().find(|word| start + word.len() < next).copied().unwrap_or(shortest).to_owned();
        }
        let word = words.iter().find(|word| start + word.len() <= last).copied().unwrap_or(shortest);
        let mut mark = TextRow::default();
        mark.put(0, word, ' ');
        mark.fill(last - start, self.lines.string);
        mark.put(last - start, self.lines.bar, ' ');
        mark.text
    }

    /// Draws the lengths of one voice, after the bar number.
    fn lengths(&self, voice: usize) -> TextRow {
        let mut line = TextRow::default();
        if voice == 0
            && let Some((piece, _)) = self.bars.first()
        {
            match self.frame.numbers.name(self.frame.first_bar + piece.bar) {
                BarName::Number(number) => line.put(0, &number.to_string(), ' '),
                // A line needs its number where it goes on with a pickup; by custom that is 0.
                BarName::Pickup if piece.left == Edge::GoesOn => line.put(0, "0", ' '),
                BarName::Pickup => {}
            }
        }
        for (column, at) in self.columns() {
            if let Some((_, length)) = column.lengths.iter().find(|(other, _)| *other == voice) {
                line.put(at, length, ' ');
            }
        }
        line
    }

    /// Draws the strings.
    fn strings(&self, used: &mut BTreeSet<Used>) -> Vec<String> {
        let mut strings = Vec::new();
        for (index, label) in self.frame.labels.iter().enumerate() {
            let room = self.frame.width * self.lines.string.len_utf8();
            let mut line = TextRow { text: String::with_capacity(room), width: 0 };
            line.put(0, label, ' ');
            line.fill(self.frame.margin, ' ');
            for (piece, place) in &self.bars {
                line.put(place.open_at, &place.open, self.lines.string);
                for (column, at) in piece.columns.iter().zip(&place.at) {
                    for cell in column.cells.iter().filter(|cell| cell.row == index) {
                        line.put(*at, &cell.sign, self.lines.string);
                    }
                }
                line.fill(place.end, self.lines.string);
                match (piece.left, piece.right) {
                    (Edge::GoesOn, _) | (_, Edge::GoesOn) => drop(used.insert(Used::GoesOn)),
                    (Edge::Repeat, _) | (_, Edge::Repeat) => drop(used.insert(Used::Repeat)),
                    (Edge::Bar, Edge::Bar) => {}
                }
            }
            line.put(self.row.close_at, &self.row.close, self.lines.string);
            strings.push(line.text);
        }
        strings
    }
}

/// Says in a line under the system that it is a chord name.
const CHORD: &str = "chord ";

/// What is too long to stand over its beat, in the order of the references.
#[derive(Default)]
struct FootNotes(Vec<String>);

impl FootNotes {
    /// Adds a line and returns the reference to it; the same words get the same reference.
    fn add(&mut self, kind: &str, words: &str) -> String {
        let quoted = if kind == CHORD { format!("{CHORD}{words}") } else { format!("\"{words}\"") };
        let place = self.0.iter().position(|note| *note == quoted).unwrap_or_else(|| {
            self.0.push(quoted);
            self.0.len() - 1
        });
        format!("*{}", place + 1)
    }

    /// Returns the lines. One that goes on does so after four spaces, or after three and a `+`
    /// where a word had to be cut.
    fn lines(&self, width: usize) -> Vec<String> {
        let mut lines = Vec::new();
        for (index, note) in self.0.iter().enumerate() {
            let mut line = format!("*{} ", index + 1);
            let mut bare = true;
            for word in note.split(' ') {
                let mut word = word;
                if !bare {
                    if width::width(&line) + 1 + width::width(word) <= width {
                        line.push(' ');
                    } else {
                        lines.push(std::mem::replace(&mut line, "    ".to_owned()));
                    }
                }
                while width::width(&line) + width::width(word) > width {
                    let (here, rest) = width::split_at_width(word, width.saturating_sub(width::width(&line)));
                    if here.is_empty() && !line.trim().is_empty() && line.len() > 4 {
                        break;
                    }
                    line.push_str(here);
                    lines.push(std::mem::replace(&mut line, "   +".to_owned()));
                    if here.is_empty() {
                        break;
                    }
                    word = rest;
                }
                line.push_str(word);
                bare = false;
            }
            lines.push(line);
        }
        lines
    }
}
