//! Lengths and rests, and events put in and taken out.

use super::error::PhraseError;
use super::event::change_event;
use super::rests::rests_behind;
use super::slot::{Slot, meter_at, missing};
use super::stretch::Stretch;
use super::written::one_bar;
use crate::lesson::edit::Edit;
use crate::lesson::music::{Bar, Event, Passage, Voice};
use crate::lesson::time::{Length, NoteValue, Tuplet};

/// Which way a length goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LengthChange {
    /// Twice as long.
    Longer,
    /// Half as long.
    Shorter,
}

/// Returns the length twice or half as long, with its dots and its tuplet.
///
/// Errors: there is no such note value.
pub fn stepped(length: Length, way: LengthChange) -> Result<Length, PhraseError> {
    let place = NoteValue::ALL.iter().position(|value| *value == length.value()).unwrap_or(0);
    let (place, word) = match way {
        LengthChange::Longer => (place.checked_sub(1), "longer"),
        LengthChange::Shorter => (place.checked_add(1), "shorter"),
    };
    let value = place.and_then(|place| NoteValue::ALL.get(place)).copied();
    value.and_then(|value| Length::new(value, length.dots(), length.tuplet())).ok_or(PhraseError::NoLength(word))
}

/// Returns the length with one dot more; after two dots comes none.
pub fn dotted(length: Length) -> Length {
    let more = Length::new(length.value(), length.dots() + 1, length.tuplet());
    more.or_else(|| Length::new(length.value(), 0, length.tuplet())).unwrap_or(length)
}

/// Returns the length inside `tuplet`, or outside where it is in that one already.
///
/// Errors: the length does not come out exact there.
pub fn in_tuplet(length: Length, tuplet: Tuplet) -> Result<Length, PhraseError> {
    let inside = (length.tuplet() != Some(tuplet)).then_some(tuplet);
    let Tuplet { actual, normal } = tuplet;
    Length::new(length.value(), length.dots(), inside).ok_or(PhraseError::Uneven { actual, normal })
}

/// Gives the event at `slot` another length.
///
/// Errors: no event at `slot`.
pub fn set_length(passage: &Passage, slot: Slot, length: Length) -> Result<Edit, PhraseError> {
    change_event(passage, slot, |event| {
        event.length = length;
        Ok(())
    })
}

/// Changes every event of a stretch.
///
/// Errors: no bar in `stretch`.
pub fn over(passage: &Passage, stretch: &Stretch, change: impl Fn(&mut Event)) -> Result<Vec<Edit>, PhraseError> {
    let start = stretch.first().bar;
    let mut changed = passage.bars.get(stretch.bars()).ok_or(PhraseError::NoBar)?.to_vec();
    for (bar, number) in changed.iter_mut().zip(start..) {
        for (voice, line) in bar.voices.iter_mut().enumerate() {
            let events = line.0.iter_mut().enumerate();
            let inside = events.filter(|(event, _)| stretch.holds(Slot { bar: number, event: *event, voice }));
            inside.for_each(|(_, event)| change(event));
        }
    }
    Ok(vec![Edit::Bars { passage: passage.id, at: start, remove: changed.len(), insert: changed }])
}

/// Takes every note off the event at `slot`, so that it is a rest; its words and chord name stay.
///
/// Errors: no event at `slot`.
pub fn rest(passage: &Passage, slot: Slot) -> Result<Edit, PhraseError> {
    change_event(passage, slot, |event| {
        event.notes.clear();
        event.grace.clear();
        event.stroke = None;
        event.voicing = None;
        Ok(())
    })
}

/// Puts events in before the one at `slot`.
pub fn insert(passage: &Passage, slot: Slot, events: Vec<Event>) -> Edit {
    let mut bar = passage.bars.get(slot.bar).cloned().unwrap_or_default();
    while bar.voices.len() <= slot.voice {
        bar.voices.push(Voice::default());
    }
    if let Some(voice) = bar.voices.get_mut(slot.voice) {
        let at = slot.event.min(voice.0.len());
        voice.0.splice(at..at, events);
    }
    one_bar(passage, slot.bar, bar)
}

/// Takes the event at `slot` out; what follows moves up.
///
/// Errors: no event at `slot`.
pub fn remove(passage: &Passage, slot: Slot) -> Result<Edit, PhraseError> {
    slot.read(passage).ok_or(PhraseError::NoEvent)?;
    let mut bar = passage.bars.get(slot.bar).cloned().unwrap_or_default();
    if let Some(voice) = bar.voices.get_mut(slot.voice) {
        voice.0.remove(slot.event);
    }
    trim(&mut bar);
    Ok(one_bar(passage, slot.bar, bar))
}

/// Takes empty voices off the end of a bar: an empty voice is none.
pub(super) fn trim(bar: &mut Bar) {
    while bar.voices.last().is_some_and(|voice| voice.0.is_empty()) {
        bar.voices.pop();
    }
}

/// Fills what is missing in the voice at `slot` with rests behind its last event.
///
/// Errors: nothing is missing, or no rests fill it exactly.
pub fn fill(passage: &Passage, slot: Slot) -> Result<Edit, PhraseError> {
    missing(passage, slot).ok_or(PhraseError::Full)?;
    let end = Slot { event: slot.events(passage).len(), ..slot };
    let meter = meter_at(passage, slot.bar);
    let rests = rests_behind(meter, slot.events(passage), meter.ticks()).ok_or(PhraseError::NoRestsFill)?;
    Ok(insert(passage, end, rests.into_iter().map(Event::rest).collect()))
}
