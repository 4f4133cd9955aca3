//! What mends the names of chords and voicings.

use super::mending::{Remedy, changed};
use super::names::better_names;
use crate::lesson::document::{Lesson, Voicing};
use crate::lesson::harmony::named_rightly::names_of_shape;
use crate::lesson::music::Passage;
use crate::lesson::phrase::Slot;
use crate::lesson::phrase::notes::change_event;
use crate::lesson::place::Spot;

/// Names a voicing as players of its strings would.
pub(super) fn named_rightly(lesson: &Lesson, voicing: &Voicing) -> Option<Remedy> {
    let readings = names_of_shape(&voicing.readings, &voicing.shape, &lesson.voicing_rig(voicing)?);
    let name = readings.first()?.clone();
    let words = [format!("call it {name}"), format!("the name is now {name}")];
    changed(lesson, Voicing { readings, ..voicing.clone() }, words)
}

/// Returns what can become of a chord name with a bass that nobody hears: it goes without, or stands there as words.
pub(super) fn without_bass_or_as_words(lesson: &Lesson, passage: &Passage, spot: Spot) -> Vec<Remedy> {
    let ways = || {
        let slot = slot_of(spot)?;
        let written = slot.read(passage)?.chord.clone()?;
        let better = lesson.passage_rig(passage)?.lowest_is().better_name(&written)?;
        let ways = [
            (format!("call it {better}"), format!("the name is now {better}"), None),
            (
                format!("call it {better}, with {written} as words"),
                format!("the name is now {better}, and {written} stands there as words"),
                Some(written),
            ),
        ];
        let edited = |(text, done, words): (String, String, Option<String>)| {
            let edit = change_event(passage, slot, |event| {
                event.chord = Some(better.clone());
                if let Some(words) = words {
                    event.say(&words);
                }
                Ok(())
            });
            Some(Remedy { text, done, edits: vec![edit.ok()?] })
        };
        Some(ways.into_iter().filter_map(edited).collect())
    };
    ways().unwrap_or_default()
}

/// Returns the slot at a spot, where that is exact enough.
pub(super) fn slot_of(spot: Spot) -> Option<Slot> {
    let from_zero = |number: Option<u32>| usize::try_from(number?.checked_sub(1)?).ok();
    Some(Slot { bar: spot.bar_index()?, voice: from_zero(spot.voice)?, event: from_zero(spot.event)? })
}

/// Returns the ways to have a chord name agree with the notes: each better name in its place, or where one is missing.
pub(super) fn other_names(lesson: &Lesson, passage: &Passage, spot: Spot, doing: &str) -> Vec<Remedy> {
    let Some(slot) = slot_of(spot) else { return Vec::new() };
    let with_name = |name: String| {
        let (text, done) = (format!("{doing} {name}"), format!("the name is now {name}"));
        let edit = change_event(passage, slot, |event| {
            event.chord = Some(name);
            Ok(())
        });
        Some(Remedy { text, done, edits: vec![edit.ok()?] })
    };
    better_names(lesson, passage, spot).into_iter().filter_map(with_name).collect()
}
