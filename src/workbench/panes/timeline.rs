//! The timeline: which segment is selected, and every change to the list of segments.

use super::Scroll;
use super::timeline_view::{list_height, list_top, segment_in_lane};
use crate::lesson::document::{Lesson, PassageUse, Recorded, Segment, SegmentKind};
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::{PassageId, SegmentId, SetupId};
use crate::lesson::music::Passage;
use crate::lesson::place::Place;
use crate::lesson::time::VideoLength;
use crate::workbench::action::TimelineAction;
use crate::workbench::boxes::{
    ChoiceBox, EntryBox, ListBox, ListLine, MarkLine, MarksBox, Overlay, Pick, PointsBox, Subject,
};
use crate::workbench::edited_lesson::{Access, ChangeError, EditedLesson};
use crate::workbench::message::Notice;
use crate::workbench::reply::Reply;
use crate::workbench::typed_time::write_recorded;
use crate::workbench::typing::TypedLines;

/// How long a new segment is planned until somebody says otherwise.
const NEW_LENGTH: VideoLength = VideoLength::from_seconds(60);

/// The timeline's own state: which segment is selected and how far the list is scrolled.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TimelinePane {
    selected: Option<SegmentId>,
    scroll: Scroll,
}

impl TimelinePane {
    /// Returns the selected segment.
    pub const fn selected(&self) -> Option<SegmentId> {
        self.selected
    }

    /// Returns how far the list is scrolled.
    pub const fn scroll(&self) -> Scroll {
        self.scroll
    }

    /// Selects a segment.
    pub const fn select(&mut self, segment: SegmentId) {
        self.selected = Some(segment);
    }

    /// Selects the segment at `place` of the list, or the last one.
    pub fn select_place(&mut self, lesson: &Lesson, place: usize) {
        let last = lesson.segments.len().saturating_sub(1);
        self.selected = lesson.segments.get(place.min(last)).map(|segment| segment.id);
    }

    /// Returns the place of the selected segment in the list.
    pub fn place(&self, lesson: &Lesson) -> usize {
        let place = lesson.segments.iter().position(|segment| Some(segment.id) == self.selected);
        place.unwrap_or(0)
    }

    /// Makes sure that what is selected exists and is in view in a pane of `height` lines.
    pub fn settle(&mut self, lesson: &Lesson, height: usize) {
        if !lesson.segments.iter().any(|segment| Some(segment.id) == self.selected) {
            self.selected = lesson.segments.first().map(|segment| segment.id);
        }
        let place = self.place(lesson);
        self.scroll.show(place, lesson.segments.len(), list_height(lesson, height));
    }

    /// Returns the segment drawn at `(x, y)` of a pane of this width.
    pub fn segment_at(&self, lesson: &Lesson, (x, y): (usize, usize), width: usize) -> Option<SegmentId> {
        let first = list_top(lesson);
        let place = if y >= first {
            self.scroll.first() + y - first
        } else {
            segment_in_lane(self, lesson, width, x).filter(|_| y == 1)?
        };
        lesson.segments.get(place).map(|segment| segment.id)
    }

    /// Does what was asked.
    pub fn act(&mut self, open: &mut EditedLesson, action: TimelineAction) -> Reply {
        let lesson = open.lesson();
        let place = self.place(lesson);
        let end = lesson.segments.len();
        match action {
            TimelineAction::Previous => self.go_to(lesson, place.saturating_sub(1)),
            TimelineAction::Next => self.go_to(lesson, place + 1),
            TimelineAction::First => self.go_to(lesson, 0),
            TimelineAction::Last => self.go_to(lesson, end),
            TimelineAction::AddAfter => ask_new_segment(if end == 0 { 0 } else { place + 1 }),
            TimelineAction::AddBefore => ask_new_segment(place),
            TimelineAction::MoveEarlier => self.move_to(open, place.checked_sub(1)),
            TimelineAction::MoveLater => self.move_to(open, Some(place + 1).filter(|to| *to < end)),
            TimelineAction::Retitle
            | TimelineAction::Retime
            | TimelineAction::Stamp
            | TimelineAction::NamePiece
            | TimelineAction::ChooseKind
            | TimelineAction::ChooseSetup
            | TimelineAction::AddSetup
            | TimelineAction::ChoosePassages
            | TimelineAction::Delete
            | TimelineAction::EditPoints => match self.selected.and_then(|id| open.segment(id)).cloned() {
                Some(segment) => self.act_on(open, &segment, action),
                None => Reply::say(Notice::note("there is no segment yet: add one first")),
            },
        }
    }

    fn go_to(&mut self, lesson: &Lesson, place: usize) -> Reply {
        self.select_place(lesson, place);
        Reply::nothing()
    }

    fn act_on(&mut self, open: &mut EditedLesson, segment: &Segment, action: TimelineAction) -> Reply {
        let id = segment.id;
        match action {
            TimelineAction::Retitle => Reply::ask(Overlay::Entry(EntryBox::new(
                Subject::SegmentTitle(id),
                "Title of the segment",
                "It is the chapter's title too.",
                segment.title.clone(),
            ))),
            TimelineAction::Retime => Reply::ask(Overlay::Entry(EntryBox::new(
                Subject::SegmentLength(id),
                format!("Planned length, now {}", segment.planned),
                "Minutes and seconds as in 1:30, 90s or 2m; +15 or -5 to add or take off seconds.",
                "",
            ))),
            TimelineAction::Stamp => Reply::ask(Overlay::Entry(EntryBox::new(
                Subject::Recorded(id),
                "When it is in the recorded video",
                "Where it starts, 1:23.4, or start and end, 1:23-2:40. +15 or -5 after it shifts it by seconds. Nothing at all: not recorded yet.",
                segment.recorded.map(write_recorded).unwrap_or_default(),
            ))),
            TimelineAction::NamePiece => {
                let piece = segment.pieces.first().and_then(|id| open.lesson().piece(*id));
                Reply::ask(Overlay::Entry(EntryBox::new(
                    Subject::PieceTitle(id),
                    "Title of the piece it is about",
                    "The key is asked for next. Nothing at all: it is about no piece.",
                    piece.map(|piece| piece.title.clone()).unwrap_or_default(),
                )))
            }
            TimelineAction::ChooseKind => Reply::ask(Overlay::Choice(kind_choice(segment))),
            TimelineAction::ChooseSetup => Reply::ask(Overlay::Choice(setup_choice(open.lesson(), segment))),
            TimelineAction::AddSetup => ask_new_setup(id),
            TimelineAction::ChoosePassages => match passage_marks(open.lesson(), segment) {
                Some(marks) => Reply::ask(Overlay::Marks(marks)),
                None => Reply::say(Notice::note(
                    "this lesson has no passage yet: in the passage pane (P), a reads text tab from a file",
                )),
            },
            TimelineAction::Delete => self.delete(open, segment),
            TimelineAction::EditPoints if *open.access() != Access::Free => {
                Reply::ask(Overlay::List(points_list(segment)))
            }
            TimelineAction::EditPoints => Reply::ask(Overlay::Points(PointsBox {
                segment: id,
                title: format!("Talking points: {}", segment.title),
                lines: TypedLines::new(&segment.talking_points),
            })),
            TimelineAction::Previous
            | TimelineAction::Next
            | TimelineAction::First
            | TimelineAction::Last
            | TimelineAction::AddAfter
            | TimelineAction::AddBefore
            | TimelineAction::MoveEarlier
            | TimelineAction::MoveLater => Reply::nothing(),
        }
    }

    fn move_to(&mut self, open: &mut EditedLesson, to: Option<usize>) -> Reply {
        let (Some(id), Some(to)) = (self.selected, to) else { return Reply::nothing() };
        let edit = Edit::Segments(ListEdit::Move { id, to });
        let moved = open.change(Transaction::one(Reason::MoveSegment, edit).at(Place::Segment(id)));
        Reply::to_change(moved, format!("moved to place {}", to + 1))
    }

    fn delete(&mut self, open: &mut EditedLesson, segment: &Segment) -> Reply {
        let place = self.place(open.lesson());
        let edit = Edit::Segments(ListEdit::Remove(segment.id));
        let removed = open.change(Transaction::one(Reason::RemoveSegment, edit).at(Place::Segment(segment.id)));
        if removed.is_ok() {
            self.select_place(open.lesson(), place);
        }
        Reply::to_change(removed, format!("deleted \"{}\"; undo brings it back", segment.title))
    }

    /// Puts a new segment at `place` and selects it.
    pub fn add(&mut self, open: &mut EditedLesson, place: usize, title: &str) -> Result<(), ChangeError> {
        let id = open.lesson().next_segment_id();
        let title = if title.trim().is_empty() { "untitled" } else { title.trim() };
        let item = Segment::new(id, SegmentKind::Talk, title, NEW_LENGTH);
        let at = place.min(open.lesson().segments.len());
        let edit = Edit::Segments(ListEdit::Insert { at, item });
        open.change(Transaction::one(Reason::AddSegment, edit).at(Place::Segment(id)))?;
        self.selected = Some(id);
        Ok(())
    }
}

fn ask_new_segment(place: usize) -> Reply {
    Reply::ask(Overlay::Entry(EntryBox::new(
        Subject::NewSegment(place),
        "Title of the new segment",
        "Length, kind and the rest can be changed afterwards.",
        "",
    )))
}

/// Asks for a new setup.
pub fn ask_new_setup(segment: SegmentId) -> Reply {
    Reply::ask(Overlay::Entry(EntryBox::new(
        Subject::NewSetup(segment),
        "A new setup",
        "A tuning by name or notes, then a capo if there is one: drop D, capo 3, or D2 A2 D3 G3 A3 D4.",
        "",
    )))
}

fn kind_choice(segment: &Segment) -> ChoiceBox {
    let lines = SegmentKind::ALL.map(|kind| (kind.word().to_owned(), Pick::Kind(segment.id, kind)));
    let selected = SegmentKind::ALL.iter().position(|kind| *kind == segment.kind).unwrap_or(0);
    ChoiceBox { title: "Kind of segment".into(), advice: String::new(), lines: lines.into(), selected }
}

fn setup_choice(lesson: &Lesson, segment: &Segment) -> ChoiceBox {
    let keep = ("as in the segment before".to_owned(), Pick::Setup(segment.id, None));
    let known = lesson.setups.iter().map(|setup| (setup.name.clone(), Pick::Setup(segment.id, Some(setup.id))));
    let add = ("a new setup...".to_owned(), Pick::AddSetup(segment.id));
    let lines: Vec<(String, Pick)> = std::iter::once(keep).chain(known).chain([add]).collect();
    let current = Pick::Setup(segment.id, segment.setup);
    let selected = lines.iter().position(|(_, pick)| *pick == current).unwrap_or(0);
    ChoiceBox { title: "Setup of the segment".into(), advice: String::new(), lines, selected }
}

/// Returns the list of passages with those of the segment marked; `None` where there is none.
fn passage_marks(lesson: &Lesson, segment: &Segment) -> Option<MarksBox> {
    let line = |known: &Passage| MarkLine {
        text: known.title.clone(),
        passage: known.id,
        marked: segment.passages.iter().any(|used| used.passage == known.id),
    };
    let lines: Vec<MarkLine> = lesson.passages.iter().map(line).collect();
    let title = "Passages it plays".into();
    (!lines.is_empty()).then_some(MarksBox { segment: segment.id, title, lines, selected: 0 })
}

/// Returns the talking points to be read.
fn points_list(segment: &Segment) -> ListBox {
    let line = |(place, point): (usize, &String)| ListLine {
        head: (place + 1).to_string(),
        text: point.clone(),
        ..ListLine::default()
    };
    ListBox::new(
        format!("Talking points: {}", segment.title),
        segment.talking_points.iter().enumerate().map(line).collect(),
    )
}

/// Puts another version of a segment in its place.
pub fn replace(open: &mut EditedLesson, reason: Reason, segment: Segment) -> Result<(), ChangeError> {
    let place = Place::Segment(segment.id);
    open.change(Transaction::one(reason, Edit::Segments(ListEdit::Replace(segment))).at(place))
}

/// Changes the title of a segment.
pub fn retitle(open: &mut EditedLesson, id: SegmentId, title: &str) -> Result<(), ChangeError> {
    change(open, id, Reason::RetitleSegment, |segment| segment.title = title.trim().to_owned())
}

/// Changes the planned length of a segment.
pub fn retime(open: &mut EditedLesson, id: SegmentId, planned: VideoLength) -> Result<(), ChangeError> {
    change(open, id, Reason::RetimeSegment, |segment| segment.planned = planned)
}

/// Changes the kind of a segment.
pub fn set_kind(open: &mut EditedLesson, id: SegmentId, kind: SegmentKind) -> Result<(), ChangeError> {
    change(open, id, Reason::ChangeSegmentKind, |segment| segment.kind = kind)
}

/// Changes the setup of a segment.
pub fn set_setup(open: &mut EditedLesson, id: SegmentId, setup: Option<SetupId>) -> Result<(), ChangeError> {
    change(open, id, Reason::ChooseSetup, |segment| segment.setup = setup)
}

/// Changes the talking points of a segment.
pub fn set_points(open: &mut EditedLesson, id: SegmentId, points: Vec<String>) -> Result<(), ChangeError> {
    change(open, id, Reason::EditTalkingPoints, |segment| segment.talking_points = points)
}

/// Changes when a segment was recorded.
pub fn stamp(open: &mut EditedLesson, id: SegmentId, recorded: Option<Recorded>) -> Result<(), ChangeError> {
    change(open, id, Reason::StampSegment, |segment| segment.recorded = recorded)
}

/// Has a segment play these passages: those it plays already as before, then the others.
pub fn set_passages(open: &mut EditedLesson, id: SegmentId, passages: &[PassageId]) -> Result<(), ChangeError> {
    change(open, id, Reason::LinkSegment, |segment| {
        segment.passages.retain(|used| passages.contains(&used.passage));
        for passage in passages {
            if !segment.passages.iter().any(|used| used.passage == *passage) {
                segment.passages.push(PassageUse::whole(*passage));
            }
        }
    })
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
