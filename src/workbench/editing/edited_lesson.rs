//! The lesson that is open: what it holds, what can be undone, and what is not saved yet.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::instrument::rig::Rig;
use crate::lesson::document::{Lesson, Segment, Setup};
use crate::lesson::history::{History, Merge, Transaction, TransactionError};
use crate::lesson::id::SegmentId;
use crate::lesson::touched::Touched;
use crate::workbench::editing::rigs::standard_guitar;

/// How saving goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Saving {
    /// Nothing is being written.
    #[default]
    Idle,
    /// The lesson is being written.
    Running,
    /// The last try failed.
    Failed,
}

/// Whether the lesson may be changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Access {
    /// It may.
    Free,
    /// It may not, and why.
    ReadOnly(String),
}

/// Whether the file holds what was opened.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// It does.
    File,
    /// There is more than the file holds: recovered from the journal, or never saved.
    Unsaved,
}

/// A change that was refused, and why.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ChangeError {
    /// The lesson is open for reading only.
    #[error("not changed: this lesson is open for reading only ({0})")]
    ReadOnly(String),
    /// The edit does not fit the lesson.
    #[error("not changed: {0}")]
    Edit(String),
}

impl From<TransactionError> for ChangeError {
    fn from(error: TransactionError) -> Self {
        Self::Edit(format!("{error}: {}", error.source))
    }
}

/// A lesson with its history.
#[derive(Debug, Clone)]
pub struct EditedLesson {
    lesson: Arc<Lesson>,
    path: PathBuf,
    access: Access,
    history: History,
    saving: Saving,
    revision: u64,
    journal: Vec<Transaction>,
    touched: Touched,
}

impl EditedLesson {
    /// Opens `lesson`, kept at `path`.
    pub fn new(lesson: Lesson, path: PathBuf, access: Access, origin: Origin) -> Self {
        let history = match origin {
            Origin::File => History::new(),
            Origin::Unsaved => History::unsaved(),
        };
        let lesson = Arc::new(lesson);
        let (saving, touched) = (Saving::Idle, Touched::everything());
        Self { lesson, path, access, history, saving, revision: 0, journal: Vec::new(), touched }
    }

    /// Returns what it holds.
    pub fn lesson(&self) -> &Lesson {
        &self.lesson
    }

    /// Returns what it holds now, for whoever works on it while it goes on being changed.
    pub const fn shared(&self) -> &Arc<Lesson> {
        &self.lesson
    }

    /// Returns where it is kept.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Returns whether it may be changed.
    pub const fn access(&self) -> &Access {
        &self.access
    }

    /// Returns how saving goes.
    pub const fn saving(&self) -> Saving {
        self.saving
    }

    /// Returns whether the file holds what is on the screen.
    pub fn is_saved(&self) -> bool {
        self.history.is_saved()
    }

    /// Returns a number that differs after every change.
    pub const fn revision(&self) -> u64 {
        self.revision
    }

    /// Notes that the lesson is being written.
    pub const fn begin_saving(&mut self) {
        self.saving = Saving::Running;
    }

    /// Notes that the lesson was written as it stands, to its file from now on.
    pub fn end_saving(&mut self, path: PathBuf) {
        self.path = path;
        self.saving = Saving::Idle;
        self.history.mark_saved();
    }

    /// Notes that the lesson could not be written.
    pub const fn fail_saving(&mut self) {
        self.saving = Saving::Failed;
    }

    /// Takes out what was changed since the last call, for the journal.
    pub fn take_journal(&mut self) -> Vec<Transaction> {
        std::mem::take(&mut self.journal)
    }

    /// Returns what may have been changed since the last call; at first, everything.
    pub fn take_touched(&mut self) -> Touched {
        std::mem::take(&mut self.touched)
    }

    /// Makes one change, all or nothing. On error nothing is changed.
    pub fn change(&mut self, transaction: Transaction) -> Result<(), ChangeError> {
        if let Access::ReadOnly(why) = &self.access {
            return Err(ChangeError::ReadOnly(why.clone()));
        }
        self.history.apply(Arc::make_mut(&mut self.lesson), transaction.clone(), Merge::Never)?;
        self.note(transaction);
        Ok(())
    }

    /// Returns how many changes stand that can be taken back.
    pub const fn changes(&self) -> usize {
        self.history.undo_count()
    }

    /// Takes the last change back; returns what was applied to do so, if there was anything.
    pub(in crate::workbench) fn undo(&mut self) -> Result<Option<Transaction>, ChangeError> {
        let undone = self.history.undo(Arc::make_mut(&mut self.lesson))?;
        if let Some(undone) = &undone {
            self.note(undone.clone());
        }
        Ok(undone)
    }

    /// Makes the change again that was taken back last; returns what was applied, if anything.
    pub(in crate::workbench) fn redo(&mut self) -> Result<Option<Transaction>, ChangeError> {
        let redone = self.history.redo(Arc::make_mut(&mut self.lesson))?;
        if let Some(redone) = &redone {
            self.note(redone.clone());
        }
        Ok(redone)
    }

    fn note(&mut self, change: Transaction) {
        if !change.edits.is_empty() {
            self.touched.note(&change.edits);
            self.journal.push(change);
            self.revision += 1;
        }
    }

    /// Returns a segment.
    pub fn segment(&self, segment: SegmentId) -> Option<&Segment> {
        self.lesson.segment(segment)
    }

    /// Returns the setup a segment is played in; without a segment, the lesson's first.
    pub fn setup_at(&self, segment: Option<SegmentId>) -> Option<&Setup> {
        match segment {
            Some(segment) => self.lesson.segment_setup(segment),
            None => self.lesson.setups.first(),
        }
    }

    /// Returns what the strings do in a segment; where the lesson does not say, or what it says does
    /// not fit together, a guitar in standard tuning and the reason.
    pub fn rig_at(&self, segment: Option<SegmentId>) -> (Rig, Option<String>) {
        let Some(setup) = self.setup_at(segment) else { return (standard_guitar(), None) };
        match self.lesson.rig(setup) {
            Ok(rig) => (rig, None),
            Err(error) => (standard_guitar(), Some(format!("{}: {error}", setup.name))),
        }
    }
}
