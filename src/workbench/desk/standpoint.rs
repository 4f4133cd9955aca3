//! Where a person stands who is asked something: the pane, the segment, the place in the music and what lies on the fretboard. A
//! question about "this beat" has to be answered at that beat, also after a crash.

use serde::{Deserialize, Serialize};

use crate::lesson::id::{SegmentId, VoicingId};
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::keys::action::Focus;
use crate::workbench::panes::fretboard::fingers::GripOrigin;
use crate::workbench::panes::passage::standpoint::PassageStandpoint;

/// Where a person stands who is asked something.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Standpoint {
    /// The pane in focus.
    focus: Focus,
    /// The selected segment.
    segment: Option<SegmentId>,
    /// The place in the music.
    passage: Option<PassageStandpoint>,
    /// The voicing on the fretboard, where one lies there.
    voicing: Option<VoicingId>,
}

/// Whether there was a way back to where a person stood.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WayBack {
    /// The person stands there again.
    Found,
    /// The segment or the music is not as it was.
    Gone,
}

impl Desk {
    /// Returns where the person stands.
    pub fn standpoint(&self) -> Standpoint {
        let voicing = match self.fretboard.origin() {
            GripOrigin::Voicing(id) => Some(id),
            GripOrigin::Hand | GripOrigin::Followed => None,
        };
        let (segment, passage) = (self.timeline.selected(), PassageStandpoint::of(&self.passage));
        Standpoint { focus: self.focus, segment, passage, voicing }
    }

    /// Goes back to where the person stood.
    pub fn stand_at(&mut self, standpoint: &Standpoint) -> WayBack {
        if standpoint.segment.is_some_and(|id| self.lesson.segment(id).is_none()) {
            return WayBack::Gone;
        }
        self.focus = standpoint.focus;
        if let Some(segment) = standpoint.segment {
            self.timeline.select(segment);
            let (rig, trouble) = self.lesson.rig_at(Some(segment));
            self.fretboard.tune(rig, trouble);
        }
        if standpoint.voicing.is_some_and(|id| self.put_voicing(id)) {
            // The segment's first voicing must not come in its place.
            self.followed = standpoint.segment;
        }
        let lesson = self.lesson.lesson();
        let is_there = |at: &PassageStandpoint| at.go_back(&mut self.passage, lesson, standpoint.segment);
        if standpoint.passage.as_ref().is_none_or(is_there) { WayBack::Found } else { WayBack::Gone }
    }
}
