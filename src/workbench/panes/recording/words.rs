//! The words of the recording view about times that a stroke replaces.

use crate::lesson::document::{Lesson, Segment};
use crate::lesson::id::SegmentId;
use crate::lesson::time::VideoTime;
use crate::workbench::drawing::short_time::tenths;
use crate::workbench::panes::recording::pane::TakeStage;

/// A time that the next stroke replaces.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Replaced {
    /// The number of the segment, counted from 1.
    pub number: usize,
    /// Which of its times: `start` or `end`.
    pub word: &'static str,
    /// The time that it has now.
    pub time: VideoTime,
}

impl Replaced {
    /// Returns the time that the next stroke replaces; `None` where the stroke stamps a time that was not there.
    pub fn of(lesson: &Lesson, place: usize, stage: TakeStage) -> Option<Self> {
        let start = |place: usize| {
            let known = lesson.segments.get(place)?.recorded?;
            Some(Self { number: place + 1, word: "start", time: known.start })
        };
        match stage {
            TakeStage::Ready => start(place),
            TakeStage::Going if place + 1 < lesson.segments.len() => start(place + 1),
            TakeStage::Going => {
                let end = lesson.segments.get(place)?.recorded?.end?;
                Some(Self { number: place + 1, word: "end", time: end })
            }
            TakeStage::Over => None,
        }
    }
}

/// Another segment with the very start that a stroke stamps: a list of chapters cannot have both.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StartsToo {
    /// The number of that segment, counted from 1.
    number: usize,
    time: VideoTime,
}

impl StartsToo {
    /// Returns the first segment other than `stamped` that starts at `time`; `None` where there is none.
    pub fn of(segments: &[Segment], stamped: SegmentId, time: VideoTime) -> Option<Self> {
        let starts = |segment: &Segment| segment.recorded.is_some_and(|known| known.start == time);
        let place = segments.iter().position(|segment| segment.id != stamped && starts(segment))?;
        Some(Self { number: place + 1, time })
    }

    /// Returns the words that say so.
    pub fn words(&self) -> String {
        format!("{} starts at {} too", self.number, tenths(self.time.0))
    }
}
