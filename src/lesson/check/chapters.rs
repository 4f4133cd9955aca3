//! Chapter lists that players refuse.
//!
//! What video hosts ask of a list in a description: the first chapter at 0:00, times that ascend,
//! at least three chapters, ten seconds or more each. Common practice; the numbers are from memory. Times are judged as
//! they are published, in whole seconds.

use super::finding::{Finding, FindingKind};
use super::words::{counted, listed, runs};
use crate::lesson::cut_video::CutVideo;
use crate::lesson::document::Lesson;
use crate::lesson::id::SegmentId;
use crate::lesson::place::LessonPlace;
use crate::lesson::recording::{TakenSegment, in_video_order};
use crate::lesson::time::{VideoLength, VideoTime};

/// The fewest chapters.
const FEWEST: usize = 3;
/// The shortest chapter.
pub(super) const SHORTEST: VideoLength = VideoLength::from_seconds(10);

/// What a video host does not take in a list of chapters. Places are counted from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChapterFault {
    /// There are so few.
    TooFew(usize),
    /// The first does not start at 0:00.
    StartsLate(VideoTime),
    /// The chapter after the one at this place does not start after it.
    NotLater(usize, VideoTime),
    /// The chapter at this place is so short.
    TooShort(usize, VideoLength),
}

impl ChapterFault {
    /// Returns the place of the chapter; `None` for a fault of the list as a whole.
    pub const fn chapter(self) -> Option<usize> {
        match self {
            Self::TooFew(_) | Self::StartsLate(_) => None,
            Self::NotLater(place, _) | Self::TooShort(place, _) => Some(place),
        }
    }

    /// Returns what is not taken, and why.
    pub fn reason(self) -> String {
        match self {
            Self::TooFew(count) => {
                format!("{}, and video hosts usually want {FEWEST} or more", counted(count, "chapter"))
            }
            Self::StartsLate(first) => format!(
                "the first chapter starts at {first}; a list that does not start at 0:00 is ignored by video hosts"
            ),
            Self::NotLater(_, next) => format!("the chapter after this one starts at {next}, in the same second"),
            Self::TooShort(_, length) => {
                format!("a chapter of {length}, and video hosts usually want {SHORTEST} or more")
            }
        }
    }

    /// Returns what can be done about it.
    pub const fn way_out(self) -> &'static str {
        match self {
            Self::TooFew(_) => "split a segment in two, or publish without chapters",
            Self::StartsLate(_) => "let the first segment start at 0:00",
            Self::NotLater(..) => "correct one of the two start times, or join the segments",
            Self::TooShort(..) => "make the segment longer, or join it with a neighbour",
        }
    }

    fn finding(self, place: LessonPlace) -> Finding {
        let make = match self {
            Self::TooFew(_) | Self::TooShort(..) => Finding::warning,
            Self::StartsLate(_) | Self::NotLater(..) => Finding::problem,
        };
        make(FindingKind::Chapters, place, self.reason(), self.way_out())
    }
}

/// Returns what a video host does not take in a list of chapters with these starts, in the order of the video. `end` is
/// where the last one ends, if that is known. A list without chapters has no faults.
pub fn chapter_faults(starts: &[VideoTime], end: Option<VideoTime>) -> Vec<ChapterFault> {
    let published = |time: &VideoTime| VideoTime(time.0 - time.0 % 1000);
    let times: Vec<VideoTime> = starts.iter().chain(&end).map(published).collect();
    let mut faults = Vec::new();
    if (1..FEWEST).contains(&starts.len()) {
        faults.push(ChapterFault::TooFew(starts.len()));
    }
    faults
        .extend(times.first().filter(|first| **first > VideoTime::START).map(|first| ChapterFault::StartsLate(*first)));
    let between = times.windows(2).enumerate().filter_map(|(place, pair)| {
        let [start, next] = pair else { return None };
        match next.since(*start) {
            None | Some(VideoLength::ZERO) => Some(ChapterFault::NotLater(place, *next)),
            Some(length) => (length < SHORTEST).then_some(ChapterFault::TooShort(place, length)),
        }
    });
    faults.extend(between);
    faults
}

/// Checks the recorded list where every segment is recorded, else the planned one. The
/// recorded list has the order of the video, and the times of the cut one.
pub(super) fn check(lesson: &Lesson, findings: &mut Vec<Finding>) {
    let takes = in_video_order(&lesson.segments);
    if takes.len() == lesson.segments.len() {
        recorded(lesson, &takes, &CutVideo::of(&lesson.segments), findings);
    } else {
        planned(lesson, findings);
    }
}

fn recorded(lesson: &Lesson, takes: &[TakenSegment<'_>], video: &CutVideo, findings: &mut Vec<Finding>) {
    let starts: Vec<VideoTime> = takes.iter().map(|take| video.time(take.recorded.start)).collect();
    let faults = chapter_faults(&starts, None).into_iter();
    let placed = faults.map(|fault| {
        let take = fault.chapter().and_then(|place| takes.get(place));
        (fault, take.map(|take| take.segment.id))
    });
    findings.extend(found(lesson, placed));
}

fn planned(lesson: &Lesson, findings: &mut Vec<Finding>) {
    let starts: Vec<VideoTime> = lesson.planned_starts().collect();
    let mut placed = Vec::new();
    for fault in chapter_faults(&starts, Some(VideoTime::START + lesson.planned_length())) {
        let Some(place) = fault.chapter() else {
            placed.push((fault, None));
            continue;
        };
        // A segment without any planned length is found as such, and times that are planned are as long as the segments.
        let Some(segment) = lesson.segments.get(place).filter(|one| one.planned > VideoLength::ZERO) else { continue };
        let fault = match fault {
            ChapterFault::NotLater(place, _) => ChapterFault::TooShort(place, segment.planned),
            ChapterFault::TooFew(_) | ChapterFault::StartsLate(_) | ChapterFault::TooShort(..) => fault,
        };
        placed.push((fault, Some(segment.id)));
    }
    findings.extend(found(lesson, placed));
}

/// Returns the findings for faults, each with its segment if it has one; chapters that are too short are summed up in one.
fn found(lesson: &Lesson, faults: impl IntoIterator<Item = (ChapterFault, Option<SegmentId>)>) -> Vec<Finding> {
    let place = |segment: Option<SegmentId>| segment.map_or(LessonPlace::Chapters, LessonPlace::Segment);
    let (short, others): (Vec<_>, Vec<_>) =
        faults.into_iter().partition(|(fault, _)| matches!(fault, ChapterFault::TooShort(..)));
    let mut findings: Vec<Finding> = others.into_iter().map(|(fault, segment)| fault.finding(place(segment))).collect();
    let of_one = |(fault, segment): &(ChapterFault, Option<SegmentId>)| fault.finding(place(*segment));
    if short.len() < 2 {
        findings.extend(short.iter().map(of_one));
        return findings;
    }
    let mut numbered: Vec<(usize, SegmentId)> =
        short.iter().filter_map(|(_, id)| Some((lesson.segment_index((*id)?)? + 1, (*id)?))).collect();
    numbered.sort_unstable();
    numbered.dedup();
    let numbers: Vec<usize> = numbered.iter().map(|(number, _)| *number).collect();
    let reason = format!(
        "{} chapters are shorter than the {SHORTEST} that video hosts usually want: segments {}",
        short.len(),
        listed(&runs(&numbers))
    );
    let mut ids = numbered.into_iter().map(|(_, id)| id);
    let remedy = "make each of them longer, or join it with a neighbour";
    let summed = Finding::warning(FindingKind::Chapters, place(ids.next()), reason, remedy);
    findings.push(summed.also_about(ids));
    findings
}
