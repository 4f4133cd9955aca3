//! What is fretted at the cursor, to be taken to the fretboard.

use crate::instrument::neck::{Fret, Shape, StringNumber};
use crate::instrument::rig::Rig;
use crate::lesson::bar_numbers::{BarName, BarNumbers};
use crate::lesson::document::Lesson;
use crate::lesson::edit::Edit;
use crate::lesson::harmony::sounding::held_at;
use crate::lesson::id::PassageId;
use crate::lesson::music::{Note, Passage};
use crate::lesson::phrase::Slot;
use crate::lesson::phrase::notes::change_event;
use crate::lesson::place::{LessonPlace, Spot};
use crate::lesson::technique::TechniqueFamily;
use crate::workbench::panes::passage::pane::PassagePane;
use crate::workbench::panes::passage::shown::rig_of;

/// What is fretted at a place of a passage: what begins there, and what still sounds.
#[derive(Debug, Clone, PartialEq)]
pub struct TakenColumn {
    passage: PassageId,
    slot: Slot,
    /// Where fingers are, as the tab had it then.
    fretted: Vec<(StringNumber, Fret)>,
    rig: Rig,
}

/// Returns what is fretted at the cursor of a pane: the notes of its column, in either voice, and what still sounds there.
/// `None` where no passage is shown.
pub fn column_at(pane: &PassagePane, lesson: &Lesson) -> Option<TakenColumn> {
    let here = pane.here(lesson)?;
    let rig = rig_of(lesson, here.passage);
    let fretted = fretted_at(here.passage, here.slot());
    Some(TakenColumn { passage: here.passage.id, slot: here.slot(), fretted, rig })
}

impl TakenColumn {
    /// Returns what the passage is played on.
    pub const fn rig(&self) -> &Rig {
        &self.rig
    }

    /// Returns the shape that the fingers make.
    pub fn shape(&self) -> Shape {
        let mut shape = Shape::muted(self.rig.strings().count());
        for (string, fret) in &self.fretted {
            shape.set(*string, Some(*fret));
        }
        shape
    }

    /// Returns the passage, and where in it this was taken.
    pub fn spot(&self) -> (PassageId, Spot) {
        let Slot { bar, voice, event } = self.slot;
        (self.passage, Spot::bar(bar).voice(voice).event(event))
    }

    /// Returns what its bar is called.
    pub fn bar(&self, lesson: &Lesson) -> BarName {
        lesson.passage(self.passage).map(BarNumbers::of).unwrap_or_default().name(self.slot.bar)
    }

    /// Returns the place where this was taken.
    pub fn place(&self) -> LessonPlace {
        let (passage, spot) = self.spot();
        LessonPlace::Passage(passage, spot)
    }

    /// Returns whether the same is fretted there still, on the same strings.
    pub fn is_there_still(&self, lesson: &Lesson) -> bool {
        let passage = lesson.passage(self.passage);
        passage.is_some_and(|passage| {
            let rig = rig_of(lesson, passage);
            self.slot.read(passage).is_some() && rig == self.rig && fretted_at(passage, self.slot) == self.fretted
        })
    }

    /// Returns the chord name that stands over it.
    pub fn name_there(&self, lesson: &Lesson) -> Option<String> {
        lesson.passage(self.passage).and_then(|passage| self.slot.read(passage)).and_then(|event| event.chord.clone())
    }

    /// Returns the edit that writes a chord name over it; `None` where it is gone.
    pub fn named(&self, lesson: &Lesson, name: &str) -> Option<Edit> {
        let edit = change_event(lesson.passage(self.passage)?, self.slot, |event| {
            event.chord = Some(name.to_owned());
            Ok(())
        });
        edit.ok()
    }
}

fn fretted_at(passage: &Passage, slot: Slot) -> Vec<(StringNumber, Fret)> {
    let start = slot.start(passage);
    let voices = passage.bars.get(slot.bar).map_or(&[][..], |bar| &bar.voices);
    let columns = voices.iter().flat_map(|voice| voice.timed()).filter(|(at, _)| *at == start);
    let begin: Vec<&Note> = columns.flat_map(|(_, event)| &event.notes).collect();
    let is_dead = |note: &Note| note.techniques.iter().any(|one| one.family() == TechniqueFamily::Dead);
    let mut fretted: Vec<(StringNumber, Fret)> =
        begin.iter().filter(|note| !is_dead(note)).map(|note| (note.string, note.fret)).collect();
    // Behind the last note of a bar nothing is fretted yet.
    if slot.read(passage).is_some() || !begin.is_empty() {
        let rings = held_at(passage, slot);
        fretted.extend(rings.into_iter().filter(|(string, _)| begin.iter().all(|note| note.string != *string)));
    }
    fretted.sort_unstable();
    fretted
}
