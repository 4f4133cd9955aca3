//! A passage placed anew for another tuning, capo or instrument, with the pitches it has.
//!
//! Start with [`moved`]. What cannot be kept is told, each time with the nearest thing that was done instead:
//! nothing goes without a word.
//!
//! 1. `notes` lists the notes of a passage in the order in which they are played, with their joins and ties.
//! 2. `plan` says what each of them is to be on the new rig (`note_plan`).
//! 3. `shapes` says where notes lie whose chord is played with a shape that the lesson keeps and that goes along.
//! 4. `rewrite` puts what the search found back into the passage.
//!
//! What is told is a `remark`.

mod note_plan;
mod notes;
mod plan;
mod remark;
mod rewrite;
mod shapes;

use crate::instrument::placement::line::Limits;
use crate::instrument::placement::{PlacementError, place_under};
use crate::instrument::rig::Rig;
use crate::lesson::document::{ChordNames, Lesson};
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::music::Passage;
use shapes::ChordShapes;

pub use remark::{Remark, SummedRemark, summed};

/// A passage on its new rig.
#[derive(Debug, Clone, PartialEq)]
pub struct MovedPassage {
    /// The passage, with the identity it had.
    pub passage: Passage,
    /// What could not be kept, in the order of the passage.
    pub remarks: Vec<Remark>,
}

impl MovedPassage {
    /// Returns the edit that puts the passage in the place of the old one.
    pub fn edit(self) -> Edit {
        Edit::Passages(ListEdit::Replace(self.passage))
    }
}

/// Places `passage`, written for `old`, anew on `new`.
///
/// Every note keeps its pitch where the instrument has it and a hand can hold it; else it goes to the nearest
/// octave, or is left out of its chord. A chord that is played with a shape of the lesson goes where that goes; what begins on strings
/// that sound as before stays where it is. Hammer-ons, pull-offs and slides keep to one string where that can be
/// done. Dead notes keep their strings, natural harmonics go where the same pitch rings. Chord names follow the
/// capo as players name shapes, where the lesson goes by those, spelled by the key of the passage or of its piece in `lesson`, or else all with
/// sharps or all with flats. Links to voicings stay; whether their shapes still fit is known once those have gone along
/// ([`crate::lesson::linked_shapes`]).
///
/// Errors: none are known for a passage that `old` can play; the search's own are passed on.
pub fn moved(lesson: &Lesson, passage: &Passage, old: &Rig, new: &Rig) -> Result<MovedPassage, PlacementError> {
    moved_into(lesson, passage, (old, new), lesson.header.chord_names)
}

/// Places `passage` of `lesson` anew as [`moved`] does, for a lesson whose chord names go by `names`.
///
/// Errors: those of [`moved`].
pub fn moved_into(
    lesson: &Lesson,
    passage: &Passage,
    (old, new): (&Rig, &Rig),
    names: ChordNames,
) -> Result<MovedPassage, PlacementError> {
    let mut remarks = Vec::new();
    let notes = notes::list(passage);
    let mut planned = plan::planned(&notes, old, new, &mut remarks);
    let shapes = ChordShapes::of(lesson, passage, &notes, (old, new));
    let line = plan::line(passage, &notes, (&mut planned, &shapes), (old, new), &mut remarks);
    let below = lesson.header.chord_names.below_the_sound(old);
    let placement = place_under(new, &line.slices, &plan::chords(passage, &line, &notes, below), Limits::NONE)?;
    let passage = rewrite::rewritten(
        passage,
        &rewrite::Work {
            notes: &notes,
            planned: &planned,
            line: &line,
            placement: &placement,
            lesson,
            names,
            old,
            new,
        },
        &mut remarks,
    );
    shapes.tell(&passage, new, &mut remarks);
    remarks.sort_by_key(|remark| remark.spot);
    Ok(MovedPassage { passage, remarks })
}
