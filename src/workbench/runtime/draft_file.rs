//! The draft beside the open lesson: kept as it changes, and told of when it cannot be.

use std::path::Path;

use crate::store::disk::Disk;
use crate::store::draft::{self, Draft, DraftError};
use crate::workbench::messages::message::Message;
use crate::workbench::messages::notice::Notice;

/// Keeps the draft of the open lesson.
#[derive(Debug, Default)]
pub(super) struct DraftFile {
    /// Whether it could not be kept last time; that is told once until it works again.
    has_failed: bool,
}

impl DraftFile {
    /// Keeps a draft beside a lesson, and returns what there is to tell.
    pub(super) fn keep(&mut self, disk: &Disk, lesson: &Path, draft: &Draft) -> Option<Message> {
        self.tell(draft::keep_on(disk, lesson, draft))
    }

    /// Takes the draft along where the lesson has another file now, and returns what there is to tell.
    pub(super) fn take_along(&mut self, disk: &Disk, from: &Path, to: &Path) -> Option<Message> {
        self.tell(draft::take_along(disk, from, to))
    }

    fn tell(&mut self, outcome: Result<(), DraftError>) -> Option<Message> {
        let said_before = std::mem::replace(&mut self.has_failed, outcome.is_err());
        let error = outcome.err().filter(|_| !said_before)?;
        let (DraftError::Write { source } | DraftError::Remove { source }) = &error;
        Some(Message::Told(Notice::trouble(format!("{error} ({source})"))))
    }
}
