//! The tunings of passages and voicings that state none. The segment that plays a passage decides, and so does the one that shows a
//! voicing, or else the passage that holds it; of several, the first of the video does. What nothing plays is taken to be in the
//! first tuning of the lesson.

use std::collections::{HashMap, HashSet};

use super::document::{Lesson, PassageUse, Segment, Setup, Voicing};
use super::id::{PassageId, SetupId, VoicingId};
use super::music::Passage;
use crate::instrument::rig::Rig;

/// The tunings in which things are played that state none, each in the order of the video and once. What is played nowhere has
/// none here.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct AssumedTunings {
    passages: HashMap<PassageId, Vec<SetupId>>,
    voicings: HashMap<VoicingId, Vec<SetupId>>,
}

impl AssumedTunings {
    /// Returns those of a lesson, by going through it once.
    pub fn of(lesson: &Lesson) -> Self {
        let unstated = |passage: &&Passage| lesson.stated_passage_setup(passage).is_none();
        let mut passages: HashMap<PassageId, Vec<SetupId>> =
            lesson.passages.iter().filter(unstated).map(|passage| (passage.id, Vec::new())).collect();
        let mut voicings: HashMap<VoicingId, Vec<SetupId>> = HashMap::new();
        for voicing in lesson.voicings.iter().filter(|voicing| voicing.setup.is_none()) {
            voicings.insert(voicing.id, Vec::new());
        }
        if passages.is_empty() && voicings.is_empty() {
            return Self::default();
        }
        for (segment, (_, now)) in lesson.segments.iter().zip(lesson.tunings_in_force()) {
            let Some(now) = now else { continue };
            for used in &segment.passages {
                if let Some(played) = passages.get_mut(&used.passage) {
                    add(played, now);
                }
            }
            for shown in &segment.voicings {
                if let Some(shown) = voicings.get_mut(shown) {
                    add(shown, now);
                }
            }
        }
        let mut left: HashSet<VoicingId> =
            voicings.iter().filter(|(_, shown)| shown.is_empty()).map(|(id, _)| *id).collect();
        for passage in &lesson.passages {
            if left.is_empty() {
                break;
            }
            let assumed = || passages.get(&passage.id).and_then(|played| played.first().copied());
            let setup = lesson.stated_passage_setup(passage).or_else(assumed);
            let Some(setup) = setup.or_else(|| Some(lesson.setups.first()?.id)) else { break };
            for id in linked(passage) {
                if left.remove(&id) {
                    voicings.insert(id, vec![setup]);
                }
            }
        }
        Self { passages, voicings }
    }

    /// Returns those in which a passage is played that states none.
    pub fn of_passage(&self, id: PassageId) -> &[SetupId] {
        self.passages.get(&id).map_or(&[], Vec::as_slice)
    }

    /// Returns those in which a voicing is shown that states none.
    pub fn of_voicing(&self, id: VoicingId) -> &[SetupId] {
        self.voicings.get(&id).map_or(&[], Vec::as_slice)
    }
}

fn add(tunings: &mut Vec<SetupId>, setup: SetupId) {
    if !tunings.contains(&setup) {
        tunings.push(setup);
    }
}

/// Returns the voicings that the notes of a passage link to.
fn linked(passage: &Passage) -> impl Iterator<Item = VoicingId> {
    let voices = passage.bars.iter().flat_map(|bar| &bar.voices);
    voices.flat_map(|voice| &voice.0).filter_map(|event| event.voicing)
}

impl Lesson {
    /// Returns the setup a passage is written for: its own, else its piece's, else that of the first segment that plays it, else
    /// the lesson's first. `None` when the one it links to is gone or there are no setups.
    pub fn passage_setup(&self, passage: &Passage) -> Option<&Setup> {
        match self.stated_passage_setup(passage) {
            Some(setup) => self.setup(setup),
            None => self.assumed_passage_setup(passage),
        }
    }

    /// Returns the setup a voicing is played in: its own, else that of the first segment that shows it or the first passage that
    /// holds it, else the lesson's first.
    pub fn voicing_setup(&self, voicing: &Voicing) -> Option<&Setup> {
        match voicing.setup {
            Some(setup) => self.setup(setup),
            None => self.assumed_voicing_setup(voicing),
        }
    }

    /// Returns the rig a passage is written for; `None` where its setup is gone or makes none.
    pub fn passage_rig(&self, passage: &Passage) -> Option<Rig> {
        self.rig(self.passage_setup(passage)?).ok()
    }

    /// Returns the rig a voicing is played on; `None` where its setup is gone or makes none.
    pub fn voicing_rig(&self, voicing: &Voicing) -> Option<Rig> {
        self.rig(self.voicing_setup(voicing)?).ok()
    }

    /// Returns the tuning that a passage is taken to be in which states none: that of the first segment that plays it, else the
    /// lesson's first. `None` when there are no tunings, or the one is gone that the segment states.
    fn assumed_passage_setup(&self, passage: &Passage) -> Option<&Setup> {
        let plays = |used: &PassageUse| used.passage == passage.id;
        self.setup_of_first(|segment| segment.passages.iter().any(plays))
    }

    /// Returns the tuning that a voicing is taken to be in which states none: that of the first segment that shows it, else of the
    /// first passage that holds it, else the lesson's first. `None` as for a passage.
    fn assumed_voicing_setup(&self, voicing: &Voicing) -> Option<&Setup> {
        let shows = |segment: &Segment| segment.voicings.contains(&voicing.id);
        if !self.segments.iter().any(shows)
            && let Some(passage) = self.passages.iter().find(|passage| linked(passage).any(|id| id == voicing.id))
        {
            return self.passage_setup(passage);
        }
        self.setup_of_first(shows)
    }

    /// Returns the tuning of the first segment of which something is true, else the lesson's first.
    fn setup_of_first(&self, is_it: impl Fn(&Segment) -> bool) -> Option<&Setup> {
        let mut stated = None;
        for segment in &self.segments {
            stated = segment.setup.or(stated);
            if is_it(segment) {
                return stated.map_or_else(|| self.setups.first(), |id| self.setup(id));
            }
        }
        self.setups.first()
    }
}
