//! How closely the columns of a bar can stand: nothing may run into what stands next in its own row.
//!
//! A long sign may reach over the columns behind it as long as they are empty in its row: `e.` over
//! a count, `<12>` over notes on other strings. So sixteenths stand two columns apart nearly always.

use std::collections::BTreeSet;

use crate::tab::marks::REST_AGAIN;
use crate::text::width::width;

use super::closeness::Closeness;
use super::columns::Column;

/// The least distance from the start of one column to that of the next, in characters.
const LEAST: usize = 2;

/// Where columns can stand at the closest.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Tight {
    /// The place of each, the first at 0.
    pub(super) at: Vec<usize>,
    /// How wide the bar is if it ends with each.
    pub(super) ends: Vec<usize>,
}

/// A row in which things must not touch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum TightRow {
    String(usize),
    Lengths(usize),
    Strokes,
    Counts,
}

/// What stands last in a row.
struct RowEnd {
    row: TightRow,
    /// The column behind it.
    end: usize,
    /// Whether it leads to what follows, which may then touch it.
    leads: bool,
}

impl Tight {
    /// Places `columns`.
    pub(super) fn of(columns: &[Column]) -> Self {
        let mut tight = Self::default();
        let mut rows: Vec<RowEnd> = Vec::new();
        let mut end = 0;
        let mut free = 0;
        for column in columns {
            let at = signs(column).fold(free, |at, sign| {
                let before = rows.iter().find(|last| last.row == sign.row);
                at.max(before.map_or(0, |last| last.end + usize::from(!(last.leads && sign.may_touch))))
            });
            for sign in signs(column) {
                let last = RowEnd { row: sign.row, end: at + sign.width, leads: sign.leads };
                end = end.max(last.end + 1);
                match rows.iter_mut().find(|known| known.row == last.row) {
                    Some(known) => *known = last,
                    None => rows.push(last),
                }
            }
            free = at + LEAST;
            end = end.max(free);
            tight.at.push(at);
            tight.ends.push(end);
        }
        tight
    }

    /// Returns the width of each column.
    pub(super) fn widths(&self) -> Vec<usize> {
        let next = self.at.iter().skip(1).chain(self.ends.last());
        self.at.iter().zip(next).map(|(at, next)| next.saturating_sub(*at)).collect()
    }
}

/// Something that stands in a row.
struct Sign {
    row: TightRow,
    width: usize,
    leads: bool,
    may_touch: bool,
}

fn signs(column: &Column) -> impl Iterator<Item = Sign> {
    let plain = |row, width| Sign { row, width, leads: false, may_touch: false };
    let cells = column.cells.iter().map(|cell| Sign {
        row: TightRow::String(cell.row),
        width: cell.sign.len(),
        leads: cell.leads,
        may_touch: cell.may_touch(),
    });
    let lengths = column.lengths.iter().map(move |(voice, sign)| plain(TightRow::Lengths(*voice), sign.len()));
    let stroke = column.stroke.iter().map(move |stroke| plain(TightRow::Strokes, width(stroke)));
    let count = column.count.iter().map(move |count| plain(TightRow::Counts, count.len()));
    // A grace note is known by having no length over it.
    let grace = column.grace.then_some(plain(TightRow::Lengths(0), 0));
    cells.chain(lengths).chain(stroke).chain(count).chain(grace)
}

/// Returns `columns` with each rest of a sixteenth or shorter that is as long as what stands before
/// it in its voice written by a bare `r`. Longer ones have room for their letter.
pub(super) fn with_short_rests(mut columns: Vec<Column>) -> Vec<Column> {
    let mut before: Vec<(usize, String)> = Vec::new();
    let all = columns.iter_mut().flat_map(|column| &mut column.lengths);
    for (voice, sign) in all.filter(|(_, sign)| sign != REST_AGAIN) {
        let length = sign.strip_prefix('r').unwrap_or(sign).to_owned();
        let rest = length.len() < sign.len();
        match before.iter_mut().find(|(known, _)| known == voice) {
            Some((_, last)) if rest && length.starts_with(['s', 't', 'f']) && *last == length => {
                REST_AGAIN.clone_into(sign)
            }
            Some((_, last)) => *last = length,
            None => before.push((*voice, length)),
        }
    }
    columns
}

/// Leaves out what is counted while a note lasts that has not the room for it: another note in the same beat would move it.
pub(super) fn leave_out_counts(columns: &mut Vec<Column>, end: u64, closeness: Closeness) {
    let starts: Vec<usize> = (0..columns.len()).filter(|at| columns.get(*at).is_some_and(Column::is_start)).collect();
    let tick = |at: usize| columns.get(at).map_or(end, |column| column.tick.0);
    let mut tight: BTreeSet<usize> = BTreeSet::new();
    for (place, start) in starts.iter().enumerate() {
        let next = starts.get(place + 1).copied().unwrap_or(columns.len());
        let room = closeness.columns(tick(next).saturating_sub(tick(*start)));
        let counted = |at: &usize| columns.get(*at).is_some_and(|column| !column.grace && !column.is_start());
        let wide = |at: &usize| {
            let count = columns.get(*at).and_then(|column| column.count.as_ref());
            count.map_or(0, |count| count.len() + 1).max(LEAST)
        };
        let fits = |counted: &[usize]| wide(start) + counted.iter().map(wide).sum::<usize>() <= room;
        let all: Vec<usize> = (start + 1..next).filter(counted).collect();
        let beats = all.iter().filter(|at| columns.get(**at).is_some_and(|column| column.on_beat));
        let kept: Vec<usize> = match fits(&all) {
            true => continue,
            false => beats.copied().collect(),
        };
        let keeps_beats = fits(&kept);
        tight.extend(all.into_iter().filter(|at| !keeps_beats || !kept.contains(at)));
    }
    let mut at = 0;
    columns.retain(|_| {
        at += 1;
        !tight.contains(&(at - 1))
    });
    let mut until = end;
    for column in columns.iter_mut().rev().filter(|column| column.is_start()) {
        let room = closeness.columns(until.saturating_sub(column.tick.0));
        until = column.tick.0;
        column.count = column.count.take().filter(|count| count.len() < room);
    }
}

#[cfg(test)]
mod tests {
    use super::super::columns::Cell;
    use super::*;

    fn column(length: &str, cells: &[(usize, &str)]) -> Column {
        let cells = cells.iter().map(|(row, sign)| Cell {
            row: *row,
            sign: (*sign).to_owned(),
            by_pitch: None,
            leads: sign.ends_with('h'),
        });
        let lengths = if length.is_empty() { Vec::new() } else { vec![(0, length.to_owned())] };
        Column { cells: cells.collect(), lengths, ..Column::default() }
    }

    #[test]
    fn a_long_sign_reaches_over_what_is_empty_in_its_row() {
        let apart = [column("s", &[(0, "<12>")]), column("s", &[(1, "<12>")]), column("s", &[(0, "7")])];
        assert_eq!(Tight::of(&apart), Tight { at: vec![0, 2, 5], ends: vec![5, 7, 7] });
        let counted = [column("e.", &[(0, "7")]), column("", &[]), column("s", &[(0, "7")])];
        assert_eq!(Tight::of(&counted).widths(), [2, 2, 2]);
        let led = [column("s", &[(0, "12h")]), column("s", &[(0, "14")])];
        assert_eq!(Tight::of(&led).widths(), [3, 3]);
    }

    #[test]
    fn a_rest_as_long_as_the_length_before_it_is_short() {
        let columns = ["rs", "s", "rs", "rs", "re", "e", "re", "re", "t", "rt"].map(|length| column(length, &[]));
        let written: Vec<String> =
            with_short_rests(columns.to_vec()).iter().map(|column| column.lengths[0].1.clone()).collect();
        assert_eq!(written, ["rs", "s", "r", "r", "re", "e", "re", "re", "t", "r"]);
    }
}
