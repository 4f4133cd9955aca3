//! Which passage is shown: one of those that the segment plays, and which of its bars.

use std::ops::Range;

use crate::instrument::neck::StringNumber;
use crate::instrument::rig::Rig;
use crate::lesson::document::{Lesson, PassageUse};
use crate::lesson::id::{PassageId, SegmentId};
use crate::lesson::music::Passage;
use crate::lesson::place::Spot;
use crate::plan::order::places;
use crate::workbench::editing::rigs::standard_guitar;

/// What is shown of a passage: which of its bars, and on how many strings it is played.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct ShownBars {
    pub(super) passage: PassageId,
    pub(super) bars: Range<usize>,
    pub(super) strings: u8,
}

/// Which of the passages that a segment plays is shown.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct ShownPassage {
    pub(super) segment: Option<SegmentId>,
    /// Which of the segment's passages it is, counted from 0.
    pub(super) place: usize,
    /// What is shown of it; nothing where the segment plays no passage.
    pub(super) part: Option<ShownBars>,
}

impl ShownPassage {
    /// Returns how many passages the segment plays.
    pub(super) fn count(&self, lesson: &Lesson) -> usize {
        uses(lesson, self.segment).len()
    }

    /// Returns the use of a passage that stands at the place, or the last one, with the passage.
    pub(super) fn find<'a>(&mut self, lesson: &'a Lesson) -> Option<(PassageUse, &'a Passage)> {
        let uses = uses(lesson, self.segment);
        self.place = self.place.min(uses.len().saturating_sub(1));
        let used = uses.get(self.place).copied()?;
        Some((used, lesson.passage(used.passage)?))
    }

    /// Returns the place of a use that shows a bar of a passage, and that use, if there is one.
    pub(super) fn place_of<'a>(
        &self,
        lesson: &'a Lesson,
        passage: &Passage,
        bar: usize,
    ) -> Option<(usize, &'a PassageUse)> {
        let shows = |used: &&PassageUse| used.passage == passage.id && bars_of(passage, used).contains(&bar);
        uses(lesson, self.segment).iter().enumerate().find(|(_, used)| shows(used))
    }

    /// Returns which passage is shown.
    pub(super) fn id(&self) -> Option<PassageId> {
        self.part.as_ref().map(|part| part.passage)
    }

    /// Returns the passage that is shown.
    pub(super) fn passage<'a>(&self, lesson: &'a Lesson) -> Option<&'a Passage> {
        lesson.passage(self.id()?)
    }

    /// Returns the passage that is shown, if nothing is written in it.
    pub(super) fn unwritten<'a>(&self, lesson: &'a Lesson) -> Option<&'a Passage> {
        self.passage(lesson).filter(|passage| passage.is_unwritten())
    }

    /// Returns how many strings the passage that is shown is played on; 1 where none is.
    pub(super) fn strings(&self) -> u8 {
        self.part.as_ref().map_or(1, |part| part.strings)
    }

    /// Returns whether a bar of a passage is shown.
    pub(super) fn shows(&self, passage: PassageId, bar: usize) -> bool {
        self.part.as_ref().is_some_and(|part| part.passage == passage && part.bars.contains(&bar))
    }
}

/// Returns the bars of a passage that a use of it plays.
pub(super) fn bars_of(passage: &Passage, used: &PassageUse) -> Range<usize> {
    places(passage.bars.len(), used.bars)
}

/// Returns how many strings there are on what a passage is played on.
pub(super) fn strings_of(rig: &Rig) -> u8 {
    u8::try_from(rig.strings().count()).unwrap_or(StringNumber::LAST)
}

/// Returns what a passage is played on; a standard guitar where the lesson does not say.
pub(super) fn rig_of(lesson: &Lesson, passage: &Passage) -> Rig {
    lesson.passage_rig(passage).unwrap_or_else(standard_guitar)
}

/// Returns the passages that a segment plays, in order.
pub(super) fn uses(lesson: &Lesson, segment: Option<SegmentId>) -> &[PassageUse] {
    segment.and_then(|id| lesson.segment(id)).map_or(&[], |segment| &segment.passages)
}

/// Returns which of the passages that a segment plays shows a spot of a passage, counted from 0: one whose bars hold it, else
/// any part of that passage.
pub fn place_playing(lesson: &Lesson, segment: Option<SegmentId>, passage: PassageId, spot: Spot) -> Option<usize> {
    let uses = uses(lesson, segment);
    let of_it = |used: &PassageUse| used.passage == passage;
    uses.iter().position(|used| of_it(used) && plays(lesson, used, spot)).or_else(|| uses.iter().position(of_it))
}

/// Returns whether a segment plays a spot of a passage.
pub fn plays_spot(lesson: &Lesson, segment: SegmentId, passage: PassageId, spot: Spot) -> bool {
    uses(lesson, Some(segment)).iter().any(|used| used.passage == passage && plays(lesson, used, spot))
}

fn plays(lesson: &Lesson, used: &PassageUse, spot: Spot) -> bool {
    let passage = lesson.passage(used.passage);
    passage.is_some_and(|passage| spot.bar_index().is_none_or(|bar| bars_of(passage, used).contains(&bar)))
}
