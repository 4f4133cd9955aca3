//! What each setup of a lesson makes of its instrument.

use std::collections::HashMap;

use crate::instrument::rig::Rig;
use crate::lesson::document::{Lesson, Voicing};
use crate::lesson::id::SetupId;
use crate::lesson::music::Passage;

/// What each setup makes of its instrument.
pub(super) struct Rigs(HashMap<SetupId, Option<Rig>>);

impl Rigs {
    pub(super) fn of(lesson: &Lesson) -> Self {
        let mut rigs = HashMap::with_capacity(lesson.setups.len());
        for setup in &lesson.setups {
            rigs.entry(setup.id).or_insert_with(|| lesson.rig(setup).ok());
        }
        Self(rigs)
    }

    fn of_setup(&self, lesson: &Lesson, stated: Option<SetupId>) -> Option<&Rig> {
        let setup = stated.or_else(|| lesson.setups.first().map(|setup| setup.id))?;
        self.0.get(&setup)?.as_ref()
    }

    /// Returns the rig a passage is written for; `None` where its setup is gone or makes none.
    pub(super) fn of_passage(&self, lesson: &Lesson, passage: &Passage) -> Option<&Rig> {
        self.of_setup(lesson, lesson.stated_passage_setup(passage))
    }

    /// Returns the rig a voicing is played on; `None` where its setup is gone or makes none.
    pub(super) fn of_voicing(&self, lesson: &Lesson, voicing: &Voicing) -> Option<&Rig> {
        self.of_setup(lesson, voicing.setup)
    }
}
