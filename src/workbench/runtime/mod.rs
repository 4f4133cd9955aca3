//! The impure part: the only place of the workbench that knows a terminal, a file, a clock or a sound device.
//!
//! Start with `event_loop`, which takes in what comes (`events` waits for it) and draws; `workplace` performs effects,
//! each family of them in one place. `terminal` is the screen, `loudspeaker` what is heard, [`session`] the files:
//! with `library_file`, `handout_file`, `new_lesson`, `text_file` and `path_names`, which completes names. `starting` is what happens
//! before the first frame; `appearance_settings` says which characters and colours there are; `quiet` says when the journal
//! is brought to the disk itself.

mod appearance_settings;
mod event_loop;
mod events;
mod handout_file;
mod library_file;
mod loudspeaker;
mod new_lesson;
mod path_names;
mod provoked;
mod quiet;
pub mod session;
mod starting;
mod terminal;
mod text_file;
mod workplace;

pub use event_loop::{Ended, run};
pub use starting::{OpenFirst, RunOptions};
