//! What each setup of a lesson makes of its instrument.

use std::collections::HashMap;

use crate::instrument::rig::Rig;
use crate::lesson::assumed_tunings::AssumedTunings;
use crate::lesson::document::{Lesson, Voicing};
use crate::lesson::id::SetupId;
use crate::lesson::music::Passage;

/// What each setup makes of its instrument, and in which of them things are that state none.
pub(super) struct Rigs {
    rigs: HashMap<SetupId, Option<Rig>>,
    assumed: AssumedTunings,
}

impl Rigs {
    pub(super) fn of(lesson: &Lesson) -> Self {
        let mut rigs = HashMap::with_capacity(lesson.setups.len());
        for setup in &lesson.setups {
            rigs.entry(setup.id).or_insert_with(|| lesson.rig(setup).ok());
        }
        Self { rigs, assumed: AssumedTunings::of(lesson) }
    }

    /// Returns the setup that a passage is in: its own, its piece's, or the one that it is taken to be in.
    pub(super) fn setup_of_passage(&self, lesson: &Lesson, passage: &Passage) -> Option<SetupId> {
        let assumed = || self.assumed.of_passage(passage.id).first().copied();
        lesson.stated_passage_setup(passage).or_else(assumed).or_else(|| first(lesson))
    }

    /// Returns the setup that a voicing is in: its own, or the one that it is taken to be in.
    pub(super) fn setup_of_voicing(&self, lesson: &Lesson, voicing: &Voicing) -> Option<SetupId> {
        let assumed = || self.assumed.of_voicing(voicing.id).first().copied();
        voicing.setup.or_else(assumed).or_else(|| first(lesson))
    }

    /// Returns the rig a passage is written for; `None` where its setup is gone or makes none.
    pub(super) fn of_passage(&self, lesson: &Lesson, passage: &Passage) -> Option<&Rig> {
        self.rigs.get(&self.setup_of_passage(lesson, passage)?)?.as_ref()
    }

    /// Returns the rig a voicing is played on; `None` where its setup is gone or makes none.
    pub(super) fn of_voicing(&self, lesson: &Lesson, voicing: &Voicing) -> Option<&Rig> {
        self.rigs.get(&self.setup_of_voicing(lesson, voicing)?)?.as_ref()
    }
}

fn first(lesson: &Lesson) -> Option<SetupId> {
    lesson.setups.first().map(|setup| setup.id)
}
