//! The notes of a passage in the order in which a voice plays them.

use crate::instrument::neck::StringNumber;
use crate::lesson::music::{Event, Note, Passage};
use crate::lesson::place::{LessonPlace, Spot};

/// One event of one voice of a passage.
#[derive(Debug, Clone, Copy)]
pub(super) struct PlayedEvent<'a> {
    pub(super) bar: usize,
    pub(super) voice: usize,
    pub(super) event: usize,
    pub(super) played: &'a Event,
}

impl PlayedEvent<'_> {
    /// Returns where a note of this event stands.
    pub(super) fn place(&self, passage: &Passage, string: StringNumber) -> LessonPlace {
        LessonPlace::Passage(passage.id, self.spot().string(string))
    }

    /// Returns where this event stands.
    pub(super) fn spot(&self) -> Spot {
        Spot::bar(self.bar).voice(self.voice).event(self.event)
    }
}

/// Returns every event of every voice, bar by bar.
pub(super) fn steps(passage: &Passage) -> impl Iterator<Item = PlayedEvent<'_>> {
    passage.bars.iter().enumerate().flat_map(|(bar, content)| {
        content.voices.iter().enumerate().flat_map(move |(voice, line)| {
            line.0.iter().enumerate().map(move |(event, played)| PlayedEvent { bar, voice, event, played })
        })
    })
}

/// Returns the notes an event plays, one after the other on each string: grace notes, then its own.
pub(super) fn notes(event: &Event) -> impl Iterator<Item = &Note> {
    event.grace.iter().chain(&event.notes)
}

/// What lies between two notes on a string.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum BetweenNotes {
    /// Nothing: the later one belongs to the very next event, or to the same one.
    Nothing,
    /// Events that leave the string alone.
    Events,
}

/// What comes next on a string.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum NextOnString<'a> {
    /// This note.
    Note {
        /// The note.
        note: &'a Note,
        /// What lies between.
        between: BetweenNotes,
    },
    /// A rest, before any note on the string.
    Rest,
    /// Nothing up to the end of the next bar.
    Nothing,
    /// The passage ends, or the music goes on somewhere that repeats and endings decide.
    Elsewhere,
}

/// Returns what follows on the string of the note at `place` among the [`notes`] of `step`.
///
/// It looks to the end of the next bar: a string that rings longer than that before a finger does
/// something to it is more likely a slip.
pub(super) fn next_on_string<'a>(passage: &'a Passage, step: PlayedEvent<'a>, place: usize) -> NextOnString<'a> {
    let Some(from) = notes(step.played).nth(place) else { return NextOnString::Nothing };
    // Only a grace note has something after it in its own event.
    if place < step.played.grace.len() {
        let rest = notes(step.played).skip(place + 1);
        if let Some(note) = rest.into_iter().find(|note| note.string == from.string) {
            return NextOnString::Note { note, between: BetweenNotes::Nothing };
        }
    }
    let mut between = BetweenNotes::Nothing;
    let voice = |bar: usize| passage.bars.get(bar).and_then(|bar| bar.voices.get(step.voice));
    let here = voice(step.bar).into_iter().flat_map(|voice| voice.0.iter().skip(step.event + 1));
    for event in here {
        if let Some(next) = in_event(event, from, between) {
            return next;
        }
        between = BetweenNotes::Events;
    }
    if !flows_on(passage, step.bar) {
        return NextOnString::Elsewhere;
    }
    let Some(voice) = voice(step.bar + 1) else { return NextOnString::Elsewhere };
    for event in &voice.0 {
        if let Some(next) = in_event(event, from, between) {
            return next;
        }
        between = BetweenNotes::Events;
    }
    NextOnString::Nothing
}

fn in_event<'a>(event: &'a Event, from: &Note, between: BetweenNotes) -> Option<NextOnString<'a>> {
    match notes(event).find(|note| note.string == from.string) {
        Some(note) => Some(NextOnString::Note { note, between }),
        None => event.is_rest().then_some(NextOnString::Rest),
    }
}

/// Returns whether the bar after `bar` is the one that is played after it, and the only one.
fn flows_on(passage: &Passage, bar: usize) -> bool {
    let (Some(here), Some(next)) = (passage.bars.get(bar), passage.bars.get(bar + 1)) else { return false };
    here.repeat_end.is_none() && (next.endings.is_empty() || here.endings == next.endings)
}
