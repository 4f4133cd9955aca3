//! Chord grids in text: strings upright from the highest string number at the left to string 1, the
//! nut at the top, dots for fingers, `x` and `o` over strings that are left out or open.
//!
//! What a grid shows is common practice of chord books; the drawing is our own.

use super::clean::{clean, fit, width};
use super::style::{Charset, LegendEntry, TabStyle};
use crate::instrument::neck::{Fret, Shape};
use crate::lesson::document::{Barre, Voicing};
use crate::lesson::music::Finger;

/// A chord to be drawn.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ChordGrid {
    /// What stands over it.
    pub name: String,
    /// Where the fingers are.
    pub shape: Shape,
    /// The finger on each string, as in the shape; shorter or empty means not decided.
    pub fingers: Vec<Option<Finger>>,
    /// The barre, if one finger holds several strings. Without one, a finger that stands on
    /// several strings at one fret is drawn as a barre too.
    pub barre: Option<Barre>,
}

impl ChordGrid {
    /// Returns the grid of `voicing` under `name`.
    pub fn of(voicing: &Voicing, name: impl Into<String>) -> Self {
        Self { name: name.into(), shape: voicing.shape.clone(), fingers: voicing.fingers.clone(), barre: voicing.barre }
    }
}

/// The fewest frets a grid shows.
const FEWEST_FRETS: u8 = 4;
/// A shape that spans more frets than this is written as text.
const MOST_FRETS: u8 = 9;
/// Columns before the strings, for the number of the first fret.
const MARGIN: usize = 3;
/// Columns between two grids.
const GAP: usize = 3;
/// The widest name, unless the strings take more.
const NAME_WIDTH: usize = 18;

/// Draws `grids` side by side, as many to a row as `style.width` takes.
///
/// Returns one group of lines for each row, to be kept together; the grids of a row show equally
/// many frets, so that they stand on one line. No line is wider than asked (from 40 columns up) or
/// ends in a space.
pub fn grid_rows(grids: &[ChordGrid], style: TabStyle) -> Vec<Vec<String>> {
    let cell = grids.iter().map(|grid| cell_width(grid, style)).max().unwrap_or(0).min(style.width).max(1);
    let across = ((style.width + GAP) / (cell + GAP)).max(1);
    // Nine grids where four fit stand in rows of three: no row has a lonely last one.
    let rows = grids.len().div_ceil(across).max(1);
    grids.chunks(grids.len().div_ceil(rows).max(1)).map(|row| draw_row(row, cell, style)).collect()
}

/// Returns what the signs mean that [`grid_rows`] uses for `grids`.
pub fn grid_legend(grids: &[ChordGrid], charset: Charset) -> Vec<LegendEntry> {
    let signs = Signs::of(charset);
    let drawn = || grids.iter().filter(|grid| Window::of(&grid.shape).is_some());
    let string = |wanted: fn(&Option<Fret>) -> bool| drawn().any(|grid| grid.shape.strings().iter().any(wanted));
    let finger =
        |wanted: fn(Finger) -> bool| drawn().flat_map(|grid| &grid.fingers).flatten().any(|known| wanted(*known));
    let above = |grid: &ChordGrid| Window::of(&grid.shape).is_some_and(|window| window.first > 1);
    let barre = format!("{}{}{}", signs.dot, String::from(signs.barre).repeat(3), signs.dot);
    let entries = [
        (string(Option::is_none), "x", "over a string: leave it out"),
        (string(|fret| *fret == Some(Fret::OPEN)), "o", "over a string: play it open"),
        (drawn().any(above), "5", "at the left: the fret of the top row"),
        (drawn().any(|grid| !barres(grid).is_empty()), barre.as_str(), "one finger across: barre"),
        (finger(|finger| finger != Finger::Thumb), "1 2 3 4", "fingers, index to little"),
        (finger(|finger| finger == Finger::Thumb), "T", "thumb, over the neck"),
    ];
    let used = entries.into_iter().filter(|(used, ..)| *used);
    used.map(|(_, sign, meaning)| LegendEntry { sign: sign.to_owned(), meaning: meaning.to_owned() }).collect()
}

fn draw_row(row: &[ChordGrid], cell: usize, style: TabStyle) -> Vec<String> {
    let frets = row.iter().filter_map(|grid| Window::of(&grid.shape)).map(|window| window.frets).max();
    let fingers = row.iter().any(|grid| grid.fingers.iter().flatten().next().is_some());
    let drawn: Vec<Vec<String>> = row
        .iter()
        .map(|grid| {
            let mut lines = draw(grid, frets.unwrap_or(FEWEST_FRETS), style);
            if !fingers {
                lines.pop();
            }
            lines
        })
        .collect();
    let height = drawn.iter().map(Vec::len).max().unwrap_or(0);
    (0..height)
        .map(|place| {
            let mut line = String::new();
            for (column, lines) in drawn.iter().enumerate() {
                let start = column * (cell + GAP);
                line.extend(std::iter::repeat_n(' ', start.saturating_sub(width(&line))));
                line.push_str(&fit(lines.get(place).map_or("", String::as_str), cell));
            }
            line.truncate(line.trim_end().len());
            line
        })
        .collect()
}

/// The frets a grid shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Window {
    first: u8,
    frets: u8,
}

impl Window {
    /// Returns the frets that show all of `shape`: from the nut where it is near, else from its
    /// lowest stopped fret. `None` where it spans too many frets to draw.
    fn of(shape: &Shape) -> Option<Self> {
        let stopped = || shape.strings().iter().flatten().map(|fret| fret.number()).filter(|number| *number > 0);
        let (lowest, highest) = (stopped().min().unwrap_or(1), stopped().max().unwrap_or(1));
        let open = shape.strings().contains(&Some(Fret::OPEN));
        let near = highest <= FEWEST_FRETS || (open && lowest <= 2 && highest <= FEWEST_FRETS + 1);
        let first = if near { 1 } else { lowest };
        let frets = (highest + 1 - first).max(FEWEST_FRETS);
        (frets <= MOST_FRETS).then_some(Self { first, frets })
    }
}

fn strings_width(grid: &ChordGrid) -> usize {
    (2 * grid.shape.strings().len()).saturating_sub(1).max(1)
}

fn cell_width(grid: &ChordGrid, style: TabStyle) -> usize {
    let strings = match Window::of(&grid.shape) {
        Some(_) => MARGIN + strings_width(grid),
        None => MARGIN + as_text(&grid.shape).len(),
    };
    // A name that is wider than the strings reaches over the margin first.
    let name = width(&clean(grid.name.trim(), style.charset)).min(NAME_WIDTH);
    strings.max(name)
}

/// Draws one grid: name, marks, nut, `frets` rows with lines between them, end, fingers.
fn draw(grid: &ChordGrid, frets: u8, style: TabStyle) -> Vec<String> {
    let signs = Signs::of(style.charset);
    let strings = strings_width(grid);
    let cleaned = clean(grid.name.trim(), style.charset);
    let name = fit(&cleaned, NAME_WIDTH.max(strings));
    // Centred over the strings, but never further left than the cell begins.
    let indent = (MARGIN + strings / 2).saturating_sub(width(&name) / 2);
    let mut lines = vec![format!("{:indent$}{name}", "")];
    let Some(window) = Window::of(&grid.shape) else {
        lines.extend([String::new(), format!("{:MARGIN$}{}", "", as_text(&grid.shape)), String::new()]);
        return lines;
    };
    lines.push(row_of(grid, |_, fret| match fret {
        None => 'x',
        Some(Fret::OPEN) => 'o',
        Some(_) => ' ',
    }));
    let barres = barres(grid);
    lines.push(line_across(grid, if window.first == 1 { signs.nut } else { signs.top }));
    for row in 0..frets {
        if row > 0 {
            lines.push(line_across(grid, signs.wire));
        }
        let label = if row == 0 && window.first > 1 { window.first.to_string() } else { String::new() };
        lines.push(format!("{label:>2} {}", fret_row(grid, &barres, window.first.saturating_add(row), &signs)));
    }
    lines.push(line_across(grid, signs.end));
    lines.push(row_of(grid, |index, fret| match (fret, grid.fingers.get(index)) {
        (Some(_), Some(Some(finger))) => finger.to_char(),
        _ => ' ',
    }));
    lines
}

/// Writes one character on every string.
fn row_of(grid: &ChordGrid, sign: impl Fn(usize, Option<Fret>) -> char) -> String {
    let signs = grid.shape.strings().iter().enumerate().map(|(index, fret)| format!(" {}", sign(index, *fret)));
    format!("{:1$}{2}", "", MARGIN - 1, signs.collect::<String>())
}

fn line_across(grid: &ChordGrid, [left, line, cross, right]: [char; 4]) -> String {
    let last = grid.shape.strings().len().saturating_sub(1);
    let mut text = " ".repeat(MARGIN);
    for index in 0..=last {
        if index > 0 {
            text.push(line);
        }
        text.push(match index {
            0 => left,
            _ if index == last => right,
            _ => cross,
        });
    }
    text
}

fn fret_row(grid: &ChordGrid, barres: &[Held], number: u8, signs: &Signs) -> String {
    let mut text = String::new();
    let held = |from: usize, to: usize| {
        barres.iter().any(|barre| barre.fret == number && barre.from <= from && to <= barre.to)
    };
    for (index, fret) in grid.shape.strings().iter().enumerate() {
        if let Some(before) = index.checked_sub(1) {
            text.push(if held(before, index) { signs.barre } else { ' ' });
        }
        text.push(match fret {
            Some(fret) if fret.number() == number => signs.dot,
            _ if held(index, index) => signs.barre,
            _ => signs.string,
        });
    }
    text
}

/// Several strings held down by one finger; places in the shape, both included.
struct Held {
    fret: u8,
    from: usize,
    to: usize,
}

fn barres(grid: &ChordGrid) -> Vec<Held> {
    let strings = grid.shape.strings();
    if let Some(barre) = grid.barre {
        let ends = (barre.from.index(strings.len()), barre.to.index(strings.len()));
        let (Some(one), Some(other)) = ends else { return Vec::new() };
        return vec![Held { fret: barre.fret.number(), from: one.min(other), to: one.max(other) }];
    }
    let mut held: Vec<(Finger, Held)> = Vec::new();
    for (index, (fret, finger)) in strings.iter().zip(&grid.fingers).enumerate() {
        let (Some(fret), Some(finger)) = (fret, finger) else { continue };
        let fret = fret.number();
        match held.iter_mut().find(|(known, barre)| known == finger && barre.fret == fret) {
            Some((_, barre)) => barre.to = index,
            None => held.push((*finger, Held { fret, from: index, to: index })),
        }
    }
    held.into_iter().map(|(_, barre)| barre).filter(|barre| barre.from < barre.to && barre.fret > 0).collect()
}

/// Writes a shape the way players type one: `1-x-0-12`.
fn as_text(shape: &Shape) -> String {
    let strings = shape.strings().iter().map(|fret| fret.map_or_else(|| "x".to_owned(), |fret| fret.to_string()));
    strings.collect::<Vec<_>>().join("-")
}

/// The signs a grid is drawn with; lines across as left end, line, crossing, right end.
struct Signs {
    nut: [char; 4],
    top: [char; 4],
    wire: [char; 4],
    end: [char; 4],
    string: char,
    dot: char,
    barre: char,
}

impl Signs {
    const fn of(charset: Charset) -> Self {
        match charset {
            Charset::Utf8 => Self {
                nut: ['╒', '═', '╤', '╕'],
                top: ['┌', '─', '┬', '┐'],
                wire: ['├', '─', '┼', '┤'],
                end: ['└', '─', '┴', '┘'],
                string: '│',
                dot: '●',
                barre: '━',
            },
            Charset::Ascii => Self {
                nut: ['=', '=', '=', '='],
                top: ['+', '-', '+', '+'],
                wire: ['+', '-', '+', '+'],
                end: ['+', '-', '+', '+'],
                string: '|',
                dot: 'O',
                barre: '=',
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::collection::vec;
    use proptest::option::of;
    use proptest::prelude::*;

    use super::*;

    fn grid(name: &str, frets: &str, fingers: &str) -> ChordGrid {
        let frets = frets.split_whitespace().map(|fret| fret.parse().ok().and_then(Fret::new));
        let fingers = fingers.chars().map(|finger| match finger {
            'T' => Some(Finger::Thumb),
            '1' => Some(Finger::Index),
            '2' => Some(Finger::Middle),
            '3' => Some(Finger::Ring),
            '4' => Some(Finger::Little),
            _ => None,
        });
        ChordGrid {
            name: name.into(),
            shape: Shape::new(frets.collect()).unwrap(),
            fingers: fingers.collect(),
            barre: None,
        }
    }

    #[track_caller]
    fn drawn(grids: &[ChordGrid], width: usize, charset: Charset) -> String {
        grid_rows(grids, TabStyle { width, charset })
            .into_iter()
            .map(|row| row.join("\n"))
            .collect::<Vec<_>>()
            .join("\n\n")
    }

    #[test]
    fn open_and_barre_chords_look_as_in_books() {
        let chords = [
            grid("C", "x 3 2 0 1 0", "-32-1-"),
            grid("G7", "3 5 3 4 3 3", "131211"),
            grid("E5", "0 2 2 x x x", "-12---"),
        ];
        insta::assert_snapshot!(drawn(&chords, 60, Charset::Utf8), @r"
             C               G7               E5
        x     o   o                       o     x x x
        ╒═╤═╤═╤═╤═╕      ┌─┬─┬─┬─┬─┐      ╒═╤═╤═╤═╤═╕
        │ │ │ │ ● │    3 ●━━━●━━━●━●      │ │ │ │ │ │
        ├─┼─┼─┼─┼─┤      ├─┼─┼─┼─┼─┤      ├─┼─┼─┼─┼─┤
        │ │ ● │ │ │      │ │ │ ● │ │      │ ● ● │ │ │
        ├─┼─┼─┼─┼─┤      ├─┼─┼─┼─┼─┤      ├─┼─┼─┼─┼─┤
        │ ● │ │ │ │      │ ● │ │ │ │      │ │ │ │ │ │
        ├─┼─┼─┼─┼─┤      ├─┼─┼─┼─┼─┤      ├─┼─┼─┼─┼─┤
        │ │ │ │ │ │      │ │ │ │ │ │      │ │ │ │ │ │
        └─┴─┴─┴─┴─┘      └─┴─┴─┴─┴─┘      └─┴─┴─┴─┴─┘
          3 2   1        1 3 1 2 1 1        1 2
        ");
    }

    #[test]
    fn plain_ascii_draws_the_same() {
        let chords = [grid("C9", "x 3 2 3 3 x", ""), grid("D♭/C", "x 3 x 1 2 1", "")];
        insta::assert_snapshot!(drawn(&chords, 60, Charset::Ascii), @r"
            C9              Db/C
        x         x      x   x
        ===========      ===========
        | | | | | |      | | | O | O
        +-+-+-+-+-+      +-+-+-+-+-+
        | | O | | |      | | | | O |
        +-+-+-+-+-+      +-+-+-+-+-+
        | O | O O |      | O | | | |
        +-+-+-+-+-+      +-+-+-+-+-+
        | | | | | |      | | | | | |
        +-+-+-+-+-+      +-+-+-+-+-+
        ");
    }

    #[test]
    fn a_shape_from_one_end_of_the_neck_to_the_other_is_written() {
        let rows = drawn(&[grid("tapped", "x 0 2 x 14 x", "")], 60, Charset::Utf8);
        assert_eq!(rows, "     tapped\n\n   x-0-2-x-14-x");
    }

    #[test]
    fn a_barre_passes_under_the_fingers_before_it() {
        let mut chord = grid("A", "x 5 7 7 7 5", "");
        let string = |number| crate::instrument::neck::StringNumber::new(number).unwrap();
        chord.barre = Some(Barre { fret: Fret::new(5).unwrap(), from: string(5), to: string(1) });
        let rows = drawn(&[chord], 40, Charset::Utf8);
        assert!(rows.contains(" 5 │ ●━━━━━━━●\n"), "{rows}");
    }

    proptest! {
        #[test]
        fn no_grid_line_is_too_wide_or_ragged(
            shapes in vec((vec(of(0u8..=36), 0..=12), "\\PC{0,30}", vec(of(0u8..5), 0..14)), 0..9),
            width in 40usize..100,
            ascii: bool,
        ) {
            let grids: Vec<ChordGrid> = shapes
                .into_iter()
                .map(|(frets, name, fingers)| ChordGrid {
                    name,
                    shape: Shape::new(frets.into_iter().map(|fret| fret.and_then(Fret::new)).collect()).unwrap(),
                    fingers: fingers.into_iter().map(|finger| finger.map(|_| Finger::Index)).collect(),
                    barre: None,
                })
                .collect();
            let charset = if ascii { Charset::Ascii } else { Charset::Utf8 };
            for row in grid_rows(&grids, TabStyle { width, charset }) {
                for line in row {
                    prop_assert!(super::width(&line) <= width, "{line:?}");
                    prop_assert!(!line.ends_with(' '), "{line:?}");
                    prop_assert!(!ascii || line.is_ascii());
                }
            }
        }
    }
}
