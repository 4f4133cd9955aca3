//! The recording: segments in the order in which the video shows them, and how long each one runs.
//!
//! Recorded times stay with their segment wherever it stands in the list, so everything that is said of the recording
//! follows from the times alone: moving a segment changes the plan and nothing here.

use std::collections::{HashMap, HashSet};

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

/// Returns the places of all segments in the order in which the video plays. As few recorded ones as possible leave their places for
/// that; each of them goes right behind the one that the video shows before it, and what is not recorded yet stays where it is among the
/// others.
pub fn in_playing_order(segments: &[Segment]) -> Vec<usize> {
    let takes = in_video_order(segments);
    let staying = longest_rise(&takes.iter().map(|take| take.place).collect::<Vec<_>>());
    let mut waiting: Vec<usize> = Vec::new();
    // What goes before the place and what goes behind it.
    let mut around: HashMap<usize, (Vec<usize>, Vec<usize>)> = HashMap::new();
    let mut last: Option<usize> = None;
    for (take, stays) in takes.iter().zip(staying) {
        match (stays, last) {
            (true, _) => {
                around.entry(take.place).or_default().0 = std::mem::take(&mut waiting);
                last = Some(take.place);
            }
            (false, Some(before)) => around.entry(before).or_default().1.push(take.place),
            (false, None) => waiting.push(take.place),
        }
    }
    let moves: HashSet<usize> =
        around.values().flat_map(|(before, behind)| before.iter().chain(behind)).copied().collect();
    let mut order = Vec::with_capacity(segments.len());
    for place in (0..segments.len()).filter(|place| !moves.contains(place)) {
        let (before, behind) = around.remove(&place).unwrap_or_default();
        order.extend(before);
        order.push(place);
        order.extend(behind);
    }
    order
}

/// Returns which of `numbers`, all different, belong to a longest series of them that rises.
fn longest_rise(numbers: &[usize]) -> Vec<bool> {
    // For each length, the index of the smallest number that ends a series of that length.
    let mut ends: Vec<usize> = Vec::new();
    let mut before: Vec<Option<usize>> = Vec::with_capacity(numbers.len());
    for (index, number) in numbers.iter().enumerate() {
        let length = ends.partition_point(|end| numbers.get(*end).is_some_and(|known| known < number));
        before.push(length.checked_sub(1).and_then(|length| ends.get(length)).copied());
        match ends.get_mut(length) {
            Some(end) => *end = index,
            None => ends.push(index),
        }
    }
    let mut belongs = vec![false; numbers.len()];
    let mut at = ends.last().copied();
    while let Some(index) = at {
        if let Some(one) = belongs.get_mut(index) {
            *one = true;
        }
        at = before.get(index).copied().flatten();
    }
    belongs
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

/// Returns the edits that bring the segments into the order of the video ([`in_playing_order`]). Segments that share an identity are not
/// told apart.
pub fn put_in_video_order(segments: &[Segment]) -> Vec<Edit> {
    let order = in_playing_order(segments).into_iter();
    let wanted = order.filter_map(|place| segments.get(place)).map(|segment| segment.id);
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

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::lesson::document::SegmentKind;
    use crate::lesson::time::VideoLength;

    /// Segments with these starts in seconds, those without one not recorded.
    fn segments(starts: &[Option<u32>]) -> Vec<Segment> {
        let segment = |(number, start): (u32, &Option<u32>)| Segment {
            recorded: start.map(|start| Recorded { start: VideoTime(start * 1000), end: None }),
            ..Segment::new(SegmentId(number), SegmentKind::Talk, "", VideoLength::ZERO)
        };
        (0..).zip(starts).map(segment).collect()
    }

    #[test]
    fn one_that_was_moved_away_goes_back_and_the_others_stay() {
        // The second of five, moved behind three that are not recorded.
        let list = segments(&[Some(0), Some(60), Some(90), Some(120), None, None, None, Some(30), None]);
        assert_eq!(in_playing_order(&list), [0, 7, 1, 2, 3, 4, 5, 6, 8]);
        assert_eq!(put_in_video_order(&list).len(), 1);
        let first_last = segments(&[None, Some(60), None, Some(90), Some(0)]);
        assert_eq!(in_playing_order(&first_last), [0, 4, 1, 2, 3]);
    }

    proptest! {
        #[test]
        fn the_recorded_come_in_their_order_and_no_more_than_must_leave_their_places(
            starts in proptest::collection::vec(proptest::option::weighted(0.7, 0_u32..20), 0..10)
        ) {
            let list = segments(&starts);
            let order = in_playing_order(&list);
            let mut all = order.clone();
            all.sort_unstable();
            prop_assert_eq!(all, (0..list.len()).collect::<Vec<_>>());
            let recorded: Vec<usize> = order.iter().copied().filter(|place| starts[*place].is_some()).collect();
            let wanted: Vec<usize> = in_video_order(&list).iter().map(|take| take.place).collect();
            prop_assert_eq!(&recorded, &wanted);
            let others: Vec<usize> = order.iter().copied().filter(|place| starts[*place].is_none()).collect();
            prop_assert!(others.is_sorted());
            // Of the recorded the most that can stay, by trying all of them.
            let most = (0..1_u32 << wanted.len())
                .filter(|some| {
                    let kept = (0..).zip(&wanted).filter(|(bit, _)| some >> bit & 1 == 1).map(|(_, place)| *place);
                    kept.is_sorted()
                })
                .map(u32::count_ones)
                .max();
            let staying = longest_rise(&wanted).into_iter().filter(|stays| *stays).count();
            prop_assert_eq!(Some(staying), most.map(|most| most as usize));
            // What stays keeps its order with those that are not recorded.
            let kept: Vec<bool> = longest_rise(&wanted);
            let moved: Vec<usize> = wanted.iter().zip(kept).filter(|(_, stays)| !stays).map(|(place, _)| *place).collect();
            prop_assert!(order.iter().filter(|place| !moved.contains(place)).is_sorted());
        }
    }
}
