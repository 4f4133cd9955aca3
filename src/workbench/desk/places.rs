//! Going to the place that something found in the lesson is about.

use crate::lesson::document::Lesson;
use crate::lesson::id::{ItemId, SegmentId, VoicingId};
use crate::lesson::links::Linked;
use crate::lesson::place::LessonPlace;
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::keys::action::Focus;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;

impl Desk {
    /// Goes to the place that a problem is about; what has no place on the screen is told in words.
    pub fn go_to(&mut self, place: LessonPlace) -> PaneReply {
        let lesson = self.lesson.lesson();
        let segment = segment_of(lesson, place);
        if let LessonPlace::Voicing(id, _) = place {
            return self.go_to_voicing(id, segment);
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
        PaneReply::say(Notice::note(shown_nowhere(self.lesson.lesson(), place)))
    }

    /// Puts a voicing on the fretboard, in the segment that shows it.
    fn go_to_voicing(&mut self, id: VoicingId, segment: Option<SegmentId>) -> PaneReply {
        let Some(voicing) = self.lesson.lesson().voicing(id).cloned() else {
            return PaneReply::say(Notice::note("it is gone from the lesson"));
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
        self.focus = Focus::Fretboard;
        self.select_kept_reading();
        let title = segment.and_then(|id| self.lesson.segment(id)).map(|segment| segment.title.clone());
        PaneReply::say(Notice::note(match title {
            Some(title) => format!("{name}, shown in \"{title}\""),
            None => format!("{name} is on the fretboard; no segment shows it: v saves it in this one"),
        }))
    }
}

/// Returns the first segment that a place has to do with: the thing itself, or one that links to it.
fn segment_of(lesson: &Lesson, place: LessonPlace) -> Option<SegmentId> {
    let segment = match place.item() {
        Some(item) => lesson.segments.iter().find(|shown| ItemId::from(shown.id) == item || shown.links_to(item)),
        None if place == LessonPlace::Chapters => lesson.segments.first(),
        None => None,
    };
    segment.map(|segment| segment.id)
}

/// Says why no segment shows a place.
fn shown_nowhere(lesson: &Lesson, place: LessonPlace) -> String {
    let Some(item) = place.item() else { return "this is about the lesson as a whole".to_owned() };
    if !lesson.has(item) {
        return "it is gone from the lesson".to_owned();
    }
    let remedy = if matches!(item, ItemId::Passage(_)) {
        ": m in the timeline chooses the music of a segment"
    } else if matches!(item, ItemId::Setup(_)) {
        ": s in the timeline chooses the setup of a segment"
    } else {
        ""
    };
    format!("no segment shows this {}{remedy}", item.word())
}
