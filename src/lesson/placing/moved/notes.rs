//! The notes of a passage in the order of its bars, voices and events, with what joins them.

use crate::instrument::neck::StringNumber;
use crate::lesson::music::{Event, Join, Note, Passage, Technique};
use crate::lesson::place::Spot;
use crate::lesson::time::{Meter, Ticks};

/// A note of the passage.
#[derive(Debug, Clone)]
pub(super) struct Listed<'p> {
    pub(super) note: &'p Note,
    pub(super) spot: Spot,
    /// When its event starts.
    pub(super) start: Ticks,
    /// Which grace note of its event it is, counted back from the event's own notes; 0 for those.
    pub(super) ahead: usize,
    /// How long it is written, ties and ringing on included.
    pub(super) length: Ticks,
    /// The note that is struck for it, as a place in the list: itself, or the first of those that are tied.
    pub(super) struck: usize,
    /// The note it is joined to, as a place in the list.
    pub(super) from: Option<(usize, Join)>,
    /// The note that is joined to it.
    pub(super) to: Option<usize>,
}

/// The open end of a join on each string of a voice.
type OpenJoins = [Option<(usize, Join)>; StringNumber::LAST as usize + 1];

/// Returns every note, grace notes before the notes of their event.
pub(super) fn list(passage: &Passage) -> Vec<Listed<'_>> {
    let mut list: Vec<Listed<'_>> = Vec::new();
    let mut open: Vec<OpenJoins> = Vec::new();
    let mut bar_start = Ticks::ZERO;
    let mut meter = passage.meter;
    for (index, bar) in passage.bars.iter().enumerate() {
        meter = bar.meter.unwrap_or(meter);
        for (number, voice) in bar.voices.iter().enumerate() {
            if open.len() <= number {
                open.resize(number + 1, OpenJoins::default());
            }
            let Some(open) = open.get_mut(number) else { continue };
            for (place, (start, event)) in voice.timed().enumerate() {
                let spot = Spot::bar(index).voice(number).event(place);
                add_event(&mut list, open, event, spot, bar_start + start);
            }
        }
        bar_start += bar_length(bar.voices.iter().map(crate::lesson::music::Voice::ticks).max(), meter);
    }
    ring_on(&mut list);
    list
}

/// Returns the note that is struck, where several are tied.
pub(super) fn root(place: usize, notes: &[Listed<'_>]) -> usize {
    notes.get(place).map_or(place, |listed| listed.struck)
}

/// Returns how long a bar is whose longest voice lasts `voices`.
pub(super) fn bar_length(voices: Option<Ticks>, meter: Meter) -> Ticks {
    voices.unwrap_or(meter.ticks())
}

fn add_event<'p>(list: &mut Vec<Listed<'p>>, open: &mut OpenJoins, event: &'p Event, spot: Spot, start: Ticks) {
    if event.is_rest() && event.grace.is_empty() {
        *open = OpenJoins::default();
    }
    let graces = event.grace.len();
    for (place, note) in event.grace.iter().chain(&event.notes).enumerate() {
        let ahead = graces.saturating_sub(place);
        let here = list.len();
        let from = open.get_mut(usize::from(note.string.number())).and_then(Option::take);
        let length = if ahead > 0 { Ticks::ZERO } else { event.length.ticks() };
        if let Some(source) = from.and_then(|(from, _)| list.get_mut(from)) {
            source.to = Some(here);
        }
        let mut struck = here;
        if let Some((from, Join::Tie)) = from {
            // All that is tied on lengthens the note that was struck.
            let first = root(from, list);
            struck = first;
            if let Some(first) = list.get_mut(first) {
                first.length = Ticks((start + length).0.saturating_sub(first.start.0));
            }
        }
        if let Some(entry) = open.get_mut(usize::from(note.string.number())) {
            *entry = note.join.map(|join| (here, join));
        }
        list.push(Listed { note, spot: spot.string(note.string), start, ahead, length, struck, from, to: None });
    }
}

/// Lets notes that are marked to ring do so up to the end of their stretch or the next note on their string.
fn ring_on(list: &mut [Listed<'_>]) {
    let ringing = |listed: &Listed<'_>| listed.note.techniques.contains(&Technique::LetRing);
    for place in 0..list.len() {
        let Some(listed) = list.get(place).filter(|listed| ringing(listed)) else { continue };
        let mut end = listed.start + listed.length;
        let same_voice = |other: &&Listed<'_>| other.spot.voice == listed.spot.voice;
        for other in list.iter().skip(place + 1).filter(same_voice) {
            let touched = other.note.string == listed.note.string && other.start > listed.start;
            // A rest or a note that is not marked ends the stretch.
            if touched || !ringing(other) || other.start > end {
                break;
            }
            end = end.max(other.start + other.length);
        }
        let length = Ticks(end.0.saturating_sub(listed.start.0));
        if let Some(listed) = list.get_mut(place) {
            listed.length = length;
        }
    }
}
