//! Bars that have no note of the chord that is named over them, whatever is played in them.
//!
//! Two notes at a time, and notes one after the other, say too little to accuse a name of which they touch a note. A bar without any is
//! not an ambiguous one: a power chord elsewhere, sixths in another key, another chord picked one note at a time. The rules are our own, found by
//! measuring; see [`super::judgement`].

use super::chord_under_name::NamedChord;
use super::heard::{EveryNote, Heard};
use super::judgement::{BetterNames, ChordNaming, MOST_BETTER};
use crate::lesson::time::Ticks;
use crate::theory::pitch::{MidiNote, PitchClass};
use crate::theory::pitch_set::PitchSet;
use crate::theory::reading::{Reading, ReadingKind};

/// How many times something is struck at least in a line that is harmony: less is an upbeat or a held melody note.
const FEWEST_STROKES: usize = 4;
/// How many strings are struck together at least in a power chord.
const FEWEST_OF_POWER: usize = 3;

/// Returns whether the first bar under a name has no note of it, and the rest hardly any, and is not just colours of a larger chord.
pub(super) fn is_foreign(heard: &Heard, named: &NamedChord) -> bool {
    let notes = &heard.notes;
    let own = notes.lasting_of(named.tones());
    let every = (0..12).fold(PitchSet::EMPTY, PitchSet::with_class);
    let foreign = notes.lasting_of(every.minus(named.tones()));
    if own.first != Ticks::ZERO || foreign.first == Ticks::ZERO || foreign.all.0 < own.all.0 * 4 {
        return false;
    }
    let tones = notes.tones();
    let is_struck = |strings: usize| notes.fewest_together >= strings;
    match tones.len() {
        0 => false,
        1 => named.is_power() && is_struck(2),
        2 => power_root(notes).is_some() && is_struck(FEWEST_OF_POWER),
        _ => notes.strokes >= FEWEST_STROKES && !named.has_as_colours(tones),
    }
}

/// Returns the root of a power chord on its root.
fn power_root(notes: &EveryNote) -> Option<PitchClass> {
    let root = notes.lowest?.pitch_class();
    (notes.tones().counted_from(root.number()) == PitchSet::EMPTY.with_class(0).with_class(7)).then_some(root)
}

/// Returns the tones of the first bar and the names that fit them, best first; `None` where none does.
pub(super) fn names_of_foreign(notes: &EveryNote, naming: ChordNaming) -> Option<BetterNames> {
    let lowest = notes.lowest?;
    let tones = notes.tones();
    // Octaves of one note are what a power chord on it leaves of itself.
    let named =
        if tones.len() == 1 { tones.with(PitchClass::of(i32::from(lowest.pitch_class().number()) + 7)) } else { tones };
    let kinds: &[ReadingKind] =
        if named.len() == 2 { &[ReadingKind::PowerChord] } else { &[ReadingKind::Chord, ReadingKind::Inversion] };
    let all = naming.readings(&from(lowest, named));
    let fits = |reading: &&Reading| kinds.contains(&reading.kind) && reading.missing.is_empty();
    let better: Vec<&Reading> = all.iter().filter(fits).take(MOST_BETTER).collect();
    let count = usize::try_from(tones.len()).unwrap_or_default();
    let spelled = |reading: &Reading| reading.notes.iter().flatten().map(|tone| tone.name).take(count).collect();
    match better.first() {
        Some(first) => Some((spelled(first), better.iter().map(|reading| reading.symbol.clone()).collect())),
        None => line_names(notes, naming),
    }
}

/// Returns the major and minor chords in which a line lies for half of its time or more.
fn line_names(notes: &EveryNote, naming: ChordNaming) -> Option<BetterNames> {
    let lowest = notes.lowest?;
    let tones = notes.tones();
    let total = notes.lasting_of(tones).first;
    let triads = (0..12u8).flat_map(|root| [[0, 4, 7], [0, 3, 7]].map(|triad| (root, triad)));
    let mut found: Vec<(bool, Ticks, Vec<Option<MidiNote>>)> = triads
        .filter_map(|(root, triad)| {
            let classes = triad.map(|up| PitchClass::of(i32::from(root + up)));
            let set: PitchSet = classes.into_iter().collect();
            let lasting = notes.lasting_of(set).first;
            let from_root = lowest.pitch_class().up_to(PitchClass::of(i32::from(root)));
            let chord = triad.map(|up| lowest.up(i32::from(from_root + up))).to_vec();
            let begins = notes.begins_with.minus(set).is_empty();
            (lasting.0 * 2 >= total.0).then_some((begins, lasting, chord))
        })
        .collect();
    found.sort_by_key(|(begins, lasting, _)| std::cmp::Reverse((*begins, *lasting)));
    let names = found.iter().filter_map(|(_, _, chord)| Some(naming.readings(chord).into_iter().next()?.symbol));
    let names: Vec<String> = names.take(MOST_BETTER).collect();
    let spelled = naming.readings(&from(lowest, tones)).into_iter().next()?;
    (!names.is_empty()).then(|| (spelled.notes.iter().flatten().map(|tone| tone.name).collect(), names))
}

/// Returns pitch classes as notes from `lowest` up.
fn from(lowest: MidiNote, tones: PitchSet) -> Vec<Option<MidiNote>> {
    let above = tones.counted_from(lowest.pitch_class().number());
    above.classes().map(|up| lowest.up(i32::from(up))).collect()
}
