//! Why a change did not reach the journal.

use std::io;
use std::path::PathBuf;

use crate::store::fault::shown;

/// Why a change did not reach the journal. The lesson itself is not affected.
#[derive(Debug, thiserror::Error)]
pub enum JournalError {
    /// The system refused.
    #[error("{}: the journal cannot be written: {source}", shown(path))]
    Write {
        /// The journal.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// The disk did not confirm what was written.
    #[error("{}: the disk did not confirm the last changes, and a power cut may take them: {source}", shown(path))]
    Unconfirmed {
        /// The journal.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// Changes that are not wanted any more could not be taken out of it.
    #[error(
        "{}: the journal cannot be deleted, and its changes will come back at the next opening: {source}",
        shown(path)
    )]
    Stays {
        /// The journal.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// The change holds something that would not read back.
    #[error("{}: this change cannot be written to the journal: {reason}", shown(path))]
    Unwritable {
        /// The journal.
        path: PathBuf,
        /// What.
        reason: String,
    },
    /// An earlier change would not read back, and those after it are worth nothing without it.
    #[error("{}: the journal has stopped since an earlier change could not be written", shown(path))]
    Stopped {
        /// The journal.
        path: PathBuf,
    },
    /// An older journal lies in its place.
    #[error("{}: an older journal lies here and cannot be moved away", shown(path))]
    InTheWay {
        /// The journal.
        path: PathBuf,
    },
}

impl JournalError {
    /// Returns what to do about it.
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::Write { .. } | Self::Unwritable { .. } | Self::Stopped { .. } | Self::InTheWay { .. } => {
                "save the lesson: until then, a crash would lose the changes made since the last save"
            }
            Self::Unconfirmed { .. } => "save the lesson",
            Self::Stays { .. } => "move the file away by hand",
        }
    }
}
