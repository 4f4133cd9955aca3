//! The page: the tab in view with the words over and under it, and the room that it was laid out for.

use std::ops::Range;

use crate::lesson::music::Passage;
use crate::lesson::phrase::Slot;
use crate::tab::passage::string_labels;
use crate::tab::style::TabStyle;
use crate::text::charset::Charset;
use crate::workbench::drawing::appearance::Appearance;
use crate::workbench::drawing::region::{Focused, heading_room};
use crate::workbench::drawing::unseen::Unseen;
use crate::workbench::panes::passage::at_cursor::AtCursor;
use crate::workbench::panes::passage::heights::BESIDE;
use crate::workbench::panes::passage::sheet::{Follow, Sheets, Stand, TabForm, TabLine};

/// The name of the pane.
pub(super) const TITLE: &str = "Passage";

/// What of the passage is on the screen.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct ShownPage {
    pub(super) sheets: Sheets,
    pub(super) follow: Follow,
    pub(super) title: String,
    pub(super) foot: String,
    pub(super) lines: Vec<TabLine>,
    /// What is not in view.
    pub(super) unseen: Unseen,
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
            unseen: Unseen::NOTHING,
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

    /// Returns how many columns the heading has beside the name of the pane and the signs that the tab goes on.
    pub(super) fn heading_room(&self) -> usize {
        let glyphs = Appearance { charset: self.charset, ..Appearance::default() }.glyphs();
        heading_room(self.size.0, TITLE, self.unseen, glyphs)
    }

    /// Returns how many columns a line of the pane has.
    pub(super) const fn width(&self) -> usize {
        self.size.0
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
        self.unseen = Unseen::NOTHING;
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
        let style = TabStyle::steady(width, self.charset);
        let taken = if self.focused == Focused::Yes { BESIDE } else { BESIDE - 1 };
        TabForm { passage, bars, labels, style, height: height.saturating_sub(taken) }
    }

    /// Lays the tab out with the cursor at a slot. While it plays, the view goes with what is heard.
    pub(super) fn lay_out(&mut self, paper: TabForm<'_>, cursor: Slot, heard: Option<Slot>) {
        let (seen, follow) = heard.map_or((cursor, self.follow), |slot| (slot, Follow::Cursor));
        self.lines = self.sheets.settle(paper, seen, follow);
        self.stand = self.sheets.stand(paper, cursor);
        self.unseen = self.sheets.unseen(paper, &self.lines);
    }

    /// Scrolls by lines.
    pub(super) fn scroll(&mut self, here: &AtCursor<'_>, lines: isize) {
        self.with_sheets(here, |sheets, paper| sheets.scroll(paper, lines));
    }

    /// Returns the first bar of the system after that of the cursor or, for a negative `by`, before it; `None` where
    /// there is none.
    pub(super) fn neighbour(&mut self, here: &AtCursor<'_>, by: isize) -> Option<usize> {
        self.with_sheets(here, |sheets, paper| sheets.neighbour(paper, here.slot(), by))
    }

    /// Does something with the sheets, which need to know the passage.
    fn with_sheets<T>(&mut self, here: &AtCursor<'_>, work: impl FnOnce(&mut Sheets, TabForm<'_>) -> T) -> T {
        let labels = string_labels(here.rig().tuning());
        let mut sheets = std::mem::take(&mut self.sheets);
        let done = work(&mut sheets, self.paper(here.passage, &here.bars, &labels));
        self.sheets = sheets;
        done
    }

    /// Returns the event of a voice that is nearest to a column and a line of the pane, or else the beginning of the
    /// bar there, with the row of its string, counted from 0; `None` where there is no tab.
    pub(super) fn place_at(&self, (x, y): (usize, usize), voice: usize) -> Option<(Slot, usize)> {
        let (column, line) = (x.checked_sub(1)?, y.checked_sub(1)?);
        let TabLine::Music { sheet, system, line, .. } = self.lines.get(line)? else { return None };
        let map = self.sheets.map(*sheet, *system)?;
        let nearest = map.events.iter().filter(|event| event.voice == voice);
        let nearest = nearest.min_by_key(|event| event.column.abs_diff(column));
        let (bar, _) = map.bars.iter().find(|(_, columns)| column < columns.end + 1).or(map.bars.last())?;
        let slot = match nearest {
            Some(event) if event.bar == *bar => Slot { bar: event.bar, voice, event: event.event },
            Some(_) | None => Slot::start_of(*bar, voice),
        };
        Some((slot, line.saturating_sub(map.strings.start)))
    }

    /// Returns the tab in view as text.
    pub(super) fn text(&self) -> String {
        let lines = self.lines.iter().map(|line| match line {
            TabLine::Music { text, .. } | TabLine::Note(text) => text.as_str(),
        });
        lines.collect::<Vec<&str>>().join("\n")
    }
}
