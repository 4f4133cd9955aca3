//! The cursor on the neck: a string and a fret, always at a place that is there.

use crate::instrument::neck::{Fret, Shape, StringNumber};
use crate::instrument::rig::Rig;

/// String 1.
const TOP_STRING: StringNumber = StringNumber::new(1).expect("there is a string 1");

/// Where the cursor is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct NeckCursor {
    pub(super) string: StringNumber,
    pub(super) fret: Fret,
}

impl NeckCursor {
    /// Returns the cursor at the nut of the first string of `rig`.
    pub(super) fn at_the_nut(rig: &Rig) -> Self {
        Self { string: rig.strings().next().unwrap_or(TOP_STRING), fret: Fret::OPEN }
    }

    /// Returns the cursor on the neck: on the first string where its own is not there, and no further than that string
    /// goes.
    pub(super) fn on(self, rig: &Rig) -> Self {
        let there = rig.strings().any(|known| known == self.string);
        let string = if there { self.string } else { Self::at_the_nut(rig).string };
        Self { string, fret: self.fret.min(rig.last_fret(string).unwrap_or(Fret::OPEN)) }
    }

    /// Returns the cursor on another string, or where it is without one.
    pub(super) fn on_string(self, rig: &Rig, string: Option<StringNumber>) -> Self {
        Self { string: string.unwrap_or(self.string), ..self }.on(rig)
    }

    /// Returns the cursor at another fret of its string, or at the last fret there is.
    pub(super) fn at_fret(self, rig: &Rig, number: u8) -> Self {
        Self { fret: Fret::new(number).unwrap_or(self.fret), ..self }.on(rig)
    }

    /// Returns the cursor on the sounding string of `shape` with the highest number, where a shape begins; where nothing
    /// sounds, it stays.
    pub(super) fn at_start_of(self, rig: &Rig, shape: &Shape) -> Self {
        let first = rig.strings().find_map(|string| Some((string, shape.on(string)?)));
        first.map_or(self, |(string, fret)| Self { string, fret }).on(rig)
    }
}
