//! Times as a teacher types them: planned lengths, and the times at which a segment was recorded.

use crate::lesson::document::{Recorded, VideoCut};
use crate::lesson::time::{TimeError, VideoLength, VideoTime};
use crate::text::quote::quoted;

/// An upper limit, longer than any video: 24 hours.
const LONGEST: VideoLength = VideoLength::from_seconds(24 * 3600);

/// The forms of a time that may be typed, for error messages.
const TYPED: &str = "a time: minutes and seconds, as in `1:30`, `1:23.4`, `90s` or `2m`";

/// The rule for a number without a unit, as every prompt for a time says it.
pub const BARE_NUMBER: &str = "A number alone is seconds.";

/// Reads a planned length of a segment or of the whole video: `1:30`, `90s`, `2m`, or `+15` and `-5` relative to the length `now`. A
/// number alone is in seconds, here as in every time that is typed.
///
/// Errors: the text is not such a length; the words say what is expected.
pub fn read_length(text: &str, now: VideoLength) -> Result<VideoLength, String> {
    read_from(text, now)
}

fn read_from(text: &str, now: VideoLength) -> Result<VideoLength, String> {
    let text = text.trim();
    let wanted = match (text.strip_prefix('+'), text.strip_prefix('-')) {
        (Some(more), _) => now + read_amount(more)?,
        (None, Some(less)) => {
            let less = read_amount(less)?;
            let left = now.0.checked_sub(less.0);
            VideoLength(left.ok_or_else(|| format!("it is only {now} long: cannot be {less} shorter"))?)
        }
        // What was shown is rounded; where it was left as it was, so is the length.
        (None, None) if text == now.to_string() => now,
        (None, None) => read_amount(text)?,
    };
    if wanted > LONGEST { Err(format!("{wanted} is more than a day")) } else { Ok(wanted) }
}

/// Reads the times at which a segment was recorded: `1:23.4` for the start, `1:23-2:40` for start and end, `+15` and
/// `-5` to shift the times `now` or the times typed before the shift, and an empty text for a segment that is not
/// recorded.
///
/// Errors: the text is not such a time; the words say what is expected.
pub fn read_recorded(text: &str, now: Option<Recorded>) -> Result<Option<Recorded>, String> {
    let text = text.trim().replace(['\u{2013}', '\u{2212}'], "-");
    if text.is_empty() {
        return Ok(None);
    }
    let shown: Vec<Recorded> = now.into_iter().collect();
    let wanted = match split_shift(&text) {
        Some((before, shift)) => {
            let before = if before.trim().is_empty() { now } else { Some(read_span(before, &shown)?) };
            shift.of(before.ok_or_else(|| "nothing is recorded yet that could be shifted".to_owned())?)?
        }
        None => read_span(&text, &shown)?,
    };
    if let Some(end) = wanted.end.filter(|end| *end <= wanted.start) {
        return Err(format!("it would end at {end}, before it starts at {}", wanted.start));
    }
    let last = wanted.end.unwrap_or(wanted.start);
    if last.0 > LONGEST.0 { Err(format!("{last} is more than a day")) } else { Ok(Some(wanted)) }
}

/// Reads an instant of the video: `1:23.4`, or `+15` and `-5` relative to the instant `now`.
///
/// Errors: the text is not an instant; the words say what is expected.
pub fn read_instant(text: &str, now: VideoTime) -> Result<VideoTime, String> {
    read_from(text, VideoLength(now.0)).map(|length| VideoTime(length.0)).map_err(|error| {
        if error.starts_with("it is only") { format!("it is {now}: it cannot go back so far") } else { error }
    })
}

/// Reads where something of length `long` is cut: `0:40` from its beginning, `-0:20` from its end.
///
/// Errors: the text is not such a place; the words say what is expected.
pub fn read_cut(text: &str, long: VideoLength) -> Result<VideoLength, String> {
    let text = text.trim();
    read_from(text, if text.starts_with('-') { long } else { VideoLength::ZERO })
}

/// The typed shift of recorded times.
enum Shift<'a> {
    Later(&'a str),
    Earlier(&'a str),
}

impl Shift<'_> {
    fn of(&self, recorded: Recorded) -> Result<Recorded, String> {
        let Recorded { start, end } = recorded;
        match self {
            Self::Later(more) => {
                let more = read_amount(more)?;
                Ok(Recorded { start: start + more, end: end.map(|end| end + more) })
            }
            Self::Earlier(less) => {
                let less = read_amount(less)?;
                let earlier = |time: VideoTime| time.0.checked_sub(less.0).map(VideoTime);
                let cannot = || format!("it starts at {start}: cannot be {less} earlier");
                Ok(Recorded { start: earlier(start).ok_or_else(cannot)?, end: end.and_then(earlier) })
            }
        }
    }
}

/// Splits `1:23-2:40+15` and `+15` before the shift. A single `-` after a time is not a shift, because the end follows
/// it.
fn split_shift(text: &str) -> Option<(&str, Shift<'_>)> {
    if let Some((before, more)) = text.split_once('+') {
        return Some((before, Shift::Later(more)));
    }
    let (before, less) = text.rsplit_once('-')?;
    let shifts = before.trim().is_empty() || before.contains('-');
    shifts.then_some((before, Shift::Earlier(less)))
}

/// Reads `1:23` or `1:23-2:40`. A time that is written as one of those that were `shown` is that one, to the millisecond.
fn read_span(text: &str, shown: &[Recorded]) -> Result<Recorded, String> {
    let (start, end) = text.split_once('-').map_or((text, None), |(start, end)| (start, Some(end)));
    let end = match end.map(str::trim) {
        Some("") => return Err("after the - comes the end, as in 1:23-2:40".to_owned()),
        end => end.map(|end| read_shown(end, shown.iter().filter_map(|known| known.end))).transpose()?,
    };
    Ok(Recorded { start: read_shown(start, shown.iter().map(|known| known.start))?, end })
}

fn read_shown(text: &str, mut shown: impl Iterator<Item = VideoTime>) -> Result<VideoTime, String> {
    match shown.find(|known| known.to_string() == text.trim()) {
        Some(known) => Ok(known),
        None => read_amount(text).map(|length| VideoTime(length.0)),
    }
}

/// Returns recorded times in the form in which they are typed, to a tenth of a second: `1:23-2:40.4`.
pub fn write_recorded(recorded: Recorded) -> String {
    let Recorded { start, end } = recorded;
    end.map_or_else(|| start.to_string(), |end| format!("{start}-{end}"))
}

/// Returns whether what was typed shifts recorded times as a whole, as `+15` does.
pub fn is_shift(text: &str) -> bool {
    text.trim_start().starts_with(['+', '-', '\u{2013}', '\u{2212}'])
}

/// Reads what is left out of the video: `0:10-0:25`, several with commas between them, and an empty text for nothing. A time
/// that is written as one of the stretches `shown` begins or ends is that one, to the millisecond.
///
/// Errors: the text has other times in it; the words say what is expected.
pub fn read_cuts(text: &str, shown: &[Recorded]) -> Result<Vec<VideoCut>, String> {
    let text = text.replace(['\u{2013}', '\u{2212}'], "-");
    let one = |text: &str| {
        let Recorded { start, end } = read_span(text, shown)?;
        match end {
            Some(end) if end > start => Ok(VideoCut { from: start, to: end }),
            Some(end) => Err(format!("it would go on at {end}, before it is cut at {start}")),
            None => Err(format!(
                "after {start} comes where the video goes on, as in {start}-{}",
                start + VideoLength::from_seconds(15)
            )),
        }
    };
    text.split(',').map(str::trim).filter(|text| !text.is_empty()).map(one).collect()
}

/// Returns cuts in the form in which they are typed: `0:10-0:25, 1:00-1:04`.
pub fn write_cuts(cuts: &[VideoCut]) -> String {
    cuts.iter().map(|cut| format!("{}-{}", cut.from, cut.to)).collect::<Vec<_>>().join(", ")
}

fn read_amount(text: &str) -> Result<VideoLength, String> {
    let text = text.trim();
    if let Some(length) = read_units(text) {
        return length;
    }
    let is_number = !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
    match text.parse::<VideoLength>() {
        Ok(length) => Ok(length),
        Err(_) if is_number && text.parse::<f64>().is_ok_and(|number| number > f64::from(u32::MAX / 1000)) => {
            Err(format!("{} is more than a day", quoted(text)))
        }
        // A lesson file allows fewer forms than a person may type.
        Err(error) => Err(too_many_seconds(text).unwrap_or_else(|| TimeError { expected: TYPED, ..error }.to_string())),
    }
}

/// Returns the words that say which time `2:75` would be; `None` where the seconds are not the fault.
fn too_many_seconds(text: &str) -> Option<String> {
    let (minutes, seconds) = text.split_once(':')?;
    let minutes: u32 = minutes.parse().ok()?;
    let seconds: u32 = seconds.parse().ok().filter(|seconds| (60..1000).contains(seconds))?;
    let meant = VideoLength::from_seconds(minutes.checked_mul(60)?.checked_add(seconds)?);
    Some(format!("seconds go up to 59: {} would be {meant}", quoted(text)))
}

/// Reads `90s`, `2m` and `2m30s`; `None` where the text has no such units.
fn read_units(text: &str) -> Option<Result<VideoLength, String>> {
    let (minutes, seconds) = match (text.split_once('m'), text.strip_suffix('s')) {
        (Some((minutes, "")), _) => (minutes, "0"),
        (Some((minutes, rest)), _) => (minutes, rest.strip_suffix('s').unwrap_or(rest)),
        (None, Some(seconds)) => ("0", seconds),
        (None, None) => return None,
    };
    // Words that merely contain such a letter, as `minutes` or `soon as` do, are not numbers; the reader of times
    // reports them.
    let minutes: u32 = minutes.trim().parse().ok()?;
    let seconds: VideoLength = seconds.trim().parse().ok()?;
    let sum = minutes.checked_mul(60_000).and_then(|minutes| minutes.checked_add(seconds.0));
    Some(sum.map(VideoLength).ok_or_else(|| format!("{} is more than a day", quoted(text))))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_read_outright_and_against_the_present_one() {
        let now = VideoLength::from_seconds(90);
        let read = |text| read_length(text, now).map(|length| length.to_string());
        for (text, expected) in [
            ("2:00", "2:00"),
            ("+15", "1:45"),
            ("- 0:30.5", "0:59.5"),
            ("90s", "1:30"),
            ("2m", "2:00"),
            ("2m30", "2:30"),
            ("2 m 30 s", "2:30"),
            ("1.5s", "0:01.5"),
            ("+2m", "3:30"),
        ] {
            assert_eq!(read(text).as_deref(), Ok(expected), "{text}");
        }
        for (text, expected) in [
            ("-2:00", "it is only 1:30 long: cannot be 2:00 shorter"),
            ("99:00:00", "99:00:00 is more than a day"),
            ("100000", "27:46:40 is more than a day"),
            ("4000000000.5", "4000000000.5 is more than a day"),
            ("1:75", "seconds go up to 59: 1:75 would be 2:15"),
            ("99999999m", "99999999m is more than a day"),
        ] {
            assert_eq!(read(text).unwrap_err(), expected, "{text}");
        }
        for text in ["", "soon", "+", "-", "m", "s", "1:2", "minutes", "1:75:00", "4294967295s"] {
            let error = read(text).unwrap_err();
            assert!(error.contains("is not a time: minutes and seconds"), "{text}: {error}");
            assert!(error.contains("`90s` or `2m`"), "{text}: {error}");
        }
    }

    #[test]
    fn a_number_alone_is_in_seconds_wherever_a_time_is_typed() {
        let now = VideoLength::from_seconds(90);
        for (text, length) in
            [("90", "1:30"), ("10", "0:10"), ("9", "0:09"), ("2", "0:02"), ("1.5", "0:01.5"), ("700", "11:40")]
        {
            let text_of = |read: Result<VideoLength, String>| read.map(|read| read.to_string());
            assert_eq!(text_of(read_length(text, now)).as_deref(), Ok(length), "{text}");
            assert_eq!(text_of(read_cut(text, now)).as_deref(), Ok(length), "{text}");
            let instant = read_instant(text, VideoTime::START).map(|read| read.to_string());
            assert_eq!(instant.as_deref(), Ok(length), "{text}");
            let recorded = read_recorded(text, None).map(|read| read.map(write_recorded));
            assert_eq!(recorded, Ok(Some(length.to_owned())), "{text}");
            let cuts = read_cuts(&format!("0-{text}"), &[]).map(|cuts| write_cuts(&cuts));
            assert_eq!(cuts, Ok(format!("0:00-{length}")), "{text}");
            let longer = read_length(&format!("+{text}"), now).map(|read| read.0);
            assert_eq!(longer, read_length(text, now).map(|read| read.0 + now.0), "{text}");
        }
    }

    #[test]
    fn what_is_written_of_recorded_times_reads_back() {
        for (start, end) in [(0, None), (83_400, None), (83_437, Some(160_001)), (83_437, None)] {
            let recorded = Recorded { start: VideoTime(start), end: end.map(VideoTime) };
            assert_eq!(read_recorded(&write_recorded(recorded), Some(recorded)), Ok(Some(recorded)));
            let rounded = |VideoTime(time)| VideoTime((time + 50) / 100 * 100);
            let shown = Recorded { start: rounded(recorded.start), end: recorded.end.map(rounded) };
            assert_eq!(read_recorded(&write_recorded(recorded), None), Ok(Some(shown)));
        }
        let now = Recorded { start: VideoTime(83_437), end: Some(VideoTime(160_001)) };
        let typed = |text| read_recorded(text, Some(now)).unwrap().unwrap();
        assert_eq!(typed("1:23.4-2:30").start, now.start, "what is left as it was stays exact");
        assert_eq!(typed("1:23.4-2:40+1"), Recorded { start: VideoTime(84_437), end: Some(VideoTime(161_001)) });
        assert_eq!(read_length("1:23.4", VideoLength(83_437)), Ok(VideoLength(83_437)));
    }

    #[test]
    fn what_is_cut_out_is_typed_from_and_to_and_reads_back() {
        let read = |text| read_cuts(text, &[]).map(|cuts| write_cuts(&cuts));
        let cut = VideoCut { from: VideoTime(10_012), to: VideoTime(25_987) };
        let shown = [Recorded { start: cut.from, end: Some(cut.to) }];
        assert_eq!(read_cuts(&write_cuts(&[cut]), &shown), Ok(vec![cut]), "what is left as it was stays exact");
        for (text, expected) in
            [("", ""), (" 0:10 \u{2013} 0:25 ", "0:10-0:25"), ("0:10-0:25,1:00.5-65s", "0:10-0:25, 1:00.5-1:05")]
        {
            assert_eq!(read(text).as_deref(), Ok(expected), "{text}");
        }
        assert_eq!(read("0:10").unwrap_err(), "after 0:10 comes where the video goes on, as in 0:10-0:25");
        assert_eq!(read("0:25-0:10").unwrap_err(), "it would go on at 0:10, before it is cut at 0:25");
        for text in ["soon", "0:10-", "0:10-0:25 1:00", "25-10"] {
            assert!(read(text).is_err(), "{text}");
        }
    }

    #[test]
    fn recorded_times_shift_from_what_they_are_or_from_what_stands_before() {
        let now = Some(Recorded { start: VideoTime(10_000), end: Some(VideoTime(20_000)) });
        let read = |text| read_recorded(text, now).map(|recorded| recorded.map(write_recorded).unwrap_or_default());
        for (text, expected) in [
            ("+15", "0:25-0:35"),
            ("-5", "0:05-0:15"),
            ("+1:00", "1:10-1:20"),
            ("1:23-2:40+15", "1:38-2:55"),
            ("1:23-2:40-5", "1:18-2:35"),
            ("1:23+15", "1:38"),
            ("1:23 \u{2013} 2:40", "1:23-2:40"),
            ("  ", ""),
        ] {
            assert_eq!(read(text).as_deref(), Ok(expected), "{text}");
        }
        for text in ["-15", "1:23-5", "1:23-2:40-3:00", "--", "+", "1:00-1:00", "25:00:00", "1:2", "a-b"] {
            assert!(read(text).is_err(), "{text}");
        }
    }
}
