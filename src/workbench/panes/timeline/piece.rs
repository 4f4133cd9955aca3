//! The piece that a segment is about: its title, then its key.

use crate::lesson::document::{Lesson, Piece, Segment};
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::{PieceId, SegmentId};
use crate::lesson::place::LessonPlace;
use crate::theory::key::Key;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::boxes::typed_line::EntryBox;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::editing::segment_changes::replace;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::questions::timeline::TimelineQuestion;

/// Takes the title of the piece a segment is about, and asks for its key. Without a title the
/// segment is about no piece.
pub(super) fn take_piece_title(open: &mut EditedLesson, segment: SegmentId, title: &str) -> PaneReply {
    let Some(mut changed) = open.segment(segment).cloned() else { return PaneReply::nothing() };
    let title = title.trim();
    if title.is_empty() && changed.pieces.is_empty() {
        return PaneReply::nothing();
    }
    if title.is_empty() {
        changed.pieces.remove(0);
        let done = "the segment is no longer about that piece";
        return PaneReply::to_change(replace(open, Reason::LinkSegment, changed), done);
    }
    let key = piece_called(open.lesson(), &changed, title).and_then(|piece| piece.key);
    PaneReply::ask(Overlay::Entry(EntryBox::new(
        TimelineQuestion::PieceKey { segment, title: title.to_owned() },
        format!("Key of \"{title}\", as it sounds"),
        "As in A, F# minor or Bbm. Nothing at all: no key.",
        key.map(|key| key.to_string()).unwrap_or_default(),
    )))
}

/// Has a segment be about a piece of this title in this key: one step of undo.
///
/// Errors: in words, what is no key, or why the lesson cannot be changed.
pub(super) fn name_piece(
    open: &mut EditedLesson,
    segment: SegmentId,
    title: &str,
    key: &str,
) -> Result<String, String> {
    let key: Option<Key> = match key.trim() {
        "" => None,
        text => Some(text.parse().map_err(|error| format!("{error}"))?),
    };
    let Some(mut about) = open.segment(segment).cloned() else { return Ok(String::new()) };
    let known = piece_called(open.lesson(), &about, title).cloned();
    let mut edits = Vec::new();
    let (id, reason) = match known {
        Some(known) => {
            let id = known.id;
            let piece = Piece { title: title.to_owned(), key, ..known.clone() };
            if piece != known {
                edits.push(Edit::Pieces(ListEdit::Replace(piece)));
            }
            (id, Reason::EditPiece)
        }
        None => {
            let id = open.new_id();
            let setup = open.setup_at(Some(segment)).map(|setup| setup.id);
            let (credit, notes) = (String::new(), String::new());
            let item = Piece { id, title: title.to_owned(), credit, setup, key, tempo: None, notes };
            edits.push(Edit::Pieces(ListEdit::Insert { at: open.lesson().pieces.len(), item }));
            (id, Reason::AddPiece)
        }
    };
    if about.pieces.first() != Some(&id) {
        about.pieces.retain(|piece| *piece != id);
        about.pieces.insert(0, id);
        edits.push(Edit::Segments(ListEdit::Replace(about)));
    }
    let change = Transaction::new(reason, edits).at(LessonPlace::Segment(segment));
    open.change(change).map_err(|error| error.to_string())?;
    Ok(match key {
        Some(key) => format!("the piece is \"{title}\", it sounds in {key}"),
        None => format!("the piece is \"{title}\""),
    })
}

/// Returns the piece that such a title stands for: one of that title, or else the one that the
/// segment is about, unless something else links to it too.
fn piece_called<'a>(lesson: &'a Lesson, segment: &Segment, title: &str) -> Option<&'a Piece> {
    let named = lesson.pieces.iter().find(|piece| piece.title.trim() == title);
    let here = LessonPlace::of(segment.id);
    let only_here = |id: &PieceId| lesson.who_links_to((*id).into()).iter().all(|place| *place == here);
    let own = segment.pieces.first().copied().filter(only_here);
    named.or_else(|| own.and_then(|id| lesson.piece(id)))
}
