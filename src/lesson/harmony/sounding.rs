//! What sounds in a passage from moment to moment, whichever voice plays it.

use std::ops::Range;

use crate::instrument::neck::{Fret, StringNumber};
use crate::instrument::rig::Rig;
use crate::lesson::music::{Event, Note, Passage, Technique};
use crate::lesson::phrase::Slot;
use crate::lesson::phrase::slot::meter_at;
use crate::lesson::technique::TechniqueFamily;
use crate::lesson::time::{Meter, Ticks};
use crate::theory::pitch::MidiNote;

/// A string that sounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RingingString {
    /// The string.
    pub string: StringNumber,
    /// The fret at which it is stopped.
    pub fret: Fret,
    /// What it sounds.
    pub pitch: MidiNote,
    /// When it was struck, counted from the first bar that is walked through.
    struck_at: Ticks,
    /// When its written length ends.
    written: Ticks,
    /// When it stops: later than written where it rings on.
    until: Ticks,
}

/// The time from one moment, at which something begins or ends, to the next.
#[derive(Debug, Clone, Copy)]
pub struct SoundingMoment<'a> {
    /// The index of the bar.
    pub bar: usize,
    /// The meter of the bar.
    pub meter: Meter,
    /// When it begins, counted from the start of the bar.
    pub start: Ticks,
    /// How long it lasts; nothing for what begins behind the last note of a bar.
    pub length: Ticks,
    /// The strings that sound, in no order.
    pub notes: &'a [RingingString],
    /// The events that begin with it.
    pub begins: &'a [(Slot, &'a Event)],
    /// When it begins, counted from the first bar that is walked through.
    clock: Ticks,
}

impl SoundingMoment<'_> {
    /// Returns the strings that were struck before and go on for their written length.
    pub fn held_on(&self) -> impl Iterator<Item = &RingingString> {
        self.notes.iter().filter(|note| note.struck_at < self.clock && note.until == note.written)
    }

    /// Returns the strings that are struck as it begins.
    pub fn struck(&self) -> impl Iterator<Item = &RingingString> {
        self.notes.iter().filter(|note| note.struck_at == self.clock)
    }
}

/// Goes through `bars` of `passage` as written, from moment to moment.
///
/// A note sounds for its written length. One that rings on sounds to the end of its bar, unless its string is struck again or a chord
/// name begins before that: the fingers then leave for another chord. Dead notes, harmonics, and strings that are bent or
/// pulled by the bar have no pitch that a chord could be told by, and are left out.
pub fn walk(passage: &Passage, rig: &Rig, bars: Range<usize>, visit: &mut impl FnMut(&SoundingMoment<'_>)) {
    let mut held: Vec<RingingString> = Vec::new();
    let mut clock = Ticks::ZERO;
    let mut meter = meter_at(passage, bars.start);
    let mut starts: Vec<(Ticks, Slot, &Event)> = Vec::new();
    let mut edges: Vec<Ticks> = Vec::new();
    let mut begins: Vec<(Slot, &Event)> = Vec::new();
    for (index, bar) in passage.bars.iter().enumerate().take(bars.end).skip(bars.start) {
        meter = bar.meter.unwrap_or(meter);
        starts.clear();
        edges.clear();
        for (voice, line) in bar.voices.iter().enumerate() {
            for (event, (start, played)) in line.timed().enumerate() {
                starts.push((start, Slot { bar: index, event, voice }, played));
                edges.extend([start, start + played.length.ticks()]);
            }
        }
        starts.sort_by_key(|(start, slot, _)| (*start, slot.voice));
        edges.sort_unstable();
        edges.dedup();
        let end = clock + edges.last().copied().unwrap_or(Ticks::ZERO);
        let mut next = starts.iter().peekable();
        for (place, start) in edges.iter().enumerate() {
            let now = clock + *start;
            begins.clear();
            while let Some((_, slot, event)) = next.next_if(|(begin, _, _)| begin == start) {
                begins.push((*slot, event));
            }
            let named = begins.iter().any(|(_, event)| event.chord.is_some());
            held.retain(|note| note.until > now && !(named && note.written <= now));
            for (_, event) in &begins {
                strike(event, rig, now, end, &mut held);
            }
            let length = edges.get(place + 1).map_or(Ticks::ZERO, |next| Ticks(next.0.saturating_sub(start.0)));
            visit(&SoundingMoment {
                bar: index,
                meter,
                start: *start,
                length,
                notes: &held,
                begins: &begins,
                clock: now,
            });
        }
        clock = end;
    }
}

/// Returns the strings on which something still sounds when the event at `slot` begins, whichever voice plays it, and where the fingers hold
/// them: as [`walk`] has it, and those that are bent or touched for a harmonic too.
pub fn held_at(passage: &Passage, slot: Slot) -> Vec<(StringNumber, Fret)> {
    let Some(bar) = passage.bars.get(slot.bar) else { return Vec::new() };
    let now = slot.start(passage);
    let mut begun: Vec<(Ticks, &Event)> = bar.voices.iter().flat_map(|voice| voice.timed()).collect();
    begun.retain(|(start, _)| *start < now);
    begun.sort_by_key(|(start, _)| *start);
    let named = |written: Ticks| {
        let mut voices = bar.voices.iter().flat_map(|voice| voice.timed());
        voices.any(|(start, event)| event.chord.is_some() && (written..=now).contains(&start))
    };
    let mut held: Vec<(StringNumber, Fret)> = Vec::new();
    for (start, event) in begun {
        let written = start + event.length.ticks();
        for note in &event.notes {
            held.retain(|(string, _)| *string != note.string);
            let is_dead = note.techniques.iter().any(|one| one.family() == TechniqueFamily::Dead);
            let rings_on = note.techniques.contains(&Technique::LetRing) && !named(written);
            if !is_dead && (written > now || rings_on) {
                held.push((note.string, note.fret));
            }
        }
    }
    held
}

/// Adds what an event strikes to what sounds.
fn strike(event: &Event, rig: &Rig, now: Ticks, bar_end: Ticks, held: &mut Vec<RingingString>) {
    for note in &event.notes {
        held.retain(|known| known.string != note.string);
        if !has_a_plain_pitch(note) {
            continue;
        }
        let Ok(pitch) = rig.sounding(note.string, note.fret) else { continue };
        let written = now + event.length.ticks();
        let rings_on = note.techniques.contains(&Technique::LetRing);
        let until = if rings_on { written.max(bar_end) } else { written };
        held.push(RingingString { string: note.string, fret: note.fret, pitch, struck_at: now, written, until });
    }
}

/// Returns whether a note sounds what its fret says, from beginning to end.
fn has_a_plain_pitch(note: &Note) -> bool {
    note.techniques.iter().all(|technique| match technique.family() {
        TechniqueFamily::Dead | TechniqueFamily::Bend | TechniqueFamily::Harmonic | TechniqueFamily::Whammy => false,
        TechniqueFamily::SlideIn
        | TechniqueFamily::SlideOut
        | TechniqueFamily::Vibrato
        | TechniqueFamily::PalmMute
        | TechniqueFamily::Ghost
        | TechniqueFamily::LetRing
        | TechniqueFamily::Trill
        | TechniqueFamily::Tremolo
        | TechniqueFamily::Tap => true,
    })
}
