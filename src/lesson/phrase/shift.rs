//! Notes moved: up or down by semitones, or onto another string with the pitch they have.
//!
//! Notes that are joined stay on one string, so they move together, as a line.

use std::collections::BTreeMap;

use super::error::PhraseError;
use super::slot::Slot;
use super::stretch::Stretch;
use crate::instrument::neck::{Fret, StringNumber};
use crate::instrument::rig::Rig;
use crate::lesson::bar_numbers::BarNumbers;
use crate::lesson::edit::Edit;
use crate::lesson::music::{Bar, Event, Note, Passage, Technique};
use crate::lesson::technique::{Takes, TechniqueValue};
use crate::theory::symbol::ChordSymbol;

/// Music on its new frets.
#[derive(Debug, Clone, PartialEq)]
pub struct Shifted {
    /// The edits.
    pub edits: Vec<Edit>,
    /// How many natural harmonics and dead notes stay where they are.
    pub stay: usize,
}

/// Where a note stands: its event, and its place among the grace notes and then the notes of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct NoteSlot {
    slot: Slot,
    place: usize,
}

/// Notes that are joined one to the next on one string.
#[derive(Debug, Clone)]
struct JoinedNotes {
    /// The numbers of the bars that they are in.
    numbers: BarNumbers,
    string: StringNumber,
    notes: Vec<(NoteSlot, Fret)>,
}

/// Where the notes of a line go.
type Goes = (StringNumber, Vec<Fret>);

/// Which strings the notes of each event take.
type Taken = BTreeMap<Slot, Vec<StringNumber>>;

/// Moves the notes of `stretch` by `semitones`, each on its own string where it has the pitch, else on
/// the nearest string that has and is free. Chord names move with them; links to voicings go.
///
/// Errors: a note that is not on the instrument, or for which there is no place.
pub fn transpose(passage: &Passage, stretch: &Stretch, semitones: i32, rig: &Rig) -> Result<Shifted, PhraseError> {
    let (lines, stay) = lines(passage, |slot| stretch.holds(slot));
    let mut taken = taken(passage);
    let mut goes: BTreeMap<usize, Goes> = BTreeMap::new();
    for (number, line) in lines.iter().enumerate() {
        if let Some(frets) = on_string(line, line.string, semitones, rig)? {
            goes.insert(number, (line.string, frets));
        }
    }
    for (number, line) in lines.iter().enumerate() {
        if goes.contains_key(&number) {
            continue;
        }
        let place = elsewhere(line, semitones, rig, &taken)?.ok_or_else(|| no_place(line, semitones))?;
        take(&mut taken, line, place.0);
        goes.insert(number, place);
    }
    let mut bars = passage.bars.get(stretch.bars()).ok_or(PhraseError::NoBar)?.to_vec();
    let start = stretch.first().bar;
    for (number, (string, frets)) in &goes {
        if let Some(line) = lines.get(*number) {
            write(&mut bars, start, line, *string, frets);
        }
    }
    bars.iter_mut().for_each(in_order);
    if semitones != 0 {
        rename(&mut bars, start, stretch, semitones);
    }
    let edits = vec![Edit::Bars { passage: passage.id, at: start, remove: bars.len(), insert: bars }];
    Ok(Shifted { edits, stay })
}

/// Moves the note on `string` at `slot`, with all it is joined to, to the string `to` with the pitch
/// it has.
///
/// Errors: no such note, one without a pitch of its own, a string that is taken, or one without the pitch.
pub fn to_string(
    passage: &Passage,
    slot: Slot,
    string: StringNumber,
    to: StringNumber,
    rig: &Rig,
) -> Result<Vec<Edit>, PhraseError> {
    super::notes::note_at(passage, slot, string)?;
    let (lines, _) = lines(passage, |_| true);
    let is_it = |line: &&JoinedNotes| line.string == string && line.notes.iter().any(|(at, _)| at.slot == slot);
    let Some(line) = lines.iter().find(is_it) else {
        // Harmonics and dead notes have no pitch of their fret that another string could have.
        let fret = super::notes::note_at(passage, slot, string)?.fret;
        return Err(PhraseError::NotOnString { string: to, from: string, fret });
    };
    let taken = taken(passage);
    if line.notes.iter().any(|(at, _)| taken.get(&at.slot).is_some_and(|strings| strings.contains(&to))) {
        return Err(PhraseError::StringTaken(to));
    }
    let lowest = line.notes.first().map_or(Fret::OPEN, |(_, fret)| *fret);
    let frets =
        on_string(line, to, 0, rig)?.ok_or(PhraseError::NotOnString { string: to, from: string, fret: lowest })?;
    let first = line.notes.iter().map(|(at, _)| at.slot.bar).min().unwrap_or(slot.bar);
    let last = line.notes.iter().map(|(at, _)| at.slot.bar).max().unwrap_or(slot.bar);
    let mut bars = passage.bars.get(first..last + 1).ok_or(PhraseError::NoBar)?.to_vec();
    write(&mut bars, first, line, to, &frets);
    bars.iter_mut().for_each(in_order);
    Ok(vec![Edit::Bars { passage: passage.id, at: first, remove: bars.len(), insert: bars }])
}

/// Moves every note of `stretch` by so many strings, down the page where `by` is positive, with the
/// pitch it has: all or none.
///
/// Errors: no note in `stretch`, no such string, one that is taken, or one without the pitch.
pub fn over_strings(passage: &Passage, stretch: &Stretch, by: i8, rig: &Rig) -> Result<Vec<Edit>, PhraseError> {
    let (lines, _) = lines(passage, |slot| stretch.holds(slot));
    if lines.is_empty() {
        return Err(PhraseError::NoEvent);
    }
    let mut others = taken(passage);
    for line in &lines {
        for (at, _) in &line.notes {
            others.entry(at.slot).or_default().retain(|string| *string != line.string);
        }
    }
    let start = stretch.first().bar;
    let mut bars = passage.bars.get(stretch.bars()).ok_or(PhraseError::NoBar)?.to_vec();
    for line in &lines {
        let to = line.string.number().checked_add_signed(by).and_then(StringNumber::new);
        let to = to.filter(|to| rig.strings().any(|string| string == *to)).ok_or(PhraseError::NoString)?;
        if line.notes.iter().any(|(at, _)| others.get(&at.slot).is_some_and(|strings| strings.contains(&to))) {
            return Err(PhraseError::StringTaken(to));
        }
        let fret = line.notes.first().map_or(Fret::OPEN, |(_, fret)| *fret);
        let gone = PhraseError::NotOnString { string: to, from: line.string, fret };
        let frets = on_string(line, to, 0, rig)?.ok_or(gone)?;
        write(&mut bars, start, line, to, &frets);
    }
    bars.iter_mut().for_each(in_order);
    Ok(vec![Edit::Bars { passage: passage.id, at: start, remove: bars.len(), insert: bars }])
}

/// Lists the notes that have a pitch of their own, joined ones together, and counts the others.
fn lines(passage: &Passage, holds: impl Fn(Slot) -> bool) -> (Vec<JoinedNotes>, usize) {
    let mut lines: Vec<JoinedNotes> = Vec::new();
    let (mut stay, numbers) = (0, BarNumbers::of(passage));
    // The line whose last note is joined to what comes next, by voice and string.
    let mut open: BTreeMap<(usize, StringNumber), usize> = BTreeMap::new();
    for (slot, event) in events(passage) {
        for (place, note) in event.grace.iter().chain(&event.notes).enumerate() {
            let joined = open.remove(&(slot.voice, note.string));
            if !holds(slot) {
                continue;
            }
            if !note.techniques.iter().all(|known| known.frets().has_pitch_of_fret()) {
                stay += 1;
                continue;
            }
            let entry = (NoteSlot { slot, place }, note.fret);
            let number = match joined.and_then(|number| lines.get_mut(number).map(|line| (number, line))) {
                Some((number, line)) => {
                    line.notes.push(entry);
                    number
                }
                None => {
                    lines.push(JoinedNotes { numbers, string: note.string, notes: vec![entry] });
                    lines.len() - 1
                }
            };
            if note.join.is_some() {
                open.insert((slot.voice, note.string), number);
            }
        }
    }
    (lines, stay)
}

fn events(passage: &Passage) -> impl Iterator<Item = (Slot, &Event)> {
    passage.bars.iter().enumerate().flat_map(|(bar, content)| {
        content.voices.iter().enumerate().flat_map(move |(voice, line)| {
            line.0.iter().enumerate().map(move |(event, played)| (Slot { bar, event, voice }, played))
        })
    })
}

fn taken(passage: &Passage) -> Taken {
    let strings = |event: &Event| event.grace.iter().chain(&event.notes).map(|note| note.string).collect();
    events(passage).map(|(slot, event)| (slot, strings(event))).collect()
}

fn take(taken: &mut Taken, line: &JoinedNotes, string: StringNumber) {
    for (at, _) in &line.notes {
        let strings = taken.entry(at.slot).or_default();
        strings.retain(|known| *known != line.string);
        strings.push(string);
    }
}

/// Returns the frets of a line `semitones` away on `string`, if all are there.
fn on_string(
    line: &JoinedNotes,
    string: StringNumber,
    semitones: i32,
    rig: &Rig,
) -> Result<Option<Vec<Fret>>, PhraseError> {
    let mut frets = Vec::with_capacity(line.notes.len());
    for (at, fret) in &line.notes {
        let sounding = rig.sounding(line.string, *fret).map_err(|_| PhraseError::OffTheNeck {
            bar: line.numbers.name(at.slot.bar),
            string: line.string,
            fret: *fret,
        })?;
        let Some(found) = sounding.up(semitones).and_then(|note| rig.fret_for(string, note)) else { return Ok(None) };
        frets.push(found);
    }
    Ok(Some(frets))
}

/// Returns the nearest free string on which a line can be played, with its frets.
fn elsewhere(line: &JoinedNotes, semitones: i32, rig: &Rig, taken: &Taken) -> Result<Option<Goes>, PhraseError> {
    let mut strings: Vec<StringNumber> = rig.strings().filter(|string| *string != line.string).collect();
    strings.sort_by_key(|string| string.number().abs_diff(line.string.number()));
    for string in strings {
        let free = line.notes.iter().all(|(at, _)| taken.get(&at.slot).is_none_or(|known| !known.contains(&string)));
        if free && let Some(frets) = on_string(line, string, semitones, rig)? {
            return Ok(Some((string, frets)));
        }
    }
    Ok(None)
}

fn no_place(line: &JoinedNotes, semitones: i32) -> PhraseError {
    let (bar, fret) = line.notes.first().map_or((0, Fret::OPEN), |(at, fret)| (at.slot.bar, *fret));
    PhraseError::NoPlace { bar: line.numbers.name(bar), string: line.string, fret, semitones }
}

/// Writes the notes of a line where they go; `bars` begin with bar `start`.
fn write(bars: &mut [Bar], start: usize, line: &JoinedNotes, string: StringNumber, frets: &[Fret]) {
    for ((at, _), fret) in line.notes.iter().zip(frets) {
        let bar = at.slot.bar.checked_sub(start).and_then(|bar| bars.get_mut(bar));
        let voice = bar.and_then(|bar| bar.voices.get_mut(at.slot.voice));
        let Some(event) = voice.and_then(|voice| voice.0.get_mut(at.slot.event)) else { continue };
        let note = event.grace.iter_mut().chain(&mut event.notes).nth(at.place);
        if let Some(note) = note {
            let by = i32::from(fret.number()) - i32::from(note.fret.number());
            (note.string, note.fret) = (string, *fret);
            note.techniques.iter_mut().for_each(|technique| move_touch(technique, by));
            // A finger was chosen for the old fret.
            note.finger = note.finger.filter(|_| by == 0);
        }
    }
}

/// Moves the second fret of a technique along with the first; where the neck ends, it stays.
fn move_touch(technique: &mut Technique, by: i32) {
    if let (TechniqueValue::Fret(fret), Takes::Fret(touching)) = (technique.given(), technique.row().takes) {
        let moved = u8::try_from(i32::from(fret.number()) + by).ok().and_then(Fret::new);
        *technique = touching(moved.unwrap_or(fret));
    }
}

/// Puts the notes of each event of a bar back in order.
fn in_order(bar: &mut Bar) {
    for event in bar.voices.iter_mut().flat_map(|voice| &mut voice.0) {
        event.notes.sort_by_key(|note: &Note| note.string);
    }
}

/// Moves the chord names in `stretch`, together, and takes off the links to voicings; `bars` begin with bar `start`.
fn rename(bars: &mut [Bar], start: usize, stretch: &Stretch, semitones: i32) {
    let mut chords: Vec<(ChordSymbol, &mut String)> = Vec::new();
    for (number, bar) in (start..).zip(bars) {
        for (voice, line) in bar.voices.iter_mut().enumerate() {
            for (place, event) in line.0.iter_mut().enumerate() {
                if !stretch.holds(Slot { bar: number, event: place, voice }) {
                    continue;
                }
                event.voicing = None;
                let Some(chord) = &mut event.chord else { continue };
                if let Ok(symbol) = chord.parse::<ChordSymbol>() {
                    chords.push((symbol, chord));
                }
            }
        }
    }
    let symbols: Vec<ChordSymbol> = chords.iter().map(|(symbol, _)| symbol.clone()).collect();
    for ((_, chord), moved) in chords.into_iter().zip(ChordSymbol::moved_together(&symbols, semitones, None)) {
        *chord = moved.to_string();
    }
}
