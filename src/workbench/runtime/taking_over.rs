//! A lesson that another window had is opened for writing when that window is gone. What is said of it is not decided here.

use crate::store::draft::Draft;
use crate::store::fault::with_hint;
use crate::store::lock;
use crate::store::open_lesson::{Access, OpenLesson, ReadOnly};
use crate::workbench::jobs::queue::Jobs;
use crate::workbench::messages::message::Message;
use crate::workbench::messages::notice::Notice;
use crate::workbench::runtime::session::{LockNews, Session};

impl Session {
    /// Returns whether the lesson is open for reading only because another window has it, and nobody was told yet that it let go.
    pub fn waits_for_lock(&self) -> bool {
        self.lock == LockNews::None && self.file.as_ref().is_some_and(is_elsewhere)
    }

    /// Looks whether the other window has let go of the lesson; returns that once.
    pub fn look_for_lock(&mut self) -> Option<Message> {
        let file = self.file.as_ref().filter(|file| is_elsewhere(file))?;
        let is_news = self.lock == LockNews::None && lock::is_free(file.path());
        is_news.then(|| {
            self.lock = LockNews::Told;
            Message::LockFree
        })
    }

    /// Opens the lesson again, for writing and with what waits in its journal, where no other window has it any more. Fingers
    /// that were on the fretboard are there again.
    pub(super) fn open_for_writing(&mut self, fingers: Draft, jobs: &mut Jobs<Message>) -> Vec<Message> {
        let Some(file) = self.file.as_ref().filter(|file| is_elsewhere(file)) else { return Vec::new() };
        // A file that is open elsewhere holds no lock here that could be in its own way.
        let trouble = match OpenLesson::open_with(&self.disk(), file.path(), &self.refuge()) {
            Ok(again) => match again.file.access() {
                Access::ReadOnly(why @ ReadOnly::OpenElsewhere(_)) => {
                    // It may let go later, and that is news again.
                    self.lock = LockNews::None;
                    format!("still for reading only: {why}")
                }
                Access::ReadOnly(_) | Access::Full => {
                    let opened = self.opened(again);
                    let mut told = self.with_its_library(opened, jobs);
                    // Fingers that a crash has left in the other window come first.
                    if !fingers.is_empty() && !told.iter().any(|message| matches!(message, Message::Drafted(_))) {
                        told.push(Message::Drafted(Box::new(fingers)));
                    }
                    return told;
                }
            },
            Err(error) => format!("still for reading only: {}", with_hint(&error, error.hint())),
        };
        vec![Message::Told(Notice::trouble(trouble))]
    }
}

fn is_elsewhere(file: &OpenLesson) -> bool {
    matches!(file.access(), Access::ReadOnly(ReadOnly::OpenElsewhere(_)))
}
