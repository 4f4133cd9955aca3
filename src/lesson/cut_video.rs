//! The cut video: the recording without the stretches that retakes leave out.
//!
//! Recorded times and cuts are in the time of the recording, which is that of the uncut video. What is published is in
//! the time of the cut video, unless somebody asks for the other; the two meet in [`CutVideo::time`] only.

use super::document::{Recorded, Segment};
use super::recording::{RecordedStretch, stretches};
use super::segment::VideoCut;
use super::time::{VideoLength, VideoTime};

/// The video that a time belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum VideoVersion {
    /// The recording without what is cut out.
    #[default]
    Cut,
    /// The whole recording.
    Uncut,
}

impl VideoVersion {
    /// Returns the other one.
    pub const fn other(self) -> Self {
        match self {
            Self::Cut => Self::Uncut,
            Self::Uncut => Self::Cut,
        }
    }
}

/// All that is cut out of a recording. Invariant: in order, and no two cuts touch.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct CutVideo(Vec<VideoCut>);

impl CutVideo {
    /// Returns what is cut out of the recording of these segments. Of a cut only what lies within the recording of its
    /// segment counts; `check` reports the rest.
    pub fn of(segments: &[Segment]) -> Self {
        if segments.iter().all(|segment| segment.cuts.is_empty()) {
            return Self::default();
        }
        let of_each = segments.iter().zip(stretches(segments));
        let cuts = of_each.filter_map(|(segment, stretch)| Some(within(&segment.cuts, stretch?)));
        Self(merged(cuts.flatten().collect()))
    }

    /// Returns whether anything is cut out.
    pub fn is_cut(&self) -> bool {
        !self.0.is_empty()
    }

    /// Returns how much is cut out.
    pub fn left_out(&self) -> VideoLength {
        self.before(VideoTime(u32::MAX))
    }

    /// Returns where an instant of the recording is in the cut video. One that is cut out is where the video goes on.
    pub fn time(&self, recorded: VideoTime) -> VideoTime {
        VideoTime(recorded.0.saturating_sub(self.before(recorded).0))
    }

    /// Returns an instant of the recording in the time of one of the two videos.
    pub fn time_in(&self, version: VideoVersion, recorded: VideoTime) -> VideoTime {
        match version {
            VideoVersion::Cut => self.time(recorded),
            VideoVersion::Uncut => recorded,
        }
    }

    /// Returns how much of the recording between two instants is in the cut video; `None` where `to` lies before `from`.
    pub fn length(&self, from: VideoTime, to: VideoTime) -> Option<VideoLength> {
        to.since(from)?;
        self.time(to).since(self.time(from))
    }

    /// Returns how much is cut out before an instant of the recording.
    fn before(&self, recorded: VideoTime) -> VideoLength {
        self.0.iter().map_while(|cut| recorded.min(cut.to).since(cut.from)).sum()
    }
}

/// Returns what of `cuts` lies within a stretch of the recording, in order and without overlaps.
pub fn within(cuts: &[VideoCut], stretch: RecordedStretch) -> Vec<VideoCut> {
    let end = stretch.to.unwrap_or(VideoTime(u32::MAX));
    merged(cuts.iter().map(|cut| VideoCut { from: cut.from.max(stretch.from), to: cut.to.min(end) }).collect())
}

/// Returns the cuts in order; those that touch are one, and those without a length are gone.
pub fn merged(mut cuts: Vec<VideoCut>) -> Vec<VideoCut> {
    cuts.retain(|cut| cut.from < cut.to);
    cuts.sort_unstable_by_key(|cut| (cut.from, cut.to));
    let mut merged: Vec<VideoCut> = Vec::with_capacity(cuts.len());
    for cut in cuts {
        match merged.last_mut() {
            Some(last) if cut.from <= last.to => last.to = last.to.max(cut.to),
            _ => merged.push(cut),
        }
    }
    merged
}

/// Returns the instant of the recording at which so much of a segment that starts at `start` has been shown.
pub fn shown_for(start: VideoTime, length: VideoLength, cuts: &[VideoCut]) -> VideoTime {
    let cuts = within(cuts, RecordedStretch { from: start, to: None });
    cuts.into_iter().fold(start + length, |reached, cut| match cut.to.since(cut.from) {
        Some(skipped) if cut.from < reached => reached + skipped,
        Some(_) | None => reached,
    })
}

impl Segment {
    /// Takes out of its cuts what does not lie within its own recorded times.
    pub fn fit_cuts(&mut self) {
        self.cuts = match self.recorded {
            Some(Recorded { start, end }) => within(&self.cuts, RecordedStretch { from: start, to: end }),
            None => Vec::new(),
        };
    }

    /// Returns its first instant in the recording that is not cut out; `None` where it is not recorded.
    pub fn first_shown(&self) -> Option<VideoTime> {
        let start = self.recorded?.start;
        let cut = self.cuts.iter().find(|cut| cut.from == start && cut.to > start);
        Some(cut.map_or(start, |cut| cut.to))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lesson::document::SegmentKind;
    use crate::lesson::id::SegmentId;

    fn cut(from: u32, to: u32) -> VideoCut {
        VideoCut { from: VideoTime(from), to: VideoTime(to) }
    }

    fn segment(start: u32, end: Option<u32>, cuts: Vec<VideoCut>) -> Segment {
        let recorded = Some(Recorded { start: VideoTime(start), end: end.map(VideoTime) });
        Segment { recorded, cuts, ..Segment::new(SegmentId(1), SegmentKind::Talk, "Porch", VideoLength(60)) }
    }

    #[test]
    fn cuts_that_touch_are_one_and_those_without_a_length_are_gone() {
        let all = vec![cut(30, 40), cut(10, 20), cut(20, 25), cut(22, 24), cut(50, 50), cut(70, 60)];
        assert_eq!(merged(all), [cut(10, 25), cut(30, 40)]);
    }

    #[test]
    fn the_times_of_the_cut_video_leave_out_what_lies_before_them() {
        let video = CutVideo::of(&[
            segment(0, None, vec![]),
            segment(10, None, vec![cut(10, 25)]),
            segment(60, Some(90), vec![cut(70, 75)]),
        ]);
        // By hand: 15 go from 25 on, and 5 more from 75 on.
        for (recorded, in_video) in [(0, 0), (10, 10), (18, 10), (25, 10), (60, 45), (72, 55), (75, 55), (90, 70)] {
            assert_eq!(video.time(VideoTime(recorded)), VideoTime(in_video), "{recorded}");
        }
        assert_eq!(video.left_out(), VideoLength(20));
        assert_eq!(video.length(VideoTime(10), VideoTime(60)), Some(VideoLength(35)));
        assert_eq!(video.length(VideoTime(60), VideoTime(10)), None);
    }

    #[test]
    fn of_a_cut_only_what_lies_within_its_segment_counts() {
        let video =
            CutVideo::of(&[segment(10, None, vec![cut(0, 15), cut(18, 90)]), segment(20, Some(30), vec![cut(25, 99)])]);
        assert_eq!(video, CutVideo(vec![cut(10, 15), cut(18, 20), cut(25, 30)]));
    }

    #[test]
    fn a_length_is_shown_without_what_is_cut_out() {
        let cuts = [cut(10, 25), cut(40, 50)];
        for (length, at) in [(5, 30), (15, 40), (16, 51)] {
            assert_eq!(shown_for(VideoTime(10), VideoLength(length), &cuts), VideoTime(at), "{length}");
        }
    }
}
