//! A bar as columns: one for each moment at which something starts or is counted.

use std::collections::BTreeSet;

use crate::instrument::neck::Fret;
use crate::lesson::music::{Bar, Event, Join, Note, Passage, Voice};
use crate::lesson::time::{Meter, Ticks};
use crate::tab::marks;
use crate::tab::ties::OpenTies;
use crate::text::charset::Charset;
use crate::text::safe::one_line;
use crate::text::width::width;

use super::count;
use super::legend::{self, Used};
use super::note_sign::{NoteOnset, NoteSign, note_sign};
use crate::tab::signs::{self, StretchSign};

/// One moment of a bar.
#[derive(Debug, Clone, Default)]
pub(super) struct Column {
    /// When it comes, counted from the start of the bar.
    pub(super) tick: Ticks,
    /// What stands on the strings.
    pub(super) cells: Vec<Cell>,
    /// The length of the event of each voice that starts here.
    pub(super) lengths: Vec<(usize, String)>,
    /// The events that start here, as voice and place in the voice.
    pub(super) events: Vec<(usize, usize)>,
    /// The chord name over it, cleaned.
    pub(super) chord: Option<String>,
    /// The words over it, cleaned.
    pub(super) text: Option<String>,
    /// The stroke over it.
    pub(super) stroke: Option<&'static str>,
    /// The ways of playing that all notes of the column share.
    pub(super) shared: Vec<StretchSign>,
    /// What is counted here.
    pub(super) count: Option<String>,
    /// Whether a numbered beat begins here.
    pub(super) on_beat: bool,
    /// Whether it is a grace note, which takes no time of its own.
    pub(super) grace: bool,
}

/// What one string shows in a column.
#[derive(Debug, Clone)]
pub(super) struct Cell {
    /// The string's line, 0 on top.
    pub(super) row: usize,
    /// The signs.
    pub(super) sign: String,
    /// The signs with bends named by the pitch they reach, where that is another text.
    pub(super) by_pitch: Option<String>,
    /// Whether the last sign leads to the next note on the string.
    pub(super) leads: bool,
}

impl Column {
    /// Returns whether a note or rest starts here that takes time.
    pub(super) fn is_start(&self) -> bool {
        !self.grace && !self.lengths.is_empty()
    }

    /// Returns whether nothing starts here.
    pub(super) fn is_silent(&self) -> bool {
        self.cells.is_empty()
    }

    /// Returns the room in which the column reads well before `next` begins.
    pub(super) fn room(&self, next: Option<&Self>) -> usize {
        let cells = self.cells.iter().map(|cell| {
            let tight = next.is_some_and(|next| {
                cell.leads && next.cells.iter().all(|other| other.row != cell.row || other.may_touch())
            });
            cell.sign.len() + usize::from(!tight)
        });
        let lengths = self.lengths.iter().map(|(_, sign)| sign.len() + 1);
        let count = self.count.iter().map(|count| count.len() + 1);
        let stroke = self.stroke.iter().map(|stroke| width(stroke) + 1);
        let words = if self.chord.is_some() || self.text.is_some() { 3 } else { 2 };
        cells.chain(lengths).chain(count).chain(stroke).max().unwrap_or(2).max(words)
    }
}

impl Cell {
    /// Returns the signs with bends named by the pitch they reach.
    fn in_pitches(&self) -> &str {
        self.by_pitch.as_deref().unwrap_or(&self.sign)
    }

    /// Names bends by the pitch they reach; returns whether that changed anything.
    pub(super) fn name_pitches(&mut self) -> bool {
        let by_pitch = self.by_pitch.take();
        let changes = by_pitch.is_some();
        self.sign = by_pitch.unwrap_or_else(|| std::mem::take(&mut self.sign));
        changes
    }

    /// Returns whether it may follow a sign that leads to it without a gap.
    pub(super) fn may_touch(&self) -> bool {
        self.sign.starts_with(|first: char| first.is_ascii_digit() || "x(<".contains(first))
    }
}

/// A bar as columns, with what stands at its ends.
#[derive(Debug, Clone)]
pub(super) struct Measure {
    /// Its columns in order.
    pub(super) columns: Vec<Column>,
    /// Its length.
    pub(super) ticks: Ticks,
    /// How long a bar is by the time signature that holds.
    pub(super) whole: Ticks,
}

/// Turns bars into columns, one after the other, and remembers the signs used.
pub(super) struct ColumnMaker<'a> {
    passage: &'a Passage,
    charset: Charset,
    meters: Vec<Meter>,
    /// For each bar, voice and string line: the fret the next note after the bar lies at.
    later: Vec<NextFrets>,
    /// The ties that wait for their second note.
    ties: OpenTies,
    pub(super) used: BTreeSet<Used>,
}

/// The fret of the next note on a string, for each voice and string line.
type NextFrets = Vec<Vec<Option<Fret>>>;

impl<'a> ColumnMaker<'a> {
    /// Returns the columns of `passage`, an excerpt that the bars `after` follow.
    pub(super) fn new(passage: &'a Passage, after: &[Bar], charset: Charset) -> Self {
        let mut meter = passage.meter;
        let meters = passage.bars.iter().map(|bar| {
            meter = bar.meter.unwrap_or(meter);
            meter
        });
        let meters = meters.collect();
        Self {
            passage,
            charset,
            meters,
            later: frets_after_each_bar(&passage.bars, after),
            ties: OpenTies::default(),
            used: BTreeSet::new(),
        }
    }

    /// Returns bar `index` as columns.
    pub(super) fn measure(&mut self, index: usize) -> Measure {
        let nothing = Measure { columns: Vec::new(), ticks: Ticks::ZERO, whole: Ticks::ZERO };
        let Some(bar) = self.passage.bars.get(index) else { return nothing };
        let meter = self.meters.get(index).copied().unwrap_or(Meter::COMMON);
        let ticks = bar.voices.iter().map(Voice::ticks).max().unwrap_or_default();
        let mut starts: Vec<Start> = Vec::new();
        for (voice, line) in bar.voices.iter().enumerate() {
            starts.extend(line.timed().enumerate().map(|(place, (tick, event))| Start { tick, voice, place, event }));
        }
        starts.sort_by_key(|start| (start.tick, start.voice));
        let mut frets = FretsAhead::new(bar, self.later.get(index));
        let mut columns: Vec<Column> = Vec::new();
        let mut rest = starts.as_slice();
        while let Some((first, after)) = rest.split_first() {
            rest = after;
            match after.split_first() {
                Some((second, after)) if shares_column(first, second, after.first()) => {
                    rest = after;
                    self.add(&mut columns, &[first, second], &mut frets);
                }
                _ => self.add(&mut columns, &[first], &mut frets),
            }
        }
        let late = if bar.pickup { Ticks(meter.ticks().0.saturating_sub(ticks.0)) } else { Ticks::ZERO };
        let mut moments: Vec<Ticks> = starts.iter().map(|start| start.tick).collect();
        moments.dedup();
        let counts = count::row(meter, late, ticks, &moments);
        self.used.insert(Used::BarNumber);
        self.used.extend(bar.tempo.map(|tempo| Used::Tempo(tempo.beat().value(), tempo.beat().dots())));
        self.used.extend((!counts.is_empty()).then_some(Used::Count));
        self.used.extend(counts.iter().any(|(_, word)| word == count::TRIPLET[1]).then_some(Used::CountInThrees));
        add_counts(&mut columns, counts);
        let beat = meter.beat().0.max(1);
        if columns.is_empty() {
            columns.push(Column::default());
        }
        for column in &mut columns {
            column.on_beat = !column.grace && (column.tick.0 + late.0).is_multiple_of(beat);
        }
        Measure { columns, ticks, whole: meter.ticks() }
    }

    /// Adds the column of `starts`, after the columns of its grace notes.
    fn add(&mut self, columns: &mut Vec<Column>, starts: &[&Start], frets: &mut FretsAhead) {
        for start in starts {
            for note in &start.event.grace {
                frets.pass(start.voice, note);
                let cell = self.cell(start, note, &[], frets.next(start.voice, note));
                let grace = Column { tick: start.tick, cells: vec![cell], grace: true, ..Column::default() };
                columns.push(grace);
                self.used.insert(Used::Grace);
            }
        }
        let mut column = Column { tick: starts.first().map_or(Ticks::ZERO, |start| start.tick), ..Column::default() };
        let notes = || starts.iter().flat_map(|start| &start.event.notes);
        let shared = |stretch: &StretchSign| {
            notes().next().is_some() && notes().all(|note| note.techniques.contains(&stretch.technique()))
        };
        column.shared = StretchSign::ALL.into_iter().filter(shared).collect();
        for start in starts {
            self.add_event(&mut column, start, frets);
        }
        columns.push(column);
    }

    /// Adds one event to its column.
    fn add_event(&mut self, column: &mut Column, start: &Start, frets: &mut FretsAhead) {
        let event = start.event;
        for note in &event.notes {
            frets.pass(start.voice, note);
        }
        for note in &event.notes {
            let cell = self.cell(start, note, &column.shared, frets.next(start.voice, note));
            match column.cells.iter_mut().find(|other| other.row == cell.row) {
                Some(same) => {
                    same.by_pitch = (same.by_pitch.is_some() || cell.by_pitch.is_some())
                        .then(|| format!("{}&{}", same.in_pitches(), cell.in_pitches()));
                    same.sign = format!("{}&{}", same.sign, cell.sign);
                    same.leads = cell.leads;
                    self.used.insert(Used::SameString);
                }
                None => column.cells.push(cell),
            }
        }
        for stretch in &column.shared {
            self.used.insert(Used::Stretch(*stretch));
        }
        legend::mark_length(event.length, &mut self.used);
        let mut length = signs::length(event.length);
        if event.is_rest() {
            self.used.insert(Used::Rest(event.length));
            length.insert(0, 'r');
        }
        if start.voice > 0 {
            self.used.insert(Used::LowerVoice);
        }
        column.lengths.push((start.voice, length));
        column.events.push((start.voice, start.place));
        column.chord = column.chord.take().or_else(|| one_line(event.chord.as_deref()?, self.charset));
        column.text = column.text.take().or_else(|| one_line(event.text.as_deref()?, self.charset));
        self.used.extend(column.chord.as_deref().is_some_and(marks::is_no_chord).then_some(Used::NoChord));
        if let Some(stroke) = event.stroke {
            self.used.insert(Used::Stroke(stroke));
            column.stroke = Some(signs::stroke(stroke, self.charset));
        }
    }

    /// Writes one note.
    fn cell(&mut self, start: &Start, note: &Note, over: &[StretchSign], next: Option<Fret>) -> Cell {
        let (voice, opens_bar) = (start.voice, start.place == 0);
        let begins = if self.ties.pass(voice, note) { NoteOnset::Tied } else { NoteOnset::Anew };
        self.used.extend((opens_bar && begins == NoteOnset::Tied).then_some(Used::TiedOver));
        let NoteSign { text, by_pitch, leads } = note_sign(note, begins, next, over, &mut self.used);
        Cell { row: string_row(note), sign: text, by_pitch, leads }
    }
}

/// An event and when it starts.
struct Start<'a> {
    tick: Ticks,
    voice: usize,
    place: usize,
    event: &'a Event,
}

/// Returns whether two events can stand in one column so that it stays clear which note belongs to
/// which: the second voice then has one note, below all others, and nothing else of its own.
fn shares_column(first: &Start, second: &Start, third: Option<&Start>) -> bool {
    let (upper, lower) = (first.event, second.event);
    let together = first.tick == second.tick && (first.voice, second.voice) == (0, 1);
    let alone = third.is_none_or(|third| third.tick != first.tick);
    let bare = upper.grace.is_empty()
        && lower.grace.is_empty()
        && (lower.chord.is_none() && lower.text.is_none() && lower.stroke.is_none());
    let apart = upper.is_rest()
        || match lower.notes.as_slice() {
            [] => true,
            [bass] => upper.notes.iter().all(|note| note.string < bass.string),
            _ => false,
        };
    together && alone && bare && apart
}

/// Writes the counts into the columns, adding columns for what is counted while a note lasts.
fn add_counts(columns: &mut Vec<Column>, counts: Vec<(Ticks, String)>) {
    if counts.is_empty() {
        return;
    }
    let old = std::mem::take(columns);
    let mut counts = counts.into_iter().peekable();
    for mut column in old {
        while let Some((tick, count)) = counts.next_if(|(tick, _)| *tick < column.tick) {
            columns.push(Column { tick, count: Some(count), ..Column::default() });
        }
        if !column.grace
            && let Some((_, count)) = counts.next_if(|(tick, _)| *tick == column.tick)
        {
            column.count = Some(count);
        }
        columns.push(column);
    }
    columns.extend(counts.map(|(tick, count)| Column { tick, count: Some(count), ..Column::default() }));
}

/// Returns the line of the note's string, 0 on top.
pub(super) fn string_row(note: &Note) -> usize {
    usize::from(note.string.number()).saturating_sub(1)
}

/// Finds the next note on a string while the events of a bar are written in order.
struct FretsAhead {
    /// For each voice and line, the frets still to come, last first.
    ahead: Vec<Vec<Vec<Fret>>>,
    /// For each voice and line, the fret that follows after the bar.
    later: NextFrets,
}

impl FretsAhead {
    fn new(bar: &Bar, later: Option<&NextFrets>) -> Self {
        let mut ahead: Vec<Vec<Vec<Fret>>> = Vec::new();
        for voice in &bar.voices {
            let mut lines: Vec<Vec<Fret>> = Vec::new();
            for note in in_order(&voice.0).rev() {
                let row = string_row(note);
                if lines.len() <= row {
                    lines.resize(row + 1, Vec::new());
                }
                if let Some(line) = lines.get_mut(row) {
                    line.push(note.fret);
                }
            }
            ahead.push(lines);
        }
        Self { ahead, later: later.cloned().unwrap_or_default() }
    }

    /// Leaves `note` behind.
    fn pass(&mut self, voice: usize, note: &Note) {
        if let Some(line) = self.ahead.get_mut(voice).and_then(|lines| lines.get_mut(string_row(note))) {
            line.pop();
        }
    }

    /// Returns the fret of the next note on the string of `note`, which has been passed.
    fn next(&self, voice: usize, note: &Note) -> Option<Fret> {
        let row = string_row(note);
        let here = self.ahead.get(voice).and_then(|lines| lines.get(row)).and_then(|line| line.last());
        here.copied().or_else(|| self.later.get(voice).and_then(|lines| lines.get(row)).copied().flatten())
    }
}

/// Returns all notes of a voice in the order in which they sound, grace notes first.
fn in_order(events: &[Event]) -> impl DoubleEndedIterator<Item = &Note> {
    events.iter().flat_map(|event| event.grace.iter().chain(&event.notes))
}

/// Returns for each of `bars`, then of those `after` them, what comes after it. Only joins that wait at
/// the end of a bar need it.
fn frets_after_each_bar(bars: &[Bar], after: &[Bar]) -> Vec<NextFrets> {
    let mut result = vec![NextFrets::new(); bars.len() + after.len()];
    let mut next: NextFrets = Vec::new();
    for (bar, slot) in bars.iter().chain(after).rev().zip(result.iter_mut().rev()) {
        let waits = bar.voices.iter().any(|voice| in_order(&voice.0).any(|note| note.join == Some(Join::Slide)));
        if waits {
            slot.clone_from(&next);
        }
        for (index, voice) in bar.voices.iter().enumerate() {
            if next.len() <= index {
                next.resize(index + 1, Vec::new());
            }
            let Some(lines) = next.get_mut(index) else { continue };
            for note in in_order(&voice.0).rev() {
                let row = string_row(note);
                if lines.len() <= row {
                    lines.resize(row + 1, None);
                }
                if let Some(line) = lines.get_mut(row) {
                    *line = Some(note.fret);
                }
            }
        }
    }
    result
}
