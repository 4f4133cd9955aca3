//! Segments: their times, and what they play.

use super::finding::{Finding, FindingKind};
use crate::lesson::bar_numbers::BarNumbers;
use crate::lesson::document::{BarRange, Lesson, Recorded, Segment, VideoCut};
use crate::lesson::music::Passage;
use crate::lesson::place::LessonPlace;
use crate::lesson::recording::{RecordedStretch, TakenSegment, first_out_of_order, in_video_order, stretches};
use crate::lesson::time::{VideoLength, VideoTime};
use crate::text::quote::quoted;

pub(super) fn check(lesson: &Lesson, findings: &mut Vec<Finding>) {
    for segment in &lesson.segments {
        if segment.planned == VideoLength::ZERO {
            findings.push(Finding::warning(
                FindingKind::PlannedLength,
                LessonPlace::Segment(segment.id),
                "no length is planned",
                "plan a length",
            ));
        }
        played(lesson, segment, findings);
    }
    recorded(lesson, findings);
    cuts(lesson, findings);
}

/// Checks that what is cut out lies within the recording of its segment.
fn cuts(lesson: &Lesson, findings: &mut Vec<Finding>) {
    for (segment, stretch) in lesson.segments.iter().zip(stretches(&lesson.segments)) {
        let inside = |cut: &VideoCut| {
            let Some(RecordedStretch { from, to }) = stretch else { return false };
            from <= cut.from && cut.from < cut.to && to.is_none_or(|to| cut.to <= to)
        };
        if let Some(cut) = segment.cuts.iter().find(|cut| !inside(cut)) {
            findings.push(Finding::warning(
                FindingKind::Cut,
                LessonPlace::Segment(segment.id),
                format!("{cut} is left out of the video, and that does not lie within what is recorded of it"),
                "correct what is left out, or the recorded times",
            ));
        }
    }
}

/// Checks recorded times against themselves and against each other. Where a segment stands in the list is one finding;
/// the rest follows the order of the video, and does not change when a segment is moved.
fn recorded(lesson: &Lesson, findings: &mut Vec<Finding>) {
    let mut found: Vec<(usize, Finding)> = Vec::new();
    // What runs longest so far: its place, title and end.
    let mut latest_end: Option<(usize, &Segment, VideoTime)> = None;
    for TakenSegment { place: index, segment, recorded: Recorded { start, end } } in in_video_order(&lesson.segments) {
        let place = LessonPlace::Segment(segment.id);
        if let Some(end) = end.filter(|end| *end <= start) {
            let (from, to) = start.told_apart(end);
            let finding = Finding::problem(
                FindingKind::RunsBackwards,
                place,
                format!("recorded from {from} to {to}: it ends before it has begun"),
                "correct one of the two times, or delete the end",
            );
            found.push((index, finding));
        }
        if let Some((other, earlier, other_end)) = latest_end.filter(|(_, _, other_end)| start < *other_end) {
            let (from, other_end) = start.told_apart(other_end);
            let finding = Finding::problem(
                FindingKind::Overlap,
                place,
                format!(
                    "starts at {from}, while segment {} \"{}\" runs until {other_end}",
                    other + 1,
                    quoted(&earlier.title)
                ),
                "end that one earlier, or start this one later",
            );
            found.push((index, finding));
        }
        if let Some(end) = end.filter(|end| *end > start && latest_end.is_none_or(|(_, _, latest)| *end > latest)) {
            latest_end = Some((index, segment, end));
        }
    }
    if let Some((ahead, behind)) = first_out_of_order(&lesson.segments) {
        let (here, there) = behind.recorded.start.told_apart(ahead.recorded.start);
        let finding = Finding::warning(
            FindingKind::RecordedOrder,
            LessonPlace::Segment(behind.segment.id),
            format!(
                "the list is not in the order of the video: this is recorded at {here}, before segment {}, which starts at {there}",
                ahead.place + 1
            ),
            "put the segments in the order of the video, or record them again; chapters follow the video",
        );
        found.push((behind.place, finding));
    }
    found.sort_by_key(|(place, _)| *place);
    findings.extend(found.into_iter().map(|(_, finding)| finding));
}

/// Checks how much of what `segment` plays, and how often.
fn played(lesson: &Lesson, segment: &Segment, findings: &mut Vec<Finding>) {
    let place = LessonPlace::Segment(segment.id);
    for played in &segment.passages {
        let Some(passage) = lesson.passage(played.passage) else { continue };
        let title = quoted(&passage.title);
        if let Some(reason) = played.bars.and_then(|range| off_the_end(range, passage)) {
            findings.push(Finding::problem(
                FindingKind::BarRange,
                place,
                format!("plays {reason} of passage \"{title}\", which has {}", BarNumbers::of(passage).count()),
                "choose bars that it has, the first one first",
            ));
        }
        if played.times == 0 && played.slow_times == 0 {
            findings.push(Finding::note(
                FindingKind::AbsurdNumber,
                place,
                format!("passage \"{title}\" is linked but never played"),
                "say how many times, or delete the link",
            ));
        }
        if played.slow_times > 0 && !(1..=100).contains(&played.slow_percent) {
            findings.push(Finding::warning(
                FindingKind::AbsurdNumber,
                place,
                format!("passage \"{title}\" is slowed down to {} per cent", played.slow_percent),
                "expected 1 to 100 per cent of the written tempo",
            ));
        }
    }
}

fn off_the_end(range: BarRange, passage: &Passage) -> Option<String> {
    let BarRange { first, last } = range;
    let inside = first >= 1 && first <= last && usize::try_from(last).is_ok_and(|last| last <= passage.bars.len());
    (!inside).then(|| BarNumbers::of(passage).range(range))
}
