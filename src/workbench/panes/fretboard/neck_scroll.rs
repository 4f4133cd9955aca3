//! How far the neck is scrolled in a pane that is too small for all of it.

use crate::workbench::drawing::scroll::Scroll;

/// Which frets and strings are in view.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct NeckScroll {
    frets: Scroll,
    strings: Scroll,
    /// How many frets and strings were in view last.
    room: (usize, usize),
}

impl NeckScroll {
    /// Returns the first fret and the first string in view, both counted from 0.
    pub(super) const fn first(&self) -> (usize, usize) {
        (self.frets.first(), self.strings.first())
    }

    /// Goes back to the nut.
    pub(super) fn rewind(&mut self) {
        self.frets = Scroll::default();
    }

    /// Takes on the room for frets and strings. In a pane of another size than before the view begins at the nut again.
    pub(super) fn fit(&mut self, room: (usize, usize)) {
        if self.room != room {
            *self = Self { room, ..Self::default() };
        }
    }

    /// Brings a line of `count` strings into view.
    pub(super) fn show_line(&mut self, line: usize, count: usize) {
        self.strings.show(line, count, self.room.1);
    }

    /// Brings a column of `count` frets into view.
    pub(super) fn show_column(&mut self, column: usize, count: usize) {
        self.frets.show(column, count, self.room.0);
    }
}
