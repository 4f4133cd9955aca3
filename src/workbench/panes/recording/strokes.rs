//! The strokes of the recording view: one key says that the next segment starts; others take that back or start a take
//! again.
//!
//! A stamped time goes into the lesson at once, as one transaction for each key, so that nothing is lost when the power
//! fails.

use crate::lesson::cut_video::{CutVideo, within};
use crate::lesson::document::{Lesson, Recorded, Segment, VideoCut};
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::SegmentId;
use crate::lesson::place::LessonPlace;
use crate::lesson::recording::{RecordedStretch, stretches};
use crate::lesson::time::VideoTime;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::boxes::typed_line::EntryBox;
use crate::workbench::drawing::short_time::tenths;
use crate::workbench::editing::edited_lesson::{ChangeError, EditedLesson};
use crate::workbench::keys::action::RecordingAction;
use crate::workbench::messages::missing_starts::Missing;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::recording::pane::{Guard, KnownTimes, RecordingPane, Stamped, TakeStage, whole};
use crate::workbench::panes::recording::words::{Replaced, StartsToo};
use crate::workbench::questions::recording::RecordingQuestion;
use crate::workbench::typing::time::{BARE_NUMBER, read_instant};

/// Two strokes closer together than this count as one, because a pedal bounces or a key was held too long. In
/// milliseconds; the value is our own choice.
const ONE_STROKE: u32 = 1_000;

impl RecordingPane {
    /// Opens the view. A clock that has not run yet is set to the start of the selected segment where that is recorded, so
    /// that it is recorded again from there; else to the end of the recording before it, so that a video begun another
    /// day goes on.
    pub fn open(&mut self, lesson: &Lesson, selected: Option<SegmentId>) -> PaneReply {
        if lesson.segments.is_empty() {
            return PaneReply::say(Notice::note("there is nothing to record yet: add a segment in the timeline first"));
        }
        if self.starts.is_empty() && !self.clock.is_running() {
            self.clock.set(begins_at(&lesson.segments, place_of(lesson, selected)));
        }
        let current = lesson.segments.get(place_of(lesson, selected));
        // At the segment where the take stopped, the take goes on; elsewhere the clock may have been left running by
        // mistake.
        let goes_on = current.is_some_and(|current| {
            self.stage(lesson, current) == TakeStage::Going
                && self.stamped.last().is_some_and(|last| last.segment == current.id)
        });
        if !goes_on {
            self.guard = Guard::Asks;
        }
        self.show();
        PaneReply::nothing()
    }

    /// Performs an action; the segment that is then being recorded becomes the selected one.
    pub fn act(
        &mut self,
        open: &mut EditedLesson,
        selected: &mut Option<SegmentId>,
        action: RecordingAction,
    ) -> PaneReply {
        match action {
            RecordingAction::Advance => return self.advance(open, selected),
            // A person who steps back means the take that follows.
            RecordingAction::StepBack => {
                self.guard = Guard::Free;
                return self.step_back(open, selected);
            }
            RecordingAction::Retake => return self.retake(open, selected),
            RecordingAction::RunOrHold => {
                // Where the take begins, whoever stops or starts the clock means it.
                let current = open.lesson().segments.get(place_of(open.lesson(), *selected));
                if current.is_some_and(|current| self.stage(open.lesson(), current) == TakeStage::Ready) {
                    self.guard = Guard::Free;
                }
                if self.clock.is_running() {
                    self.clock.hold();
                } else {
                    self.clock.run();
                }
            }
            RecordingAction::SetClock => {
                return PaneReply::ask(Overlay::Entry(EntryBox::new(
                    RecordingQuestion::Clock,
                    format!("The clock shows {}", whole(self.clock.time())),
                    format!(
                        "The time of the video, as in 1:23 or 1:02:03. {BARE_NUMBER} +5 or -5 moves the clock by seconds."
                    ),
                    "",
                )));
            }
            RecordingAction::ScrollUp => self.scroll_by(-1),
            RecordingAction::ScrollDown => self.scroll_by(1),
            RecordingAction::Close => {
                self.hide();
                if self.clock.is_running() {
                    return PaneReply::say(Notice::note("the clock keeps running; pause it in the recording view"));
                }
            }
        }
        PaneReply::nothing()
    }

    /// Takes the typed answer to a question. Errors: the text is not a valid answer; the words say why.
    pub fn answer(&mut self, question: RecordingQuestion, text: &str) -> Result<PaneReply, String> {
        match question {
            RecordingQuestion::Clock => {
                let time = read_instant(text, self.clock.time())?;
                self.guard = Guard::Free;
                self.clock.set(time);
                Ok(PaneReply::say(Notice::done(format!("the clock is set to {time}"))))
            }
        }
    }

    /// Returns a notice that replaces the stamping where a stroke must not replace a time at once.
    fn ask_first(&mut self, lesson: &Lesson, place: usize) -> Option<PaneReply> {
        let stage = self.stage(lesson, lesson.segments.get(place)?);
        let now = self.clock.time();
        let replaced = Replaced::of(lesson, place, stage);
        if replaced.is_some_and(|replaced| self.begins_again(lesson, place, replaced)) {
            return None;
        }
        match (self.guard, replaced) {
            (Guard::Asks, Some(Replaced { number, word, time })) => {
                self.guard = Guard::Warned(now);
                let time = tenths(time.0);
                let text = format!("no time set: {number} has its {word} at {time}; the next press replaces it");
                Some(PaneReply::say(Notice::note(text)))
            }
            (Guard::Warned(at), Some(_))
                if self.clock.is_running() && now.since(at).is_some_and(|since| since.0 < ONE_STROKE) =>
            {
                Some(PaneReply::say(Notice::note("pressed twice quickly: the second press is ignored")))
            }
            (Guard::Warned(_) | Guard::Free, Some(_)) => {
                self.guard = Guard::Free;
                None
            }
            // A run that comes upon a recorded segment later asks there.
            (Guard::Warned(_), None) => {
                self.guard = Guard::Asks;
                None
            }
            (Guard::Asks | Guard::Free, None) => None,
        }
    }

    /// Returns whether a stroke begins what needs no question: a segment is recorded again from where it starts, so that neither its
    /// start nor a cut is lost, or it was begun in this run already and that was undone.
    pub(super) fn begins_again(&self, lesson: &Lesson, place: usize, replaced: Replaced) -> bool {
        let ready = |current: &&Segment| self.stage(lesson, current) == TakeStage::Ready;
        lesson.segments.get(place).filter(ready).is_some_and(|current| {
            let is_as_it_was = replaced.time == self.clock.time() && current.cuts.is_empty();
            is_as_it_was || self.stamped.iter().any(|stroke| stroke.segment == current.id)
        })
    }

    /// Stamps the start of the next segment, or the end of the last one.
    fn advance(&mut self, open: &mut EditedLesson, selected: &mut Option<SegmentId>) -> PaneReply {
        let lesson = open.lesson();
        let place = place_of(lesson, *selected);
        if let Some(reply) = self.ask_first(lesson, place) {
            return reply;
        }
        let Some(current) = lesson.segments.get(place) else { return PaneReply::nothing() };
        let now = self.clock.time();
        let stage = self.stage(lesson, current);
        let (stamped, before) = match stage {
            TakeStage::Ready => (Some(current), place.checked_sub(1).and_then(|place| lesson.segments.get(place))),
            TakeStage::Going if self.is_one_stroke(current, now) => {
                return PaneReply::say(Notice::note("pressed twice quickly: the second press is ignored"));
            }
            TakeStage::Going => (lesson.segments.get(place + 1), Some(current)),
            TakeStage::Over => return PaneReply::say(Notice::note(over(lesson))),
        };
        let Some(stamped) = stamped else { return self.end_last(open, current.clone(), now) };
        let mut started = stamped.clone();
        started.recorded = Some(Recorded { start: now, end: None });
        started.cuts.clear();
        let stroke = Stamped {
            segment: stamped.id,
            at: now,
            was: KnownTimes::of(stamped),
            before: before.map(|before| (before.id, KnownTimes::of(before))),
        };
        let mut edits = vec![Edit::Segments(ListEdit::Replace(started.clone()))];
        // An end from an earlier recording must not reach into the segment that begins now.
        let reaches = |before: &Segment| before.recorded.and_then(|known| known.end).is_some_and(|end| end > now);
        if let Some(mut before) = before.filter(|before| reaches(before)).cloned() {
            if let Some(known) = before.recorded {
                before.recorded = Some(Recorded { end: None, ..known });
                before.cuts = within(&before.cuts, RecordedStretch { from: known.start, to: Some(now) });
            }
            edits.push(Edit::Segments(ListEdit::Replace(before)));
        }
        let mut done = match Replaced::of(lesson, place, stage) {
            Some(replaced) => format!("{} starts at {}", replaced.number, now_and_before(now, replaced)),
            None => format!("{} starts at {}", quoted_title(&started), tenths(now.0)),
        };
        done = format!("{}{done}", which_clock(lesson));
        let earlier = lesson.segments.get(..place).filter(|_| stage == TakeStage::Ready);
        if let Some((who, how)) = earlier.and_then(Missing::of).map(|missing| missing.in_two_lines()) {
            done = format!("{done}; {who} {how}");
        }
        if let Some(other) = StartsToo::of(&lesson.segments, started.id, now) {
            done = format!("{done}; {}; {{Desk(Undo)}} undoes", other.words());
        }
        let reply = change_recorded(open, edits, started.id, done);
        if let Ok(reply) = reply {
            self.stamped.push(stroke);
            self.starts.push((started.id, now));
            self.clock.run();
            *selected = Some(started.id);
            return reply;
        }
        reply.unwrap_or_else(refused)
    }

    fn is_one_stroke(&self, current: &Segment, now: VideoTime) -> bool {
        let since = current.first_shown().and_then(|start| now.since(start));
        since.is_some_and(|since| since.0 < ONE_STROKE)
            && self.stamped.last().is_some_and(|last| last.segment == current.id)
    }

    /// Stamps the end of the last segment and holds the clock.
    fn end_last(&mut self, open: &mut EditedLesson, mut last: Segment, now: VideoTime) -> PaneReply {
        let Some(known) = last.recorded else { return PaneReply::nothing() };
        if now <= known.start {
            return PaneReply::say(Notice::note(format!(
                "it starts at {}, which is not before the clock",
                tenths(known.start.0)
            )));
        }
        last.recorded = Some(Recorded { end: Some(now), ..known });
        last.fit_cuts();
        let id = last.id;
        let lesson = open.lesson();
        let replaced = Replaced::of(lesson, place_of(lesson, Some(id)), TakeStage::Going);
        let end = replaced.map_or_else(|| tenths(now.0), |replaced| now_and_before(now, replaced));
        let end = format!("{}ends at {end}", which_clock(lesson));
        let done = match Missing::of(&lesson.segments) {
            Some(missing) => format!("{end}; {}", missing.to_mend()),
            None => format!("{end}: every segment has its time, and the clock is paused"),
        };
        let reply = change_recorded(open, vec![Edit::Segments(ListEdit::Replace(last))], id, done);
        if reply.is_ok() {
            self.clock.hold();
        }
        reply.unwrap_or_else(refused)
    }

    /// Takes the last stroke back: the segment before it is being recorded again, and the times are as they were.
    fn step_back(&mut self, open: &mut EditedLesson, selected: &mut Option<SegmentId>) -> PaneReply {
        let lesson = open.lesson();
        let place = place_of(lesson, *selected);
        let Some(mut current) = lesson.segments.get(place).cloned() else { return PaneReply::nothing() };
        let id = current.id;
        if self.stage(lesson, &current) == TakeStage::Over {
            current.recorded = current.recorded.map(|known| Recorded { end: None, ..known });
            let done = "the last segment has no end again; the clock is still paused".to_owned();
            let edits = vec![Edit::Segments(ListEdit::Replace(current))];
            return change_recorded(open, edits, id, done).unwrap_or_else(refused);
        }
        let previous = place.checked_sub(1).and_then(|place| lesson.segments.get(place)).cloned();
        if current.recorded.is_none() && previous.is_none() {
            return PaneReply::say(Notice::note("this is the first segment, and it is not recorded yet"));
        }
        let stroke = self.stamped.iter().rposition(|stroke| stroke.segment == id);
        let (depth, stroke) = (stroke, stroke.and_then(|depth| self.stamped.get(depth)).cloned());
        let lost = current.recorded.filter(|_| stroke.is_none());
        let was = stroke.as_ref().map(|stroke| stroke.was.clone()).unwrap_or_default();
        current = was.put_into(&current);
        let changed = lesson.segment(id) != Some(&current);
        let mut edits: Vec<Edit> =
            changed.then(|| Edit::Segments(ListEdit::Replace(current.clone()))).into_iter().collect();
        let before = stroke.and_then(|stroke| stroke.before).and_then(|(id, was)| Some((lesson.segment(id)?, was)));
        if let Some((before, was)) = before.filter(|(before, was)| KnownTimes::of(before) != *was) {
            edits.push(Edit::Segments(ListEdit::Replace(was.put_into(before))));
        }
        let goes_to = previous.as_ref().map_or(id, |previous| previous.id);
        let done = match &previous {
            Some(previous) => format!("back in {}", quoted_title(previous)),
            None => format!("{} has not started", quoted_title(&current)),
        };
        // A start that no stroke of this take has stamped must not disappear without a notice.
        let done = match lost {
            Some(known) => {
                format!("{} had its start at {}; {{Desk(Undo)}} undoes; {done}", place + 1, tenths(known.start.0))
            }
            None => done,
        };
        let reply = change_recorded(open, edits, id, done);
        if reply.is_ok() {
            if let Some(depth) = depth {
                self.stamped.truncate(depth);
            }
            *selected = Some(goes_to);
            if previous.is_none() {
                self.clock.hold();
            }
        }
        reply.unwrap_or_else(refused)
    }

    /// Starts the segment again from this moment: what was recorded of it so far is cut out of the video.
    fn retake(&mut self, open: &mut EditedLesson, selected: &mut Option<SegmentId>) -> PaneReply {
        let lesson = open.lesson();
        let place = place_of(lesson, *selected);
        let Some(mut current) = lesson.segments.get(place).cloned() else { return PaneReply::nothing() };
        let now = self.clock.time();
        let going = self.stage(lesson, &current) != TakeStage::Ready;
        let recorded = current.recorded.filter(|_| going && current.first_shown().is_some_and(|start| start < now));
        let Some(Recorded { start, .. }) = recorded else {
            return PaneReply::say(Notice::note(
                "nothing of this segment is recorded yet, so there is nothing to retake",
            ));
        };
        let id = current.id;
        current.recorded = Some(Recorded { start, end: None });
        current.cuts.push(VideoCut { from: start, to: now });
        current.cuts = within(&current.cuts, RecordedStretch { from: start, to: Some(now) });
        let done =
            format!("retake from {now}; {} to {now} is cut out of the video", tenths(start.0), now = tenths(now.0));
        let edits = vec![Edit::Segments(ListEdit::Replace(current))];
        let reply = change_times(open, Reason::Retake, edits, id, done);
        if reply.is_ok() {
            self.clock.run();
        }
        reply.unwrap_or_else(refused)
    }
}

/// Changes recorded times in one transaction and returns the reply that says so. Errors: the lesson cannot be changed.
fn change_recorded(
    open: &mut EditedLesson,
    edits: Vec<Edit>,
    id: SegmentId,
    done: String,
) -> Result<PaneReply, ChangeError> {
    change_times(open, Reason::StampSegment, edits, id, done)
}

fn change_times(
    open: &mut EditedLesson,
    reason: Reason,
    edits: Vec<Edit>,
    id: SegmentId,
    done: String,
) -> Result<PaneReply, ChangeError> {
    open.change(Transaction::new(reason, edits).at(LessonPlace::Segment(id)))?;
    Ok(PaneReply::say(Notice::done(done)))
}

/// Returns the index of the selected segment in the list; 0 without one.
fn place_of(lesson: &Lesson, selected: Option<SegmentId>) -> usize {
    selected.and_then(|id| lesson.segment_index(id)).unwrap_or(0)
}

/// Returns the time at which the recording of the segment at index `place` begins: its own start where it is recorded,
/// else the last time that is known of the segments ahead of it, `0:00` where nothing is.
fn begins_at(segments: &[Segment], place: usize) -> VideoTime {
    if let Some(known) = segments.get(place).and_then(|segment| segment.recorded) {
        return known.start;
    }
    let earlier = segments.iter().zip(stretches(segments)).take(place);
    let ends = earlier.filter_map(|(segment, stretch)| stretch?.to.or_else(|| segment.first_shown()));
    ends.max().unwrap_or_default()
}

/// Returns a new time and the one it replaced, in words.
fn now_and_before(now: VideoTime, replaced: Replaced) -> String {
    if now == replaced.time {
        return format!("{}, as before", tenths(now.0));
    }
    format!("{}, was {}; {{Desk(Undo)}} undoes", tenths(now.0), tenths(replaced.time.0))
}

/// Returns the words before a time of the recording: after a retake the cut video has others.
fn which_clock(lesson: &Lesson) -> &'static str {
    if CutVideo::of(&lesson.segments).is_cut() { "recording clock: " } else { "" }
}

/// Returns the reason, in words, why a stroke after the end stamps nothing.
fn over(lesson: &Lesson) -> String {
    match Missing::of(&lesson.segments) {
        Some(missing) => format!("the end is set; {}", missing.to_mend()),
        None => "every segment has its time; go back a segment, or close the view".to_owned(),
    }
}

fn refused(error: ChangeError) -> PaneReply {
    PaneReply::say(Notice::trouble(error.to_string()))
}

fn quoted_title(segment: &Segment) -> String {
    format!("\"{}\"", segment.title)
}
