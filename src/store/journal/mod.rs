//! The journal beside a lesson: every change since the last save, to be replayed after a crash.
//!
//! Each line is complete in itself ([`lines`]). A `base` line says which content of the file the
//! changes after it belong to, in which format they are written and by which version; there is one
//! at the top, and one more is written just before each save, so that a crash between the save and
//! the removal of the journal loses nothing and repeats nothing. A `change` line holds one
//! transaction. Every line is handed to the system in one piece, so a process that is killed loses
//! at most the line it was writing. `writing` appends, `recovery` brings back.
//!
//! Invariants: what cannot be brought back is kept under another name, whole, and never called
//! damaged because another version wrote it.

pub mod lines;
mod recovery;
mod writing;

pub use recovery::{CutOff, Kept, Recovered, WhyKept};
pub use writing::{Journal, JournalError, Unsynced};
