//! The links from tab to chord shapes, where the tab or the shapes have gone to another tuning: what still fits stays linked, and of the
//! rest it is said.

use super::document::{Lesson, Voicing};
use super::music::{Event, Passage};
use super::place::Spot;
use super::placing::moved::Remark;
use crate::instrument::neck::Shape;
use crate::instrument::rig::Rig;
use crate::text::quote::quoted;

/// Deletes the links of `passage` to shapes that do not fit it on `rig`, in a lesson that was one and is the other; `was` is the passage
/// before. Where neither tab nor shape has other frets than before, the link stays. Returns what is said of those that are deleted.
pub fn delete_unfitting(
    was: &Passage,
    passage: &mut Passage,
    rig: Option<&Rig>,
    (before, after): (&Lesson, &Lesson),
) -> Vec<Remark> {
    let mut remarks = Vec::new();
    for (index, bar) in passage.bars.iter_mut().enumerate() {
        for (number, voice) in bar.voices.iter_mut().enumerate() {
            for (place, event) in voice.0.iter_mut().enumerate() {
                // A link to what is gone is found by the check.
                let Some(voicing) = event.voicing.and_then(|id| after.voicing(id)) else { continue };
                let old = was.bars.get(index).and_then(|bar| bar.voices.get(number)?.0.get(place));
                let is_as_before = old.is_some_and(|old| {
                    let shape = old.voicing.and_then(|id| before.voicing(id)).map(|voicing| &voicing.shape);
                    shape == Some(&voicing.shape) && frets(old).eq(frets(event))
                });
                if is_as_before || fits(event, voicing, rig, after) {
                    continue;
                }
                event.voicing = None;
                let spot = Spot::bar(index).voice(number).event(place);
                let text = format!("the link to {} is deleted: its shape no longer fits the tab", called(voicing));
                let several = "links to voicings are deleted: their shapes no longer fit the tab";
                remarks.push(Remark::of_a_note(spot, text, several));
            }
        }
    }
    remarks
}

/// Returns whether an event that links to `voicing` of `passage` could be played with the shape: one of them at least, if there are
/// several.
pub(super) fn is_played_with(passage: &Passage, voicing: &Voicing, shape: &Shape) -> bool {
    events(passage).any(|event| event.voicing == Some(voicing.id) && lies_on(event, shape))
}

/// Returns the notes and rests of a passage.
pub(super) fn events(passage: &Passage) -> impl Iterator<Item = &Event> {
    passage.bars.iter().flat_map(|bar| &bar.voices).flat_map(|voice| &voice.0)
}

fn frets(event: &Event) -> impl Iterator<Item = (u8, u8)> {
    event.notes.iter().map(|note| (note.string.number(), note.fret.number()))
}

/// Returns whether the fingers of a shape hold all notes of an event.
fn lies_on(event: &Event, shape: &Shape) -> bool {
    event.notes.iter().all(|note| shape.on(note.string) == Some(note.fret))
}

/// Returns whether an event is played with the fingers of a voicing, and that sounds on `rig` what it sounds on its own strings.
fn fits(event: &Event, voicing: &Voicing, rig: Option<&Rig>, lesson: &Lesson) -> bool {
    let sounds = |rig: &Rig| rig.notes(&voicing.shape).ok();
    let own = lesson.voicing_rig(voicing).as_ref().and_then(sounds);
    lies_on(event, &voicing.shape) && own.is_some() && rig.and_then(sounds) == own
}

/// Returns what players call a voicing: by its name, or by its shape where it has none.
fn called(voicing: &Voicing) -> String {
    let name = voicing.name().map(str::trim).filter(|name| !name.is_empty());
    format!("the voicing {}", name.map_or_else(|| voicing.shape.to_string(), |name| quoted(name).to_string()))
}
