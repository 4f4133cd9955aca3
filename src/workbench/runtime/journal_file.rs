//! The journal of a session: changes go into it before the next key, it is brought to the disk, and it is told whether it works.

use std::path::Path;

use crate::lesson::history::Transaction;
use crate::store::fault::shown;
use crate::store::journal::JournalError;
use crate::store::open_lesson::{Access, OpenLesson};
use crate::workbench::jobs::kind::JobKind;
use crate::workbench::jobs::queue::Jobs;
use crate::workbench::jobs::running::Running;
use crate::workbench::messages::message::Message;
use crate::workbench::messages::notice::Notice;
use crate::workbench::runtime::session::{FilePlace, JournalStands, Session, Syncing};

impl Session {
    /// Syncs the journal to the disk before leaving. Returns the reason if that may have failed.
    pub fn sync(&mut self, jobs: &mut Jobs<Message>) -> Option<String> {
        // A running sync is waited for; its job reports why it failed.
        if std::mem::replace(&mut self.syncing, Syncing::Idle) == Syncing::Behind {
            let _ = jobs.wait(JobKind::Journal, |_| None);
        }
        self.file.as_mut().and_then(|file| file.sync().err()).map(|error| with_hint(&error))
    }

    /// Closes the open lesson. Its unsaved changes stay in its journal, synced to the disk.
    pub(super) fn let_go(&mut self, jobs: &mut Jobs<Message>) -> Vec<Message> {
        let unconfirmed = self.sync(jobs);
        let lost = self.lost_draft();
        self.file = None;
        unconfirmed.into_iter().chain(lost).map(|trouble| Message::Told(Notice::trouble(trouble))).collect()
    }

    /// Throws the changes away that are not saved, and closes the lesson.
    pub(super) fn discard(&mut self) -> Message {
        // Whoever throws the changes away does not want what was no change yet.
        let stays = self.discard_draft();
        let discarded = self.file.take().map_or(Ok(()), OpenLesson::discard);
        Message::Discarded(match (discarded, stays) {
            (Err(JournalError::Unconfirmed { source, .. }), stays) => {
                let back = "a power cut may bring them back: the disk did not confirm that they are gone";
                let stays = stays.map_or_else(String::new, |stays| format!("; {stays}"));
                Err(format!("the changes were deleted, but {back} ({source}){stays}"))
            }
            (Err(error), _) => {
                Err(format!("the changes were not deleted, and come back next time: {}", with_hint(&error)))
            }
            (Ok(()), Some(stays)) => Err(format!("the changes were deleted, but {stays}")),
            (Ok(()), None) => Ok(()),
        })
    }

    /// Returns the number of changes so far, if some of them may not be on the disk.
    pub fn unsynced(&self) -> Option<u64> {
        self.file.as_ref().filter(|file| file.is_unsynced()).map(|_| self.changes)
    }

    /// Starts a background job that syncs the journal to the disk and reports a failure.
    pub fn sync_behind(&mut self, jobs: &mut Jobs<Message>) -> Option<Message> {
        let unsynced = self.file.as_mut().and_then(OpenLesson::take_unsynced)?;
        self.syncing = Syncing::Behind;
        let sync = move |_: &Running<'_>| {
            let failed = unsynced.sync().err();
            failed.map(|error| Message::Told(Notice::trouble(with_hint(&error))))
        };
        jobs.start(JobKind::Journal, sync)
    }

    pub(super) fn record(&mut self, changes: &[Transaction]) -> Vec<Message> {
        let Some(file) = &mut self.file else { return Vec::new() };
        self.changes = self.changes.saturating_add(1);
        let failed = changes.iter().filter_map(|change| file.record(change).err()).last();
        let journal = self.heard_of_journal(failed.as_ref());
        journal.into_iter().chain(self.heard_of_file()).collect()
    }

    /// Returns that the file of the lesson is gone from its place, once.
    fn heard_of_file(&mut self) -> Option<Message> {
        let file = self.file.as_ref().filter(|file| *file.access() == Access::Full)?;
        let now = if file.is_gone() { FilePlace::Gone } else { FilePlace::AsBefore };
        let before = std::mem::replace(&mut self.place, now);
        if before == now || now == FilePlace::AsBefore {
            return None;
        }
        let name = |path: &Path| shown(Path::new(path.file_name().unwrap_or_default()));
        let what = match file.renamed_to() {
            Some(other) => format!("the file of this lesson is called {} now", name(&other)),
            None => format!("{} is gone: another program renamed, moved or deleted it", name(file.path())),
        };
        Some(Message::Told(Notice::trouble(format!("{what}; {{Desk(Save)}} asks where to save"))))
    }

    /// Tries again what could not be written: the journal, the draft and the settings. Returns what there is to tell.
    pub fn retry(&mut self, jobs: &mut Jobs<Message>) -> Vec<Message> {
        let failed = self.file.as_mut().and_then(|file| file.retry().err());
        let journal = self.file.is_some().then(|| self.heard_of_journal(failed.as_ref())).flatten();
        let draft = self.retry_draft();
        journal.into_iter().chain(draft).chain(self.settings.retry(jobs)).collect()
    }

    /// Returns whether something could not be written that is to be tried again.
    pub fn waits_for_retry(&self) -> bool {
        self.is_unprotected() || (self.file.is_some() && self.draft.is_refused()) || self.settings.is_refused()
    }

    /// Returns whether there are changes that are neither in the file nor in the journal.
    pub fn is_unprotected(&self) -> bool {
        self.file.as_ref().is_some_and(OpenLesson::is_unprotected)
    }

    /// Returns what there is to tell of the journal: that it has stopped, and that it works again.
    pub(super) fn heard_of_journal(&mut self, failed: Option<&JournalError>) -> Option<Message> {
        let now = if self.is_unprotected() { JournalStands::Stopped } else { JournalStands::Working };
        let before = std::mem::replace(&mut self.journal, now);
        match (before, self.journal, failed) {
            (_, JournalStands::Stopped, Some(error)) => Some(Message::JournalFailed(unprotected(error))),
            (JournalStands::Stopped, JournalStands::Working, _) => Some(Message::JournalMended),
            (_, _, Some(error)) => Some(Message::Told(Notice::trouble(with_hint(error)))),
            (_, _, None) => None,
        }
    }
}

/// Returns what is wrong with the journal and what to do about it, in words.
fn with_hint(error: &JournalError) -> String {
    format!("{error}; {}", error.hint())
}

/// Says that a journal has stopped, for as long as it has.
fn unprotected(error: &JournalError) -> String {
    format!("no journal, so that a crash would lose what is not saved; save the lesson ({error})")
}
