//! The impure part: the only place of the workbench that knows a terminal, a file, a clock or a sound device.
//!
//! Start with `event_loop`, which reads events, performs effects and reports back; [`session`] has the files, `player`
//! the sound, `terminal` the screen; `quiet` says when the journal is brought to the disk itself.

mod chosen_appearance;
mod event_loop;
mod path_names;
mod player;
mod provoked;
mod quiet;
pub mod session;
mod terminal;

pub use event_loop::{Ended, OpenFirst, RunOptions, run};
