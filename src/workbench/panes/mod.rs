//! The panes: each has its state, its actions and its drawing. Drawing never changes state.
//!
//! Start with [`timeline`], which the others follow: what the fretboard is tuned to and which
//! passage is shown depend on the segment selected there.

pub mod alternatives;
pub mod clock_face;
pub mod fretboard;
pub mod fretboard_view;
pub mod ghosts;
pub mod library;
mod library_grids;
pub mod naming;
pub mod passage;
pub mod readings;
pub mod recording;
pub mod recording_view;
pub mod recording_words;
pub mod scroll;
pub mod segment_changes;
pub mod sight;
pub mod signs;
pub mod start;
pub mod timeline;
pub mod timeline_columns;
pub mod timeline_lanes;
pub mod timeline_view;

pub use scroll::Scroll;
