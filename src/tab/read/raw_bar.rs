//! A bar of tab without rhythm, while its notes have columns and no lengths yet.

use crate::lesson::music::Note;

/// A bar with its notes by column, before they have lengths.
#[derive(Debug, Default)]
pub(super) struct RawBar {
    /// The notes that start together, with their column counted from the bar line.
    pub(super) columns: Vec<RawColumn>,
    /// The columns between the bar lines.
    pub(super) width: usize,
    pub(super) repeat_start: bool,
    pub(super) repeat_end: Option<u8>,
    /// Whether a bar line ends it.
    pub(super) closed: bool,
    /// The number of its system's first line.
    pub(super) line: usize,
}

/// Notes that start together.
#[derive(Debug, Default)]
pub(super) struct RawColumn {
    /// Its column, counted from the bar line.
    pub(super) offset: usize,
    /// How many columns of signs stand before a number, as in `T12`.
    pub(super) signs_before: usize,
    /// Its column on string 1, counted from the left edge.
    pub(super) at: usize,
    pub(super) notes: Vec<Note>,
    pub(super) chord: Option<String>,
    pub(super) text: Option<String>,
}
