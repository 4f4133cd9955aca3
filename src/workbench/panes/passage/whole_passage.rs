//! Changes of a passage as a whole: a new one, its title and feel, and deleting it.

use crate::lesson::deleting::deleted;
use crate::lesson::document::{PassageUse, Segment, SegmentKind};
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::{PassageId, SegmentId};
use crate::lesson::links::Linked as _;
use crate::lesson::music::{Bar, Passage};
use crate::lesson::place::{LessonPlace, Spot};
use crate::lesson::time::{Meter, Tempo, VideoLength};
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::passage::at_cursor::nothing_shown;

/// How long a segment is planned that was made for a passage.
const NEW_SEGMENT: VideoLength = VideoLength::from_seconds(60);

/// Makes a passage of one empty bar that a segment plays; without a segment, in one of its own.
///
/// Errors: in words, why the lesson cannot be changed.
pub(super) fn begin(
    open: &mut EditedLesson,
    segment: Option<SegmentId>,
    title: String,
    meter: Meter,
    tempo: Tempo,
) -> Result<(), String> {
    let (id, new) = (open.new_id(), open.new_id());
    let lesson = open.lesson();
    let setup = open.setup_at(segment).map(|setup| setup.id);
    let item = Passage { setup, meter, tempo, ..Passage::plain(id, title.clone(), vec![Bar::default()]) };
    let mut edits = vec![Edit::Passages(ListEdit::Insert { at: lesson.passages.len(), item })];
    let segment = segment.and_then(|id| lesson.segment(id)).cloned();
    edits.push(Edit::Segments(match segment {
        Some(mut segment) => {
            segment.passages.push(PassageUse::whole(id));
            ListEdit::Replace(segment)
        }
        None => {
            let mut segment = Segment::new(new, SegmentKind::Slowly, title, NEW_SEGMENT);
            segment.passages.push(PassageUse::whole(id));
            ListEdit::Insert { at: lesson.segments.len(), item: segment }
        }
    }));
    let change = Transaction::new(Reason::AddPassage, edits).at(LessonPlace::Passage(id, Spot::WHOLE));
    open.change(change).map_err(|error| error.to_string())
}

/// Changes what holds for the whole of a passage.
pub(super) fn change(
    open: &mut EditedLesson,
    passage: Option<PassageId>,
    reason: Reason,
    change: impl FnOnce(&mut Passage),
) -> PaneReply {
    let Some(passage) = passage.and_then(|id| open.lesson().passage(id)) else { return nothing_shown() };
    let mut changed = passage.clone();
    change(&mut changed);
    if changed == *passage {
        return PaneReply::say(Notice::note("no change"));
    }
    let place = LessonPlace::Passage(changed.id, Spot::WHOLE);
    let edit = Edit::Passages(ListEdit::Replace(changed));
    PaneReply::to_change(open.change(Transaction::one(reason, edit).at(place)), "passage changed")
}

/// Deletes a passage, also from the segments that play it.
pub(super) fn delete(open: &mut EditedLesson, passage: Option<PassageId>) -> PaneReply {
    let lesson = open.lesson();
    let Some(passage) = passage.and_then(|id| lesson.passage(id)) else { return nothing_shown() };
    let playing = lesson.segments.iter().filter(|segment| segment.links_to(passage.id.into())).count();
    let from = match playing {
        0 => String::new(),
        1 => ", also from the segment that plays it".to_owned(),
        many => format!(", also from the {many} segments that play it"),
    };
    let done = format!("\"{}\" deleted{from}; u undoes", passage.title);
    let change = Transaction::new(Reason::RemovePassage, deleted(lesson, passage.id.into()));
    PaneReply::to_change(open.change(change), done)
}
