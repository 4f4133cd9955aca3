//! Drawing the boxes that lie over the panes.

use crate::text::width::width as columns;
use crate::text::wrap::wrap;
use crate::workbench::boxes::overlay::{
    ChoiceBox, EntryBox, ListBox, ListLine, MarkLine, MarksBox, Measure, Overlay, PointsBox,
};
use crate::workbench::boxes::preview_view;
use crate::workbench::boxes::search_view;
use crate::workbench::drawing::appearance::{Look, Role};
use crate::workbench::drawing::region::Region;
use crate::workbench::drawing::scroll::Scroll;
use crate::workbench::typing::lines::TypedLine;

/// Draws the box on top.
pub fn draw(overlay: &Overlay, region: &mut Region<'_>) {
    match overlay {
        Overlay::Entry(entry) => draw_entry(entry, region),
        Overlay::Points(points) => draw_points(points, region),
        Overlay::Choice(choice) => draw_choice(choice, region),
        Overlay::Marks(marks) => draw_marks(marks, region),
        Overlay::List(list) => draw_list(list, region),
        Overlay::Preview(preview) => preview_view::draw(preview, region),
        Overlay::Search(search) => search_view::draw(search, region),
    }
}

/// The inside of a box, in columns and lines of the screen.
struct Inside {
    x: usize,
    y: usize,
    width: usize,
    height: usize,
}

impl Inside {
    /// Returns where a box of this many columns and lines inside stands: in the middle of the screen.
    fn of(screen: (usize, usize), width: usize, height: usize) -> Self {
        // The two lines at the foot stay in view: they hold the keys of the box.
        let room = (screen.0.saturating_sub(4), screen.1.saturating_sub(5));
        let (width, height) = (width.clamp(1, room.0.max(1)), height.clamp(1, room.1.max(1)));
        let x = screen.0.saturating_sub(width + 4) / 2 + 2;
        let y = screen.1.saturating_sub(height + 4) / 2 + 1;
        Self { x, y, width, height }
    }

    /// Returns the line of the inside that a cell of the screen lies on.
    fn line(&self, (x, y): (usize, usize)) -> Option<usize> {
        let inside = (self.x..self.x + self.width).contains(&x) && (self.y..self.y + self.height).contains(&y);
        inside.then(|| y - self.y)
    }
}

/// Returns the line of a list, or the entry, that is drawn at a cell of a screen of this size.
pub fn line_at(overlay: &Overlay, screen: (usize, usize), look: Look, cell: (usize, usize)) -> Option<usize> {
    match overlay {
        Overlay::Entry(_) | Overlay::Points(_) | Overlay::Preview(_) | Overlay::Search(_) => None,
        Overlay::Choice(choice) => {
            let lines: Vec<&str> = choice.lines.iter().map(|(text, _)| text.as_str()).collect();
            Lines::of(&choice.title, &choice.advice, &lines, choice.selected, screen, look).line_at(screen, cell)
        }
        Overlay::Marks(marks) => {
            let lines = mark_texts(marks);
            let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
            Lines::of(&marks.title, "", &lines, marks.selected, screen, look).line_at(screen, cell)
        }
        Overlay::List(list) => {
            let measure = measure(list, screen, look);
            let inside = Inside::of(screen, measure.columns.0, measure.room);
            let mut line = inside.line(cell)? + measure.showing(list.selected, list.scroll).first();
            measure.tall.iter().position(|tall| {
                let here = line < *tall;
                line = line.saturating_sub(*tall);
                here
            })
        }
    }
}

/// Draws an empty box of this many columns and lines inside, in the middle of the screen, and
/// returns the region inside it.
pub(in crate::workbench) fn framed<'a>(
    region: &'a mut Region<'_>,
    title: &str,
    width: usize,
    height: usize,
) -> Region<'a> {
    let Inside { x, y, width, height } = Inside::of((region.width(), region.height()), width, height);
    let (x, y) = (x - 2, y - 1);
    let glyphs = region.look().glyphs();
    let mut frame = region.part(x, y, width + 4, height + 2);
    frame.clear();
    let (right, bottom) = (width + 3, height + 1);
    for line in 1..bottom {
        frame.text(0, line, glyphs.upright, Role::Title);
        frame.text(right, line, glyphs.upright, Role::Title);
    }
    for line in [0, bottom] {
        frame.line(1, right, line, glyphs.level, Role::Title);
    }
    let [top_left, top_right, bottom_left, bottom_right] = glyphs.corners;
    frame.text(0, 0, top_left, Role::Title);
    frame.text(right, 0, top_right, Role::Title);
    frame.text(0, bottom, bottom_left, Role::Title);
    frame.text(right, bottom, bottom_right, Role::Title);
    frame.cut(2, 0, width, &format!(" {title} "), Role::FocusedTitle);
    region.part(x + 2, y + 1, width, height)
}

/// Returns a width for boxes that hold text of any length.
fn comfortable(region: &Region<'_>) -> usize {
    (region.width() * 3 / 4).clamp(40, 90)
}

fn draw_entry(entry: &EntryBox, region: &mut Region<'_>) {
    let width = comfortable(region).min(region.width().saturating_sub(4));
    let below = entry.error.as_ref().map_or_else(|| entry.advice.to_owned(), |error| format!("! {error}"));
    let lines = wrap(&region.look().shown(&below), width.max(1));
    let mut inside = framed(region, &entry.title, width, lines.len() + 2);
    draw_typed(&entry.line, 0, Cursor::Here, &mut inside);
    let role = if entry.error.is_some() { Role::Bad } else { Role::Faint };
    for (line, text) in lines.iter().enumerate() {
        inside.text(0, 2 + line, text, role);
    }
}

/// Whether what is typed goes into a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::workbench) enum Cursor {
    Here,
    Elsewhere,
}

/// Draws a line being typed; where it is too long, the part around the cursor.
pub(in crate::workbench) fn draw_typed(line: &TypedLine, y: usize, cursor: Cursor, region: &mut Region<'_>) {
    let look = region.look();
    let (before, after) = line.halves();
    let (before, after) = (look.shown(before).into_owned(), look.shown(after).into_owned());
    let room = region.width().saturating_sub(2);
    let mut skip = columns(&before).saturating_sub(room);
    let mut visible = before.as_str();
    while skip > 0 && !visible.is_empty() {
        let mut letters = visible.chars();
        skip = skip.saturating_sub(letters.next().map_or(1, |letter| columns(letter.encode_utf8(&mut [0; 4]))));
        visible = letters.as_str();
    }
    let x = region.text(0, y, visible, Role::Strong);
    region.text(x, y, &after, Role::Strong);
    if cursor == Cursor::Elsewhere {
        return;
    }
    if after.is_empty() {
        region.text(x, y, "_", Role::Cursor);
    } else {
        let wide = after.chars().next().map_or(1, |letter| columns(letter.encode_utf8(&mut [0; 4])).max(1));
        region.paint(x, x + wide, y, Role::Cursor);
    }
}

fn draw_points(points: &PointsBox, region: &mut Region<'_>) {
    let width = comfortable(region);
    let height = region.height().saturating_sub(8).clamp(3, 20);
    let mut inside = framed(region, &points.title, width, height);
    let lines = points.lines.lines();
    let mut scroll = Scroll::default();
    scroll.show(points.lines.row(), lines.len(), inside.height());
    let dot = inside.look().glyphs().dot;
    for (y, (row, line)) in lines.iter().enumerate().skip(scroll.first()).take(inside.height()).enumerate() {
        inside.text(0, y, dot, Role::Faint);
        let width = inside.width();
        let cursor = if row == points.lines.row() { Cursor::Here } else { Cursor::Elsewhere };
        draw_typed(line, 0, cursor, &mut inside.part(2, y, width.saturating_sub(2), 1));
    }
}

fn draw_choice(choice: &ChoiceBox, region: &mut Region<'_>) {
    let lines: Vec<&str> = choice.lines.iter().map(|(text, _)| text.as_str()).collect();
    draw_lines(&choice.title, &choice.advice, &lines, choice.selected, region);
}

fn mark_texts(marks: &MarksBox) -> Vec<String> {
    let written = |line: &MarkLine| format!("{} {}", if line.marked { "[x]" } else { "[ ]" }, line.text);
    marks.lines.iter().map(written).collect()
}

fn draw_marks(marks: &MarksBox, region: &mut Region<'_>) {
    let lines = mark_texts(marks);
    let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
    draw_lines(&marks.title, "", &lines, marks.selected, region);
}

/// How lines to choose from lie in their box, under advice.
struct Lines {
    advice: Vec<String>,
    width: usize,
    count: usize,
    /// The first line in view.
    first: usize,
}

impl Lines {
    fn of(title: &str, advice: &str, lines: &[&str], selected: usize, screen: (usize, usize), look: Look) -> Self {
        let advice = look.shown(advice).into_owned();
        let widest = lines.iter().map(|text| columns(&look.shown(text)) + 2).max().unwrap_or(0);
        let most = screen.0.saturating_sub(8).max(24);
        let comfortable = (screen.0 * 3 / 4).clamp(40, 90);
        let width = widest.max(columns(title) + 2).max(columns(&advice).min(comfortable)).clamp(24, most);
        let advice = wrap(&advice, width);
        let height = Inside::of(screen, width, lines.len() + advice.len()).height;
        let mut scroll = Scroll::default();
        scroll.show(selected, lines.len(), height.saturating_sub(advice.len()));
        Self { width, count: lines.len(), first: scroll.first(), advice }
    }

    fn line_at(&self, screen: (usize, usize), cell: (usize, usize)) -> Option<usize> {
        let inside = Inside::of(screen, self.width, self.count + self.advice.len());
        let line = inside.line(cell)?.checked_sub(self.advice.len())? + self.first;
        (line < self.count).then_some(line)
    }
}

/// Draws lines of which one is selected, under advice.
fn draw_lines(title: &str, advice: &str, lines: &[&str], selected: usize, region: &mut Region<'_>) {
    let look = region.look();
    let Lines { advice, width, first, .. } =
        Lines::of(title, advice, lines, selected, (region.width(), region.height()), look);
    let mut inside = framed(region, title, width, lines.len() + advice.len());
    for (line, text) in advice.iter().enumerate() {
        inside.text(0, line, text, Role::Faint);
    }
    let top = advice.len();
    let room = inside.height().saturating_sub(top);
    for (line, (place, text)) in lines.iter().enumerate().skip(first).take(room).enumerate() {
        let y = top + line;
        if place == selected {
            inside.text(0, y, look.glyphs().pointer, Role::Strong);
            inside.text(2, y, text, Role::Strong);
            let width = inside.width();
            inside.paint(1, width, y, Role::Selected);
        } else {
            inside.text(2, y, text, Role::Plain);
        }
    }
}

/// Returns how many columns a list has inside, how many its first column, how many its text.
fn columns_of(list: &ListBox, screen: usize) -> (usize, usize, usize) {
    let head = list.lines.iter().map(|line| columns(&line.head)).max().unwrap_or(0).min(24);
    let longest = list.lines.iter().map(|line| columns(&line.text).max(columns(&line.below))).max().unwrap_or(0);
    let width = (longest + head + 5).max(40).min(screen.saturating_sub(8)).min(110);
    (width, head, width.saturating_sub(head + 5).max(10))
}

/// Returns how a list lies on a screen of this width and height.
pub fn measure(list: &ListBox, size: (usize, usize), look: Look) -> Measure {
    match &list.measured {
        Some((known, with, measure)) if (*known, *with) == (size, look) => measure.clone(),
        Some(_) | None => measure_anew(list, size, look),
    }
}

/// Notes in a list how it lies on a screen of this width and height.
pub fn note_measure(list: &mut ListBox, size: (usize, usize), look: Look) {
    if list.measured.as_ref().is_none_or(|(known, with, _)| (*known, *with) != (size, look)) {
        list.measured = Some((size, look, measure_anew(list, size, look)));
    }
}

fn measure_anew(list: &ListBox, (width, height): (usize, usize), look: Look) -> Measure {
    let columns = columns_of(list, width);
    let tall: Vec<usize> = list.lines.iter().map(|line| entry_height(line, columns.2, look)).collect();
    let all: usize = tall.iter().sum();
    Measure { room: height.saturating_sub(7).clamp(1, all.max(1)), tall, columns }
}

fn draw_list(list: &ListBox, region: &mut Region<'_>) {
    let look = region.look();
    let measure = measure(list, (region.width(), region.height()), look);
    let (width, head, room) = measure.columns;
    // The screen may have another size than when a key was struck last.
    let scroll = measure.showing(list.selected, list.scroll);
    let mut inside = framed(region, &list.title, width, measure.room);
    // Each entry takes as many lines as its words need; those over and under what is in view are not wrapped.
    let mut above = scroll.first();
    let mut first = 0;
    while let Some(tall) = measure.tall.get(first).filter(|tall| **tall <= above) {
        above -= tall;
        first += 1;
    }
    let rows = list.lines.iter().enumerate().skip(first).flat_map(|(place, line)| {
        let lines = entry_lines(line, room, look).into_iter().enumerate();
        lines.map(move |(line, (text, role))| (place, line, text, role))
    });
    for (y, (place, line, text, role)) in rows.skip(above).take(inside.height()).enumerate() {
        if place == list.selected && line == 0 {
            inside.text(0, y, look.glyphs().pointer, Role::Strong);
        }
        let entry = list.lines.get(place);
        if let Some(entry) = entry.filter(|_| line == 0) {
            inside.cut(2, y, head, &entry.head, Role::Key);
        }
        let indent = if entry.is_some_and(|entry| entry.head.is_empty()) { 2 } else { head + 4 };
        inside.text(indent, y, &text, role);
    }
}

/// Returns how many lines one entry takes.
fn entry_height(line: &ListLine, room: usize, look: Look) -> usize {
    let height = |text: &str| {
        let shown = look.shown(text);
        // Most texts fit, and need not be wrapped to be counted.
        if !shown.trim().is_empty() && columns(&shown) <= room { 1 } else { wrap(&shown, room).len() }
    };
    (height(&line.text) + height(&line.below)).max(1)
}

/// Returns the lines of one entry: its text, then what comes under it.
fn entry_lines(line: &ListLine, room: usize, look: Look) -> Vec<(String, Role)> {
    let role = if line.head.is_empty() { Role::FocusedTitle } else { Role::Plain };
    let text = wrap(&look.shown(&line.text), room).into_iter().map(|text| (text, role));
    let below = wrap(&look.shown(&line.below), room).into_iter().map(|text| (text, Role::Good));
    let lines: Vec<(String, Role)> = text.chain(below).collect();
    if lines.is_empty() { vec![(String::new(), role)] } else { lines }
}
