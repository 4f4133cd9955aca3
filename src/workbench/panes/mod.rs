//! The panes, one folder for each: its state, its actions and its drawing. Drawing never changes state.
//!
//! Start with [`timeline`], which the others follow: what the fretboard is tuned to and which
//! passage is shown depend on the segment selected there. Where each stands on the screen is the desk's to know.

pub mod fretboard;
pub mod library;
pub mod passage;
pub mod readings;
pub mod recording;
pub mod start;
pub mod timeline;
