//! Editing music: what a key of a tab editor does to a passage, as values.
//!
//! Start with [`slot`] (where an edit acts) and [`notes`]. Each function takes a passage and gives
//! the edit that changes it, with the slot where the cursor goes; nothing here changes a lesson.
//!
//! - [`notes`]: frets, joins, techniques, what stands over a beat.
//! - [`rhythm`]: lengths, rests, events put in and taken out; [`rests`]: which rests fill a bar.
//! - [`bars`]: bars, and what they begin with: meter, tempo, key, repeats, endings.
//! - [`clip`]: events and bars copied, cut and pasted.
//! - [`leading`]: what leads to notes that are about to go.
//! - [`shift`]: transposing, and notes on another string with the pitch they have.
//!
//! They share the `stretch` that is chosen, the `event` that is changed in its bar, what a change comes to (`written`), and why there is none
//! (`error`).
//!
//! Invariants: bars around a change keep the meter, tempo and key that hold in them; the notes of an
//! event stand in the order of their strings and techniques in their own order.

pub mod bars;
pub mod clip;
mod error;
mod event;
pub mod leading;
pub mod notes;
pub mod rests;
pub mod rhythm;
pub mod shift;
pub mod slot;
mod stretch;
mod written;

pub use error::PhraseError;
pub use slot::Slot;
pub use written::PhraseEdits;
