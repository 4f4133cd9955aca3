//! What a change of a passage comes to: edits, and where the cursor goes.

use super::slot::Slot;
use crate::lesson::edit::Edit;
use crate::lesson::music::{Bar, Passage};

/// Edits that belong together, and where the cursor goes with them.
#[derive(Debug, Clone, PartialEq)]
pub struct PhraseEdits {
    /// The edits, in order.
    pub edits: Vec<Edit>,
    /// Where the cursor goes.
    pub slot: Slot,
}

/// Returns the edit that puts another bar in the place of one.
pub(super) fn one_bar(passage: &Passage, at: usize, bar: Bar) -> Edit {
    Edit::Bars { passage: passage.id, at, remove: usize::from(at < passage.bars.len()), insert: vec![bar] }
}
