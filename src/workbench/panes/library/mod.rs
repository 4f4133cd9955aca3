//! The library pane: the voicings of all lessons, found as one types, as a list or as chord grids ([`pane`], `grids`); [`facts`]
//! is what is known of one, and `taking_answers` changes that.
//!
//! The library itself and its file are not here.

pub mod facts;
mod grids;
pub mod pane;
pub mod taking_answers;
