//! Changes to the segments of the open lesson, each one transaction: what the timeline and the boxes
//! that it opens come to.

use crate::lesson::cut_video::merged;
use crate::lesson::cutting::{join, shifted, split};
use crate::lesson::document::{Lesson, PassageUse, Progress, Recorded, Segment, SegmentKind, VideoCut};
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::{SegmentId, SetupId};
use crate::lesson::kept_tunings::tunings_kept;
use crate::lesson::place::LessonPlace;
use crate::lesson::recording::{ends_kept_without, later_in_video, recorded_between};
use crate::lesson::time::VideoLength;
use crate::text::quote::quoted;
use crate::workbench::editing::edited_lesson::{ChangeError, EditedLesson};
use crate::workbench::questions::timeline::{Marked, SegmentText};

/// Whether the recorded times of the segments after a changed one move along with it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Ripple {
    /// The times stay as they are.
    #[default]
    Off,
    /// The times move along and keep their distance.
    On,
}

/// Puts another version of a segment in its place.
///
/// Errors: those of [`EditedLesson::change`]; the lesson then stays as it is.
pub fn replace(open: &mut EditedLesson, reason: Reason, segment: Segment) -> Result<(), ChangeError> {
    let place = LessonPlace::Segment(segment.id);
    open.change(Transaction::one(reason, Edit::Segments(ListEdit::Replace(segment))).at(place))
}

/// Changes the title of a segment.
///
/// Errors: those of [`EditedLesson::change`]; the lesson then stays as it is.
pub fn retitle(open: &mut EditedLesson, id: SegmentId, title: &str) -> Result<(), ChangeError> {
    change(open, id, Reason::RetitleSegment, |segment| segment.title = title.trim().to_owned())
}

/// Changes the planned length of a segment. Where later ones move along and it is recorded, its
/// recorded end and all that is recorded after it move as far.
///
/// Errors: those of [`EditedLesson::change`]; the lesson then stays as it is.
pub fn retime(open: &mut EditedLesson, id: SegmentId, planned: VideoLength, ripple: Ripple) -> Result<(), ChangeError> {
    let Some(before) = open.segment(id) else { return Ok(()) };
    let by = i64::from(planned.0) - i64::from(before.planned.0);
    let mut after = Segment { planned, ..before.clone() };
    let Some(recorded) = before.recorded.filter(|_| ripple == Ripple::On) else {
        return change(open, id, Reason::RetimeSegment, |segment| segment.planned = planned);
    };
    if let Some(end) = recorded.end {
        let ended = shifted(&[Segment { recorded: Some(Recorded { start: end, end: None }), ..before.clone() }], by);
        let end = ended.and_then(|list| list.first()?.recorded).map(|known| known.start);
        let end = end.filter(|end| *end > recorded.start).ok_or_else(too_far)?;
        after.recorded = Some(Recorded { end: Some(end), ..recorded });
    }
    change_with_later(open, after, Reason::RetimeSegment, by)
}

/// Whether what is cut out of a segment moves with its recorded times.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CutTimes {
    /// A time was corrected: the cuts stay where they are, as far as they still lie within the recording.
    Stay,
    /// The whole segment was shifted, and its cuts with it.
    MoveAlong,
}

/// Changes when a segment was recorded. Where later ones move along, all that is recorded after it
/// moves as far as its start.
///
/// Errors: those of [`EditedLesson::change`]; the lesson then stays as it is.
pub fn stamp(
    open: &mut EditedLesson,
    id: SegmentId,
    recorded: Option<Recorded>,
    cuts: CutTimes,
    ripple: Ripple,
) -> Result<(), ChangeError> {
    let Some(before) = open.segment(id) else { return Ok(()) };
    let times = before.recorded.zip(recorded);
    let by = times.map_or(0, |(was, now)| i64::from(now.start.0) - i64::from(was.start.0));
    let is_whole = times.is_some_and(|(was, now)| {
        was.end.zip(now.end).is_some_and(|(was, now)| i64::from(now.0) - i64::from(was.0) == by)
    });
    let mut after = Segment { recorded, ..before.clone() };
    if ripple == Ripple::On || cuts == CutTimes::MoveAlong || is_whole {
        let moved = shifted(std::slice::from_ref(before), by).and_then(|list| list.into_iter().next());
        after.cuts = moved.map(|moved| moved.cuts).unwrap_or_default();
    }
    change_with_later(open, after, Reason::StampSegment, if ripple == Ripple::On { by } else { 0 })
}

/// Changes what of a segment's recording is left out of the video.
///
/// Errors: those of [`EditedLesson::change`]; the lesson then stays as it is.
pub fn set_cuts(open: &mut EditedLesson, id: SegmentId, cuts: Vec<VideoCut>) -> Result<(), ChangeError> {
    change(open, id, Reason::StampSegment, |segment| segment.cuts = merged(cuts))
}

/// Puts `after` in the place of the segment it is a version of, and shifts what is recorded later.
fn change_with_later(open: &mut EditedLesson, mut after: Segment, reason: Reason, by: i64) -> Result<(), ChangeError> {
    // Where the recorded times stay, a file that somebody wrote by hand is not tidied behind their back.
    if open.segment(after.id).is_some_and(|before| before.recorded != after.recorded) {
        after.fit_cuts();
    }
    let segments = &open.lesson().segments;
    let Some(place) = segments.iter().position(|segment| segment.id == after.id) else { return Ok(()) };
    if segments.get(place) == Some(&after) {
        return Ok(());
    }
    let id = after.id;
    let kept = if after.recorded.is_none() { ends_kept_without(segments, id) } else { Vec::new() };
    let mut versions = vec![after];
    if by != 0 {
        versions.extend(shifted(&later_in_video(segments, place), by).ok_or_else(too_far)?);
    }
    let versions = versions.into_iter().map(|segment| Edit::Segments(ListEdit::Replace(segment)));
    let edits = kept.into_iter().chain(versions).collect();
    open.change(Transaction::new(reason, edits).at(LessonPlace::Segment(id)))
}

fn too_far() -> ChangeError {
    ChangeError::Edit("what is recorded later would lie before the start of the video, or end before it starts".into())
}

/// Changes the kind of a segment.
///
/// Errors: those of [`EditedLesson::change`]; the lesson then stays as it is.
pub fn set_kind(open: &mut EditedLesson, id: SegmentId, kind: SegmentKind) -> Result<(), ChangeError> {
    change(open, id, Reason::ChangeSegmentKind, |segment| segment.kind = kind)
}

/// Says how far a segment is.
///
/// Errors: those of [`EditedLesson::change`]; the lesson then stays as it is.
pub fn set_progress(open: &mut EditedLesson, id: SegmentId, progress: Progress) -> Result<(), ChangeError> {
    change(open, id, Reason::ChangeSegmentProgress, |segment| segment.progress = progress)
}

/// Changes what is written in a segment, a line each.
///
/// Errors: those of [`EditedLesson::change`]; the lesson then stays as it is.
pub fn set_written(
    open: &mut EditedLesson,
    id: SegmentId,
    what: SegmentText,
    lines: Vec<String>,
) -> Result<(), ChangeError> {
    match what {
        SegmentText::Points => change(open, id, Reason::EditTalkingPoints, |segment| segment.talking_points = lines),
        SegmentText::Shot => change(open, id, Reason::EditSegmentNotes, |segment| segment.shot = lines.join("\n")),
        SegmentText::Tone => change(open, id, Reason::EditSegmentNotes, |segment| segment.tone = lines.join("\n")),
    }
}

/// Has a segment show what is marked of what was offered: what it shows already as before, then the rest.
///
/// Errors: those of [`EditedLesson::change`]; the lesson then stays as it is.
pub fn set_marked(
    open: &mut EditedLesson,
    id: SegmentId,
    offered: &[Marked],
    marked: &[Marked],
) -> Result<(), ChangeError> {
    let stays = |thing: Marked| !offered.contains(&thing) || marked.contains(&thing);
    change(open, id, Reason::LinkSegment, |segment| {
        segment.passages.retain(|used| stays(Marked::Passage(used.passage)));
        segment.voicings.retain(|voicing| stays(Marked::Voicing(*voicing)));
        for thing in marked {
            match *thing {
                Marked::Passage(passage) if segment.passages.iter().all(|used| used.passage != passage) => {
                    segment.passages.push(PassageUse::whole(passage));
                }
                Marked::Voicing(voicing) if !segment.voicings.contains(&voicing) => segment.voicings.push(voicing),
                Marked::Passage(_) | Marked::Voicing(_) => {}
            }
        }
    })
}

/// Splits a segment after `at`; returns the second part.
///
/// Errors: in words, that there is nothing to split off, or why the lesson cannot be changed.
pub fn split_at(open: &mut EditedLesson, id: SegmentId, at: VideoLength) -> Result<SegmentId, String> {
    let new = open.new_id();
    let lesson = open.lesson();
    let (Some(segment), Some(place)) = (lesson.segment(id), lesson.segment_index(id)) else {
        return Err("it is no longer in the lesson".to_owned());
    };
    let (first, second) = split(segment, new, at)
        .ok_or_else(|| format!("it is {} long: split it after its beginning and before its end", segment.planned))?;
    let edits = vec![
        Edit::Segments(ListEdit::Replace(first)),
        Edit::Segments(ListEdit::Insert { at: place + 1, item: second }),
    ];
    let change = Transaction::new(Reason::SplitOrJoinSegments, edits).at(LessonPlace::Segment(id));
    open.change(change).map_err(|error| error.to_string()).map(|()| new)
}

/// Joins the segment at `place` with the next one. The segments after it keep their tuning. Without a next one nothing
/// happens.
///
/// Errors: another segment was recorded between the two, or those of [`EditedLesson::change`]; the lesson then stays as it is.
pub fn join_with_next(open: &mut EditedLesson, place: usize) -> Result<(), ChangeError> {
    let segments = &open.lesson().segments;
    let (Some(first), Some(second)) = (segments.get(place), segments.get(place + 1)) else { return Ok(()) };
    if first.id == second.id {
        return Err(ChangeError::Edit(
            "both segments have the same number; {Desk(ShowProblems)} lists the problems and their fixes".into(),
        ));
    }
    if let Some(between) = recorded_between(segments, first, second) {
        return Err(ChangeError::Edit(format!(
            "\"{}\" was recorded between the two, at {}: put the segments in the order of the video first",
            quoted(&between.segment.title),
            between.recorded.start
        )));
    }
    let mut edits =
        vec![Edit::Segments(ListEdit::Replace(join(first, second))), Edit::Segments(ListEdit::Remove(second.id))];
    edits.extend(tunings_kept(open.lesson(), &edits));
    let id = first.id;
    open.change(Transaction::new(Reason::SplitOrJoinSegments, edits).at(LessonPlace::Segment(id)))
}

/// Puts a copy of a segment after it, not recorded yet; returns the copy.
///
/// Errors: those of [`EditedLesson::change`]; the lesson then stays as it is.
pub fn duplicate(open: &mut EditedLesson, place: usize) -> Result<Option<SegmentId>, ChangeError> {
    let id = open.new_id();
    let Some(segment) = open.lesson().segments.get(place) else { return Ok(None) };
    let progress = match segment.progress {
        // What is said of a recording is not true of the copy, which has none.
        Progress::ReRecord | Progress::Final => Progress::Practised,
        before => before,
    };
    let item = Segment { id, recorded: None, cuts: Vec::new(), progress, ..segment.clone() };
    let edit = Edit::Segments(ListEdit::Insert { at: place + 1, item });
    change_list(open, Reason::AddSegment, id, vec![edit])?;
    Ok(Some(id))
}

/// What became of the tunings when the list of segments was changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TuningsKept {
    /// Whether some segments state their tuning now so that they keep it.
    stated: bool,
    /// Where retuning segments that state no tuning lead now, in words; empty where each leads where it did.
    led: String,
}

impl TuningsKept {
    /// Returns what is said of it behind what was done; nothing where nothing had to be done.
    pub fn words(&self) -> String {
        let led = &self.led;
        match (self.stated, led.is_empty()) {
            (false, true) => String::new(),
            (true, true) => "; every segment keeps its tuning".to_owned(),
            (false, false) => format!("; {led}"),
            (true, false) => format!("; what is played keeps its tuning; {led}"),
        }
    }
}

/// Returns where the retuning segments lead now that led elsewhere before.
fn led_now(lesson: &Lesson, before: &[(SegmentId, Option<SetupId>)]) -> String {
    let is_new = |led: &(SegmentId, Option<SetupId>)| before.iter().any(|was| was.0 == led.0 && was.1 != led.1);
    let changed: Vec<(SegmentId, Option<SetupId>)> = lesson.led_to().into_iter().filter(is_new).collect();
    match changed[..] {
        [] => String::new(),
        [(id, to)] => {
            let title = lesson.segment(id).map_or("", |segment| segment.title.trim());
            let which = if title.is_empty() { "the retuning".to_owned() } else { format!("\"{}\"", quoted(title)) };
            let to = to.and_then(|to| lesson.setup(to));
            to.map_or_else(
                || format!("{which} now changes no tuning"),
                |setup| format!("{which} now goes to {}", quoted(&setup.name)),
            )
        }
        [..] => format!("{} retunings now go to another tuning", changed.len()),
    }
}

/// Changes the list of segments in one step, in which every segment keeps its tuning.
///
/// Errors: those of [`EditedLesson::change`]; the lesson then stays as it is.
fn change_list(
    open: &mut EditedLesson,
    reason: Reason,
    id: SegmentId,
    mut edits: Vec<Edit>,
) -> Result<TuningsKept, ChangeError> {
    let more = tunings_kept(open.lesson(), &edits);
    let (stated, led) = (!more.is_empty(), open.lesson().led_to());
    edits.extend(more);
    open.change(Transaction::new(reason, edits).at(LessonPlace::Segment(id)))?;
    Ok(TuningsKept { stated, led: led_now(open.lesson(), &led) })
}

/// Moves a segment to the place `to` of the list, counted from 0.
///
/// Errors: those of [`EditedLesson::change`]; the lesson then stays as it is.
pub fn move_to(open: &mut EditedLesson, id: SegmentId, to: usize) -> Result<TuningsKept, ChangeError> {
    change_list(open, Reason::MoveSegment, id, vec![Edit::Segments(ListEdit::Move { id, to })])
}

/// Deletes a segment. The recording of the one before it in the video ends where it ended.
///
/// Errors: those of [`EditedLesson::change`]; the lesson then stays as it is.
pub fn delete(open: &mut EditedLesson, id: SegmentId) -> Result<TuningsKept, ChangeError> {
    let mut edits = ends_kept_without(&open.lesson().segments, id);
    edits.push(Edit::Segments(ListEdit::Remove(id)));
    change_list(open, Reason::RemoveSegment, id, edits)
}

/// Applies `alter` to a copy of a segment; nothing happens where it alters nothing.
fn change(
    open: &mut EditedLesson,
    id: SegmentId,
    reason: Reason,
    alter: impl FnOnce(&mut Segment),
) -> Result<(), ChangeError> {
    let Some(before) = open.segment(id) else { return Ok(()) };
    let mut after = before.clone();
    alter(&mut after);
    if after == *before { Ok(()) } else { replace(open, reason, after) }
}
