//! Builds bars from a system that has a length over every note.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use crate::instrument::neck::StringNumber;
use crate::lesson::music::{Bar, Event, Note, Stroke, Voice};
use crate::lesson::time::Length;
use crate::tab::marks::{self, Mark, Reach};
use crate::tab::signs::StretchSign;

use super::lines::{SourceLine, StringLine, is_bar, is_goes_on};
use super::notes::{self, Digits};
use super::outcome::Guess;

/// The most rows of lengths under the strings.
const MOST_LOWER_VOICES: usize = 3;

/// The bars read so far.
#[derive(Debug, Default)]
pub(super) struct Building {
    pub(super) bars: Vec<Bar>,
    pub(super) notes: Vec<Guess>,
    /// The numbers of lines beside the systems that were read.
    pub(super) used: BTreeSet<usize>,
    /// Whether the last bar goes on in the next system.
    open: bool,
    /// Grace notes whose main note has not come yet.
    waiting: Vec<Note>,
}

impl Building {
    /// Notes a guess.
    pub(super) fn guess(&mut self, line: usize, message: impl Into<String>) {
        self.notes.push(Guess { line, message: message.into() });
    }
}

/// A system: its strings and the rows around them.
pub(super) struct SystemLines<'a> {
    /// The lines between the last system and this one.
    pub(super) gap: &'a [SourceLine],
    /// Those of them that stand directly over the strings.
    pub(super) above: &'a [SourceLine],
    pub(super) strings: Vec<&'a StringLine>,
    /// The number of the first string line.
    pub(super) line: usize,
    pub(super) below: &'a [SourceLine],
    /// The lines from there to the next system.
    pub(super) after: &'a [SourceLine],
    /// Whether it is the last system.
    pub(super) last: bool,
}

/// A mark and where it stands.
struct PlacedMark {
    at: usize,
    width: usize,
    mark: Mark,
    line: usize,
}

/// A bar, or a part of one, as it stands in a system.
#[derive(Debug, Default)]
struct DrawnBar {
    /// The columns of the bar, without bar lines.
    columns: Range<usize>,
    continues: bool,
    goes_on: bool,
    repeat_start: bool,
    repeat_end: bool,
    endings: Vec<u8>,
}

/// What stands in one column.
#[derive(Default)]
struct ExactColumn {
    /// Each voice's event: a length, or a rest of a length.
    lengths: Vec<(usize, Length, bool)>,
    notes: Vec<Note>,
    chord: Option<String>,
    text: Option<String>,
    stroke: Option<Stroke>,
}

/// Returns whether a row holds lengths and nothing else, but for a number in the margin.
fn is_length_row(row: &str, from: usize) -> bool {
    let marks = marks::split(row);
    let mut lengths = marks.iter().filter(|(at, _, _)| *at > from).peekable();
    lengths.peek().is_some()
        && lengths.all(|(_, _, text)| matches!(Mark::read(text), Mark::Length(_) | Mark::Rest(_) | Mark::RestAgain))
}

/// Returns how many of `lines` belong under the strings over them, which begin at column `from`:
/// lengths of lower voices, the count, lines that begin with `*1`. A row with a bar number does not.
pub(super) fn rows_below(lines: &[SourceLine], from: usize) -> usize {
    let counted =
        |text: &str| ["&", "e", "a", "la", "li"].contains(&text) || text.bytes().all(|byte| byte.is_ascii_digit());
    let mut notes = false;
    let below = lines.iter().take_while(|line| {
        let marks = marks::split(&line.text);
        let inside = marks.first().is_some_and(|(at, _, _)| *at > from);
        let row = inside && (is_length_row(&line.text, from) || marks.iter().all(|(_, _, text)| counted(text)));
        let starts_note = line.text.starts_with('*');
        let goes_on = notes && continuation(&line.text).is_some();
        notes |= starts_note;
        starts_note || if notes { goes_on } else { row }
    });
    below.count()
}

impl SystemLines<'_> {
    /// Returns whether the row over the strings gives the lengths.
    pub(super) fn has_lengths(&self) -> bool {
        let from = self.strings.first().map_or(0, |string| string.from);
        let row = |line: &SourceLine| is_length_row(&line.text, from);
        self.above.last().is_some_and(row) || self.below.first().is_some_and(row)
    }

    /// Reads the system into `building`.
    pub(super) fn read(&self, building: &mut Building) {
        let Some(first) = self.strings.first() else { return };
        let mut drawn_bars = drawn_bars(first);
        let marks = self.marks(building);
        spread_endings(&mut drawn_bars, &marks);
        let mut columns = self.columns(&marks, &drawn_bars, building);
        for drawn in drawn_bars {
            let mut here = Vec::new();
            while let Some(entry) = columns.first_entry().filter(|entry| *entry.key() < drawn.columns.end) {
                here.push(entry.remove());
            }
            self.bar(&drawn, here, &marks, building);
        }
    }

    /// Reads all marks over and under the strings.
    fn marks(&self, building: &mut Building) -> Vec<PlacedMark> {
        let from = self.strings.first().map_or(0, |string| string.from);
        let foot = foot_notes(self.below);
        let mut placed = Vec::new();
        for line in self.above {
            for (at, width, text) in marks::split(&line.text) {
                if at <= from {
                    continue;
                }
                let mark = match Mark::read(&text) {
                    Mark::FootNote(number) => match foot.get(&number) {
                        Some(note) => note.clone(),
                        None => {
                            building.guess(line.number, format!("there is no line `*{number}` under the system"));
                            continue;
                        }
                    },
                    mark => mark,
                };
                placed.push(PlacedMark { at, width, mark, line: line.number });
            }
        }
        placed.sort_by_key(|placed| placed.at);
        placed
    }

    /// Collects what stands in each column.
    fn columns(
        &self,
        marks: &[PlacedMark],
        drawn_bars: &[DrawnBar],
        building: &mut Building,
    ) -> BTreeMap<usize, ExactColumn> {
        let mut columns: BTreeMap<usize, ExactColumn> = BTreeMap::new();
        for (index, string) in self.strings.iter().enumerate() {
            let Some(number) = u8::try_from(index + 1).ok().and_then(StringNumber::new) else { continue };
            for drawn in drawn_bars {
                let scan = notes::scan(&string.cells, drawn.columns.clone(), number, '-', Digits::Together);
                for cell in scan.cells {
                    columns.entry(cell.start).or_default().notes.push(cell.note);
                }
                for problem in scan.problems {
                    building.guess(string.number, problem);
                }
            }
        }
        let from = self.strings.first().map_or(0, |string| string.from);
        let lower = self.below.iter().take(MOST_LOWER_VOICES).take_while(|line| is_length_row(&line.text, from));
        let upper = self.above.last().into_iter().map(|line| (0, line));
        for (voice, line) in upper.chain((1..).zip(lower)) {
            // What a bare `r` stands for; a row cannot begin with one.
            let mut last = Length::QUARTER;
            for (at, _, text) in marks::split(&line.text).into_iter().filter(|(at, _, _)| *at > from) {
                let (length, rest) = match Mark::read(&text) {
                    Mark::Length(length) => (length, false),
                    Mark::Rest(length) => (length, true),
                    Mark::RestAgain => (last, true),
                    Mark::Text(_)
                    | Mark::FootNote(_)
                    | Mark::Stroke(_)
                    | Mark::Stretch(_, _)
                    | Mark::Meter(_)
                    | Mark::Tempo(_)
                    | Mark::Key(_)
                    | Mark::Pickup
                    | Mark::Times(_)
                    | Mark::Ending(_)
                    | Mark::Chord(_) => continue,
                };
                last = length;
                columns.entry(at).or_default().lengths.push((voice, length, rest));
            }
        }
        for placed in marks {
            let column = columns.get_mut(&placed.at).filter(|column| !column.lengths.is_empty());
            let slot = match (&placed.mark, column) {
                (Mark::Chord(name), Some(column)) => column.chord.replace(name.clone()).is_none(),
                (Mark::Text(text), Some(column)) => column.text.replace(text.clone()).is_none(),
                (Mark::Stroke(stroke), Some(column)) => column.stroke.replace(*stroke).is_none(),
                (Mark::Chord(words) | Mark::Text(words), None) => {
                    building.guess(
                        placed.line,
                        format!("`{}` is not over a note and was left out", super::lines::excerpt(words)),
                    );
                    true
                }
                (Mark::Stroke(_), None)
                | (
                    Mark::FootNote(_)
                    | Mark::Stretch(_, _)
                    | Mark::Meter(_)
                    | Mark::Tempo(_)
                    | Mark::Key(_)
                    | Mark::Pickup
                    | Mark::Times(_)
                    | Mark::Ending(_)
                    | Mark::Length(_)
                    | Mark::Rest(_)
                    | Mark::RestAgain,
                    _,
                ) => true,
            };
            if !slot {
                building.guess(placed.line, "two marks of one kind are over one note; the last was kept");
            }
        }
        spread_stretches(&mut columns, marks);
        columns
    }

    /// Reads one bar, or a part of one.
    fn bar(&self, drawn: &DrawnBar, columns: Vec<ExactColumn>, marks: &[PlacedMark], building: &mut Building) {
        let continued = drawn.continues && building.open;
        if !continued {
            building.bars.push(Bar::default());
        }
        building.open = drawn.goes_on;
        let Some(mut bar) = building.bars.pop() else { return };
        bar.repeat_start |= drawn.repeat_start;
        if drawn.repeat_end {
            bar.repeat_end = Some(2);
        }
        if !continued {
            bar.endings.clone_from(&drawn.endings);
        }
        let from = marks.partition_point(|placed| placed.at < drawn.columns.start);
        for placed in marks.iter().skip(from).take_while(|placed| placed.at <= drawn.columns.end) {
            head_mark(&mut bar, &placed.mark);
        }
        for column in columns {
            self.column(&mut bar, column, building);
        }
        if !building.waiting.is_empty() && !building.open {
            let message = "notes without a length over them at the end of a bar were given a quarter each";
            building.guess(self.line, message);
            let left: Vec<Event> =
                building.waiting.drain(..).map(|note| Event::notes(Length::QUARTER, vec![note])).collect();
            extend(&mut bar, 0, left);
        }
        building.bars.push(bar);
    }

    /// Adds the events of one column to its voices.
    fn column(&self, bar: &mut Bar, column: ExactColumn, building: &mut Building) {
        let ExactColumn { lengths, mut notes, chord, text, stroke } = column;
        let mut waiting = std::mem::take(&mut building.waiting);
        if lengths.is_empty() {
            waiting.extend(notes);
            building.waiting = waiting;
            return;
        }
        let mut above = Some((chord, text, stroke));
        let sounding = lengths.iter().filter(|(_, _, rest)| !rest).count();
        let count = lengths.len();
        notes.sort_by_key(|note| note.string);
        for (place, (index, length, rest)) in lengths.into_iter().enumerate() {
            let mut event = Event::rest(length);
            if let Some((chord, text, stroke)) = above.take() {
                event.chord = chord;
                event.text = text;
                event.stroke = stroke;
            }
            event.grace = std::mem::take(&mut waiting);
            if !rest {
                // Where two voices start together, the second has the lowest note.
                let shares = sounding > 1 && place + 1 < count;
                let lowest = if shares { notes.len().saturating_sub(1) } else { notes.len() };
                let left = notes.split_off(lowest.max(usize::from(shares)).min(notes.len()));
                event.notes = std::mem::replace(&mut notes, left);
                if event.notes.is_empty() {
                    building.guess(self.line, format!("the length `{length}` is not over a note; it became a rest"));
                }
            }
            extend(bar, index, [event]);
        }
        if let Some(note) = notes.first() {
            building.guess(self.line, format!("a note on string {} under a rest was left out", note.string));
        }
    }
}

/// Adds events to voice `index` of `bar`, which is made if it is not there.
fn extend(bar: &mut Bar, index: usize, events: impl IntoIterator<Item = Event>) {
    while bar.voices.len() <= index {
        bar.voices.push(Voice::default());
    }
    if let Some(voice) = bar.voices.get_mut(index) {
        voice.0.extend(events);
    }
}

/// Takes over a mark that belongs to a whole bar; how often a repeat is played counts where one ends.
fn head_mark(bar: &mut Bar, mark: &Mark) {
    match mark {
        Mark::Meter(meter) => bar.meter = Some(*meter),
        Mark::Tempo(tempo) => bar.tempo = Some(*tempo),
        Mark::Key(key) => bar.key = Some(*key),
        Mark::Pickup => bar.pickup = true,
        Mark::Times(times) => bar.repeat_end = bar.repeat_end.and(Some(*times)),
        // These belong to a column, or to the bars under a bracket.
        Mark::Text(_) | Mark::Chord(_) | Mark::FootNote(_) | Mark::Stroke(_) | Mark::Stretch(..) => {}
        Mark::Ending(_) | Mark::Length(_) | Mark::Rest(_) | Mark::RestAgain => {}
    }
}

/// Gives the bars under a bracket their endings.
fn spread_endings(drawn_bars: &mut [DrawnBar], marks: &[PlacedMark]) {
    for placed in marks {
        let Mark::Ending(endings) = &placed.mark else { continue };
        let from = drawn_bars.partition_point(|drawn| drawn.columns.start < placed.at);
        let under = |drawn: &&mut DrawnBar| drawn.columns.start < placed.at + placed.width;
        for drawn in drawn_bars.iter_mut().skip(from).take_while(under) {
            drawn.endings.clone_from(endings);
        }
    }
}

/// Gives the notes under a line what the line says.
fn spread_stretches(columns: &mut BTreeMap<usize, ExactColumn>, marks: &[PlacedMark]) {
    for placed in marks {
        let Mark::Stretch(stretch, reach) = placed.mark else { continue };
        let end = match reach {
            Reach::Here => placed.at + 1,
            Reach::ToItsEnd => placed.at + placed.width,
        };
        for (_, column) in columns.range_mut(placed.at..end).filter(|(_, column)| !column.lengths.is_empty()) {
            add_to_all(&mut column.notes, stretch);
        }
    }
}

/// Gives every note the technique of `stretch`.
fn add_to_all(notes: &mut [Note], stretch: StretchSign) {
    for note in notes {
        if !note.techniques.contains(&stretch.technique()) {
            note.techniques.push(stretch.technique());
            note.techniques.sort_unstable();
        }
    }
}

/// Reads the lines under a system that begin with `*1`.
fn foot_notes(below: &[SourceLine]) -> BTreeMap<usize, Mark> {
    let mut notes: Vec<(usize, String)> = Vec::new();
    for line in below {
        let start = line.text.strip_prefix('*').and_then(|rest| rest.split_once(' '));
        if let Some((number, words)) = start
            && let Ok(number) = number.parse()
        {
            notes.push((number, words.to_owned()));
        } else if let Some((_, words)) = notes.last_mut()
            && let Some((gap, rest)) = continuation(&line.text)
        {
            words.push_str(gap);
            words.push_str(rest);
        }
    }
    let mark = |words: String| match words.strip_prefix("chord ") {
        Some(name) => Mark::Chord(name.to_owned()),
        None => {
            let inner = words.strip_prefix('"').and_then(|rest| rest.strip_suffix('"'));
            Mark::Text(inner.map_or_else(|| words.clone(), str::to_owned))
        }
    };
    notes.into_iter().map(|(number, words)| (number, mark(words))).collect()
}

/// Returns what goes on in a line under a note: after four spaces with the next word, after three and
/// a `+` inside a word.
fn continuation(text: &str) -> Option<(&'static str, &str)> {
    let cut = text.strip_prefix("   +").map(|rest| ("", rest));
    cut.or_else(|| text.strip_prefix("    ").filter(|rest| !rest.starts_with(' ')).map(|rest| (" ", rest)))
}

/// Finds the bars of a system from its first string.
fn drawn_bars(string: &StringLine) -> Vec<DrawnBar> {
    let cells = &string.cells;
    let at = |index: usize| cells.get(index).copied().unwrap_or(' ');
    let mut drawn_bars: Vec<DrawnBar> = Vec::new();
    let mut open = DrawnBar::default();
    let mut index = string.from;
    let mut start = string.from;
    while index < cells.len() {
        let here = at(index);
        let edge = is_goes_on(here) && (index == string.from || index + 1 == cells.len());
        let colon = here == ':' && is_bar(at(index + 1));
        if !(is_bar(here) || edge || colon) {
            index += 1;
            continue;
        }
        let before = index;
        index += usize::from(colon);
        let line = index;
        while is_bar(at(index)) || (edge && index == line) {
            index += 1;
        }
        let repeat_start = at(index) == ':';
        index += usize::from(repeat_start);
        if before > string.from {
            open.columns = start..before;
            open.repeat_end = colon;
            open.goes_on = edge;
            drawn_bars.push(std::mem::take(&mut open));
        }
        open = DrawnBar { continues: edge && before == string.from, repeat_start, ..DrawnBar::default() };
        start = index;
    }
    if cells.get(start..).unwrap_or_default().iter().any(|sign| !matches!(sign, '-' | ' ')) {
        open.columns = start..cells.len();
        drawn_bars.push(open);
    }
    drawn_bars
}
