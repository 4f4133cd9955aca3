//! Where plan and recording lie in the lanes: which part of the video is shown, and in which columns of the pane.

use crate::lesson::document::{Lesson, Segment};
use crate::lesson::time::{VideoLength, VideoTime};
use crate::plan::schedule::uncut_lengths;

/// The columns before the lanes: room for `recorded` and a gap.
pub(super) const LANE_LEFT: usize = 11;

/// The line of the pane with the plan, and the one with the recording.
pub(super) const PLANNED: usize = 1;
pub(super) const RECORDED: usize = 2;

/// What a border snaps to, in milliseconds: the longest of these that fits into a column, else the shortest.
const SNAPS: [u64; 8] = [100, 500, 1_000, 5_000, 10_000, 15_000, 30_000, 60_000];

/// The shortest stretch that fills the lanes, in milliseconds.
const CLOSEST: u64 = 5_000;

/// The part of the video that the lanes show.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct LaneWindow {
    /// How often the whole was halved.
    zoom: u32,
    /// Where it begins, in milliseconds.
    from: u64,
}

impl LaneWindow {
    /// Shows half as much, unless that is too little to be of use.
    pub fn closer(&mut self, lesson: &Lesson) {
        if whole(&lesson.segments) >> (self.zoom + 1) >= CLOSEST {
            self.zoom += 1;
        }
    }

    /// Shows twice as much, up to the whole.
    pub const fn farther(&mut self) {
        self.zoom = self.zoom.saturating_sub(1);
    }

    /// Returns whether less than the whole is shown.
    pub const fn is_part(self) -> bool {
        self.zoom > 0
    }

    /// Returns the stretch that is shown.
    pub fn span(self, lesson: &Lesson) -> (VideoTime, VideoTime) {
        let time = |milliseconds: u64| VideoTime(u32::try_from(milliseconds).unwrap_or(u32::MAX));
        let to = self.from + (whole(&lesson.segments) >> self.zoom);
        (time(self.from / 1000 * 1000), time(to.div_ceil(1000) * 1000))
    }

    /// Moves as little as needed to show the planned stretch of the segment at `place`, or its beginning.
    pub fn show(&mut self, lesson: &Lesson, place: usize) {
        let total = whole(&lesson.segments);
        while self.zoom > 0 && total >> self.zoom < CLOSEST {
            self.zoom -= 1;
        }
        let span = total >> self.zoom;
        let start = lesson.planned_starts().nth(place).map_or(0, |start| u64::from(start.0));
        let end = start + lesson.segments.get(place).map_or(0, |segment| u64::from(segment.planned.0));
        let last = total.saturating_sub(span);
        self.from = self.from.max(end.saturating_sub(span)).min(start).min(last);
    }
}

/// Returns how long plan or recording is, whichever is longer, in milliseconds; at least 1.
fn whole(segments: &[Segment]) -> u64 {
    let lengths = uncut_lengths(segments);
    let ends = segments.iter().zip(lengths).filter_map(|(segment, length)| {
        Some(u64::from(segment.recorded?.start.0) + u64::from(length.map_or(0, |length| length.0)))
    });
    let planned = segments.iter().map(|segment| u64::from(segment.planned.0)).sum();
    ends.fold(planned, u64::max).max(1)
}

/// How milliseconds become columns of the pane.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LaneScale {
    room: u64,
    from: u64,
    span: u64,
}

impl LaneScale {
    /// Returns how the part of the video in `window` becomes columns of a pane of this width.
    pub fn of(window: LaneWindow, lesson: &Lesson, width: usize) -> Self {
        let room = u64::try_from(width.saturating_sub(LANE_LEFT + 1)).unwrap_or(0);
        Self { room, from: window.from, span: (whole(&lesson.segments) >> window.zoom).max(1) }
    }

    /// Returns the column of an instant; what lies outside is put on the edge.
    pub(super) fn column(self, milliseconds: u64) -> usize {
        let inside = milliseconds.saturating_sub(self.from);
        LANE_LEFT + usize::try_from((inside.saturating_mul(self.room) / self.span).min(self.room)).unwrap_or(0)
    }

    /// Returns whether an instant lies before what is shown.
    pub(super) const fn is_cut(self, milliseconds: u64) -> bool {
        milliseconds < self.from
    }

    /// Returns the instant that lies as far from `instant` as column `to` from column `from`, snapped
    /// to a round time.
    pub(super) fn moved(self, instant: u64, from: usize, to: usize) -> u64 {
        let room = self.room.max(1);
        let by = |columns: usize| u64::try_from(columns).unwrap_or(0).min(room) * self.span / room;
        let exact = if to >= from { instant + by(to - from) } else { instant.saturating_sub(by(from - to)) };
        let snap = SNAPS.iter().rev().find(|snap| **snap <= self.span / room).copied().unwrap_or(100);
        (exact + snap / 2) / snap * snap
    }
}

/// Returns where the blocks of the planned lane lie, in columns of the pane, first and one past last. The one at the
/// place `selected` has at least one column, at the cost of its neighbour.
pub(super) fn planned_blocks(segments: &[Segment], selected: usize, scale: LaneScale) -> Vec<(usize, usize)> {
    let mut start = 0;
    let mut blocks: Vec<(usize, usize)> = Vec::with_capacity(segments.len());
    for segment in segments {
        let end = start + u64::from(segment.planned.0);
        blocks.push((scale.column(start), scale.column(end)));
        start = end;
    }
    let Some((from, to)) = blocks.get(selected).copied().filter(|(from, to)| from == to) else { return blocks };
    let edge = scale.column(u64::MAX);
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

/// Returns the place of the segment whose block lies at `(x, y)` of the pane.
pub fn segment_at(segments: &[Segment], selected: usize, scale: LaneScale, (x, y): (usize, usize)) -> Option<usize> {
    match y {
        PLANNED => planned_blocks(segments, selected, scale).iter().rposition(|(from, to)| (*from..*to).contains(&x)),
        RECORDED => recorded_blocks(segments, scale)
            .into_iter()
            .rfind(|(_, (from, to))| (*from..*to).contains(&x))
            .map(|(place, _)| place),
        _ => None,
    }
}

/// Returns the places of the recorded segments with the columns of their blocks.
pub(super) fn recorded_blocks(segments: &[Segment], scale: LaneScale) -> Vec<(usize, (usize, usize))> {
    let lengths = uncut_lengths(segments);
    let block = |(place, (segment, length)): (usize, (&Segment, Option<VideoLength>))| {
        let start = u64::from(segment.recorded?.start.0);
        let from = scale.column(start);
        let to = length.map_or(from + 1, |length| scale.column(start + u64::from(length.0)));
        Some((place, (from, to)))
    };
    segments.iter().zip(lengths).enumerate().filter_map(block).collect()
}
