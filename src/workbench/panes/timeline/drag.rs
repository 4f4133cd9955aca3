//! The borders in the lanes that the mouse can take hold of, and what letting go of one asks for.

use crate::lesson::document::{Lesson, Recorded, Segment};
use crate::lesson::id::SegmentId;
use crate::lesson::time::{VideoLength, VideoTime};
use crate::workbench::panes::timeline::lane_scale::{LaneScale, PLANNED, RECORDED, planned_blocks};

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
    /// Takes hold of the border at `(x, y)` of the pane, if there is one: the end of a segment's plan, the start of its
    /// recording, or the end of that where nothing starts.
    pub fn at(lesson: &Lesson, selected: usize, scale: LaneScale, (x, y): (usize, usize)) -> Option<Self> {
        let (lane, place) = match y {
            PLANNED => {
                let blocks = planned_blocks(&lesson.segments, selected, scale);
                (Lane::Planned, blocks.iter().rposition(|(from, to)| *to == x && from < to)?)
            }
            RECORDED => {
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

    /// Drags the border to a column of the pane.
    pub fn to(self, scale: LaneScale, x: usize) -> Self {
        let (from, instant) = self.held;
        // Brought back to where it was it is not moved at all, whatever lies between round times.
        let to = (x != from).then(|| scale.moved(instant, from, x));
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
    pub(super) fn preview(self, lesson: &Lesson) -> Vec<Segment> {
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
