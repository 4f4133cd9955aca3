//! The lesson that is open: what it holds, what can be undone, and what is not saved yet.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::instrument::rig::Rig;
use crate::lesson::check::{Finding, Remedy, choices_with, remedy};
use crate::lesson::document::{Lesson, Segment, Setup};
use crate::lesson::fresh::{IdSource, Seed};
use crate::lesson::history::{Change, Transaction, TransactionError};
use crate::lesson::id::{Identity, SegmentId};
use crate::lesson::touched::Touched;
use crate::store::open_lesson::{Access, ReadOnly, SavedState};
use crate::workbench::editing::rigs::standard_guitar;
use crate::workbench::editing::undecided::Undecided;
use crate::workbench::keys::action::changes::Changes;

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

/// Whether what is not saved would survive a crash.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Protection {
    /// It is in the journal.
    #[default]
    Journal,
    /// Some of it is nowhere but here; says why.
    Nothing(String),
}

/// A change that was refused, and why.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ChangeError {
    /// The lesson is open for reading only.
    #[error("not changed: this lesson is open for reading only ({0})")]
    ReadOnly(ReadOnly),
    /// What is being done was declared to change nothing: a fault of ours.
    #[error("not changed: what was asked for is not meant to change the lesson")]
    Undeclared,
    /// The edit does not fit the lesson.
    #[error("not changed: {0}")]
    Edit(String),
}

impl From<TransactionError> for ChangeError {
    fn from(error: TransactionError) -> Self {
        Self::Edit(format!("{error}: {}", error.source))
    }
}

/// A change of the open lesson, and how the lesson stood on both sides of it.
#[derive(Debug, Clone, PartialEq)]
pub struct MadeChange {
    /// The change.
    pub change: Change,
    /// Whether it stands for itself or in the place of the change before it.
    pub stands: PlaceInHistory,
    before: Version,
    after: Version,
}

/// Whether a change stands for itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PlaceInHistory {
    /// It stands for itself.
    ForItself,
    /// It stands in the place of the one before, and both are one.
    InPlaceOfTheLast,
}

/// What became of a change that was to take the place of the last.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Replacement {
    /// It took the place of the last.
    Done,
    /// There is no last change that it could take the place of.
    NothingLast,
}

/// One of the ways the lesson has stood: what is taken back stands as it stood before.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Version(u64);

/// What is known of the lesson's file and its journal.
#[derive(Debug, Clone, Default)]
struct KeptState {
    saving: Saving,
    protection: Protection,
    /// The versions of things that another program has changed as well.
    undecided: Undecided,
}

/// The lesson that is open, and what was changed in it since it was opened.
#[derive(Debug, Clone)]
pub struct EditedLesson {
    lesson: Arc<Lesson>,
    path: PathBuf,
    access: Access,
    kept: KeptState,
    revision: u64,
    /// How the lesson stands, and how it stands in its file, if that is known.
    stands: Version,
    saved: Option<Version>,
    /// What was changed since it was asked for last.
    made: Option<MadeChange>,
    /// The change that the next one may take the place of.
    last: Option<MadeChange>,
    journal: Vec<Transaction>,
    touched: Touched,
    ids: IdSource,
    /// What is declared of what is being done.
    declared: Changes,
    /// Whether something has tried to change the lesson that was declared not to.
    undeclared: bool,
}

impl EditedLesson {
    /// Opens `lesson`, kept at `path`; new identities are drawn from `seed` on. It is closed to changes until some are
    /// declared ([`EditedLesson::expect`]).
    pub fn new(lesson: Lesson, path: PathBuf, access: Access, state: SavedState, seed: Seed) -> Self {
        let stands = Version(0);
        let saved = match state {
            SavedState::Saved => Some(stands),
            SavedState::Unsaved => None,
        };
        let ids = IdSource::new(seed, &lesson);
        Self {
            lesson: Arc::new(lesson),
            path,
            access,
            kept: KeptState::default(),
            revision: 0,
            stands,
            saved,
            made: None,
            last: None,
            journal: Vec::new(),
            touched: Touched::everything(),
            ids,
            declared: Changes::Never,
            undeclared: false,
        }
    }

    /// Counts changes as made, in order, and returns them to be taken back: `saved` led to what the file holds, and `since` from there
    /// to the lesson as it stands.
    pub fn go_on_behind(&mut self, saved: Vec<Change>, since: Vec<Change>) -> Vec<MadeChange> {
        let is_known = self.saved.is_some() || !since.is_empty();
        let mut made: Vec<MadeChange> = saved.into_iter().map(|change| self.count_as_made(change)).collect();
        if is_known {
            self.saved = Some(self.stands);
        }
        made.extend(since.into_iter().map(|change| self.count_as_made(change)));
        made
    }

    fn count_as_made(&mut self, change: Change) -> MadeChange {
        self.revision += 1;
        let before = std::mem::replace(&mut self.stands, Version(self.revision));
        MadeChange { change, stands: PlaceInHistory::ForItself, before, after: self.stands }
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

    /// Returns what may be done with its file; one that is for reading only is not changed either.
    pub const fn access(&self) -> &Access {
        &self.access
    }

    /// Returns how saving goes.
    pub const fn saving(&self) -> Saving {
        self.kept.saving
    }

    /// Returns whether what is not saved would survive a crash.
    pub const fn protection(&self) -> &Protection {
        &self.kept.protection
    }

    /// Returns the versions of things that another program has changed as well.
    pub const fn undecided(&self) -> &Undecided {
        &self.kept.undecided
    }

    /// Returns the same, to be decided about.
    pub const fn undecided_mut(&mut self) -> &mut Undecided {
        &mut self.kept.undecided
    }

    /// Takes note of whether what is not saved would survive a crash.
    pub fn protect(&mut self, protection: Protection) {
        self.kept.protection = protection;
    }

    /// Returns whether the file holds what is on the screen.
    pub fn is_saved(&self) -> bool {
        self.saved == Some(self.stands)
    }

    /// Returns a number that differs after every change.
    pub const fn revision(&self) -> u64 {
        self.revision
    }

    /// Notes what is declared of what is done next: the lesson is closed to changes where there are to be none.
    pub const fn expect(&mut self, declared: Changes) {
        self.declared = declared;
    }

    /// Returns whether something has tried to change the lesson since the last call that was declared not to.
    pub const fn take_undeclared(&mut self) -> bool {
        std::mem::replace(&mut self.undeclared, false)
    }

    /// Notes that the lesson is being written.
    pub const fn begin_saving(&mut self) {
        self.kept.saving = Saving::Running;
    }

    /// Notes that the lesson was written as it stands, to its file from now on.
    pub fn end_saving(&mut self, path: PathBuf) {
        self.path = path;
        self.kept.saving = Saving::Idle;
        self.saved = Some(self.stands);
    }

    /// Notes that the lesson could not be written.
    pub const fn fail_saving(&mut self) {
        self.kept.saving = Saving::Failed;
    }

    /// Takes out what was changed since the last call, for the journal.
    pub fn take_journal(&mut self) -> Vec<Transaction> {
        std::mem::take(&mut self.journal)
    }

    /// Returns what may have been changed since the last call; at first, everything.
    pub fn take_touched(&mut self) -> Touched {
        std::mem::take(&mut self.touched)
    }

    /// Draws an identity for something new, which nothing in the lesson or its history has.
    pub fn new_id<Id: Identity>(&mut self) -> Id {
        self.ids.draw(&self.lesson)
    }

    /// Returns what mends `finding`; `None` where a person must decide.
    pub fn remedy(&mut self, finding: &Finding) -> Option<Remedy> {
        remedy(&self.lesson, finding, &mut self.ids)
    }

    /// Returns the ways to mend `finding` between which a person must choose, to be made.
    pub fn choices(&mut self, finding: &Finding) -> Vec<Remedy> {
        choices_with(&self.lesson, finding, &mut self.ids)
    }

    /// Makes one change, all or nothing; what changes nothing leaves no trace.
    ///
    /// Errors: the change does not fit, or the lesson is closed to changes; nothing is changed.
    pub fn change(&mut self, transaction: Transaction) -> Result<(), ChangeError> {
        self.demand_access()?;
        if transaction.edits.is_empty() {
            return Ok(());
        }
        let change = Change::make(Arc::make_mut(&mut self.lesson), transaction.clone())?;
        self.note(transaction);
        let before = std::mem::replace(&mut self.stands, Version(self.revision));
        match &mut self.made {
            Some(made) => {
                made.change.join(change);
                made.after = self.stands;
            }
            None => {
                self.made = Some(MadeChange { change, stands: PlaceInHistory::ForItself, before, after: self.stands });
            }
        }
        Ok(())
    }

    /// Makes another change in the place of the last, as one change: `make` sees the lesson as it was before that, and
    /// returns nothing where it is to stay so. Returns whether there was a change to take the place of.
    ///
    /// Errors: those of [`EditedLesson::change`].
    pub fn change_instead(
        &mut self,
        make: impl FnOnce(&Lesson) -> Option<Transaction>,
    ) -> Result<Replacement, ChangeError> {
        self.demand_access()?;
        let Some(last) = self.last.take_if(|last| last.after == self.stands) else {
            return Ok(Replacement::NothingLast);
        };
        let lesson = Arc::make_mut(&mut self.lesson);
        let back = last.change.taking_back();
        lesson.apply_all(back.edits.clone())?;
        let wanted = make(lesson).unwrap_or_else(|| Transaction { edits: Vec::new(), ..back.clone() });
        let edits = back.edits.into_iter().chain(wanted.edits.iter().cloned()).collect();
        let whole = Transaction { edits, ..wanted.clone() };
        let change = match Change::make(lesson, wanted) {
            Ok(change) => change,
            Err(error) => {
                lesson.apply_all(last.change.making_again().edits)?;
                self.last = Some(last);
                return Err(error.into());
            }
        };
        self.note(whole);
        // Where nothing is left of either, the lesson stands as it stood.
        self.stands = if change.is_empty() { last.before } else { Version(self.revision) };
        self.made = Some(MadeChange {
            change,
            stands: PlaceInHistory::InPlaceOfTheLast,
            before: last.before,
            after: self.stands,
        });
        Ok(Replacement::Done)
    }

    /// Takes out what was changed since the last call, to be taken back as one.
    pub fn take_made(&mut self) -> Option<MadeChange> {
        self.made.take()
    }

    /// Says which change the next may take the place of: what the last key did, if it did nothing else.
    pub fn keep_last(&mut self, last: Option<MadeChange>) {
        self.last = last;
    }

    /// Takes back the change that was made last.
    ///
    /// Errors: it does not fit; nothing is changed.
    pub fn take_back(&mut self, made: &MadeChange) -> Result<(), ChangeError> {
        self.go(made.change.taking_back(), made.before)
    }

    /// Makes the change again that was taken back last.
    ///
    /// Errors: it does not fit; nothing is changed.
    pub fn make_again(&mut self, made: &MadeChange) -> Result<(), ChangeError> {
        self.go(made.change.making_again(), made.after)
    }

    fn go(&mut self, transaction: Transaction, to: Version) -> Result<(), ChangeError> {
        self.demand_access()?;
        Arc::make_mut(&mut self.lesson).apply_all(transaction.edits.clone())?;
        self.note(transaction);
        (self.stands, self.last) = (to, None);
        Ok(())
    }

    fn demand_access(&mut self) -> Result<(), ChangeError> {
        if !self.declared.may_change_lesson() {
            self.undeclared = true;
            return Err(ChangeError::Undeclared);
        }
        match &self.access {
            Access::Full => Ok(()),
            Access::ReadOnly(why) => Err(ChangeError::ReadOnly(why.clone())),
        }
    }

    fn note(&mut self, change: Transaction) {
        if !change.edits.is_empty() {
            self.touched.note(&change.edits);
            self.ids.note(&change.edits);
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
