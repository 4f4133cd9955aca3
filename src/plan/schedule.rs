//! How long segments were recorded and what the whole video comes to. [`Lesson::planned_starts`] tells when they
//! start by plan.

use crate::lesson::cut_video::CutVideo;
use crate::lesson::document::{Lesson, Segment};
use crate::lesson::recording::{RecordedStretch, stretches};
use crate::lesson::time::{VideoLength, VideoTime};

/// Returns how long each segment is in the cut video, in the order of the list: to its own end, or to the next start in
/// the video; `None` where that cannot be told or would run backwards.
pub fn recorded_lengths(segments: &[Segment]) -> Vec<Option<VideoLength>> {
    let video = CutVideo::of(segments);
    let length = |stretch: Option<RecordedStretch>| stretch.and_then(|known| video.length(known.from, known.to?));
    stretches(segments).into_iter().map(length).collect()
}

/// Returns how long each segment is in the uncut recording; `None` as in [`recorded_lengths`].
pub fn uncut_lengths(segments: &[Segment]) -> Vec<Option<VideoLength>> {
    stretches(segments).into_iter().map(|stretch| stretch.and_then(|known| known.to?.since(known.from))).collect()
}

/// Returns how much of the cut video is known to be recorded. What two segments were recorded over counts once.
fn recorded_in_all(segments: &[Segment]) -> VideoLength {
    let mut known: Vec<(VideoTime, VideoTime)> =
        stretches(segments).into_iter().flatten().filter_map(|stretch| Some((stretch.from, stretch.to?))).collect();
    known.sort_unstable();
    let video = CutVideo::of(segments);
    let mut reached = VideoTime::START;
    let part = |(from, to): (VideoTime, VideoTime)| {
        let new = video.length(from.max(reached), to).unwrap_or_default();
        reached = reached.max(to);
        new
    };
    known.into_iter().map(part).sum()
}

/// What a video comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Totals {
    /// The sum of all planned lengths.
    pub planned: VideoLength,
    /// How much of the cut video is recorded, as far as that can be told.
    pub recorded: VideoLength,
    /// How much of the recording is left out of it.
    pub left_out: VideoLength,
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
            recorded: recorded_in_all(&lesson.segments),
            left_out: CutVideo::of(&lesson.segments).left_out(),
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
