//! Chords of tab that no hand can hold.

use std::collections::HashMap;

use super::finding::{Finding, FindingKind};
use crate::instrument::body::Millimetres;
use crate::instrument::fingering::{FingeringError, fingering};
use crate::instrument::hand::{Hand, HandSize};
use crate::instrument::neck::{Fret, Shape, StringNumber};
use crate::instrument::rig::Rig;
use crate::lesson::joining::JoinFamily;
use crate::lesson::music::{Event, Note, Passage};
use crate::lesson::place::{LessonPlace, Spot};
use crate::lesson::technique::TechniqueFamily;

/// On a shorter scale the frets lie so close that fingers are placed in ways that the rules of fingering do not know. Our own setting:
/// longer than that of a ukulele or a mandolin, shorter than that of a small guitar.
const SHORTEST_SCALE: Millimetres = Millimetres(500.0);
/// Up to four fingers hold so many frets, wherever they are. Our own setting.
const FOUR_FINGERS: (usize, u8) = (4, 3);

/// Notes the chords that not even a large hand can hold. `rig` is what the passage is played on, if that is known.
pub(super) fn check(rig: Option<&Rig>, passage: &Passage, findings: &mut Vec<Finding>) {
    let Some(rig) = rig.filter(|rig| rig.instrument().scale.0 >= SHORTEST_SCALE.0) else { return };
    let mut known: HashMap<Shape, Option<FingeringError>> = HashMap::new();
    let mut slid_to: Vec<Vec<StringNumber>> = Vec::new();
    for (index, bar) in passage.bars.iter().enumerate() {
        for (number, voice) in bar.voices.iter().enumerate() {
            if slid_to.len() <= number {
                slid_to.resize(number + 1, Vec::new());
            }
            let Some(slid_to) = slid_to.get_mut(number) else { continue };
            for (place, event) in voice.0.iter().enumerate() {
                let arrives = event.notes.iter().any(|note| slid_to.contains(&note.string));
                *slid_to = event.notes.iter().filter(|note| slides(note)).map(|note| note.string).collect();
                let Some(shape) = held_at_once(event, rig).filter(|_| !arrives) else { continue };
                let error = known
                    .entry(shape)
                    .or_insert_with_key(|shape| fingering(rig, shape, &Hand::new(HandSize::Large)).err());
                let place = LessonPlace::Passage(passage.id, Spot::bar(index).voice(number).event(place));
                findings.extend(error.as_ref().and_then(|error| finding(error, event, place)));
            }
        }
    }
}

/// Returns the shape that an event is held with; `None` where one hand clearly holds it, or where it is not held at once.
fn held_at_once(event: &Event, rig: &Rig) -> Option<Shape> {
    let plain = |note: &Note| {
        !slides(note)
            && note.techniques.iter().all(|technique| match technique.family() {
                TechniqueFamily::Tap
                | TechniqueFamily::Harmonic
                | TechniqueFamily::SlideIn
                | TechniqueFamily::SlideOut => false,
                TechniqueFamily::Bend
                | TechniqueFamily::Vibrato
                | TechniqueFamily::Whammy
                | TechniqueFamily::PalmMute
                | TechniqueFamily::Dead
                | TechniqueFamily::Ghost
                | TechniqueFamily::LetRing
                | TechniqueFamily::Trill
                | TechniqueFamily::Tremolo => true,
            })
    };
    let is_dead = |note: &Note| note.techniques.iter().any(|one| one.family() == TechniqueFamily::Dead);
    let notes: Vec<&Note> = event.notes.iter().filter(|note| !is_dead(note)).collect();
    let (most, span) = FOUR_FINGERS;
    let (low, high) = outermost(event)?;
    let stopped = notes.iter().filter(|note| note.fret != Fret::OPEN).count();
    if stopped < 2 || stopped <= most && high.number() - low.number() <= span || !event.notes.iter().all(plain) {
        return None;
    }
    let mut frets = vec![None; rig.strings().count()];
    for note in notes {
        let place = frets.get_mut(note.string.index(rig.strings().count())?)?;
        // Two notes on one string are found as such.
        if place.replace(note.fret).is_some() {
            return None;
        }
    }
    Shape::new(frets)
}

/// Returns the lowest and the highest fret of an event that a finger stops.
fn outermost(event: &Event) -> Option<(Fret, Fret)> {
    let stopped = || event.notes.iter().map(|note| note.fret).filter(|fret| *fret != Fret::OPEN);
    stopped().min().zip(stopped().max())
}

fn slides(note: &Note) -> bool {
    note.join.is_some_and(|join| join.row().family == JoinFamily::Slide)
}

fn finding(error: &FingeringError, event: &Event, place: LessonPlace) -> Option<Finding> {
    let (low, high) = outermost(event)?;
    let (reason, remedy) = match error {
        // What is not on the neck is found there.
        FingeringError::Shape(_) => return None,
        FingeringError::Reach { .. } => (
            format!("no hand can hold this chord: it reaches from fret {low} to fret {high}"),
            "move a note to another string, or leave one out",
        ),
        FingeringError::Fingers => (
            "no hand can hold this chord with four fingers".to_owned(),
            "move a note to another string, or leave one out",
        ),
    };
    Some(Finding::note(FindingKind::NotHeld, place, reason, remedy))
}
