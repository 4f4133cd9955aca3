//! Stretches of the recording that no segment has.
//!
//! They come about where a recorded segment is deleted, shortened or ended early. What lies before the first segment and behind the last
//! is the start and the end of the camera; a stretch that is cut out belongs to a retake; and the time between two segments
//! in other tunings is that of the retuning.

use super::finding::{Finding, FindingKind};
use crate::lesson::cut_video::merged;
use crate::lesson::document::{Lesson, Recorded, Segment, Setup, VideoCut};
use crate::lesson::id::SegmentId;
use crate::lesson::place::LessonPlace;
use crate::lesson::recording::in_video_order;
use crate::lesson::time::VideoTime;
use crate::lesson::tunings::plays_alike;
use crate::text::quote::quoted;

/// A stretch of the recording that no segment has.
pub(super) struct Gap<'a> {
    /// The segment that ends where it begins.
    pub(super) before: &'a Segment,
    /// The segment that starts where it ends.
    pub(super) behind: &'a Segment,
    pub(super) from: VideoTime,
    pub(super) to: VideoTime,
}

pub(super) fn check(lesson: &Lesson, findings: &mut Vec<Finding>) {
    findings.extend(gaps(lesson).iter().map(finding));
}

/// Returns the stretches in the order of the video.
pub(super) fn gaps(lesson: &Lesson) -> Vec<Gap<'_>> {
    let cuts = merged(lesson.segments.iter().flat_map(|segment| segment.cuts.iter().copied()).collect());
    let setups = setups(lesson);
    let mut found = Vec::new();
    // What runs longest so far: its place in the list, the segment, and its end.
    let mut latest: Option<(usize, &Segment, VideoTime)> = None;
    let takes = in_video_order(&lesson.segments);
    for (place, take) in takes.iter().enumerate() {
        let Recorded { start, end } = take.recorded;
        if let Some((at, before, from)) = latest.filter(|(_, _, from)| *from < start) {
            let setup = |place: usize| setups.get(place).copied().flatten();
            let retuned = match (setup(at), setup(take.place)) {
                (Some(one), Some(other)) => !plays_alike(one, other),
                _ => false,
            };
            let is_cut = cuts.iter().any(|cut| cut.from <= from && start <= cut.to);
            if !retuned && !is_cut {
                found.push(Gap { before, behind: take.segment, from, to: start });
            }
        }
        // Without an end, or with one that lies before its start, it runs until the next start.
        let next = || takes.get(place + 1..)?.iter().map(|next| next.recorded.start).find(|next| *next > start);
        let Some(end) = end.filter(|end| *end > start).or_else(next) else { continue };
        if latest.is_none_or(|(_, _, known)| end > known) {
            latest = Some((take.place, take.segment, end));
        }
    }
    found
}

/// Returns the setup of each segment, in the order of the list.
fn setups(lesson: &Lesson) -> Vec<Option<&Setup>> {
    let stated = lesson.segments.iter().scan(None, |said, segment| {
        *said = segment.setup.or(*said);
        Some(*said)
    });
    stated.map(|id| id.map_or_else(|| lesson.setups.first(), |id| lesson.setup(id))).collect()
}

fn finding(gap: &Gap<'_>) -> Finding {
    let Gap { before, behind, from, to } = gap;
    Finding::note(
        FindingKind::NoSegment,
        LessonPlace::Segment(before.id),
        format!("no segment has {from} to {to} of the recording, between this one and \"{}\"", quoted(&behind.title)),
        "let one of the two have it, or leave it out of the video",
    )
}

/// What becomes of a stretch that no segment has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum WayOut {
    /// The segment before it runs on.
    RunsOn,
    /// The segment behind it starts earlier.
    StartsEarlier,
    /// It is cut out.
    LeftOut,
}

impl WayOut {
    pub(super) const ALL: [Self; 3] = [Self::RunsOn, Self::StartsEarlier, Self::LeftOut];
}

impl Gap<'_> {
    /// Returns the segment as it is where this way out is taken, then what is done and what was, in words.
    pub(super) fn taken(&self, way: WayOut) -> (Segment, [String; 2]) {
        let (before, behind) = (quoted(&self.before.title), quoted(&self.behind.title));
        let end = |segment: &Segment| segment.recorded.map(|known| Recorded { end: Some(self.to), ..known });
        match way {
            WayOut::RunsOn => {
                let segment = Segment { recorded: end(self.before), ..self.before.clone() };
                let done = format!("\"{before}\" now runs on to {}", self.to);
                (segment, [format!("let \"{before}\" run on to {}", self.to), done])
            }
            WayOut::StartsEarlier => {
                let recorded = self.behind.recorded.map(|known| Recorded { start: self.from, ..known });
                let segment = Segment { recorded, ..self.behind.clone() };
                let done = format!("\"{behind}\" now starts at {}", self.from);
                (segment, [format!("let \"{behind}\" start at {}", self.from), done])
            }
            WayOut::LeftOut => {
                let cut = VideoCut { from: self.from, to: self.to };
                let cuts = merged(self.before.cuts.iter().copied().chain([cut]).collect());
                let segment = Segment { recorded: end(self.before), cuts, ..self.before.clone() };
                let done = format!("{} to {} is now left out of the video", self.from, self.to);
                (segment, [format!("leave {} to {} out of the video", self.from, self.to), done])
            }
        }
    }

    /// Returns whether it lies behind a segment.
    pub(super) fn is_behind(&self, segment: SegmentId) -> bool {
        self.before.id == segment
    }
}
