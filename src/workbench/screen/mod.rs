//! Drawing the whole screen; see [`frame`]. The same state always gives the same cells.

pub mod frame;
