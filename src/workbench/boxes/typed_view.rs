//! Drawing what is typed: a line, or points and notes, a line each.

use crate::text::width::{signs, width as columns};
use crate::workbench::boxes::frame::{comfortable, framed};
use crate::workbench::boxes::points::PointsBox;
use crate::workbench::boxes::typed_line::EntryBox;
use crate::workbench::drawing::region::Region;
use crate::workbench::drawing::role::Role;
use crate::workbench::drawing::scroll::Scroll;
use crate::workbench::typing::lines::TypedLine;

/// Draws a line to type, with what may be typed or why it was not taken.
pub(super) fn draw_entry(entry: &EntryBox, region: &mut Region<'_>) {
    let width = comfortable(region).min(region.width().saturating_sub(4));
    let below = entry.error.as_ref().map_or_else(|| entry.advice.clone().into_owned(), |error| format!("! {error}"));
    let lines = region.appearance().wrapped(&below, width.max(1));
    let mut inside = framed(region, &entry.title, width, lines.len() + 2);
    draw_typed(&entry.line, 0, Typing::Here, &mut inside);
    let role = if entry.error.is_some() { Role::Bad } else { Role::Faint };
    for (line, text) in lines.iter().enumerate() {
        inside.text(0, 2 + line, text, role);
    }
}

/// Draws points or notes, and the cursor in one of them.
pub(super) fn draw_points(points: &PointsBox, region: &mut Region<'_>) {
    let width = comfortable(region);
    let height = region.height().saturating_sub(8).clamp(3, 20);
    let mut inside = framed(region, &points.title, width, height);
    let lines = points.lines.lines();
    let mut scroll = Scroll::default();
    scroll.show(points.lines.row(), lines.len(), inside.height());
    let dot = inside.appearance().glyphs().dot;
    for (y, (row, line)) in lines.iter().enumerate().skip(scroll.first()).take(inside.height()).enumerate() {
        inside.text(0, y, dot, Role::Faint);
        let width = inside.width();
        let typing = if row == points.lines.row() { Typing::Here } else { Typing::Elsewhere };
        draw_typed(line, 0, typing, &mut inside.part(2, y, width.saturating_sub(2), 1));
    }
}

/// Returns what stands before the cursor and after it, as far as it may be in view in so many columns.
fn around_cursor(line: &TypedLine, width: usize) -> (&str, &str) {
    // A sign that takes no column of its own is rare; one more screenful of signs makes up for many.
    let most = 2 * width + 2;
    let (before, after) = line.halves();
    let left: usize = signs(before).rev().take(most).map(|(sign, _)| sign.len()).sum();
    let right: usize = signs(after).take(most).map(|(sign, _)| sign.len()).sum();
    let begin = before.len() - left;
    (before.get(begin..).unwrap_or(before), after.get(..right).unwrap_or(after))
}

/// Whether what is typed goes into a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Typing {
    /// It does.
    Here,
    /// It does not.
    Elsewhere,
}

/// Draws a line being typed; where it is too long, the part around the cursor.
pub(super) fn draw_typed(line: &TypedLine, y: usize, typing: Typing, region: &mut Region<'_>) {
    let appearance = region.appearance();
    let room = region.width().saturating_sub(2);
    // Of a line as long as a script only what may be in view is looked at.
    let (before, after) = around_cursor(line, region.width());
    let (before, after) = (appearance.shown(before).into_owned(), appearance.shown(after).into_owned());
    let mut skip = columns(&before).saturating_sub(room);
    let mut visible = before.as_str();
    while skip > 0 && !visible.is_empty() {
        let mut letters = visible.chars();
        skip = skip.saturating_sub(letters.next().map_or(1, |letter| columns(letter.encode_utf8(&mut [0; 4]))));
        visible = letters.as_str();
    }
    let x = region.text(0, y, visible, Role::Strong);
    region.text(x, y, &after, Role::Strong);
    if typing == Typing::Elsewhere {
        return;
    }
    if after.is_empty() {
        region.text(x, y, "_", Role::Cursor);
    } else {
        let wide = after.chars().next().map_or(1, |letter| columns(letter.encode_utf8(&mut [0; 4])).max(1));
        region.paint(x, x + wide, y, Role::Cursor);
    }
}
