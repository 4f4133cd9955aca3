//! What was understood of a time while it is typed, in words that leave no doubt: `1 min 30 s`.

use crate::lesson::time::{VideoLength, VideoTime};
use crate::workbench::typing::time::{is_shift, read_cut, read_cuts, read_instant, read_length, read_recorded};

/// What sort of time a line is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TypedTime {
    /// A length.
    Length,
    /// The instant to which a clock is set.
    Instant,
    /// How far from the beginning something is cut in two.
    Cut,
    /// From when to when something was recorded.
    Recorded,
    /// Stretches that are left out.
    LeftOut,
}

impl TypedTime {
    /// Says what was understood of `text`; nothing where it is no such time yet, or only moves a time that is known elsewhere.
    pub fn understood(self, text: &str) -> Option<String> {
        let text = text.trim();
        if text.is_empty() {
            return None;
        }
        if is_shift(text) && self != Self::LeftOut {
            return shifted(self, text);
        }
        let length = |read: Result<VideoLength, String>| read.ok().map(in_words);
        let words = match self {
            Self::Length => length(read_length(text, VideoLength::ZERO))?,
            Self::Instant => length(read_instant(text, VideoTime::START).map(|at| VideoLength(at.0)))?,
            Self::Cut => length(read_cut(text, VideoLength::ZERO))?,
            Self::Recorded => {
                let recorded = read_recorded(text, None).ok()??;
                span(VideoLength(recorded.start.0), recorded.end.map(|end| VideoLength(end.0)))
            }
            Self::LeftOut => {
                let cuts = read_cuts(text, &[]).ok()?;
                let words = cuts.iter().map(|cut| span(VideoLength(cut.from.0), Some(VideoLength(cut.to.0))));
                words.collect::<Vec<_>>().join(", ")
            }
        };
        Some(words)
    }
}

/// Says by how much something that is known elsewhere is moved.
fn shifted(sort: TypedTime, text: &str) -> Option<String> {
    let amount = text.trim_start_matches(['+', '-', '\u{2013}', '\u{2212}']);
    let words = in_words(read_length(amount, VideoLength::ZERO).ok()?);
    let is_more = text.starts_with('+');
    Some(match (sort, is_more) {
        (TypedTime::Cut, false) => format!("{words} before its end"),
        (TypedTime::Cut, true) => words,
        (TypedTime::Length, true) => format!("{words} longer"),
        (TypedTime::Length, false) => format!("{words} shorter"),
        (TypedTime::Instant | TypedTime::Recorded | TypedTime::LeftOut, true) => format!("{words} later"),
        (TypedTime::Instant | TypedTime::Recorded | TypedTime::LeftOut, false) => format!("{words} earlier"),
    })
}

fn span(from: VideoLength, to: Option<VideoLength>) -> String {
    let to = to.map_or_else(String::new, |to| format!(" to {}", in_words(to)));
    format!("{}{to}", in_words(from))
}

/// Returns a time with its units: `1 h 2 min`, `1 min 30 s`, `0 s`.
fn in_words(length: VideoLength) -> String {
    let (seconds, rest) = (length.0 / 1000, length.0 % 1000);
    let mut parts = Vec::new();
    for (count, unit) in [(seconds / 3600, "h"), (seconds / 60 % 60, "min")] {
        if count > 0 {
            parts.push(format!("{count} {unit}"));
        }
    }
    let seconds = seconds % 60;
    if rest > 0 {
        parts.push(format!("{}.{} s", seconds, format!("{rest:03}").trim_end_matches('0')));
    } else if seconds > 0 || parts.is_empty() {
        parts.push(format!("{seconds} s"));
    }
    parts.join(" ")
}

#[cfg(test)]
mod tests {
    use super::TypedTime;

    #[test]
    fn what_is_understood_of_a_time_is_said_with_its_units() {
        use TypedTime as T;
        for (sort, text, words) in [
            (T::Length, "2", "2 s"),
            (T::Length, "2m", "2 min"),
            (T::Length, "90", "1 min 30 s"),
            (T::Length, "1:02:03.25", "1 h 2 min 3.25 s"),
            (T::Length, "0", "0 s"),
            (T::Length, "+15", "15 s longer"),
            (T::Length, "- 1:00", "1 min shorter"),
            (T::Instant, "+5", "5 s later"),
            (T::Instant, "1:23", "1 min 23 s"),
            (T::Cut, "0:40", "40 s"),
            (T::Cut, "-0:20", "20 s before its end"),
            (T::Recorded, "83", "1 min 23 s"),
            (T::Recorded, "1:23-160", "1 min 23 s to 2 min 40 s"),
            (T::Recorded, "-5", "5 s earlier"),
            (T::LeftOut, "10-25, 1:00-1:04", "10 s to 25 s, 1 min to 1 min 4 s"),
        ] {
            assert_eq!(sort.understood(text).as_deref(), Some(words), "{sort:?} {text}");
        }
        for (sort, text) in
            [(T::Length, ""), (T::Length, "so"), (T::Length, "+"), (T::Recorded, "2:00-1:00"), (T::LeftOut, "0:10")]
        {
            assert_eq!(sort.understood(text), None, "{sort:?} {text}");
        }
    }
}
