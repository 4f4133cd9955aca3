//! Places in a lesson: what a finding points at, and where the cursor goes after an undo.

use std::fmt::Write;

use serde::{Deserialize, Serialize};

use super::document::Lesson;
use super::edit::Item;
use super::id::{InstrumentId, PassageId, PieceId, SegmentId, SetupId, VoicingId};
use super::music::{Passage, Voice};
use super::time::Ticks;
use crate::instrument::neck::StringNumber;
use crate::text::quote::quoted;

/// A place in a lesson.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename = "Place")]
pub enum LessonPlace {
    /// The lesson as a whole.
    Lesson,
    /// Its header.
    Header,
    /// An instrument.
    Instrument(InstrumentId),
    /// A setup.
    Setup(SetupId),
    /// A piece.
    Piece(PieceId),
    /// A passage, or a spot in it.
    Passage(PassageId, Spot),
    /// A voicing, or one of its strings.
    Voicing(VoicingId, Option<StringNumber>),
    /// A segment.
    Segment(SegmentId),
    /// The chapter list that follows from the segments.
    Chapters,
}

/// A spot in a passage, as exact as it is known. All numbers count from 1, as players count.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Spot {
    /// The bar; a pickup is bar 1 here, as it stands in the list of bars.
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

    /// Says where in `passage` it is, each part after a comma: `, bar 3, voice 2, beat 1 1/2, string 4`.
    ///
    /// Beats are those that the count row under the tab numbers. A voice is named where there are
    /// several; an event that is gone has its number instead of a beat.
    fn text(self, passage: Option<&Passage>) -> String {
        let mut text = String::new();
        let mut say = |word: &str, number: Option<String>| {
            if let Some(number) = number {
                // Writing to a string cannot fail.
                let _ = write!(text, ", {word} {number}");
            }
        };
        let number = |number: Option<u32>| number.map(|number| number.to_string());
        let bar = self.bar_index().zip(passage).and_then(|(index, passage)| passage.bars.get(index));
        say("bar", number(self.bar));
        say("voice", number(self.voice.filter(|voice| *voice > 1 || bar.is_none_or(|bar| bar.voices.len() > 1))));
        match passage.and_then(|passage| self.beat(passage)) {
            Some(beat) => say("beat", Some(beat)),
            None => say("event", number(self.event)),
        }
        say("string", self.string.map(|string| string.to_string()));
        text
    }

    /// Returns the beat on which its event begins, counted from 1: `2`, `1 1/2`.
    fn beat(self, passage: &Passage) -> Option<String> {
        let index = self.bar_index()?;
        let bar = passage.bars.get(index)?;
        let before = |number: Option<u32>| usize::try_from(number?.checked_sub(1)?).ok();
        let events = &bar.voices.get(before(self.voice)?)?.0;
        let gone: Ticks = events.get(..before(self.event)?)?.iter().map(|event| event.length.ticks()).sum();
        let changed = passage.bars.get(..=index)?.iter().rev().find_map(|bar| bar.meter);
        let meter = changed.unwrap_or(passage.meter);
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

impl LessonPlace {
    /// Says where it is, in words: `passage "verse riff", bar 3, beat 2, string 4`.
    ///
    /// Titles are shortened, and their control characters shown as escapes.
    pub fn text(self, lesson: &Lesson) -> String {
        match self {
            Self::Lesson => "lesson".to_owned(),
            Self::Header => "header".to_owned(),
            Self::Instrument(id) => {
                item_text(&lesson.instruments, id, |instrument| Some(instrument.body.name.as_str()))
            }
            Self::Setup(id) => item_text(&lesson.setups, id, |setup| Some(setup.name.as_str())),
            Self::Piece(id) => item_text(&lesson.pieces, id, |piece| Some(piece.title.as_str())),
            Self::Passage(id, spot) => {
                let mut text = item_text(&lesson.passages, id, |passage| Some(passage.title.as_str()));
                text.push_str(&spot.text(lesson.passage(id)));
                text
            }
            Self::Voicing(id, string) => {
                let text = item_text(&lesson.voicings, id, |voicing| voicing.name());
                string.map_or_else(|| text.clone(), |string| format!("{text}, string {string}"))
            }
            Self::Segment(id) => {
                let place = lesson.segments.iter().position(|segment| segment.id == id);
                let title = lesson.segments.iter().find(|segment| segment.id == id).map(|segment| &segment.title);
                match (place, title) {
                    (Some(place), Some(title)) if title.trim().is_empty() => format!("segment {}", place + 1),
                    (Some(place), Some(title)) => format!("segment {} \"{}\"", place + 1, quoted(title)),
                    _ => format!("segment numbered {id}"),
                }
            }
            Self::Chapters => "chapter list".to_owned(),
        }
    }

    /// Returns what sorts places as the document runs: the sort of thing, where it stands in its
    /// list, then the spot in it.
    pub fn order(self, lesson: &Lesson) -> (u8, usize, Spot) {
        self.order_at(match self {
            Self::Lesson | Self::Header | Self::Chapters => 0,
            Self::Instrument(id) => position(&lesson.instruments, id),
            Self::Setup(id) => position(&lesson.setups, id),
            Self::Piece(id) => position(&lesson.pieces, id),
            Self::Passage(id, _) => position(&lesson.passages, id),
            Self::Voicing(id, _) => position(&lesson.voicings, id),
            Self::Segment(id) => position(&lesson.segments, id),
        })
    }

    /// Returns the same as [`LessonPlace::order`], where it is known that the thing stands at `at` in its list.
    pub(super) const fn order_at(self, at: usize) -> (u8, usize, Spot) {
        let whole = Spot::WHOLE;
        match self {
            Self::Lesson => (0, 0, whole),
            Self::Header => (1, 0, whole),
            Self::Instrument(_) => (2, at, whole),
            Self::Setup(_) => (3, at, whole),
            Self::Piece(_) => (4, at, whole),
            Self::Passage(_, spot) => (5, at, spot),
            Self::Voicing(_, string) => (6, at, Spot { string, ..whole }),
            Self::Segment(_) => (7, at, whole),
            Self::Chapters => (8, 0, whole),
        }
    }
}

fn position<T: Item>(list: &[T], id: T::Id) -> usize {
    list.iter().position(|item| item.id() == id).unwrap_or(usize::MAX)
}

/// Names an item by its title, or by its number where it has none or is gone.
fn item_text<T: Item>(list: &[T], id: T::Id, title: fn(&T) -> Option<&str>) -> String {
    let known = list.iter().find(|item| item.id() == id);
    match known.and_then(title).filter(|title| !title.trim().is_empty()) {
        Some(title) => format!("{} \"{}\"", T::WORD, quoted(title)),
        None => format!("{} numbered {id}", T::WORD),
    }
}
