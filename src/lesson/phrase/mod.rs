//! Editing music: what a key of a tab editor does to a passage, as values.
//!
//! Start with [`slot`] (where an edit acts) and [`notes`]. Each function takes a passage and gives
//! the edit that changes it, with the slot where the cursor goes; nothing here changes a lesson.
//!
//! - [`notes`]: frets, joins, techniques, what stands over a beat.
//! - [`rhythm`]: lengths, rests, events put in and taken out.
//! - [`bars`]: bars, and what they begin with: meter, tempo, key, repeats, endings.
//! - [`clip`]: events and bars copied, cut and pasted.
//! - [`shift`]: transposing, and notes on another string with the pitch they have.
//!
//! Invariants: bars around a change keep the meter, tempo and key that hold in them; the notes of an
//! event stand in the order of their strings and techniques in their own order.

pub mod bars;
pub mod clip;
mod error;
pub mod notes;
pub mod rhythm;
pub mod shift;
pub mod slot;

pub use error::PhraseError;
pub use slot::Slot;

use super::edit::Edit;
use super::music::{Bar, Passage};

/// Edits that belong together, and where the cursor goes with them.
#[derive(Debug, Clone, PartialEq)]
pub struct Written {
    /// The edits, in order.
    pub edits: Vec<Edit>,
    /// Where the cursor goes.
    pub slot: Slot,
}

/// Returns the edit that puts another bar in the place of one.
fn one_bar(passage: &Passage, at: usize, bar: Bar) -> Edit {
    Edit::Bars { passage: passage.id, at, remove: usize::from(at < passage.bars.len()), insert: vec![bar] }
}
