//! The draft of the open lesson: kept as it changes, and told of when it cannot be, until it can again.

use crate::store::disk::Disk;
use crate::store::draft::{Draft, DraftError, DraftPlaces};
use crate::workbench::messages::message::Message;
use crate::workbench::messages::notice::Notice;

/// The draft of the open lesson.
#[derive(Debug, Default)]
pub(super) struct DraftFile {
    /// The draft as it was handed over last.
    last: Draft,
    stands: DraftStands,
}

/// Whether the last draft is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum DraftStands {
    #[default]
    Kept,
    /// It could not be, and that was told.
    Refused,
}

impl DraftFile {
    /// Returns the draft file of a lesson beside which a draft was found.
    pub(super) fn found(draft: Draft) -> Self {
        Self { last: draft, stands: DraftStands::Kept }
    }

    /// Returns whether the last draft could not be kept.
    pub(super) fn is_refused(&self) -> bool {
        self.stands == DraftStands::Refused
    }

    /// Keeps a draft at one of its places, and returns what there is to tell.
    pub(super) fn keep(&mut self, disk: &Disk, places: &DraftPlaces, draft: Draft) -> Option<Message> {
        self.last = draft;
        let kept = places.keep(disk, &self.last);
        self.tell(kept)
    }

    /// Keeps the last draft where it could not be kept before, and returns what there is to tell.
    pub(super) fn retry(&mut self, disk: &Disk, places: &DraftPlaces) -> Option<Message> {
        if !self.is_refused() {
            return None;
        }
        let kept = places.keep(disk, &self.last);
        self.tell(kept)
    }

    /// Takes the draft along where the lesson has another file now, and returns what there is to tell.
    pub(super) fn take_along(&mut self, disk: &Disk, from: &DraftPlaces, to: &DraftPlaces) -> Option<Message> {
        // One that this window has not written is that of another, whose lesson this was.
        if from == to || self.last.is_empty() {
            return None;
        }
        let taken = to.keep(disk, &self.last).and_then(|()| from.keep(disk, &Draft::default()));
        self.tell(taken)
    }

    fn tell(&mut self, outcome: Result<(), DraftError>) -> Option<Message> {
        let now = if outcome.is_ok() { DraftStands::Kept } else { DraftStands::Refused };
        let before = std::mem::replace(&mut self.stands, now);
        match (before, outcome) {
            (DraftStands::Kept, Err(error)) => {
                let (DraftError::Write { source } | DraftError::Remove { source }) = &error;
                Some(Message::Told(Notice::trouble(format!("{error} ({source})"))))
            }
            (DraftStands::Refused, Ok(())) => {
                Some(Message::Told(Notice::done("fingers and words in an open box would survive a crash again")))
            }
            (DraftStands::Kept, Ok(())) | (DraftStands::Refused, Err(_)) => None,
        }
    }
}
