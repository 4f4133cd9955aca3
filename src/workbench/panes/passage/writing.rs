//! What keys write: frets, rests, lengths, chords, bars; notes moved about. Each function says what becomes of the
//! passage and where the cursor goes, or why it cannot be; nothing here changes a lesson.
//!
//! The music of it is done by [`crate::lesson::phrase`].

use std::ops::Range;

use crate::instrument::neck::{Fret, Shape, StringNumber};
use crate::lesson::document::{Lesson, Segment};
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::{PassageId, VoicingId};
use crate::lesson::joining::JoinFamily;
use crate::lesson::music::{Bar, Event, Join, Note, Passage, Technique};
use crate::lesson::phrase::clip::{Clip, Grain, Stretch};
use crate::lesson::phrase::leading::{self, Unled};
use crate::lesson::phrase::shift::Shifted;
use crate::lesson::phrase::{PhraseEdits, PhraseError, Slot, bars, clip, notes, rhythm, shift};
use crate::lesson::place::{LessonPlace, Spot};
use crate::lesson::time::Length;
use crate::workbench::messages::notice::Notice;
use crate::workbench::panes::passage::at_cursor::AtCursor;

/// A chord as it is put over a beat.
#[derive(Debug, Clone)]
pub struct Chord<'a> {
    /// What the fingers hold.
    pub shape: &'a Shape,
    /// What stands over the beat.
    pub name: Option<String>,
    /// The voicing of the lesson that it is.
    pub voicing: VoicingId,
}

/// Returns `first` and what is written into a passage as one transaction, with what segments need to follow it; undo
/// goes back to `string`.
pub(super) fn transaction(
    lesson: &Lesson,
    (passage, string): (PassageId, StringNumber),
    reason: Reason,
    first: Vec<Edit>,
    written: PhraseEdits,
) -> Transaction {
    let PhraseEdits { edits, slot } = written;
    let spot = Spot::bar(slot.bar).voice(slot.voice).event(slot.event).string(string);
    let segments: Vec<&Segment> = lesson.segments.iter().map(|segment| after(&first, segment)).collect();
    let follow = |edit: &Edit| bars::following(segments.iter().copied(), edit);
    let following: Vec<Edit> = edits.iter().flat_map(follow).collect();
    let all = first.into_iter().chain(following).chain(edits).collect();
    Transaction::new(reason, all).at(LessonPlace::Passage(passage, spot))
}

/// Returns a segment as `edits` leave it.
fn after<'a>(edits: &'a [Edit], segment: &'a Segment) -> &'a Segment {
    let replaced = edits.iter().rev().find_map(|edit| match edit {
        Edit::Segments(ListEdit::Replace(new)) if new.id == segment.id => Some(new),
        Edit::Segments(_)
        | Edit::Header(_)
        | Edit::Instruments(_)
        | Edit::Setups(_)
        | Edit::Pieces(_)
        | Edit::Passages(_)
        | Edit::Voicings(_)
        | Edit::Bars { .. } => None,
    });
    replaced.unwrap_or(segment)
}

/// Puts a chord over the beat under the cursor, or behind the last one.
pub(super) fn chord(here: &AtCursor<'_>, chord: Chord<'_>) -> Result<PhraseEdits, Notice> {
    let Chord { shape, name, voicing } = chord;
    let strings = shape.strings().len();
    let note = |(index, fret): (usize, &Option<Fret>)| Some(Note::plain(StringNumber::at(index, strings)?, (*fret)?));
    let mut notes: Vec<Note> = shape.strings().iter().enumerate().filter_map(note).collect();
    notes.sort_by_key(|note| note.string);
    let chord = |event: &mut Event| {
        event.notes = notes;
        event.chord = name;
        event.voicing = Some(voicing);
    };
    if here.event().is_some() {
        return over_beat(here, chord);
    }
    let mut event = Event::rest(here.length);
    chord(&mut event);
    Ok(notes::append(here.passage, here.slot(), event))
}

/// What is written in the place of notes, and what led to them and goes too.
#[derive(Debug)]
pub(super) struct Deletion {
    pub(super) written: PhraseEdits,
    /// The techniques, in the order of the music.
    lost: Vec<Join>,
    /// How many notes gave way to a rest; nothing for what is known to delete.
    silenced: usize,
    pub(super) selection: SelectionAfter,
}

/// What becomes of a selection.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum SelectionAfter {
    /// It stays.
    Stays,
    /// What was selected is there no longer.
    Gone,
}

impl Deletion {
    /// Returns what is written where nothing led to what was there; what is selected stays so.
    const fn of_nothing(written: PhraseEdits) -> Self {
        Self { written, lost: Vec::new(), silenced: 0, selection: SelectionAfter::Stays }
    }

    /// Returns what is written in the place of what was selected.
    pub(super) const fn of_selected(written: PhraseEdits) -> Self {
        Self { written, lost: Vec::new(), silenced: 0, selection: SelectionAfter::Gone }
    }

    /// Returns the same after which what is selected stays so.
    fn keeping_selection(self) -> Self {
        Self { selection: SelectionAfter::Stays, ..self }
    }

    /// Returns what to say of what went and is not expected to, if anything did.
    pub(super) fn notice(&self) -> Option<Notice> {
        let mut names: Vec<&str> = Vec::new();
        for name in self.lost.iter().map(|join| join.name()) {
            if !names.contains(&name) {
                names.push(name);
            }
        }
        let (verb, names) = match names.as_slice() {
            [] => ("", String::new()),
            [only] if self.lost.len() == 1 => ("is", (*only).to_owned()),
            [only] => ("are", format!("{only}s")),
            [first @ .., last] => ("are", format!("{} and {last}", first.join(", "))),
        };
        let silenced = match self.silenced {
            0 => None,
            1 => Some("the note is a rest now".to_owned()),
            several => Some(format!("the {several} notes are a rest now")),
        };
        let lost = (!names.is_empty()).then(|| format!("the {names} that led there {verb} deleted too"));
        let said: Vec<String> = silenced.into_iter().chain(lost).collect();
        (!said.is_empty()).then(|| Notice::done(format!("{}; {{Desk(Undo)}} undoes", said.join(", "))))
    }
}

/// Deletes notes of `bars`, of which `goes` says which they are, with what leads to them: `delete` is given the passage without
/// that.
fn without_leads(
    here: &AtCursor<'_>,
    bars: &Range<usize>,
    goes: impl Fn(Slot, StringNumber, Join) -> bool,
    delete: impl FnOnce(&Passage) -> Result<PhraseEdits, PhraseError>,
) -> Result<Deletion, Notice> {
    let Unled { passage, edits, lost } = leading::unled(here.passage, bars, goes);
    let written = delete(&passage)?;
    let edits = edits.into_iter().chain(written.edits).collect();
    Ok(Deletion { lost, ..Deletion::of_selected(PhraseEdits { edits, ..written }) })
}

/// Does something to the event at `slot` that ends its notes.
fn ending_event(
    here: &AtCursor<'_>,
    slot: Slot,
    delete: impl FnOnce(&Passage) -> Result<PhraseEdits, PhraseError>,
) -> Result<Deletion, Notice> {
    without_leads(here, &(slot.bar..slot.bar + 1), |at, _, _| at == slot, delete)
}

/// Deletes what the cursor is on: what is selected, the note on the string, or the rest.
pub(super) fn lift(here: &AtCursor<'_>) -> Result<Deletion, Notice> {
    let (slot, string) = (here.slot(), here.string());
    match here.cursor.selected() {
        Some(stretch) => remove_stretch(here, &stretch),
        None if here.event().is_some_and(Event::is_rest) => remove_event(here),
        None => without_leads(
            here,
            &(slot.bar..slot.bar + 1),
            |at, on, _| (at, on) == (slot, string),
            |passage| Ok(here.staying(one(notes::lift(passage, slot, string)?))),
        ),
    }
}

/// Makes every note of the column a dead note, or none where all are already. On a rest and behind the last column, writes
/// dead notes over the strings that sounded before, or over all.
pub(super) fn dead_strum(here: &AtCursor<'_>) -> Result<Deletion, Notice> {
    let dead = |note: &Note| note.techniques.contains(&Technique::Dead);
    let slot = here.slot();
    if let Some(event) = here.event().filter(|event| !event.is_rest()) {
        let all = event.notes.iter().all(dead);
        // A slide may end on a dead note; what else leads there needs one that rings.
        let goes = |at, _, join: Join| at == slot && !all && join.row().family != JoinFamily::Slide;
        return without_leads(here, &(slot.bar..slot.bar + 1), goes, |passage| {
            let changed = notes::change_event(passage, slot, |event| {
                for note in event.notes.iter_mut().filter(|note| all == dead(note)) {
                    if all {
                        note.techniques.retain(|technique| *technique != Technique::Dead);
                    } else {
                        note.techniques = vec![Technique::Dead];
                        note.join = None;
                    }
                }
                Ok(())
            });
            Ok(here.staying(one(changed?)))
        })
        .map(Deletion::keeping_selection);
    }
    let sounding = |slot: Slot| slot.events(here.passage).iter().take(slot.event).rev().find(|event| !event.is_rest());
    let before = slot.bar.checked_sub(1).map(|bar| Slot { bar, event: usize::MAX, ..slot });
    let before = sounding(slot).or_else(|| before.and_then(sounding));
    let note = |string, fret| Note { techniques: vec![Technique::Dead], ..Note::plain(string, fret) };
    let notes: Vec<Note> = match before {
        Some(event) => event.notes.iter().map(|known| note(known.string, known.fret)).collect(),
        None => here.rig().strings().map(|string| note(string, Fret::OPEN)).collect(),
    };
    Ok(Deletion::of_nothing(if here.event().is_some() {
        over_beat(here, |event| event.notes = notes)?
    } else {
        notes::append(here.passage, slot, Event::notes(here.length, notes))
    }))
}

/// Makes the event a rest and says that its notes are gone, since the key for it is harmless elsewhere; writes a rest behind the last.
pub(super) fn rest(here: &AtCursor<'_>) -> Result<Deletion, Notice> {
    let slot = here.slot();
    match here.event() {
        Some(event) if event.is_rest() => Err(Notice::note("this is a rest already")),
        Some(event) => {
            let silenced = event.notes.len();
            ending_event(here, slot, |passage| Ok(here.staying(one(rhythm::rest(passage, slot)?))))
                .map(|deletion| Deletion { silenced, ..deletion.keeping_selection() })
        }
        None => Ok(Deletion::of_nothing(notes::append(here.passage, slot, Event::rest(here.length)))),
    }
}

/// Takes out what is selected, or the event under the cursor; behind the last event, that one.
pub(super) fn remove_event(here: &AtCursor<'_>) -> Result<Deletion, Notice> {
    if let Some(stretch) = here.cursor.selected() {
        return remove_stretch(here, &stretch);
    }
    let mut slot = here.slot();
    if here.event().is_none() {
        slot.event = slot.event.saturating_sub(1);
    }
    ending_event(here, slot, |passage| Ok(PhraseEdits { edits: one(rhythm::remove(passage, slot)?), slot }))
}

/// Takes out what is selected, or the event under the cursor.
pub(super) fn remove_selected(here: &AtCursor<'_>) -> Result<Deletion, Notice> {
    remove_stretch(here, &here.cursor.selected_or_event())
}

fn remove_stretch(here: &AtCursor<'_>, stretch: &Stretch) -> Result<Deletion, Notice> {
    let first = stretch.first();
    let slot = if stretch.grain == Grain::Bars { Slot::start_of(first.bar, first.voice) } else { first };
    without_leads(
        here,
        &stretch.bars(),
        |at, _, _| stretch.holds(at),
        |passage| Ok(PhraseEdits { edits: clip::remove(passage, stretch)?, slot }),
    )
}

/// Puts a rest in before the event under the cursor.
pub(super) fn insert_event(here: &AtCursor<'_>) -> Result<PhraseEdits, Notice> {
    Ok(here.staying(one(rhythm::insert(here.passage, here.slot(), vec![Event::rest(here.length)]))))
}

/// Fills the bar with rests.
pub(super) fn fill_bar(here: &AtCursor<'_>) -> Result<PhraseEdits, Notice> {
    Ok(here.staying(one(rhythm::fill(here.passage, here.slot())?)))
}

/// Changes the length of what is under the cursor or selected. Returns the edits, none where nothing is written there
/// yet, and how long what is written next is then.
pub(super) fn change_length(
    here: &AtCursor<'_>,
    change: impl Fn(Length) -> Result<Length, PhraseError>,
) -> Result<(Option<Vec<Edit>>, Length), PhraseError> {
    let Some(event) = here.event() else { return Ok((None, change(here.length)?)) };
    let stretch = here.cursor.selected_or_event();
    let changed = |event: &mut Event| event.length = change(event.length).unwrap_or(event.length);
    let edits = rhythm::over(here.passage, &stretch, changed)?;
    Ok((Some(edits), change(event.length)?))
}

/// Puts an empty bar in after the one under the cursor and goes there.
pub(super) fn insert_bar(here: &AtCursor<'_>) -> Result<PhraseEdits, Notice> {
    let Slot { bar, voice, .. } = here.slot();
    let at = if here.passage.bars.is_empty() { 0 } else { bar + 1 };
    Ok(PhraseEdits { edits: one(bars::insert(here.passage, at)), slot: Slot::start_of(at, voice) })
}

/// Puts an empty bar in before the one under the cursor and goes there. Nothing stands before a pickup: there it is put in behind.
pub(super) fn insert_bar_before(here: &AtCursor<'_>) -> Result<PhraseEdits, Notice> {
    let Slot { bar, voice, .. } = here.slot();
    let at = bars::behind_pickup(here.passage, bar);
    Ok(PhraseEdits { edits: one(bars::insert(here.passage, at)), slot: Slot::start_of(at, voice) })
}

/// Splits the bar before the beat under the cursor, which then begins the second one.
pub(super) fn split_bar(here: &AtCursor<'_>) -> Result<PhraseEdits, Notice> {
    let Slot { bar, voice, .. } = here.slot();
    Ok(PhraseEdits { edits: bars::split(here.passage, here.slot())?, slot: Slot::start_of(bar + 1, voice) })
}

/// Joins the bar with the next one.
pub(super) fn merge_bar(here: &AtCursor<'_>) -> Result<PhraseEdits, Notice> {
    Ok(here.staying(bars::merge(here.passage, here.slot().bar)?))
}

/// Takes out the bars that are selected, or the one under the cursor.
pub(super) fn remove_bar(here: &AtCursor<'_>) -> Result<Deletion, Notice> {
    let range = here.cursor.selected_or_event().bars();
    let slot = Slot::start_of(range.start, here.slot().voice);
    without_leads(
        here,
        &range.clone(),
        |at, _, _| range.contains(&at.bar),
        |passage| Ok(PhraseEdits { edits: bars::remove(passage, range.clone())?, slot }),
    )
}

/// Puts what was copied in at the cursor.
pub(super) fn paste(here: &AtCursor<'_>, clip: Option<&Clip>) -> Result<PhraseEdits, Notice> {
    let clip = clip.ok_or(PhraseError::NothingCopied)?;
    Ok(clip::paste(here.passage, here.slot(), clip))
}

/// Changes the bar under the cursor.
pub(super) fn change_bar(here: &AtCursor<'_>, change: impl FnOnce(&mut Bar)) -> Result<PhraseEdits, Notice> {
    Ok(here.staying(one(bars::change(here.passage, here.slot().bar, change)?)))
}

/// Changes what stands over the beat under the cursor.
pub(super) fn over_beat(here: &AtCursor<'_>, change: impl FnOnce(&mut Event)) -> Result<PhraseEdits, Notice> {
    let changed = notes::change_event(here.passage, here.slot(), |event| {
        change(event);
        Ok(())
    });
    Ok(here.staying(one(changed?)))
}

/// Changes what stands over the beat under the cursor; where nothing is written yet, over a rest that is written for it.
pub(super) fn over_place(here: &AtCursor<'_>, change: impl FnOnce(&mut Event)) -> Result<PhraseEdits, Notice> {
    if here.event().is_some() {
        return over_beat(here, change);
    }
    let mut rest = Event::rest(here.length);
    change(&mut rest);
    if rest == Event::rest(here.length) {
        return Err(Notice::note("nothing is written here yet"));
    }
    Ok(notes::append(here.passage, here.slot(), rest))
}

/// Changes the note under the cursor.
pub(super) fn change_note(here: &AtCursor<'_>, change: impl FnOnce(&mut Note)) -> Result<PhraseEdits, Notice> {
    Ok(here.staying(one(notes::change_note(here.passage, here.slot(), here.string(), change)?)))
}

/// Returns the string so many below the cursor's, if the instrument has it.
pub(super) fn string_beside(here: &AtCursor<'_>, by: i8) -> Option<StringNumber> {
    let to = here.string().number().checked_add_signed(by).and_then(StringNumber::new)?;
    here.rig().strings().any(|string| string == to).then_some(to)
}

/// Moves the note with all it is joined to, or what is selected, by `by` strings with the pitch it has.
pub(super) fn change_string(here: &AtCursor<'_>, by: i8) -> Result<PhraseEdits, Notice> {
    let edits = match (here.cursor.selected(), string_beside(here, by)) {
        (Some(stretch), _) => shift::over_strings(here.passage, &stretch, by, &here.rig())?,
        (None, Some(to)) => shift::to_string(here.passage, here.slot(), here.string(), to, &here.rig())?,
        (None, None) => return Err(PhraseError::NoString.into()),
    };
    Ok(here.staying(edits))
}

/// Moves what is selected, or all that is shown, by semitones.
pub(super) fn transpose(here: &AtCursor<'_>, semitones: i32) -> Result<Shifted, PhraseError> {
    let (first, last) = (here.bars.start, here.bars.end.saturating_sub(1));
    let all = || Stretch::new(Slot::start_of(first, 0), Slot::start_of(last, 0), Grain::Bars);
    let stretch = here.cursor.selected().unwrap_or_else(all);
    shift::transpose(here.passage, &stretch, semitones, &here.rig())
}

/// Returns a single edit as a list.
pub(super) fn one(edit: Edit) -> Vec<Edit> {
    vec![edit]
}

/// Returns whether a note lies at `slot` already.
pub(super) fn holds(passage: &Passage, slot: Slot, string: StringNumber, fret: Fret) -> bool {
    let event = slot.read(passage);
    event.is_some_and(|event| event.notes.iter().any(|note| (note.string, note.fret) == (string, fret)))
}
