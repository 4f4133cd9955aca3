//! The fretboard: fingers, mutes, open strings and doubts on whatever the segment is played on.
//!
//! Start with [`pane`]. [`alternatives`] searches other shapes, shown as [`ghosts`]; [`neck_view`] is how the neck is seen;
//! [`view`] and `signs` draw. The names of what sounds are in the readings pane.

pub mod alternatives;
pub mod ghosts;
pub mod neck_view;
pub mod pane;
pub mod signs;
pub mod view;
