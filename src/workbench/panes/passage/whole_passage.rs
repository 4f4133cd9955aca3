//! Changes of a passage as a whole: a new one, its title and feel, and deleting it.

use crate::lesson::deleting::deleted;
use crate::lesson::document::{Lesson, PassageUse, Segment, SegmentKind};
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::{PassageId, PieceId, SegmentId, SetupId};
use crate::lesson::links::Linked as _;
use crate::lesson::music::{Bar, Passage};
use crate::lesson::place::{LessonPlace, Spot};
use crate::lesson::time::{Meter, Tempo, VideoLength};
use crate::workbench::boxes::choice::ChoiceBox;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::passage::at_cursor::nothing_shown;
use crate::workbench::questions::passage::PassagePick;
use crate::workbench::questions::pick::Pick;

/// How long a segment is planned that was made for a passage.
const NEW_SEGMENT: VideoLength = VideoLength::from_seconds(60);

/// Returns the meter and the tempo of the piece that a segment is about: those of its last passage, and the tempo of the
/// piece itself where it states one. `None` where it is about no piece, or nothing is known of that.
pub(super) fn usual(lesson: &Lesson, segment: Option<SegmentId>) -> Option<(Meter, Tempo)> {
    let piece = lesson.piece(*lesson.segment(segment?)?.pieces.first()?)?;
    let last = last_passage(lesson, piece.id);
    let meter = last.map_or(Meter::COMMON, |passage| passage.meter);
    Some((meter, piece.tempo.or_else(|| last.map(|passage| passage.tempo))?))
}

/// Returns the last passage of a piece: one that says so, or that a segment plays which is about it.
fn last_passage(lesson: &Lesson, piece: PieceId) -> Option<&Passage> {
    let played = |passage: &Passage| {
        let about = lesson.segments.iter().filter(|segment| segment.pieces.first() == Some(&piece));
        about.flat_map(|segment| &segment.passages).any(|used| used.passage == passage.id)
    };
    lesson.passages.iter().rev().find(|passage| passage.piece == Some(piece) || played(passage))
}

/// Returns the tuning in which the piece that a segment is about is played, where the segment says nothing of its own.
fn setup_of_piece(lesson: &Lesson, segment: &Segment) -> Option<SetupId> {
    if segment.setup.is_some() {
        return None;
    }
    let piece = lesson.piece(*segment.pieces.first()?)?;
    piece.setup.or_else(|| lesson.stated_passage_setup(last_passage(lesson, piece.id)?))
}

/// Returns the piece of what a segment plays, where it is about one alone.
pub(super) fn only_piece(segment: &Segment) -> Option<PieceId> {
    match segment.pieces.as_slice() {
        [only] => Some(*only),
        [] | [_, _, ..] => None,
    }
}

/// Makes a passage of one empty bar that a segment plays; without a segment, in one of its own. It is played in the tuning of
/// the segment's piece, and so is then the segment; where that is the only one, it belongs to the piece from then on.
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
    let segment = segment.and_then(|id| lesson.segment(id)).cloned();
    let of_piece = segment.as_ref().and_then(|segment| setup_of_piece(lesson, segment));
    let inherited = open.setup_at(segment.as_ref().map(|segment| segment.id)).map(|setup| setup.id);
    let setup = of_piece.or(inherited);
    let piece = segment.as_ref().and_then(only_piece);
    let item = Passage { piece, setup, meter, tempo, ..Passage::plain(id, title.clone(), vec![Bar::default()]) };
    let mut edits = vec![Edit::Passages(ListEdit::Insert { at: lesson.passages.len(), item })];
    edits.push(Edit::Segments(match segment {
        Some(mut segment) => {
            segment.passages.push(PassageUse::whole(id));
            if setup != inherited {
                segment.setup = setup;
            }
            ListEdit::Replace(segment)
        }
        None => {
            let mut segment = Segment::new(new, SegmentKind::Walkthrough, title, NEW_SEGMENT);
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

/// Deletes a passage. Where several segments play it they are named, and whether they shall lose it is asked first.
pub(super) fn delete_or_ask(open: &mut EditedLesson, passage: Option<PassageId>) -> PaneReply {
    let lesson = open.lesson();
    let Some(passage) = passage.and_then(|id| lesson.passage(id)) else { return nothing_shown() };
    let segments = lesson.segments.iter().enumerate();
    let playing: Vec<String> = segments
        .filter(|(_, segment)| segment.links_to(passage.id.into()))
        .map(|(place, segment)| format!("{} ({})", place + 1, segment.title))
        .collect();
    let id = passage.id;
    match playing.as_slice() {
        [] | [_] => delete(open, Some(id)),
        [first @ .., last] => PaneReply::ask(Overlay::Choice(ChoiceBox::new(
            format!("Delete \"{}\"?", passage.title),
            format!("Segments {} and {last} play it.", first.join(", ")),
            vec![
                ("keep it".to_owned(), Pick::Nothing),
                ("delete it, and from these segments too".to_owned(), Pick::Passage(PassagePick::DeleteEverywhere(id))),
            ],
        ))),
    }
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
    let done = format!("\"{}\" deleted{from}; {{Desk(Undo)}} undoes", passage.title);
    let change = Transaction::new(Reason::RemovePassage, deleted(lesson, passage.id.into()));
    PaneReply::to_change(open.change(change), done)
}
