//! The recording: segments in the order in which the video shows them, and how long each one runs.
//!
//! Recorded times stay with their segment wherever it stands in the list, so everything that is said of the recording
//! follows from the times alone: moving a segment changes the plan and nothing here.

use super::document::{Recorded, Segment};
use super::edit::{Edit, ListEdit};
use super::id::SegmentId;
use super::time::VideoTime;

/// A recorded segment and its place in the list.
#[derive(Debug, Clone, Copy)]
pub struct TakenSegment<'a> {
    /// The place in the list, counted from 0.
    pub place: usize,
    /// The segment.
    pub segment: &'a Segment,
    /// When it was recorded.
    pub recorded: Recorded,
}

/// Returns the recorded segments in the order of the video; of two that start at one time, the one that ends first.
pub fn in_video_order(segments: &[Segment]) -> Vec<TakenSegment<'_>> {
    let recorded = segments.iter().enumerate().filter_map(|(place, segment)| Some((place, segment, segment.recorded?)));
    let mut takes: Vec<TakenSegment<'_>> =
        recorded.map(|(place, segment, recorded)| TakenSegment { place, segment, recorded }).collect();
    takes.sort_by_key(|take| (take.recorded.start, take.recorded.end.is_none(), take.recorded.end));
    takes
}

/// Returns the places of all segments in the order in which the video plays: recorded ones come in the order of their times, wherever
/// recorded ones stand, and those that are not recorded yet keep their places.
pub fn in_playing_order(segments: &[Segment]) -> Vec<usize> {
    let mut takes = in_video_order(segments).into_iter();
    let played = segments.iter().enumerate().map(|(place, segment)| match segment.recorded {
        Some(_) => takes.next().map_or(place, |take| take.place),
        None => place,
    });
    played.collect()
}

/// Returns the recorded segments that come after the one at `place` in the video, in the order of the list.
pub fn later_in_video(segments: &[Segment], place: usize) -> Vec<Segment> {
    let takes = in_video_order(segments);
    let mut later: Vec<&TakenSegment<'_>> = takes.iter().skip_while(|take| take.place != place).skip(1).collect();
    later.sort_by_key(|take| take.place);
    later.into_iter().map(|take| take.segment.clone()).collect()
}

/// The stretch of the recording that a segment takes up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RecordedStretch {
    /// The first instant.
    pub from: VideoTime,
    /// The instant after the last one; `None` where it cannot be told.
    pub to: Option<VideoTime>,
}

/// Returns the stretch of each segment, in the order of the list; `None` for one that is not recorded.
///
/// A segment without an end of its own runs until the next start in the video. An end that lies before the start is
/// none.
pub fn stretches(segments: &[Segment]) -> Vec<Option<RecordedStretch>> {
    let mut starts: Vec<VideoTime> = segments.iter().filter_map(|segment| Some(segment.recorded?.start)).collect();
    starts.sort_unstable();
    let stretch = |segment: &Segment| {
        let Recorded { start, end } = segment.recorded?;
        let next = || starts.get(starts.partition_point(|known| *known <= start)).copied();
        let to = end.or_else(next).filter(|to| *to >= start);
        Some(RecordedStretch { from: start, to })
    };
    segments.iter().map(stretch).collect()
}

/// Returns the edits after which no other segment's recording grows when that of `gone` goes: one that has run until
/// its start gets this as an end of its own.
pub fn ends_kept_without(segments: &[Segment], gone: SegmentId) -> Vec<Edit> {
    let start = |segment: &Segment| Some(segment.recorded?.start);
    let Some(border) = segments.iter().find(|segment| segment.id == gone).and_then(start) else { return Vec::new() };
    if segments.iter().any(|segment| segment.id != gone && start(segment) == Some(border)) {
        return Vec::new();
    }
    let ran_until = |(segment, stretch): (&Segment, Option<RecordedStretch>)| {
        let recorded = segment.recorded.filter(|known| known.end.is_none() && segment.id != gone)?;
        let end = stretch?.to.filter(|end| *end == border)?;
        Some(Segment { recorded: Some(Recorded { end: Some(end), ..recorded }), ..segment.clone() })
    };
    let ended = segments.iter().zip(stretches(segments)).filter_map(ran_until);
    ended.map(|segment| Edit::Segments(ListEdit::Replace(segment))).collect()
}

/// Returns what was recorded first between two segments; `None` where nothing was, or one of the two is not recorded.
pub fn recorded_between<'a>(segments: &'a [Segment], one: &Segment, other: &Segment) -> Option<TakenSegment<'a>> {
    let (one_start, other_start) = (one.recorded?.start, other.recorded?.start);
    let (early, late) = (one_start.min(other_start), one_start.max(other_start));
    let is_between = |take: &TakenSegment<'_>| {
        let start = take.recorded.start;
        take.segment.id != one.id && take.segment.id != other.id && early <= start && start < late
    };
    in_video_order(segments).into_iter().find(is_between)
}

/// Returns the stretch between two recorded segments that neither of them has; `None` where there is none.
pub fn stretch_between(segments: &[Segment], one: SegmentId, other: SegmentId) -> Option<(VideoTime, VideoTime)> {
    let of = |id: SegmentId| {
        let place = segments.iter().position(|segment| segment.id == id)?;
        stretches(segments).get(place).copied().flatten()
    };
    let (one, other) = (of(one)?, of(other)?);
    let (early, late) = if other.from < one.from { (other, one) } else { (one, other) };
    early.to.filter(|end| *end < late.from).map(|end| (end, late.from))
}

/// Returns the first segment of the list that starts earlier in the video than one ahead of it, and that one; `None`
/// where the list has the order of the video.
pub fn first_out_of_order(segments: &[Segment]) -> Option<(TakenSegment<'_>, TakenSegment<'_>)> {
    let mut latest: Option<TakenSegment<'_>> = None;
    for (place, segment) in segments.iter().enumerate() {
        let Some(recorded) = segment.recorded else { continue };
        let take = TakenSegment { place, segment, recorded };
        match latest {
            Some(ahead) if recorded.start < ahead.recorded.start => return Some((ahead, take)),
            _ => latest = Some(take),
        }
    }
    None
}

/// Returns the edits that bring the recorded segments into the order of the video; those that are not recorded stay at
/// their places. Segments that share an identity are not told apart.
pub fn put_in_video_order(segments: &[Segment]) -> Vec<Edit> {
    let mut takes = in_video_order(segments).into_iter();
    let wanted = segments.iter().map(|segment| match segment.recorded {
        Some(_) => takes.next().map_or(segment.id, |take| take.segment.id),
        None => segment.id,
    });
    let mut now: Vec<_> = segments.iter().map(|segment| segment.id).collect();
    let mut edits = Vec::new();
    for (to, id) in wanted.enumerate() {
        let Some(from) = now.iter().position(|known| *known == id).filter(|from| *from != to) else { continue };
        let moved = now.remove(from);
        now.insert(to.min(now.len()), moved);
        edits.push(Edit::Segments(ListEdit::Move { id, to }));
    }
    edits
}
