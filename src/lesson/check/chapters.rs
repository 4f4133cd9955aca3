//! Chapter lists that players refuse.
//!
//! What video hosts ask of a list in a description: the first chapter at 0:00, times that ascend,
//! at least three chapters, ten seconds or more each. Common practice; the numbers are from memory.

use super::finding::{Finding, FindingKind};
use super::words::counted;
use crate::lesson::cut_video::CutVideo;
use crate::lesson::document::Lesson;
use crate::lesson::place::LessonPlace;
use crate::lesson::recording::{TakenSegment, in_video_order};
use crate::lesson::time::{VideoLength, VideoTime};

/// The fewest chapters.
const FEWEST: usize = 3;
/// The shortest chapter.
pub(super) const SHORTEST: VideoLength = VideoLength::from_seconds(10);

/// Checks the recorded list where every segment is recorded, else the planned one. The
/// recorded list has the order of the video, and the times of the cut one.
pub(super) fn check(lesson: &Lesson, findings: &mut Vec<Finding>) {
    if lesson.segments.is_empty() {
        return;
    }
    let count = lesson.segments.len();
    if count < FEWEST {
        findings.push(Finding::warning(
            FindingKind::Chapters,
            LessonPlace::Chapters,
            format!("{}, and video hosts usually want {FEWEST} or more", counted(count, "chapter")),
            "split a segment in two, or publish without chapters",
        ));
    }
    let takes = in_video_order(&lesson.segments);
    if takes.len() == count {
        check_recorded(&takes, &CutVideo::of(&lesson.segments), findings);
        return;
    }
    for segment in &lesson.segments {
        // A segment without any planned length is found as such.
        if segment.planned > VideoLength::ZERO && segment.planned < SHORTEST {
            findings.push(too_short(LessonPlace::Segment(segment.id), segment.planned));
        }
    }
}

fn check_recorded(takes: &[TakenSegment<'_>], video: &CutVideo, findings: &mut Vec<Finding>) {
    let starts: Vec<VideoTime> = takes.iter().map(|take| video.time(take.recorded.start)).collect();
    if let Some(first) = starts.first().filter(|first| **first != VideoTime::START) {
        findings.push(Finding::problem(
            FindingKind::Chapters,
            LessonPlace::Chapters,
            format!(
                "the first chapter starts at {first}; a list that does not start at 0:00 is ignored by video hosts"
            ),
            "let the first segment start at 0:00",
        ));
    }
    for (pair, take) in starts.windows(2).zip(takes) {
        let [start, next] = pair else { continue };
        let place = LessonPlace::Segment(take.segment.id);
        match next.since(*start) {
            // Times are published in whole seconds.
            Some(_) if next.0 / 1000 == start.0 / 1000 => findings.push(Finding::problem(
                FindingKind::Chapters,
                place,
                format!("the chapter after this one starts at {next}, in the same second"),
                "correct one of the two start times, or join the segments",
            )),
            Some(length) if length < SHORTEST => findings.push(too_short(place, length)),
            Some(_) | None => {}
        }
    }
}

fn too_short(place: LessonPlace, length: VideoLength) -> Finding {
    Finding::warning(
        FindingKind::Chapters,
        place,
        format!("a chapter of {length}, and video hosts usually want {SHORTEST} or more"),
        "make the segment longer, or join it with a neighbour",
    )
}
