//! Drawing the timeline: the list under the lanes, or alone with columns.

use crate::lesson::bar_numbers::BarNumbers;
use crate::lesson::cut_video::CutVideo;
use crate::lesson::document::{Lesson, Segment};
use crate::lesson::time::{VideoLength, VideoTime};
use crate::plan::schedule::{Balance, Totals, uncut_lengths};
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
use crate::workbench::panes::timeline::pane::TimelinePane;
use crate::workbench::panes::timeline::row::{RowSelection, begin_row, end_row};
use crate::workbench::panes::timeline::row_tuning::{RowTuning, row_tunings};
use crate::workbench::panes::timeline::row_widths::{GAP, KIND, RowWidths, RowWords, TimeWidths};
use crate::workbench::typing::time::write_cuts;

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
    let tunings = row_tunings(lesson);
    let starts = lesson.planned_starts().collect::<Vec<VideoTime>>();
    let recorded = recorded_texts(lesson);
    let recorded_room = recorded.iter().map(|text| columns(text)).max().unwrap_or(0);
    let selected = pane.place(lesson);
    let times = TimeWidths::of(lesson, &starts, region.width());
    let title = times.all() + KIND + if has_recorded(lesson) { recorded_room + GAP } else { 0 };
    let widths = RowWidths::of(lesson, &tunings, region.width(), region.width().saturating_sub(title));
    for (line, place) in (pane.scroll().first()..lesson.segments.len()).take(height).enumerate() {
        let (Some(segment), Some(start)) = (lesson.segments.get(place), starts.get(place)) else { continue };
        let row = &mut region.list_line(top + line, last, unseen);
        let mark = pane.flaws().mark(segment.id);
        let role = begin_row(mark, RowSelection::of(place, selected), row);
        row.text(2, 0, &times.text(place + 1, *start, &segment.planned.to_string()), role);
        if has_recorded(lesson) {
            row.text(times.all(), 0, recorded.get(place).map_or("", String::as_str), Role::Recorded);
        }
        row.text(title - KIND, 0, segment.kind.word(), Role::Plain);
        let flaw = if place == selected { pane.flaws().words(segment.id) } else { None };
        let tuning = tunings.get(place).copied().unwrap_or(RowTuning::Unsaid);
        let words = RowWords { title: &segment.title, tuning, flaw, about: about(lesson, segment) };
        row.cut(title, 0, widths.title_room(&words), words.title, role);
        let (at, beside) = widths.beside(&words, row.appearance().glyphs().more);
        // A sign that something is left out stands in the last column that there is.
        let edge = row.width().saturating_sub(1);
        row.text(if columns(&beside) == 1 { edge.min(title + at) } else { title + at }, 0, &beside, Role::Plain);
        end_row(mark, RowSelection::of(place, selected), row, focused);
        if place == selected && widths.cuts(&words) {
            draw_whole(&words, top + lesson.segments.len(), region);
        }
    }
}

/// Draws all that a row says of its segment, where the list leaves lines free: from line `y` on, or after a gap where that leaves enough.
fn draw_whole(words: &RowWords<'_>, y: usize, region: &mut Region<'_>) {
    let width = region.width().saturating_sub(4);
    // Wrapped lines leave no room for the gaps between facts.
    let about = words.about.replace("   ", ", ");
    let tuning = words.tuning.words();
    let beside: Vec<&str> = [tuning.as_str(), &about].into_iter().filter(|text| !text.is_empty()).collect();
    let flaw = words.flaw.as_deref().unwrap_or("");
    let texts = [(words.title, Role::Strong), (&beside.join(", "), Role::Plain), (flaw, Role::Caution)];
    let lines = texts.map(|(text, role)| (region.appearance().wrapped(text, width), role));
    let lines = lines.iter().flat_map(|(lines, role)| lines.iter().map(move |line| (line, *role)));
    let lines: Vec<(&String, Role)> = lines.filter(|(text, _)| !text.is_empty()).collect();
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

/// Returns what else there is to know about a segment beside its tuning: music, first talking point.
fn about(lesson: &Lesson, segment: &Segment) -> String {
    let mut facts = Vec::new();
    if !segment.progress.is_unsaid() {
        facts.push(segment.progress.word().to_owned());
    }
    if !segment.cuts.is_empty() {
        facts.push(format!("cut out {}", write_cuts(&segment.cuts)));
    }
    for used in &segment.passages {
        if let Some(passage) = lesson.passage(used.passage) {
            let bars = used.bars.map_or(String::new(), |bars| format!(", {}", BarNumbers::of(passage).range(bars)));
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
    facts.join("   ")
}
