//! The impure part of the workbench: the only place in it that knows a terminal, a file, a clock or a sound device.
//!
//! Start with `event_loop`, which accepts what comes (`events` waits for it, and `key_bytes` puts the bytes of a terminal
//! together to keys) and draws; [`workplace`] performs effects, each family in one place, on what is [`outside`]:
//! `terminal` is the screen and `loudspeaker` the sound. [`session`] has the files, with `opening`, `saving`, `journal_file`, `draft_file`, `library_file`,
//! `settings_file`, `handout_file`, `new_lesson`, `text_file`, `taking_over` and `path_names`, which completes file names. [`starting`] does what
//! comes before the first frame, `appearance_settings` chooses characters and colours, and `sync_times` says when the journal is
//! synced to the disk. `failing_disk` is a disk that fails on purpose. What a key or message changes is not decided here: `update` does that.

mod appearance_settings;
mod draft_file;
mod event_loop;
mod events;
mod failing_disk;
mod handout_file;
mod journal_file;
#[cfg(unix)]
mod key_bytes;
mod library_file;
mod loudspeaker;
mod new_lesson;
mod opening;
pub mod outside;
mod path_names;
mod saving;
pub mod session;
mod settings_file;
pub mod starting;
mod sync_times;
mod taking_over;
mod terminal;
mod text_file;
pub mod workplace;

pub use event_loop::{Ended, run};
pub use starting::{OpenFirst, RunOptions};
