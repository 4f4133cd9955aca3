//! Rests as players write them: each beat can be seen, and so can the middle of the bar.

use crate::lesson::music::Event;
use crate::lesson::time::{Length, Meter, NoteValue, Ticks, Tuplet};

/// Returns the rests that fill a bar of `meter` behind `events` up to a moment of it: first those that complete the tuplet in which the
/// events end, then those of [`rests_between`]. `None` where none fill it exactly: a tuplet before the last notes is not complete, or
/// what is missing is too short to be written.
pub fn rests_behind(meter: Meter, events: &[Event], until: Ticks) -> Option<Vec<Length>> {
    let ticks = |rests: &[Length]| rests.iter().map(|rest| rest.ticks()).sum::<Ticks>();
    let written: Ticks = events.iter().map(|event| event.length.ticks()).sum();
    let missing = until.0.checked_sub(written.0)?;
    let mut rests = completing(events, Ticks(missing));
    rests.extend(rests_between(meter, written + ticks(&rests), until));
    (ticks(&rests).0 == missing).then_some(rests)
}

/// Returns the rests that complete the tuplet in which `events` end, in the time that is left; none where there is none or it is complete.
fn completing(events: &[Event], left: Ticks) -> Vec<Length> {
    let run = events.chunk_by(|one, next| one.length.tuplet() == next.length.tuplet()).next_back();
    let Some((run, tuplet)) = run.and_then(|run| Some((run, run.last()?.length.tuplet()?))) else { return Vec::new() };
    let shortest = TupletGroups::of(run, tuplet).unit;
    // Two triplet quarters and a bar that ends a triplet eighth behind them: the group is one of eighths.
    let units = NoteValue::ALL.into_iter().filter(|value| *value >= shortest);
    let completed = units.filter_map(|unit| {
        let rest = Length::new(unit, 0, Some(tuplet))?;
        let count = TupletGroups { unit, ..TupletGroups::of(run, tuplet) }.missing()?;
        (rest.ticks().0.checked_mul(count)? <= left.0).then(|| vec![rest; usize::try_from(count).unwrap_or(0)])
    });
    completed.into_iter().next().unwrap_or_default()
}

/// How far events in one sort of tuplet make up whole groups: so many of the shortest value in them as the tuplet counts, or a multiple.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TupletGroups {
    /// The shortest value, of which the groups are counted.
    pub unit: NoteValue,
    tuplet: Tuplet,
    /// What is written, as if there were no tuplet.
    written: Ticks,
}

impl TupletGroups {
    /// Counts events that all stand in `tuplet`.
    pub fn of(run: &[Event], tuplet: Tuplet) -> Self {
        let written =
            |length: Length| Length::new(length.value(), length.dots(), None).map_or(Ticks::ZERO, Length::ticks);
        let unit = run.iter().map(|event| shortest_part(event.length)).max().unwrap_or(NoteValue::Eighth);
        Self { unit, tuplet, written: run.iter().map(|event| written(event.length)).sum() }
    }

    /// Returns how many of the unit are written, a broken one as a whole one.
    pub fn count(self) -> u64 {
        self.written.0.div_ceil(self.unit.ticks().0.max(1))
    }

    /// Returns how many of the unit the last group lacks; `None` where units do not make it up.
    pub fn missing(self) -> Option<u64> {
        let (lacks, unit) = (self.lacks(), self.unit.ticks().0.max(1));
        lacks.is_multiple_of(unit).then_some(lacks / unit)
    }

    /// Returns the written length that the last group lacks.
    pub fn lacks(self) -> u64 {
        let group = (self.unit.ticks().0 * u64::from(self.tuplet.actual)).max(1);
        (group - self.written.0 % group) % group
    }
}

/// Returns the plain value of which a dotted length is made up.
fn shortest_part(length: Length) -> NoteValue {
    let denominator = u32::from(length.value().denominator()) << length.dots();
    u8::try_from(denominator).ok().and_then(NoteValue::from_denominator).unwrap_or(NoteValue::SixtyFourth)
}

/// Returns the rests that fill a bar of `meter` from one moment of it to another: first up to the next beat, then as large ones as
/// can stand there without hiding a beat (common practice, no published source). A whole bar is one rest where one is as long.
/// What is too short to be written is left out.
pub fn rests_between(meter: Meter, from: Ticks, until: Ticks) -> Vec<Length> {
    let all = Ticks(until.0.saturating_sub(from.0));
    let whole_bar = from == Ticks::ZERO && until == meter.ticks();
    if whole_bar && (rests(all).len() == 1 || !has_halves(meter)) {
        return rests(all);
    }
    let lengths = longest_first();
    let (mut at, mut written) = (from, Vec::new());
    while let Some(length) =
        lengths.iter().find(|length| at + length.ticks() <= until && shows_the_beat(meter, at, **length))
    {
        written.push(*length);
        at += length.ticks();
    }
    // What begins or ends between all that can be written, as inside a triplet.
    written.extend(rests(Ticks(until.0.saturating_sub(at.0))));
    written
}

/// Returns plain and dotted lengths that add up to `length`, shortest first, wherever it stands. What is too short to be written is
/// left out.
pub fn rests(length: Ticks) -> Vec<Length> {
    let mut left = length.0;
    let mut rests = Vec::new();
    for length in longest_first() {
        while length.ticks().0 <= left {
            left -= length.ticks().0;
            rests.push(length);
        }
    }
    rests.reverse();
    rests
}

fn longest_first() -> Vec<Length> {
    let lengths = NoteValue::ALL.iter().flat_map(|value| [1, 0].map(|dots| Length::new(*value, dots, None)));
    let mut lengths: Vec<Length> = lengths.flatten().collect();
    lengths.sort_by_key(|length| std::cmp::Reverse(length.ticks()));
    lengths
}

/// Returns whether the beats of a bar go together in twos and threes that everybody counts alike: not so in 5/4 or 7/8.
fn has_halves(meter: Meter) -> bool {
    matches!(beats(meter), 1 | 2 | 3 | 4 | 8)
}

fn beats(meter: Meter) -> u64 {
    meter.ticks().0 / meter.beat().0.max(1)
}

/// Returns whether a rest hides no beat at a moment of a bar.
fn shows_the_beat(meter: Meter, at: Ticks, length: Length) -> bool {
    let (beat, ticks) = (meter.beat().0.max(1), length.ticks().0);
    let begins = |unit: u64| at.0.is_multiple_of(unit);
    if ticks == beat {
        return begins(beat);
    }
    if ticks > beat {
        // Half of a bar, or of half of it: two beats in 4/4, never in 3/4.
        return ticks.is_multiple_of(beat)
            && (ticks / beat).is_power_of_two()
            && meter.ticks().0.is_multiple_of(2 * ticks)
            && begins(ticks);
    }
    // A beat of three begins with two thirds, and ends with one third after the other.
    let third = beat / 3;
    if meter.is_compound() && ticks > third {
        return length.dots() == 0 && ticks == 2 * third && begins(beat);
    }
    length.dots() == 0 && begins(ticks)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const EIGHTH: u64 = NoteValue::Eighth.ticks().0;

    /// Says the rests from one eighth of a bar to another, or to its end.
    fn said(meter: &str, from: u64, until: Option<u64>) -> String {
        let meter: Meter = meter.parse().unwrap();
        let until = until.map_or(meter.ticks(), |eighths| Ticks(EIGHTH * eighths));
        let rests = rests_between(meter, Ticks(EIGHTH * from), until);
        rests.iter().map(Length::to_string).collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn a_bar_is_filled_to_the_beat_and_no_rest_crosses_its_middle() {
        let four = [1, 2, 3, 4, 5, 6, 7].map(|from| said("4/4", from, None));
        assert_eq!(four, ["1/8 1/4 1/2", "1/4 1/2", "1/8 1/2", "1/2", "1/8 1/4", "1/4", "1/8"]);
        // Nobody writes a half rest in 3/4.
        assert_eq!([1, 2, 3, 4].map(|from| said("3/4", from, None)), ["1/8 1/4 1/4", "1/4 1/4", "1/8 1/4", "1/4"]);
        assert_eq!([1, 2, 3].map(|from| said("2/4", from, None)), ["1/8 1/4", "1/4", "1/8"]);
        assert_eq!([1, 4, 6].map(|from| said("2/2", from, None)), ["1/8 1/4 1/2", "1/2", "1/4"]);
        assert_eq!(said("4/4", 0, Some(3)), "1/4 1/8");
        assert_eq!(said("4/4", 1, Some(6)), "1/8 1/4 1/4");
    }

    /// Says the rests behind lengths that are parted by commas.
    fn behind(meter: &str, lengths: &str) -> String {
        let meter: Meter = meter.parse().unwrap();
        let events: Vec<Event> = lengths.split(", ").map(|length| Event::rest(length.parse().unwrap())).collect();
        match rests_behind(meter, &events, meter.ticks()) {
            Some(rests) => rests.iter().map(Length::to_string).collect::<Vec<_>>().join(", "),
            None => "none".to_owned(),
        }
    }

    #[test]
    fn a_tuplet_is_completed_before_the_beats_behind_it_are_filled() {
        for (meter, lengths, rests) in [
            ("4/4", "1/8 3:2", "1/8 3:2, 1/8 3:2, 1/4, 1/2"),
            ("4/4", "1/2, 1/8 3:2, 1/8 3:2", "1/8 3:2, 1/4"),
            ("4/4", "1/8 3:2, 1/8 3:2, 1/8 3:2", "1/4, 1/2"),
            ("4/4", "1/4 3:2, 1/8 3:2", "1/4, 1/2"),
            ("4/4", "1/4, 1/4 3:2", "1/4 3:2, 1/4 3:2, 1/4"),
            // No room for three quarters.
            ("2/4", "1/4, 1/4 3:2", "1/8 3:2"),
            ("4/4", "1/16 5:4", "1/16 5:4, 1/16 5:4, 1/16 5:4, 1/16 5:4, 1/4, 1/2"),
            ("6/8", "1/8 2:3", "1/8 2:3, 1/4."),
            ("4/4", "1/8. 3:2", "1/8, 1/4, 1/2"),
            ("4/4", "1/4", "1/4, 1/2"),
            // The first triplet has no way of coming out.
            ("4/4", "1/8 3:2, 1/4, 1/8 3:2", "none"),
        ] {
            assert_eq!(behind(meter, lengths), rests, "{lengths} in {meter}");
        }
    }

    #[test]
    fn a_beat_of_three_eighths_ends_in_eighths() {
        let six = [1, 2, 3, 4, 5].map(|from| said("6/8", from, None));
        assert_eq!(six, ["1/8 1/8 1/4.", "1/8 1/4.", "1/4.", "1/8 1/8", "1/8"]);
        assert_eq!([3, 6, 9].map(|from| said("12/8", from, None)), ["1/4. 1/2.", "1/2.", "1/4."]);
        assert_eq!(said("6/8", 0, Some(2)), "1/4");
    }

    #[test]
    fn a_whole_bar_is_one_rest_where_one_is_as_long() {
        let whole = ["4/4", "3/4", "6/8", "12/8", "9/8"].map(|meter| said(meter, 0, None));
        assert_eq!(whole, ["1/1", "1/2.", "1/2.", "1/1.", "1/4. 1/4. 1/4."]);
        assert_eq!(said("5/4", 2, None), "1/4 1/4 1/4 1/4");
    }

    proptest! {
        /// A bar with an unfinished tuplet of any kind is exactly full behind its rests, and the tuplet complete.
        #[test]
        fn behind_a_tuplet_they_complete_it_and_fill_the_bar(
            beats in 1u8..13, unit in 1usize..5, plain in 0u64..8, actual in 2u8..=15, normal in 1u8..=16,
            values in proptest::collection::vec((1usize..7, 0u8..2), 1..12),
        ) {
            let meter = Meter::new(beats, NoteValue::ALL[unit]).unwrap();
            let tuplet = Tuplet { actual, normal };
            let lengths = values.into_iter().filter_map(|(value, dots)| Length::new(NoteValue::ALL[value], dots, Some(tuplet)));
            let lengths: Vec<Length> = lengths.filter(|length| length.value() < NoteValue::SixtyFourth || length.dots() == 0).collect();
            let run: Vec<Event> = lengths.into_iter().map(Event::rest).collect();
            let before = (0..plain).map(|_| Event::rest(Length::plain(NoteValue::Eighth)));
            let events: Vec<Event> = before.chain(run.clone()).collect();
            let written: Ticks = events.iter().map(|event| event.length.ticks()).sum();
            // Where the group that was begun has no room in the bar, no rests complete it.
            let groups = TupletGroups::of(&run, tuplet);
            let rest = Length::new(groups.unit, 0, Some(tuplet));
            let lacks = rest.and_then(|rest| Some(rest.ticks().0 * groups.missing()?));
            let whole = Ticks(lacks.unwrap_or(u64::MAX).saturating_add(written.0));
            let grid = NoteValue::SixtyFourth.ticks().0;
            prop_assume!(!run.is_empty() && whole <= meter.ticks() && whole.0.is_multiple_of(grid));
            let rests = rests_behind(meter, &events, meter.ticks()).expect("there is room for the whole group");
            let sum: Ticks = rests.iter().map(|rest| rest.ticks()).sum();
            prop_assert_eq!(sum + written, meter.ticks());
            let completed: Vec<Event> = run.into_iter().chain(rests.into_iter().map(Event::rest)).take_while(|event| event.length.tuplet() == Some(tuplet)).collect();
            prop_assert_eq!(TupletGroups::of(&completed, tuplet).lacks(), 0);
        }

        /// What can be written at all is written, wherever it stands.
        #[test]
        fn they_add_up(beats in 1u8..13, unit in 1usize..5, from in 0u64..400, length in 0u64..400) {
            let meter = Meter::new(beats, NoteValue::ALL[unit]).unwrap();
            let step = NoteValue::SixtyFourth.ticks().0;
            let (from, until) = (Ticks(from * step), Ticks((from + length) * step));
            let sum: Ticks = rests_between(meter, from, until).into_iter().map(Length::ticks).sum();
            prop_assert_eq!(sum, Ticks(length * step));
        }
    }
}
