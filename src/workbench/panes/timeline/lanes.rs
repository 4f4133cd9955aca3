//! The lanes of the timeline: plan and recording drawn to one scale, and the borders in them that
//! the mouse can take hold of.

use crate::lesson::document::{Lesson, Progress, Recorded, Segment};
use crate::lesson::id::SegmentId;
use crate::lesson::time::{VideoLength, VideoTime};
use crate::plan::schedule::recorded_lengths;
use crate::workbench::drawing::region::{Focused, Region};
use crate::workbench::drawing::role::Role;
use crate::workbench::panes::timeline::pane::TimelinePane;

/// The columns before the lanes: room for `recorded` and a gap.
const LANE_LEFT: usize = 11;

/// The line of the pane with the plan, and the one with the recording.
const PLANNED: usize = 1;
const RECORDED: usize = 2;

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
    let lengths = recorded_lengths(segments);
    let ends = segments.iter().zip(lengths).filter_map(|(segment, length)| {
        Some(u64::from(segment.recorded?.start.0) + u64::from(length.map_or(0, |length| length.0)))
    });
    let planned = segments.iter().map(|segment| u64::from(segment.planned.0)).sum();
    ends.fold(planned, u64::max).max(1)
}

/// How milliseconds become columns of the pane.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Scale {
    room: u64,
    from: u64,
    span: u64,
}

impl Scale {
    fn of(window: LaneWindow, lesson: &Lesson, width: usize) -> Self {
        let room = u64::try_from(width.saturating_sub(LANE_LEFT + 1)).unwrap_or(0);
        Self { room, from: window.from, span: (whole(&lesson.segments) >> window.zoom).max(1) }
    }

    /// Returns the column of an instant; what lies outside is put on the edge.
    fn column(self, milliseconds: u64) -> usize {
        let inside = milliseconds.saturating_sub(self.from);
        LANE_LEFT + usize::try_from((inside.saturating_mul(self.room) / self.span).min(self.room)).unwrap_or(0)
    }

    /// Returns whether an instant lies before what is shown.
    const fn is_cut(self, milliseconds: u64) -> bool {
        milliseconds < self.from
    }

    /// Returns the instant that lies as far from `instant` as column `to` from column `from`, snapped
    /// to a round time.
    fn moved(self, instant: u64, from: usize, to: usize) -> u64 {
        let room = self.room.max(1);
        let by = |columns: usize| u64::try_from(columns).unwrap_or(0).min(room) * self.span / room;
        let exact = if to >= from { instant + by(to - from) } else { instant.saturating_sub(by(from - to)) };
        let snap = SNAPS.iter().rev().find(|snap| **snap <= self.span / room).copied().unwrap_or(100);
        (exact + snap / 2) / snap * snap
    }
}

/// Which lane.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Lane {
    Planned,
    Recorded,
    /// The recorded lane, at an end that is written.
    RecordedEnd,
}

/// A border that the mouse has hold of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Drag {
    lane: Lane,
    /// Whose planned length, recorded start or recorded end it changes.
    segment: SegmentId,
    /// Where the mouse took hold of it, and the instant that lies there.
    held: (usize, u64),
    /// The instant it was dragged to, in milliseconds; nothing while it has not been moved.
    to: Option<u64>,
}

/// What letting go of a border asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dropped {
    /// A planned length.
    Length(SegmentId, VideoLength),
    /// When a segment was recorded.
    Recorded(SegmentId, Recorded),
}

impl Drag {
    /// Takes hold of the border at `(x, y)` of a pane of this width, if there is one: the end of a
    /// segment's plan, the start of its recording, or the end of that where nothing starts.
    pub fn at(pane: &TimelinePane, lesson: &Lesson, (x, y): (usize, usize), width: usize) -> Option<Self> {
        let (lane, place) = match y {
            PLANNED => {
                let blocks = blocks(pane, &lesson.segments, lesson, width);
                (Lane::Planned, blocks.iter().rposition(|(from, to)| *to == x && from < to)?)
            }
            RECORDED => {
                let scale = Scale::of(pane.window(), lesson, width);
                let starts = |segment: &Segment| {
                    segment.recorded.is_some_and(|known| scale.column(u64::from(known.start.0)) == x)
                };
                let ends = |segment: &Segment| {
                    let end = segment.recorded.and_then(|known| known.end);
                    end.is_some_and(|end| scale.column(u64::from(end.0)) == x)
                };
                match lesson.segments.iter().rposition(starts) {
                    Some(place) => (Lane::Recorded, place),
                    None => (Lane::RecordedEnd, lesson.segments.iter().rposition(ends)?),
                }
            }
            _ => return None,
        };
        let segment = lesson.segments.get(place)?;
        let instant = match lane {
            Lane::Planned => lesson.planned_starts().nth(place)? + segment.planned,
            Lane::Recorded => segment.recorded?.start,
            Lane::RecordedEnd => segment.recorded?.end?,
        };
        Some(Self { lane, segment: segment.id, held: (x, u64::from(instant.0)), to: None })
    }

    /// Drags the border to a column of a pane of this width.
    pub fn to(self, pane: &TimelinePane, lesson: &Lesson, x: usize, width: usize) -> Self {
        let (from, instant) = self.held;
        // Brought back to where it was it is not moved at all, whatever lies between round times.
        let to = (x != from).then(|| Scale::of(pane.window(), lesson, width).moved(instant, from, x));
        Self { to, ..self }
    }

    /// Returns what letting go asks for; `None` where the border was not moved.
    pub fn dropped(self, lesson: &Lesson) -> Option<Dropped> {
        let to = self.to?;
        let place = lesson.segment_index(self.segment)?;
        let segment = lesson.segments.get(place)?;
        let time = VideoTime(u32::try_from(to).ok()?);
        match self.lane {
            Lane::Planned => {
                let length = time.since(lesson.planned_starts().nth(place)?).filter(|length| length.0 > 0);
                // Dragged past its own beginning a segment is as short as can be, not gone.
                Some(Dropped::Length(self.segment, length.unwrap_or(VideoLength::from_seconds(1))))
            }
            Lane::Recorded => {
                let known = segment.recorded?;
                let end = known.end.filter(|end| *end > time);
                Some(Dropped::Recorded(self.segment, Recorded { start: time, end }))
            }
            Lane::RecordedEnd => {
                let known = segment.recorded?;
                // Dragged past its own beginning it is as short as can be, as a plan is.
                let end = time.max(known.start + VideoLength::from_seconds(1));
                Some(Dropped::Recorded(self.segment, Recorded { end: Some(end), ..known }))
            }
        }
    }

    /// Returns the segments as they would be if the border were let go here.
    fn preview(self, lesson: &Lesson) -> Vec<Segment> {
        let mut segments = lesson.segments.clone();
        let dropped = self.dropped(lesson);
        for segment in segments.iter_mut().filter(|segment| segment.id == self.segment) {
            match dropped {
                Some(Dropped::Length(_, length)) => segment.planned = length,
                Some(Dropped::Recorded(_, recorded)) => segment.recorded = Some(recorded),
                None => {}
            }
        }
        segments
    }

    /// Says what letting go here would come to.
    pub fn words(self, lesson: &Lesson) -> Option<String> {
        let title = &lesson.segment(self.segment)?.title;
        Some(match self.dropped(lesson)? {
            Dropped::Length(_, length) => format!("{title}: {length} long"),
            Dropped::Recorded(_, Recorded { end: Some(end), .. }) if self.lane == Lane::RecordedEnd => {
                format!("{title}: ends at {end}")
            }
            Dropped::Recorded(_, recorded) => format!("{title}: starts at {}", recorded.start),
        })
    }
}

/// Returns where the blocks of the planned lane lie, in columns of the pane, first and one past last. The
/// one that is selected has at least one column, at the cost of its neighbour.
fn blocks(pane: &TimelinePane, segments: &[Segment], lesson: &Lesson, width: usize) -> Vec<(usize, usize)> {
    let scale = Scale::of(pane.window(), lesson, width);
    let mut start = 0;
    let mut blocks: Vec<(usize, usize)> = Vec::with_capacity(segments.len());
    for segment in segments {
        let end = start + u64::from(segment.planned.0);
        blocks.push((scale.column(start), scale.column(end)));
        start = end;
    }
    let selected = pane.place(lesson);
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

/// Returns the place of the segment whose block lies at `(x, y)` of a pane of this width.
pub fn segment_at(pane: &TimelinePane, lesson: &Lesson, (x, y): (usize, usize), width: usize) -> Option<usize> {
    match y {
        PLANNED => {
            blocks(pane, &lesson.segments, lesson, width).iter().rposition(|(from, to)| (*from..*to).contains(&x))
        }
        RECORDED => recorded_blocks(&lesson.segments, Scale::of(pane.window(), lesson, width))
            .into_iter()
            .rfind(|(_, (from, to))| (*from..*to).contains(&x))
            .map(|(place, _)| place),
        _ => None,
    }
}

/// Returns the places of the recorded segments with the columns of their blocks.
fn recorded_blocks(segments: &[Segment], scale: Scale) -> Vec<(usize, (usize, usize))> {
    let lengths = recorded_lengths(segments);
    let block = |(place, (segment, length)): (usize, (&Segment, Option<VideoLength>))| {
        let start = u64::from(segment.recorded?.start.0);
        let from = scale.column(start);
        let to = length.map_or(from + 1, |length| scale.column(start + u64::from(length.0)));
        Some((place, (from, to)))
    };
    segments.iter().zip(lengths).enumerate().filter_map(block).collect()
}

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
    let scale = Scale::of(pane.window(), lesson, region.width());
    let blocks = blocks(pane, segments, lesson, region.width());
    let end = blocks.last().map_or(LANE_LEFT, |(_, to)| *to);
    region.text(end, PLANNED, glyphs.upright, Role::Faint);
    let title = |segment: &Segment| format!("{}{}", pane.mark(segment.id), segment.title);
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

fn draw_recorded(pane: &TimelinePane, lesson: &Lesson, segments: &[Segment], region: &mut Region<'_>) {
    let glyphs = region.appearance().glyphs();
    region.text(1, RECORDED, "recorded", Role::Faint);
    let scale = Scale::of(pane.window(), lesson, region.width());
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
            Progress::Settled => format!("{}{}", glyphs.kept, segment.title),
            Progress::Again => format!("again: {}", segment.title),
            Progress::Unsaid | Progress::Idea | Progress::Drafted | Progress::Practised => segment.title.clone(),
        };
        region.cut(from + 1, RECORDED, to.saturating_sub(from + 1), &title, Role::Recorded);
        region.text(to, RECORDED, glyphs.upright, Role::Recorded);
    }
}
