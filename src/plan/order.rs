//! The order in which written bars are played: repeats taken, each ending in its turn.
//!
//! A repeated stretch begins at a repeat sign, or where the stretch before it ended, or at the
//! first bar. It ends with the last bar that carries a closing sign or belongs to an ending. It is
//! played as often as its closing signs and the numbers of its endings ask for; the endings of a
//! stretch without a closing sign are played straight through. Common practice of notation.

use std::ops::Range;

use crate::lesson::document::BarRange;
use crate::lesson::music::Bar;

/// Returns the places of the bars of `bars`, counted from 0, in the order they are played.
///
/// The iterator always ends: a stretch is played at most 255 times, and each time goes forward through it.
pub fn played_bars(bars: &[Bar]) -> impl Iterator<Item = usize> {
    played_within(bars, 0..bars.len())
}

/// Returns what [`played_bars`] does for the bars of `range` alone. A repeat is taken only when
/// its whole stretch, endings included, lies in the range: bars 3 to 4 of a stretch that begins
/// at bar 1 are played once.
pub fn played_range(bars: &[Bar], range: Option<BarRange>) -> impl Iterator<Item = usize> {
    played_within(bars, places(bars.len(), range))
}

/// Returns the places, counted from 0, of those bars in `range` that exist.
pub fn places(count: usize, range: Option<BarRange>) -> Range<usize> {
    let Some(BarRange { first, last }) = range else { return 0..count };
    let place = |number: u32| usize::try_from(number).unwrap_or(usize::MAX);
    let end = place(last).min(count);
    place(first).saturating_sub(1).min(end)..end
}

fn played_within(bars: &[Bar], range: Range<usize>) -> impl Iterator<Item = usize> {
    stretches(bars)
        .into_iter()
        .filter(|stretch| !stretch.is_empty())
        .filter_map({
            let range = range.clone();
            move |stretch| {
                let inside = stretch.start >= range.start && stretch.end <= range.end;
                let common = stretch.start.max(range.start)..stretch.end.min(range.end);
                (!common.is_empty()).then_some((common, inside))
            }
        })
        .flat_map(move |(stretch, whole)| {
            let passes = if whole { passes(bars, &stretch) } else { None };
            Played { bars, at: stretch.start, stretch, pass: 1, passes }
        })
}

/// Divides the bars into repeated stretches and the plain ones between them, in order.
fn stretches(bars: &[Bar]) -> Vec<Range<usize>> {
    let mut stretches = Vec::new();
    let mut start = 0;
    let mut closed = false;
    for (place, bar) in bars.iter().enumerate() {
        let goes_on = !bar.repeat_start && (!closed || !bar.endings.is_empty());
        if !goes_on {
            stretches.push(start..place);
            start = place;
            closed = false;
        }
        closed |= bar.repeat_end.is_some();
    }
    stretches.push(start..bars.len());
    stretches
}

/// Returns how often a stretch is played; `None` where no closing sign asks for a repeat.
fn passes(bars: &[Bar], stretch: &Range<usize>) -> Option<u8> {
    let bars = bars.get(stretch.clone())?;
    let signs = bars.iter().filter_map(|bar| bar.repeat_end).max()?;
    let endings = bars.iter().flat_map(|bar| bar.endings.iter().copied()).max();
    Some(signs.max(endings.unwrap_or(1)).max(1))
}

/// Walks through one stretch, pass after pass.
struct Played<'a> {
    bars: &'a [Bar],
    stretch: Range<usize>,
    at: usize,
    pass: u8,
    passes: Option<u8>,
}

impl Iterator for Played<'_> {
    type Item = usize;

    fn next(&mut self) -> Option<usize> {
        while self.at < self.stretch.end {
            let place = self.at;
            let bar = self.bars.get(place)?;
            self.at += 1;
            let Some(passes) = self.passes else { return Some(place) };
            if !bar.endings.is_empty() && !bar.endings.contains(&self.pass) {
                continue;
            }
            if bar.repeat_end.is_some() && self.pass < passes {
                self.at = self.stretch.start;
                self.pass += 1;
            }
            return Some(place);
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Writes bars as `|:` before, letters, `[1` endings and `:|3` after, and plays them.
    #[track_caller]
    fn check(written: &str, played: &str) {
        check_range(written, None, played);
    }

    #[track_caller]
    fn check_range(written: &str, range: Option<(u32, u32)>, played: &str) {
        let mut bars: Vec<Bar> = Vec::new();
        let mut names = Vec::new();
        let mut pending = Bar::default();
        for sign in written.split_whitespace() {
            if sign == "|:" {
                pending.repeat_start = true;
            } else if let Some(numbers) = sign.strip_prefix('[') {
                pending.endings = numbers.split(',').map(|number| number.parse().unwrap()).collect();
            } else if let Some(times) = sign.strip_prefix(":|") {
                bars.last_mut().unwrap().repeat_end = Some(times.parse().unwrap_or(2));
            } else {
                names.push(sign);
                bars.push(std::mem::take(&mut pending));
            }
        }
        let range = range.map(|(first, last)| BarRange { first, last });
        let order: Vec<&str> = played_range(&bars, range).take(10_000).map(|place| names[place]).collect();
        assert_eq!(order.join(" "), played, "{written}");
    }

    // The expected orders are common practice of notation; no published source was read.
    #[test]
    fn repeats_are_taken() {
        check("A B C", "A B C");
        check("A B :| C", "A B A B C");
        check("A |: B :|3 C", "A B B B C");
        check("|: A :| |: B :| C", "A A B B C");
        check("A :| B :| C", "A A B B C");
    }

    #[test]
    fn endings_are_played_in_their_turn() {
        check("|: A [1 B :| [2 C D", "A B A C D");
        check("|: A [1,2 B :| [3 C :| D", "A B A B A C D");
        check("|: A [1 B :| [2 C :| [3 D E", "A B A C A D E");
        check("|: A [1 B [1 C :| [2 D [2 E |: F :|", "A B C A D E F F");
        check("|: A [1 B :| C", "A B A C");
    }

    #[test]
    fn signs_that_contradict_each_other_still_end() {
        check("A [1 B [2 C", "A B C");
        check("A :|0", "A");
        check("[7 A :|", "");
        check("|: A |: B :|", "A B B");
    }

    #[test]
    fn part_of_a_stretch_is_played_once() {
        check_range("|: A B C D :| E", Some((3, 4)), "C D");
        check_range("|: A B :| C D", Some((1, 3)), "A B A B C");
        check_range("|: A [1 B :| [2 C", Some((1, 2)), "A B");
        check_range("A B C", Some((3, 9)), "C");
        check_range("A B C", Some((0, 1)), "A");
        check_range("A B C", Some((3, 2)), "");
        check_range("A B C", Some((9, 9)), "");
    }
}
