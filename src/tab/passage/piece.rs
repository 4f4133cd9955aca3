//! What stands in one system: a bar, or a part of one.

use super::closeness::Closeness;
use super::columns::Column;
use super::time_scale::TimeScale;
use crate::lesson::time::Ticks;

/// The string between a bar line and the first column.
pub(super) const LEAD: usize = 1;

/// A bar, or the part of a bar that stands in one system.
#[derive(Debug, Clone)]
pub(super) struct BarPiece {
    /// The bar.
    pub(super) bar: usize,
    /// The columns.
    pub(super) columns: Vec<Column>,
    /// How it begins and ends.
    pub(super) left: Edge,
    pub(super) right: Edge,
    /// Marks over its beginning: meter, tempo, key, pickup.
    pub(super) head: Vec<String>,
    /// A mark over its end: how often a repeat is played.
    pub(super) tail: Option<String>,
    /// The endings it belongs to.
    pub(super) endings: Vec<u8>,
    /// The least width of each column, where a chord name needs its room before that of the next.
    pub(super) least: Vec<usize>,
    /// The least width of each column, whatever the chord names.
    pub(super) unnamed: Vec<usize>,
    /// The chord names over it, from left to right.
    pub(super) names: Vec<NameOver>,
    /// The width at which each column reads well.
    pub(super) good: Vec<usize>,
    /// How long it is from each column to the next, in ticks.
    pub(super) lasts: Vec<u64>,
    /// The line where tab is written.
    pub(super) line: WrittenLine,
}

/// What decides how a bar is spaced where tab is written, beside what stands in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct WrittenLine {
    /// How close notes stand.
    pub(super) closeness: Closeness,
    /// How time becomes distance, in a bar of two voices.
    pub(super) scale: Option<TimeScale>,
    /// The columns between the bar lines of a bar that has a line to itself.
    pub(super) room: usize,
    /// How long a bar is by the time signature.
    pub(super) bar: Ticks,
}

/// A chord name over a piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct NameOver {
    /// The column it stands over.
    pub(super) column: usize,
    /// Its width.
    pub(super) width: usize,
}

/// One end of a piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Edge {
    /// A bar line.
    Bar,
    /// A repeat begins or ends here.
    Repeat,
    /// The bar goes on in another system.
    GoesOn,
}
