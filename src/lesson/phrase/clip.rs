//! Events and bars copied, cut and pasted.

use super::bars;
use super::error::PhraseError;
use super::rhythm::trim;
use super::slot::{Slot, meter_at};
use super::written::PhraseEdits;
use crate::lesson::edit::Edit;
use crate::lesson::music::{Bar, Event, Passage, Voice};
use crate::lesson::time::Meter;

pub use super::stretch::{Grain, Stretch};

/// What was copied.
#[derive(Debug, Clone, PartialEq)]
pub enum Clip {
    /// Events, bar by bar.
    Events(Vec<Vec<Event>>),
    /// Whole bars, with the meter that held in the first.
    Bars {
        /// The bars.
        bars: Vec<Bar>,
        /// The meter.
        meter: Meter,
    },
}

/// Returns what is in `stretch`.
///
/// Errors: no event, or no bar, in `stretch`.
pub fn copy(passage: &Passage, stretch: &Stretch) -> Result<Clip, PhraseError> {
    match stretch.grain {
        Grain::Events => {
            let parts = stretch.parts(passage);
            if parts.iter().all(Vec::is_empty) { Err(PhraseError::NoEvent) } else { Ok(Clip::Events(parts)) }
        }
        Grain::Bars => {
            let bars = passage.bars.get(stretch.bars()).ok_or(PhraseError::NoBar)?.to_vec();
            Ok(Clip::Bars { bars, meter: meter_at(passage, stretch.first().bar) })
        }
    }
}

/// Returns the edits that take out what is in `stretch`.
///
/// Errors: no bar there.
pub fn remove(passage: &Passage, stretch: &Stretch) -> Result<Vec<Edit>, PhraseError> {
    if stretch.grain == Grain::Bars {
        return bars::remove(passage, stretch.bars());
    }
    let mut changed = passage.bars.get(stretch.bars()).ok_or(PhraseError::NoBar)?.to_vec();
    for (bar, number) in changed.iter_mut().zip(stretch.bars()) {
        if let Some(voice) = bar.voices.get_mut(stretch.first().voice) {
            let start = Slot::start_of(number, stretch.first().voice);
            let mut event = 0;
            voice.0.retain(|_| {
                event += 1;
                !stretch.holds(Slot { event: event - 1, ..start })
            });
        }
        trim(bar);
    }
    Ok(vec![Edit::Bars { passage: passage.id, at: stretch.first().bar, remove: changed.len(), insert: changed }])
}

/// Returns the edits that put `clip` in at `slot`.
///
/// Bars go before the bar of the slot, behind the last event and on a pickup after it, and bring their meter; the bars
/// after them keep theirs. Events go before the event of the slot; those of further bars to the
/// beginning of the bars that follow.
pub fn paste(passage: &Passage, slot: Slot, clip: &Clip) -> PhraseEdits {
    match clip {
        Clip::Bars { bars, meter } => paste_bars(passage, slot, bars.clone(), *meter),
        Clip::Events(parts) => paste_events(passage, slot, parts),
    }
}

fn paste_bars(passage: &Passage, slot: Slot, mut pasted: Vec<Bar>, meter: Meter) -> PhraseEdits {
    let written = slot.events(passage).len();
    let behind = written > 0 && slot.event >= written;
    // A passage that is one empty bar is no more than a place to paste into.
    let empty = passage.bars.len() == 1 && passage.bars.iter().all(|bar| *bar == Bar::default());
    let at = bars::behind_pickup(passage, slot.bar + usize::from(behind)).min(passage.bars.len());
    let before = if at == 0 { passage.meter } else { meter_at(passage, at - 1) };
    if let Some(first) = pasted.first_mut() {
        first.meter = (meter != before).then_some(meter);
    }
    let range = if empty { 0..1 } else { at..at };
    let at = range.start;
    PhraseEdits { edits: bars::replace(passage, range, pasted), slot: Slot::start_of(at, slot.voice) }
}

fn paste_events(passage: &Passage, slot: Slot, parts: &[Vec<Event>]) -> PhraseEdits {
    let end = (slot.bar + parts.len()).min(passage.bars.len());
    let mut changed = passage.bars.get(slot.bar..end).unwrap_or_default().to_vec();
    let remove = changed.len();
    changed.resize(parts.len().max(1), Bar::default());
    for (place, (bar, part)) in changed.iter_mut().zip(parts).enumerate() {
        if part.is_empty() {
            continue;
        }
        while bar.voices.len() <= slot.voice {
            bar.voices.push(Voice::default());
        }
        if let Some(voice) = bar.voices.get_mut(slot.voice) {
            let at = if place == 0 { slot.event.min(voice.0.len()) } else { 0 };
            voice.0.splice(at..at, part.iter().cloned());
        }
    }
    PhraseEdits { edits: vec![Edit::Bars { passage: passage.id, at: slot.bar, remove, insert: changed }], slot }
}
