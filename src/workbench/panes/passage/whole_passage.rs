//! Changes of a passage as a whole: a new one, its title and feel, and its place on other strings.

use crate::lesson::document::{PassageUse, Segment, SegmentKind};
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::{PassageId, SegmentId, SetupId};
use crate::lesson::music::{Bar, Passage};
use crate::lesson::place::{LessonPlace, Spot};
use crate::lesson::placing::moved::{Remark, moved};
use crate::lesson::time::{Meter, Tempo, VideoLength};
use crate::workbench::boxes::list::{ListBox, ListLine};
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::passage::at_cursor::nothing_shown;
use crate::workbench::panes::passage::shown::rig_of;

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
        return PaneReply::say(Notice::note("as it was"));
    }
    let place = LessonPlace::Passage(changed.id, Spot::WHOLE);
    let edit = Edit::Passages(ListEdit::Replace(changed));
    PaneReply::to_change(open.change(Transaction::one(reason, edit).at(place)), "passage changed")
}

/// Places a passage anew for a setup, and lists what could not be kept.
pub(super) fn place_anew(
    open: &mut EditedLesson,
    passage: Option<PassageId>,
    setup: SetupId,
    reason: Reason,
) -> PaneReply {
    let lesson = open.lesson();
    let Some(passage) = passage.and_then(|id| lesson.passage(id)) else { return nothing_shown() };
    let Some(to) = lesson.setup(setup) else { return PaneReply::say(Notice::note("that setup is gone")) };
    let new = match lesson.rig(to) {
        Ok(rig) => rig,
        Err(error) => return PaneReply::say(Notice::trouble(format!("{}: {error}", to.name))),
    };
    let done = format!("placed anew for {}", to.name);
    let mut result = match moved(passage, &rig_of(lesson, passage), &new) {
        Ok(result) => result,
        Err(error) => return PaneReply::say(Notice::trouble(error.to_string())),
    };
    result.passage.setup = Some(setup);
    let line = |remark: &Remark| {
        let bar = remark.spot.bar.map(|bar| format!("bar {bar}")).unwrap_or_default();
        ListLine { head: bar, text: remark.text.clone(), ..ListLine::default() }
    };
    let remarks: Vec<ListLine> = result.remarks.iter().map(line).collect();
    let place = LessonPlace::Passage(passage.id, Spot::WHOLE);
    let changed = open.change(Transaction::one(reason, result.edit()).at(place));
    let kept = changed.is_err() || remarks.is_empty();
    let list = (!kept).then(|| Overlay::List(ListBox::new("What could not be kept", remarks)));
    PaneReply { overlay: list, ..PaneReply::to_change(changed, done) }
}
