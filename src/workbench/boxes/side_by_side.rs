//! Two versions of one thing, side by side: what is in the file and what is yours.

use std::ops::Range;
use std::sync::Arc;

use crate::lesson::music::Passage;
use crate::workbench::drawing::appearance::Appearance;
use crate::workbench::drawing::role::Role;
use crate::workbench::drawing::scroll::Scroll;

/// Two versions of one thing, as far as they differ.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SideBySide {
    /// Where they differ, in the order of the file.
    pub rows: Vec<VersionRow>,
    /// The keys that show the rest where not all has room, in words.
    pub keys: String,
    scroll: Scroll,
    /// How it lies on a screen of the size and the appearance that it was drawn with last: wrapping a script takes long.
    pub(super) measured: Option<((usize, usize), Appearance, SideMeasure)>,
}

/// One fact in which two versions differ.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VersionRow {
    /// What it is about: `segment 3 "Chorus slowly": talking point 2`.
    pub about: String,
    /// What the file says.
    pub in_file: VersionCell,
    /// What you have.
    pub yours: VersionCell,
}

/// What one version says of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum VersionCell {
    /// It says nothing.
    Nothing,
    /// The whole thing is not there any more.
    TakenOut,
    /// These words.
    Words(String),
    /// These bars.
    Music(VersionBars),
}

/// Bars of one version of a passage.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VersionBars {
    /// The passage.
    pub passage: Arc<Passage>,
    /// The bars, counted from 0; at least one.
    pub bars: Range<usize>,
    /// The names of the strings, highest string number first.
    pub labels: Arc<[String]>,
}

/// How two versions lie on a screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct SideMeasure {
    /// How many columns there are inside the box.
    pub(super) width: usize,
    /// How they lie to each other.
    pub(super) layout: SideLayout,
    /// The lines under the heading, all of them.
    pub(super) lines: Arc<[SideLine]>,
    /// How many lines are in view.
    pub(super) room: usize,
}

/// How two versions lie to each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum SideLayout {
    /// In two columns of this width each.
    Columns(usize),
    /// One under the other.
    Stacked,
}

/// A line of two versions: pieces of text with the column where each begins.
pub(super) type SideLine = Vec<(usize, String, Role)>;

impl SideBySide {
    /// Returns two versions from their first difference on.
    pub fn new(rows: Vec<VersionRow>, keys: impl Into<String>) -> Self {
        Self { rows, keys: keys.into(), scroll: Scroll::default(), measured: None }
    }

    /// Returns the first line in view of `count`, where `room` of them are.
    pub(super) const fn first(&self, count: usize, room: usize) -> usize {
        let last = count.saturating_sub(room);
        if self.scroll.first() < last { self.scroll.first() } else { last }
    }

    /// Goes a screenful up; returns whether there is anything to scroll.
    pub(super) fn page_up(&mut self) -> bool {
        self.scroll_by(|first, room| first.saturating_sub(room))
    }

    /// Goes a screenful down; returns whether there is anything to scroll.
    pub(super) fn page_down(&mut self) -> bool {
        self.scroll_by(|first, room| first.saturating_add(room))
    }

    fn scroll_by(&mut self, to: impl FnOnce(usize, usize) -> usize) -> bool {
        let Some((_, _, measure)) = &self.measured else { return false };
        let (count, room) = (measure.lines.len(), measure.room);
        if count <= room {
            return false;
        }
        // A line stays in view, to read on from.
        let to = to(self.first(count, room), room.saturating_sub(1).max(1));
        self.scroll.to(to, count, room);
        true
    }
}
