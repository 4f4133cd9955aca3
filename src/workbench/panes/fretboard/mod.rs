//! The fretboard: fingers, mutes, open strings and doubts on whatever the segment is played on.
//!
//! Start with [`pane`]. Its parts: [`fingers`] on the strings and where they came from, the `cursor`, how the neck is seen
//! ([`neck_view`]) and how far it is scrolled (`neck_scroll`), other shapes shown as [`ghosts`], chords to aim at
//! ([`targets`]) and two `slots` to compare shapes in. [`alternatives`] searches other shapes, [`voicings`] carries them
//! between neck and lesson, [`view`] and `signs` draw. The names of what sounds are in the readings pane.

pub mod alternatives;
mod cursor;
pub mod fingers;
pub mod ghosts;
mod neck_scroll;
pub mod neck_view;
pub mod pane;
pub mod signs;
mod slots;
pub mod targets;
pub mod view;
pub mod voicings;
