//! The chapter list that is published beside the video.

use crate::lesson::check::{ToldFault, chapter_faults};
use crate::lesson::cut_video::{CutVideo, VideoVersion};
use crate::lesson::document::{Lesson, Segment, SegmentKind};
use crate::lesson::recording::{TakenSegment, in_video_order};
use crate::lesson::time::{VideoLength, VideoTime};
use crate::text::charset::Charset;
use crate::text::safe::one_line;

/// Where the times come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Basis {
    /// The planned lengths, added up.
    Planned,
    /// The recorded starts, in the time of one of the two videos.
    Recorded(VideoVersion),
}

/// One entry of the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chapter {
    /// Where it starts.
    pub start: VideoTime,
    /// Its title: one line without control characters, never empty.
    pub title: String,
}

/// Why a lesson gives no chapter list.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ChapterError {
    /// The lesson has no segments.
    #[error("the lesson has no segments, so there are no chapters; add a segment")]
    NoSegments,
    /// Some segments have no recorded start.
    #[error("{} no start time", list(segments))]
    NotRecorded {
        /// The segments, as a teacher would name them.
        segments: Vec<String>,
    },
}

/// Returns the chapters of `lesson`, one a segment: by plan in the order of the list, as recorded in the order of the
/// video.
///
/// Errors: a lesson without segments, segments without a recorded start.
/// Whether a host would take the list is for [`faults`] to say.
pub fn chapters(lesson: &Lesson, basis: Basis) -> Result<Vec<Chapter>, ChapterError> {
    let segments = &lesson.segments;
    if segments.is_empty() {
        return Err(ChapterError::NoSegments);
    }
    let chapter = |segment: &Segment, start| Chapter { start, title: title(segment) };
    match basis {
        Basis::Planned => {
            let starts = lesson.planned_starts();
            Ok(segments.iter().zip(starts).map(|(segment, start)| chapter(segment, start)).collect())
        }
        Basis::Recorded(version) => {
            let video = CutVideo::of(segments);
            let start = |take: &TakenSegment<'_>| video.time_in(version, take.recorded.start);
            Ok(all_recorded(segments)?.iter().map(|take| chapter(take.segment, start(take))).collect())
        }
    }
}

/// Returns what video hosts do not take in the list that [`chapters`] returns for `lesson`, as `check` does: each sort
/// of fault once.
pub fn faults(lesson: &Lesson, basis: Basis, list: &[Chapter]) -> Vec<ToldFault> {
    let starts: Vec<VideoTime> = list.iter().map(|chapter| chapter.start).collect();
    let end = match basis {
        Basis::Planned => Some(VideoTime::START + lesson.planned_length()),
        Basis::Recorded(_) => None,
    };
    ToldFault::of(&chapter_faults(&starts, end))
}

/// Returns what is published: the list that [`chapters`] returns for `lesson`, as text. Where something is cut out of the video, a
/// first line says which of the two videos the times are of, so that nobody takes one list for the other.
///
/// That line goes along under the video: what has no time in front is no chapter there. Common practice of video hosts; no
/// published source was read.
pub fn published_text(lesson: &Lesson, basis: Basis, list: &[Chapter]) -> String {
    let is_cut = CutVideo::of(&lesson.segments).left_out() > VideoLength::ZERO;
    let first = match basis {
        Basis::Recorded(VideoVersion::Cut) if is_cut => "Chapters (cut video)\n",
        Basis::Recorded(VideoVersion::Uncut) if is_cut => "Chapters (uncut video)\n",
        Basis::Recorded(_) | Basis::Planned => "",
    };
    format!("{first}{}", chapter_text(list))
}

/// Returns the list as text, one chapter a line: `0:00 Welcome`, with hours from the first hour on.
///
/// Times are cut to whole seconds, so that a viewer lands just before the start, never after it.
/// Common practice of video hosts; no published source was read.
pub fn chapter_text(chapters: &[Chapter]) -> String {
    let lines = chapters.iter().map(|chapter| {
        let VideoTime(milliseconds) = chapter.start;
        format!("{} {}\n", VideoTime(milliseconds - milliseconds % 1000), chapter.title)
    });
    lines.collect()
}

/// Returns the segments in the order of the video. Errors: some of them are not recorded.
fn all_recorded(segments: &[Segment]) -> Result<Vec<TakenSegment<'_>>, ChapterError> {
    let missing = |(place, segment): (usize, &Segment)| segment.recorded.is_none().then(|| spoken(place, segment));
    let missing: Vec<String> = segments.iter().enumerate().filter_map(missing).collect();
    if missing.is_empty() { Ok(in_video_order(segments)) } else { Err(ChapterError::NotRecorded { segments: missing }) }
}

/// Returns the segment's title as one line, or its kind where it has none.
fn title(segment: &Segment) -> String {
    one_line(&segment.title, Charset::Utf8).unwrap_or_else(|| kind_as_title(segment.kind).to_owned())
}

const fn kind_as_title(kind: SegmentKind) -> &'static str {
    match kind {
        SegmentKind::Welcome => "Welcome",
        SegmentKind::Talk => "Talk",
        SegmentKind::Performance => "Performance",
        SegmentKind::Walkthrough => "Walkthrough",
        SegmentKind::PlayAlong => "Play-along",
        SegmentKind::Exercise => "Exercise",
        SegmentKind::Retuning => "Retuning",
        SegmentKind::Goodbye => "Goodbye",
    }
}

fn spoken(place: usize, segment: &Segment) -> String {
    format!("segment {} (\"{}\")", place + 1, title(segment))
}

/// Lists the first few and their verb, so that a long lesson still gives a message that can be read: `segment 4 ("Slow") has`.
fn list(segments: &[String]) -> String {
    const SHOWN: usize = 4;
    match segments {
        [only] => format!("{only} has"),
        [first @ .., last] if segments.len() <= SHOWN => format!("{} and {last} have", first.join(", ")),
        _ => {
            let shown: Vec<&str> = segments.iter().take(SHOWN).map(String::as_str).collect();
            format!("{} and {} more segments have", shown.join(", "), segments.len().saturating_sub(SHOWN))
        }
    }
}
