//! Drawing the timeline: the list under the lanes, or alone with columns.

use crate::lesson::document::Lesson;
use crate::lesson::time::VideoLength;
use crate::plan::schedule::{Balance, Totals};
use crate::text::width::width as columns;
use crate::workbench::drawing::region::{Focused, Region};
use crate::workbench::drawing::role::Role;
use crate::workbench::drawing::short_time::{SECOND, rounded, seconds};
use crate::workbench::drawing::unseen::Unseen;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::editing::segment_changes::Ripple;
use crate::workbench::panes::timeline::columns;
use crate::workbench::panes::timeline::lanes;
use crate::workbench::panes::timeline::list_heading::{TimelineView, has_recorded};
use crate::workbench::panes::timeline::list_rows::{ListRows, whole_lines};
use crate::workbench::panes::timeline::pane::TimelinePane;
use crate::workbench::panes::timeline::row::{RowSelection, begin_row, end_row};
use crate::workbench::panes::timeline::row_widths::KIND;

/// Draws the whole pane.
pub fn draw(pane: &TimelinePane, open: &EditedLesson, region: &mut Region<'_>, focused: Focused) {
    let lesson = open.lesson();
    let unseen = pane.unseen(lesson, region.height());
    let notes = heading_notes(pane, lesson);
    let unseen =
        region.heading_over("Timeline", &notes.iter().map(String::as_str).collect::<Vec<&str>>(), unseen, focused);
    if lesson.segments.is_empty() {
        region.text(2, 2, "No segments yet.", Role::Strong);
        region.text(2, 3, pane.empty(), Role::Plain);
        return;
    }
    match pane.show() {
        TimelineView::Lanes => {
            lanes::draw(pane, lesson, region, focused);
            draw_list(pane, lesson, unseen, region, focused);
        }
        TimelineView::Columns => columns::draw(pane, lesson, unseen, region, focused),
    }
}

/// Returns what the line over the pane says: what is going on, then what it all comes to; behind it the same with less, for where there
/// is no room. The goal is what is given up last.
fn heading_notes(pane: &TimelinePane, lesson: &Lesson) -> Vec<String> {
    if let Some(words) = pane.drag().and_then(|drag| drag.words(lesson)) {
        return vec![words];
    }
    let totals = Totals::of(lesson);
    let count = lesson.segments.len();
    let mut going_on = Vec::new();
    if pane.ripple() == Ripple::On {
        going_on.push("shifts later times".to_owned());
    }
    if pane.window().is_part() && pane.show() == TimelineView::Lanes {
        let (from, to) = pane.window().span(lesson);
        going_on.push(format!("{} to {} shown", seconds(from.0), seconds(to.0)));
    }
    let mut facts = vec![format!("{count} segment{}", if count == 1 { "" } else { "s" })];
    facts.push(format!("planned {}", seconds(totals.planned.0)));
    if totals.recorded_segments > 0 {
        facts.push(format!("recorded {}", seconds(totals.recorded.0)));
    }
    if totals.left_out > VideoLength::ZERO {
        facts.push(format!("{} cut out", seconds(totals.left_out.0)));
    }
    facts.extend(goal_words(&totals));
    let without = |given_up: usize| {
        let said = going_on.iter().chain(facts.iter().skip(given_up)).map(String::as_str);
        said.collect::<Vec<&str>>().join("   ")
    };
    (0..facts.len()).map(without).collect()
}

/// Says how the plan stands to the goal, in the whole seconds that are shown of both.
fn goal_words(totals: &Totals) -> Option<String> {
    let whole = |VideoLength(milliseconds)| VideoLength(rounded(milliseconds, SECOND));
    let target = whole(totals.target?);
    let shown = Totals { planned: whole(totals.planned), target: Some(target), ..*totals };
    Some(match shown.balance()? {
        Balance::Over(over) => format!("goal {target}, {over} over"),
        Balance::Under(under) => format!("goal {target}, {under} left"),
        Balance::Even => format!("goal {target} reached"),
    })
}

/// Draws the selected segment on one line.
pub fn draw_line(pane: &TimelinePane, open: &EditedLesson, region: &mut Region<'_>) {
    let lesson = open.lesson();
    let place = pane.place(lesson);
    let text = match lesson.segments.get(place) {
        Some(segment) => {
            let (number, count) = (place + 1, lesson.segments.len());
            format!("{number} of {count}   {}   {}   {}", segment.planned, segment.kind.word(), segment.title)
        }
        None => "no segments yet".to_owned(),
    };
    region.heading("Timeline", &text, Focused::No);
}

fn draw_list(pane: &TimelinePane, lesson: &Lesson, unseen: Unseen, region: &mut Region<'_>, focused: Focused) {
    let top = pane.show().list_top(lesson);
    let (height, last) = (pane.show().list_height(lesson, region.height()), region.height().saturating_sub(1));
    let (rows, selected) = (ListRows::of(lesson, region.width()), pane.place(lesson));
    let (title, widths) = (rows.title, rows.widths);
    for (line, place) in (pane.scroll().first()..lesson.segments.len()).take(height).enumerate() {
        let (Some(segment), Some(start)) = (lesson.segments.get(place), rows.starts.get(place)) else { continue };
        let row = &mut region.list_line(top + line, last, unseen);
        let mark = pane.flaws().mark(segment.id);
        let role = begin_row(mark, RowSelection::of(place, selected), row);
        row.text(2, 0, &rows.times.text(place + 1, *start, &segment.planned.to_string()), role);
        if has_recorded(lesson) {
            row.text(rows.times.all(), 0, rows.recorded.get(place).map_or("", String::as_str), Role::Recorded);
        }
        row.text(title - KIND, 0, segment.kind.word(), Role::Plain);
        let words = rows.words(pane, lesson, (place, segment));
        row.cut(title, 0, widths.title_room(&words), words.title, role);
        let (at, beside) = widths.beside(&words, row.appearance().glyphs().more);
        // A sign that something is left out stands in the last column that there is.
        let edge = row.width().saturating_sub(1);
        row.text(if columns(&beside) == 1 { edge.min(title + at) } else { title + at }, 0, &beside, Role::Plain);
        end_row(mark, RowSelection::of(place, selected), row, focused);
        if place == selected {
            draw_whole(
                &whole_lines(&rows, &words, (region.width(), region.appearance())),
                top + lesson.segments.len(),
                region,
            );
        }
    }
}

/// Draws all that a row says of its segment, where the list leaves lines free: from line `y` on, or after a gap where that leaves enough.
fn draw_whole(lines: &[(String, Role)], y: usize, region: &mut Region<'_>) {
    let room = region.height().saturating_sub(y);
    let gap = usize::from(room > lines.len());
    let (y, room) = (y + gap, room - gap);
    for (line, (text, role)) in lines.iter().take(room).enumerate() {
        let end = region.text(2, y + line, text, *role);
        if line + 1 == room && lines.len() > room {
            let more = region.appearance().glyphs().more;
            region.text(end, y + line, more, *role);
        }
    }
}
