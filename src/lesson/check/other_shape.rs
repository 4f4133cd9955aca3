//! Chords of tab that lie elsewhere on the neck than the grid that is shown for their name.
//!
//! Only a chord that sounds exactly the notes of the grid counts: what leaves some out, breaks it up or fills is played so on purpose.

use std::collections::HashMap;

use super::finding::{Finding, FindingKind};
use super::mending::Remedy;
use crate::instrument::neck::{Fret, Shape, StringNumber};
use crate::instrument::rig::Rig;
use crate::lesson::document::{Lesson, Voicing};
use crate::lesson::harmony::named_rightly::is_name_of;
use crate::lesson::id::{PassageId, VoicingId};
use crate::lesson::music::{Event, Note, Passage};
use crate::lesson::phrase::Slot;
use crate::lesson::phrase::notes::change_event;
use crate::lesson::place::{LessonPlace, Spot};
use crate::lesson::technique::TechniqueFamily;
use crate::text::quote::quoted;
use crate::theory::pitch::MidiNote;

/// The fewest notes at once that are a chord.
const CHORD: usize = 3;

/// The voicings that are shown by the segments which play each passage, in their order.
pub(super) struct ShownBeside(HashMap<PassageId, Vec<VoicingId>>);

impl ShownBeside {
    pub(super) fn of(lesson: &Lesson) -> Self {
        let mut shown: HashMap<PassageId, Vec<VoicingId>> = HashMap::new();
        for segment in lesson.segments.iter().filter(|segment| !segment.voicings.is_empty()) {
            for used in &segment.passages {
                let list = shown.entry(used.passage).or_default();
                list.extend(&segment.voicings);
                list.sort_unstable();
                list.dedup();
            }
        }
        Self(shown)
    }

    pub(super) fn passage(&self, id: PassageId) -> &[VoicingId] {
        self.0.get(&id).map_or(&[], Vec::as_slice)
    }
}

/// Notes the chords that are played with another shape than `shown` for their name. `rig` is what the passage is played on, if that is known.
pub(super) fn check(
    lesson: &Lesson,
    rig: Option<&Rig>,
    passage: &Passage,
    shown: &[VoicingId],
    findings: &mut Vec<Finding>,
) {
    let Some(rig) = rig else { return };
    findings.extend(chords_apart(lesson, rig, passage, shown).into_iter().map(|(slot, name, voicing)| {
        let place = LessonPlace::Passage(passage.id, Spot::bar(slot.bar).voice(slot.voice).event(slot.event));
        let played = slot.read(passage).and_then(|event| shape_of(event, rig));
        let here = played.map_or_else(String::new, |shape| format!("{}, ", shape.compact()));
        let reason = format!("{} is played {here}and its grid shows {}", quoted(name), voicing.shape.compact());
        Finding::note(
            FindingKind::OtherShape,
            place,
            reason,
            "play it as the grid shows, or show the shape that is played",
        )
    }));
}

/// Plays the chord at a slot as the grid of its name shows; `None` where no such thing is found there any more.
pub(super) fn as_the_grid_shows(lesson: &Lesson, passage: &Passage, slot: Slot) -> Option<Remedy> {
    let rig = lesson.passage_rig(passage)?;
    let shown = ShownBeside::of(lesson);
    let found = chords_apart(lesson, &rig, passage, shown.passage(passage.id));
    let (_, _, voicing) = found.into_iter().find(|(at, ..)| *at == slot)?;
    let edit = change_event(passage, slot, |event| {
        event.notes = on_the_shape(&event.notes, voicing, &rig);
        Ok(())
    });
    let shape = voicing.shape.compact();
    Some(Remedy {
        text: format!("play it as the grid shows, {shape}"),
        done: format!("the chord is now played {shape}, as the grid shows"),
        edits: vec![edit.ok()?],
    })
}

/// Returns the chords that are played otherwise than the voicing of their name, each with that name and the voicing.
fn chords_apart<'l>(
    lesson: &'l Lesson,
    rig: &Rig,
    passage: &'l Passage,
    shown: &[VoicingId],
) -> Vec<(Slot, &'l str, &'l Voicing)> {
    let grid = |id: &VoicingId| {
        let voicing = lesson.voicing(*id)?;
        let mut notes: Vec<MidiNote> = rig.notes(&voicing.shape).ok()?.into_iter().flatten().collect();
        notes.sort_unstable();
        Some((voicing, notes))
    };
    let linked = passage.bars.iter().flat_map(|bar| &bar.voices).flat_map(|voice| &voice.0);
    let mut all: Vec<VoicingId> = linked.filter_map(|event| event.voicing).chain(shown.iter().copied()).collect();
    all.sort_unstable();
    all.dedup();
    let grids: Vec<(&Voicing, Vec<MidiNote>)> = all.iter().filter_map(grid).collect();
    let mut found = Vec::new();
    if grids.is_empty() {
        return found;
    }
    let above = lesson.header.chord_names.above_the_shape(rig);
    let mut running: Option<&str> = None;
    let mut joined: Vec<bool> = Vec::new();
    for (bar, written) in passage.bars.iter().enumerate() {
        let before = running;
        joined.resize(joined.len().max(written.voices.len()), false);
        for (voice, (line, joined)) in written.voices.iter().zip(&mut joined).enumerate() {
            let mut name = before;
            for (event, played) in line.0.iter().enumerate() {
                if let Some(chord) = played.chord.as_deref() {
                    name = Some(chord);
                    running = name;
                }
                let arrives = std::mem::replace(joined, played.notes.iter().any(|note| note.join.is_some()));
                let Some(notes) = sounding(played, rig).filter(|_| !arrives && !*joined) else { continue };
                let is_called = |voicing: &Voicing| match (played.voicing, name) {
                    (Some(id), _) => voicing.id == id,
                    (None, Some(name)) => {
                        shown.contains(&voicing.id)
                            && voicing.readings.iter().any(|reading| is_name_of(reading, name, above))
                    }
                    (None, None) => false,
                };
                let same = grids.iter().filter(|(voicing, own)| *own == notes && is_called(voicing));
                let same: Vec<&Voicing> = same.map(|(voicing, _)| *voicing).collect();
                let is_shown = same.iter().any(|voicing| lies_on(played, &voicing.shape));
                if let Some(voicing) = same.first().filter(|_| !is_shown) {
                    let name = name.or_else(|| voicing.name()).unwrap_or_default().trim();
                    found.push((Slot { bar, voice, event }, name, *voicing));
                }
            }
        }
    }
    found
}

/// Returns what an event sounds, from the lowest note up; `None` where it is no plain chord.
fn sounding(event: &Event, rig: &Rig) -> Option<Vec<MidiNote>> {
    if event.notes.len() < CHORD {
        return None;
    }
    let plain = |note: &Note| {
        note.techniques.iter().all(|technique| match technique.family() {
            TechniqueFamily::Whammy
            | TechniqueFamily::PalmMute
            | TechniqueFamily::Ghost
            | TechniqueFamily::LetRing
            | TechniqueFamily::Tremolo => true,
            TechniqueFamily::Tap
            | TechniqueFamily::Harmonic
            | TechniqueFamily::SlideIn
            | TechniqueFamily::SlideOut
            | TechniqueFamily::Bend
            | TechniqueFamily::Vibrato
            | TechniqueFamily::Dead
            | TechniqueFamily::Trill => false,
        })
    };
    let mut notes: Vec<MidiNote> = event
        .notes
        .iter()
        .map(|note| rig.sounding(note.string, note.fret).ok().filter(|_| plain(note)))
        .collect::<Option<_>>()?;
    notes.sort_unstable();
    Some(notes)
}

/// Returns whether all notes of an event lie where the shape has them.
fn lies_on(event: &Event, shape: &Shape) -> bool {
    event.notes.iter().all(|note| shape.on(note.string) == Some(note.fret))
}

fn shape_of(event: &Event, rig: &Rig) -> Option<Shape> {
    let fret = |string| event.notes.iter().find(|note| note.string == string).map(|note| note.fret);
    Shape::new(rig.strings().map(fret).collect())
}

/// Returns notes at the places where a shape has their pitches; it has all of them.
fn on_the_shape(notes: &[Note], voicing: &Voicing, rig: &Rig) -> Vec<Note> {
    let mut free: Vec<(usize, StringNumber, Fret)> = rig
        .strings()
        .zip(voicing.shape.strings())
        .enumerate()
        .filter_map(|(index, (string, fret))| Some((index, string, (*fret)?)))
        .collect();
    let mut moved: Vec<Note> = Vec::with_capacity(notes.len());
    for note in notes {
        let pitch = rig.sounding(note.string, note.fret).ok();
        let at = free.iter().position(|(_, string, fret)| rig.sounding(*string, *fret).ok() == pitch);
        let Some((index, string, fret)) = at.map(|at| free.remove(at)) else { continue };
        let finger = voicing.fingers.get(index).copied().flatten();
        moved.push(Note { string, fret, finger, ..note.clone() });
    }
    moved.sort_by_key(|note| note.string);
    moved
}
