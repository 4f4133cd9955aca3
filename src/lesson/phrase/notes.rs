//! Notes and what is played on them.

use super::error::PhraseError;
use super::event::with_event;
use super::rests::rests_between;
use super::slot::{Slot, missing};
use super::stretch::Stretch;
use super::written::{PhraseEdits, one_bar};
use crate::instrument::neck::{Fret, StringNumber};
use crate::lesson::edit::Edit;
use crate::lesson::music::{Bar, Event, Join, Note, Passage, Technique, Voice};
use crate::lesson::time::{Length, Ticks};

pub use super::event::change_event;

/// Puts `fret` on `string`: in the event at `slot`, or in a new one of `length` behind the last. A
/// note that is there keeps how it is played, but that a hammer-on to it or from it becomes a pull-off where the frets say
/// so, and the other way round.
pub fn put(passage: &Passage, slot: Slot, string: StringNumber, fret: Fret, length: Length) -> PhraseEdits {
    let known = note_at(passage, slot, string).ok().cloned();
    let mut note = known.unwrap_or_else(|| Note::plain(string, fret));
    note.fret = fret;
    if let Some(next) = next_note(passage, slot, string) {
        note.join = note.join.map(|join| slurred(join, fret, next.fret));
    }
    let Some((before, from)) = note_before(passage, slot, string) else {
        return put_note(passage, slot, note, length);
    };
    let now = from.join.map(|join| slurred(join, from.fret, fret));
    if now == from.join {
        return put_note(passage, slot, note, length);
    }
    let Ok(edit) = join(passage, before, string, now) else { return put_note(passage, slot, note, length) };
    let mut changed = passage.clone();
    if let Edit::Bars { at, insert, .. } = &edit {
        changed.bars.splice(*at..*at + insert.len(), insert.iter().cloned());
    }
    let written = put_note(&changed, slot, note, length);
    PhraseEdits { edits: std::iter::once(edit).chain(written.edits).collect(), ..written }
}

/// Returns a hammer-on or pull-off as the frets say; any other join as it is.
fn slurred(join: Join, from: Fret, to: Fret) -> Join {
    match join {
        Join::HammerOn | Join::PullOff if from != to => slur(from, to),
        Join::HammerOn | Join::PullOff | Join::Slide | Join::SlideAndPick | Join::Tie => join,
    }
}

/// Returns the note before on `string` in the voice, and where it is: in this bar, or in the one before.
fn note_before(passage: &Passage, slot: Slot, string: StringNumber) -> Option<(Slot, &Note)> {
    let in_bar = |slot: Slot| {
        let events = slot.events(passage).iter().enumerate().take(slot.event).rev();
        let at = move |event| Slot { event, ..slot };
        events.flat_map(move |(event, known)| known.notes.iter().map(move |note| (at(event), note)))
    };
    let last = slot.bar.checked_sub(1).map(|bar| Slot { bar, event: usize::MAX, ..slot });
    let mut notes = in_bar(slot).chain(last.into_iter().flat_map(in_bar));
    notes.find(|(_, note)| note.string == string)
}

/// Puts `note` in the event at `slot`, in the place of one on its string, or in a new one of `length`
/// behind the last.
pub fn put_note(passage: &Passage, slot: Slot, note: Note, length: Length) -> PhraseEdits {
    let Some(event) = slot.read(passage) else {
        return append(passage, slot, Event::notes(length, vec![note]));
    };
    let mut event = event.clone();
    event.notes.retain(|known| known.string != note.string);
    event.notes.push(note);
    event.notes.sort_by_key(|note| note.string);
    PhraseEdits { edits: vec![with_event(passage, slot, event)], slot }
}

/// Writes `event` behind the last one of the voice; where that has filled its bar, into a new bar.
pub fn append(passage: &Passage, slot: Slot, event: Event) -> PhraseEdits {
    let written = slot.events(passage).len();
    if written > 0 && missing(passage, slot).is_none() {
        let bar = begun(passage, Bar::default(), slot, event);
        let at = slot.bar + 1;
        let edit = Edit::Bars { passage: passage.id, at, remove: 0, insert: vec![bar] };
        return PhraseEdits { edits: vec![edit], slot: Slot::start_of(at, slot.voice) };
    }
    let slot = Slot { event: written, ..slot };
    let bar = passage.bars.get(slot.bar).cloned().unwrap_or_default();
    let bar = begun(passage, bar, slot, event);
    PhraseEdits { edits: vec![one_bar(passage, slot.bar, bar)], slot }
}

/// Returns `bar` with `event` behind the last of a voice. A second voice needs a first one, which
/// rests until something is written.
fn begun(passage: &Passage, mut bar: Bar, slot: Slot, event: Event) -> Bar {
    while bar.voices.len() < slot.voice {
        let meter = super::slot::meter_at(passage, slot.bar);
        bar.voices.push(Voice(rests_between(meter, Ticks::ZERO, meter.ticks()).into_iter().map(Event::rest).collect()));
    }
    match bar.voices.get_mut(slot.voice) {
        Some(voice) => voice.0.push(event),
        None => bar.voices.push(Voice(vec![event])),
    }
    bar
}

/// Takes the note off `string`, with the grace notes before it; the last note of an event leaves a rest.
///
/// Errors: no event at `slot`, or no note on `string`.
pub fn lift(passage: &Passage, slot: Slot, string: StringNumber) -> Result<Edit, PhraseError> {
    change_event(passage, slot, |event| {
        let before = event.notes.len();
        event.notes.retain(|note| note.string != string);
        event.grace.retain(|note| note.string != string);
        if event.notes.len() == before { Err(PhraseError::NoNote(string)) } else { Ok(()) }
    })
}

/// Returns the note on `string` at `slot`.
///
/// Errors: no event at `slot`, or no note on `string`.
pub fn note_at(passage: &Passage, slot: Slot, string: StringNumber) -> Result<&Note, PhraseError> {
    let event = slot.read(passage).ok_or(PhraseError::NoEvent)?;
    event.notes.iter().find(|note| note.string == string).ok_or(PhraseError::NoNote(string))
}

/// Returns the next note on `string` in the voice: in this bar, or in the next one.
pub fn next_note(passage: &Passage, slot: Slot, string: StringNumber) -> Option<&Note> {
    let here = slot.events(passage).iter().skip(slot.event + 1);
    let there = Slot::start_of(slot.bar + 1, slot.voice).events(passage);
    here.chain(there).flat_map(|event| event.grace.iter().chain(&event.notes)).find(|note| note.string == string)
}

/// Returns the join that leads from fret to fret: a hammer-on up, a pull-off down.
pub fn slur(from: Fret, to: Fret) -> Join {
    if to < from { Join::PullOff } else { Join::HammerOn }
}

/// Joins the note on `string` to the next, or takes the join off.
///
/// Errors: no event at `slot`, or no note on `string`.
pub fn join(passage: &Passage, slot: Slot, string: StringNumber, join: Option<Join>) -> Result<Edit, PhraseError> {
    change_note(passage, slot, string, |note| note.join = join)
}

/// Has the note on `string` played with `technique`: one of the same sort makes way for it, and the
/// very same is taken off.
///
/// Errors: no event at `slot`, or no note on `string`.
pub fn technique(
    passage: &Passage,
    slot: Slot,
    string: StringNumber,
    technique: Technique,
) -> Result<Edit, PhraseError> {
    change_note(passage, slot, string, |note| {
        let there = note.techniques.contains(&technique);
        drop_sort(note, technique);
        if !there {
            note.techniques.push(technique);
            note.techniques.sort_unstable();
        }
    })
}

/// Has every note of a stretch played with `technique`, or none where all are already.
///
/// Errors: no bar in `stretch`.
pub fn technique_over(passage: &Passage, stretch: &Stretch, technique: Technique) -> Result<Vec<Edit>, PhraseError> {
    let inside = |event: &Event, all: bool| all && event.notes.iter().all(|note| note.techniques.contains(&technique));
    let all = stretch.all(passage).into_iter().fold(true, |all, event| inside(event, all));
    super::rhythm::over(passage, stretch, |event| {
        for note in &mut event.notes {
            drop_sort(note, technique);
            if !all {
                note.techniques.push(technique);
                note.techniques.sort_unstable();
            }
        }
    })
}

/// Takes techniques of the same sorts as `sorts` off the note on `string`.
///
/// Errors: no event at `slot`, or no note on `string`.
pub fn without(passage: &Passage, slot: Slot, string: StringNumber, sorts: &[Technique]) -> Result<Edit, PhraseError> {
    change_note(passage, slot, string, |note| sorts.iter().for_each(|sort| drop_sort(note, *sort)))
}

fn drop_sort(note: &mut Note, technique: Technique) {
    let sort = std::mem::discriminant(&technique);
    note.techniques.retain(|known| std::mem::discriminant(known) != sort);
}

/// Puts grace notes on `frets` before the note on `string`, each slurred into the next; none takes
/// those away that are there.
///
/// Errors: no event at `slot`, or no note on `string`.
pub fn grace(passage: &Passage, slot: Slot, string: StringNumber, frets: &[Fret]) -> Result<Edit, PhraseError> {
    let main = note_at(passage, slot, string)?.fret;
    change_event(passage, slot, |event| {
        event.grace.retain(|note| note.string != string);
        let next = frets.iter().skip(1).chain([&main]);
        event.grace.extend(frets.iter().zip(next).map(|(fret, next)| Note {
            join: (fret != next).then(|| slur(*fret, *next)),
            ..Note::plain(string, *fret)
        }));
        Ok(())
    })
}

/// Changes the note on `string`.
///
/// Errors: no event at `slot`, or no note on `string`.
pub fn change_note(
    passage: &Passage,
    slot: Slot,
    string: StringNumber,
    change: impl FnOnce(&mut Note),
) -> Result<Edit, PhraseError> {
    change_event(passage, slot, |event| {
        let note = event.notes.iter_mut().find(|note| note.string == string);
        change(note.ok_or(PhraseError::NoNote(string))?);
        Ok(())
    })
}
