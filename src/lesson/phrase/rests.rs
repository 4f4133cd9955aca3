//! Rests as players write them: each beat can be seen, and so can the middle of the bar.

use crate::lesson::time::{Length, Meter, NoteValue, Ticks};

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
