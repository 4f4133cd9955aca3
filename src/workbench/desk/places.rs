//! Going to the place that something found in the lesson is about.

use crate::instrument::neck::StringNumber;
use crate::lesson::document::{Lesson, Segment};
use crate::lesson::id::{ItemId, SegmentId, VoicingId};
use crate::lesson::links::Linked;
use crate::lesson::place::LessonPlace;
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::keys::action::Focus;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::passage::plays_spot;
use crate::workbench::panes::timeline::taking_answers::take;
use crate::workbench::questions::timeline::TimelinePick;

impl Desk {
    /// Goes to the place that a problem is about; what has no place on the screen is told in words.
    pub fn go_to(&mut self, place: LessonPlace) -> PaneReply {
        let lesson = self.lesson.lesson();
        let segment = segment_of(lesson, place, self.timeline.selected());
        if let LessonPlace::Voicing(id, string) = place {
            return self.go_to_voicing((id, string), segment);
        }
        if let Some(segment) = segment {
            self.timeline.select(segment);
            self.focus = Focus::Timeline;
            if let LessonPlace::Passage(id, spot) = place {
                self.focus = Focus::Passage;
                self.passage.go_to_spot(self.lesson.lesson(), Some(segment), id, spot);
            }
            return PaneReply::nothing();
        }
        let Some(opened) = box_of(&mut self.lesson, place) else {
            return PaneReply::say(Notice::note(shown_nowhere(self.lesson.lesson(), place)));
        };
        self.focus = Focus::Timeline;
        opened
    }

    /// Puts a voicing on the fretboard, in the segment that shows it, with the cursor on one of its strings where one is meant.
    fn go_to_voicing(
        &mut self,
        (id, string): (VoicingId, Option<StringNumber>),
        segment: Option<SegmentId>,
    ) -> PaneReply {
        let Some(voicing) = self.lesson.lesson().voicing(id).cloned() else {
            return PaneReply::say(Notice::note("it is no longer in the lesson"));
        };
        if let Some(segment) = segment {
            self.timeline.select(segment);
            let (rig, trouble) = self.lesson.rig_at(Some(segment));
            self.fretboard.tune(rig, trouble);
            // The segment's first voicing must not come in its place.
            self.followed = Some(segment);
        }
        let name = voicing.name().map_or_else(|| voicing.shape.compact(), str::to_owned);
        if !self.put_voicing(id) {
            let strings = voicing.shape.strings().len();
            return PaneReply::say(Notice::note(format!("{name} has {strings} strings; no segment shows it")));
        }
        if let Some(string) = string {
            self.fretboard.go_to(string, voicing.shape.on(string).unwrap_or_default());
        }
        self.focus = Focus::Fretboard;
        self.select_kept_reading();
        let title = segment.and_then(|id| self.lesson.segment(id)).map(|segment| segment.title.clone());
        PaneReply::say(Notice::note(match title {
            Some(title) => format!("{name}, shown in \"{title}\""),
            None => format!(
                "{name} is on the fretboard; no segment shows it: {{Fretboard(SaveVoicing)}} saves it in this one"
            ),
        }))
    }
}

/// Opens the box of a tuning or a piece that no segment leads to; `None` for what has no box of its own.
fn box_of(open: &mut EditedLesson, place: LessonPlace) -> Option<PaneReply> {
    let pick = match place.item().filter(|item| open.lesson().has(*item))? {
        ItemId::Setup(id) => TimelinePick::Tuning(id),
        ItemId::Piece(id) => TimelinePick::Piece(id),
        ItemId::Instrument(_) | ItemId::Passage(_) | ItemId::Voicing(_) | ItemId::Segment(_) => return None,
    };
    Some(take(open, pick))
}

/// Returns the segment that a place has to do with: the thing itself, or one that links to it; one that plays the very bar before
/// all others, then the one that is `here`, then the first.
pub(super) fn segment_of(lesson: &Lesson, place: LessonPlace, here: Option<SegmentId>) -> Option<SegmentId> {
    let Some(item) = place.item() else {
        let first = lesson.segments.first().filter(|_| place == LessonPlace::Chapters);
        return first.map(|segment| segment.id);
    };
    let linked = |shown: &&Segment| ItemId::from(shown.id) == item || shown.links_to(item);
    let farther = |shown: &SegmentId| {
        let plays =
            if let LessonPlace::Passage(id, spot) = place { plays_spot(lesson, *shown, id, spot) } else { true };
        (!plays, Some(*shown) != here)
    };
    lesson.segments.iter().filter(linked).map(|shown| shown.id).min_by_key(farther)
}

/// Says why no segment shows a place.
fn shown_nowhere(lesson: &Lesson, place: LessonPlace) -> String {
    let Some(item) = place.item() else { return "this is about the lesson as a whole".to_owned() };
    if !lesson.has(item) {
        return "it is no longer in the lesson".to_owned();
    }
    let remedy = if matches!(item, ItemId::Passage(_)) {
        ": {Timeline(ChoosePassages)} in the timeline chooses what a segment plays"
    } else {
        ""
    };
    format!("no segment shows this {}{remedy}", item.word())
}
