//! The chords of a passage that are played with shapes which the lesson keeps: where such a shape goes with its sound, its chord goes too.
//!
//! A shape is placed by what a hand can hold, a chord of tab by what is played around it. So that grid and tab show the same, the shape is
//! placed first, and a chord whose pitches are all in it takes its places.

use std::collections::{BTreeSet, HashMap};

use super::note_plan::Plan;
use super::notes::{Listed, bar_length};
use super::remark::Remark;
use crate::instrument::hand::Finger;
use crate::instrument::neck::{Fret, Place, Shape};
use crate::instrument::rig::Rig;
use crate::lesson::document::{Lesson, Voicing};
use crate::lesson::harmony::named_rightly::is_name_of;
use crate::lesson::id::VoicingId;
use crate::lesson::moved_voicing::{called, with_sound};
use crate::lesson::music::{Event, Note, Passage};
use crate::lesson::place::Spot;
use crate::lesson::technique::FretUse;
use crate::lesson::time::Ticks;
use crate::text::quote::quoted;
use crate::theory::pitch::{MidiNote, Pitch};

/// The fewest notes at once that are the chord of a name, where no link says so and they lie elsewhere than its shape.
const CHORD: usize = 3;

/// Where notes of the list lie, because they are played with a shape: by their place in the list.
pub(super) type HeldPlaces = HashMap<usize, HeldPlace>;

/// Where a shape has a note.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct HeldPlace {
    pub(super) place: Place,
    /// The finger that holds it in the shape.
    pub(super) finger: Option<Finger>,
}

/// The shapes that chords of the passage are played with.
pub(super) struct ChordShapes<'l> {
    /// The chords, in the order of the passage.
    chords: Vec<ShapedChord<'l>>,
    /// Which of them a note of the list belongs to.
    of_note: HashMap<usize, usize>,
    /// Each voicing as it is on the new rig.
    arrived: HashMap<VoicingId, Voicing>,
}

/// A chord that may be played with one of these voicings.
struct ShapedChord<'l> {
    spot: Spot,
    /// Its notes, as places in the list.
    notes: Vec<usize>,
    voicings: Vec<&'l Voicing>,
    /// The one that it was played with.
    was: Option<&'l Voicing>,
    is_linked: bool,
}

impl<'l> ChordShapes<'l> {
    /// Returns the chords of `passage` that link to a voicing, or stand under the name of one that a segment shows which plays the
    /// passage, with those voicings as they are on `new`.
    pub(super) fn of(lesson: &'l Lesson, passage: &Passage, notes: &[Listed<'_>], (old, new): (&Rig, &Rig)) -> Self {
        let shown = shown_beside(lesson, passage);
        let mut of_events: HashMap<Spot, Vec<usize>> = HashMap::new();
        for (place, listed) in notes.iter().enumerate().filter(|(_, listed)| listed.ahead == 0) {
            of_events.entry(Spot { string: None, ..listed.spot }).or_default().push(place);
        }
        let mut found = Self { chords: Vec::new(), of_note: HashMap::new(), arrived: HashMap::new() };
        let names = NamesInForce::of(passage);
        for (start, spot, event) in events(passage) {
            let linked = event.voicing.and_then(|id| lesson.voicing(id));
            let voicings: Vec<&Voicing> = match linked {
                Some(voicing) => vec![voicing],
                // A dead strum has no shape of its own.
                None if event.notes.iter().filter(|note| !is_dead(note)).count() < 2 => continue,
                None => {
                    let Some(name) = names.at(start) else { continue };
                    // Voicings are named by their shapes.
                    let above = lesson.header.chord_names.above_the_shape(old);
                    shown.iter().copied().filter(|voicing| is_called(voicing, name, above)).collect()
                }
            };
            let Some(notes) = of_events.remove(&spot).filter(|_| !voicings.is_empty()) else { continue };
            for voicing in &voicings {
                found.bring(lesson, voicing, old, new);
            }
            let was = voicings.iter().copied().find(|voicing| lies_on(event, &voicing.shape));
            found.of_note.extend(notes.iter().map(|note| (*note, found.chords.len())));
            found.chords.push(ShapedChord { spot, notes, voicings, was, is_linked: linked.is_some() });
        }
        found
    }

    /// Notes where a voicing is on the new rig, if it goes there.
    fn bring(&mut self, lesson: &Lesson, voicing: &Voicing, old: &Rig, new: &Rig) {
        if self.arrived.contains_key(&voicing.id) {
            return;
        }
        let Some(own) = lesson.voicing_rig(voicing) else { return };
        let arrived = if own == *new {
            Some(voicing.clone())
        } else if own == *old {
            with_sound(voicing, old, new).map(|moved| moved.voicing)
        } else {
            None
        };
        self.arrived.extend(arrived.map(|arrived| (voicing.id, arrived)));
    }

    /// Returns where notes that begin at one moment, given as places in the list, lie in the shapes of their chords.
    pub(super) fn places(
        &self,
        members: &[usize],
        (notes, planned): (&[Listed<'_>], &[Plan]),
        new: &Rig,
    ) -> HeldPlaces {
        let mut places = HeldPlaces::new();
        let beginning: BTreeSet<usize> = members.iter().filter_map(|note| self.of_note.get(note)).copied().collect();
        for chord in beginning.into_iter().filter_map(|chord| self.chords.get(chord)) {
            let is_big = chord.is_linked || chord.notes.len() >= CHORD;
            let first = chord.was.into_iter();
            let others = chord.voicings.iter().copied().filter(|_| is_big);
            let found = first.chain(others).find_map(|voicing| {
                let arrived = self.arrived.get(&voicing.id)?;
                on_shape(&chord.notes, arrived, notes, planned, new)
            });
            places.extend(found.into_iter().flatten());
        }
        places
    }

    /// Says which chords were played with a shape that is shown for their name and are not any more. What becomes of links is said
    /// where the shapes have gone along.
    pub(super) fn tell(&self, passage: &Passage, new: &Rig, remarks: &mut Vec<Remark>) {
        let events: HashMap<Spot, &Event> = events(passage).map(|(_, spot, event)| (spot, event)).collect();
        for chord in self.chords.iter().filter(|chord| !chord.is_linked) {
            let arrived = chord.was.and_then(|voicing| self.arrived.get(&voicing.id));
            let Some((voicing, event)) = arrived.zip(events.get(&chord.spot)) else { continue };
            let apart =
                event.notes.iter().filter(|note| !is_dead(note) && voicing.shape.on(note.string) != Some(note.fret));
            let apart: Vec<String> = apart
                .filter_map(|note| new.sounding(note.string, note.fret).ok())
                .map(|note| Pitch::usual(note).to_string())
                .collect();
            if apart.is_empty() {
                continue;
            }
            let text = format!(
                "the chord is not played with the shape of {} any more, {}: {}",
                quoted(&called(voicing)),
                voicing.shape.compact(),
                apart.join(", ")
            );
            let several = "chords are not played with the shapes shown for their names any more";
            remarks.push(Remark::of_a_note(chord.spot, text, several));
        }
    }
}

/// Returns where a shape has the notes of a chord; `None` where it does not have all of them, or another note of the chord is on one of
/// those strings.
fn on_shape(
    chord: &[usize],
    voicing: &Voicing,
    notes: &[Listed<'_>],
    planned: &[Plan],
    new: &Rig,
) -> Option<Vec<(usize, HeldPlace)>> {
    let sounds = new.notes(&voicing.shape).ok()?;
    let strings = new.strings().zip(voicing.shape.strings()).zip(sounds).enumerate();
    let mut free: Vec<SoundingPlace> = strings
        .filter_map(|(index, ((string, fret), sounds))| {
            let finger = voicing.fingers.get(index).copied().flatten();
            Some(SoundingPlace { sounds: sounds?, at: HeldPlace { place: Place { string, fret: (*fret)? }, finger } })
        })
        .collect();
    // What has a place of its own keeps it.
    for place in chord {
        match planned.get(*place)? {
            Plan::At(at) | Plan::Harmonic(at) => free.retain(|one| one.at.place.string != at.string),
            Plan::TiedTo(_) | Plan::Nothing | Plan::Pitch { .. } => {}
        }
    }
    let mut places = Vec::new();
    for place in chord {
        let pitch = match planned.get(*place)? {
            Plan::Pitch { note, .. } => *note,
            Plan::At(_) | Plan::Harmonic(_) | Plan::TiedTo(_) | Plan::Nothing => continue,
        };
        let written = notes.get(*place)?.note;
        let needs_finger = written.techniques.iter().any(|technique| technique.family().needs_finger());
        let fits = |one: &SoundingPlace| one.sounds == pitch && !(needs_finger && one.at.place.fret == Fret::OPEN);
        let on_own_string = free.iter().position(|one| fits(one) && one.at.place.string == written.string);
        let found = on_own_string.or_else(|| free.iter().position(fits))?;
        places.push((*place, free.remove(found).at));
    }
    Some(places)
}

/// A string of a shape that sounds.
struct SoundingPlace {
    sounds: MidiNote,
    at: HeldPlace,
}

/// Returns the voicings of the segments that play a passage, each once.
fn shown_beside<'l>(lesson: &'l Lesson, passage: &Passage) -> Vec<&'l Voicing> {
    let playing = lesson.segments.iter().filter(|one| one.passages.iter().any(|used| used.passage == passage.id));
    let mut shown: Vec<&Voicing> = Vec::new();
    for voicing in playing.flat_map(|segment| &segment.voicings).filter_map(|id| lesson.voicing(*id)) {
        if shown.iter().all(|known| known.id != voicing.id) {
            shown.push(voicing);
        }
    }
    shown
}

fn is_called(voicing: &Voicing, name: &str, above: i32) -> bool {
    voicing.readings.iter().any(|reading| is_name_of(reading, name, above))
}

fn is_dead(note: &Note) -> bool {
    note.techniques.iter().any(|technique| technique.frets() == FretUse::Damped)
}

/// Returns whether the fingers of a shape hold all notes of an event.
fn lies_on(event: &Event, shape: &Shape) -> bool {
    event.notes.iter().all(|note| shape.on(note.string) == Some(note.fret))
}

/// The chord names over a passage, in the order of time.
struct NamesInForce<'p>(Vec<(Ticks, &'p str)>);

impl<'p> NamesInForce<'p> {
    fn of(passage: &'p Passage) -> Self {
        let mut names: Vec<(Ticks, &str)> =
            events(passage).filter_map(|(start, _, event)| Some((start, event.chord.as_deref()?.trim()))).collect();
        names.sort_by_key(|(start, _)| *start);
        Self(names)
    }

    /// Returns the name that holds at a time.
    fn at(&self, time: Ticks) -> Option<&'p str> {
        let before = self.0.partition_point(|(start, _)| *start <= time);
        self.0.get(before.checked_sub(1)?).map(|(_, name)| *name)
    }
}

/// Returns the notes and rests of a passage with when and where they stand.
fn events(passage: &Passage) -> impl Iterator<Item = (Ticks, Spot, &Event)> {
    let mut bar_start = Ticks::ZERO;
    let mut meter = passage.meter;
    passage.bars.iter().enumerate().flat_map(move |(index, bar)| {
        meter = bar.meter.unwrap_or(meter);
        let from = bar_start;
        bar_start += bar_length(bar.voices.iter().map(crate::lesson::music::Voice::ticks).max(), meter);
        bar.voices.iter().enumerate().flat_map(move |(number, voice)| {
            voice
                .timed()
                .enumerate()
                .map(move |(place, (start, event))| (from + start, Spot::bar(index).voice(number).event(place), event))
        })
    })
}
