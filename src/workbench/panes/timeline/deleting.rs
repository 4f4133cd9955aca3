//! Deleting a segment, and what its recording becomes. The recordings of the others stay as long as they were.

use crate::lesson::document::{Lesson, Segment};
use crate::lesson::id::SegmentId;
use crate::lesson::recording::{RecordedStretch, stretches};
use crate::workbench::drawing::short_time::tenths;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::editing::segment_changes::delete;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;

/// Deletes a segment, and says which stretch of the recording then belongs to none.
pub(super) fn delete_segment(open: &mut EditedLesson, segment: &Segment) -> PaneReply {
    let left = left_over(open.lesson(), segment.id);
    match delete(open, segment.id) {
        Ok(kept) => PaneReply::say(Notice::done(format!(
            "deleted \"{}\"{left}{}; {{Desk(Undo)}} undoes",
            segment.title,
            kept.words()
        ))),
        Err(error) => PaneReply::say(Notice::trouble(error.to_string())),
    }
}

/// Returns the words about the stretch of the recording that belongs to no segment once this one has no recording;
/// empty where there is none, or where others were recorded over it.
pub(super) fn left_over(lesson: &Lesson, id: SegmentId) -> String {
    let stretches = stretches(&lesson.segments);
    let place = lesson.segment_index(id);
    let Some(gone) = place.and_then(|place| stretches.get(place).copied().flatten()) else { return String::new() };
    let over = |(other, stretch): (&Segment, Option<RecordedStretch>)| {
        let Some(RecordedStretch { from, to }) = stretch else { return false };
        other.id != id && gone.to.is_none_or(|end| from < end) && to.is_none_or(|to| to > gone.from)
    };
    if lesson.segments.iter().zip(stretches).any(over) {
        return String::new();
    }
    match gone.to {
        Some(to) => format!("; no segment has {} to {} of the recording now", tenths(gone.from.0), tenths(to.0)),
        None => format!("; no segment has the recording from {} on now", tenths(gone.from.0)),
    }
}
