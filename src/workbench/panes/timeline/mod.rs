//! The timeline: which segment is selected, and every change to the list of segments.
//!
//! Start with [`pane`]. [`lanes`] draws plan and recording to one scale, [`columns`] every time side by side, [`view`] the list.

pub mod columns;
pub mod lanes;
pub mod pane;
pub mod view;
