//! The chapter list that is published beside the video.

use crate::lesson::document::{Lesson, Segment, SegmentKind};
use crate::lesson::time::VideoTime;
use crate::text::charset::Charset;
use crate::text::safe::one_line;

/// Where the times come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Basis {
    /// The planned lengths, added up.
    Planned,
    /// The recorded starts.
    Recorded,
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
    #[error(
        "no recorded start for {}; give {} one, or ask for the planned times",
        list(segments),
        if segments.len() == 1 { "it" } else { "each" }
    )]
    NotRecorded {
        /// The segments, as a teacher would name them.
        segments: Vec<String>,
    },
    /// A segment starts before the one that stands ahead of it.
    #[error("{later} starts at {start}, before {earlier}; put the segments in the order of the video")]
    OutOfOrder {
        /// The segment that stands first.
        earlier: String,
        /// The one that stands after it.
        later: String,
        /// Where that one starts.
        start: VideoTime,
    },
}

/// Returns the chapters of `lesson`, one a segment, in order.
///
/// It fails for a lesson without segments, for segments without a recorded start, and for recorded starts that
/// run backwards.
/// Whether a host would take the list (first at 0:00, far enough apart) is for `check` to say.
pub fn chapters(lesson: &Lesson, basis: Basis) -> Result<Vec<Chapter>, ChapterError> {
    let segments = &lesson.segments;
    if segments.is_empty() {
        return Err(ChapterError::NoSegments);
    }
    let starts = match basis {
        Basis::Planned => lesson.planned_starts().collect(),
        Basis::Recorded => recorded_starts(segments)?,
    };
    let chapters = segments.iter().zip(starts).map(|(segment, start)| Chapter { start, title: title(segment) });
    Ok(chapters.collect())
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

fn recorded_starts(segments: &[Segment]) -> Result<Vec<VideoTime>, ChapterError> {
    let missing = |(place, segment): (usize, &Segment)| segment.recorded.is_none().then(|| spoken(place, segment));
    let missing: Vec<String> = segments.iter().enumerate().filter_map(missing).collect();
    if !missing.is_empty() {
        return Err(ChapterError::NotRecorded { segments: missing });
    }
    let mut starts: Vec<VideoTime> = Vec::with_capacity(segments.len());
    let mut before: Option<(usize, &Segment)> = None;
    for (place, segment) in segments.iter().enumerate() {
        let Some(recorded) = segment.recorded else { continue };
        if let (Some((at, earlier)), Some(last)) = (before, starts.last())
            && recorded.start < *last
        {
            return Err(ChapterError::OutOfOrder {
                earlier: spoken(at, earlier),
                later: spoken(place, segment),
                start: recorded.start,
            });
        }
        starts.push(recorded.start);
        before = Some((place, segment));
    }
    Ok(starts)
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
        SegmentKind::Slowly => "Slowly",
        SegmentKind::PlayAlong => "Play-along",
        SegmentKind::Exercise => "Exercise",
        SegmentKind::Retuning => "Retuning",
        SegmentKind::Goodbye => "Goodbye",
    }
}

fn spoken(place: usize, segment: &Segment) -> String {
    format!("segment {} (“{}”)", place + 1, title(segment))
}

/// Lists the first few, so that a long lesson still gives a message that can be read.
fn list(segments: &[String]) -> String {
    const SHOWN: usize = 4;
    match segments.len().checked_sub(SHOWN) {
        None | Some(0) => segments.join(", "),
        Some(more) => {
            format!("{} and {more} more", segments.iter().take(SHOWN).cloned().collect::<Vec<_>>().join(", "))
        }
    }
}
