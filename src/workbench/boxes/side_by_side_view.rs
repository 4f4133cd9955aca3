//! Drawing two versions side by side, over the lines to choose from.

use std::ops::Range;

use crate::tab::passage::render_bars;
use crate::tab::style::TabStyle;
use crate::text::width::width as columns;
use crate::workbench::boxes::frame::{Inside, framed};
use crate::workbench::boxes::side_by_side::{
    SideBySide, SideLayout, SideLine, SideMeasure, VersionBars, VersionCell, VersionRow,
};
use crate::workbench::drawing::appearance::Appearance;
use crate::workbench::drawing::region::Region;
use crate::workbench::drawing::role::Role;
use crate::workbench::drawing::unseen::{Counted, Unseen};

/// The widest box; longer lines are hard to compare.
const WIDEST: usize = 120;
/// The fewest columns inside the box in which two columns have room.
const TWO_COLUMNS: usize = 60;
/// The columns between the two.
const BETWEEN: usize = 3;
/// How far a version is indented that stands under the name of its side.
const INDENT: usize = 2;
const IN_FILE: &str = "In the file";
const YOURS: &str = "Yours";

/// Notes how two versions lie over so many lines to choose from, on a screen of this size.
pub(super) fn note_measure(side: &mut SideBySide, choices: usize, screen: (usize, usize), appearance: Appearance) {
    if side.measured.as_ref().is_none_or(|(known, with, _)| (*known, *with) != (screen, appearance)) {
        side.measured = Some((screen, appearance, measure_anew(side, choices, screen, appearance)));
    }
}

/// Returns the line to choose that is drawn at a cell of a screen of this size.
pub(super) fn choice_at(
    side: &SideBySide,
    choices: usize,
    screen: (usize, usize),
    appearance: Appearance,
    cell: (usize, usize),
) -> Option<usize> {
    let measure = measure(side, choices, screen, appearance);
    let line = Inside::of(screen, measure.width, measure.height(choices)).line(cell)?;
    line.checked_sub(measure.above()).filter(|choice| *choice < choices)
}

/// Draws the box with the part of the two versions that is in view; returns the region of the lines to choose from.
pub(super) fn draw<'a>(side: &SideBySide, title: &str, choices: usize, region: &'a mut Region<'_>) -> Region<'a> {
    let appearance = region.appearance();
    let measure = measure(side, choices, (region.width(), region.height()), appearance);
    let SideMeasure { width, layout, lines, room } = &measure;
    let first = side.first(lines.len(), *room);
    let unseen = Unseen::of(Counted::Lines, first, *room, lines.len());
    let mut inside = framed(&mut *region, title, (*width, measure.height(choices)), Unseen::NOTHING);
    let upright = appearance.glyphs().upright;
    if let SideLayout::Columns(column) = layout {
        inside.cut(0, 0, *column, IN_FILE, Role::Title);
        inside.text(column + 1, 0, upright, Role::Faint);
        inside.text(column + BETWEEN, 0, YOURS, Role::Title);
    }
    let top = measure.heading();
    for (y, line) in lines.iter().skip(first).take(*room).enumerate() {
        for (x, text, role) in line {
            inside.text(*x, top + y, text, *role);
        }
    }
    let foot = measure.above() - 1;
    if lines.len() > *room {
        let glyphs = appearance.glyphs();
        let signs = [unseen.above(glyphs), unseen.below(glyphs), side.keys.clone()];
        let said = signs.into_iter().filter(|sign| !sign.is_empty()).collect::<Vec<_>>().join("   ");
        inside.text(0, foot, &said, Role::Key);
    } else {
        inside.line(0, *width, foot, appearance.glyphs().level, Role::Faint);
    }
    let Inside { x, y, .. } = Inside::of((region.width(), region.height()), *width, measure.height(choices));
    region.part(x, y + measure.above(), *width, choices)
}

fn measure(side: &SideBySide, choices: usize, screen: (usize, usize), appearance: Appearance) -> SideMeasure {
    match &side.measured {
        Some((known, with, measure)) if (*known, *with) == (screen, appearance) => measure.clone(),
        Some(_) | None => measure_anew(side, choices, screen, appearance),
    }
}

fn measure_anew(side: &SideBySide, choices: usize, screen: (usize, usize), appearance: Appearance) -> SideMeasure {
    let width = screen.0.saturating_sub(4).clamp(1, WIDEST);
    let layout = if width < TWO_COLUMNS { SideLayout::Stacked } else { SideLayout::Columns((width - BETWEEN) / 2) };
    let lines: Vec<SideLine> = side.rows.iter().flat_map(|row| row_lines(row, width, layout, appearance)).collect();
    let mut measure = SideMeasure { width, layout, room: lines.len().max(1), lines: lines.into() };
    let there = Inside::of(screen, width, measure.height(choices)).height;
    measure.room = measure.room.min(there.saturating_sub(measure.heading() + 1 + choices)).max(1);
    measure
}

impl SideMeasure {
    /// Returns how many lines the names of the two sides take.
    const fn heading(&self) -> usize {
        match self.layout {
            SideLayout::Columns(_) => 1,
            SideLayout::Stacked => 0,
        }
    }

    /// Returns how many lines stand over those to choose from.
    const fn above(&self) -> usize {
        self.heading() + self.room + 1
    }

    const fn height(&self, choices: usize) -> usize {
        self.above() + choices
    }
}

/// Returns the lines of one row: what it is about, then both versions.
fn row_lines(row: &VersionRow, width: usize, layout: SideLayout, appearance: Appearance) -> Vec<SideLine> {
    let about = appearance.wrapped(&row.about, width).into_iter();
    let mut lines: Vec<SideLine> = about.map(|text| vec![(0, text, Role::FocusedTitle)]).collect();
    let (one, other) = differing(&row.in_file, &row.yours, appearance);
    match layout {
        SideLayout::Columns(column) => {
            let left = cell_lines(&row.in_file, one, column, appearance);
            let right = cell_lines(&row.yours, other, column, appearance);
            for line in 0..left.len().max(right.len()) {
                let mut both = placed(0, left.get(line));
                both.push((column + 1, appearance.glyphs().upright.to_owned(), Role::Faint));
                both.extend(placed(column + BETWEEN, right.get(line)));
                lines.push(both);
            }
        }
        SideLayout::Stacked => {
            let room = width.saturating_sub(INDENT).max(1);
            for (name, cell, marked) in [(IN_FILE, &row.in_file, one), (YOURS, &row.yours, other)] {
                lines.push(vec![(0, name.to_owned(), Role::Title)]);
                let cell = cell_lines(cell, marked, room, appearance);
                lines.extend(cell.iter().map(|line| placed(INDENT, Some(line))));
            }
        }
    }
    lines
}

/// Puts the pieces of a line one behind the other, from column `x` on.
fn placed(x: usize, pieces: Option<&Vec<(String, Role)>>) -> SideLine {
    let mut x = x;
    let place = |(text, role): &(String, Role)| {
        let at = x;
        x += columns(text) + 1;
        (at, text.clone(), *role)
    };
    pieces.into_iter().flatten().map(place).collect()
}

/// Returns which words of two versions differ: all from the first that does to the last.
fn differing(one: &VersionCell, other: &VersionCell, appearance: Appearance) -> (Range<usize>, Range<usize>) {
    let (VersionCell::Words(one), VersionCell::Words(other)) = (one, other) else { return (0..0, 0..0) };
    let (one, other) = (words(one, appearance), words(other, appearance));
    let before = one.iter().zip(&other).take_while(|(one, other)| one == other).count();
    let least = one.len().min(other.len()) - before;
    let after = one.iter().rev().zip(other.iter().rev()).take(least).take_while(|(one, other)| one == other).count();
    (before..one.len() - after, before..other.len() - after)
}

fn words(text: &str, appearance: Appearance) -> Vec<String> {
    let words = |line: &str| appearance.shown(line).split_whitespace().map(str::to_owned).collect::<Vec<_>>();
    text.lines().flat_map(words).collect()
}

/// Returns the lines of one version, each in pieces that follow each other; `marked` are the words that differ.
fn cell_lines(
    cell: &VersionCell,
    marked: Range<usize>,
    width: usize,
    appearance: Appearance,
) -> Vec<Vec<(String, Role)>> {
    match cell {
        VersionCell::Nothing => vec![vec![("nothing".to_owned(), Role::Faint)]],
        VersionCell::TakenOut => vec![vec![("deleted".to_owned(), Role::Caution)]],
        VersionCell::Words(text) => {
            let words = words(text, appearance);
            mark(&appearance.wrapped(text, width), &words, &marked)
        }
        VersionCell::Music(VersionBars { passage, bars, labels }) => {
            let style = TabStyle::filled(width, appearance.charset);
            let text = render_bars(passage, bars.clone(), labels, &style);
            let lines = text.systems.into_iter().flat_map(|system| system.lines);
            lines.map(|line| vec![(line, Role::Plain)]).collect()
        }
    }
}

/// Splits wrapped lines where the words that differ begin and end. A word that was broken has pieces in several lines.
fn mark(lines: &[String], words: &[String], marked: &Range<usize>) -> Vec<Vec<(String, Role)>> {
    let (mut word, mut seen) = (0, 0);
    let mut role_of = |piece: &str| {
        let role = if marked.contains(&word) { Role::Caution } else { Role::Plain };
        seen += piece.len();
        if words.get(word).is_none_or(|whole| seen >= whole.len()) {
            (word, seen) = (word + 1, 0);
        }
        role
    };
    let split = |line: &String| {
        let mut pieces: Vec<(String, Role)> = Vec::new();
        for piece in line.split(' ') {
            let role = role_of(piece);
            match pieces.last_mut() {
                Some((text, last)) if *last == role => *text = format!("{text} {piece}"),
                Some(_) | None => pieces.push((piece.to_owned(), role)),
            }
        }
        pieces
    };
    lines.iter().map(split).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::wrap::wrap;

    #[test]
    fn the_words_that_differ_are_marked_and_those_around_them_are_not() {
        let (one, other) = ("the thumb leaves, nobody misses it", "the finger stays, nobody misses it");
        let cell = |text: &str| VersionCell::Words(text.to_owned());
        let (marked, _) = differing(&cell(one), &cell(other), Appearance::default());
        assert_eq!(marked, 1..3);
        let told: Vec<String> = cell_lines(&cell(one), marked, 13, Appearance::default())
            .iter()
            .map(|line| line.iter().map(|(text, role)| format!("{text}:{role:?}")).collect::<Vec<_>>().join(" "))
            .collect();
        assert_eq!(told, ["the:Plain thumb:Caution", "leaves,:Caution", "nobody misses:Plain", "it:Plain"]);
    }

    #[test]
    fn a_word_that_is_broken_is_marked_as_a_whole() {
        let words = ["a".to_owned(), "abcdefgh".to_owned(), "b".to_owned()];
        let lines: Vec<String> = wrap("a abcdefgh b", 3);
        let roles: Vec<Vec<Role>> =
            mark(&lines, &words, &(1..2)).iter().map(|line| line.iter().map(|(_, role)| *role).collect()).collect();
        assert_eq!(lines, ["a", "abc", "def", "gh", "b"].map(str::to_owned)[..].to_vec(), "{lines:?}");
        let caution = || vec![Role::Caution];
        assert_eq!(roles, [vec![Role::Plain], caution(), caution(), caution(), vec![Role::Plain]]);
    }
}
