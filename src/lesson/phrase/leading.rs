//! Techniques that lead to the next note, where that note is about to go.

use std::ops::Range;

use super::slot::Slot;
use super::written::one_bar;
use crate::instrument::neck::StringNumber;
use crate::lesson::edit::Edit;
use crate::lesson::music::{Event, Join, Passage};

/// A passage in which nothing leads to the notes that are about to go.
#[derive(Debug, Clone, PartialEq)]
pub struct Unled {
    /// The passage.
    pub passage: Passage,
    /// The edits that make it what it is, possibly none.
    pub edits: Vec<Edit>,
    /// What led there, in the order of the music.
    pub lost: Vec<Join>,
}

/// Takes the hammer-ons, pull-offs, slides and ties away that lead to notes of which `goes` says that they go; those of the
/// notes that go stay, because they go with them. `bars` are the bars in which notes go.
pub fn unled(passage: &Passage, bars: &Range<usize>, goes: impl Fn(Slot, StringNumber, Join) -> bool) -> Unled {
    let mut unled = Unled { passage: passage.clone(), edits: Vec::new(), lost: Vec::new() };
    for bar in bars.start.saturating_sub(1)..bars.end.min(passage.bars.len()) {
        let leads = leads_in(passage, bar);
        let lost: Vec<_> = leads
            .into_iter()
            .filter(|(from, to, string, join)| goes(*to, *string, *join) && !goes(*from, *string, *join))
            .collect();
        for (from, _, string, join) in &lost {
            let voice = unled.passage.bars.get_mut(bar).and_then(|bar| bar.voices.get_mut(from.voice));
            let event = voice.and_then(|voice| voice.0.get_mut(from.event));
            let note = event.and_then(|event| event.notes.iter_mut().find(|note| note.string == *string));
            if let Some(note) = note {
                note.join = None;
                unled.lost.push(*join);
            }
        }
        if let Some(changed) = unled.passage.bars.get(bar).filter(|_| !lost.is_empty()) {
            unled.edits.push(one_bar(passage, bar, changed.clone()));
        }
    }
    unled
}

/// Returns what leads on from the notes of a bar: from where to where, on which string and how.
fn leads_in(passage: &Passage, bar: usize) -> Vec<(Slot, Slot, StringNumber, Join)> {
    let mut leads = Vec::new();
    let voices = passage.bars.get(bar).map_or(0, |bar| bar.voices.len());
    for voice in 0..voices {
        let start = Slot::start_of(bar, voice);
        for (event, known) in start.events(passage).iter().enumerate() {
            let from = Slot { event, ..start };
            for note in &known.notes {
                let Some(join) = note.join else { continue };
                let to = next_slot(passage, from, note.string);
                leads.extend(to.map(|to| (from, to, note.string, join)));
            }
        }
    }
    leads
}

/// Returns where the next note on `string` of the voice is: in this bar, or in the next one.
fn next_slot(passage: &Passage, slot: Slot, string: StringNumber) -> Option<Slot> {
    let later = Slot::start_of(slot.bar + 1, slot.voice);
    let places = |start: Slot| {
        start.events(passage).iter().enumerate().map(move |(event, known)| (Slot { event, ..start }, known))
    };
    let mut next = places(Slot { event: 0, ..slot }).skip(slot.event + 1).chain(places(later));
    let sounds = |(_, known): &(Slot, &Event)| known.grace.iter().chain(&known.notes).any(|note| note.string == string);
    next.find(sounds).map(|(slot, _)| slot)
}
