//! What running work asks and reports, apart from its outcome. The queues are not here; see [`queue`](super::queue).

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use crate::workbench::jobs::kind::JobKind;

/// The progress of a job: how many of its parts are done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct JobProgress {
    /// The number of parts that are done.
    pub done: u64,
    /// The number of all parts.
    pub all: u64,
}

/// What is reported about a job apart from its outcome.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Report {
    /// The job has come this far.
    Progress(JobKind, JobProgress),
    /// The job ended by a fault of the program, which these words describe.
    Fault(JobKind, String),
}

impl Report {
    /// Returns the words that the person reads.
    pub fn words(&self) -> String {
        match self {
            Self::Progress(kind, JobProgress { done, all }) => format!("{}: {done} of {all}", kind.words()),
            Self::Fault(kind, fault) => {
                format!("this is a fault of the program, not yours, while {}: {fault}", kind.words())
            }
        }
    }
}

/// The place of a job in its queue, from which the job learns whether it should give up.
#[derive(Debug, Clone)]
pub(super) struct Ticket {
    pub(super) number: u64,
    /// Jobs with a lower number are to give up. The whole queue shares this number.
    pub(super) given_up_below: Arc<AtomicU64>,
}

impl Ticket {
    pub(super) fn is_cancelled(&self) -> bool {
        self.number < self.given_up_below.load(Ordering::Acquire)
    }
}

/// The handle by which running work asks whether to give up and reports its progress.
pub struct Running<'a> {
    pub(super) kind: JobKind,
    pub(super) ticket: Ticket,
    pub(super) tell: &'a dyn Fn(Report),
}

impl Running<'_> {
    /// Returns whether nobody wants the outcome any more. Work that takes long asks this between its parts and ends
    /// when it is `true`; its outcome is then not reported.
    pub fn is_cancelled(&self) -> bool {
        self.ticket.is_cancelled()
    }

    /// Reports that `done` of `all` parts are done, unless the job was given up.
    pub fn progress(&self, done: u64, all: u64) {
        if !self.is_cancelled() {
            (self.tell)(Report::Progress(self.kind, JobProgress { done, all }));
        }
    }
}
