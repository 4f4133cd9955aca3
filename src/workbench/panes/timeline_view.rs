//! Drawing the timeline: the lanes to scale, and the list.

use super::timeline::TimelinePane;
use crate::lesson::document::{Lesson, Segment};
use crate::lesson::time::{VideoLength, VideoTime};
use crate::plan::schedule::{Totals, recorded_lengths};
use crate::tab::clean::width as columns;
use crate::workbench::edited_lesson::EditedLesson;
use crate::workbench::look::Role;
use crate::workbench::pen::{Focused, Pen};

/// The columns before the lanes: room for `recorded` and a gap.
const LANE_LEFT: usize = 11;

/// Where the blocks of the planned lane lie, in columns of the pane, first and one past last. The
/// one at place `selected` has at least one column, at the cost of its neighbour.
fn blocks(lesson: &Lesson, width: usize, selected: usize) -> Vec<(usize, usize)> {
    let scale = Scale::of(lesson, width);
    let starts = lesson.planned_starts().collect::<Vec<VideoTime>>();
    let ends = starts.iter().zip(&lesson.segments).map(|(start, segment)| *start + segment.planned);
    let mut blocks: Vec<(usize, usize)> =
        starts.iter().zip(ends).map(|(start, end)| (scale.column(start.0), scale.column(end.0))).collect();
    let Some((from, to)) = blocks.get(selected).copied().filter(|(from, to)| from == to) else { return blocks };
    let edge = scale.column(u32::MAX);
    let (from, to) = if to < edge { (from, to + 1) } else { (edge.saturating_sub(1), edge) };
    for (place, (start, end)) in blocks.iter_mut().enumerate() {
        if place < selected {
            (*start, *end) = ((*start).min(from), (*end).min(from));
        } else if place == selected {
            (*start, *end) = (from, to);
        } else {
            (*start, *end) = ((*start).max(to), (*end).max(to));
        }
    }
    blocks
}

/// How milliseconds become columns: the longer of plan and recording fills the pane.
struct Scale {
    room: u64,
    total: u64,
}

impl Scale {
    fn of(lesson: &Lesson, width: usize) -> Self {
        let room = u64::try_from(width.saturating_sub(LANE_LEFT + 1)).unwrap_or(0);
        let lengths = recorded_lengths(&lesson.segments);
        let ends = lesson.segments.iter().zip(lengths).filter_map(|(segment, length)| {
            Some(u64::from(segment.recorded?.start.0) + u64::from(length.map_or(0, |length| length.0)))
        });
        let planned = u64::from(Totals::of(lesson).planned.0);
        Self { room, total: ends.fold(planned, u64::max).max(1) }
    }

    fn column(&self, milliseconds: u32) -> usize {
        let column = u64::from(milliseconds).saturating_mul(self.room) / self.total;
        LANE_LEFT + usize::try_from(column.min(self.room)).unwrap_or(0)
    }
}

/// Returns the place of the segment whose block lies at column `x` of the planned lane.
pub fn segment_in_lane(pane: &TimelinePane, lesson: &Lesson, width: usize, x: usize) -> Option<usize> {
    blocks(lesson, width, pane.place(lesson)).iter().rposition(|(from, to)| (*from..*to).contains(&x))
}

/// Returns whether anything is recorded, and so whether the second lane is drawn.
fn has_recorded(lesson: &Lesson) -> bool {
    lesson.segments.iter().any(|segment| segment.recorded.is_some())
}

/// Returns the line of the pane where the list begins.
pub fn list_top(lesson: &Lesson) -> usize {
    if has_recorded(lesson) { 3 } else { 2 }
}

/// Returns how many lines of a pane of `height` the list has.
pub fn list_height(lesson: &Lesson, height: usize) -> usize {
    height.saturating_sub(list_top(lesson))
}

/// Draws the whole pane.
pub fn draw(pane: &TimelinePane, open: &EditedLesson, pen: &mut Pen<'_>, focused: Focused) {
    let lesson = open.lesson();
    let total = Totals::of(lesson).planned;
    let count = lesson.segments.len();
    let note = format!("{count} segment{}   0:00 to {total}", if count == 1 { "" } else { "s" });
    pen.heading("Timeline", &note, focused);
    if lesson.segments.is_empty() {
        pen.text(2, 2, "No segments yet.", Role::Strong);
        pen.text(2, 3, "Press a to add the first: say hello, and what is coming.", Role::Plain);
        return;
    }
    draw_planned(pane, lesson, pen, focused);
    if has_recorded(lesson) {
        draw_recorded(lesson, pen);
    }
    draw_list(pane, open, pen, focused);
}

/// Draws the selected segment on one line.
pub fn draw_line(pane: &TimelinePane, open: &EditedLesson, pen: &mut Pen<'_>) {
    let lesson = open.lesson();
    let place = pane.place(lesson);
    let text = match lesson.segments.get(place) {
        Some(segment) => {
            let (number, count) = (place + 1, lesson.segments.len());
            format!("{number} of {count}   {}   {}   {}", segment.planned, segment.kind.word(), segment.title)
        }
        None => "no segments yet".to_owned(),
    };
    pen.heading("Timeline", &text, Focused::No);
}

fn draw_planned(pane: &TimelinePane, lesson: &Lesson, pen: &mut Pen<'_>, focused: Focused) {
    let glyphs = pen.look().glyphs();
    pen.text(1, 1, "planned", Role::Faint);
    if Totals::of(lesson).planned.0 == 0 {
        pen.text(LANE_LEFT, 1, "nothing has a length yet", Role::Faint);
        return;
    }
    let selected = pane.place(lesson);
    let blocks = blocks(lesson, pen.width(), selected);
    let end = blocks.last().map_or(LANE_LEFT, |(_, to)| *to);
    pen.text(end, 1, glyphs.upright, Role::Faint);
    for (place, ((from, to), segment)) in blocks.iter().zip(&lesson.segments).enumerate() {
        if place != selected && to > from {
            pen.text(*from, 1, glyphs.upright, Role::Faint);
            pen.cut(from + 1, 1, to.saturating_sub(from + 1), &segment.title, Role::Plain);
        }
    }
    // Drawn last, so that a segment of a few seconds is seen when it is selected.
    if let (Some((from, to)), Some(segment)) = (blocks.get(selected), lesson.segments.get(selected)) {
        pen.text(*from, 1, glyphs.pointer, Role::Strong);
        pen.cut(from + 1, 1, to.saturating_sub(from + 1), &segment.title, Role::Strong);
        pen.paint(*from, (*to).max(from + 1), 1, focused.selection());
    }
}

fn draw_recorded(lesson: &Lesson, pen: &mut Pen<'_>) {
    let glyphs = pen.look().glyphs();
    pen.text(1, 2, "recorded", Role::Faint);
    let scale = Scale::of(lesson, pen.width());
    for (segment, length) in lesson.segments.iter().zip(recorded_lengths(&lesson.segments)) {
        let Some(recorded) = segment.recorded else { continue };
        let from = scale.column(recorded.start.0);
        let to = length.map_or(from + 1, |length| scale.column(recorded.start.0.saturating_add(length.0)));
        pen.text(from, 2, glyphs.upright, Role::Recorded);
        pen.cut(from + 1, 2, to.saturating_sub(from + 1), &segment.title, Role::Recorded);
        pen.text(to, 2, glyphs.upright, Role::Recorded);
    }
}

fn draw_list(pane: &TimelinePane, open: &EditedLesson, pen: &mut Pen<'_>, focused: Focused) {
    let lesson = open.lesson();
    let top = list_top(lesson);
    let height = list_height(lesson, pen.height());
    let starts = lesson.planned_starts().collect::<Vec<VideoTime>>();
    let recorded = recorded_texts(lesson);
    let recorded_room = recorded.iter().map(|text| columns(text)).max().unwrap_or(0);
    let selected = pane.place(lesson);
    // Titles share one width, so that what follows them stands in columns.
    let widest = lesson.segments.iter().map(|segment| columns(&segment.title)).max().unwrap_or(0);
    let title_room = widest.clamp(8, (pen.width() / 3).max(8));
    for (line, place) in (pane.scroll().first()..lesson.segments.len()).take(height).enumerate() {
        let (Some(segment), Some(start)) = (lesson.segments.get(place), starts.get(place)) else { continue };
        let y = top + line;
        let (mark, role) =
            if place == selected { (pen.look().glyphs().pointer, Role::Strong) } else { (" ", Role::Plain) };
        pen.text(0, y, mark, Role::Strong);
        let times = format!("{:>3} {:>7} {:>7}", place + 1, start.to_string(), segment.planned.to_string());
        let mut x = pen.text(1, y, &times, role) + 2;
        if has_recorded(lesson) {
            pen.text(x, y, recorded.get(place).map_or("", String::as_str), Role::Recorded);
            x += recorded_room + 2;
        }
        pen.text(x, y, segment.kind.word(), Role::Plain);
        pen.cut(x + 12, y, title_room, &segment.title, role);
        pen.text(x + 14 + title_room, y, &about(lesson, segment), Role::Plain);
        if place == selected {
            pen.paint(1, pen.width(), y, focused.selection());
        }
    }
}

/// Returns when each segment was recorded, in whole seconds: `rec 1:23-2:40`. Without an end of its
/// own it ends where the next one starts.
fn recorded_texts(lesson: &Lesson) -> Vec<String> {
    let whole = |VideoTime(milliseconds)| VideoTime(milliseconds - milliseconds % 1000);
    let text = |(segment, length): (&Segment, Option<VideoLength>)| match (segment.recorded, length) {
        (Some(recorded), Some(length)) => {
            format!("rec {}-{}", whole(recorded.start), whole(recorded.start + length))
        }
        (Some(recorded), None) => format!("rec {}", whole(recorded.start)),
        (None, _) => String::new(),
    };
    lesson.segments.iter().zip(recorded_lengths(&lesson.segments)).map(text).collect()
}

/// Returns what else there is to know about a segment: setup, music, first talking point.
fn about(lesson: &Lesson, segment: &Segment) -> String {
    let mut facts = Vec::new();
    if let Some(setup) = segment.setup.and_then(|id| lesson.setup(id)) {
        facts.push(setup.name.clone());
    }
    for used in &segment.passages {
        if let Some(passage) = lesson.passage(used.passage) {
            let bars = used.bars.map_or(String::new(), |bars| format!(", bars {} to {}", bars.first, bars.last));
            facts.push(format!("{}{bars}", passage.title));
        }
    }
    match segment.voicings.len() {
        0 => {}
        1 => facts.push("1 voicing".into()),
        count => facts.push(format!("{count} voicings")),
    }
    for piece in segment.pieces.iter().filter_map(|id| lesson.piece(*id)) {
        facts.push(format!("of {}", piece.title));
    }
    if let Some(point) = segment.talking_points.first() {
        facts.push(format!("say: {point}"));
    }
    facts.join("   ")
}
