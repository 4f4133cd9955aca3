//! The command line: one file for each command, and the arguments in [`args`].
//!
//! Start with [`dispatch`]. A command writes its results to the given streams; nothing here draws a pane. Opening the
//! workbench is left to `main`, which alone knows both.

pub mod args;
pub mod batch;
mod by_name;
pub mod chapters;
pub mod check;
pub mod complaint;
pub mod demo;
pub mod dispatch;
pub mod fingering;
pub mod handout;
pub mod held_shape;
pub mod input;
pub mod lesson_file;
pub mod manual;
pub mod name;
pub mod new;
pub mod outcome;
pub mod output;
pub mod parse;
pub mod passage_out;
pub mod place;
pub mod progression;
pub mod read_tab;
pub mod render;
pub mod rig_args;
pub mod sound;
pub mod sound_args;
pub mod sound_out;
mod taken_for;
pub mod tunings;
pub mod unsaved_args;
pub mod voicings;
