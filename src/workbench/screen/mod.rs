//! Draws the whole screen; see [`frame`]. The same state always gives the same cells. Panes and boxes draw themselves
//! in their own folders.

pub mod frame;
