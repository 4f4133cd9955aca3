//! Whole bars, and what a bar begins or ends with.

use std::ops::Range;

use super::error::PhraseError;
use super::rests::{rests_behind, rests_between};
use super::slot::{Slot, meter_at};
use super::written::one_bar;
use crate::lesson::bar_numbers::{BarName, BarNumbers};
use crate::lesson::document::Segment;
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::id::PassageId;
use crate::lesson::music::{Bar, Event, Passage, Voice};
use crate::lesson::time::{Meter, Tempo, Ticks};
use crate::theory::key::Key;

/// What holds in a bar, whether it is written there or before.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BarFrame {
    /// The meter.
    pub meter: Meter,
    /// The tempo.
    pub tempo: Tempo,
    /// The key, as far as one is known.
    pub key: Option<Key>,
}

impl BarFrame {
    /// Returns what holds before any bar.
    const fn of(passage: &Passage) -> Self {
        Self { meter: passage.meter, tempo: passage.tempo, key: passage.key }
    }

    /// Returns what holds in `bar` when this held before it.
    fn into_bar(self, bar: &Bar) -> Self {
        let Self { meter, tempo, key } = self;
        Self { meter: bar.meter.unwrap_or(meter), tempo: bar.tempo.unwrap_or(tempo), key: bar.key.or(key) }
    }

    /// Writes into `bar` what it needs so that `self` holds in it after `before`, and no more.
    fn write(self, bar: &mut Bar, before: Self) {
        bar.meter = (self.meter != before.meter).then_some(self.meter);
        bar.tempo = (self.tempo != before.tempo).then_some(self.tempo);
        bar.key = self.key.filter(|key| before.key != Some(*key));
    }
}

/// Returns what holds in bar `at`, counted from 0; behind the last bar, what holds at the end.
pub fn frame_at(passage: &Passage, at: usize) -> BarFrame {
    passage.bars.iter().take(at + 1).fold(BarFrame::of(passage), |frame, bar| frame.into_bar(bar))
}

/// Returns what holds just before bar `at`.
fn frame_before(passage: &Passage, at: usize) -> BarFrame {
    passage.bars.iter().take(at).fold(BarFrame::of(passage), |frame, bar| frame.into_bar(bar))
}

/// Returns the edits that put `bars` in the place of `range`. The bar that follows keeps the meter,
/// tempo and key it had.
pub fn replace(passage: &Passage, range: Range<usize>, bars: Vec<Bar>) -> Vec<Edit> {
    let end = range.end.min(passage.bars.len());
    let at = range.start.min(end);
    let before = bars.iter().fold(frame_before(passage, at), |frame, bar| frame.into_bar(bar));
    let behind = at + bars.len();
    let mut edits = vec![Edit::Bars { passage: passage.id, at, remove: end - at, insert: bars }];
    if let Some(follower) = passage.bars.get(end) {
        let held = frame_at(passage, end);
        if before.into_bar(follower) != held {
            let mut kept = follower.clone();
            held.write(&mut kept, before);
            edits.push(Edit::Bars { passage: passage.id, at: behind, remove: 1, insert: vec![kept] });
        }
    }
    edits
}

/// Returns where bars go in that are put in at place `at`: behind the pickup of the passage, if it has one.
pub fn behind_pickup(passage: &Passage, at: usize) -> usize {
    match BarNumbers::of(passage).name(at) {
        BarName::Pickup => at + 1,
        BarName::Number(_) => at,
    }
}

/// Returns the edit that puts an empty bar in at place `at`.
pub fn insert(passage: &Passage, at: usize) -> Edit {
    Edit::Bars { passage: passage.id, at: at.min(passage.bars.len()), remove: 0, insert: vec![Bar::default()] }
}

/// Returns the edits that take `range` out. The last bar of a passage is emptied instead.
///
/// Errors: no bar in `range`.
pub fn remove(passage: &Passage, range: Range<usize>) -> Result<Vec<Edit>, PhraseError> {
    if passage.bars.get(range.clone()).is_none_or(<[Bar]>::is_empty) {
        return Err(PhraseError::NoBar);
    }
    let left = if range.len() == passage.bars.len() { vec![Bar::default()] } else { Vec::new() };
    Ok(replace(passage, range, left))
}

/// Splits a bar before the event at `slot`; every voice is cut at the same moment. What a bar begins
/// with stays with the first part, a repeat that ends there goes to the second.
///
/// Errors: no such bar, no event before or at `slot`, or a note of another voice that sounds across it.
pub fn split(passage: &Passage, slot: Slot) -> Result<Vec<Edit>, PhraseError> {
    let bar = passage.bars.get(slot.bar).ok_or(PhraseError::NoBar)?;
    if slot.event == 0 || slot.read(passage).is_none() {
        return Err(PhraseError::NothingToSplit);
    }
    let at = slot.start(passage);
    let mut first = Bar { repeat_end: None, voices: Vec::new(), ..bar.clone() };
    let mut second = Bar { repeat_end: bar.repeat_end, endings: bar.endings.clone(), ..Bar::default() };
    for voice in &bar.voices {
        let across = |(start, event): (Ticks, &Event)| start < at && start + event.length.ticks() > at;
        if voice.timed().any(across) {
            return Err(PhraseError::AcrossSplit);
        }
        let before = voice.timed().take_while(|(start, _)| *start < at).count();
        let (left, right) = voice.0.split_at(before);
        first.voices.push(Voice(left.to_vec()));
        second.voices.push(Voice(right.to_vec()));
    }
    Ok(replace(passage, slot.bar..slot.bar + 1, vec![first, second]))
}

/// Joins bar `at` with the next one. A voice that is shorter than the other rests up to the second bar.
///
/// Errors: no such bar or none after it, or a second bar that begins with something of its own.
pub fn merge(passage: &Passage, at: usize) -> Result<Vec<Edit>, PhraseError> {
    let first = passage.bars.get(at).ok_or(PhraseError::NoBar)?;
    let second = passage.bars.get(at + 1).ok_or(PhraseError::LastBar)?;
    let begins = second.meter.is_some() || second.tempo.is_some() || second.key.is_some() || second.repeat_start;
    if begins || first.repeat_end.is_some() || first.endings != second.endings {
        return Err(PhraseError::BarsApart);
    }
    let mut joined = Bar { repeat_end: second.repeat_end, ..first.clone() };
    let written = joined.voices.iter().map(Voice::ticks).max().unwrap_or_default();
    joined.voices.resize(first.voices.len().max(second.voices.len()), Voice::default());
    for (place, voice) in joined.voices.iter_mut().enumerate() {
        let meter = meter_at(passage, at);
        let rests = rests_behind(meter, &voice.0, written);
        let rests = rests.unwrap_or_else(|| rests_between(meter, voice.ticks(), written));
        voice.0.extend(rests.into_iter().map(Event::rest));
        voice.0.extend(second.voices.get(place).into_iter().flat_map(|more| more.0.iter().cloned()));
    }
    Ok(replace(passage, at..at + 2, vec![joined]))
}

/// Has another meter hold from bar `at` on.
///
/// Errors: no such bar.
pub fn set_meter(passage: &Passage, at: usize, meter: Meter) -> Result<Edit, PhraseError> {
    set_frame(passage, at, |frame| frame.meter = meter)
}

/// Has another tempo hold from bar `at` on.
///
/// Errors: no such bar.
pub fn set_tempo(passage: &Passage, at: usize, tempo: Tempo) -> Result<Edit, PhraseError> {
    set_frame(passage, at, |frame| frame.tempo = tempo)
}

/// Has another key hold from bar `at` on.
///
/// Errors: no such bar.
pub fn set_key(passage: &Passage, at: usize, key: Key) -> Result<Edit, PhraseError> {
    set_frame(passage, at, |frame| frame.key = Some(key))
}

/// Changes what holds from bar `at` up to the next bar that says otherwise. At the first bar it is
/// the passage that begins otherwise.
fn set_frame(passage: &Passage, at: usize, change: impl FnOnce(&mut BarFrame)) -> Result<Edit, PhraseError> {
    let mut bar = passage.bars.get(at).ok_or(PhraseError::NoBar)?.clone();
    let mut frame = frame_at(passage, at);
    change(&mut frame);
    if at > 0 {
        frame.write(&mut bar, frame_before(passage, at));
        return Ok(one_bar(passage, at, bar));
    }
    let BarFrame { meter, tempo, key } = frame;
    let mut changed = Passage { meter, tempo, key, ..passage.clone() };
    if let Some(first) = changed.bars.first_mut() {
        (first.meter, first.tempo, first.key) = (None, None, None);
    }
    Ok(Edit::Passages(ListEdit::Replace(changed)))
}

/// Changes bar `at` itself: repeats, endings, pickup.
///
/// Errors: no such bar.
pub fn change(passage: &Passage, at: usize, change: impl FnOnce(&mut Bar)) -> Result<Edit, PhraseError> {
    let mut bar = passage.bars.get(at).ok_or(PhraseError::NoBar)?.clone();
    change(&mut bar);
    Ok(one_bar(passage, at, bar))
}

/// Returns whether every voice of bar `at` adds up to its meter.
pub fn adds_up(passage: &Passage, at: usize) -> bool {
    let full = meter_at(passage, at).ticks();
    passage.bars.get(at).is_some_and(|bar| bar.voices.iter().all(|voice| voice.ticks() == full))
}

/// Returns the edits by which those of `segments` that play only some bars of a passage go on playing the
/// same ones after `edit`. Bars put in right behind the last one of a range belong to it: that is how
/// a passage grows.
pub fn following<'a>(segments: impl IntoIterator<Item = &'a Segment>, edit: &Edit) -> Vec<Edit> {
    let Edit::Bars { passage, at, remove, insert } = edit else { return Vec::new() };
    // What is put in the place of another bar is that bar.
    let same = insert.len().min(*remove);
    let splice = Splice { at: at + same, removed: remove - same, inserted: insert.len() - same };
    if splice.removed == splice.inserted {
        return Vec::new();
    }
    segments.into_iter().filter_map(|segment| moved_uses(segment, *passage, splice)).collect()
}

/// Bars that went and came at a place.
#[derive(Debug, Clone, Copy)]
struct Splice {
    at: usize,
    removed: usize,
    inserted: usize,
}

impl Splice {
    /// Returns where a range that began at `first` begins now.
    const fn first(self, first: usize) -> usize {
        if first >= self.at + self.removed {
            first - self.removed + self.inserted
        } else if first > self.at {
            self.at
        } else {
            first
        }
    }

    /// Returns where a range that ended before `end` ends now.
    const fn end(self, end: usize) -> usize {
        if end >= self.at + self.removed {
            end - self.removed + self.inserted
        } else if end > self.at {
            self.at
        } else {
            end
        }
    }
}

fn moved_uses(segment: &Segment, passage: PassageId, splice: Splice) -> Option<Edit> {
    let mut changed = segment.clone();
    for used in changed.passages.iter_mut().filter(|used| used.passage == passage) {
        let Some(range) = &mut used.bars else { continue };
        let first = splice.first((range.first as usize).saturating_sub(1));
        let end = splice.end(range.last as usize).max(first + 1);
        let number = |number: usize| u32::try_from(number).unwrap_or(u32::MAX);
        (range.first, range.last) = (number(first + 1), number(end));
    }
    (changed != *segment).then_some(Edit::Segments(ListEdit::Replace(changed)))
}
