//! What a key did to the library, so that undo can take it back.

use crate::lesson::history::Reason;
use crate::store::library::{LibraryChange, LibraryVoicing};

/// What a key did to the library.
#[derive(Debug, Clone, PartialEq)]
pub enum Shelved {
    /// Put a voicing in that was not there.
    PutIn(LibraryVoicing),
    /// Kept a voicing that was there already.
    Renewed(LibraryVoicing),
    /// Took a voicing out.
    TakenOut(LibraryVoicing),
    /// Gave a voicing other tags.
    Tagged(LibraryChange),
    /// Made one of voicings that are the same.
    Joined(LibraryChange),
}

impl Shelved {
    /// Returns what to say after "undone" or "done again", where the lesson was not changed.
    pub const fn label(&self) -> &'static str {
        match self {
            Self::PutIn(_) | Self::Renewed(_) => Reason::SaveVoicing.label(),
            Self::TakenOut(_) => "voicing deleted from the library",
            Self::Tagged(_) => Reason::TagVoicing.label(),
            Self::Joined(_) => "voicings joined",
        }
    }

    /// Returns whether undo has something to do for it, or to say of it, where the key did nothing else.
    pub const fn counts(&self) -> bool {
        match self {
            Self::PutIn(_) | Self::TakenOut(_) | Self::Tagged(_) | Self::Joined(_) => true,
            Self::Renewed(_) => false,
        }
    }
}
