//! Breaks bars into systems and gives every column its width.

use std::collections::BTreeSet;
use std::ops::Range;

use crate::lesson::music::{Bar, Passage};
use crate::lesson::time::NoteValue;
use crate::tab::marks;
use crate::text::charset::Charset;
use crate::text::width;

use super::closeness::Closeness;
use super::columns::{Cell, Column, Measure};
use super::legend::Used;
use super::note_sign::{shows_part_of_step, shows_quarter};
use super::piece::{BarPiece, Edge, LEAD, NameOver, WrittenLine};
use super::spacing;
use super::steady;
use super::tight::{self, Tight, with_short_rests};
use super::time_scale::TimeScale;
use crate::tab::signs::{self, LineSigns};
use crate::tab::style::{TabSpacing, TabStyle};

/// The room of a reference to a line under the system.
const FOOT_NOTE_ROOM: usize = 4;

/// Pieces that stand in one system, with the place of everything in it.
#[derive(Debug, Clone, Default)]
pub(super) struct SystemLayout {
    pub(super) pieces: Range<usize>,
    pub(super) places: Vec<PiecePlace>,
    /// The bar line at the right end.
    pub(super) close: String,
    /// Its column.
    pub(super) close_at: usize,
}

/// Where a piece stands.
#[derive(Debug, Clone, Default)]
pub(super) struct PiecePlace {
    /// The bar line on its left.
    pub(super) open: String,
    /// The column of that bar line.
    pub(super) open_at: usize,
    /// The first column after the bar line.
    pub(super) lead: usize,
    /// The columns of its columns.
    pub(super) at: Vec<usize>,
    /// The column of the bar line on its right.
    pub(super) end: usize,
}

/// Cuts the measures of `passage` into pieces that fit into `room` columns. Where a bar on paper has not the room for them, bends are
/// named by the pitch they reach, which is noted in `used`. Where tab is written they never are: the bar goes on in another line.
pub(super) fn pieces(
    passage: &Passage,
    measures: Vec<Measure>,
    room: usize,
    style: &TabStyle,
    used: &mut BTreeSet<Used>,
) -> Vec<BarPiece> {
    let mut pieces = Vec::new();
    for (index, (measure, bar)) in measures.into_iter().zip(&passage.bars).enumerate() {
        let end = measure.ticks.0;
        let closeness = Closeness::of(measure.whole, room.saturating_sub(LEAD));
        let scale = TimeScale::of(bar, closeness);
        let line = WrittenLine { closeness, scale, room, bar: measure.whole };
        let frame = PieceFrame { index, bar, line, charset: style.charset };
        let (columns, cuts) = match style.spacing {
            TabSpacing::Filled => closest(measure.columns, room.saturating_sub(LEAD), used),
            TabSpacing::Steady => steady(&frame, measure.columns, end),
        };
        let cells = || columns.iter().flat_map(|column| &column.cells);
        used.extend(cells().any(|cell| shows_part_of_step(&cell.sign)).then_some(Used::PartOfStep));
        let mut columns = columns.into_iter();
        for (place, cut) in cuts.iter().enumerate() {
            // What goes on in the next system is not copied with every system: a bar may be as long as a book.
            let part: Vec<Column> = columns.by_ref().take(*cut).collect();
            let rest = columns.as_slice();
            let until = rest.first().map_or(end, |column| column.tick.0);
            let edges = (
                if place == 0 { PartOfBar::First } else { PartOfBar::Later },
                if place + 1 == cuts.len() { PartOfBar::Last } else { PartOfBar::Later },
            );
            pieces.push(piece(&frame, with_short_rests(part), edges, until));
        }
    }
    pieces
}

/// Returns the columns of a bar, and how many of them stand in each system where they stand as close together as they can.
fn closest(mut spelled: Vec<Column>, room: usize, used: &mut BTreeSet<Used>) -> (Vec<Column>, Vec<usize>) {
    let too_wide = |columns: &[Column]| cut_at(columns, room) < columns.len();
    let mut whole = with_short_rests(spelled.clone());
    if too_wide(&whole) && name_pitches(&mut spelled, used) {
        whole = with_short_rests(spelled.clone());
    }
    // Where a bar goes on in another system, each part has to spell its first rest.
    let columns = if too_wide(&whole) { spelled } else { whole };
    let cuts = cuts(&columns, room);
    (columns, cuts)
}

/// Returns the columns of a bar, and how many of them stand in each system where each note has the width that belongs to it. A bar
/// that is too wide goes on in another system: what is in this one stays where it is.
fn steady(frame: &PieceFrame<'_>, mut columns: Vec<Column>, end: u64) -> (Vec<Column>, Vec<usize>) {
    tight::leave_out_counts(&mut columns, end, frame.line.closeness);
    let whole = piece(frame, with_short_rests(columns.clone()), (PartOfBar::First, PartOfBar::Last), end);
    let widths = steady::steady(&whole);
    let room = frame.line.room.saturating_sub(LEAD);
    let mut cuts = Vec::new();
    let (mut rest, mut widths) = (columns.as_slice(), widths.as_slice());
    loop {
        let mut wide = 0usize;
        let fits = widths.iter().take_while(|width| {
            wide = wide.saturating_add(**width);
            wide <= room
        });
        let fits = fits.count();
        let last = |fit: &dyn Fn(&Column) -> bool| {
            let within = rest.iter().enumerate().take(fits + 1).skip(1);
            within.rev().find(|(_, column)| fit(column)).map(|(place, _)| place)
        };
        let cut = if fits >= rest.len() {
            rest.len()
        } else {
            // Counts alone before the first note of a line would move it as they come and go.
            let place = last(&|column| column.on_beat && column.is_start())
                .or_else(|| last(&Column::is_start))
                .or_else(|| last(&|column| column.on_beat))
                .unwrap_or(fits.max(1));
            before_its_grace_notes(rest, place)
        };
        cuts.push(cut);
        rest = rest.get(cut..).unwrap_or_default();
        widths = widths.get(cut..).unwrap_or_default();
        if rest.is_empty() {
            break;
        }
    }
    (columns, cuts)
}

/// Names the bends of a bar by the pitch they reach; returns whether it has any that are written otherwise.
fn name_pitches(columns: &mut [Column], used: &mut BTreeSet<Used>) -> bool {
    let mut any = false;
    for cell in columns.iter_mut().flat_map(|column| &mut column.cells) {
        any |= name_pitch(cell, used);
    }
    any
}

/// Names the bends of a cell by the pitch they reach; returns whether it has any that are written otherwise.
fn name_pitch(cell: &mut Cell, used: &mut BTreeSet<Used>) -> bool {
    let changes = cell.name_pitches();
    if changes {
        used.insert(Used::BendToPitch);
        used.extend(shows_quarter(&cell.sign).then_some(Used::QuarterTone));
    }
    changes
}

/// Which part of its bar a piece is, seen from one of its ends.
#[derive(Clone, Copy, PartialEq, Eq)]
enum PartOfBar {
    First,
    Later,
    Last,
}

/// Returns how many columns stand in each system, at least one system.
fn cuts(columns: &[Column], room: usize) -> Vec<usize> {
    let mut cuts = Vec::new();
    let mut rest = columns;
    loop {
        let cut = cut_at(rest, room).min(rest.len());
        cuts.push(cut);
        rest = rest.get(cut..).unwrap_or_default();
        if rest.is_empty() {
            return cuts;
        }
    }
}

/// Returns how many columns go into `room`: all of them, or as many as end before a beat.
fn cut_at(columns: &[Column], room: usize) -> usize {
    let mut fits = 0;
    let mut beat = 0;
    let mut chord_until = 0usize;
    let mut pushed = 0;
    // Columns take room, so those past these cannot fit; a bar may have very many.
    let tight = Tight::of(columns.get(..room.saturating_add(2)).unwrap_or(columns));
    for ((index, column), (at, end)) in columns.iter().enumerate().zip(tight.at.iter().zip(&tight.ends)) {
        if index > 0 && column.on_beat {
            beat = index;
        }
        let chord = chord_room(column);
        if chord > 0 {
            pushed = pushed.max(chord_until.saturating_sub(*at));
            chord_until = at + pushed + chord + 1;
        }
        if (end + pushed).max(chord_until.saturating_sub(1)) > room {
            return before_its_grace_notes(columns, if beat > 0 { beat } else { fits.max(1) });
        }
        fits = index + 1;
    }
    columns.len()
}

/// Moves a cut to the left of everything that belongs to the same moment, if something is left.
fn before_its_grace_notes(columns: &[Column], cut: usize) -> usize {
    let moment = columns.get(cut).map(|column| column.tick);
    let same =
        columns.get(..cut).unwrap_or_default().iter().rev().take_while(|column| Some(column.tick) == moment).count();
    if same < cut { cut - same } else { cut }
}

/// Returns the width the chord name of a column takes.
fn chord_room(column: &Column) -> usize {
    match &column.chord {
        Some(name) if marks::fits_as_chord(name) => width::width(name),
        Some(_) => FOOT_NOTE_ROOM,
        None => 0,
    }
}

/// What all pieces of a bar have in common.
struct PieceFrame<'a> {
    index: usize,
    bar: &'a Bar,
    line: WrittenLine,
    charset: Charset,
}

/// Makes a piece of `columns`, which last until tick `until`.
fn piece(frame: &PieceFrame<'_>, columns: Vec<Column>, (from, to): (PartOfBar, PartOfBar), until: u64) -> BarPiece {
    let PieceFrame { index, bar, line, charset } = *frame;
    let first = from == PartOfBar::First;
    let last = to == PartOfBar::Last;
    let edge = |here: bool, repeat: bool| match (here, repeat) {
        (false, _) => Edge::GoesOn,
        (true, true) => Edge::Repeat,
        (true, false) => Edge::Bar,
    };
    let mut piece = BarPiece {
        bar: index,
        left: edge(first, bar.repeat_start),
        right: edge(last, bar.repeat_end.is_some()),
        head: if first { head(bar, charset) } else { Vec::new() },
        tail: bar.repeat_end.filter(|times| last && *times != 2).map(|times| format!("x{times}")),
        endings: bar.endings.clone(),
        least: Tight::of(&columns).widths(),
        unnamed: Vec::new(),
        names: names_over(&columns),
        good: Vec::new(),
        lasts: Vec::new(),
        line,
        columns,
    };
    for (place, column) in piece.columns.iter().enumerate() {
        let next = piece.columns.get(place + 1);
        let lasts = next.map_or(until, |next| next.tick.0).saturating_sub(column.tick.0);
        piece.good.push(column.room(next) + usize::from(lasts >= NoteValue::Eighth.ticks().0));
        piece.lasts.push(lasts);
    }
    if let ([only], [lasts]) = (piece.columns.as_slice(), piece.lasts.as_mut_slice())
        && only.lengths.is_empty()
    {
        *lasts = NoteValue::Half.ticks().0;
    }
    piece.unnamed.clone_from(&piece.least);
    part_names_of_one_moment(&piece.columns, &piece.names, &mut piece.unnamed);
    let marks = marks_room(&piece).min(line.room);
    for widths in [&mut piece.least, &mut piece.good] {
        make_room_for_chords(&piece.columns, widths);
    }
    for widths in [&mut piece.least, &mut piece.unnamed, &mut piece.good] {
        let missing = marks.saturating_sub(LEAD + widths.iter().sum::<usize>());
        if let Some(last) = widths.last_mut() {
            *last += missing;
        }
    }
    piece
}

/// Returns the marks over the beginning of `bar`.
fn head(bar: &Bar, charset: Charset) -> Vec<String> {
    let pickup = bar.pickup.then(|| "pickup".to_owned());
    let meter = bar.meter.map(|meter| meter.to_string());
    let tempo = bar.tempo.map(signs::tempo);
    let key = bar.key.map(|key| format!("key:{}", signs::key(key, charset)));
    [pickup, meter, tempo, key].into_iter().flatten().collect()
}

/// Returns the width that the marks over a piece take.
fn marks_room(piece: &BarPiece) -> usize {
    let head: usize = piece.head.iter().map(|mark| width::width(mark) + 1).sum();
    let tail = piece.tail.as_ref().map_or(0, |mark| mark.len() + 1);
    let endings = if piece.endings.is_empty() { 0 } else { ending_words(&piece.endings).len() + 1 };
    (head + tail).max(endings)
}

/// Returns the words that start the line over an ending: `1,2.`.
pub(super) fn ending_words(endings: &[u8]) -> String {
    let numbers: Vec<String> = endings.iter().map(u8::to_string).collect();
    format!("{}.", numbers.join(","))
}

/// Returns the chord names over columns.
fn names_over(columns: &[Column]) -> Vec<NameOver> {
    let names = columns.iter().map(chord_room).enumerate();
    names.filter(|(_, width)| *width > 0).map(|(column, width)| NameOver { column, width }).collect()
}

/// Widens columns where both voices have a chord name at one moment, so that the first does not run into the second.
fn part_names_of_one_moment(columns: &[Column], names: &[NameOver], widths: &mut [usize]) {
    let tick = |name: &NameOver| columns.get(name.column).map(|column| column.tick);
    for (one, other) in names.iter().zip(names.iter().skip(1)).filter(|(one, other)| tick(one) == tick(other)) {
        let between = widths.get(one.column..other.column).unwrap_or_default().iter().sum::<usize>();
        if let Some(before) = other.column.checked_sub(1).and_then(|before| widths.get_mut(before)) {
            *before += (one.width + 1).saturating_sub(between);
        }
    }
}

/// Widens columns until no chord name runs into the next or over the end.
fn make_room_for_chords(columns: &[Column], widths: &mut [usize]) {
    let mut free_from: Option<usize> = None;
    let mut at = 0;
    for index in 0..columns.len() {
        let room = columns.get(index).map_or(0, chord_room);
        if room > 0 {
            let missing = free_from.map_or(0, |free| free.saturating_sub(at));
            if let Some(before) = index.checked_sub(1).and_then(|before| widths.get_mut(before)) {
                *before += missing;
                at += missing;
            }
            free_from = Some(at + room + 1);
        }
        at += widths.get(index).copied().unwrap_or(0);
    }
    let missing = free_from.map_or(0, |free| free.saturating_sub(at + 1));
    if let Some(last) = widths.last_mut() {
        *last += missing;
    }
}

/// Breaks `pieces` into rows of at most `width` columns, the first `margin` of which are taken.
pub(super) fn rows(
    pieces: &[BarPiece],
    margin: usize,
    width: usize,
    lines: LineSigns,
    spacing: TabSpacing,
) -> Vec<SystemLayout> {
    if spacing == TabSpacing::Steady {
        return steady_rows(pieces, margin, width, lines);
    }
    let breaks = breaks(pieces, margin, width, lines);
    let last = breaks.len().saturating_sub(1);
    breaks
        .into_iter()
        .enumerate()
        .map(|(index, range)| {
            let stretch = if index == last { LastOrNot::Last } else { LastOrNot::Inner };
            justify(pieces, range, margin, width, lines, stretch)
        })
        .collect()
}

/// Breaks `pieces` so that what is written behind a bar moves neither it nor the row it is in.
fn steady_rows(pieces: &[BarPiece], margin: usize, width: usize, lines: LineSigns) -> Vec<SystemLayout> {
    let mut rows: Vec<SystemLayout> = Vec::new();
    let mut from = 0;
    let mut widths: Vec<Vec<usize>> = Vec::new();
    let mut used = margin;
    for (index, piece) in pieces.iter().enumerate() {
        let frame = |from| opening(pieces, from, index, lines) + closing(piece, lines).width();
        let room = width.saturating_sub(margin + frame(index));
        let mut own = steady::steady(piece);
        if LEAD + own.iter().sum::<usize>() > room {
            // A single note, or names over it, that are wider than a line.
            own = spacing::filled(std::slice::from_ref(piece), room.saturating_sub(LEAD)).pop().unwrap_or_default();
        }
        let wide = LEAD + own.iter().sum::<usize>();
        let goes_on = index > from && pieces.get(index - 1).is_some_and(|before| before.right == Edge::GoesOn);
        if index > from && (goes_on || used + frame(from) + wide > width) {
            rows.push(row(pieces, from..index, margin, lines, std::mem::take(&mut widths)));
            (from, used) = (index, margin);
        }
        used += opening(pieces, from, index, lines) + wide;
        widths.push(own);
    }
    if from < pieces.len() {
        rows.push(row(pieces, from..pieces.len(), margin, lines, widths));
    }
    rows
}

/// Whether a row is the last of its passage.
#[derive(Clone, Copy, PartialEq, Eq)]
enum LastOrNot {
    /// It stands at the end of the passage and may be short.
    Last,
    /// Another one follows it, and it fills the width.
    Inner,
}

/// Returns the best ways to break: rows that are neither crowded nor torn apart, and in which equal notes of a bar have room to stand
/// at equal distances, unless a bar alone is too wide for that.
fn breaks(pieces: &[BarPiece], margin: usize, width: usize, lines: LineSigns) -> Vec<Range<usize>> {
    // The cheapest way to set the first n pieces, and where its last row begins.
    let mut best: Vec<(u64, usize)> = vec![(u64::MAX, 0); pieces.len() + 1];
    if let Some(start) = best.first_mut() {
        *start = (0, 0);
    }
    let even: Vec<usize> = pieces.iter().map(|piece| spacing::even(std::slice::from_ref(piece))).collect();
    for from in 0..pieces.len() {
        let Some(&(before, _)) = best.get(from) else { break };
        let (mut least, mut good) = (margin, margin);
        for to in from + 1..=pieces.len() {
            let Some(piece) = pieces.get(to - 1) else { break };
            let open = opening(pieces, from, to - 1, lines);
            let close = closing(piece, lines).width();
            least += open + LEAD + even.get(to - 1).copied().unwrap_or(0);
            good += open + LEAD + piece.good.iter().sum::<usize>();
            if to > from + 1 && least + close > width {
                break;
            }
            let last = if to == pieces.len() { LastOrNot::Last } else { LastOrNot::Inner };
            let cost = before.saturating_add(cost(good + close, width, last));
            if let Some(slot) = best.get_mut(to)
                && cost < slot.0
            {
                *slot = (cost, from);
            }
            if piece.right == Edge::GoesOn {
                break;
            }
        }
    }
    let mut breaks = Vec::new();
    let mut end = pieces.len();
    while end > 0 {
        let from = best.get(end).map_or(0, |(_, from)| *from).min(end - 1);
        breaks.push(from..end);
        end = from;
    }
    breaks.reverse();
    breaks
}

/// Returns how badly a row of `good` columns sits in `width`.
fn cost(good: usize, width: usize, last: LastOrNot) -> u64 {
    let off = (good.abs_diff(width) * 100 / width.max(1)) as u64;
    let square = off * off;
    match (good > width, last) {
        (true, _) => 2 * square,
        (false, LastOrNot::Last) => square / 4,
        (false, LastOrNot::Inner) => square,
    }
}

/// Returns the width of the bar line on the left of piece `index` in a row that begins at `from`.
fn opening(pieces: &[BarPiece], from: usize, index: usize, lines: LineSigns) -> usize {
    opening_sign(pieces, from, index, lines).width()
}

/// Returns the bar line on the left of piece `index` in a row that begins at `from`.
fn opening_sign(pieces: &[BarPiece], from: usize, index: usize, lines: LineSigns) -> BarLine {
    let left = pieces.get(index).map_or(Edge::Bar, |piece| piece.left);
    let before = if index > from { pieces.get(index - 1).map(|piece| piece.right) } else { None };
    BarLine(match (before, left) {
        (_, Edge::GoesOn) => lines.goes_on.to_owned(),
        (Some(Edge::Repeat), Edge::Repeat) => format!(":{}:", lines.repeat),
        (Some(Edge::Repeat), Edge::Bar) => format!(":{}", lines.repeat),
        (_, Edge::Repeat) => format!("{}:", lines.repeat),
        (_, Edge::Bar) => lines.bar.to_owned(),
    })
}

/// Returns the bar line at the right end of a row that ends with `piece`.
fn closing(piece: &BarPiece, lines: LineSigns) -> BarLine {
    BarLine(match piece.right {
        Edge::GoesOn => lines.goes_on.to_owned(),
        Edge::Repeat => format!(":{}", lines.repeat),
        Edge::Bar => lines.bar.to_owned(),
    })
}

/// The signs of a bar line, each one column wide.
struct BarLine(String);

impl BarLine {
    fn width(&self) -> usize {
        self.0.chars().count()
    }
}

/// Gives every column of a row its place, so that the row fills the width.
fn justify(
    pieces: &[BarPiece],
    range: Range<usize>,
    margin: usize,
    width: usize,
    lines: LineSigns,
    last: LastOrNot,
) -> SystemLayout {
    let inside = pieces.get(range.clone()).unwrap_or_default();
    let opens = range.clone().map(|index| opening(pieces, range.start, index, lines) + LEAD);
    let close = inside.last().map_or(1, |piece| closing(piece, lines).width());
    let fixed = margin + close + opens.sum::<usize>();
    let good: usize = inside.iter().flat_map(|piece| &piece.good).sum();
    let full = width.saturating_sub(fixed);
    // A last row that is nearly full is filled; a short one keeps the spacing that reads well.
    let short = last == LastOrNot::Last && (good + fixed) * 4 < width * 3;
    let target = if short { full.min((good + good / 4).max(spacing::even(inside))) } else { full };
    let widths = spacing::filled(inside, target);
    row(pieces, range, margin, lines, widths)
}

/// Returns a row whose columns have `widths`, piece by piece.
fn row(
    pieces: &[BarPiece],
    range: Range<usize>,
    margin: usize,
    lines: LineSigns,
    widths: Vec<Vec<usize>>,
) -> SystemLayout {
    let inside = pieces.get(range.clone()).unwrap_or_default();
    let opens = range.clone().map(|index| opening_sign(pieces, range.start, index, lines));
    let opens: Vec<BarLine> = opens.collect();
    let mut row = SystemLayout { pieces: range, ..SystemLayout::default() };
    let mut at = margin;
    for (open, widths) in opens.into_iter().zip(widths) {
        let mut place = PiecePlace { open_at: at, lead: at + open.width(), open: open.0, ..PiecePlace::default() };
        at = place.lead + LEAD;
        for width in widths {
            place.at.push(at);
            at += width;
        }
        place.end = at;
        row.places.push(place);
    }
    row.close_at = at;
    row.close = inside.last().map_or(BarLine(lines.bar.to_owned()), |piece| closing(piece, lines)).0;
    row
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::instrument::neck::{Fret, StringNumber};
    use crate::lesson::id::PassageId;
    use crate::lesson::music::{Event, Note, Voice};
    use crate::tab::passage::columns::ColumnMaker;

    /// What the systems of one bar hold together is what the bar holds, and not its square.
    #[test]
    fn a_bar_of_very_many_notes_takes_room_for_each_note_once() {
        const NOTES: usize = 750;
        let note = Note::plain(StringNumber::new(1).unwrap(), Fret::new(3).unwrap());
        let event = Event::notes("1/1..".parse().unwrap(), vec![note]);
        let bar = Bar { voices: vec![Voice(vec![event; NOTES])], ..Bar::default() };
        let passage = Passage::plain(PassageId(1), "long", vec![bar]);
        let measures = vec![ColumnMaker::new(&passage, &[], Charset::Ascii).measure(0)];
        let style = TabStyle::filled(80, Charset::Ascii);
        let pieces = pieces(&passage, measures, 70, &style, &mut BTreeSet::new());
        let notes: usize = pieces.iter().map(|piece| piece.columns.len()).sum();
        let room: usize = pieces.iter().map(|piece| piece.columns.capacity()).sum();
        assert!(pieces.len() > 50 && notes >= NOTES, "{} systems, {notes} columns", pieces.len());
        assert!(room <= 2 * notes, "room for {room} columns, where there are {notes}");
    }
}
