//! The piece that a segment is about: its title, then its key; and the list of the pieces, to rename them, say their
//! credits and delete them.

use crate::lesson::deleting::deleted;
use crate::lesson::document::{Lesson, Piece, Segment};
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::{PieceId, SegmentId};
use crate::lesson::place::LessonPlace;
use crate::theory::key::Key;
use crate::workbench::boxes::choice::{Advice, ChoiceBox};
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::boxes::typed_line::EntryBox;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::editing::segment_changes::replace;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::questions::pick::Pick;
use crate::workbench::questions::timeline::{PieceCredit, TimelinePick, TimelineQuestion};

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
        let done = "no piece";
        return PaneReply::to_change(replace(open, Reason::LinkSegment, changed), done);
    }
    let key = piece_called(open.lesson(), &changed, title).and_then(|piece| piece.key);
    PaneReply::ask(Overlay::Entry(EntryBox::new(
        TimelineQuestion::PieceKey { segment, title: title.to_owned() },
        format!("Key of \"{title}\", as it sounds"),
        "As in A, F# minor, Bbm or D dorian. Leave empty: no key.",
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
            let item = Piece { setup, key, ..Piece::new(id, title) };
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

/// Lists the pieces of the lesson with what is of them.
pub(super) fn list(lesson: &Lesson) -> PaneReply {
    if lesson.pieces.is_empty() {
        return PaneReply::say(Notice::note(
            "the lesson has no pieces; {Timeline(NamePiece)} names the one that a segment is about",
        ));
    }
    let line = |piece: &Piece| {
        (format!("{}   {}", piece.title, uses(lesson, piece)), Pick::Timeline(TimelinePick::Piece(piece.id)))
    };
    let lines = lesson.pieces.iter().map(line).collect();
    PaneReply::ask(Overlay::Choice(ChoiceBox::new("Pieces of the lesson", Advice::NONE, lines)))
}

/// Lists what can be done with a piece.
pub(super) fn choose_change(lesson: &Lesson, id: PieceId) -> PaneReply {
    changes(lesson, id).map_or_else(gone, |list| PaneReply::ask(Overlay::Choice(list)))
}

fn changes(lesson: &Lesson, id: PieceId) -> Option<ChoiceBox> {
    let piece = lesson.piece(id)?;
    let lines = vec![
        ("rename it...".to_owned(), Pick::Timeline(TimelinePick::RenamePiece(id))),
        credit_line(piece, PieceCredit::Author),
        credit_line(piece, PieceCredit::Recording),
        credit_line(piece, PieceCredit::Permission),
        ("delete it".to_owned(), Pick::Timeline(TimelinePick::DeletePiece(id))),
    ];
    let advice = format!("{}. Segments and passages stay when it is deleted.", uses(lesson, piece));
    Some(ChoiceBox::new(&piece.title, advice, lines))
}

/// Asks for another title of a piece.
pub(super) fn ask_title(lesson: &Lesson, id: PieceId) -> PaneReply {
    let Some(piece) = lesson.piece(id) else { return gone() };
    PaneReply::ask(Overlay::Entry(EntryBox::new(
        TimelineQuestion::PieceName(id),
        "Title of the piece",
        "The title changes everywhere in the lesson.",
        &piece.title,
    )))
}

/// Gives a piece another title. Errors: in words, why it cannot be called so.
pub(super) fn rename(open: &mut EditedLesson, id: PieceId, title: &str) -> Result<PaneReply, String> {
    let title = title.trim();
    if title.is_empty() {
        return Err("a piece needs a title".to_owned());
    }
    let Some(piece) = open.lesson().piece(id).cloned() else { return Ok(gone()) };
    if open.lesson().pieces.iter().any(|other| other.id != id && other.title.trim() == title) {
        return Err("another piece of the lesson has that title".to_owned());
    }
    let edit = Edit::Pieces(ListEdit::Replace(Piece { title: title.to_owned(), ..piece }));
    Ok(PaneReply::of_change(open, format!("the piece is called \"{title}\""), |open| {
        open.change(Transaction::one(Reason::EditPiece, edit).at(LessonPlace::Piece(id)))
    }))
}

/// Returns the line that shows one of the credits of a piece and asks for another.
fn credit_line(piece: &Piece, which: PieceCredit) -> (String, Pick) {
    let now = credit(piece, which);
    let now = if now.trim().is_empty() { "..." } else { now };
    (format!("{}: {now}", which.label()), Pick::Timeline(TimelinePick::AskCredit(piece.id, which)))
}

fn credit(piece: &Piece, which: PieceCredit) -> &str {
    match which {
        PieceCredit::Author => &piece.credit,
        PieceCredit::Recording => &piece.recording,
        PieceCredit::Permission => &piece.permission,
    }
}

/// Asks for one of the credits of a piece.
pub(super) fn ask_credit(lesson: &Lesson, id: PieceId, which: PieceCredit) -> PaneReply {
    let Some(piece) = lesson.piece(id) else { return gone() };
    let advice = match which {
        PieceCredit::Author => "Printed under the title of the piece. Leave empty: nothing is printed.",
        PieceCredit::Recording => "Which recording you learned it from; printed with the piece. Leave empty: none.",
        PieceCredit::Permission => {
            "Whose permission you have to teach and publish it; printed with the piece. The law where you live says \
             whether you need one."
        }
    };
    let question = TimelineQuestion::PieceCredit(id, which);
    let title = format!("{}: {}", piece.title, which.label());
    PaneReply::ask(Overlay::Entry(EntryBox::new(question, title, advice, credit(piece, which))))
}

/// Takes one of the credits of a piece, and shows all of them again with the next one selected.
pub(super) fn take_credit(open: &mut EditedLesson, id: PieceId, which: PieceCredit, text: &str) -> PaneReply {
    let Some(mut piece) = open.lesson().piece(id).cloned() else { return gone() };
    let place = match which {
        PieceCredit::Author => &mut piece.credit,
        PieceCredit::Recording => &mut piece.recording,
        PieceCredit::Permission => &mut piece.permission,
    };
    text.trim().clone_into(place);
    let done = if text.trim().is_empty() { "deleted".to_owned() } else { text.trim().to_owned() };
    let done = format!("{}: {done}", which.label());
    let reply = PaneReply::of_change(open, done, |open| {
        let edit = Edit::Pieces(ListEdit::Replace(piece));
        open.change(Transaction::one(Reason::EditPiece, edit).at(LessonPlace::Piece(id)))
    });
    let next = match which {
        PieceCredit::Author => PieceCredit::Recording,
        PieceCredit::Recording | PieceCredit::Permission => PieceCredit::Permission,
    };
    let asked = Pick::Timeline(TimelinePick::AskCredit(id, next));
    let overlay = changes(open.lesson(), id).map(|list| {
        let line = list.lines.iter().position(|(_, pick)| *pick == asked);
        Overlay::Choice(list.selecting(line.unwrap_or(0)))
    });
    PaneReply { overlay, ..reply }
}

/// Deletes a piece. What was about it is about no piece afterwards, and stays.
pub(super) fn delete(open: &mut EditedLesson, id: PieceId) -> PaneReply {
    let lesson = open.lesson();
    let Some(piece) = lesson.piece(id) else { return gone() };
    let done = format!("\"{}\" deleted; {{Desk(Undo)}} undoes", piece.title);
    let change = Transaction::new(Reason::RemovePiece, deleted(lesson, id.into()));
    PaneReply::to_change(open.change(change), done)
}

/// Says what is of a piece: `2 segments, 1 passage`.
fn uses(lesson: &Lesson, piece: &Piece) -> String {
    let segments = lesson.segments.iter().filter(|segment| segment.pieces.contains(&piece.id)).count();
    let passages = lesson.passages.iter().filter(|passage| passage.piece == Some(piece.id)).count();
    let some: Vec<String> = [(segments, "segment"), (passages, "passage")]
        .into_iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, word)| if count == 1 { format!("1 {word}") } else { format!("{count} {word}s") })
        .collect();
    if some.is_empty() { "not used".to_owned() } else { some.join(", ") }
}

fn gone() -> PaneReply {
    PaneReply::say(Notice::note("that piece is not in the lesson any more"))
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
