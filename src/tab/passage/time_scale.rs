//! How time becomes distance in a bar of two voices, where tab is written.

use std::collections::BTreeSet;

use super::closeness::Closeness;
use crate::lesson::music::Bar;

/// How time becomes distance in a bar of two voices.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct TimeScale {
    /// The ticks that all times from one moment to the next are multiples of.
    unit: u64,
    /// The columns of a unit with which notes without wide signs have the room that belongs to them.
    pub(super) usual: usize,
}

impl TimeScale {
    /// Returns the scale of a bar; `None` where it has one voice. Where a voice ends for now, its next note will start.
    pub(super) fn of(bar: &Bar, closeness: Closeness) -> Option<Self> {
        let voices = || bar.voices.iter().filter(|voice| !voice.0.is_empty());
        if voices().count() < 2 {
            return None;
        }
        let starts = voices().flat_map(|voice| voice.timed().map(|(tick, _)| tick.0));
        let moments: BTreeSet<u64> = starts.chain(voices().map(|voice| voice.ticks().0)).collect();
        let later = moments.iter().skip(1);
        let gaps = || moments.iter().zip(later.clone()).map(|(from, to)| to - from);
        let scale = Self { unit: gaps().fold(0, greatest_common_divisor).max(1), usual: 0 };
        let usual = gaps().map(|gap| each(closeness.columns(gap), scale.units(gap))).max().unwrap_or(0);
        Some(Self { usual, ..scale })
    }

    /// Returns how many units so many ticks are.
    pub(super) fn units(self, ticks: u64) -> usize {
        usize::try_from(ticks.div_ceil(self.unit)).unwrap_or(usize::MAX)
    }
}

/// Returns the columns for each of some units with which they have `room` together. What takes no time does not follow the scale.
pub(super) fn each(room: usize, units: usize) -> usize {
    if units == 0 { 0 } else { room.div_ceil(units) }
}

/// Returns the greatest number that both are multiples of.
pub(super) fn greatest_common_divisor(one: u64, other: u64) -> u64 {
    if other == 0 { one } else { greatest_common_divisor(other, one % other) }
}
