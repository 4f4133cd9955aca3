//! From the file's ticks to places that can be written.
//!
//! Each beat gets the coarsest division that its notes fit: sixteenths, triplets, thirty-seconds or
//! sextuplets. A note that ends a little before or after the next one begins is held until then.

use std::collections::BTreeMap;

use midly::{MetaMessage, TrackEvent, TrackEventKind};

use super::error::MidiError;
use super::parts::{RawNote, TrackPart};
use crate::instrument::placement::line::Pin;
use crate::lesson::placing::timed::{TimedLine, TimedNote};
use crate::lesson::time::{Length, Meter, NoteValue, Tempo, Ticks};
use crate::theory::pitch::MidiNote;
use crate::theory::symbol::ChordSymbol;

/// The divisions of a quarter note, each with what it costs a note to need it, in beats. All divide
/// a quarter's [`Ticks`] evenly.
const DIVISIONS: [(u64, f64); 4] = [(4, 0.0), (3, 0.015), (8, 0.02), (6, 0.03)];
/// A note that lasts this part of the way to the next one is written up to it.
const LEGATO: f64 = 0.6;
/// A note that ends this soon after the next has begun, in beats, overlaps it only by the way it was played.
const SLOPPY: f64 = 0.2;

/// Puts the notes of a part, and the meters and tempos of `timing`, on the grid.
pub(super) fn line(
    part: &TrackPart,
    timing: &[&Vec<TrackEvent<'_>>],
    division: u64,
) -> Result<(TimedLine, Vec<String>), MidiError> {
    let mut remarks = Vec::new();
    let (tempos, meters) = changes(timing, division, &mut remarks);
    let chords = named_chords(timing, division);
    let mut line = TimedLine { notes: Vec::new(), meters, tempos, chords, end: Ticks::ZERO };
    let grid = BeatGrid::of(&part.notes, division);
    let mut starts: Vec<u64> = part.notes.iter().map(|note| note.start).collect();
    starts.dedup();
    let mut moved = MovedTimes::default();
    for note in &part.notes {
        let start = grid.nearest(note.start);
        let next = starts.get(starts.partition_point(|start| *start <= note.start)).copied();
        let end = grid.end(*note, start, next);
        moved.add(start, note.start, division);
        moved.add(end, note.end, division);
        let length = Ticks(end.0.saturating_sub(start.0));
        line.notes.push(TimedNote { start, length, written: None, pitch: note.pitch, pin: Pin::default() });
    }
    line.notes.sort_by_key(|note| (note.start, note.pitch));
    let before = line.notes.len();
    line.notes.dedup_by_key(|note| (note.start, note.pitch));
    end_where_struck_again(&mut line.notes);
    line.end = line.notes.iter().map(|note| note.start + note.length).max().unwrap_or_default();
    if line.end.0 / Ticks::WHOLE.0 > TimedLine::MOST_BARS {
        return Err(MidiError::TooLong);
    }
    remarks.extend(moved.told(part.notes.len()));
    remarks.extend(told(
        before - line.notes.len(),
        "note is",
        "notes are",
        "left out: the same note starts there already",
    ));
    remarks.extend(told(
        part.endless,
        "note never ends in the file and sounds",
        "notes never end in the file and sound",
        "to its last event",
    ));
    Ok((line, remarks))
}

/// Ends a note where the same one is struck again.
fn end_where_struck_again(notes: &mut [TimedNote]) {
    let mut next: BTreeMap<MidiNote, Ticks> = BTreeMap::new();
    for note in notes.iter_mut().rev() {
        if let Some(again) = next.insert(note.pitch, note.start) {
            note.length = note.length.min(Ticks(again.0.saturating_sub(note.start.0)));
        }
    }
}

fn told(count: usize, one: &str, more: &str, what: &str) -> Option<String> {
    match count {
        0 => None,
        1 => Some(format!("1 {one} {what}")),
        count => Some(format!("{count} {more} {what}")),
    }
}

/// The division that each beat has.
struct BeatGrid {
    file: u64,
    beats: BTreeMap<u64, u64>,
}

impl BeatGrid {
    fn of(notes: &[RawNote], file: u64) -> Self {
        let mut inside: BTreeMap<u64, Vec<f64>> = BTreeMap::new();
        for note in notes {
            inside.entry(note.start / file).or_default().push((note.start % file) as f64 / file as f64);
        }
        let best = |offsets: &Vec<f64>| {
            let off = |parts: u64, offset: f64| {
                (offset * parts as f64 - (offset * parts as f64).round()).abs() / parts as f64
            };
            let cost = |parts: u64, fee: f64| offsets.iter().map(|offset| off(parts, *offset) + fee).sum::<f64>();
            let costs = DIVISIONS.iter().map(|(parts, fee)| (*parts, cost(*parts, *fee)));
            costs.min_by(|(_, a), (_, b)| a.total_cmp(b)).map_or(4, |(parts, _)| parts)
        };
        let beats = inside.iter().map(|(beat, offsets)| (*beat, best(offsets))).collect();
        Self { file, beats }
    }

    fn parts(&self, beat: u64) -> u64 {
        self.beats.get(&beat).copied().unwrap_or(4)
    }

    /// Returns the place on the grid nearest to `tick` of the file.
    fn nearest(&self, tick: u64) -> Ticks {
        let (beat, inside) = (tick / self.file, tick % self.file);
        let parts = self.parts(beat);
        let step = (inside * parts * 2 + self.file) / (self.file * 2);
        let quarter = NoteValue::Quarter.ticks().0;
        Ticks(beat.saturating_mul(quarter).saturating_add(step * quarter / parts))
    }

    /// Returns where a note that starts at `start` is written to end.
    fn end(&self, note: RawNote, start: Ticks, next: Option<u64>) -> Ticks {
        let parts = self.parts(note.start / self.file);
        let shortest = Ticks(start.0 + NoteValue::Quarter.ticks().0 / parts);
        if let Some(next) = next {
            let way = (next - note.start) as f64;
            let played = (note.end - note.start) as f64;
            let late = (note.end.saturating_sub(next)) as f64 / self.file as f64;
            let onto_next = self.nearest(next);
            // A long silence is meant, however much of the way was played.
            let early = (next.saturating_sub(note.end)) as f64 / self.file as f64;
            let joined = played >= way * LEGATO && early <= 0.5 && late <= SLOPPY;
            if joined && onto_next > start {
                return onto_next;
            }
        }
        self.nearest(note.end).max(shortest)
    }
}

/// A count of what was moved, and how far.
#[derive(Default)]
struct MovedTimes {
    count: usize,
    /// The farthest that something was moved, in thousandths of a quarter.
    most: u64,
}

impl MovedTimes {
    fn add(&mut self, written: Ticks, played: u64, division: u64) {
        let quarter = u128::from(NoteValue::Quarter.ticks().0);
        let played = u128::from(played) * quarter;
        let written = u128::from(written.0) * u128::from(division);
        let off = played.abs_diff(written) * 1000 / (quarter * u128::from(division));
        if played != written {
            self.count += 1;
            self.most = self.most.max(u64::try_from(off).unwrap_or(u64::MAX));
        }
    }

    fn told(&self, notes: usize) -> Option<String> {
        (self.count > 0).then(|| {
            let (whole, rest) = (self.most / 1000, self.most % 1000);
            format!(
                "{} of {} starts and ends moved to sixteenths, triplets or thirty-seconds, at most {whole}.{rest:03} of a quarter",
                self.count,
                notes * 2
            )
        })
    }
}

type TimingChanges = (Vec<(Ticks, Tempo)>, Vec<(Ticks, Meter)>);

/// Returns tempos and meters. A file without any has 120 quarters a minute and 4/4 (RP-001).
fn changes(timing: &[&Vec<TrackEvent<'_>>], division: u64, remarks: &mut Vec<String>) -> TimingChanges {
    let mut tempos: BTreeMap<u64, Tempo> = BTreeMap::from([(0, Tempo::USUAL)]);
    let mut meters: BTreeMap<u64, Meter> = BTreeMap::from([(0, Meter::COMMON)]);
    let (mut odd_tempos, mut odd_meters) = (0, 0);
    for track in timing {
        let mut clock = 0u64;
        for event in track.iter() {
            clock = clock.saturating_add(u64::from(event.delta.as_int()));
            let at = clock.saturating_mul(NoteValue::Quarter.ticks().0) / division;
            match event.kind {
                TrackEventKind::Meta(MetaMessage::Tempo(microseconds)) => {
                    let (tempo, exact) = tempo(microseconds.as_int());
                    odd_tempos += usize::from(!exact);
                    tempos.insert(at, tempo);
                }
                TrackEventKind::Meta(MetaMessage::TimeSignature(beats, unit, ..)) => {
                    let unit = 1u8.checked_shl(u32::from(unit)).and_then(NoteValue::from_denominator);
                    match unit.and_then(|unit| Meter::new(beats, unit)) {
                        Some(meter) => _ = meters.insert(at, meter),
                        None => odd_meters += 1,
                    }
                }
                _ => {}
            }
        }
    }
    let rounded = "rounded to whole beats per minute from 10 to 600";
    remarks.extend(told(odd_tempos, "tempo is", "tempos are", rounded));
    remarks.extend(told(
        odd_meters,
        "time signature is",
        "time signatures are",
        "left out: there is no such note value or number of beats",
    ));
    let mut last = None;
    tempos.retain(|_, tempo| last.replace(*tempo) != Some(*tempo));
    let in_ticks = |(at, tempo)| (Ticks(at), tempo);
    (tempos.into_iter().map(in_ticks).collect(), on_bar_lines(&meters, remarks))
}

/// Returns the chords that markers of the file name. Other markers are left alone: they say what they like.
fn named_chords(timing: &[&Vec<TrackEvent<'_>>], division: u64) -> Vec<(Ticks, ChordSymbol)> {
    let mut chords: BTreeMap<u64, ChordSymbol> = BTreeMap::new();
    for track in timing {
        let mut clock = 0u64;
        for event in track.iter() {
            clock = clock.saturating_add(u64::from(event.delta.as_int()));
            let TrackEventKind::Meta(MetaMessage::Marker(text)) = event.kind else { continue };
            if let Ok(symbol) = String::from_utf8_lossy(text).trim().parse() {
                chords.insert(clock.saturating_mul(NoteValue::Quarter.ticks().0) / division, symbol);
            }
        }
    }
    chords.into_iter().map(|(at, symbol)| (Ticks(at), symbol)).collect()
}

/// Moves each change of meter to the next bar line.
fn on_bar_lines(meters: &BTreeMap<u64, Meter>, remarks: &mut Vec<String>) -> Vec<(Ticks, Meter)> {
    let mut placed: Vec<(Ticks, Meter)> = Vec::new();
    let mut moved = 0;
    for (at, meter) in meters {
        let Some((start, before)) = placed.last().copied() else {
            placed.push((Ticks(*at), *meter));
            continue;
        };
        if before == *meter {
            continue;
        }
        let bar = before.ticks().0;
        let since = at.saturating_sub(start.0);
        moved += usize::from(since % bar != 0);
        let line = Ticks(start.0 + since.div_ceil(bar) * bar);
        if line == start {
            placed.pop();
        }
        placed.push((line, *meter));
    }
    remarks.extend(told(
        moved,
        "change of time signature is",
        "changes of time signature are",
        "moved to the next bar line",
    ));
    placed
}

/// Returns the tempo of a quarter that lasts so long, and whether it came out exact.
fn tempo(microseconds: u32) -> (Tempo, bool) {
    const MINUTE: u32 = 60_000_000;
    let quarter = microseconds.max(1);
    let per_minute = (MINUTE + quarter / 2) / quarter;
    let limited = u16::try_from(per_minute.clamp(10, 600)).unwrap_or(600);
    // Files keep whole microseconds, so that most tempos are off by a hair; that is not worth a word.
    let exact = u32::from(limited) == per_minute && (MINUTE / per_minute).abs_diff(quarter) <= 1;
    (Tempo::new(Length::QUARTER, limited).unwrap_or(Tempo::USUAL), exact)
}
