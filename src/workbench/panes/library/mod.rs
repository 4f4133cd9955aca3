//! The library pane: the voicings of all lessons, found as one types, as a list or as chord grids ([`pane`]).
//!
//! The library itself and its file are not here.

mod grids;
pub mod pane;
