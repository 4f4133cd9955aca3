//! Drawing a list to read, whose entries can take several lines each.

use crate::text::width::width as columns;
use crate::workbench::boxes::frame::{Inside, framed};
use crate::workbench::boxes::list::{ListBox, ListLine, ListMeasure};
use crate::workbench::drawing::appearance::Appearance;
use crate::workbench::drawing::region::Region;
use crate::workbench::drawing::role::Role;

/// Returns how a list lies on a screen of this width and height.
pub fn measure(list: &ListBox, size: (usize, usize), appearance: Appearance) -> ListMeasure {
    match &list.measured {
        Some((known, with, measure)) if (*known, *with) == (size, appearance) => measure.clone(),
        Some(_) | None => measure_anew(list, size, appearance),
    }
}

/// Notes in a list how it lies on a screen of this width and height.
pub fn note_measure(list: &mut ListBox, size: (usize, usize), appearance: Appearance) {
    if list.measured.as_ref().is_none_or(|(known, with, _)| (*known, *with) != (size, appearance)) {
        list.measured = Some((size, appearance, measure_anew(list, size, appearance)));
    }
}

/// Returns the entry of a list that is drawn at a cell of a screen of this size.
pub(super) fn entry_at(
    list: &ListBox,
    screen: (usize, usize),
    appearance: Appearance,
    cell: (usize, usize),
) -> Option<usize> {
    let measure = measure(list, screen, appearance);
    let inside = Inside::of(screen, measure.columns.0, measure.room);
    let mut line = inside.line(cell)? + measure.showing(list.selected, list.scroll).first();
    measure.tall.iter().position(|tall| {
        let here = line < *tall;
        line = line.saturating_sub(*tall);
        here
    })
}

/// Draws the part of a list that is in view.
pub(super) fn draw_list(list: &ListBox, region: &mut Region<'_>) {
    let appearance = region.appearance();
    let measure = measure(list, (region.width(), region.height()), appearance);
    let (width, head, room) = measure.columns;
    // The screen may have another size than when a key was struck last.
    let scroll = measure.showing(list.selected, list.scroll);
    let mut inside =
        framed(region, &list.jump.beside(&list.title), (width, measure.room), measure.unseen(scroll, list.counted));
    // Each entry takes as many lines as its words need; those over and under what is in view are not wrapped.
    let mut above = scroll.first();
    let mut first = 0;
    while let Some(tall) = measure.tall.get(first).filter(|tall| **tall <= above) {
        above -= tall;
        first += 1;
    }
    let rows = list.lines.iter().enumerate().skip(first).flat_map(|(place, line)| {
        let lines = entry_lines(line, room, appearance).into_iter().enumerate();
        lines.map(move |(line, (text, role))| (place, line, text, role))
    });
    for (y, (place, line, text, role)) in rows.skip(above).take(inside.height()).enumerate() {
        if place == list.selected && line == 0 {
            inside.text(0, y, appearance.glyphs().pointer, Role::Strong);
        }
        let entry = list.lines.get(place);
        if let Some(entry) = entry.filter(|_| line == 0) {
            inside.cut(2, y, head, &entry.head, Role::Key);
        }
        let indent = if entry.is_some_and(|entry| entry.head.is_empty()) { 2 } else { head + 4 };
        inside.text(indent, y, &text, role);
    }
}

fn measure_anew(list: &ListBox, (width, height): (usize, usize), appearance: Appearance) -> ListMeasure {
    let columns = columns_of(list, width);
    let tall: Vec<usize> = list.lines.iter().map(|line| entry_height(line, columns.2, appearance)).collect();
    let all: usize = tall.iter().sum();
    ListMeasure { room: height.saturating_sub(7).clamp(1, all.max(1)), tall, columns }
}

/// Returns how many columns a list has inside, how many its first column, how many its text.
fn columns_of(list: &ListBox, screen: usize) -> (usize, usize, usize) {
    let head = list.lines.iter().map(|line| columns(&line.head)).max().unwrap_or(0).min(24);
    let longest =
        list.lines.iter().map(|line| widest_line(&line.text).max(widest_line(&line.below))).max().unwrap_or(0);
    let width = (longest + head + 5)
        .max(columns(&list.jump.beside(&list.title)) + 2)
        .max(40)
        .min(screen.saturating_sub(8))
        .min(110);
    (width, head, width.saturating_sub(head + 5).max(10))
}

/// Returns how many columns the longest line of a text takes.
fn widest_line(text: &str) -> usize {
    text.lines().map(columns).max().unwrap_or(0)
}

/// Returns how many lines one entry takes.
fn entry_height(line: &ListLine, room: usize, appearance: Appearance) -> usize {
    let height = |text: &str| {
        // Most texts fit in a line, and need not be wrapped to be counted.
        let fits = |shown: &str| !shown.trim().is_empty() && columns(shown) <= room;
        if !text.contains('\n') && fits(&appearance.shown(text)) { 1 } else { appearance.wrapped(text, room).len() }
    };
    (height(&line.text) + height(&line.below)).max(1)
}

/// Returns the lines of one entry: its text, then what comes under it.
fn entry_lines(line: &ListLine, room: usize, appearance: Appearance) -> Vec<(String, Role)> {
    let role = if line.head.is_empty() { Role::FocusedTitle } else { Role::Plain };
    let text = appearance.wrapped(&line.text, room).into_iter().map(|text| (text, role));
    let below = appearance.wrapped(&line.below, room).into_iter().map(|text| (text, Role::Good));
    let lines: Vec<(String, Role)> = text.chain(below).collect();
    if lines.is_empty() { vec![(String::new(), role)] } else { lines }
}
