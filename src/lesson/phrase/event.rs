//! One event changed in its bar.

use super::error::PhraseError;
use super::slot::Slot;
use super::written::one_bar;
use crate::lesson::edit::Edit;
use crate::lesson::music::{Event, Passage};

/// Changes the event at `slot`.
///
/// Errors: no event at `slot`, or what `change` refuses.
pub fn change_event(
    passage: &Passage,
    slot: Slot,
    change: impl FnOnce(&mut Event) -> Result<(), PhraseError>,
) -> Result<Edit, PhraseError> {
    let mut event = slot.read(passage).ok_or(PhraseError::NoEvent)?.clone();
    change(&mut event)?;
    Ok(with_event(passage, slot, event))
}

/// Returns the edit that puts `event` in the place of the one at `slot`.
pub(super) fn with_event(passage: &Passage, slot: Slot, event: Event) -> Edit {
    let mut bar = passage.bars.get(slot.bar).cloned().unwrap_or_default();
    let place = bar.voices.get_mut(slot.voice).and_then(|voice| voice.0.get_mut(slot.event));
    if let Some(place) = place {
        *place = event;
    }
    one_bar(passage, slot.bar, bar)
}
