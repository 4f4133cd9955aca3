//! What a teacher can choose about a handout.

use std::collections::BTreeSet;
use std::fmt;
use std::ops::RangeInclusive;
use std::str::FromStr;

use crate::lesson::cut_video::VideoVersion;
use crate::lesson::document::{Lesson, Segment, SegmentKind};
use crate::text::charset::Charset;
use crate::text::paper::Paper;
use crate::text::quote::quoted;

/// What the handout should look like and hold.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct HandoutOptions {
    /// The paper it is for.
    pub paper: Paper,
    /// The width of a line, where it is not the paper's.
    pub columns: Option<Columns>,
    /// The characters that may be used.
    pub charset: Charset,
    /// The segments it is about.
    pub segments: SegmentPick,
    /// Whether the teacher's talking points are printed under the segments.
    pub talking_points: TalkingPoints,
    /// Whether passages and voicings that no segment uses are printed.
    pub unused: UnusedMusic,
    /// The video that the recorded times of the outline are of.
    pub video: VideoVersion,
}

impl HandoutOptions {
    /// Returns what the name of the file says of a handout with these options, behind `handout`: nothing of the usual one. Handouts
    /// that hold different things have different names; paper, width and characters are only a look.
    pub fn file_words(&self) -> String {
        let segments = match &self.segments {
            SegmentPick::All => String::new(),
            some @ SegmentPick::Only { .. } => format!("-segments-{}", short_name(&some.to_string())),
        };
        let points = match self.talking_points {
            TalkingPoints::LeaveOut => "",
            TalkingPoints::Print => "-with-talking-points",
        };
        let unused = match self.unused {
            UnusedMusic::LeaveOut => "",
            UnusedMusic::Print => "-with-unused-tab",
        };
        let video = match self.video {
            VideoVersion::Cut => "",
            VideoVersion::Uncut => "-uncut",
        };
        format!("{points}{segments}{unused}{video}")
    }

    /// Returns the width of a line.
    pub fn width(&self) -> usize {
        self.columns.map_or(self.paper.columns(), Columns::get)
    }
}

/// The longest pick of segments that is written out in the name of a file, in bytes. Our own setting.
const LONGEST_PICK: usize = 50;

/// Returns a pick for the name of a file: as it is written, or, since so long a name would not be read and some systems refuse it,
/// its first parts, how many follow, and a number that differs from that of any other pick.
fn short_name(pick: &str) -> String {
    if pick.len() <= LONGEST_PICK {
        return pick.to_owned();
    }
    let shown: Vec<&str> = pick
        .split(',')
        .scan(0, |length, part| {
            *length += part.len() + 1;
            (*length <= LONGEST_PICK / 2).then_some(part)
        })
        .collect();
    let more = pick.split(',').count() - shown.len();
    format!("{}-and-{more}-more-{:08x}", shown.join(","), checksum(pick))
}

/// Returns the 32-bit FNV-1a hash of a text (Fowler, Noll & Vo; RFC 9923).
fn checksum(text: &str) -> u32 {
    text.bytes().fold(0x811c_9dc5, |sum: u32, byte| (sum ^ u32::from(byte)).wrapping_mul(0x0100_0193))
}

/// A width of a line. Invariant: in [`Columns::RANGE`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Columns(usize);

impl Columns {
    /// Tab and grids do not fit on a narrower line, and nobody can print a wider one.
    pub const RANGE: RangeInclusive<usize> = 40..=200;

    /// Returns `None` outside 40 to 200.
    pub fn new(columns: usize) -> Option<Self> {
        Self::RANGE.contains(&columns).then_some(Self(columns))
    }

    /// Returns the number of columns, `40..=200`.
    pub const fn get(self) -> usize {
        self.0
    }
}

/// Whether talking points are printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum TalkingPoints {
    /// They stay with the teacher.
    #[default]
    LeaveOut,
    /// They are printed in the outline.
    Print,
}

impl TalkingPoints {
    /// Returns the other one.
    pub const fn other(self) -> Self {
        match self {
            Self::LeaveOut => Self::Print,
            Self::Print => Self::LeaveOut,
        }
    }
}

/// Whether music that no segment uses is printed. In a lesson without segments it always is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum UnusedMusic {
    /// It stays with the teacher.
    #[default]
    LeaveOut,
    /// It is printed after the rest.
    Print,
}

impl UnusedMusic {
    /// Returns the other one.
    pub const fn other(self) -> Self {
        match self {
            Self::LeaveOut => Self::Print,
            Self::Print => Self::LeaveOut,
        }
    }
}

/// Which segments a handout is about.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum SegmentPick {
    /// All of them.
    #[default]
    All,
    /// Those with one of these numbers or kinds. Numbers are those that the handout prints, counted from 1: in the order
    /// of the video where every segment is recorded, else in that of the list.
    Only {
        /// The numbers.
        numbers: BTreeSet<u32>,
        /// The kinds.
        kinds: BTreeSet<SegmentKind>,
    },
}

impl SegmentPick {
    /// Returns whether `segment`, at `place` in the order in which the handout numbers segments, counted from 0, is picked.
    pub fn picks(&self, place: usize, segment: &Segment) -> bool {
        match self {
            Self::All => true,
            Self::Only { numbers, kinds } => {
                let number = u32::try_from(place).ok().and_then(|place| place.checked_add(1));
                kinds.contains(&segment.kind) || number.is_some_and(|number| numbers.contains(&number))
            }
        }
    }
}

impl SegmentPick {
    /// Returns what is picked that `lesson` does not have, in words; `None` where it has all of it.
    pub fn lacking(&self, lesson: &Lesson) -> Option<String> {
        let Self::Only { numbers, kinds } = self else { return None };
        let count = lesson.segments.len();
        let there = match count {
            0 => "the lesson has no segments".to_owned(),
            1 => "the lesson has one segment, number 1".to_owned(),
            _ => format!("the lesson has segments 1 to {count}"),
        };
        if let Some(number) = numbers.iter().find(|number| usize::try_from(**number).is_ok_and(|number| number > count))
        {
            return Some(format!("there is no segment {number}; {there}"));
        }
        let used: BTreeSet<SegmentKind> = lesson.segments.iter().map(|segment| segment.kind).collect();
        let kind = kinds.difference(&used).next()?;
        let used: Vec<&str> = used.iter().map(|kind| kind.word()).collect();
        let there = if used.is_empty() { there } else { format!("the lesson has {}", used.join(", ")) };
        Some(format!("no segment is of the kind {}; {there}", kind.word()))
    }
}

/// Prints what reads back as the same: `all`, `2,4-6,walkthrough`.
impl fmt::Display for SegmentPick {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self::Only { numbers, kinds } = self else { return f.write_str("all") };
        let mut runs: Vec<(u32, u32)> = Vec::new();
        for number in numbers {
            match runs.last_mut() {
                Some((_, last)) if last.checked_add(1) == Some(*number) => *last = *number,
                _ => runs.push((*number, *number)),
            }
        }
        let run = |(first, last): (u32, u32)| if first == last { first.to_string() } else { format!("{first}-{last}") };
        let kinds = kinds.iter().map(|kind| kind.word().to_owned());
        f.write_str(&runs.into_iter().map(run).chain(kinds).collect::<Vec<_>>().join(","))
    }
}

/// The text picks no segments.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "`{}` picks no segments: expected numbers, ranges or kinds with commas between, as in `2,4-6,exercise`; kinds are {}",
    quoted(.text),
    kinds()
)]
pub struct SegmentPickError {
    /// The part that could not be read.
    pub text: String,
}

/// Reads `2,4-6,slowly`, or `all`.
impl FromStr for SegmentPick {
    type Err = SegmentPickError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        if text.trim().eq_ignore_ascii_case("all") {
            return Ok(Self::All);
        }
        let (mut numbers, mut kinds) = (BTreeSet::new(), BTreeSet::new());
        for part in text.split(',').map(str::trim) {
            let wrong = || SegmentPickError { text: part.to_owned() };
            if let Some(kind) = SegmentKind::called(part) {
                kinds.insert(kind);
                continue;
            }
            let (first, last) = part.split_once('-').unwrap_or((part, part));
            let number = |text: &str| text.trim().parse::<u32>().ok().filter(|number| (1..=MOST).contains(number));
            let (first, last) = (number(first).ok_or_else(wrong)?, number(last).ok_or_else(wrong)?);
            if first > last {
                return Err(wrong());
            }
            numbers.extend(first..=last);
        }
        Ok(Self::Only { numbers, kinds })
    }
}

/// No lesson has more segments than this, so that a larger number is a slip.
const MOST: u32 = 9999;

fn kinds() -> String {
    SegmentKind::ALL.map(SegmentKind::word).join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lesson::id::SegmentId;
    use crate::lesson::time::VideoLength;

    #[test]
    fn segments_are_picked_by_number_range_and_kind() {
        let pick: SegmentPick = "2, 4-5,slowly".parse().unwrap();
        let segment = |kind| Segment::new(SegmentId(1), kind, "", VideoLength::ZERO);
        let talk = segment(SegmentKind::Talk);
        let picked: Vec<usize> = (0..7).filter(|place| pick.picks(*place, &talk)).collect();
        assert_eq!(picked, [1, 3, 4]);
        assert!(pick.picks(0, &segment(SegmentKind::Walkthrough)));
        assert_eq!("all".parse(), Ok(SegmentPick::All));
        for (text, written) in [
            ("2, 4-5,slowly", "2,4-5,walkthrough"),
            ("Intro, play along,retune,7", "7,welcome,play-along,retuning"),
            ("1,2,3,9", "1-3,9"),
            ("ALL", "all"),
        ] {
            let pick: SegmentPick = text.parse().unwrap();
            assert_eq!(pick.to_string(), written);
            assert_eq!(written.parse(), Ok(pick));
        }
    }

    #[test]
    fn handouts_that_hold_different_things_have_different_names() {
        let plain = HandoutOptions::default();
        let only: SegmentPick = "1,3-5,play-along".parse().unwrap();
        let all = [
            plain.clone(),
            HandoutOptions { talking_points: TalkingPoints::Print, ..plain.clone() },
            HandoutOptions { segments: only, ..plain.clone() },
            HandoutOptions { unused: UnusedMusic::Print, ..plain.clone() },
            HandoutOptions { video: VideoVersion::Uncut, ..plain.clone() },
        ];
        let words = all.map(|options| options.file_words());
        assert_eq!(words, ["", "-with-talking-points", "-segments-1,3-5,play-along", "-with-unused-tab", "-uncut"]);
        let letter = HandoutOptions { paper: Paper::Letter, charset: Charset::Ascii, ..plain };
        assert_eq!(letter.file_words(), "");
        let numbers = (1..200).map(|number| (2 * number).to_string()).collect::<Vec<String>>().join(",");
        let many = HandoutOptions { segments: numbers.parse().unwrap(), ..HandoutOptions::default() };
        let words = many.file_words();
        assert!(words.starts_with("-segments-2,4,6,8,") && words.contains("-and-1") && words.len() < 60, "{words}");
    }

    #[test]
    fn long_picks_have_names_of_their_own() {
        // The published value of FNV-1a for `foobar`: RFC 9923, and the authors' own table of test values.
        assert_eq!(checksum("foobar"), 0xbf9c_f968);
        let words = |last: u32| {
            let numbers = (1..40).map(|number| 2 * number).chain([last]);
            let text = numbers.map(|number| number.to_string()).collect::<Vec<String>>().join(",");
            HandoutOptions { segments: text.parse().unwrap(), ..HandoutOptions::default() }.file_words()
        };
        let all: BTreeSet<String> = (100..1100).map(words).collect();
        assert_eq!(all.len(), 1000);
        assert_eq!(words(100), words(100));
    }

    #[test]
    fn a_slip_in_a_pick_is_shown() {
        for (text, part) in [("2,x", "x"), ("", ""), ("5-3", "5-3"), ("0", "0"), ("1-4000000000", "1-4000000000")] {
            let error = text.parse::<SegmentPick>().unwrap_err();
            assert_eq!(error.text, part, "{text}");
        }
        assert!("x".parse::<SegmentPick>().unwrap_err().to_string().contains("play-along"));
    }
}
