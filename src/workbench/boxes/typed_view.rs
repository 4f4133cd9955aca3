//! Drawing what is typed: a line, or points and notes, a line each; and finding the place that a click meets.

use std::ops::Range;

use crate::text::safe::printable;
use crate::text::width::{signs, width as columns};
use crate::workbench::boxes::frame::{Inside, comfortable_under, framed, title_lines};
use crate::workbench::boxes::points::PointsBox;
use crate::workbench::boxes::typed_line::EntryBox;
use crate::workbench::drawing::appearance::Appearance;
use crate::workbench::drawing::region::Region;
use crate::workbench::drawing::role::Role;
use crate::workbench::drawing::scroll::Scroll;
use crate::workbench::drawing::unseen::{Counted, Unseen};
use crate::workbench::typing::lines::TypedLine;

/// How a line to type lies in its box.
struct EntryMeasure {
    /// The title in the frame, and the lines of it that have no room there and stand over the line.
    title: (String, Vec<String>),
    /// The columns inside the box.
    width: usize,
    /// The advice, or why the last try was not taken.
    advice: Vec<String>,
    /// The lines inside the box: the rest of the title, the line, one under it, the advice and the offers that have room.
    height: usize,
    /// The first offer in view, and how many are.
    offers: (usize, usize),
}

impl EntryMeasure {
    fn of(entry: &EntryBox, screen: (usize, usize), appearance: Appearance) -> Self {
        let width = comfortable_under(&entry.title, screen.0).min(screen.0.saturating_sub(4));
        let title = title_lines(&entry.title, width, appearance);
        let above = title.1.len();
        let below =
            entry.error.as_ref().map_or_else(|| entry.advice.clone().into_owned(), |error| format!("! {error}"));
        let advice = appearance.wrapped(&below, width.max(1));
        let height = Inside::of(screen, width, above + 2 + advice.len() + entry.offers.len()).height;
        let room = height.saturating_sub(above + 2 + advice.len());
        let mut scroll = Scroll::default();
        scroll.show(entry.offered().unwrap_or(0), entry.offers.len(), room);
        Self { title, width, advice, height, offers: (scroll.first(), room) }
    }
}

/// Returns the answers that are offered under a line to type, the one in the line marked.
fn offer_lines(entry: &EntryBox, appearance: Appearance) -> Vec<String> {
    let chosen = entry.offered();
    let pointer = appearance.glyphs().pointer;
    let mark = |place: usize| if chosen == Some(place) { pointer } else { " " };
    entry.offers.iter().enumerate().map(|(place, offer)| format!("{} {}", mark(place), printable(offer))).collect()
}

/// Draws a line to type, with what may be typed or why it was not taken.
pub(super) fn draw_entry(entry: &EntryBox, region: &mut Region<'_>) {
    let appearance = region.appearance();
    let EntryMeasure { title: (title, rest), width, advice, height, offers: (first, room) } =
        EntryMeasure::of(entry, (region.width(), region.height()), appearance);
    let unseen = Unseen::of(Counted::Answers, first, room, entry.offers.len());
    let mut inside = framed(region, &title, (width, height), unseen);
    for (line, text) in rest.iter().enumerate() {
        inside.text(0, line, text, Role::FocusedTitle);
    }
    let top = rest.len();
    draw_typed(&entry.line, top, Typing::Here, &mut inside);
    if entry.line.is_selected() {
        inside.right(top + 1, "typing replaces this; an arrow key keeps it", Role::Faint);
    } else if let Some(words) = entry.understood() {
        let width = inside.width();
        inside.cut(0, top + 1, width, &format!("= {words}"), Role::Good);
    }
    let role = if entry.error.is_some() { Role::Bad } else { Role::Faint };
    for (line, text) in advice.iter().enumerate() {
        inside.text(0, top + 2 + line, text, role);
    }
    let offers = offer_lines(entry, appearance);
    for (line, (place, text)) in offers.iter().enumerate().skip(first).take(room).enumerate() {
        let role = if entry.offered() == Some(place) { Role::Strong } else { Role::Plain };
        inside.text(0, top + 2 + advice.len() + line, text, role);
    }
}

/// Puts the cursor of a line to type where a click meets it. A click beside the line keeps what is there too.
pub(in crate::workbench) fn click_entry(
    entry: &mut EntryBox,
    screen: (usize, usize),
    appearance: Appearance,
    cell: (usize, usize),
) {
    let EntryMeasure { title: (_, rest), width, height, .. } = EntryMeasure::of(entry, screen, appearance);
    let inside = Inside::of(screen, width, height);
    entry.line.keep();
    entry.error = None;
    if inside.line(cell) == Some(rest.len()) {
        let place =
            LineInView::of(&entry.line, inside.width, Typing::Here, appearance).place_at(cell.0 - inside.x, appearance);
        entry.line.go_to(place);
    }
}

/// Returns the columns and lines of points or notes inside their box, on a screen of this size.
fn points_measure(title: &str, screen: (usize, usize)) -> (usize, usize) {
    (comfortable_under(title, screen.0), screen.1.saturating_sub(8).clamp(3, 20))
}

/// Returns the first line in view of points or notes.
fn first_line(points: &PointsBox, height: usize) -> usize {
    let mut scroll = Scroll::default();
    scroll.show(points.lines.row(), points.lines.lines().len(), height);
    scroll.first()
}

/// Draws points or notes, and the cursor in one of them.
pub(super) fn draw_points(points: &PointsBox, region: &mut Region<'_>) {
    let (width, height) = points_measure(&points.title, (region.width(), region.height()));
    let height = Inside::of((region.width(), region.height()), width, height).height;
    let (first, lines) = (first_line(points, height), points.lines.lines());
    let unseen = Unseen::of(Counted::Lines, first, height, lines.len());
    let mut inside = framed(region, &points.title, (width, height), unseen);
    let dot = inside.appearance().glyphs().dot;
    for (y, (row, line)) in lines.iter().enumerate().skip(first).take(height).enumerate() {
        inside.text(0, y, dot, Role::Faint);
        let width = inside.width();
        let typing = if row == points.lines.row() { Typing::Here } else { Typing::Elsewhere };
        draw_typed(line, 0, typing, &mut inside.part(2, y, width.saturating_sub(2), 1));
    }
}

/// Puts the cursor of points or notes where a click meets one of them.
pub(in crate::workbench) fn click_points(
    points: &mut PointsBox,
    screen: (usize, usize),
    appearance: Appearance,
    cell: (usize, usize),
) {
    let (width, height) = points_measure(&points.title, screen);
    let inside = Inside::of(screen, width, height);
    let Some(line) = inside.line(cell) else { return };
    let row = first_line(points, inside.height) + line;
    let Some(typed) = points.lines.lines().get(row) else { return };
    let typing = if row == points.lines.row() { Typing::Here } else { Typing::Elsewhere };
    let shown = LineInView::of(typed, inside.width.saturating_sub(2), typing, appearance);
    let place = shown.place_at(cell.0.saturating_sub(inside.x + 2), appearance);
    points.lines.go_to(row, place);
}

/// Whether what is typed goes into a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::workbench) enum Typing {
    /// It does.
    Here,
    /// It does not.
    Elsewhere,
}

/// The part of a line that is in view.
struct LineInView<'a> {
    text: &'a str,
    /// The bytes of it that are in view.
    bytes: Range<usize>,
    /// Whether the line goes on before that, which takes a column.
    before: bool,
    /// Whether it goes on behind that.
    after: bool,
}

impl<'a> LineInView<'a> {
    /// Returns the part around the cursor, where something is typed, else the beginning, in so many columns.
    fn of(line: &'a TypedLine, width: usize, typing: Typing, appearance: Appearance) -> Self {
        let text = line.text();
        let cursor = match typing {
            Typing::Here => line.cursor(),
            Typing::Elsewhere => 0,
        };
        let wide = |sign: &str| columns(&appearance.shown(sign));
        let (left, right) = text.split_at_checked(cursor).unwrap_or((text, ""));
        // Behind the cursor one sign stays in view, or the place for the next one.
        let mut room = width.saturating_sub(2);
        let mut begin = cursor;
        // A sign that takes no column of its own is rare; of a line as long as a script only what may be in view is looked at.
        let most = 2 * width + 2;
        for (sign, _) in signs(left).rev().take(most) {
            let Some(rest) = room.checked_sub(wide(sign)) else { break };
            (room, begin) = (rest, begin - sign.len());
        }
        // The sign of more takes the column of what is first in view.
        let before = begin > 0;
        if before && let Some((first, _)) = signs(text.get(begin..cursor).unwrap_or("")).next() {
            begin += first.len();
        }
        let used: usize = usize::from(before)
            + signs(text.get(begin..cursor).unwrap_or("")).map(|(sign, _)| wide(sign)).sum::<usize>();
        let mut room = width.saturating_sub(used);
        let mut end = cursor;
        for (sign, _) in signs(right).take(most) {
            let Some(rest) = room.checked_sub(wide(sign)) else { break };
            (room, end) = (rest, end + sign.len());
        }
        let after = end < text.len();
        // Its sign of more takes a column too, from behind the sign under the cursor.
        if after
            && room == 0
            && let Some((last, _)) = signs(text.get(cursor..end).unwrap_or("")).next_back()
        {
            end -= last.len();
        }
        Self { text, bytes: begin..end, before, after }
    }

    /// Returns how many bytes of the line stand before a column of it.
    fn place_at(&self, column: usize, appearance: Appearance) -> usize {
        let mut x = usize::from(self.before);
        let mut place = self.bytes.start;
        for (sign, _) in signs(self.text.get(self.bytes.clone()).unwrap_or("")) {
            x += columns(&appearance.shown(sign));
            if x > column {
                break;
            }
            place += sign.len();
        }
        place
    }
}

/// Draws a line being typed; where it is too long, the part around the cursor, with a sign at each end where it goes on.
pub(in crate::workbench) fn draw_typed(line: &TypedLine, y: usize, typing: Typing, region: &mut Region<'_>) {
    let appearance = region.appearance();
    let shown = LineInView::of(line, region.width(), typing, appearance);
    let more = appearance.glyphs().more;
    let mut x = 0;
    if shown.before {
        x = region.text(x, y, more, Role::Caution);
    }
    let begin = x;
    let cursor = line.cursor().clamp(shown.bytes.start, shown.bytes.end);
    let part = |bytes: Range<usize>| appearance.shown(line.text().get(bytes).unwrap_or("")).into_owned();
    let (left, right) = (part(shown.bytes.start..cursor), part(cursor..shown.bytes.end));
    x = region.text(x, y, &left, Role::Strong);
    let end = region.text(x, y, &right, Role::Strong);
    if shown.after {
        region.text(end, y, more, Role::Caution);
    }
    if typing == Typing::Elsewhere {
        return;
    }
    if line.is_selected() {
        region.paint(begin, end, y, Role::Selected);
    }
    if right.is_empty() {
        region.text(x, y, "_", Role::Cursor);
    } else {
        let wide = right.chars().next().map_or(1, |letter| columns(letter.encode_utf8(&mut [0; 4])).max(1));
        region.paint(x, x + wide, y, Role::Cursor);
    }
}
