//! Time of two kinds that must not be mixed: musical time, exact; video time, whole milliseconds.

use std::fmt;
use std::ops::{Add, AddAssign};
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::text::quote::quoted;
use crate::theory::pitch::{from_text, serde_as_text};

/// Exact musical time, in fractions of a whole note fine enough for dotted 64ths, triplets,
/// quintuplets and septuplets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Ticks(pub u64);

impl Ticks {
    /// Ticks in a whole note: 2^8 · 3^2 · 5 · 7.
    pub const WHOLE: Self = Self(80_640);
    /// No time at all.
    pub const ZERO: Self = Self(0);

    /// Returns how many whole `unit`s are in it, and the part of one that is left, in lowest terms:
    /// one and `1/2` for a dotted quarter in quarters.
    pub fn in_units_of(self, unit: Self) -> (u64, Option<String>) {
        let unit = unit.0.max(1);
        let (whole, rest) = (self.0 / unit, self.0 % unit);
        let divisor = greatest_common_divisor(unit, rest).max(1);
        (whole, (rest > 0).then(|| format!("{}/{}", rest / divisor, unit / divisor)))
    }
}

fn greatest_common_divisor(one: u64, other: u64) -> u64 {
    if other == 0 { one } else { greatest_common_divisor(other, one % other) }
}

impl Add for Ticks {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl AddAssign for Ticks {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl std::iter::Sum for Ticks {
    fn sum<I: Iterator<Item = Self>>(lengths: I) -> Self {
        lengths.fold(Self::ZERO, Add::add)
    }
}

/// A plain note value, without dots.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum NoteValue {
    /// 1/1
    Whole,
    /// 1/2
    Half,
    /// 1/4
    Quarter,
    /// 1/8
    Eighth,
    /// 1/16
    Sixteenth,
    /// 1/32
    ThirtySecond,
    /// 1/64
    SixtyFourth,
}

impl NoteValue {
    /// Longest first.
    pub const ALL: [Self; 7] =
        [Self::Whole, Self::Half, Self::Quarter, Self::Eighth, Self::Sixteenth, Self::ThirtySecond, Self::SixtyFourth];

    /// Returns how many make a whole note: 4 for a quarter.
    pub const fn denominator(self) -> u8 {
        1 << self as u8
    }

    /// Returns the value of which `denominator` make a whole note.
    pub fn from_denominator(denominator: u8) -> Option<Self> {
        Self::ALL.into_iter().find(|value| value.denominator() == denominator)
    }

    /// Returns its American name without an article: `whole note`, `half`, `quarter`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Whole => "whole note",
            Self::Half => "half",
            Self::Quarter => "quarter",
            Self::Eighth => "eighth",
            Self::Sixteenth => "sixteenth",
            Self::ThirtySecond => "thirty-second",
            Self::SixtyFourth => "sixty-fourth",
        }
    }

    /// Returns the exact length.
    pub const fn ticks(self) -> Ticks {
        Ticks(Ticks::WHOLE.0 / self.denominator() as u64)
    }
}

/// `actual` notes in the time of `normal`: 3:2 is a triplet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Tuplet {
    /// How many are played.
    pub actual: u8,
    /// In the time of how many.
    pub normal: u8,
}

/// The written length of an event: a note value, dots, and the tuplet it belongs to.
///
/// Invariants: at most two dots; the tuplet is plain (2 to 15 in the time of 1 to 16) and the
/// length comes out exact in [`Ticks`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Length {
    value: NoteValue,
    dots: u8,
    tuplet: Option<Tuplet>,
}

impl Length {
    /// A quarter note.
    pub const QUARTER: Self = Self::plain(NoteValue::Quarter);

    /// Returns an undotted length outside any tuplet.
    pub const fn plain(value: NoteValue) -> Self {
        Self { value, dots: 0, tuplet: None }
    }

    /// Returns `None` for more than two dots, or a tuplet whose length would not be exact.
    pub fn new(value: NoteValue, dots: u8, tuplet: Option<Tuplet>) -> Option<Self> {
        if dots > 2 {
            return None;
        }
        if let Some(Tuplet { actual, normal }) = tuplet {
            let written = dotted(value, dots).0 * u64::from(normal);
            let fits = (2..=15).contains(&actual) && (1..=16).contains(&normal) && actual != normal;
            if !fits || !written.is_multiple_of(u64::from(actual)) {
                return None;
            }
        }
        Some(Self { value, dots, tuplet })
    }

    /// Returns the note value.
    pub const fn value(self) -> NoteValue {
        self.value
    }

    /// Returns the number of dots, `0..=2`.
    pub const fn dots(self) -> u8 {
        self.dots
    }

    /// Returns the tuplet, if the event stands in one.
    pub const fn tuplet(self) -> Option<Tuplet> {
        self.tuplet
    }

    /// Returns the exact length.
    pub fn ticks(self) -> Ticks {
        let written = dotted(self.value, self.dots);
        match self.tuplet {
            Some(Tuplet { actual, normal }) => Ticks(written.0 * u64::from(normal) / u64::from(actual.max(1))),
            None => written,
        }
    }
}

/// Returns the length of `value` with `dots` dots.
fn dotted(value: NoteValue, dots: u8) -> Ticks {
    let plain = value.ticks().0;
    Ticks((0..=dots).map(|dot| plain >> dot).sum())
}

/// Prints `1/4`, `1/8.`, `1/8 3:2`.
impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "1/{}{}", self.value.denominator(), ".".repeat(usize::from(self.dots)))?;
        match self.tuplet {
            Some(Tuplet { actual, normal }) => write!(f, " {actual}:{normal}"),
            None => Ok(()),
        }
    }
}

/// The text is no length, meter or tempo.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{}` is not {expected}", quoted(.text))]
pub struct TimeError {
    /// What was read.
    pub text: String,
    /// What was expected, with an example.
    pub expected: &'static str,
}

/// Reads a number that is digits and nothing else: `str::parse` alone takes `+4`.
fn digits<T: FromStr>(text: &str) -> Option<T> {
    text.bytes().all(|byte| byte.is_ascii_digit()).then(|| text.parse().ok()).flatten()
}

impl FromStr for Length {
    type Err = TimeError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let wrong = || TimeError {
            text: text.to_owned(),
            expected: "a length: 1/1, 1/2, 1/4, 1/8, 1/16, 1/32 or 1/64, at most two dots, then a tuplet if there is one, as in `1/8.` or `1/8 3:2`",
        };
        let (written, tuplet) = match text.trim().split_once(' ') {
            Some((written, tuplet)) => {
                let (actual, normal) = tuplet.trim().split_once(':').ok_or_else(wrong)?;
                let actual = digits(actual).ok_or_else(wrong)?;
                let normal = digits(normal).ok_or_else(wrong)?;
                (written, Some(Tuplet { actual, normal }))
            }
            None => (text.trim(), None),
        };
        let value = written.trim_end_matches('.');
        let dots = u8::try_from(written.len() - value.len()).map_err(|_| wrong())?;
        let denominator = value.strip_prefix("1/").and_then(digits).ok_or_else(wrong)?;
        let value = NoteValue::from_denominator(denominator).ok_or_else(wrong)?;
        Self::new(value, dots, tuplet).ok_or_else(wrong)
    }
}

/// A meter such as 6/8. Invariant: 1 to 32 beats.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Meter {
    beats: u8,
    unit: NoteValue,
}

impl Meter {
    /// 4/4
    pub const COMMON: Self = Self { beats: 4, unit: NoteValue::Quarter };

    /// Returns `None` unless there are 1 to 32 beats.
    pub fn new(beats: u8, unit: NoteValue) -> Option<Self> {
        (1..=32).contains(&beats).then_some(Self { beats, unit })
    }

    /// Returns the upper number.
    pub const fn beats(self) -> u8 {
        self.beats
    }

    /// Returns the lower number.
    pub const fn unit(self) -> NoteValue {
        self.unit
    }

    /// Returns the length of a full bar.
    pub fn ticks(self) -> Ticks {
        Ticks(self.unit.ticks().0 * u64::from(self.beats))
    }

    /// Returns whether three units are counted as one beat: in 6/8, 9/8, 12/8 and their like
    /// (common practice, no published source).
    pub fn is_compound(self) -> bool {
        self.unit >= NoteValue::Eighth && self.beats > 3 && self.beats.is_multiple_of(3)
    }

    /// Returns the length of one counted beat: three units in a compound meter, else one.
    pub fn beat(self) -> Ticks {
        Ticks(self.unit.ticks().0 * if self.is_compound() { 3 } else { 1 })
    }
}

impl fmt::Display for Meter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.beats, self.unit.denominator())
    }
}

impl FromStr for Meter {
    type Err = TimeError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let wrong = || TimeError {
            text: text.to_owned(),
            expected: "a time signature: 1 to 32 beats over 1, 2, 4, 8, 16, 32 or 64, as in `4/4` or `6/8`",
        };
        let (beats, unit) = text.trim().split_once('/').ok_or_else(wrong)?;
        let beats = digits(beats).ok_or_else(wrong)?;
        let unit = digits(unit).and_then(NoteValue::from_denominator).ok_or_else(wrong)?;
        Self::new(beats, unit).ok_or_else(wrong)
    }
}

/// A tempo: so many beats of a given length a minute. Invariants: 10 to 600 a minute; the beat is
/// not part of a tuplet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Tempo {
    beat: Length,
    per_minute: u16,
}

impl Tempo {
    /// 120 quarter notes a minute.
    pub const USUAL: Self = Self { beat: Length::QUARTER, per_minute: 120 };

    /// Returns `None` outside 10 to 600 beats a minute, or for a beat inside a tuplet.
    pub fn new(beat: Length, per_minute: u16) -> Option<Self> {
        ((10..=600).contains(&per_minute) && beat.tuplet().is_none()).then_some(Self { beat, per_minute })
    }

    /// Returns the length that is counted.
    pub const fn beat(self) -> Length {
        self.beat
    }

    /// Returns the beats a minute, `10..=600`.
    pub const fn per_minute(self) -> u16 {
        self.per_minute
    }
}

/// Prints `1/4=92`.
impl fmt::Display for Tempo {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}={}", self.beat, self.per_minute)
    }
}

impl FromStr for Tempo {
    type Err = TimeError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let wrong = || TimeError {
            text: text.to_owned(),
            expected: "a tempo: a note value and 10 to 600 of them a minute, as in `1/4=92`",
        };
        let (beat, per_minute) = text.trim().split_once('=').ok_or_else(wrong)?;
        let beat = beat.trim().parse().map_err(|_| wrong())?;
        let per_minute = digits(per_minute.trim()).ok_or_else(wrong)?;
        Self::new(beat, per_minute).ok_or_else(wrong)
    }
}

/// An instant in the video, in milliseconds from its start.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct VideoTime(pub u32);

/// A length of video time, in milliseconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct VideoLength(pub u32);

impl VideoTime {
    /// The first instant.
    pub const START: Self = Self(0);

    /// Returns the length from `earlier` to here; `None` when it lies later.
    pub fn since(self, earlier: Self) -> Option<VideoLength> {
        self.0.checked_sub(earlier.0).map(VideoLength)
    }
}

impl Add<VideoLength> for VideoTime {
    type Output = Self;

    fn add(self, length: VideoLength) -> Self {
        Self(self.0.saturating_add(length.0))
    }
}

impl VideoLength {
    /// No time at all.
    pub const ZERO: Self = Self(0);

    /// Returns a length of whole seconds, at most some 49 days.
    pub const fn from_seconds(seconds: u32) -> Self {
        Self(seconds.saturating_mul(1000))
    }
}

impl Add for VideoLength {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl std::iter::Sum for VideoLength {
    fn sum<I: Iterator<Item = Self>>(lengths: I) -> Self {
        lengths.fold(Self::ZERO, Add::add)
    }
}

/// A time as files hold it, to the millisecond: `1:23`, `1:23.400`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ExactTime(u32);

impl VideoTime {
    /// Returns the text that files hold, which reads back as the same instant.
    pub const fn exact(self) -> ExactTime {
        ExactTime(self.0)
    }

    /// Returns two instants for the eye. Where they differ by less than a tenth of a second shows, both are exact.
    pub fn told_apart(self, other: Self) -> (String, String) {
        let [one, two] = [self, other].map(|time| time.to_string());
        if one == two && self != other { (self.exact().to_string(), other.exact().to_string()) } else { (one, two) }
    }
}

impl VideoLength {
    /// Returns the text that files hold, which reads back as the same length.
    pub const fn exact(self) -> ExactTime {
        ExactTime(self.0)
    }
}

impl fmt::Display for ExactTime {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write_whole_seconds(self.0, f)?;
        match self.0 % 1000 {
            0 => Ok(()),
            rest => write!(f, ".{rest:03}"),
        }
    }
}

/// Writes a time for the eye: rounded to a tenth of a second, half of one upward, which is written only where there is one.
fn write_clock(milliseconds: u32, f: &mut fmt::Formatter<'_>) -> fmt::Result {
    let rounded = milliseconds.saturating_add(50) / 100 * 100;
    write_whole_seconds(rounded, f)?;
    match rounded % 1000 / 100 {
        0 => Ok(()),
        tenth => write!(f, ".{tenth}"),
    }
}

/// Writes `m:ss` or `h:mm:ss`, without what is left of a second.
fn write_whole_seconds(milliseconds: u32, f: &mut fmt::Formatter<'_>) -> fmt::Result {
    let seconds = milliseconds / 1000;
    let (hours, minutes, seconds) = (seconds / 3600, seconds / 60 % 60, seconds % 60);
    if hours > 0 { write!(f, "{hours}:{minutes:02}:{seconds:02}") } else { write!(f, "{minutes}:{seconds:02}") }
}

/// Reads `s`, `m:ss` or `h:mm:ss`, with up to three decimals, into milliseconds.
fn read_clock(text: &str) -> Result<u32, TimeError> {
    let wrong = || TimeError {
        text: text.to_owned(),
        expected: "a time: minutes and seconds, as in `1:23`, `1:23.4` or `1:02:03`",
    };
    let (whole, decimals) = text.trim().split_once('.').unwrap_or((text.trim(), "0"));
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    if !digits(decimals) || decimals.len() > 3 {
        return Err(wrong());
    }
    let parts: Vec<&str> = whole.split(':').collect();
    if parts.len() > 3 || !parts.iter().all(|part| digits(part)) {
        return Err(wrong());
    }
    let mut seconds: u32 = 0;
    for (place, part) in parts.iter().enumerate() {
        let number: u32 = part.parse().map_err(|_| wrong())?;
        if place > 0 && (number > 59 || part.len() != 2) {
            return Err(wrong());
        }
        seconds = seconds.checked_mul(60).and_then(|sum| sum.checked_add(number)).ok_or_else(wrong)?;
    }
    let thousandths: u32 = format!("{decimals:0<3}").parse().map_err(|_| wrong())?;
    seconds.checked_mul(1000).and_then(|sum| sum.checked_add(thousandths)).ok_or_else(wrong)
}

impl fmt::Display for VideoTime {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write_clock(self.0, f)
    }
}

impl fmt::Display for VideoLength {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write_clock(self.0, f)
    }
}

impl FromStr for VideoTime {
    type Err = TimeError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        read_clock(text).map(Self)
    }
}

impl FromStr for VideoLength {
    type Err = TimeError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        read_clock(text).map(Self)
    }
}

serde_as_text!(Length, Meter, Tempo);

/// Files keep every millisecond, of which people are shown tenths of a second.
macro_rules! serde_as_exact_time {
    ($($type:ty),+) => {$(
        impl Serialize for $type {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(&self.exact())
            }
        }
        impl<'de> Deserialize<'de> for $type {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                from_text(deserializer)
            }
        }
    )+};
}
serde_as_exact_time!(VideoTime, VideoLength);

#[cfg(test)]
mod tests;
