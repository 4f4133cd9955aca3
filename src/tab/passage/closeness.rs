//! How close notes stand where tab is written: by their lengths alone.

use crate::lesson::time::{NoteValue, Ticks};

/// How close notes stand where tab is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Closeness {
    /// Two figures and a sign have room over a sixteenth.
    Wide,
    /// Two figures have room over a sixteenth.
    Middle,
    /// One figure has room over a sixteenth.
    Close,
}

/// The columns of a quarter; longer notes have as many more as they last longer.
const QUARTER: usize = 8;
/// The most columns that one note has: those of a whole one.
const MOST: usize = 4 * QUARTER;

impl Closeness {
    /// Returns how close notes stand in lines of `room` columns: so that a full bar of sixteenths has room in one, where that is
    /// possible. `bar` is how long a bar is by the time signature.
    pub(super) fn of(bar: Ticks, room: usize) -> Self {
        let sixteenths = usize::try_from(bar.0 / NoteValue::Sixteenth.ticks().0).unwrap_or(usize::MAX);
        let fits = |closeness: &Self| {
            let wide = sixteenths.saturating_mul(closeness.columns(NoteValue::Sixteenth.ticks().0));
            wide <= room
        };
        [Self::Wide, Self::Middle].into_iter().find(fits).unwrap_or(Self::Close)
    }

    /// Returns the columns that belong to a note which lasts so many ticks. The numbers are our own settings.
    pub(super) fn columns(self, ticks: u64) -> usize {
        let [eighth, triplet, sixteenth, shorter] = match self {
            Self::Wide => [6, 5, 4, 3],
            Self::Middle => [5, 4, 3, 2],
            Self::Close => [4, 3, 2, 2],
        };
        let quarter = NoteValue::Quarter.ticks().0;
        match ticks {
            long if long >= quarter => {
                let columns = long.saturating_mul(QUARTER as u64) / quarter;
                usize::try_from(columns).unwrap_or(MOST).min(MOST)
            }
            dotted if dotted * 4 >= quarter * 3 => usize::midpoint(eighth, QUARTER),
            ticks if ticks * 2 >= quarter => eighth,
            ticks if ticks * 3 >= quarter => triplet,
            ticks if ticks * 4 >= quarter => sixteenth,
            _ => shorter,
        }
    }
}
