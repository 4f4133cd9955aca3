//! Chord grids in text: strings upright from the highest string number at the left to string 1, the
//! nut at the top, dots for fingers, `x` and `o` over strings that are left out or open.
//!
//! Chord books show the same by common practice; the drawing is our own.

use crate::instrument::hand::{Barre, Finger};
use crate::instrument::neck::{Fret, Shape};
use crate::lesson::document::Voicing;
use crate::tab::style::{LegendEntry, SignPlace, TabStyle};
use crate::text::charset::Charset;
use crate::text::fit::fit;
use crate::text::safe::clean;
use crate::text::width::width;
use crate::text::wrap::{hanging, wrap};
use crate::theory::reading::Doubt;

/// A chord to be drawn.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ChordGrid {
    /// What stands over it.
    pub name: String,
    /// Where the fingers are.
    pub shape: Shape,
    /// The finger on each string, as in the shape; shorter or empty means not decided.
    pub fingers: Vec<Option<Finger>>,
    /// The barre, if one finger holds several strings. If none is given, a finger that stands on several strings
    /// at one fret is drawn as a barre too.
    pub barre: Option<Barre>,
    /// How sure the ear is of each string, as in the shape; shorter or empty means sure.
    pub doubts: Vec<Doubt>,
    /// What tells it from another grid of its name, under the grid: `fret 5`, `short form`.
    pub form: String,
    /// Other names of the same notes, under the grid.
    pub also: Vec<String>,
    /// What to say about it, under the row of grids.
    pub note: String,
}

impl ChordGrid {
    /// Returns the grid of `voicing` under `name`, without its other names.
    pub fn of(voicing: &Voicing, name: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            shape: voicing.shape.clone(),
            fingers: voicing.fingers.clone(),
            barre: voicing.barre,
            doubts: voicing.doubts.clone(),
            form: String::new(),
            also: Vec::new(),
            note: voicing.notes.clone(),
        }
    }

    fn doubt(&self, index: usize) -> Doubt {
        self.doubts.get(index).copied().unwrap_or_default()
    }

    /// Returns whether a string that the shape plays has `doubt`.
    fn has_doubt(&self, doubt: Doubt) -> bool {
        let played = self.shape.strings().iter().enumerate().filter(|(_, fret)| fret.is_some());
        played.into_iter().any(|(index, _)| self.doubt(index) == doubt)
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
/// Columns for the mark that leads to a note, with the space before it.
const NOTE_MARK: usize = 4;
/// The most other names under a grid.
const MOST_OTHER_NAMES: usize = 3;

/// Draws `grids` side by side, as many to a row as `style.width` takes.
///
/// Returns one group of lines for each row, to be kept together; the grids of a row show equally
/// many frets, so that they stand on one line. No line is wider than asked (from 40 columns up) or
/// ends in a space.
pub fn grid_rows(grids: &[ChordGrid], style: TabStyle) -> Vec<Vec<String>> {
    let cell = grids.iter().map(|grid| cell_width(grid, style)).max().unwrap_or(0).min(style.width).max(1);
    let across = ((style.width + GAP) / (cell + GAP)).max(1);
    // Thirteen grids where four fit stand as 4, 3, 3 and 3: no row has a lonely last one.
    let mut rows = grids.len().div_ceil(across);
    let mut note = 0;
    let mut drawn = Vec::new();
    let mut rest = grids;
    while rows > 0 {
        let row;
        (row, rest) = rest.split_at(rest.len().div_ceil(rows));
        rows -= 1;
        let notes: Vec<Option<(usize, String)>> = row
            .iter()
            .map(|grid| {
                let text = clean(&grid.note, style.charset).trim().to_owned();
                note += usize::from(!text.is_empty());
                (!text.is_empty()).then_some((note, text))
            })
            .collect();
        let marks: Vec<Option<usize>> = notes.iter().map(|note| note.as_ref().map(|(number, _)| *number)).collect();
        let mut lines = draw_row(row, &marks, cell, style);
        for (number, text) in notes.into_iter().flatten() {
            let label = format!("{} ", note_mark(number));
            lines.extend(hanging(&label, &text, style.width));
        }
        drawn.push(lines);
    }
    drawn
}

/// Returns the mark that leads from a name to what is said under the row.
fn note_mark(number: usize) -> String {
    format!("*{number}")
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
        (drawn().any(|grid| grid.has_doubt(Doubt::Unsure)), "?", "over a string: perhaps not played"),
        (drawn().any(|grid| grid.has_doubt(Doubt::NotHeard)), "-", "over a string: held, but not heard"),
        (string(Option::is_none), "x", "over a string: leave it out"),
        (string(|fret| *fret == Some(Fret::OPEN)), "o", "over a string: play it open"),
        (drawn().any(above), "5", "at the left: the fret of the top row"),
        (drawn().any(|grid| !barres(grid).is_empty()), barre.as_str(), "one finger across: barre"),
        (finger(|finger| finger != Finger::Thumb), "1 2 3 4", "fingers, index to little"),
        (finger(|finger| finger == Finger::Thumb), "T", "thumb, over the neck"),
        (grids.iter().any(|grid| !grid.note.trim().is_empty()), "*1", "see the line under the row"),
    ];
    let used = entries.into_iter().filter(|(used, ..)| *used);
    let entry = |(_, sign, meaning): (bool, &str, &str)| LegendEntry {
        place: SignPlace::Grid,
        sign: sign.to_owned(),
        meaning: meaning.to_owned(),
    };
    used.map(entry).collect()
}

/// The line of a drawn grid that holds the doubts.
const DOUBTS: usize = 1;

fn draw_row(row: &[ChordGrid], notes: &[Option<usize>], cell: usize, style: TabStyle) -> Vec<String> {
    let frets = row.iter().filter_map(|grid| Window::of(&grid.shape)).map(|window| window.frets).max();
    let fingers = row.iter().any(|grid| grid.fingers.iter().flatten().next().is_some());
    let doubts = row.iter().any(|grid| grid.has_doubt(Doubt::Unsure) || grid.has_doubt(Doubt::NotHeard));
    let mut drawn: Vec<Vec<String>> = row
        .iter()
        .enumerate()
        .map(|(place, grid)| {
            let note = notes.get(place).copied().flatten();
            let mut lines = draw(grid, note, frets.unwrap_or(FEWEST_FRETS), style);
            if !fingers {
                lines.pop();
            }
            if !doubts && lines.len() > DOUBTS {
                lines.remove(DOUBTS);
            }
            lines
        })
        .collect();
    let height = drawn.iter().map(Vec::len).max().unwrap_or(0);
    for (lines, grid) in drawn.iter_mut().zip(row) {
        lines.resize(height, String::new());
        lines.extend(under_grid(&grid.form, cell));
        lines.extend(other_names(grid, cell, style.charset));
    }
    side_by_side(&drawn, cell)
}

/// Returns what stands under a grid: `also C6, Am7/C`, indented to its strings.
fn other_names(grid: &ChordGrid, cell: usize, charset: Charset) -> Vec<String> {
    let names = grid.also.iter().map(|name| clean(name.trim(), charset).into_owned());
    let names: Vec<String> = names.filter(|name| !name.is_empty()).take(MOST_OTHER_NAMES).collect();
    if names.is_empty() {
        return Vec::new();
    }
    under_grid(&format!("also {}", names.join(", ")), cell)
}

/// Returns words under a grid, indented to its strings.
fn under_grid(words: &str, cell: usize) -> Vec<String> {
    if words.is_empty() {
        return Vec::new();
    }
    let lines = wrap(words, cell);
    let widest = lines.iter().map(|line| width(line)).max().unwrap_or(0);
    let indent = MARGIN.min(cell.saturating_sub(widest));
    lines.into_iter().map(|line| format!("{:indent$}{line}", "")).collect()
}

/// Sets the lines of grids side by side.
fn side_by_side(drawn: &[Vec<String>], cell: usize) -> Vec<String> {
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
        None => MARGIN + as_text(grid).len(),
    };
    // A name that is wider than the strings reaches over the margin first.
    let mark = if grid.note.trim().is_empty() { 0 } else { NOTE_MARK };
    let name = (width(&clean(grid.name.trim(), style.charset)) + mark).min(NAME_WIDTH);
    strings.max(name)
}

/// Draws one grid: name, doubts, marks, nut, `frets` rows with lines between them, end, fingers.
fn draw(grid: &ChordGrid, note: Option<usize>, frets: u8, style: TabStyle) -> Vec<String> {
    let signs = Signs::of(style.charset);
    let strings = strings_width(grid);
    let cleaned = clean(grid.name.trim(), style.charset);
    let mark = note.map_or_else(String::new, |number| format!(" {}", note_mark(number)));
    let name = fit(&cleaned, NAME_WIDTH.max(strings).saturating_sub(mark.len()));
    // Centred over the strings, but never further left than the cell begins.
    let indent = (MARGIN + strings / 2).saturating_sub((width(&name) + mark.len()) / 2);
    let mut lines = vec![format!("{:indent$}{name}{mark}", "")];
    let Some(window) = Window::of(&grid.shape) else {
        let text = format!("{:MARGIN$}{}", "", as_text(grid));
        lines.extend([String::new(), String::new(), text, String::new()]);
        return lines;
    };
    lines.push(row_of(grid, |index, fret| match (fret, grid.doubt(index)) {
        (Some(_), Doubt::Unsure) => '?',
        (Some(_), Doubt::NotHeard) => '-',
        (Some(_), Doubt::Sure) | (None, Doubt::Sure | Doubt::Unsure | Doubt::NotHeard) => ' ',
    }));
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

fn fret_row(grid: &ChordGrid, barres: &[HeldBarre], number: u8, signs: &Signs) -> String {
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

/// Several strings that one finger holds down.
struct HeldBarre {
    fret: u8,
    /// The place of its first string in the shape.
    from: usize,
    /// The place of its last string in the shape.
    to: usize,
}

fn barres(grid: &ChordGrid) -> Vec<HeldBarre> {
    let strings = grid.shape.strings();
    if let Some(barre) = grid.barre {
        let ends = (barre.from.index(strings.len()), barre.to.index(strings.len()));
        let (Some(one), Some(other)) = ends else { return Vec::new() };
        return vec![HeldBarre { fret: barre.fret.number(), from: one.min(other), to: one.max(other) }];
    }
    let mut held: Vec<(Finger, HeldBarre)> = Vec::new();
    for (index, (fret, finger)) in strings.iter().zip(&grid.fingers).enumerate() {
        let (Some(fret), Some(finger)) = (fret, finger) else { continue };
        let fret = fret.number();
        match held.iter_mut().find(|(known, barre)| known == finger && barre.fret == fret) {
            Some((_, barre)) => barre.to = index,
            None => held.push((*finger, HeldBarre { fret, from: index, to: index })),
        }
    }
    held.into_iter().map(|(_, barre)| barre).filter(|barre| barre.from < barre.to && barre.fret > 0).collect()
}

/// Writes a shape the way players type one: `1-x-0-12`, a string in doubt with a question mark.
fn as_text(grid: &ChordGrid) -> String {
    let strings = grid.shape.strings().iter().enumerate().map(|(index, fret)| match (fret, grid.doubt(index)) {
        (None, _) => "x".to_owned(),
        (Some(fret), Doubt::Unsure) => format!("{fret}?"),
        (Some(fret), _) => fret.to_string(),
    });
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
        let fingers = fingers.chars().map(Finger::from_char);
        ChordGrid {
            name: name.into(),
            shape: Shape::new(frets.collect()).unwrap(),
            fingers: fingers.collect(),
            ..ChordGrid::default()
        }
    }

    #[track_caller]
    fn drawn(grids: &[ChordGrid], width: usize, charset: Charset) -> String {
        grid_rows(grids, TabStyle::filled(width, charset))
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
    fn the_last_row_is_never_more_than_one_grid_shorter_than_the_first() {
        for (count, rows) in [(4, vec![4]), (5, vec![3, 2]), (9, vec![3, 3, 3]), (13, vec![4, 3, 3, 3]), (0, vec![])] {
            let grids = vec![grid("C", "x 3 2 0 1 0", ""); count];
            let drawn = grid_rows(&grids, TabStyle::filled(72, Charset::Ascii));
            let across: Vec<usize> = drawn.iter().map(|row| row[0].matches('C').count()).collect();
            assert_eq!(across, rows);
        }
    }

    #[test]
    fn a_shape_from_one_end_of_the_neck_to_the_other_is_written() {
        let rows = drawn(&[grid("tapped", "x 0 2 x 14 x", "")], 60, Charset::Utf8);
        assert_eq!(rows, "     tapped\n\n   x-0-2-x-14-x");
    }

    #[test]
    fn doubts_other_names_and_notes_stand_with_the_grid() {
        let mut heard = grid("Am7", "x 0 2 0 1 0", "--2-1-");
        heard.doubts = vec![Doubt::Sure, Doubt::Sure, Doubt::NotHeard, Doubt::Unsure];
        heard.also = vec!["C6".into(), "Fmaj9/A".into()];
        let mut noted = grid("C", "x 3 2 0 1 0", "-32-1-");
        noted.note = "lift the ring finger and the same hand plays the next chord".into();
        let far = ChordGrid { doubts: vec![Doubt::Sure, Doubt::Unsure], ..grid("tapped", "x 0 2 x 14 x", "") };
        insta::assert_snapshot!(drawn(&[heard.clone(), noted.clone(), far], 60, Charset::Ascii), @r"
               Am7               C *1              tapped
               - ?
           x o   o   o        x     o   o
           ===========        ===========        x-0?-2-x-14-x
           | | | | O |        | | | | O |
           +-+-+-+-+-+        +-+-+-+-+-+
           | | O | | |        | | O | | |
           +-+-+-+-+-+        +-+-+-+-+-+
           | | | | | |        | O | | | |
           +-+-+-+-+-+        +-+-+-+-+-+
           | | | | | |        | | | | | |
           +-+-+-+-+-+        +-+-+-+-+-+
               2   1            3 2   1
        also C6, Fmaj9/A
        *1 lift the ring finger and the same hand plays the next
           chord
        ");
        let legend = grid_legend(&[heard, noted], Charset::Ascii);
        let signs: Vec<&str> = legend.iter().map(|entry| entry.sign.as_str()).collect();
        assert_eq!(signs, ["?", "-", "x", "o", "1 2 3 4", "*1"]);
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
            shapes in vec((vec(of(0u8..=36), 0..=12), "\\PC{0,30}", vec(of(0u8..5), 0..14), "\\PC{0,20}", "\\PC{0,60}"), 0..9),
            width in 40usize..100,
            ascii: bool,
        ) {
            let grids: Vec<ChordGrid> = shapes
                .into_iter()
                .map(|(frets, name, fingers, also, note)| ChordGrid {
                    name,
                    shape: Shape::new(frets.into_iter().map(|fret| fret.and_then(Fret::new)).collect()).unwrap(),
                    doubts: fingers.iter().map(|finger| if *finger == Some(4) { Doubt::Unsure } else { Doubt::Sure }).collect(),
                    fingers: fingers.into_iter().map(|finger| finger.map(|_| Finger::Index)).collect(),
                    form: if ascii { "short form".to_owned() } else { String::new() },
                    also: also.split('%').map(str::to_owned).collect(),
                    note,
                    barre: None,
                })
                .collect();
            let charset = if ascii { Charset::Ascii } else { Charset::Utf8 };
            for row in grid_rows(&grids, TabStyle::filled(width, charset)) {
                for line in row {
                    prop_assert!(super::width(&line) <= width, "{line:?}");
                    prop_assert!(!line.ends_with(' '), "{line:?}");
                    prop_assert!(!ascii || line.is_ascii());
                }
            }
        }
    }
}
