//! What a caller asks of the tab layout, and what comes out.

use std::ops::Range;

use crate::text::charset::Charset;

/// How tab is laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct TabStyle {
    /// The widest line, in terminal columns.
    pub width: usize,
    /// The characters that may be used.
    pub charset: Charset,
    /// How notes are spread over a line.
    pub spacing: TabSpacing,
}

/// How notes are spread over a line of tab.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TabSpacing {
    /// Every line but the last fills the width, as on paper.
    Filled,
    /// Time decides alone, so that what is written stays in its place while more is written behind it.
    Steady,
}

impl TabStyle {
    /// Returns the style of paper, `width` columns wide.
    #[must_use]
    pub const fn filled(width: usize, charset: Charset) -> Self {
        Self { width, charset, spacing: TabSpacing::Filled }
    }

    /// Returns the style of a screen on which tab is written.
    #[must_use]
    pub const fn steady(width: usize, charset: Charset) -> Self {
        Self { width, charset, spacing: TabSpacing::Steady }
    }
}

/// A group of lines that belong together: the rows over the strings, the strings, the rows below.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct System {
    /// The bars in it, counted from 0.
    pub bars: Range<usize>,
    /// The lines, none wider than asked.
    pub lines: Vec<String>,
}

/// Where a sign stands; one letter may mean one thing in the row of lengths and another on a string.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SignPlace {
    /// In the rows of lengths.
    Lengths,
    /// On a string.
    Strings,
    /// Over or under the strings, and at bar lines.
    Around,
    /// In a chord grid.
    Grid,
}

/// One line of the legend: a sign as it stands in the tab and what it means.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LegendEntry {
    /// Where it stands.
    pub place: SignPlace,
    /// The sign: `h`, `~`, `<12>`.
    pub sign: String,
    /// What it means, in a player's words.
    pub meaning: String,
}

/// A passage as text.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TabText {
    /// The systems in order; none is split over a page.
    pub systems: Vec<System>,
    /// The signs used, each once.
    pub legend: Vec<LegendEntry>,
}
