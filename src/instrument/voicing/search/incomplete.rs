//! Voicings that lack a tone, or have a foreign bass on several strings, and are called by the name of the chord all the same.
//!
//! What a player reads off a shape as a chord must be found when that chord is looked up. So the search goes over the tones once
//! more that it passed over, and adds those shapes that have this name before any other. They stand behind all that are complete:
//! whoever looks for a triad wants its fifth.

use super::Search;
use crate::instrument::voicing::found_voicing::Hit;
use crate::instrument::voicing::request::Sought;
use crate::theory::pitch::MidiNote;
use crate::theory::reading::{Context, Lowest, ReadingKind, readings_limited};

/// What is added to the price of an incomplete voicing: more than any complete one costs.
const BEHIND: u32 = 10_000;

impl Search<'_> {
    /// Adds what lacks a tone, or doubles a foreign bass, and is called by the name of the chord first, behind all that was
    /// found. A level has its own idea of what may be shown, and of too many there is no need for more: then nothing is added.
    #[must_use]
    pub fn with_incomplete(mut self) -> Self {
        if self.level.is_some() || self.sieve.is_some() || !self.is_complete() {
            return self;
        }
        let sets = self.tones.called_so(self.board.lowest);
        if sets.is_empty() {
            return self;
        }
        for set in sets {
            let mut further = self.board.prepared(self.tones.exactly(set), self.request, None);
            further.bounds = self.bounds;
            further.run();
            further.list.retain(|hit| self.is_called_so(hit));
            self.list.extend(further.list.iter().map(|hit| Hit { cost: hit.cost + BEHIND, ..*hit }));
        }
        self
    }

    /// Returns whether a voicing is first of all called as the chord that is looked for, over the bass that is asked for.
    fn is_called_so(&self, hit: &Hit) -> bool {
        let strings = hit.held.iter().enumerate().take(self.board.strings);
        let notes: Vec<Option<MidiNote>> =
            strings.map(|(index, wire)| self.board.note(index, *wire).and_then(MidiNote::new)).collect();
        let context = Context { lowest: self.board.lowest, ..Context::default() };
        let first = readings_limited(&notes, &context, 1);
        let Some(first) = first.first().filter(|first| self.tones.is_name_of(first)) else { return false };
        let asked_for = self.tones.bass.or(self.request.bass.map(Sought::pitch_class));
        let bass = asked_for.unwrap_or(self.tones.root);
        match (context.lowest, first.kind) {
            (Lowest::AnyTone, _) => true,
            (Lowest::Bass | Lowest::HighTone, ReadingKind::Rootless) => self.tones.bass.is_none(),
            // A few high strings leave the bass to others: whatever is lowest, unless a bass is asked for, is called so.
            (
                Lowest::HighTone,
                ReadingKind::Chord
                | ReadingKind::Inversion
                | ReadingKind::PowerChord
                | ReadingKind::Note
                | ReadingKind::Interval
                | ReadingKind::Cluster,
            ) => asked_for.is_none_or(|bass| first.bass.pitch_class() == bass),
            (
                Lowest::Bass | Lowest::HighTone,
                ReadingKind::Chord
                | ReadingKind::Inversion
                | ReadingKind::ForeignBass
                | ReadingKind::PowerChord
                | ReadingKind::Note
                | ReadingKind::Interval
                | ReadingKind::Cluster,
            ) => first.bass.pitch_class() == bass,
        }
    }
}
