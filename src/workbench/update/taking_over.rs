//! A lesson that is open for reading only because another window had it: it is opened for writing when that window is gone.

use std::path::Path;

use crate::lesson::id::SegmentId;
use crate::store::last_places::LastPlace;
use crate::store::open_lesson::{Access, ReadOnly};
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::keys::action::{Action, Focus, Pane, ProgramAction};
use crate::workbench::messages::effect::FileEffect;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::state::State;
use crate::workbench::update::draft;

/// Asks the runtime to open the lesson for writing, where it is not.
pub fn ask(state: &State) -> PaneReply {
    let Some(desk) = state.desk() else { return PaneReply::nothing() };
    match desk.lesson.access() {
        Access::Full => PaneReply::note("the lesson is open for writing already"),
        Access::ReadOnly(ReadOnly::OpenElsewhere(_)) => {
            PaneReply::want(FileEffect::OpenForWriting(Box::new(draft::of_fingers(state))))
        }
        Access::ReadOnly(why) => PaneReply::note(format!("still for reading only: {why}")),
    }
}

/// Says that the other window is gone, and how to go on here.
pub fn offer(state: &State) -> PaneReply {
    let key = state.keys.key_for(Pane::Desk, Action::Program(ProgramAction::OpenForWriting));
    let how = key.map_or_else(|| "search for \"open it for writing\"".to_owned(), |key| key.to_string());
    PaneReply::note(format!("no other window has the lesson any more; to write in it here: {how}"))
}

/// Where somebody stands in a lesson who opens it again.
pub struct Whereabouts {
    focus: Focus,
    segment: Option<SegmentId>,
}

impl Whereabouts {
    /// Returns where one stands in the lesson at `path`, if that is the one that is open.
    pub fn at(state: &State, path: &Path) -> Option<Self> {
        let desk = state.desk().filter(|desk| desk.lesson.path() == path)?;
        Some(Self { focus: desk.focus, segment: desk.timeline.selected() })
    }

    /// Returns where one would leave the lesson of a desk; `None` for one without an identity.
    pub fn left_at(desk: &Desk) -> Option<LastPlace> {
        let lesson = desk.lesson.lesson();
        let first = lesson.segments.first().map(|segment| segment.id);
        Some(LastPlace { lesson: lesson.id?, segment: desk.timeline.selected().filter(|at| Some(*at) != first) })
    }

    /// Returns where one left the lesson of a desk that is opened again, if that is still there.
    pub fn left_before(desk: &Desk, segment: Option<SegmentId>) -> Option<Self> {
        let segment = segment.filter(|id| desk.lesson.segment(*id).is_some())?;
        Some(Self { focus: desk.focus, segment: Some(segment) })
    }

    /// Goes to the same place.
    pub fn go_on(&self, desk: &mut Desk) {
        desk.focus = self.focus;
        if let Some(segment) = self.segment {
            desk.timeline.select(segment);
        }
    }
}
