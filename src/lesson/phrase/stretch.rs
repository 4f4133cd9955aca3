//! A stretch of music that is chosen.

use serde::{Deserialize, Serialize};

use super::slot::Slot;
use crate::lesson::music::{Event, Passage};

/// A stretch of music from one slot to another, both included.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stretch {
    first: Slot,
    last: Slot,
    /// Events of one voice, or whole bars.
    pub grain: Grain,
}

/// What a stretch is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Grain {
    /// Events of one voice.
    Events,
    /// Whole bars with all their voices.
    Bars,
}

impl Stretch {
    /// Returns the stretch between two slots in either order, in the voice of `to`.
    pub fn new(from: Slot, to: Slot, grain: Grain) -> Self {
        let from = Slot { voice: to.voice, ..from };
        Self { first: from.min(to), last: from.max(to), grain }
    }

    /// Returns where it begins.
    pub const fn first(&self) -> Slot {
        self.first
    }

    /// Returns where its last event or bar is.
    pub const fn last(&self) -> Slot {
        self.last
    }

    /// Returns its bars.
    pub const fn bars(&self) -> std::ops::Range<usize> {
        self.first.bar..self.last.bar + 1
    }

    /// Returns whether the event at `slot` belongs to it.
    pub fn holds(&self, slot: Slot) -> bool {
        match self.grain {
            Grain::Events => slot.voice == self.first.voice && self.first <= slot && slot <= self.last,
            Grain::Bars => self.bars().contains(&slot.bar),
        }
    }

    /// Returns how many events of its voice it holds.
    pub fn events(&self, passage: &Passage) -> usize {
        self.parts(passage).iter().map(Vec::len).sum()
    }

    /// Returns every event in it.
    pub fn all<'p>(&self, passage: &'p Passage) -> Vec<&'p Event> {
        let mut all = Vec::new();
        for bar in self.bars() {
            let voices = passage.bars.get(bar).map_or(&[][..], |bar| &bar.voices);
            for (voice, line) in voices.iter().enumerate() {
                let events = line.0.iter().enumerate();
                all.extend(
                    events.filter(|(event, _)| self.holds(Slot { bar, event: *event, voice })).map(|(_, event)| event),
                );
            }
        }
        all
    }

    /// Returns the events in it, bar by bar.
    pub(super) fn parts(&self, passage: &Passage) -> Vec<Vec<Event>> {
        let part = |bar: usize| {
            let start = Slot::start_of(bar, self.first.voice);
            let events = start.events(passage).iter().enumerate();
            events.filter(move |(event, _)| self.holds(Slot { event: *event, ..start })).map(|(_, event)| event.clone())
        };
        self.bars().map(|bar| part(bar).collect()).collect()
    }
}
