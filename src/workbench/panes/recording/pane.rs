//! The recording view: a clock that all can read, and one key that says when the next segment starts.
//!
//! The segment that is recorded now is the one selected in the timeline. What is stamped goes into
//! the lesson at once, a transaction a key, so that nothing is lost when the light goes out.

use std::time::Duration;

use crate::lesson::document::{Lesson, PassageUse, Recorded, Segment};
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::SegmentId;
use crate::lesson::place::Place;
use crate::lesson::time::VideoTime;
use crate::plan::order::places;
use crate::tab::passage::{render, render_bars, string_labels};
use crate::tab::style::TabStyle;
use crate::text::wrap::wrap;
use crate::workbench::boxes::overlay::{EntryBox, Overlay, Subject};
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::drawing::appearance::Look;
use crate::workbench::drawing::scroll::Scroll;
use crate::workbench::drawing::short_time::tenths;
use crate::workbench::editing::edited_lesson::ChangeError;
use crate::workbench::keys::action::RecordingAction;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::panes::recording::clock::VideoClock;
use crate::workbench::panes::recording::words::{Missing, Replaced};

/// Two strokes closer than this are one: a pedal that bounces, a key held too long. Our own setting.
const ONE_STROKE: u32 = 1_000;

/// Whether the view covers the panes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Showing {
    /// It does.
    Shown,
    /// It does not.
    #[default]
    Hidden,
}

/// Where the recording stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    /// The next stroke stamps the start of the selected segment.
    Ready,
    /// The next stroke stamps the start of the segment after it.
    Going,
    /// The last segment has its end.
    Over,
}

/// Whether a stroke may replace a time at once. A clock that ran on behind the panes may have been
/// forgotten, and a pedal is soon stepped on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Guard {
    /// It may: the take is meant.
    #[default]
    Free,
    /// The first stroke only says what the second replaces.
    Asks,
    /// It was said when the clock showed this.
    Warned(VideoTime),
}

/// A line of what there is to say and to play.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum CueLine {
    /// A talking point, or the rest of one.
    Point(String),
    /// A line of tab.
    Music(String),
    /// What the tab is, or nothing.
    Note(String),
}

/// What the cues were made from, to know when to make them again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Source {
    segment: Option<SegmentId>,
    revision: u64,
    width: usize,
    look: Look,
}

/// A stroke that can be stepped back over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Stamped {
    segment: SegmentId,
    /// The start it stamped.
    at: VideoTime,
    /// What was recorded of it before.
    was: Option<Recorded>,
    /// The segment before it, and what was recorded of that.
    before: Option<(SegmentId, Option<Recorded>)>,
}

/// The recording view's own state.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct RecordingPane {
    showing: Showing,
    clock: VideoClock,
    /// The starts that strokes have stamped, so that those of another day are told apart from them.
    starts: Vec<(SegmentId, VideoTime)>,
    stamped: Vec<Stamped>,
    guard: Guard,
    source: Option<Source>,
    lines: Vec<CueLine>,
    scroll: Scroll,
    height: usize,
}

impl RecordingPane {
    /// Returns whether the view covers the panes.
    pub const fn showing(&self) -> Showing {
        self.showing
    }

    /// Returns the clock.
    pub const fn clock(&self) -> &VideoClock {
        &self.clock
    }

    /// Returns whether a stroke may replace a time at once.
    pub const fn guard(&self) -> Guard {
        self.guard
    }

    /// Tells the clock the time.
    pub fn tell(&mut self, now: Duration) {
        self.clock.tell(now);
    }

    /// Returns how long until there is something new to see; `None` where nothing changes by itself.
    pub fn wake_in(&self) -> Option<Duration> {
        self.clock.next_second().filter(|_| self.showing == Showing::Shown)
    }

    /// Returns where the recording stands, with this segment selected in this lesson.
    pub fn stage(&self, lesson: &Lesson, segment: &Segment) -> Stage {
        let last = lesson.segments.last().is_some_and(|last| last.id == segment.id);
        let stamped = segment.recorded.filter(|known| self.starts.contains(&(segment.id, known.start)));
        let Some(known) = stamped.filter(|_| !self.is_undone(segment)) else { return Stage::Ready };
        if known.end.is_some() && last && !self.clock.is_running() { Stage::Over } else { Stage::Going }
    }

    /// Returns whether the last stroke on a segment was undone: what was recorded before it is there
    /// again, and that is not what the stroke stamped.
    fn is_undone(&self, segment: &Segment) -> bool {
        let stroke = self.stamped.iter().rfind(|stroke| stroke.segment == segment.id);
        stroke.is_some_and(|stroke| {
            stroke.was == segment.recorded && stroke.was != Some(Recorded { start: stroke.at, end: None })
        })
    }

    /// Returns the cues that are in view, how many lie above them and how many below.
    pub fn cues(&self) -> (&[CueLine], usize, usize) {
        let first = self.scroll.first().min(self.lines.len());
        let end = (first + self.height).min(self.lines.len());
        (self.lines.get(first..end).unwrap_or_default(), first, self.lines.len() - end)
    }

    /// Makes the cues again where something has changed, for a part of the screen of this size.
    pub fn follow(
        &mut self,
        lesson: &Lesson,
        segment: Option<&Segment>,
        revision: u64,
        (width, height): (usize, usize),
        look: Look,
    ) {
        if self.showing == Showing::Hidden {
            return;
        }
        let source = Source { segment: segment.map(|segment| segment.id), revision, width, look };
        if self.source.is_none_or(|known| known.segment != source.segment) {
            self.scroll = Scroll::default();
        }
        if self.source != Some(source) {
            self.lines = segment.map(|segment| cues_of(lesson, segment, width, look)).unwrap_or_default();
            self.source = Some(source);
        }
        self.height = height;
        self.scroll.to(self.scroll.first(), self.lines.len(), height);
    }

    fn scroll_by(&mut self, lines: isize) {
        let first = self.scroll.first().saturating_add_signed(lines);
        self.scroll.to(first, self.lines.len(), self.height);
    }
}

/// Returns what there is to say and to play in a segment, no line wider than `width`.
fn cues_of(lesson: &Lesson, segment: &Segment, width: usize, look: Look) -> Vec<CueLine> {
    let mut lines = Vec::new();
    let room = width.saturating_sub(2).max(1);
    for point in &segment.talking_points {
        for (line, text) in wrap(&look.shown(point), room).into_iter().enumerate() {
            let mark = if line == 0 { look.glyphs().dot } else { " " };
            lines.push(CueLine::Point(format!("{mark} {text}")));
        }
    }
    for (word, note) in [("shot", &segment.shot), ("tone", &segment.tone)] {
        for text in note.lines().filter(|text| !text.trim().is_empty()) {
            let wrapped = wrap(&look.shown(&format!("{word}: {text}")), room);
            lines.extend(wrapped.into_iter().map(CueLine::Note));
        }
    }
    for used in &segment.passages {
        lines.extend(music_of(lesson, used, width, look));
    }
    let blank = |line: &CueLine| matches!(line, CueLine::Note(text) if text.is_empty());
    while lines.last().is_some_and(blank) {
        lines.pop();
    }
    lines
}

/// Returns the tab of a passage under its title.
fn music_of(lesson: &Lesson, used: &PassageUse, width: usize, look: Look) -> Vec<CueLine> {
    let Some(passage) = lesson.passage(used.passage) else { return Vec::new() };
    let bars = used.bars.map_or(String::new(), |bars| format!(", bars {} to {}", bars.first, bars.last));
    let mut lines = vec![CueLine::Note(String::new()), CueLine::Note(format!("{}{bars}", passage.title))];
    let labels = lesson.passage_setup(passage).map_or(Vec::new(), |setup| string_labels(&setup.tuning));
    let style = TabStyle { width, charset: look.charset };
    let text = match used.bars {
        Some(range) => render_bars(passage, places(passage.bars.len(), Some(range)), &labels, &style),
        None => render(passage, &labels, &style),
    };
    for system in text.systems {
        lines.extend(system.lines.into_iter().map(CueLine::Music));
        lines.push(CueLine::Note(String::new()));
    }
    lines
}

impl Desk {
    /// Opens the recording view. A clock that has not run yet is set to where the recording before
    /// the selected segment ends, so that a video begun another day goes on.
    pub(in crate::workbench) fn open_recording(&mut self) -> Reply {
        let lesson = self.lesson.lesson();
        if lesson.segments.is_empty() {
            return Reply::say(Notice::note("there is nothing to record yet: add a segment in the timeline first"));
        }
        if self.recording.starts.is_empty() && !self.recording.clock.is_running() {
            let earlier = lesson.segments.iter().take(self.timeline.place(lesson));
            let ends = earlier.filter_map(|segment| segment.recorded).map(|known| known.end.unwrap_or(known.start));
            self.recording.clock.set(ends.max().unwrap_or_default());
        }
        let current = lesson.segments.get(self.timeline.place(lesson));
        // Where the take stands, it goes on; elsewhere the clock may have been left running by mistake.
        let goes_on = current.is_some_and(|current| {
            self.recording.stage(lesson, current) == Stage::Going
                && self.recording.stamped.last().is_some_and(|last| last.segment == current.id)
        });
        self.recording.guard = if self.recording.clock.is_running() && !goes_on { Guard::Asks } else { Guard::Free };
        self.recording.showing = Showing::Shown;
        self.recording.source = None;
        Reply::nothing()
    }

    /// Does what was asked of the recording view.
    pub fn act_on_recording(&mut self, action: RecordingAction) -> Reply {
        match action {
            RecordingAction::Advance => return self.advance(),
            // Whoever steps back or takes again means the take that follows.
            RecordingAction::StepBack => {
                self.recording.guard = Guard::Free;
                return self.step_back();
            }
            RecordingAction::Retake => {
                self.recording.guard = Guard::Free;
                return self.retake();
            }
            RecordingAction::RunOrHold => {
                self.recording.guard = Guard::Free;
                if self.recording.clock.is_running() {
                    self.recording.clock.hold();
                } else {
                    self.recording.clock.run();
                }
            }
            RecordingAction::SetClock => {
                return Reply::ask(Overlay::Entry(EntryBox::new(
                    Subject::VideoClock,
                    format!("The clock shows {}", whole(self.recording.clock.time())),
                    "The time of the video, as in 1:23 or 1:02:03; +5 or -5 to put it on or back by seconds.",
                    "",
                )));
            }
            RecordingAction::ScrollUp => self.recording.scroll_by(-1),
            RecordingAction::ScrollDown => self.recording.scroll_by(1),
            RecordingAction::Close => {
                self.recording.showing = Showing::Hidden;
                if self.recording.clock.is_running() {
                    return Reply::say(Notice::note("the clock runs on; the recording view has a key to hold it"));
                }
            }
        }
        Reply::nothing()
    }

    /// Sets the clock of the recording view.
    pub fn set_video_clock(&mut self, time: VideoTime) {
        self.recording.guard = Guard::Free;
        self.recording.clock.set(time);
    }

    /// Returns what to say instead of stamping, where a stroke must not replace a time at once.
    fn ask_first(&mut self) -> Option<Reply> {
        let lesson = self.lesson.lesson();
        let place = self.timeline.place(lesson);
        let stage = self.recording.stage(lesson, lesson.segments.get(place)?);
        let now = self.recording.clock.time();
        let replaced = Replaced::of(lesson, place, stage);
        match (self.recording.guard, replaced) {
            (Guard::Asks, Some(Replaced { number, word, time })) => {
                self.recording.guard = Guard::Warned(now);
                let time = tenths(time.0);
                let text =
                    format!("nothing was stamped: {number} has its {word} at {time}; the next stroke replaces that");
                Some(Reply::say(Notice::note(text)))
            }
            (Guard::Warned(at), Some(_)) if now.since(at).is_some_and(|since| since.0 < ONE_STROKE) => {
                Some(Reply::say(Notice::note("that was one stroke with the last: nothing was stamped")))
            }
            _ => {
                self.recording.guard = Guard::Free;
                None
            }
        }
    }

    /// Stamps the start of what comes next, or the end of the last segment.
    fn advance(&mut self) -> Reply {
        if let Some(reply) = self.ask_first() {
            return reply;
        }
        let lesson = self.lesson.lesson();
        let place = self.timeline.place(lesson);
        let Some(current) = lesson.segments.get(place) else { return Reply::nothing() };
        let now = self.recording.clock.time();
        let stage = self.recording.stage(lesson, current);
        let (stamped, before) = match stage {
            Stage::Ready => (Some(current), place.checked_sub(1).and_then(|place| lesson.segments.get(place))),
            Stage::Going if self.is_one_stroke(current, now) => {
                return Reply::say(Notice::note("that was one stroke with the last: nothing was stamped"));
            }
            Stage::Going => (lesson.segments.get(place + 1), Some(current)),
            Stage::Over => return Reply::say(Notice::note(over(lesson))),
        };
        let Some(stamped) = stamped else { return self.end_last(current.clone(), now) };
        let mut started = stamped.clone();
        started.recorded = Some(Recorded { start: now, end: None });
        let stroke = Stamped {
            segment: stamped.id,
            at: now,
            was: stamped.recorded,
            before: before.map(|before| (before.id, before.recorded)),
        };
        let mut edits = vec![Edit::Segments(ListEdit::Replace(started.clone()))];
        // An end from an earlier recording must not reach into what begins now.
        let reaches = |before: &Segment| before.recorded.and_then(|known| known.end).is_some_and(|end| end > now);
        if let Some(mut before) = before.filter(|before| reaches(before)).cloned() {
            before.recorded = before.recorded.map(|known| Recorded { end: None, ..known });
            edits.push(Edit::Segments(ListEdit::Replace(before)));
        }
        let mut done = match Replaced::of(lesson, place, stage) {
            Some(replaced) => format!("{} starts at {}", replaced.number, now_and_before(now, replaced)),
            None => format!("{} starts at {}", quoted_title(&started), tenths(now.0)),
        };
        let earlier = lesson.segments.get(..place).filter(|_| stage == Stage::Ready);
        if let Some((who, how)) = earlier.and_then(Missing::of).map(|missing| missing.stay()) {
            done = format!("{done}; {who} {how}");
        }
        let reply = self.change_recorded(edits, started.id, done);
        if let Ok(reply) = reply {
            self.recording.stamped.push(stroke);
            self.recording.starts.push((started.id, now));
            self.recording.clock.run();
            self.timeline.select(started.id);
            return reply;
        }
        reply.unwrap_or_else(refused)
    }

    fn is_one_stroke(&self, current: &Segment, now: VideoTime) -> bool {
        let since = current.recorded.and_then(|known| now.since(known.start));
        since.is_some_and(|since| since.0 < ONE_STROKE)
            && self.recording.stamped.last().is_some_and(|last| last.segment == current.id)
    }

    /// Stamps the end of the last segment and holds the clock.
    fn end_last(&mut self, mut last: Segment, now: VideoTime) -> Reply {
        let Some(known) = last.recorded else { return Reply::nothing() };
        if now <= known.start {
            return Reply::say(Notice::note(format!(
                "it starts at {}, which is not before the clock",
                tenths(known.start.0)
            )));
        }
        last.recorded = Some(Recorded { end: Some(now), ..known });
        let id = last.id;
        let lesson = self.lesson.lesson();
        let replaced = Replaced::of(lesson, self.timeline.place(lesson), Stage::Going);
        let end = replaced.map_or_else(|| tenths(now.0), |replaced| now_and_before(now, replaced));
        let end = format!("the end is at {end}");
        let done = match Missing::of(&lesson.segments) {
            Some(missing) => format!("{end}; {}", missing.to_mend()),
            None => format!("{end}: every segment has its time, and the clock is held"),
        };
        let reply = self.change_recorded(vec![Edit::Segments(ListEdit::Replace(last))], id, done);
        if reply.is_ok() {
            self.recording.clock.hold();
        }
        reply.unwrap_or_else(refused)
    }

    /// Takes the last stroke back: the segment before is recorded again, and times are as they were.
    fn step_back(&mut self) -> Reply {
        let lesson = self.lesson.lesson();
        let place = self.timeline.place(lesson);
        let Some(mut current) = lesson.segments.get(place).cloned() else { return Reply::nothing() };
        let id = current.id;
        if self.recording.stage(lesson, &current) == Stage::Over {
            current.recorded = current.recorded.map(|known| Recorded { end: None, ..known });
            let done = "the last segment has no end again; the clock is still held".to_owned();
            let edits = vec![Edit::Segments(ListEdit::Replace(current))];
            return self.change_recorded(edits, id, done).unwrap_or_else(refused);
        }
        let previous = place.checked_sub(1).and_then(|place| lesson.segments.get(place)).cloned();
        if current.recorded.is_none() && previous.is_none() {
            return Reply::say(Notice::note("this is the first segment, and it is not recorded yet"));
        }
        let stroke = self.recording.stamped.iter().rposition(|stroke| stroke.segment == id);
        let (depth, stroke) = (stroke, stroke.and_then(|depth| self.recording.stamped.get(depth)).copied());
        let lost = current.recorded.filter(|_| stroke.is_none());
        current.recorded = stroke.and_then(|stroke| stroke.was);
        let changed = lesson.segment(id) != Some(&current);
        let mut edits: Vec<Edit> =
            changed.then(|| Edit::Segments(ListEdit::Replace(current.clone()))).into_iter().collect();
        let before = stroke.and_then(|stroke| stroke.before).and_then(|(id, was)| Some((lesson.segment(id)?, was)));
        if let Some((before, was)) = before.filter(|(before, was)| before.recorded != *was) {
            edits.push(Edit::Segments(ListEdit::Replace(Segment { recorded: was, ..before.clone() })));
        }
        let goes_to = previous.as_ref().map_or(id, |previous| previous.id);
        let done = match &previous {
            Some(previous) => format!("back in {}", quoted_title(previous)),
            None => format!("{} is not started", quoted_title(&current)),
        };
        // What no stroke of this take has stamped must not go without a word.
        let done = match lost {
            Some(known) => format!("{} had its start at {}; u gives it back; {done}", place + 1, tenths(known.start.0)),
            None => done,
        };
        let reply = self.change_recorded(edits, id, done);
        if reply.is_ok() {
            if let Some(depth) = depth {
                self.recording.stamped.truncate(depth);
            }
            self.timeline.select(goes_to);
            if previous.is_none() {
                self.recording.clock.hold();
            }
        }
        reply.unwrap_or_else(refused)
    }

    /// Has the segment begin again now. What was recorded of it so far is to be cut, which its shot
    /// note says; the segment before ends where it began first.
    fn retake(&mut self) -> Reply {
        let lesson = self.lesson.lesson();
        let place = self.timeline.place(lesson);
        let Some(mut current) = lesson.segments.get(place).cloned() else { return Reply::nothing() };
        let now = self.recording.clock.time();
        let going = self.recording.stage(lesson, &current) != Stage::Ready;
        let known = current.recorded.filter(|known| going && known.start < now);
        let Some(known) = known else {
            return Reply::say(Notice::note("nothing of this segment is recorded yet that could be taken again"));
        };
        let id = current.id;
        current.recorded = Some(Recorded { start: now, end: None });
        let note = format!("retake: cut {} to {}", tenths(known.start.0), tenths(now.0));
        current.shot = if current.shot.trim().is_empty() { note } else { format!("{}\n{note}", current.shot) };
        let mut edits = vec![Edit::Segments(ListEdit::Replace(current))];
        let before = place.checked_sub(1).and_then(|place| lesson.segments.get(place));
        let open = |before: &&Segment| before.recorded.is_some_and(|known| known.end.is_none());
        if let Some(before) = before.filter(open).filter(|before| starts_before(before, known.start)) {
            let mut before = before.clone();
            before.recorded = before.recorded.map(|recorded| Recorded { end: Some(known.start), ..recorded });
            edits.push(Edit::Segments(ListEdit::Replace(before)));
        }
        let done = format!("taken again from {}; the shot note says what to cut", tenths(now.0));
        let reply = self.change_times(Reason::Retake, edits, id, done);
        if reply.is_ok() {
            self.recording.starts.push((id, now));
            self.recording.clock.run();
        }
        reply.unwrap_or_else(refused)
    }

    /// Changes recorded times in one transaction; returns what to say of it.
    fn change_recorded(&mut self, edits: Vec<Edit>, id: SegmentId, done: String) -> Result<Reply, ChangeError> {
        self.change_times(Reason::StampSegment, edits, id, done)
    }

    fn change_times(
        &mut self,
        reason: Reason,
        edits: Vec<Edit>,
        id: SegmentId,
        done: String,
    ) -> Result<Reply, ChangeError> {
        self.lesson.change(Transaction::new(reason, edits).at(Place::Segment(id)))?;
        Ok(Reply::say(Notice::done(done)))
    }
}

/// Says a time, and what it was before.
fn now_and_before(now: VideoTime, replaced: Replaced) -> String {
    format!("{}, was {}; u takes it back", tenths(now.0), tenths(replaced.time.0))
}

/// Says why a stroke after the end stamps nothing.
fn over(lesson: &Lesson) -> String {
    match Missing::of(&lesson.segments) {
        Some(missing) => format!("the end is stamped; {}", missing.to_mend()),
        None => "every segment has its time; step back, or close the view".to_owned(),
    }
}

fn starts_before(segment: &Segment, time: VideoTime) -> bool {
    segment.recorded.is_some_and(|known| known.start < time)
}

fn refused(error: ChangeError) -> Reply {
    Reply::say(Notice::trouble(error.to_string()))
}

fn quoted_title(segment: &Segment) -> String {
    format!("\"{}\"", segment.title)
}

/// Returns a time cut to whole seconds, as a clock shows it.
pub fn whole(time: VideoTime) -> VideoTime {
    VideoTime(time.0 - time.0 % 1000)
}
