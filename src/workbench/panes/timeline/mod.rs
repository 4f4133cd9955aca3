//! The timeline: which segment is selected, and every change to the list of segments.
//!
//! Start with [`pane`]. [`lanes`] draws plan and recording to one scale, [`columns`] every time side by side, [`view`] the
//! list; [`mending`] knows what is wrong with each segment and mends it. `asking` opens boxes and [`taking_answers`] takes
//! what comes back from them; `piece` and `setup` do the longer of those.

mod asking;
pub mod columns;
pub mod lanes;
pub mod mending;
pub mod pane;
mod piece;
mod setup;
pub mod taking_answers;
pub mod view;
