//! What running work asks and says, and what is told of it beside its outcome.

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use crate::workbench::jobs::kind::JobKind;

/// How far a job is: so many parts of all its parts are done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct JobProgress {
    /// How many parts are done.
    pub done: u64,
    /// How many there are.
    pub all: u64,
}

/// What is told of a job beside its outcome.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Report {
    /// It is so far.
    Progress(JobKind, JobProgress),
    /// It ended by a fault of the program, of which these words tell.
    Fault(JobKind, String),
}

impl Report {
    /// Returns what a person is told.
    pub fn words(&self) -> String {
        match self {
            Self::Progress(kind, JobProgress { done, all }) => format!("{}: {done} of {all}", kind.words()),
            Self::Fault(kind, fault) => {
                format!("this is a fault of the program, not yours, while {}: {fault}", kind.words())
            }
        }
    }
}

/// The place of a job in its queue, by which it learns whether it should give up.
#[derive(Debug, Clone)]
pub(super) struct Ticket {
    pub(super) number: u64,
    /// Jobs with a lower number should give up; shared by the whole queue.
    pub(super) given_up_below: Arc<AtomicU64>,
}

impl Ticket {
    pub(super) fn is_cancelled(&self) -> bool {
        self.number < self.given_up_below.load(Ordering::Acquire)
    }
}

/// What running work asks and says.
pub struct Running<'a> {
    pub(super) kind: JobKind,
    pub(super) ticket: Ticket,
    pub(super) tell: &'a dyn Fn(Report),
}

impl Running<'_> {
    /// Returns whether nobody wants the outcome any more. Work that takes long asks between its parts and then ends; what
    /// it returns is not told.
    pub fn is_cancelled(&self) -> bool {
        self.ticket.is_cancelled()
    }

    /// Tells that `done` of `all` parts are done, unless nobody wants to know any more.
    pub fn progress(&self, done: u64, all: u64) {
        if !self.is_cancelled() {
            (self.tell)(Report::Progress(self.kind, JobProgress { done, all }));
        }
    }
}
