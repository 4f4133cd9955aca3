//! The state of the recording view, and how it follows the lesson.
//!
//! The segment that is being recorded is the one selected in the timeline.

use std::time::Duration;

use crate::lesson::document::{Lesson, Recorded, Segment, VideoCut};
use crate::lesson::id::SegmentId;
use crate::lesson::time::VideoTime;
use crate::workbench::drawing::appearance::Appearance;
use crate::workbench::drawing::scroll::Scroll;
use crate::workbench::panes::recording::clock::VideoClock;
use crate::workbench::panes::recording::cues::{CueLine, cues_of, fitted};

/// Whether the view covers the panes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Showing {
    /// The view covers the panes.
    Shown,
    /// The view is closed.
    #[default]
    Hidden,
}

/// The stage that the recording has reached.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TakeStage {
    /// The next stroke stamps the start of the selected segment.
    Ready,
    /// The next stroke stamps the start of the segment after it.
    Going,
    /// The end of the last segment is stamped.
    Over,
}

/// Whether a stroke may replace a recorded time at once. A pedal is easily stepped on by mistake, and whoever goes on through a lesson
/// may not know that the rest of it is recorded: once in each run that is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Guard {
    /// A stroke replaces a time at once, because the take is meant.
    Free,
    /// The first stroke only says which time the second stroke replaces.
    #[default]
    Asks,
    /// That was said when the clock showed this time.
    Warned(VideoTime),
}

/// The source of the cues. When it changes, the cues are made again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct CueSource {
    segment: Option<SegmentId>,
    revision: u64,
    width: usize,
    height: usize,
    appearance: Appearance,
}

/// What is known of the recording of a segment.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct KnownTimes {
    recorded: Option<Recorded>,
    cuts: Vec<VideoCut>,
}

impl KnownTimes {
    /// Returns what is known of a segment.
    pub(super) fn of(segment: &Segment) -> Self {
        Self { recorded: segment.recorded, cuts: segment.cuts.clone() }
    }

    /// Returns the segment with these times.
    pub(super) fn put_into(self, segment: &Segment) -> Segment {
        Segment { recorded: self.recorded, cuts: self.cuts, ..segment.clone() }
    }
}

/// A stroke that can be stepped back over.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Stamped {
    pub(super) segment: SegmentId,
    /// The start that the stroke stamped.
    pub(super) at: VideoTime,
    /// What was recorded of the segment before the stroke.
    pub(super) was: KnownTimes,
    /// The segment before it, and what was recorded of that segment.
    pub(super) before: Option<(SegmentId, KnownTimes)>,
}

/// The recording view's own state.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct RecordingPane {
    showing: Showing,
    pub(super) clock: VideoClock,
    /// The starts that strokes have stamped in this take. Starts of another day are not among them.
    pub(super) starts: Vec<(SegmentId, VideoTime)>,
    pub(super) stamped: Vec<Stamped>,
    pub(super) guard: Guard,
    source: Option<CueSource>,
    lines: Vec<CueLine>,
    scroll: Scroll,
    height: usize,
}

impl RecordingPane {
    /// Returns whether the view covers the panes.
    pub const fn showing(&self) -> Showing {
        self.showing
    }

    /// Opens the view over the panes; the cues will be made again.
    pub(super) fn show(&mut self) {
        self.showing = Showing::Shown;
        self.source = None;
    }

    /// Closes the view.
    pub(super) const fn hide(&mut self) {
        self.showing = Showing::Hidden;
    }

    /// Returns the clock.
    pub const fn clock(&self) -> &VideoClock {
        &self.clock
    }

    /// Returns whether a stroke may replace a recorded time at once.
    pub const fn guard(&self) -> Guard {
        self.guard
    }

    /// Tells the clock the time.
    pub fn tell(&mut self, now: Duration) {
        self.clock.tell(now);
    }

    /// Returns the time until there is something new to see; `None` where nothing changes by itself.
    pub fn wake_in(&self) -> Option<Duration> {
        self.clock.next_second().filter(|_| self.showing == Showing::Shown)
    }

    /// Returns the stage of the recording while `segment` is selected in `lesson`.
    pub fn stage(&self, lesson: &Lesson, segment: &Segment) -> TakeStage {
        let last = lesson.segments.last().is_some_and(|last| last.id == segment.id);
        let stamped = segment.recorded.filter(|known| self.starts.contains(&(segment.id, known.start)));
        let Some(known) = stamped.filter(|_| !self.is_undone(segment)) else { return TakeStage::Ready };
        if known.end.is_some() && last && !self.clock.is_running() { TakeStage::Over } else { TakeStage::Going }
    }

    /// Returns whether the last stroke on a segment was undone: the segment has its earlier recorded times again, and
    /// those are not what the stroke stamped.
    fn is_undone(&self, segment: &Segment) -> bool {
        let stroke = self.stamped.iter().rfind(|stroke| stroke.segment == segment.id);
        stroke.is_some_and(|stroke| {
            stroke.was.recorded == segment.recorded
                && stroke.was.recorded != Some(Recorded { start: stroke.at, end: None })
        })
    }

    /// Returns the cues in view, the number of lines above them and the number of lines below.
    pub fn cues(&self) -> (&[CueLine], usize, usize) {
        let first = self.scroll.first().min(self.lines.len());
        let end = (first + self.height).min(self.lines.len());
        (self.lines.get(first..end).unwrap_or_default(), first, self.lines.len() - end)
    }

    /// Returns whether some cues are out of view.
    pub fn hides_cues(&self) -> bool {
        let (_, above, below) = self.cues();
        above + below > 0
    }

    /// Makes the cues again where something has changed, for a part of the screen of this width and height.
    pub fn follow(
        &mut self,
        lesson: &Lesson,
        segment: Option<&Segment>,
        revision: u64,
        (width, height): (usize, usize),
        appearance: Appearance,
    ) {
        if self.showing == Showing::Hidden {
            return;
        }
        let source = CueSource { segment: segment.map(|segment| segment.id), revision, width, height, appearance };
        if self.source.is_none_or(|known| known.segment != source.segment) {
            self.scroll = Scroll::default();
        }
        if self.source != Some(source) {
            self.lines = segment.map(|segment| cues_of(lesson, segment, width, appearance)).unwrap_or_default();
            self.lines = fitted(std::mem::take(&mut self.lines), height);
            self.source = Some(source);
        }
        self.height = height;
        self.scroll.to(self.scroll.first(), self.lines.len(), height);
    }

    pub(super) fn scroll_by(&mut self, lines: isize) {
        let first = self.scroll.first().saturating_add_signed(lines);
        self.scroll.to(first, self.lines.len(), self.height);
    }
}

/// Returns a time rounded down to whole seconds, as a clock shows it.
pub fn whole(time: VideoTime) -> VideoTime {
    VideoTime(time.0 - time.0 % 1000)
}
