//! The numbers that players see on bars, and read out: a pickup is not counted.
//!
//! In engraving the first whole bar is bar 1, and a pickup before it has no number (MusicXML 4.0, attribute `implicit` of `measure`: such
//! a bar is not counted; its number is 0 by custom). Only the first bar of a passage can be such a pickup: a later one stands within
//! music that is counted. Lesson files count places in the list of bars, from 1; they know nothing of this.

use std::fmt;
use std::ops::Range;

use super::document::BarRange;
use super::music::{Bar, Passage};

/// How the bars of a passage are numbered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct BarNumbers {
    /// Whether the first bar is a pickup.
    pickup: bool,
    /// How many bars there are, the pickup among them.
    bars: usize,
}

/// What a bar is called.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum BarName {
    /// The bar before the first that is counted.
    Pickup,
    /// A bar with its number.
    Number(usize),
}

/// Prints `bar 3`, or `the pickup`.
impl fmt::Display for BarName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Pickup => f.write_str("the pickup"),
            Self::Number(number) => write!(f, "bar {number}"),
        }
    }
}

impl BarNumbers {
    /// Returns the numbers of the bars of a passage.
    pub fn of(passage: &Passage) -> Self {
        Self::of_bars(&passage.bars)
    }

    /// Returns the numbers of these bars, which are a whole passage.
    pub fn of_bars(bars: &[Bar]) -> Self {
        Self { pickup: bars.first().is_some_and(|bar| bar.pickup), bars: bars.len() }
    }

    /// Returns what the bar at `index` is called, which is counted from 0.
    pub const fn name(self, index: usize) -> BarName {
        match (self.pickup, index) {
            (true, 0) => BarName::Pickup,
            (true, later) => BarName::Number(later),
            (false, index) => BarName::Number(index.saturating_add(1)),
        }
    }

    /// Returns the index of the bar that is called so, counted from 0; `None` where there is none.
    pub fn index(self, name: BarName) -> Option<usize> {
        let index = match (name, self.pickup) {
            (BarName::Pickup, true) => Some(0),
            (BarName::Pickup, false) => None,
            (BarName::Number(number), true) => (number > 0).then_some(number),
            (BarName::Number(number), false) => number.checked_sub(1),
        };
        index.filter(|index| *index < self.bars)
    }

    /// Returns the last number; 0 where no bar has one.
    pub fn last(self) -> usize {
        self.bars.saturating_sub(usize::from(self.pickup))
    }

    /// Says how many bars there are: `8 bars`, `pickup and 8 bars`.
    pub fn count(self) -> String {
        let bars = match self.last() {
            1 => "1 bar".to_owned(),
            bars => format!("{bars} bars"),
        };
        match (self.pickup, self.last()) {
            (true, 0) => "pickup".to_owned(),
            (true, _) => format!("pickup and {bars}"),
            (false, _) => bars,
        }
    }

    /// Says which bars these are, counted from 0: `bars 1 to 4`, `bar 3`, `the pickup to bar 4`.
    pub fn stretch(self, bars: Range<usize>) -> String {
        let (first, last) = (bars.start, bars.end.saturating_sub(1).max(bars.start));
        self.between(first, last)
    }

    /// Says which bars are played of a passage, as lesson files have them.
    pub fn range(self, BarRange { first, last }: BarRange) -> String {
        // A file can ask for bars that are not there; those keep their numbers.
        let index = |number: u32| usize::try_from(number).unwrap_or(usize::MAX).checked_sub(1);
        match (index(first), index(last)) {
            (Some(first), Some(last)) => self.between(first, last),
            _ => format!("bars {first} to {last}"),
        }
    }

    /// Lists bars as lesson files count them, in order: `bar 3`, `bars 1-4, 7`, `the pickup, bars 1-4`; nothing where there are none.
    pub fn listed(self, bars: impl IntoIterator<Item = u32>) -> String {
        let mut runs: Vec<(usize, usize)> = Vec::new();
        let mut pickup = false;
        for bar in bars {
            let index = usize::try_from(bar).unwrap_or(usize::MAX).saturating_sub(1);
            match (self.name(index), runs.last_mut()) {
                (BarName::Pickup, _) => pickup = true,
                (BarName::Number(number), Some((_, last))) if number == *last => {}
                (BarName::Number(number), Some((_, last))) if last.checked_add(1) == Some(number) => *last = number,
                (BarName::Number(number), _) => runs.push((number, number)),
            }
        }
        let run = |(first, last): &(usize, usize)| match first == last {
            true => first.to_string(),
            false => format!("{first}-{last}"),
        };
        let listed = runs.iter().map(run).collect::<Vec<String>>().join(", ");
        let numbered = match runs.as_slice() {
            [] => None,
            [(first, last)] if first == last => Some(format!("bar {listed}")),
            _ => Some(format!("bars {listed}")),
        };
        let pickup = pickup.then(|| BarName::Pickup.to_string());
        pickup.into_iter().chain(numbered).collect::<Vec<String>>().join(", ")
    }

    fn between(self, first: usize, last: usize) -> String {
        match (self.name(first), self.name(last)) {
            (one, other) if one == other => one.to_string(),
            (BarName::Number(first), BarName::Number(last)) => format!("bars {first} to {last}"),
            (first, last) => format!("{first} to {last}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn numbers(pickup: bool, bars: usize) -> BarNumbers {
        BarNumbers { pickup, bars }
    }

    #[test]
    fn a_pickup_has_no_number_and_the_first_whole_bar_is_bar_1() {
        let with = numbers(true, 5);
        let names: Vec<String> = (0..5).map(|index| with.name(index).to_string()).collect();
        assert_eq!(names, ["the pickup", "bar 1", "bar 2", "bar 3", "bar 4"]);
        assert_eq!(
            [with.count(), numbers(false, 1).count(), numbers(true, 1).count()],
            ["pickup and 4 bars", "1 bar", "pickup"]
        );
        let said = [0..5, 1..5, 2..3, 0..1].map(|bars| with.stretch(bars));
        assert_eq!(said, ["the pickup to bar 4", "bars 1 to 4", "bar 2", "the pickup"]);
    }

    #[test]
    fn bars_are_listed_in_runs_and_a_pickup_by_its_name() {
        let plain = numbers(false, 9);
        let said = [&[][..], &[3], &[1, 1, 2, 3, 4, 7], &[2, 4]].map(|bars| plain.listed(bars.iter().copied()));
        assert_eq!(said, ["", "bar 3", "bars 1-4, 7", "bars 2, 4"]);
        let with = numbers(true, 9);
        let said = [&[1][..], &[1, 2], &[1, 2, 3, 5], &[2]].map(|bars| with.listed(bars.iter().copied()));
        assert_eq!(said, ["the pickup", "the pickup, bar 1", "the pickup, bars 1-2, 4", "bar 1"]);
    }

    #[test]
    fn the_name_of_a_bar_leads_back_to_it() {
        for (pickup, bars) in [(false, 0), (true, 1), (true, 5), (false, 5)] {
            let numbers = numbers(pickup, bars);
            for index in 0..bars {
                assert_eq!(numbers.index(numbers.name(index)), Some(index), "{numbers:?}");
            }
            assert_eq!(numbers.index(BarName::Number(0)), None);
            assert_eq!(numbers.index(numbers.name(bars)), None);
        }
    }
}
