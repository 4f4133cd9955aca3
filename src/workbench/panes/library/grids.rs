//! How chord grids lie in the library pane: side by side, row under row, each row as high as its
//! highest grid.

use crate::tab::grid::{ChordGrid, grid_rows};
use crate::tab::style::TabStyle;
use crate::text::charset::Charset;
use crate::text::fit::fit_with;
use crate::workbench::drawing::appearance::Appearance;
use crate::workbench::drawing::unseen::{Amount, Counted, Unseen};
use crate::workbench::library::item::LibraryItem;

/// Columns before a grid, for the marks of the selected and of the kept.
const MARKS: usize = 2;
/// Columns between two grids, and lines between two rows.
const GAP: usize = 1;
/// Columns beside the strings, for the number of a fret.
const MARGIN: usize = 3;
/// The fewest strings that a column is made for.
const STRINGS: usize = 6;
/// The lines of most grids: name, marks, nut, four frets, end, fingers.
const USUAL: usize = 12;

/// How grids lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::workbench) struct Grids {
    cell: usize,
    across: usize,
    /// The first row in view.
    first: usize,
    charset: Charset,
}

/// One grid in view, at a column and a line.
pub(in crate::workbench) struct DrawnGrid {
    /// Its place among the voicings found.
    pub place: usize,
    pub x: usize,
    pub y: usize,
    pub lines: Vec<String>,
}

impl Default for Grids {
    fn default() -> Self {
        Self { cell: 1, across: 1, first: 0, charset: Charset::default() }
    }
}

impl Grids {
    /// Returns how many grids stand side by side, at least 1.
    pub(in crate::workbench) const fn across(&self) -> usize {
        self.across
    }

    /// Returns the columns of one grid.
    pub(in crate::workbench) const fn cell(&self) -> usize {
        self.cell
    }

    /// Returns how many rows `height` lines usually hold, at least 1.
    pub(in crate::workbench) fn rows_in(&self, height: usize) -> usize {
        ((height + GAP) / (USUAL + GAP)).max(1)
    }

    /// Makes columns for grids of so many strings in `width` columns.
    pub(in crate::workbench) fn fit(&mut self, width: usize, charset: Charset, strings: impl Iterator<Item = usize>) {
        let strings = strings.max().unwrap_or(0).max(STRINGS);
        let first = self.first * self.across;
        self.cell = MARGIN + 2 * strings - 1;
        self.across = ((width + GAP) / (self.cell + MARKS + GAP)).max(1);
        self.first = first / self.across;
        self.charset = charset;
    }

    /// Scrolls as little as needed to bring the grid at `place` into view in `height` lines.
    pub(in crate::workbench) fn show<'a>(
        &mut self,
        place: usize,
        height: usize,
        item: impl Fn(usize) -> Option<&'a LibraryItem>,
    ) {
        let row = place / self.across;
        let mut first = row;
        let mut used = self.row_height(row, &item);
        while let Some(above) = first.checked_sub(1) {
            used += GAP + self.row_height(above, &item);
            // What is above the row in view already need not be measured.
            if used > height || first <= self.first {
                break;
            }
            first = above;
        }
        self.first = self.first.clamp(first.min(row), row);
    }

    /// Returns the grids that begin in view.
    pub(in crate::workbench) fn in_view<'a>(
        &self,
        height: usize,
        item: impl Fn(usize) -> Option<&'a LibraryItem>,
    ) -> Vec<DrawnGrid> {
        let mut drawn = Vec::new();
        let mut y = 0;
        for row in self.first.. {
            if y >= height || item(row * self.across).is_none() {
                break;
            }
            let mut tall = 0;
            for column in 0..self.across {
                let place = row * self.across + column;
                let Some(item) = item(place) else { break };
                let lines = self.lines(item);
                tall = tall.max(lines.len());
                drawn.push(DrawnGrid { place, x: column * (self.cell + MARKS + GAP), y, lines });
            }
            y += tall + GAP;
        }
        drawn
    }

    /// Returns what of `count` grids is not in view, or not wholly, in `height` lines.
    pub(in crate::workbench) fn unseen<'a>(
        &self,
        height: usize,
        count: usize,
        item: impl Fn(usize) -> Option<&'a LibraryItem>,
    ) -> Unseen {
        let above = (self.first * self.across).min(count);
        let drawn = self.in_view(height, item);
        let whole = drawn.iter().filter(|grid| grid.y + grid.lines.len() <= height).count();
        let below = count.saturating_sub(above + whole);
        Unseen::beside(Amount::of(above, Counted::Voicings), Amount::of(below, Counted::Voicings))
    }

    /// Returns the place of the grid at a column and a line.
    pub(in crate::workbench) fn at<'a>(
        &self,
        (x, y): (usize, usize),
        item: impl Fn(usize) -> Option<&'a LibraryItem>,
    ) -> Option<usize> {
        let over = |grid: &DrawnGrid| {
            (grid.x..grid.x + self.cell + MARKS).contains(&x) && (grid.y..grid.y + grid.lines.len()).contains(&y)
        };
        self.in_view(y + 1, item).into_iter().find(over).map(|grid| grid.place)
    }

    fn row_height<'a>(&self, row: usize, item: &impl Fn(usize) -> Option<&'a LibraryItem>) -> usize {
        let places = row * self.across..(row + 1) * self.across;
        places.filter_map(item).map(|item| self.lines(item).len()).max().unwrap_or(0)
    }

    fn lines(&self, item: &LibraryItem) -> Vec<String> {
        let voicing = &item.voicing;
        let more = Appearance { charset: self.charset, ..Appearance::default() }.glyphs().more;
        let grid = ChordGrid {
            name: fit_with(&item.name(), self.cell, more).into_owned(),
            shape: voicing.shape.clone(),
            fingers: voicing.fingers.clone(),
            barre: voicing.barre,
            doubts: voicing.doubts.clone(),
            form: String::new(),
            also: Vec::new(),
            note: String::new(),
        };
        let rows = grid_rows(&[grid], TabStyle::filled(self.cell, self.charset));
        rows.into_iter().flatten().collect()
    }
}
