//! Text tab: passages laid out into systems, read back in, chord grids, the legend, handout pages.
//!
//! Start with [`style`] (what a caller asks for and gets), then [`passage`] and [`read`], which share the signs of lengths and strokes (`signs`)
//! and those over and under the strings (`marks`) and know which notes are tied (`ties`); [`grid`] draws chord grids
//! (`grid_names` tells those of one name apart), [`handout`] pages of all of it. All of it is text in
//! and text out: no terminal, no file, no clock. Text from a lesson is cleaned of control
//! characters before it is laid out.

pub mod grid;
mod grid_names;
pub mod handout;
mod marks;
pub mod passage;
pub mod read;
mod signs;
pub mod style;
mod ties;
