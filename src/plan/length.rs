//! How long music takes: the one place where musical time becomes video time.

use std::ops::Range;

use crate::lesson::bar_numbers::BarNumbers;
use crate::lesson::document::BarRange;
use crate::lesson::music::{Bar, Passage, Voice};
use crate::lesson::seconds::Seconds;
use crate::lesson::time::{Meter, Tempo, Ticks, VideoLength};

use super::order;

/// Why the length of something cannot be told.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LengthError {
    /// The passage does not have the bars that are asked for.
    #[error("{asked} are not in a passage of {has}; expected bars from 1 to {last}")]
    NoSuchBars {
        /// The bars asked for, in words.
        asked: String,
        /// The bars that there are, in words.
        has: String,
        /// The last number that a bar has.
        last: usize,
    },
    /// Nothing can be played at no tempo.
    #[error("0 per cent of the tempo is no tempo; expected 1 to 255")]
    NoTempo,
}

/// Returns how long `stretches`, each at its tempo, take together at `percent` of those tempos.
///
/// - Units: the result is in whole milliseconds, rounded to the nearest, once, at the end.
///   Stretches of the same tempo are added up before anything is divided, and what is divided is
///   cut to a millionth of a millisecond.
/// - Errors: [`LengthError::NoTempo`] for 0 per cent.
pub fn played_length(
    stretches: impl IntoIterator<Item = (Ticks, Tempo)>,
    percent: u8,
) -> Result<VideoLength, LengthError> {
    /// Parts of a millisecond that are kept while adding.
    const FINE: u128 = 1_000_000;
    if percent == 0 {
        return Err(LengthError::NoTempo);
    }
    let mut sums: Vec<(Tempo, u128)> = Vec::new();
    for (ticks, tempo) in stretches {
        match sums.iter_mut().find(|(known, _)| *known == tempo) {
            Some((_, sum)) => *sum += u128::from(ticks.0),
            None => sums.push((tempo, u128::from(ticks.0))),
        }
    }
    let fine: u128 = sums
        .into_iter()
        .map(|(tempo, ticks)| {
            let ticks_a_minute = u128::from(tempo.beat().ticks().0) * u128::from(tempo.per_minute());
            ticks * 60_000 * 100 * FINE / (ticks_a_minute * u128::from(percent)).max(1)
        })
        .sum();
    Ok(VideoLength(u32::try_from((fine + FINE / 2) / FINE).unwrap_or(u32::MAX)))
}

/// Returns how long `ticks` take at `percent` of `tempo`: for sound, which needs every microsecond.
pub fn seconds(ticks: Ticks, tempo: Tempo, percent: u8) -> Seconds {
    let ticks_a_minute = tempo.beat().ticks().0 as f64 * f64::from(tempo.per_minute());
    Seconds(ticks.0 as f64 * 60.0 / ticks_a_minute * 100.0 / f64::from(percent.max(1)))
}

/// Returns how long the bars of `range` (all bars without one) take at `percent` of the tempo,
/// with their repeats and endings, and with every change of meter and tempo.
///
/// A bar is in the meter and tempo that are written for it, however it is reached. It fails for bars that are not
/// there and for 0 per cent.
pub fn passage_length(passage: &Passage, range: Option<BarRange>, percent: u8) -> Result<VideoLength, LengthError> {
    checked_places(passage, range)?;
    let written = bars_in_time(passage);
    let played = order::played_range(&passage.bars, range).filter_map(|place| written.get(place));
    played_length(played.map(|bar| (bar.length, bar.tempo)), percent)
}

/// Returns how long the count before a bar takes: a full bar of its meter and, before a pickup, what the pickup
/// leaves of the next bar, so that the pickup comes on its beat. This is common practice; no published source was
/// read.
pub fn counted_in(bar: BarInTime) -> Ticks {
    let whole = bar.meter.ticks();
    Ticks(whole.0 + whole.0.saturating_sub(bar.length.0))
}

/// Returns how long the count before `range` takes; see [`counted_in`]. It fails as [`passage_length`] does.
pub fn count_in_length(passage: &Passage, range: Option<BarRange>, percent: u8) -> Result<VideoLength, LengthError> {
    let first = checked_places(passage, range)?.start;
    let (ticks, tempo) = bars_in_time(passage)
        .get(first)
        .map_or((passage.meter.ticks(), passage.tempo), |bar| (counted_in(*bar), bar.tempo));
    played_length([(ticks, tempo)], percent)
}

/// A written bar with what holds in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BarInTime {
    /// The meter.
    pub meter: Meter,
    /// The tempo.
    pub tempo: Tempo,
    /// How long it is.
    pub length: Ticks,
}

/// Returns every written bar with its meter, tempo and length. A change holds until the next one.
///
/// A bar is as long as its meter says, whatever its voices hold (`check` reports those that do not
/// add up); a pickup is as long as its longest voice.
pub fn bars_in_time(passage: &Passage) -> Vec<BarInTime> {
    let (mut meter, mut tempo) = (passage.meter, passage.tempo);
    let in_time = |bar: &Bar| {
        meter = bar.meter.unwrap_or(meter);
        tempo = bar.tempo.unwrap_or(tempo);
        let held = bar.voices.iter().map(Voice::ticks).max().filter(|held| *held > Ticks::ZERO);
        let length =
            if bar.pickup { held.map_or(meter.ticks(), |held| held.min(meter.ticks())) } else { meter.ticks() };
        BarInTime { meter, tempo, length }
    };
    passage.bars.iter().map(in_time).collect()
}

/// Returns the places of the bars of `range`, counted from 0, or those of all bars where no range is given.
///
/// It fails for bars that are not there.
pub fn checked_places(passage: &Passage, range: Option<BarRange>) -> Result<Range<usize>, LengthError> {
    let bars = passage.bars.len();
    let places = order::places(bars, range);
    match range {
        Some(BarRange { first, last })
            if first == 0 || first > last || usize::try_from(last).is_ok_and(|last| last > bars) =>
        {
            let (numbers, range) = (BarNumbers::of(passage), BarRange { first, last });
            Err(LengthError::NoSuchBars { asked: numbers.range(range), has: numbers.count(), last: numbers.last() })
        }
        _ => Ok(places),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lesson::id::PassageId;
    use crate::lesson::music::Event;
    use crate::lesson::time::Length;

    fn passage(meter: &str, tempo: &str, bars: Vec<Bar>) -> Passage {
        let (meter, tempo) = (meter.parse().unwrap(), tempo.parse().unwrap());
        Passage { meter, tempo, ..Passage::plain(PassageId(1), "", bars) }
    }

    #[test]
    fn the_standard_midi_file_example_comes_out() {
        // 6144 ticks at 96 a quarter and 500000 us a quarter (120 a minute) last 32000 ms:
        // Standard MIDI Files 1.0 (RP-001, rev. February 1996), the conversion of delta-times.
        // 6144 / 96 is 64 quarter notes; here a quarter has 20160 ticks.
        let quarters = Ticks(6144 / 96 * Length::QUARTER.ticks().0);
        assert_eq!(played_length([(quarters, Tempo::USUAL)], 100), Ok(VideoLength(32_000)));
    }

    // The sums below are worked by hand from the definition of a tempo: beats a minute.
    #[test]
    fn bars_last_what_their_meter_and_tempo_say() {
        let bars = |count| vec![Bar::default(); count];
        // 4 bars of 4 beats at 92 a minute: 16 * 60000 / 92 = 10434.78 ms.
        assert_eq!(passage_length(&passage("4/4", "1/4=92", bars(4)), None, 100), Ok(VideoLength(10_435)));
        // Half the tempo, twice the time: 20869.57 ms.
        assert_eq!(passage_length(&passage("4/4", "1/4=92", bars(4)), None, 50), Ok(VideoLength(20_870)));
        // 6/8 at 60 dotted quarters a minute: two beats, 2 s a bar.
        assert_eq!(passage_length(&passage("6/8", "1/4.=60", bars(3)), None, 100), Ok(VideoLength(6_000)));
        assert_eq!(passage_length(&passage("4/4", "1/4=92", vec![]), None, 100), Ok(VideoLength::ZERO));
    }

    #[test]
    fn changes_hold_from_their_bar_on_however_it_is_reached() {
        let change =
            Bar { meter: "3/4".parse().ok(), tempo: "1/4=60".parse().ok(), repeat_end: Some(2), ..Bar::default() };
        let twice = passage("4/4", "1/4=120", vec![Bar::default(), change, Bar::default()]);
        // 2 s and 3 s, twice, then 3 s in the new meter and tempo.
        assert_eq!(passage_length(&twice, None, 100), Ok(VideoLength(13_000)));
        let last = Some(BarRange { first: 3, last: 3 });
        assert_eq!(passage_length(&twice, last, 100), Ok(VideoLength(3_000)));
        assert_eq!(count_in_length(&twice, last, 50), Ok(VideoLength(6_000)));
    }

    #[test]
    fn a_pickup_is_as_long_as_what_is_in_it() {
        let pickup = Bar { pickup: true, voices: vec![Voice(vec![Event::rest(Length::QUARTER)])], ..Bar::default() };
        let with_pickup = passage("4/4", "1/4=60", vec![pickup, Bar::default()]);
        assert_eq!(passage_length(&with_pickup, None, 100), Ok(VideoLength(5_000)));
        // Four beats, and the three of the next bar that the pickup leaves.
        assert_eq!(count_in_length(&with_pickup, None, 100), Ok(VideoLength(7_000)));
    }

    #[test]
    fn what_cannot_be_told_is_an_error() {
        let two = passage("4/4", "1/4=60", vec![Bar::default(); 2]);
        let asked = Some(BarRange { first: 2, last: 3 });
        let error = passage_length(&two, asked, 100).unwrap_err();
        assert_eq!(error.to_string(), "bars 2 to 3 are not in a passage of 2 bars; expected bars from 1 to 2");
        assert_eq!(passage_length(&two, None, 0), Err(LengthError::NoTempo));
    }

    #[test]
    fn a_length_past_the_end_of_video_time_stays_at_its_end() {
        let long = Ticks(u64::MAX);
        assert_eq!(played_length([(long, Tempo::USUAL), (long, Tempo::USUAL)], 1), Ok(VideoLength(u32::MAX)));
    }
}
