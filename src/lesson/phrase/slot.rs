//! Where an edit acts: a bar, a voice in it, an event in that.

use serde::{Deserialize, Serialize};

use std::ops::Range;

use crate::lesson::music::{Event, Passage};
use crate::lesson::time::{Meter, Ticks};

/// A place in a passage; all numbers count from 0.
///
/// An event number equal to the number of events is the place behind the last one, where the next is
/// written. Ordered as the music runs, within one voice.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize)]
pub struct Slot {
    /// The bar.
    pub bar: usize,
    /// The event.
    pub event: usize,
    /// The voice.
    pub voice: usize,
}

impl Slot {
    /// Returns the beginning of a bar.
    pub const fn start_of(bar: usize, voice: usize) -> Self {
        Self { bar, event: 0, voice }
    }

    /// Returns the events of its voice in its bar.
    pub fn events(self, passage: &Passage) -> &[Event] {
        let voice = passage.bars.get(self.bar).and_then(|bar| bar.voices.get(self.voice));
        voice.map_or(&[], |voice| &voice.0)
    }

    /// Returns the event, unless this is a place behind the last one.
    pub fn read(self, passage: &Passage) -> Option<&Event> {
        self.events(passage).get(self.event)
    }

    /// Returns when the event starts, counted from the start of the voice in its bar.
    pub fn start(self, passage: &Passage) -> Ticks {
        self.events(passage).iter().take(self.event).map(|event| event.length.ticks()).sum()
    }

    /// Returns the slot of another voice of the bar that sounds or begins when this one starts: the last event that began by then, or the
    /// place behind the last where that voice has ended before.
    pub fn in_voice(self, passage: &Passage, voice: usize) -> Self {
        let (start, other) = (self.start(passage), Self { voice, ..self });
        let events = other.events(passage);
        let ends = events.iter().scan(Ticks::ZERO, |end, event| {
            *end += event.length.ticks();
            Some(*end)
        });
        let ended = ends.take_while(|end| *end <= start).count();
        // A bar that both voices fill has no later place: the next note there would stand in a new bar.
        let full = ended == events.len() && self.read(passage).is_some() && missing(passage, other).is_none();
        Self { event: if full { ended.saturating_sub(1) } else { ended }, ..other }
    }

    /// Returns the slot moved into `bars` of `passage`, and behind the last event at most.
    pub fn clamped(self, passage: &Passage, bars: &Range<usize>) -> Self {
        let end = bars.end.min(passage.bars.len());
        let bar = self.bar.min(end.saturating_sub(1)).max(bars.start);
        let slot = Self { bar, ..self };
        let all = slot.events(passage).len();
        // A cursor whose bar has gone comes to the beginning of the one that took its place.
        let event = if bar == self.bar { self.event.min(all) } else { 0 };
        Self { event, ..slot }
    }

    /// Returns what comes next: an event, or the place behind the last one where the bar has room or
    /// no bar of `bars` follows. Returns `None` at the end.
    pub fn next(self, passage: &Passage, bars: &Range<usize>) -> Option<Self> {
        let all = self.events(passage).len();
        if self.event + 1 < all || (self.event < all && self.waits(passage, bars)) {
            return Some(Self { event: self.event + 1, ..self });
        }
        self.next_bar(passage, bars)
    }

    /// Returns what comes before; `None` at the beginning.
    pub fn previous(self, passage: &Passage, bars: &Range<usize>) -> Option<Self> {
        if let Some(event) = self.event.checked_sub(1) {
            return Some(Self { event, ..self });
        }
        let bar = self.bar.checked_sub(1).filter(|bar| bars.contains(bar))?;
        let before = Self { bar, event: 0, voice: self.voice };
        let all = before.events(passage).len();
        Some(Self { event: if before.waits(passage, bars) { all } else { all.saturating_sub(1) }, ..before })
    }

    /// Returns the beginning of the next bar.
    pub fn next_bar(self, passage: &Passage, bars: &Range<usize>) -> Option<Self> {
        let bar = self.bar + 1;
        (bar < bars.end.min(passage.bars.len())).then_some(Self::start_of(bar, self.voice))
    }

    /// Returns the beginning of this bar, or of the one before where this is the beginning already.
    pub fn previous_bar(self, bars: &Range<usize>) -> Option<Self> {
        let bar = if self.event > 0 { Some(self.bar) } else { self.bar.checked_sub(1) };
        bar.filter(|bar| bars.contains(bar)).map(|bar| Self::start_of(bar, self.voice))
    }

    /// Returns whether something can be written behind the last event of this bar: it has room, or
    /// is the last and a new bar would begin.
    fn waits(self, passage: &Passage, bars: &Range<usize>) -> bool {
        self.bar + 1 >= bars.end.min(passage.bars.len()) || missing(passage, self).is_some()
    }
}

/// Returns the meter that holds in a bar.
pub fn meter_at(passage: &Passage, bar: usize) -> Meter {
    let changes = passage.bars.iter().take(bar + 1).rev();
    changes.into_iter().find_map(|bar| bar.meter).unwrap_or(passage.meter)
}

/// Returns what the voice at `slot` lacks to fill its bar; `None` where it lacks nothing.
pub fn missing(passage: &Passage, slot: Slot) -> Option<Ticks> {
    let written: Ticks = slot.events(passage).iter().map(|event| event.length.ticks()).sum();
    let full = meter_at(passage, slot.bar).ticks();
    full.0.checked_sub(written.0).filter(|missing| *missing > 0).map(Ticks)
}
