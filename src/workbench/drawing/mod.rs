//! What all drawing is made with: a [`region`] of the screen to write in, characters and styles ([`appearance`]), colours
//! ([`theme`]), how far a list is scrolled, and times rounded for the eye.
//!
//! Nothing here knows a pane, a box or a lesson.

pub mod appearance;
pub mod region;
pub mod scroll;
pub mod short_time;
pub mod theme;
