//! Drawing the timeline: the list under the lanes, or alone with columns.

use crate::lesson::cut_video::CutVideo;
use crate::lesson::document::{Lesson, Segment};
use crate::lesson::time::{VideoLength, VideoTime};
use crate::plan::schedule::{Balance, Totals, uncut_lengths};
use crate::text::width::width as columns;
use crate::workbench::drawing::region::{Focused, Region};
use crate::workbench::drawing::role::Role;
use crate::workbench::drawing::short_time::{SECOND, rounded, seconds};
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::editing::segment_changes::Ripple;
use crate::workbench::panes::timeline::columns;
use crate::workbench::panes::timeline::lanes;
use crate::workbench::panes::timeline::list_heading::{Show, has_recorded};
use crate::workbench::panes::timeline::pane::TimelinePane;
use crate::workbench::panes::timeline::row::{RowSelection, begin_row, end_row};
use crate::workbench::panes::timeline::row_tuning::{RowTuning, row_tunings};
use crate::workbench::typing::time::write_cuts;

/// Draws the whole pane.
pub fn draw(pane: &TimelinePane, open: &EditedLesson, region: &mut Region<'_>, focused: Focused) {
    let lesson = open.lesson();
    let unseen = pane.unseen(lesson, region.height());
    region.heading_over("Timeline", &heading_note(pane, lesson), unseen, focused);
    if lesson.segments.is_empty() {
        region.text(2, 2, "No segments yet.", Role::Strong);
        region.text(2, 3, "Press a to add the first: say hello, and what is coming.", Role::Plain);
        return;
    }
    match pane.show() {
        Show::Lanes => {
            lanes::draw(pane, lesson, region, focused);
            draw_list(pane, lesson, region, focused);
        }
        Show::Columns => columns::draw(pane, lesson, region, focused),
    }
}

/// Returns what the line over the pane says: what is going on, then what it all comes to.
fn heading_note(pane: &TimelinePane, lesson: &Lesson) -> String {
    if let Some(words) = pane.drag().and_then(|drag| drag.words(lesson)) {
        return words;
    }
    let totals = Totals::of(lesson);
    let count = lesson.segments.len();
    let mut facts = Vec::new();
    if pane.ripple() == Ripple::On {
        facts.push("shifts later times".to_owned());
    }
    if pane.window().is_part() && pane.show() == Show::Lanes {
        let (from, to) = pane.window().span(lesson);
        facts.push(format!("{} to {} shown", seconds(from.0), seconds(to.0)));
    }
    facts.push(format!("{count} segment{}", if count == 1 { "" } else { "s" }));
    facts.push(format!("planned {}", seconds(totals.planned.0)));
    if totals.recorded_segments > 0 {
        facts.push(format!("recorded {}", seconds(totals.recorded.0)));
    }
    if totals.left_out > VideoLength::ZERO {
        facts.push(format!("{} cut out", seconds(totals.left_out.0)));
    }
    facts.extend(goal_words(&totals));
    facts.join("   ")
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

/// The least room in which it helps to read what there is to know about a segment besides its title.
const LEAST_ABOUT: usize = 14;

fn draw_list(pane: &TimelinePane, lesson: &Lesson, region: &mut Region<'_>, focused: Focused) {
    let top = pane.show().list_top(lesson);
    let (whole, unseen) = (region.width(), pane.unseen(lesson, region.height()));
    let (height, last) = (pane.show().list_height(lesson, region.height()), region.height().saturating_sub(1));
    let tunings = row_tunings(lesson);
    let starts = lesson.planned_starts().collect::<Vec<VideoTime>>();
    let recorded = recorded_texts(lesson);
    let recorded_room = recorded.iter().map(|text| columns(text)).max().unwrap_or(0);
    let selected = pane.place(lesson);
    // Titles share one width, so that what follows them stands in columns.
    let widest = lesson.segments.iter().map(|segment| columns(&segment.title)).max().unwrap_or(0);
    let usual_room = widest.clamp(8, (region.width() / 3).max(8));
    for (line, place) in (pane.scroll().first()..lesson.segments.len()).take(height).enumerate() {
        let (Some(segment), Some(start)) = (lesson.segments.get(place), starts.get(place)) else { continue };
        let row = &mut region.list_line(top + line, last, unseen);
        let mark = pane.flaws().mark(segment.id);
        let role = begin_row(mark, RowSelection::of(place, selected), row);
        let times = format!("{:>3} {:>7} {:>7}", place + 1, start.to_string(), segment.planned.to_string());
        let mut x = row.text(2, 0, &times, role) + 2;
        if has_recorded(lesson) {
            row.text(x, 0, recorded.get(place).map_or("", String::as_str), Role::Recorded);
            x += recorded_room + 2;
        }
        row.text(x, 0, segment.kind.word(), Role::Plain);
        let flaw = if place == selected { pane.flaws().words(segment.id) } else { None };
        let left = whole.saturating_sub(x + 12);
        let tuning = tunings.get(place).copied().unwrap_or(RowTuning::Unsaid);
        let about = flaw.clone().unwrap_or_else(|| about(lesson, segment, tuning));
        let title_room = match left.saturating_sub(usual_room + 2) {
            // Which tuning comes now matters more than the end of the title.
            rest if flaw.is_none() && tuning.changes() && rest < columns(&tuning.words()) => {
                usual_room.min(left.saturating_sub(2 + columns(&tuning.words()).min(left * 3 / 5)))
            }
            rest if rest >= LEAST_ABOUT => usual_room,
            // A few letters more would say nothing: the title has the room, or what is wrong.
            _ if flaw.is_none() => left,
            _ => usual_room.min(left / 3),
        };
        row.cut(x + 12, 0, title_room, &segment.title, role);
        if title_room < left {
            row.text(x + 14 + title_room, 0, &about, Role::Plain);
        }
        end_row(mark, RowSelection::of(place, selected), row, focused);
    }
}

/// Returns when each segment was recorded, in whole seconds: `rec 1:23-2:40`. Without an end of its
/// own it ends where the next one starts. Where something is cut out, the times are those of the uncut video and say so:
/// `uncut 1:23-2:40`.
fn recorded_texts(lesson: &Lesson) -> Vec<String> {
    let whole = |VideoTime(milliseconds)| VideoTime(milliseconds - milliseconds % 1000);
    let label = if CutVideo::of(&lesson.segments).is_cut() { "uncut" } else { "rec" };
    let text = |(segment, length): (&Segment, Option<VideoLength>)| match (segment.recorded, length) {
        (Some(recorded), Some(length)) => {
            format!("{label} {}-{}", whole(recorded.start), whole(recorded.start + length))
        }
        (Some(recorded), None) => format!("{label} {}", whole(recorded.start)),
        (None, _) => String::new(),
    };
    lesson.segments.iter().zip(uncut_lengths(&lesson.segments)).map(text).collect()
}

/// Returns what else there is to know about a segment: tuning, music, first talking point.
fn about(lesson: &Lesson, segment: &Segment, tuning: RowTuning<'_>) -> String {
    let mut facts = vec![tuning.words()];
    if !segment.progress.is_unsaid() {
        facts.push(segment.progress.word().to_owned());
    }
    if !segment.cuts.is_empty() {
        facts.push(format!("cut out {}", write_cuts(&segment.cuts)));
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
        facts.push(format!("point: {point}"));
    }
    facts.retain(|fact| !fact.is_empty());
    facts.join("   ")
}
