//! The page: the tab in view with the words over and under it, and the room that it was laid out for.

use std::ops::Range;

use crate::lesson::music::Passage;
use crate::lesson::phrase::Slot;
use crate::tab::style::TabStyle;
use crate::text::charset::Charset;
use crate::workbench::drawing::region::Focused;
use crate::workbench::panes::passage::sheet::{Follow, Sheets, Stand, TabForm, TabLine};

/// What of the passage is on the screen.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct ShownPage {
    pub(super) sheets: Sheets,
    pub(super) follow: Follow,
    pub(super) title: String,
    pub(super) foot: String,
    pub(super) lines: Vec<TabLine>,
    /// Where the cursor stands.
    pub(super) stand: Option<Stand>,
    size: (usize, usize),
    charset: Charset,
    focused: Focused,
}

impl Default for ShownPage {
    fn default() -> Self {
        Self {
            sheets: Sheets::default(),
            follow: Follow::default(),
            title: String::new(),
            foot: String::new(),
            lines: Vec::new(),
            stand: None,
            size: (0, 0),
            charset: Charset::default(),
            focused: Focused::No,
        }
    }
}

impl ShownPage {
    /// Takes on the room and the characters of the screen.
    pub(super) const fn fit(&mut self, size: (usize, usize), charset: Charset, focused: Focused) {
        (self.size, self.charset, self.focused) = (size, charset, focused);
    }

    /// Returns whether keys go to the pane.
    pub(super) const fn focused(&self) -> Focused {
        self.focused
    }

    /// Shows nothing.
    pub(super) fn clear(&mut self) {
        self.stand = None;
        self.title.clear();
        self.foot.clear();
        self.lines.clear();
    }

    /// Goes back to the beginning of what is shown.
    pub(super) const fn rewind(&mut self) {
        self.sheets.rewind();
        self.follow = Follow::Cursor;
    }

    /// Returns how the tab is made on this screen: a line is for the heading and, as long as keys go
    /// here, one for the foot.
    pub(super) fn paper<'a>(&self, passage: &'a Passage, bars: &'a Range<usize>, labels: &'a [String]) -> TabForm<'a> {
        let (width, height) = self.size;
        let style = TabStyle { width, charset: self.charset };
        let taken = if self.focused == Focused::Yes { 2 } else { 1 };
        TabForm { passage, bars, labels, style, height: height.saturating_sub(taken) }
    }

    /// Lays the tab out with the cursor at a slot. While it plays, the view goes with what is heard.
    pub(super) fn lay_out(&mut self, paper: TabForm<'_>, cursor: Slot, heard: Option<Slot>) {
        let (seen, follow) = heard.map_or((cursor, self.follow), |slot| (slot, Follow::Cursor));
        self.lines = self.sheets.settle(paper, seen, follow);
        self.stand = self.sheets.stand(paper, cursor);
    }

    /// Returns the tab in view as text.
    pub(super) fn text(&self) -> String {
        let lines = self.lines.iter().map(|line| match line {
            TabLine::Music { text, .. } | TabLine::Note(text) => text.as_str(),
        });
        lines.collect::<Vec<&str>>().join("\n")
    }
}
