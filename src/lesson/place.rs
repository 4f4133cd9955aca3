//! Places in a lesson: what a finding points at, and where the cursor goes after an undo.

use std::fmt::Write;

use serde::{Deserialize, Serialize};

use super::bar_numbers::{BarName, BarNumbers};
use super::document::Lesson;
use super::id::{ItemId, SegmentId};
use super::lists::each_list;
use super::music::{Passage, Voice};
use super::time::{Meter, Ticks};
use crate::instrument::neck::StringNumber;
use crate::text::quote::quoted;

/// A spot in a passage, as exact as it is known. All numbers count from 1, as players count.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Spot {
    /// The bar, by its place in the list of bars; what players call it says [`BarNumbers`].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bar: Option<u32>,
    /// The voice.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub voice: Option<u32>,
    /// The event in that voice.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub event: Option<u32>,
    /// The string.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub string: Option<StringNumber>,
}

impl Spot {
    /// The passage as a whole.
    pub const WHOLE: Self = Self { bar: None, voice: None, event: None, string: None };

    /// Returns the bar at `index`, counted from 0.
    pub fn bar(index: usize) -> Self {
        Self { bar: from_one(index), ..Self::WHOLE }
    }

    /// Returns the voice at `index` of this bar, counted from 0.
    pub fn voice(self, index: usize) -> Self {
        Self { voice: from_one(index), ..self }
    }

    /// Returns the event at `index` of this voice, counted from 0.
    pub fn event(self, index: usize) -> Self {
        Self { event: from_one(index), ..self }
    }

    /// Returns `string` at this event.
    pub fn string(self, string: StringNumber) -> Self {
        Self { string: Some(string), ..self }
    }

    /// Says where in `passage` it is, each part after a comma: `, bar 3, voice 2, beat 1 1/2, string 4`. `meter` returns the meter of a
    /// bar, counted from 0.
    ///
    /// Beats are those that the count row under the tab numbers. A voice is named where there are
    /// several; an event that is gone has its number instead of a beat.
    fn text(self, passage: Option<&Passage>, meter: impl Fn(usize) -> Option<Meter>) -> String {
        let mut text = String::new();
        let mut say = |word: &str, number: Option<String>| {
            if let Some(number) = number {
                // Writing to a string cannot fail.
                let gap = if number.is_empty() { "" } else { " " };
                let _ = write!(text, ", {word}{gap}{number}");
            }
        };
        let number = |number: Option<u32>| number.map(|number| number.to_string());
        let bar = self.bar_index().zip(passage).and_then(|(index, passage)| passage.bars.get(index));
        match (self.bar_index(), passage.map(BarNumbers::of)) {
            (Some(index), Some(numbers)) => match numbers.name(index) {
                BarName::Pickup => say("pickup", Some(String::new())),
                BarName::Number(number) => say("bar", Some(number.to_string())),
            },
            (_, None) | (None, _) => say("bar", number(self.bar)),
        }
        say("voice", number(self.voice.filter(|voice| *voice > 1 || bar.is_none_or(|bar| bar.voices.len() > 1))));
        match passage.and_then(|passage| self.beat(passage, meter)) {
            Some(beat) => say("beat", Some(beat)),
            None => say("note or rest", number(self.event)),
        }
        say("string", self.string.map(|string| string.to_string()));
        text
    }

    /// Returns the beat on which its event begins, counted from 1: `2`, `1 1/2`.
    fn beat(self, passage: &Passage, meter: impl Fn(usize) -> Option<Meter>) -> Option<String> {
        let index = self.bar_index()?;
        let bar = passage.bars.get(index)?;
        let before = |number: Option<u32>| usize::try_from(number?.checked_sub(1)?).ok();
        let events = &bar.voices.get(before(self.voice)?)?.0;
        let gone: Ticks = events.get(..before(self.event)?)?.iter().map(|event| event.length.ticks()).sum();
        let meter = meter(index)?;
        let longest = bar.voices.iter().map(Voice::ticks).max().unwrap_or(Ticks::ZERO);
        // A pickup takes the last beats of its bar.
        let late = if bar.pickup { meter.ticks().0.saturating_sub(longest.0) } else { 0 };
        let (beats, part) = Ticks(gone.0.saturating_add(late)).in_units_of(meter.beat());
        let number = beats.saturating_add(1);
        Some(part.map_or_else(|| number.to_string(), |part| format!("{number} {part}")))
    }

    /// Returns the place of the bar in the list of bars, counted from 0.
    pub fn bar_index(self) -> Option<usize> {
        usize::try_from(self.bar?.checked_sub(1)?).ok()
    }
}

fn from_one(index: usize) -> Option<u32> {
    u32::try_from(index).ok()?.checked_add(1)
}

/// Declares a place for each list.
macro_rules! places {
    (@spot) => {
        Spot::WHOLE
    };
    (@spot $part:ident) => {
        Spot::from($part)
    };
    ($({
        $field:ident $id:ident $place:ident $word:literal $edit:ident $item:ty, $one:ident ($($part:ident: $part_type:ty)?)
    })+) => {
        /// A place in a lesson.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(rename = "Place")]
        pub enum LessonPlace {
            /// The lesson as a whole.
            Lesson,
            /// Its header.
            Header,
            $(
                #[doc = concat!("A ", $word, ", or a spot in it where one can be said.")]
                $place(super::id::$id $(, $part_type)?),
            )+
            /// The chapter list that follows from the segments.
            Chapters,
        }

        impl LessonPlace {
            /// Returns the place of a thing as a whole.
            pub fn of(item: impl Into<ItemId>) -> Self {
                match item.into() {
                    $(ItemId::$place(id) => Self::$place(id $(, <$part_type>::default())?),)+
                }
            }

            /// Returns the thing that it is, or is in; `None` where it is about the lesson as a whole.
            pub const fn item(self) -> Option<ItemId> {
                match self {
                    Self::Lesson | Self::Header | Self::Chapters => None,
                    $(Self::$place(id, ..) => Some(ItemId::$place(id)),)+
                }
            }

            /// Returns the spot within the thing, as exact as it is known.
            pub fn spot(self) -> Spot {
                match self {
                    Self::Lesson | Self::Header | Self::Chapters => Spot::WHOLE,
                    $(Self::$place(_ $(, $part)?) => places!(@spot $($part)?),)+
                }
            }

            /// Says which thing it is.
            fn said(self, lesson: &Lesson) -> String {
                match self {
                    Self::Lesson => "lesson".to_owned(),
                    Self::Header => "header".to_owned(),
                    Self::Chapters => "chapter list".to_owned(),
                    $(Self::$place(id, ..) => said($word, lesson.title(id.into()), lesson.position(id.into())),)+
                }
            }
        }
    };
}

each_list!(places);

/// A place in a voicing is one of its strings.
impl From<Option<StringNumber>> for Spot {
    fn from(string: Option<StringNumber>) -> Self {
        Self { string, ..Self::WHOLE }
    }
}

impl LessonPlace {
    /// Returns the same place, as exact as `spot` says, where the thing has such spots.
    #[must_use]
    pub const fn at(self, spot: Spot) -> Self {
        if let Self::Passage(id, _) = self { Self::Passage(id, spot) } else { self }
    }

    /// Says where it is, in words: `passage "verse riff", bar 3, beat 2, string 4`.
    ///
    /// Titles are shortened, and their control characters shown as escapes.
    pub fn text(self, lesson: &Lesson) -> String {
        let music = if let Self::Passage(id, _) = self { lesson.passage(id) } else { None };
        let meter = |index: usize| {
            let changed = music?.bars.get(..=index)?.iter().rev().find_map(|bar| bar.meter);
            Some(changed.unwrap_or(music?.meter))
        };
        self.thing(lesson) + &self.spot().text(music, meter)
    }

    /// Says which thing it is in.
    fn thing(self, lesson: &Lesson) -> String {
        if let Self::Segment(id) = self { segment_said(lesson, id) } else { self.said(lesson) }
    }

    /// Returns what sorts places as the document runs: the sort of thing, where it stands in its
    /// list, then the spot in it.
    pub fn order(self, lesson: &Lesson) -> (u8, usize, Spot) {
        self.order_at(self.item().map_or(0, |item| lesson.position(item).unwrap_or(usize::MAX)))
    }

    /// Returns the same as [`LessonPlace::order`], where it is known that the thing stands at `at` in its list.
    pub(super) fn order_at(self, at: usize) -> (u8, usize, Spot) {
        match (self, self.item()) {
            (_, Some(item)) => (item.list() + 2, at, self.spot()),
            (Self::Header, None) => (1, 0, Spot::WHOLE),
            (Self::Chapters, None) => (u8::MAX, 0, Spot::WHOLE),
            (_, None) => (0, 0, Spot::WHOLE),
        }
    }
}

/// Says of many spots in one passage where they are, as [`LessonPlace::text`] does, without going through the passage for each of them.
pub struct SpotsOf<'p> {
    passage: &'p Passage,
    /// Which passage it is, in words.
    said: String,
    /// The meter of each bar.
    meters: Vec<Meter>,
}

impl<'p> SpotsOf<'p> {
    /// Returns the spots of a passage of this lesson.
    pub fn new(lesson: &Lesson, passage: &'p Passage) -> Self {
        let mut meter = passage.meter;
        let meters = passage.bars.iter().map(|bar| {
            meter = bar.meter.unwrap_or(meter);
            meter
        });
        Self { passage, said: LessonPlace::of(passage.id).thing(lesson), meters: meters.collect() }
    }

    /// Says where a spot is.
    pub fn text(&self, spot: Spot) -> String {
        self.said.clone() + &spot.text(Some(self.passage), |index| self.meters.get(index).copied())
    }
}

/// Says which thing of a list it is, by its title, or by its place in the list where it has none.
fn said(word: &str, title: Option<&str>, place: Option<usize>) -> String {
    match (title, place) {
        (Some(title), _) => format!("{word} \"{}\"", quoted(title)),
        (None, Some(place)) => format!("{word} {}", place.saturating_add(1)),
        (None, None) => format!("a {word} that is gone"),
    }
}

/// Says which segment it is. Segments are counted as they stand: a chapter list and the screen do so as well.
fn segment_said(lesson: &Lesson, id: SegmentId) -> String {
    match lesson.segment_index(id).zip(lesson.segment(id)) {
        Some((at, segment)) if segment.title.trim().is_empty() => format!("segment {}", at.saturating_add(1)),
        Some((at, segment)) => format!("segment {} \"{}\"", at.saturating_add(1), quoted(&segment.title)),
        None => "a segment that is gone".to_owned(),
    }
}
