//! How long segments were recorded and what the whole video comes to. [`Lesson::planned_starts`] tells when they
//! start by plan.

use crate::lesson::document::{Lesson, Segment};
use crate::lesson::time::VideoLength;

/// Returns how long each segment was recorded, in order: to its own end, or to the start of the
/// next recorded one; `None` where that cannot be told or would run backwards.
pub fn recorded_lengths(segments: &[Segment]) -> Vec<Option<VideoLength>> {
    let mut next_start = None;
    let mut lengths: Vec<Option<VideoLength>> = segments
        .iter()
        .rev()
        .map(|segment| {
            let recorded = segment.recorded?;
            let end = recorded.end.or(next_start);
            next_start = Some(recorded.start);
            end?.since(recorded.start)
        })
        .collect();
    lengths.reverse();
    lengths
}

/// What a video comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Totals {
    /// The sum of all planned lengths.
    pub planned: VideoLength,
    /// The sum of all recorded lengths that can be told.
    pub recorded: VideoLength,
    /// How many segments have a recorded start.
    pub recorded_segments: usize,
    /// The length the video should have.
    pub target: Option<VideoLength>,
}

/// How the plan stands to the target.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Balance {
    /// The plan is this much longer than the target.
    Over(VideoLength),
    /// The plan leaves this much of the target free.
    Under(VideoLength),
    /// The plan is exactly as long as the target.
    Even,
}

impl Totals {
    /// Adds up `lesson`.
    pub fn of(lesson: &Lesson) -> Self {
        Self {
            planned: lesson.planned_length(),
            recorded: recorded_lengths(&lesson.segments).into_iter().flatten().sum(),
            recorded_segments: lesson.segments.iter().filter(|segment| segment.recorded.is_some()).count(),
            target: lesson.header.target,
        }
    }

    /// Returns how the plan stands to the target; `None` where the lesson has no target.
    pub fn balance(&self) -> Option<Balance> {
        let VideoLength(target) = self.target?;
        let VideoLength(planned) = self.planned;
        Some(match planned.cmp(&target) {
            std::cmp::Ordering::Greater => Balance::Over(VideoLength(planned - target)),
            std::cmp::Ordering::Less => Balance::Under(VideoLength(target - planned)),
            std::cmp::Ordering::Equal => Balance::Even,
        })
    }
}
