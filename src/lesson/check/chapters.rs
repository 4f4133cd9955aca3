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

    const fn same_sort(self, other: Self) -> bool {
        matches!(
            (self, other),
            (Self::TooFew(_), Self::TooFew(_))
                | (Self::StartsLate(_), Self::StartsLate(_))
                | (Self::NotLater(..), Self::NotLater(..))
                | (Self::TooShort(..), Self::TooShort(..))
        )
    }
}

/// Faults of one sort, told once for all chapters that have it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ToldFault {
    /// The first of them.
    pub first: ChapterFault,
    /// The places of their chapters, counted from 0; none for a fault of the list as a whole.
    pub chapters: Vec<usize>,
}

impl ToldFault {
    /// Returns the faults sort by sort, each where its first stands.
    pub fn of(faults: &[ChapterFault]) -> Vec<Self> {
        let mut told: Vec<Self> = Vec::new();
        for fault in faults {
            if let Some(known) = told.iter_mut().find(|known| known.first.same_sort(*fault)) {
                known.chapters.extend(fault.chapter());
            } else {
                told.push(Self { first: *fault, chapters: fault.chapter().into_iter().collect() });
            }
        }
        told
    }

    /// Returns what is not taken, and why. `place` says what chapters are counted by, as `chapter`, and `numbers` which they are, in
    /// order; they are told only where there are several.
    pub fn reason(&self, place: &str, numbers: &[usize]) -> String {
        let many = match self.first {
            ChapterFault::TooFew(_) | ChapterFault::StartsLate(_) => return self.first.reason(),
            ChapterFault::NotLater(..) => "start in the same second as the one after them".to_owned(),
            ChapterFault::TooShort(..) => format!("are shorter than the {SHORTEST} that video hosts usually want"),
        };
        match self.chapters.len() {
            0 | 1 => self.first.reason(),
            count => format!("{} {many}: {place}s {}", counted(count, "chapter"), listed(&runs(numbers))),
        }
    }

    /// The same by the numbers that the chapters have in their list.
    pub fn reason_in_list(&self) -> String {
        let numbers: Vec<usize> = self.chapters.iter().map(|place| place + 1).collect();
        self.reason("chapter", &numbers)
    }

    /// Returns the place of the one chapter that has it; `None` where several have it, or it is one of the list as a whole.
    pub fn only_chapter(&self) -> Option<usize> {
        if let [only] = self.chapters.as_slice() { Some(*only) } else { None }
    }

    /// Returns what can be done about it.
    pub const fn way_out(&self) -> &'static str {
        match self.first {
            ChapterFault::NotLater(..) if self.chapters.len() > 1 => {
                "correct the start times that are wrong, or join the segments"
            }
            ChapterFault::TooShort(..) if self.chapters.len() > 1 => {
                "make each of them longer, or join it with a neighbour"
            }
            ChapterFault::TooFew(_)
            | ChapterFault::StartsLate(_)
            | ChapterFault::NotLater(..)
            | ChapterFault::TooShort(..) => self.first.way_out(),
        }
    }

    /// Returns it as a finding about these segments, with their numbers and in order.
    fn finding(&self, segments: &[(usize, SegmentId)]) -> Finding {
        let make = match self.first {
            ChapterFault::TooFew(_) | ChapterFault::TooShort(..) => Finding::warning,
            ChapterFault::StartsLate(_) | ChapterFault::NotLater(..) => Finding::problem,
        };
        let numbers: Vec<usize> = segments.iter().map(|(number, _)| *number).collect();
        let mut ids = segments.iter().map(|(_, id)| *id);
        let place = ids.next().map_or(LessonPlace::Chapters, LessonPlace::Segment);
        make(FindingKind::Chapters, place, self.reason("segment", &numbers), self.way_out()).also_about(ids)
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
    let segment = |chapter: usize| takes.get(chapter).map(|take| take.segment.id);
    findings.extend(found(lesson, &chapter_faults(&starts, None), segment));
}

fn planned(lesson: &Lesson, findings: &mut Vec<Finding>) {
    let starts: Vec<VideoTime> = lesson.planned_starts().collect();
    let mut faults = Vec::new();
    for fault in chapter_faults(&starts, Some(VideoTime::START + lesson.planned_length())) {
        let Some(place) = fault.chapter() else {
            faults.push(fault);
            continue;
        };
        // A segment without any planned length is found as such, and times that are planned are as long as the segments.
        let Some(segment) = lesson.segments.get(place).filter(|one| one.planned > VideoLength::ZERO) else { continue };
        faults.push(match fault {
            ChapterFault::NotLater(place, _) => ChapterFault::TooShort(place, segment.planned),
            ChapterFault::TooFew(_) | ChapterFault::StartsLate(_) | ChapterFault::TooShort(..) => fault,
        });
    }
    findings.extend(found(lesson, &faults, |chapter| lesson.segments.get(chapter).map(|segment| segment.id)));
}

/// Returns the findings for faults, one for each sort; `segment` says whose chapter stands at a place.
fn found(lesson: &Lesson, faults: &[ChapterFault], segment: impl Fn(usize) -> Option<SegmentId>) -> Vec<Finding> {
    let numbered = |chapter: usize| {
        let id = segment(chapter)?;
        Some((lesson.segment_index(id)? + 1, id))
    };
    let of_sort = |told: &ToldFault| {
        let mut segments: Vec<(usize, SegmentId)> = told.chapters.iter().filter_map(|one| numbered(*one)).collect();
        segments.sort_unstable();
        segments.dedup();
        told.finding(&segments)
    };
    ToldFault::of(faults).iter().map(of_sort).collect()
}
