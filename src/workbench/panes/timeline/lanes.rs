//! Drawing the lanes of the timeline: plan and recording, one under the other and to one scale.

use crate::lesson::document::{Lesson, Progress, Segment};
use crate::lesson::time::VideoLength;
use crate::workbench::drawing::region::{Focused, Region};
use crate::workbench::drawing::role::Role;
use crate::workbench::panes::timeline::lane_scale::{
    LANE_LEFT, LaneScale, PLANNED, RECORDED, planned_blocks, recorded_blocks,
};
use crate::workbench::panes::timeline::pane::TimelinePane;

/// Draws the lanes on lines 1 and 2 of the pane; the second only where something is recorded.
pub fn draw(pane: &TimelinePane, lesson: &Lesson, region: &mut Region<'_>, focused: Focused) {
    let dragged = pane.drag().map(|drag| drag.preview(lesson));
    let segments = dragged.as_deref().unwrap_or(&lesson.segments);
    draw_planned(pane, lesson, segments, region, focused);
    if segments.iter().any(|segment| segment.recorded.is_some()) {
        draw_recorded(pane, lesson, segments, region);
    }
}

fn draw_planned(pane: &TimelinePane, lesson: &Lesson, segments: &[Segment], region: &mut Region<'_>, focused: Focused) {
    let glyphs = region.appearance().glyphs();
    region.text(1, PLANNED, "planned", Role::Faint);
    if segments.iter().all(|segment| segment.planned == VideoLength::ZERO) {
        region.text(LANE_LEFT, PLANNED, "nothing has a length yet", Role::Faint);
        return;
    }
    let selected = pane.place(lesson);
    let scale = LaneScale::of(pane.window(), lesson, region.width());
    let blocks = planned_blocks(segments, selected, scale);
    let end = blocks.last().map_or(LANE_LEFT, |(_, to)| *to);
    region.text(end, PLANNED, glyphs.upright, Role::Faint);
    let title = |segment: &Segment| format!("{}{}", pane.flaws().mark(segment.id), segment.title);
    let mut start = 0;
    for (place, ((from, to), segment)) in blocks.iter().zip(segments).enumerate() {
        if place != selected && to > from {
            let border = if scale.is_cut(start) { glyphs.more } else { glyphs.upright };
            region.text(*from, PLANNED, border, Role::Faint);
            region.cut(from + 1, PLANNED, to.saturating_sub(from + 1), &title(segment), Role::Plain);
        }
        start += u64::from(segment.planned.0);
    }
    // Drawn last, so that a segment of a few seconds is seen when it is selected.
    if let (Some((from, to)), Some(segment)) = (blocks.get(selected), segments.get(selected)) {
        region.text(*from, PLANNED, glyphs.pointer, Role::Strong);
        region.cut(from + 1, PLANNED, to.saturating_sub(from + 1), &title(segment), Role::Strong);
        region.paint(*from, (*to).max(from + 1), PLANNED, focused.selection());
    }
}

/// What stands for a stretch that is cut out of the video, as after a retake.
const LEFT_OUT: &str = "/";

/// Returns in which columns of a block the stretches lie that are cut out of its segment, each at least one column wide.
fn cut_columns(
    segment: &Segment,
    scale: LaneScale,
    (left, right): (usize, usize),
    edge: (usize, usize),
) -> impl Iterator<Item = (usize, usize)> {
    segment.cuts.iter().filter_map(move |cut| {
        let (from, to) = (scale.column(u64::from(cut.from.0)), scale.column(u64::from(cut.to.0)));
        // What lies wholly outside of what is shown stands on an edge.
        if left >= right || (from == to && (from == edge.0 || from == edge.1)) {
            return None;
        }
        let from = from.clamp(left, right - 1);
        Some((from, to.clamp(from + 1, right)))
    })
}

/// Returns the widest part of a block beside what is cut out, where its title has the most room.
fn widest_between(cuts: &[(usize, usize)], (left, right): (usize, usize)) -> (usize, usize) {
    let mut cuts: Vec<(usize, usize)> = cuts.to_vec();
    cuts.sort_unstable();
    let (mut best, mut at) = ((left, left), left);
    for (from, to) in cuts.into_iter().chain([(right, right)]) {
        if from.saturating_sub(at) > best.1 - best.0 {
            best = (at, from);
        }
        at = at.max(to);
    }
    best
}

fn draw_recorded(pane: &TimelinePane, lesson: &Lesson, segments: &[Segment], region: &mut Region<'_>) {
    let glyphs = region.appearance().glyphs();
    region.text(1, RECORDED, "recorded", Role::Faint);
    let scale = LaneScale::of(pane.window(), lesson, region.width());
    let edge = (scale.column(0), scale.column(u64::MAX));
    for (place, (from, to)) in recorded_blocks(segments, scale) {
        let Some(segment) = segments.get(place) else { continue };
        let start = segment.recorded.map_or(0, |known| u64::from(known.start.0));
        // What lies wholly outside of what is shown stands on an edge, with no column of its own.
        if pane.window().is_part() && (to <= edge.0 || from >= edge.1) {
            continue;
        }
        let border = if scale.is_cut(start) { glyphs.more } else { glyphs.upright };
        region.text(from, RECORDED, border, Role::Recorded);
        let title = match segment.progress {
            Progress::Final => format!("{}{}", glyphs.kept, segment.title),
            Progress::ReRecord => format!("re-record: {}", segment.title),
            Progress::Unsaid | Progress::Idea | Progress::Drafted | Progress::Practised => segment.title.clone(),
        };
        let cuts: Vec<(usize, usize)> = cut_columns(segment, scale, (from + 1, to), edge).collect();
        let (x, end) = widest_between(&cuts, (from + 1, to));
        region.cut(x, RECORDED, end.saturating_sub(x), &title, Role::Recorded);
        for (x, end) in cuts {
            region.line(x, end, RECORDED, LEFT_OUT, Role::Faint);
        }
        region.text(to, RECORDED, glyphs.upright, Role::Recorded);
    }
}
