//! The timeline: which segment is selected, and every change to the list of segments.

use crate::lesson::check::Finding;
use crate::lesson::document::{Lesson, Segment, SegmentKind};
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::SegmentId;
use crate::lesson::place::LessonPlace;
use crate::lesson::recording::stretch_between;
use crate::lesson::time::VideoLength;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::boxes::typed_line::EntryBox;
use crate::workbench::drawing::scroll::Scroll;
use crate::workbench::drawing::unseen::{Counted, Unseen};
use crate::workbench::editing::edited_lesson::{ChangeError, EditedLesson};
use crate::workbench::editing::segment_changes::{
    CutTimes, Ripple, duplicate, join_with_next, retime, split_at, stamp,
};
use crate::workbench::keys::action::{Pane, TimelineAction};
use crate::workbench::keys::named::StandingSentence;
use crate::workbench::keys::table::KeyTable;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::timeline::asking::{
    ask_cuts, ask_new_segment, ask_new_setup, ask_place, kind_choice, passage_marks, progress_choice, setup_choice,
    voicing_marks, write,
};
use crate::workbench::panes::timeline::chapter_list;
use crate::workbench::panes::timeline::deleting::delete_segment;
use crate::workbench::panes::timeline::drag::{Drag, Dropped};
use crate::workbench::panes::timeline::flaws::SegmentFlaws;
use crate::workbench::panes::timeline::lane_scale::{LaneScale, LaneWindow, segment_at};
use crate::workbench::panes::timeline::list_heading::{CountedRow, TimelineView};
use crate::workbench::panes::timeline::mending::mend_gravest;
use crate::workbench::panes::timeline::moving::move_segment;
use crate::workbench::panes::timeline::piece;
use crate::workbench::questions::timeline::{SegmentText, TimelineQuestion};
use crate::workbench::typing::time::{BARE_NUMBER, write_recorded};

/// How long a new segment is planned until somebody says otherwise.
pub(super) const NEW_LENGTH: VideoLength = VideoLength::from_seconds(60);

/// The timeline's own state: which segment is selected and how far the list is scrolled.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TimelinePane {
    selected: Option<SegmentId>,
    scroll: Scroll,
    /// How many segments the list had room for when it was last settled.
    room: usize,
    ripple: Ripple,
    show: TimelineView,
    window: LaneWindow,
    drag: Option<Drag>,
    flaws: SegmentFlaws,
    /// What is said where there is no segment.
    empty: StandingSentence,
    /// How many lines take all that the selected row says.
    pub(super) counted_row: CountedRow,
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

    /// Returns what of the list is not in view in a pane of `height` lines.
    pub fn unseen(&self, lesson: &Lesson, height: usize) -> Unseen {
        let room = self.show.list_height(lesson, height);
        Unseen::of(Counted::Segments, self.scroll.first(), room, lesson.segments.len())
    }

    /// Returns whether what is recorded later moves along.
    pub const fn ripple(&self) -> Ripple {
        self.ripple
    }

    /// Returns what is shown over and in the list.
    pub const fn show(&self) -> TimelineView {
        self.show
    }

    /// Returns the part of the video that the lanes show.
    pub const fn window(&self) -> LaneWindow {
        self.window
    }

    /// Returns the border that the mouse has hold of.
    pub const fn drag(&self) -> Option<Drag> {
        self.drag
    }

    /// Takes on what was found in a lesson.
    pub fn note_findings(&mut self, lesson: &Lesson, findings: &[Finding]) {
        self.flaws.note(lesson, findings);
    }

    /// Looks whether what is wrong with the selected segment can be mended without asking.
    pub fn look_for_remedy(&mut self, open: &EditedLesson) {
        self.flaws.look_for_remedy(open, self.selected);
    }

    /// Takes on the keys of the person that what is said of a flaw names, or of an empty list, as they are struck at `here`.
    pub fn name_keys(&mut self, keys: &KeyTable, here: Pane) {
        self.flaws.name_keys(keys, here);
        self.empty.name_keys("{Timeline(AddAfter)} adds the first: say hello, and what is coming.", keys, here);
    }

    /// Returns which key adds the first segment.
    pub(super) fn empty(&self) -> &str {
        self.empty.text()
    }

    /// Returns what is wrong with the segments.
    pub const fn flaws(&self) -> &SegmentFlaws {
        &self.flaws
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

    /// Makes sure that what is selected exists.
    pub fn keep_selection(&mut self, lesson: &Lesson) {
        if !lesson.segments.iter().any(|segment| Some(segment.id) == self.selected) {
            self.selected = lesson.segments.first().map(|segment| segment.id);
        }
    }

    /// Makes sure that what is selected exists and is in view in a pane of `height` lines.
    pub fn settle(&mut self, lesson: &Lesson, height: usize) {
        self.keep_selection(lesson);
        let place = self.place(lesson);
        let room = self.show.list_height(lesson, height);
        self.scroll.show(place, lesson.segments.len(), room);
        self.room = room;
        // What the mouse has hold of must not run away under it.
        if self.drag.is_none() {
            self.window.show(lesson, place);
        }
    }

    /// Returns the segment drawn at `(x, y)` of a pane of this width.
    pub fn segment_at(&self, lesson: &Lesson, (x, y): (usize, usize), width: usize) -> Option<SegmentId> {
        let first = self.show.list_top(lesson);
        let place = match y.checked_sub(first) {
            Some(line) => self.scroll.first() + line,
            None if self.show == TimelineView::Columns => return None,
            None => segment_at(&lesson.segments, self.place(lesson), self.scale(lesson, width), (x, y))?,
        };
        lesson.segments.get(place).map(|segment| segment.id)
    }

    fn scale(&self, lesson: &Lesson, width: usize) -> LaneScale {
        LaneScale::of(self.window, lesson, width)
    }

    /// Selects what the mouse is pressed on, and takes hold of a border there.
    pub fn press(&mut self, lesson: &Lesson, at: (usize, usize), width: usize) {
        self.drag = None;
        let segment = self.segment_at(lesson, at, width);
        if self.show == TimelineView::Lanes && at.1 < self.show.list_top(lesson) {
            self.drag = Drag::at(lesson, self.place(lesson), self.scale(lesson, width), at);
        }
        if let Some(segment) = segment {
            self.selected = Some(segment);
        }
    }

    /// Drags the border that the mouse has hold of to a column of a pane of this width.
    pub fn drag_to(&mut self, lesson: &Lesson, x: usize, width: usize) {
        let scale = self.scale(lesson, width);
        self.drag = self.drag.map(|drag| drag.to(scale, x));
    }

    /// Lets go of the border that the mouse has hold of, which changes the lesson if it was moved.
    pub fn release(&mut self, open: &mut EditedLesson) -> PaneReply {
        let dropped = self.drag.take().and_then(|drag| drag.dropped(open.lesson()));
        match dropped {
            Some(Dropped::Length(id, length)) => {
                let changed = retime(open, id, length, self.ripple);
                PaneReply::to_change(changed, format!("planned length: {length}"))
            }
            Some(Dropped::Recorded(id, recorded)) => {
                let changed = stamp(open, id, Some(recorded), CutTimes::Stay, self.ripple);
                PaneReply::to_change(changed, format!("recorded {}", write_recorded(recorded)))
            }
            None => PaneReply::nothing(),
        }
    }

    /// Does what was asked.
    pub fn act(&mut self, open: &mut EditedLesson, action: TimelineAction) -> PaneReply {
        let lesson = open.lesson();
        let place = self.place(lesson);
        let end = lesson.segments.len();
        match action {
            TimelineAction::Previous => self.go_to(lesson, place.saturating_sub(1)),
            TimelineAction::Next => self.go_to(lesson, place + 1),
            TimelineAction::First => self.go_to(lesson, 0),
            TimelineAction::Last => self.go_to(lesson, end),
            TimelineAction::PageUp => self.go_to(lesson, place.saturating_sub(self.page())),
            TimelineAction::PageDown => self.go_to(lesson, place + self.page()),
            TimelineAction::AddAfter => ask_new_segment(if end == 0 { 0 } else { place + 1 }),
            TimelineAction::AddBefore => ask_new_segment(place),
            TimelineAction::Mend => mend_gravest(open, self.selected.and_then(|id| self.flaws.of(id))),
            TimelineAction::ToggleRipple => self.toggle_ripple(),
            TimelineAction::ZoomIn => self.zoom(lesson, LaneWindow::closer),
            TimelineAction::ZoomOut => self.zoom(lesson, |window, _| window.farther()),
            TimelineAction::ToggleColumns => {
                self.show = if self.show == TimelineView::Lanes { TimelineView::Columns } else { TimelineView::Lanes };
                PaneReply::nothing()
            }
            TimelineAction::SetTarget => PaneReply::ask(Overlay::Entry(EntryBox::new(
                TimelineQuestion::Target,
                "Goal: length of the whole video",
                format!("Minutes and seconds as in 12:00, or 12m. {BARE_NUMBER} Leave empty: no goal."),
                lesson.header.target.map(|target| target.to_string()).unwrap_or_default(),
            ))),
            TimelineAction::ListPieces => piece::list(lesson),
            TimelineAction::CopyChapters => chapter_list::copy(lesson),
            TimelineAction::MoveEarlier => self.move_to(open, place.checked_sub(1)),
            TimelineAction::MoveLater => self.move_to(open, Some(place + 1).filter(|to| *to < end)),
            TimelineAction::Retitle
            | TimelineAction::Retime
            | TimelineAction::Stamp
            | TimelineAction::EditCuts
            | TimelineAction::NamePiece
            | TimelineAction::ChooseKind
            | TimelineAction::ChooseProgress
            | TimelineAction::ChooseSetup
            | TimelineAction::AddSetup
            | TimelineAction::ChoosePassages
            | TimelineAction::Delete
            | TimelineAction::EditPoints
            | TimelineAction::EditShot
            | TimelineAction::EditTone
            | TimelineAction::ChooseVoicings
            | TimelineAction::Split
            | TimelineAction::MoveToPlace
            | TimelineAction::JoinNext
            | TimelineAction::Duplicate => match self.selected.and_then(|id| open.segment(id)).cloned() {
                Some(segment) => self.act_on(open, &segment, action),
                None => PaneReply::say(Notice::note("there is no segment yet: add one first")),
            },
        }
    }

    /// Returns how many segments a screenful goes on, so that one of those seen before is still in view.
    fn page(&self) -> usize {
        self.room.saturating_sub(1).max(1)
    }

    fn go_to(&mut self, lesson: &Lesson, place: usize) -> PaneReply {
        self.select_place(lesson, place);
        PaneReply::nothing()
    }

    fn act_on(&mut self, open: &mut EditedLesson, segment: &Segment, action: TimelineAction) -> PaneReply {
        let id = segment.id;
        match action {
            TimelineAction::Retitle => PaneReply::ask(Overlay::Entry(EntryBox::new(
                TimelineQuestion::Title(id),
                "Title of the segment",
                "It is the chapter's title too.",
                segment.title.clone(),
            ))),
            TimelineAction::Retime => PaneReply::ask(Overlay::Entry(EntryBox::new(
                TimelineQuestion::Length(id),
                format!("Planned length, now {}", segment.planned),
                format!("Minutes and seconds as in 1:30, or 2m. {BARE_NUMBER} +15 adds 15 seconds, -5 subtracts 5."),
                "",
            ))),
            TimelineAction::Stamp => PaneReply::ask(Overlay::Entry(EntryBox::new(
                TimelineQuestion::Recorded(id),
                "Recorded from and to, before anything is cut out",
                format!(
                    "Start, or start-end: 1:23 or 1:23-2:40. {BARE_NUMBER} +15 or -5 shifts by seconds. Leave empty: not recorded."
                ),
                segment.recorded.map(write_recorded).unwrap_or_default(),
            ))),
            TimelineAction::EditCuts => ask_cuts(segment),
            TimelineAction::NamePiece => {
                let piece = segment.pieces.first().and_then(|id| open.lesson().piece(*id));
                PaneReply::ask(Overlay::Entry(EntryBox::new(
                    TimelineQuestion::PieceTitle(id),
                    "Title of the piece",
                    "The key is asked for next. Leave empty: no piece.",
                    piece.map(|piece| piece.title.clone()).unwrap_or_default(),
                )))
            }
            TimelineAction::ChooseKind => PaneReply::ask(Overlay::Choice(kind_choice(segment))),
            TimelineAction::ChooseProgress => PaneReply::ask(Overlay::Choice(progress_choice(segment))),
            TimelineAction::ChooseSetup => PaneReply::ask(Overlay::Choice(setup_choice(open.lesson(), segment))),
            TimelineAction::AddSetup => ask_new_setup(id),
            TimelineAction::ChoosePassages => match passage_marks(open.lesson(), segment) {
                Some(marks) => PaneReply::ask(Overlay::Marks(marks)),
                None => PaneReply::say(Notice::note(
                    "this lesson has no passage yet: in the passage pane ({Desk(GoToPassage)}), {Passage(NewPassage)} begins one",
                )),
            },
            TimelineAction::Delete => self.delete(open, segment),
            TimelineAction::EditPoints => write(open, segment, SegmentText::Points),
            TimelineAction::EditShot => write(open, segment, SegmentText::Shot),
            TimelineAction::EditTone => write(open, segment, SegmentText::Tone),
            TimelineAction::ChooseVoicings => match voicing_marks(open.lesson(), segment) {
                Some(marks) => PaneReply::ask(Overlay::Marks(marks)),
                None => PaneReply::say(Notice::note(
                    "this lesson has no voicing yet: {Fretboard(SaveVoicing)} on the fretboard ({Desk(GoToFretboard)}) saves one",
                )),
            },
            TimelineAction::Split => PaneReply::ask(Overlay::Entry(EntryBox::new(
                TimelineQuestion::SplitAt(id),
                format!("Split \"{}\", {} long", segment.title, segment.planned),
                format!("Where to split it: 0:40 from its start, or -0:20 from its end. {BARE_NUMBER}"),
                "",
            ))),
            TimelineAction::MoveToPlace => ask_place(open.lesson(), segment),
            TimelineAction::JoinNext => self.join(open),
            TimelineAction::Duplicate => self.duplicate(open),
            TimelineAction::Previous
            | TimelineAction::Next
            | TimelineAction::First
            | TimelineAction::Last
            | TimelineAction::PageUp
            | TimelineAction::PageDown
            | TimelineAction::AddAfter
            | TimelineAction::AddBefore
            | TimelineAction::MoveEarlier
            | TimelineAction::MoveLater
            | TimelineAction::ToggleRipple
            | TimelineAction::ListPieces
            | TimelineAction::CopyChapters
            | TimelineAction::SetTarget
            | TimelineAction::ZoomIn
            | TimelineAction::ZoomOut
            | TimelineAction::ToggleColumns
            | TimelineAction::Mend => PaneReply::nothing(),
        }
    }

    fn move_to(&mut self, open: &mut EditedLesson, to: Option<usize>) -> PaneReply {
        let (Some(id), Some(to)) = (self.selected, to) else { return PaneReply::nothing() };
        move_segment(open, id, to)
    }

    fn delete(&mut self, open: &mut EditedLesson, segment: &Segment) -> PaneReply {
        let place = self.place(open.lesson());
        let reply = delete_segment(open, segment);
        if open.segment(segment.id).is_none() {
            self.select_place(open.lesson(), place);
        }
        reply
    }

    /// Changes how much the lanes show, which are shown then.
    fn zoom(&mut self, lesson: &Lesson, change: impl FnOnce(&mut LaneWindow, &Lesson)) -> PaneReply {
        self.show = TimelineView::Lanes;
        let before = self.window;
        change(&mut self.window, lesson);
        if before == self.window {
            PaneReply::say(Notice::note("it does not zoom further"))
        } else {
            PaneReply::nothing()
        }
    }

    fn toggle_ripple(&mut self) -> PaneReply {
        let (ripple, text) = match self.ripple {
            Ripple::Off => (Ripple::On, "shift later recorded times too: on"),
            Ripple::On => (Ripple::Off, "shift later recorded times too: off"),
        };
        self.ripple = ripple;
        PaneReply::say(Notice::done(text))
    }

    fn join(&self, open: &mut EditedLesson) -> PaneReply {
        let place = self.place(open.lesson());
        let Some(next) = open.lesson().segments.get(place + 1) else {
            return PaneReply::say(Notice::note("there is no segment after this one to join it with"));
        };
        let first = open.lesson().segments.get(place).map(|segment| segment.id);
        let stretch = first.and_then(|first| stretch_between(&open.lesson().segments, first, next.id));
        let too =
            stretch.map_or_else(String::new, |(from, to)| format!("; {from} to {to} between them is part of it now"));
        let done = format!("joined with \"{}\"{too}; {{Desk(Undo)}} undoes", next.title);
        PaneReply::to_change(join_with_next(open, place), done)
    }

    fn duplicate(&mut self, open: &mut EditedLesson) -> PaneReply {
        let copy = duplicate(open, self.place(open.lesson()));
        if let Ok(Some(copy)) = copy {
            self.selected = Some(copy);
        }
        PaneReply::to_change(copy.map(|_| ()), "copied; the copy is not recorded yet")
    }

    /// Splits a segment and selects the second part. Errors: as [`split_at`].
    pub(super) fn split(&mut self, open: &mut EditedLesson, id: SegmentId, at: VideoLength) -> Result<(), String> {
        self.selected = Some(split_at(open, id, at)?);
        Ok(())
    }

    /// Puts a new segment at `place` and selects it.
    pub(super) fn add(&mut self, open: &mut EditedLesson, place: usize, title: &str) -> Result<(), ChangeError> {
        let id = open.new_id();
        let title = if title.trim().is_empty() { "untitled" } else { title.trim() };
        let item = Segment::new(id, SegmentKind::Talk, title, NEW_LENGTH);
        let at = place.min(open.lesson().segments.len());
        let edit = Edit::Segments(ListEdit::Insert { at, item });
        open.change(Transaction::one(Reason::AddSegment, edit).at(LessonPlace::Segment(id)))?;
        self.selected = Some(id);
        Ok(())
    }
}
