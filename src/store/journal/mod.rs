//! The journal beside a lesson: every change since the last save, to be replayed after a crash.
//!
//! Each line is complete in itself ([`lines`]). A `base` line says which content of the file the
//! changes after it belong to, in which format they are written and by which version; there is one
//! at the top, with that content itself, and one more is written just before each save, so that a crash between the save and
//! the removal of the journal loses nothing and repeats nothing. A `change` line holds one
//! transaction. Every line is handed to the system in one piece, so a process that is killed loses
//! at most the line it was writing. `writing` appends, and writes all of it anew where a write has failed; `tail` is the
//! end of the file; `places` says where a journal lies and finds it again; `recovery` brings back, and carries over to
//! a file that another program has changed, by what the journal knows of the lesson's file (`on_file`). What could not be written is an `error`.
//!
//! Invariants: what cannot be brought back is kept under another name, whole, and never called
//! damaged because another version wrote it. What both sides have changed waits in the journal until somebody decides.

mod error;
pub mod lines;
mod on_file;
mod places;
mod recovery;
mod tail;
mod writing;

pub use error::JournalError;
pub use on_file::OnFile;
pub use places::Refuge;
pub(super) use places::is_left_behind;
pub use recovery::{CutOff, FileSince, Kept, Recovered, WhyKept, look_for_unsaved};
pub use tail::Unsynced;
pub use writing::Journal;
