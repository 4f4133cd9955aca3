//! A line of pitches in musical time, and the passage it becomes.

use super::bars::{TimedChord, frames, write};
use crate::instrument::hand::Finger;
use crate::instrument::neck::Fret;
use crate::instrument::placement::line::{ChordOver, Limits, Milliseconds, NoteTarget, Pin, Slice, Touch, Wanted};
use crate::instrument::placement::{Placed, PlacementError, place_under};
use crate::instrument::rig::Rig;
use crate::lesson::document::ChordNames;
use crate::lesson::id::PassageId;
use crate::lesson::music::{Bar, Event, Note, Passage};
use crate::lesson::time::{Length, Meter, Tempo, Ticks};
use crate::theory::pitch::{MidiNote, Pitch};
use crate::theory::symbol::ChordSymbol;

/// A line of pitches in musical time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TimedLine {
    /// The notes, in the order of their starts.
    pub notes: Vec<TimedNote>,
    /// The meter at the start, then each later one with its start. Never empty.
    pub meters: Vec<(Ticks, Meter)>,
    /// The tempo at the start, then each later one with its start. Never empty.
    pub tempos: Vec<(Ticks, Tempo)>,
    /// The chords that are named over it as they sound, each with the moment from which on it holds, in order.
    pub chords: Vec<(Ticks, ChordSymbol)>,
    /// Where it ends, rests included.
    pub end: Ticks,
}

/// One note of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TimedNote {
    /// When it starts, from the start of the first bar.
    pub start: Ticks,
    /// How long it lasts.
    pub length: Ticks,
    /// How that was written; `None` leaves it to the bars.
    pub written: Option<Length>,
    /// What sounds.
    pub pitch: MidiNote,
    /// What is fixed beforehand of its place.
    pub pin: Pin,
}

/// A line that has been placed.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedLine {
    /// The passage, without piece and setup.
    pub passage: Passage,
    /// Where each note lies, in the order of the line's notes.
    pub notes: Vec<PlacedNote>,
    /// What could not be written or played quite as asked, in words.
    pub remarks: Vec<String>,
    /// What the placement costs, in thousandths; only good for comparing.
    pub cost: u64,
}

/// Where one note of a line lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PlacedNote {
    /// String, fret, finger.
    pub placed: Placed,
    /// The hand position, where the hand holds something.
    pub position: Option<Fret>,
}

impl TimedLine {
    /// No line is longer.
    pub const MOST_BARS: u64 = 100_000;

    /// Returns a line without notes.
    pub fn new(meter: Meter, tempo: Tempo) -> Self {
        Self {
            notes: Vec::new(),
            meters: vec![(Ticks::ZERO, meter)],
            tempos: vec![(Ticks::ZERO, tempo)],
            chords: Vec::new(),
            end: Ticks::ZERO,
        }
    }

    /// Places the line on `rig` and writes it into bars, its chords named as in a lesson that goes by `names`.
    ///
    /// Errors: those of [`place_under`]; they count notes as in [`TimedLine::notes`].
    pub fn placed(
        &self,
        rig: &Rig,
        limits: Limits,
        names: ChordNames,
        id: PassageId,
        title: String,
    ) -> Result<PlacedLine, PlacementError> {
        let slices = self.slices();
        let placement = place_under(rig, &slices, &self.chords_over(), limits)?;
        let notes: Vec<PlacedNote> = placement
            .slices
            .iter()
            .flat_map(|slice| slice.notes.iter().map(|placed| PlacedNote { placed: *placed, position: slice.position }))
            .collect();
        let mut remarks = Vec::new();
        for let_go in &placement.let_go {
            let ordinal: usize = slices.iter().take(let_go.spot.slice).map(|slice| slice.notes.len()).sum();
            let ordinal = ordinal + let_go.spot.note;
            if let Some(note) = self.notes.get(ordinal) {
                let name = Pitch::usual(note.pitch);
                remarks.push(format!(
                    "note {}, {name}, cannot ring to its end: its string or finger is needed before",
                    ordinal + 1
                ));
            }
        }
        let mut written = write(self.moments(&notes), self.end, &self.meters, &self.tempos);
        self.name_chords(&mut written.bars, names.below_the_sound(rig));
        if written.shortened > 0 {
            remarks.push(format!(
                "{} {} written shorter and marked to ring on: more than two voices overlap there",
                written.shortened,
                if written.shortened == 1 { "note or chord is" } else { "notes and chords are" }
            ));
        }
        for bar in &written.inexact {
            remarks.push(format!("bar {}: no note values make up a length there; the nearest is written", bar + 1));
        }
        let first = |list: &[(Ticks, Meter)]| list.first().map_or(Meter::COMMON, |(_, meter)| *meter);
        let passage = Passage {
            meter: first(&self.meters),
            tempo: self.tempos.first().map_or(Tempo::USUAL, |(_, tempo)| *tempo),
            ..Passage::plain(id, title, written.bars)
        };
        Ok(PlacedLine { passage, notes, remarks, cost: placement.cost })
    }

    /// Returns how many bars it has.
    pub fn bars(&self) -> usize {
        frames(self.end, &self.meters).len()
    }

    /// Returns the bar, counted from 1, in which the notes of a slice start; a slice is what
    /// [`PlacementError::slice`] counts.
    pub fn bar_of_slice(&self, slice: usize) -> Option<usize> {
        let mut starts: Vec<Ticks> = self.notes.iter().map(|note| note.start).collect();
        starts.dedup();
        let at = starts.get(slice)?;
        Some(frames(self.end, &self.meters).partition_point(|(start, _)| start <= at))
    }

    /// Returns the line as the search wants it: notes that start together in one slice, in milliseconds.
    fn slices(&self) -> Vec<Slice> {
        let clock = Clock::new(&self.tempos);
        let mut slices: Vec<Slice> = Vec::new();
        let mut last = None;
        for note in &self.notes {
            let start = clock.at(note.start);
            if last != Some(note.start) {
                slices.push(Slice { start, notes: Vec::new() });
                last = Some(note.start);
            }
            let end = clock.at(note.start + note.length);
            let length = Milliseconds(end.0.saturating_sub(start.0));
            let wanted = Wanted {
                target: NoteTarget::Pitch(note.pitch),
                length,
                pin: note.pin,
                touch: Touch::Any,
                follows: None,
            };
            if let Some(slice) = slices.last_mut() {
                slice.notes.push(wanted);
            }
        }
        slices
    }

    /// Returns the chords as the search wants them: by the slice from which on they hold.
    fn chords_over(&self) -> Vec<ChordOver> {
        let mut starts: Vec<Ticks> = self.notes.iter().map(|note| note.start).collect();
        starts.dedup();
        let over = |(at, symbol): &(Ticks, ChordSymbol)| ChordOver {
            slice: starts.partition_point(|start| start < at),
            symbol: symbol.clone(),
        };
        self.chords.iter().map(over).collect()
    }

    /// Writes the name of each chord, so many semitones `below` its sound, over the first note at or after its moment, before the next
    /// chord.
    fn name_chords(&self, bars: &mut [Bar], below: i32) {
        let symbols: Vec<ChordSymbol> = self.chords.iter().map(|(_, symbol)| symbol.clone()).collect();
        let names = ChordSymbol::moved_together(&symbols, -below, None);
        let mut moments: Vec<(Ticks, &mut Event)> = Vec::new();
        for (bar, (start, _)) in bars.iter_mut().zip(frames(self.end, &self.meters)) {
            for voice in &mut bar.voices {
                let mut clock = start;
                for event in &mut voice.0 {
                    let at = clock;
                    clock += event.length.ticks();
                    if !event.is_rest() {
                        moments.push((at, event));
                    }
                }
            }
        }
        moments.sort_by_key(|(at, _)| *at);
        for (place, ((at, _), name)) in self.chords.iter().zip(names).enumerate() {
            let next = self.chords.get(place + 1).map(|(next, _)| *next);
            let first = moments.partition_point(|(start, _)| start < at);
            if let Some((start, event)) = moments.get_mut(first)
                && next.is_none_or(|next| *start < next)
            {
                event.chord = Some(name.to_string());
            }
        }
    }

    /// Joins notes that start and end together.
    fn moments(&self, placed: &[PlacedNote]) -> Vec<TimedChord> {
        let mut chords: Vec<TimedChord> = Vec::new();
        for (timed, placed) in self.notes.iter().zip(placed) {
            let place = placed.placed.place;
            let finger = placed.placed.finger.and_then(Finger::numbered);
            let note = Note { finger, ..Note::plain(place.string, place.fret) };
            let together = chords.iter_mut().rev().take_while(|chord| chord.start == timed.start);
            match together.into_iter().find(|chord| chord.length == timed.length) {
                Some(chord) => chord.notes.push(note),
                None => chords.push(TimedChord {
                    start: timed.start,
                    length: timed.length,
                    written: timed.written,
                    notes: vec![note],
                }),
            }
        }
        chords
    }
}

/// Where the tempo puts musical time.
pub(super) struct Clock {
    /// The start of each tempo, in ticks and in microseconds, and the length of a whole note.
    legs: Vec<(u64, u64, u64)>,
}

impl Clock {
    /// Returns the clock of a list of tempos with their starts, in order.
    pub(super) fn new(tempos: &[(Ticks, Tempo)]) -> Self {
        let mut legs: Vec<(u64, u64, u64)> = Vec::new();
        for (start, tempo) in tempos {
            let at = legs.last().map_or(0, |leg| Self::on(*leg, start.0));
            let minute = 60_000_000 * Ticks::WHOLE.0;
            let whole = minute / (tempo.beat().ticks().0.max(1) * u64::from(tempo.per_minute().max(1)));
            legs.push((start.0, at, whole));
        }
        Self { legs }
    }

    fn on((start, at, whole): (u64, u64, u64), ticks: u64) -> u64 {
        let since = u128::from(ticks.saturating_sub(start)) * u128::from(whole) / u128::from(Ticks::WHOLE.0);
        at.saturating_add(u64::try_from(since).unwrap_or(u64::MAX))
    }

    /// Returns when something happens.
    pub(super) fn at(&self, time: Ticks) -> Milliseconds {
        let before = self.legs.partition_point(|(start, ..)| *start <= time.0);
        let leg = self.legs.get(before.saturating_sub(1));
        Milliseconds(leg.map_or(0, |leg| Self::on(*leg, time.0)) / 1000)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_tempo_decides_when_a_beat_falls() {
        let quarter = Length::QUARTER.ticks().0;
        let slow = (Ticks(4 * quarter), Tempo::new(Length::QUARTER, 60).unwrap());
        let clock = Clock::new(&[(Ticks::ZERO, Tempo::USUAL), slow]);
        let beats: Vec<u64> = (0..7).map(|beat| clock.at(Ticks(beat * quarter)).0).collect();
        assert_eq!(beats, [0, 500, 1000, 1500, 2000, 3000, 4000]);
        // RP-001's example: 6144 ticks of 96 a quarter at 500000 microseconds last 32 s.
        assert_eq!(Clock::new(&[(Ticks::ZERO, Tempo::USUAL)]).at(Ticks(64 * quarter)), Milliseconds(32_000));
    }
}
