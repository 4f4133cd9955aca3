//! Builds bars from a system without rhythm, as old files have them.

use std::ops::Range;

use crate::instrument::neck::StringNumber;
use crate::lesson::music::{Bar, Event, Join, Technique, Voice};
use crate::lesson::time::Meter;

use super::exact::{Building, SystemLines};
use super::lengths::{self, Grid, GridSteps};
use super::lines::{StringLine, is_bar};
use super::notes::{self, Digits, WrittenNote};
use super::raw_bar::{RawBar, RawColumn};
use super::rows_beside;

/// Where the bars of one string lie.
#[derive(Debug, Default, Clone, PartialEq)]
struct Cut {
    columns: Range<usize>,
    repeat_start: bool,
    repeat_end: bool,
    closed: bool,
}

/// Reads the notes of a system, bar by bar. `first` is the line of the first string.
pub(super) fn raw_bars(system: &SystemLines, building: &mut Building) -> Vec<RawBar> {
    let fill = fill(&system.strings);
    let digits = digits(&system.strings);
    if digits == Digits::Apart {
        building.guess(system.line, "digits touch without making frets, so each digit was read as a note");
    }
    if fill != '-' {
        building.guess(system.line, format!("`{fill}` was read as the string itself"));
    }
    let cuts = cuts(system, building);
    let count = cuts.iter().map(Vec::len).max().unwrap_or(0);
    let mut bars: Vec<RawBar> = Vec::new();
    for index in 0..count {
        let mut cells: Vec<(usize, usize, WrittenNote)> = Vec::new();
        let mut bar = RawBar { line: system.line, closed: true, ..RawBar::default() };
        let here = || cuts.iter().filter_map(|cuts| cuts.get(index)).map(|cut| &cut.columns);
        // Where the right ends are flush, labels of different widths have eaten into the strings.
        let flush = here().map(|columns| columns.end).min() == here().map(|columns| columns.end).max();
        let left = here().map(|columns| columns.start).min().unwrap_or(0);
        let top =
            cuts.first().and_then(|cuts| cuts.get(index)).map_or(0, |cut| if flush { left } else { cut.columns.start });
        for (row, (string, cuts)) in system.strings.iter().zip(&cuts).enumerate() {
            let number = u8::try_from(row + 1).ok().and_then(StringNumber::new);
            let (Some(number), Some(cut)) = (number, cuts.get(index)) else { continue };
            let start = if flush { left } else { cut.columns.start };
            bar.width = bar.width.max(cut.columns.end.saturating_sub(start));
            bar.repeat_start |= cut.repeat_start;
            bar.repeat_end = if cut.repeat_end { Some(2) } else { bar.repeat_end };
            bar.closed &= cut.closed;
            let scan = notes::scan(&string.cells, cut.columns.clone(), number, fill, digits);
            for problem in scan.problems {
                building.guess(string.number, problem);
            }
            let mut found = scan.cells;
            loose_ends(&mut found, string.number, building);
            cells.extend(found.into_iter().map(|cell| (cell.core.start - start, cell.core.end - start, cell)));
        }
        bar.columns = together(cells, top);
        bars.push(bar);
    }
    rows_beside::rows_above(system, &mut bars, building);
    for line in system.below {
        building.guess(line.number, rows_beside::left_out(line));
    }
    rows_beside::trailing(system, &mut bars, building);
    rows_beside::times_under(system, &mut bars, building);
    bars
}

/// Returns the sign that strings are drawn with, where it is not the dash.
fn fill(strings: &[&StringLine]) -> char {
    const FILLS: [char; 7] = ['-', '=', '_', '.', '~', '\'', ','];
    let mut counts = [0usize; FILLS.len()];
    for sign in strings.iter().flat_map(|string| &string.cells) {
        if let Some(count) = FILLS.iter().position(|fill| fill == sign).and_then(|place| counts.get_mut(place)) {
            *count += 1;
        }
    }
    let most = counts.iter().zip(FILLS).max_by_key(|(count, fill)| (**count, *fill == '-'));
    most.filter(|(count, _)| **count > 0).map_or('-', |(_, fill)| fill)
}

/// Returns whether digits that touch are notes of their own: three or more in a row make no fret.
fn digits(strings: &[&StringLine]) -> Digits {
    let packed = strings.iter().any(|string| {
        let mut run = 0;
        string.cells.iter().any(|sign| {
            run = if sign.is_ascii_digit() { run + 1 } else { 0 };
            run > 2
        })
    });
    if packed { Digits::Apart } else { Digits::Together }
}

/// Cuts every string at its bar lines, or at those they have in common where the strings disagree.
fn cuts(system: &SystemLines, building: &mut Building) -> Vec<Vec<Cut>> {
    let mut own: Vec<Vec<Cut>> = system
        .strings
        .iter()
        .map(|string| cut(&string.cells, string.from, |at| string.cells.get(at).copied().is_some_and(is_bar)))
        .collect();
    let count = own.iter().map(Vec::len).min().unwrap_or(0);
    for (cuts, string) in own.iter_mut().zip(&system.strings) {
        // A string drawn on behind the last bar line is no bar.
        let spare = |cut: &Cut| {
            !cut.closed && !string.cells.get(cut.columns.clone()).unwrap_or_default().iter().any(char::is_ascii_digit)
        };
        if cuts.len() == count + 1 && cuts.last().is_some_and(spare) {
            cuts.pop();
        }
    }
    silent_as_the_rest(&mut own, &system.strings);
    let count = own.iter().map(Vec::len).min().unwrap_or(0);
    if own.iter().all(|cuts| cuts.len() == count) {
        return own;
    }
    building.guess(system.line, "the strings disagree about the bar lines; those that most strings have were kept");
    let width = system.strings.iter().map(|string| string.cells.len()).max().unwrap_or(0);
    let common: Vec<bool> = (0..width)
        .map(|at| {
            let here = system.strings.iter().filter(|string| string.cells.get(at).copied().is_some_and(is_bar)).count();
            here * 2 > system.strings.len()
        })
        .collect();
    let from = system.strings.iter().map(|string| string.from).min().unwrap_or(0);
    let blank = vec![' '; width];
    let long: Vec<char> =
        system.strings.iter().max_by_key(|string| string.cells.len()).map_or(blank, |string| string.cells.clone());
    let shared = cut(&long, from, |at| common.get(at).copied().unwrap_or(false));
    system.strings.iter().map(|_| shared.clone()).collect()
}

/// Gives a string on which nothing is played and whose bar lines are missing those of another string.
fn silent_as_the_rest(own: &mut [Vec<Cut>], strings: &[&StringLine]) {
    let played =
        |string: &StringLine| string.cells.iter().any(|sign| sign.is_ascii_digit() || matches!(sign, 'x' | 'X'));
    let drawn = own.iter().zip(strings).filter(|(_, string)| played(string)).map(|(cuts, _)| cuts);
    let Some(model) = drawn.max_by_key(|cuts| cuts.len()).or_else(|| own.iter().max_by_key(|cuts| cuts.len())).cloned()
    else {
        return;
    };
    for (cuts, _) in own.iter_mut().zip(strings).filter(|(cuts, string)| !played(string) && cuts.len() != model.len()) {
        cuts.clone_from(&model);
    }
}

/// Cuts one string where `bar` says that a bar line stands.
fn cut(cells: &[char], from: usize, bar: impl Fn(usize) -> bool) -> Vec<Cut> {
    let at = |index: usize| cells.get(index).copied().unwrap_or(' ');
    let dots = |index: usize| matches!(at(index), ':' | '*' | 'o');
    let mut cuts: Vec<Cut> = Vec::new();
    let mut open = Cut::default();
    let mut start = from;
    let mut index = from;
    while index < cells.len() {
        if !bar(index) {
            index += 1;
            continue;
        }
        let line = index;
        while bar(index) {
            index += 1;
        }
        let double = index - line > 1 || at(line) == '║';
        let dotted = line > start && (at(line - 1) == ':' || (double && dots(line - 1)));
        let end = if dotted { line - 1 } else { line };
        if end > start && (line > from) {
            open.columns = start..end;
            open.repeat_end = dotted;
            open.closed = true;
            cuts.push(std::mem::take(&mut open));
        }
        let starts = at(index) == ':' || (double && dots(index));
        index += usize::from(starts);
        open.repeat_start = starts;
        start = index;
    }
    let rest = cells.get(start..).unwrap_or_default();
    if rest.iter().any(|sign| !matches!(sign, ' ')) && rest.len() > 1 {
        open.columns = start..cells.len();
        cuts.push(open);
    }
    cuts
}

/// Puts notes whose numbers overlap into one column.
fn together(mut cells: Vec<(usize, usize, WrittenNote)>, top: usize) -> Vec<RawColumn> {
    cells.sort_by_key(|(start, _, cell)| (*start, cell.note.string));
    let mut columns: Vec<RawColumn> = Vec::new();
    let mut until = 0;
    for (start, end, cell) in cells {
        let joins = columns
            .last()
            .is_some_and(|column| start < until && column.notes.iter().all(|note| note.string != cell.note.string));
        if !joins {
            columns.push(RawColumn { offset: start, at: top + start, ..RawColumn::default() });
            until = end;
        }
        until = until.max(end);
        if let Some(column) = columns.last_mut() {
            column.signs_before = column.signs_before.max(cell.core.start.saturating_sub(cell.start));
            column.notes.push(cell.note);
            column.notes.sort_by_key(|note| note.string);
        }
    }
    columns
}

/// Turns a slide that leads to no note of its bar into a slide out, and drops other joins that do.
fn loose_ends(cells: &mut [WrittenNote], line: usize, building: &mut Building) {
    let Some(last) = cells.last_mut() else { return };
    let string = last.note.string;
    match (last.note.join.take(), last.join_sign) {
        (None, _) => {}
        (Some(Join::Slide | Join::SlideAndPick), sign) => {
            last.note.techniques.push(if sign == '/' { Technique::SlideAwayUp } else { Technique::SlideAwayDown });
            building.guess(line, format!("string {string}: a slide that leads to no note was read as a slide out"));
        }
        (Some(_), sign) => {
            building.guess(line, format!("string {string}: the `{sign}` leads to no note in its bar and was left out"));
        }
    }
}

/// Gives the notes lengths and adds the bars to `building`.
pub(super) fn finish(raw: Vec<RawBar>, meter: Meter, building: &mut Building) {
    let first = |bar: &RawBar| bar.columns.first().map(|column| column.offset);
    let lead = raw.iter().filter_map(first).min().unwrap_or(0).min(3);
    let mut said = None;
    for bar in close_repeats(raw, building) {
        if said != Some(bar.line) && !bar.columns.is_empty() {
            said = Some(bar.line);
            building.guess(bar.line, "no lengths are written; they were guessed from the spacing");
        }
        let offsets: Vec<usize> = bar.columns.iter().map(|column| column.offset).collect();
        let many = offsets.len() > 4 && !bar.closed;
        if many {
            building.guess(bar.line, format!("no bar line ends this; it was divided into bars of {meter}"));
            endless(bar, &offsets, meter, building);
        } else {
            // With signs before a number it is not plain which of the columns is the beat.
            let plain = bar.columns.iter().all(|column| column.signs_before == 0);
            let even = lengths::even(&offsets, bar.width, lead, meter).filter(|_| plain);
            let grid = even.unwrap_or_else(|| lengths::place(&offsets, bar.width, first_beat(&offsets, lead), meter));
            if grid.kind == GridSteps::Triplets {
                building.guess(
                    bar.line,
                    "the spacing was read as triplets; if the time signature is another, write it above the tab",
                );
            }
            if grid.steps * grid.step.0 > meter.ticks().0 {
                building.guess(bar.line, format!("a bar holds more notes than {meter} has room for; it is too long"));
            }
            push(bar, grid, building);
        }
    }
}

/// Takes away the signs of repeats that begin and never end.
fn close_repeats(mut raw: Vec<RawBar>, building: &mut Building) -> Vec<RawBar> {
    let mut ends = false;
    for bar in raw.iter_mut().rev() {
        ends |= bar.repeat_end.is_some();
        if bar.repeat_start && !ends {
            bar.repeat_start = false;
            building.guess(bar.line, "a repeat begins here and never ends; its sign was left out");
        } else if bar.repeat_start {
            ends = false;
        }
    }
    raw
}

/// Returns the column of the first beat, which lies at column `lead` in other bars: a first note
/// less than one step to the right of that stands on the beat.
fn first_beat(offsets: &[usize], lead: usize) -> usize {
    let closest = offsets.iter().zip(offsets.iter().skip(1)).map(|(one, next)| next - one).min().unwrap_or(3);
    offsets.first().copied().filter(|first| first - lead.min(*first) < closest).unwrap_or(lead)
}

/// Adds one bar whose notes lie on `grid`.
fn push(bar: RawBar, grid: Grid, building: &mut Building) {
    let mut voice = Voice::default();
    let mut ends: Vec<u64> = grid.at.iter().skip(1).copied().collect();
    ends.push(grid.steps);
    if let Some(first) = grid.at.first() {
        voice.0.extend(lengths::spell(0, *first, &grid).into_iter().map(Event::rest));
    }
    for ((column, start), end) in bar.columns.into_iter().zip(&grid.at).zip(ends) {
        let mut lengths = lengths::spell(*start, end, &grid).into_iter();
        let Some(first) = lengths.next() else { continue };
        let event = Event { chord: column.chord, text: column.text, ..Event::notes(first, column.notes) };
        voice.0.push(event);
        voice.0.extend(lengths.map(Event::rest));
    }
    let voices = if voice.0.is_empty() { Vec::new() } else { vec![voice] };
    building.bars.push(Bar { repeat_start: bar.repeat_start, repeat_end: bar.repeat_end, voices, ..Bar::default() });
}

/// Cuts a stretch without bar lines into bars and takes the closest notes as eighths.
fn endless(bar: RawBar, offsets: &[usize], meter: Meter, building: &mut Building) {
    let closest = offsets.iter().zip(offsets.iter().skip(1)).map(|(one, next)| next - one).min().unwrap_or(1).max(1);
    let step = lengths::eighth_or_unit(meter);
    let steps = (meter.ticks().0 / step.0.max(1)).max(1);
    let start = offsets.first().copied().unwrap_or(0);
    let mut rows: Vec<(u64, RawColumn)> = Vec::new();
    for column in bar.columns {
        let at = ((column.offset - start + closest / 2) / closest) as u64;
        let at = rows.last().map_or(at, |(before, _)| at.max(before + 1));
        rows.push((at, column));
    }
    let total = rows.last().map_or(1, |(at, _)| at / steps + 1);
    let mut rows = rows.into_iter().peekable();
    for index in 0..total {
        let mut here = RawBar { line: bar.line, ..RawBar::default() };
        here.repeat_start = bar.repeat_start && index == 0;
        here.repeat_end = bar.repeat_end.filter(|_| index + 1 == total);
        let mut grid = Grid { step, steps, at: Vec::new(), kind: GridSteps::Plain };
        while let Some((at, column)) = rows.next_if(|(at, _)| at / steps == index) {
            grid.at.push(at % steps);
            here.columns.push(column);
        }
        push(here, grid, building);
    }
}
