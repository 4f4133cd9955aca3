//! Power chords and octaves that have no note of the chord that is named over them.
//!
//! Two notes at a time say too little to accuse a name of which they touch a note. A bar of nothing but a power chord elsewhere is not
//! ambiguous. Lines of single notes are not judged: an ostinato goes on under names that change.

use super::chord_under_name::NamedChord;
use super::heard::{EveryNote, Heard};
use crate::lesson::time::Ticks;
use crate::theory::pitch::{MidiNote, NoteName, PitchClass};
use crate::theory::pitch_set::PitchSet;
use crate::theory::reading::{Reading, ReadingKind};

/// How many strings are struck together at least in a power chord; two are a riff often enough.
const FEWEST_OF_POWER: usize = 3;
/// How many strings are struck together at least in octaves.
const FEWEST_OF_OCTAVES: usize = 2;

/// Returns whether the first bar under a name is one power chord, or octaves under the name of a power chord, without a note of that
/// name, and the rest has hardly any.
pub(super) fn is_foreign(heard: &Heard, named: &NamedChord) -> bool {
    let notes = &heard.notes;
    let every = (0..12).fold(PitchSet::EMPTY, PitchSet::with_class);
    let own = notes.lasting_of(named.tones());
    let foreign = notes.lasting_of(every.minus(named.tones()));
    if own.first != Ticks::ZERO || foreign.first == Ticks::ZERO || foreign.all.0 < own.all.0 * 4 {
        return false;
    }
    match notes.tones().len() {
        1 => named.is_power() && notes.fewest_together >= FEWEST_OF_OCTAVES,
        2 => is_power_chord(notes) && notes.fewest_together >= FEWEST_OF_POWER,
        _ => false,
    }
}

/// Returns whether the first bar has a fifth over its lowest note, and nothing else.
fn is_power_chord(notes: &EveryNote) -> bool {
    let power = PitchSet::EMPTY.with_class(0).with_class(7);
    notes.lowest.is_some_and(|root| notes.tones().counted_from(root.pitch_class().number()) == power)
}

/// Returns the notes of the first bar and the power chord that they are, as `readings` names it; `None` where they are none.
pub(super) fn names_of_foreign(
    notes: &EveryNote,
    readings: impl Fn(&[Option<MidiNote>]) -> Vec<Reading>,
) -> Option<(Vec<NoteName>, Vec<String>)> {
    let root = notes.lowest?;
    // Octaves of one note are what a power chord on it leaves of itself.
    let fifth = root.up(7)?;
    let all = readings(&[Some(root), Some(fifth)]);
    let power = all.into_iter().find(|reading| reading.kind == ReadingKind::PowerChord)?;
    let sounds = |pitch: PitchClass| notes.tones().has(pitch.number());
    let heard = power.notes.iter().flatten().zip([root, fifth]).filter(|(_, note)| sounds(note.pitch_class()));
    Some((heard.map(|(tone, _)| tone.name).collect(), vec![power.symbol.clone()]))
}
