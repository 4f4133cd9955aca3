//! The voicings of the open lesson as the library shows them.

use std::path::PathBuf;
use std::sync::Arc;

use crate::lesson::document::Voicing;
use crate::lesson::id::VoicingId;
use crate::lesson::touched::{Items, Touched, still_standing};
use crate::store::library::LibraryVoicing;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::library::item::LibraryItem;

/// The voicings of the lesson as the library shows them, each kept as long as it stays the same.
#[derive(Debug, Clone, Default)]
pub struct OwnVoicings {
    voicings: Vec<(VoicingId, Option<Arc<LibraryItem>>)>,
    /// The title and the file of the lesson, which each of them names.
    lesson: (String, PathBuf),
}

impl OwnVoicings {
    /// Returns the voicings, unless all of them are as they were; at most `touched` has changed since the last time.
    pub fn follow(&mut self, open: &EditedLesson, touched: &Touched) -> Option<Vec<Arc<LibraryItem>>> {
        let lesson = open.lesson();
        let renamed = self.lesson.0 != lesson.header.title || self.lesson.1 != open.path();
        let all =
            renamed || !touched.instruments.is_empty() || !touched.setups.is_empty() || touched.voicings == Items::All;
        if !all && touched.voicings.is_empty() {
            return None;
        }
        if renamed {
            self.lesson = (lesson.header.title.clone(), open.path().to_owned());
        }
        let stands = |(id, _): &(VoicingId, _)| !all && !touched.voicings.has(id);
        let mut kept = still_standing(std::mem::take(&mut self.voicings), |(id, _)| *id, stands);
        let shown = |voicing: &Voicing| match kept.remove(&voicing.id) {
            Some(kept) => kept,
            None => {
                (voicing.id, LibraryVoicing::of_lesson(lesson, voicing, open.path()).map(|own| Arc::new(own.into())))
            }
        };
        self.voicings = lesson.voicings.iter().map(shown).collect();
        Some(self.voicings.iter().filter_map(|(_, item)| item.clone()).collect())
    }
}
