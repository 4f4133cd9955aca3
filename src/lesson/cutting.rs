//! Cutting the video: segments split, joined and shifted. These are the new versions only; putting
//! them into the lesson is an edit.

use super::cut_video::{merged, shown_for, within};
use super::document::{Recorded, Segment, VideoCut};
use super::id::SegmentId;
use super::recording::RecordedStretch;
use super::time::{VideoLength, VideoTime};

/// Splits `segment` after `at` of its planned length; the second part gets the identity `id`.
///
/// What is shown and said stays with the first part, as do the notes; kind, title and progress are
/// those of both. A recorded segment is split after `at` of what the video shows of it, if it lasted that long. Returns `None` where
/// one of the parts would have no length.
pub fn split(segment: &Segment, id: SegmentId, at: VideoLength) -> Option<(Segment, Segment)> {
    let rest = segment.planned.0.checked_sub(at.0).filter(|rest| *rest > 0 && at.0 > 0)?;
    let mut first = Segment { planned: at, ..segment.clone() };
    let title = if segment.title.is_empty() { String::new() } else { format!("{}, part 2", segment.title) };
    let mut second = Segment::new(id, segment.kind, title, VideoLength(rest));
    second.progress = segment.progress;
    if let Some(Recorded { start, end }) = segment.recorded {
        let border = shown_for(start, at, &segment.cuts);
        if end.is_none_or(|end| border < end) {
            first.recorded = Some(Recorded { start, end: None });
            second.recorded = Some(Recorded { start: border, end });
            first.cuts = within(&segment.cuts, RecordedStretch { from: start, to: Some(border) });
            second.cuts = within(&segment.cuts, RecordedStretch { from: border, to: end });
        }
    }
    Some((first, second))
}

/// Joins two segments into one with the identity, kind, title and setup of the first, which shows
/// and says what both did, and is as far as the one that is less far.
pub fn join(first: &Segment, second: &Segment) -> Segment {
    let mut joined = first.clone();
    joined.planned = first.planned + second.planned;
    if joined.title.trim().is_empty() {
        joined.title.clone_from(&second.title);
    }
    joined.progress = first.progress.min(second.progress);
    joined.recorded = match (first.recorded, second.recorded) {
        (Some(first), Some(second)) => {
            // The one that stands second may be the earlier one in the video.
            let (early, late) = if second.start < first.start { (second, first) } else { (first, second) };
            // Of two that were recorded over each other, the earlier one may run longer.
            let end = late.end.map(|end| early.end.map_or(end, |other| end.max(other)));
            Some(Recorded { start: early.start, end })
        }
        (known, None) | (None, known) => known,
    };
    joined.cuts = merged([first.cuts.as_slice(), second.cuts.as_slice()].concat());
    add_new(&mut joined.pieces, &second.pieces);
    add_new(&mut joined.passages, &second.passages);
    add_new(&mut joined.voicings, &second.voicings);
    joined.talking_points.extend(second.talking_points.iter().cloned());
    add_note(&mut joined.shot, &second.shot);
    add_note(&mut joined.tone, &second.tone);
    joined
}

/// Adds what is not there yet.
fn add_new<T: Copy + PartialEq>(list: &mut Vec<T>, more: &[T]) {
    for item in more {
        if !list.contains(item) {
            list.push(*item);
        }
    }
}

fn add_note(note: &mut String, more: &str) {
    if note.trim().is_empty() {
        more.clone_into(note);
    } else if !more.trim().is_empty() && note != more {
        note.push('\n');
        note.push_str(more);
    }
}

/// Returns the segments among `segments` that are recorded, each with its cuts `by` milliseconds later, or earlier where
/// that is negative. Returns `None` where a time would lie before the start of the video, or past
/// the last that can be written.
pub fn shifted(segments: &[Segment], by: i64) -> Option<Vec<Segment>> {
    let shift = |VideoTime(time)| u32::try_from(i64::from(time).checked_add(by)?).ok().map(VideoTime);
    let recorded = segments.iter().filter_map(|segment| Some((segment, segment.recorded?)));
    recorded
        .map(|(segment, known)| {
            let end = match known.end {
                Some(end) => Some(shift(end)?),
                None => None,
            };
            let cut = |cut: &VideoCut| Some(VideoCut { from: shift(cut.from)?, to: shift(cut.to)? });
            let cuts = segment.cuts.iter().map(cut).collect::<Option<Vec<VideoCut>>>()?;
            Some(Segment { recorded: Some(Recorded { start: shift(known.start)?, end }), cuts, ..segment.clone() })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lesson::document::SegmentKind;

    fn segment(recorded: Option<(u32, Option<u32>)>) -> Segment {
        let recorded = recorded.map(|(start, end)| Recorded { start: VideoTime(start), end: end.map(VideoTime) });
        let minute = VideoLength::from_seconds(60);
        Segment { recorded, ..Segment::new(SegmentId(1), SegmentKind::Talk, "Porch", minute) }
    }

    #[test]
    fn a_recorded_segment_is_split_in_its_recording_too_if_that_is_long_enough() {
        let split = |recorded| {
            let (first, second) = split(&segment(recorded), SegmentId(2), VideoLength::from_seconds(20)).unwrap();
            assert_eq!((first.planned.0, second.planned.0), (20_000, 40_000));
            (first.recorded.map(|known| known.start.0), second.recorded.map(|known| (known.start.0, known.end)))
        };
        assert_eq!(split(Some((5_000, None))), (Some(5_000), Some((25_000, None))));
        assert_eq!(split(Some((5_000, Some(70_000)))), (Some(5_000), Some((25_000, Some(VideoTime(70_000))))));
        assert_eq!(split(Some((5_000, Some(25_000)))), (Some(5_000), None));
        assert_eq!(split(None), (None, None));
    }

    #[test]
    fn no_part_is_without_length() {
        for at in [0, 60_000, 60_001] {
            assert_eq!(split(&segment(None), SegmentId(2), VideoLength(at)), None, "{at}");
        }
    }

    #[test]
    fn notes_are_joined_line_by_line_and_not_said_twice() {
        let (mut first, mut second) = (segment(None), segment(None));
        (first.shot, second.shot) = ("close".to_owned(), "wide".to_owned());
        (first.tone, second.tone) = ("neck pickup".to_owned(), "neck pickup".to_owned());
        let joined = join(&first, &second);
        assert_eq!((joined.shot.as_str(), joined.tone.as_str()), ("close\nwide", "neck pickup"));
    }

    #[test]
    fn nothing_is_shifted_out_of_the_video() {
        let list = [segment(Some((5_000, Some(9_000)))), segment(None), segment(Some((9_000, None)))];
        assert_eq!(shifted(&list, -5_000).map(|list| list.len()), Some(2));
        assert_eq!(shifted(&list, -5_001), None);
        assert_eq!(shifted(&list, i64::from(u32::MAX)), None);
    }
}
