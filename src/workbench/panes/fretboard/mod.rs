//! The fretboard: fingers, mutes, open strings and doubts on whatever the segment is played on.
//!
//! Start with [`pane`], which holds all there is and does what puts fingers down. Below it lie its parts, none of which
//! knows the pane: [`grip`], what lies on the strings, the [`fingers`] that put it there and where it came from, the `cursor`, how the neck is seen ([`neck_view`]),
//! where its frets are drawn (`drawn_neck`) and how far it is scrolled (`neck_scroll`), how a hand holds the shape
//! (`holding`), what a search for other shapes finds (`alternatives`) and the [`ghosts`] it is shown as, chords to aim at
//! ([`targets`]), two `slots` for shapes, and which [`neighbour`] of a thing is meant. Above it lies what is done to it:
//! [`neck_keys`] shows and takes other shapes, `comparing` compares two, [`aiming`] goes from chord to chord, `voicing_query` reads what voicings are asked for, [`voicings`]
//! carries voicings between neck, lesson and library; [`view`] and `signs` draw. The names of what sounds are in the
//! readings pane.

pub mod aiming;
mod alternatives;
mod comparing;
mod cursor;
mod drawn_neck;
pub mod fingers;
pub mod ghosts;
pub mod grip;
mod holding;
pub mod neck_keys;
mod neck_scroll;
pub mod neck_view;
pub mod neighbour;
pub mod pane;
mod signs;
mod slots;
pub mod targets;
pub mod view;
mod voicing_query;
pub mod voicings;
