//! The draft of the open lesson: kept as it changes, and told of when it cannot be, until it can again.

use std::path::PathBuf;

use crate::store::disk::Disk;
use crate::store::draft::{Draft, DraftError, DraftPlaces, clear_left_behind};
use crate::text::safe::printable;
use crate::workbench::messages::message::Message;

/// The draft of the open lesson.
#[derive(Debug, Default)]
pub(super) struct DraftFile {
    /// The draft as it was handed over last.
    last: Draft,
    stands: DraftStands,
    /// Where it was kept under names that the lesson had before, as long as something lies there, the later ones first.
    left_behind: Vec<PathBuf>,
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
    /// Returns the draft file of a lesson whose draft was found, and where it lies if it is not in its place.
    pub(super) fn found(draft: Draft, left_behind: Vec<PathBuf>) -> Self {
        Self { last: draft, stands: DraftStands::Kept, left_behind }
    }

    /// Returns whether the last draft could not be kept.
    pub(super) fn is_refused(&self) -> bool {
        self.stands == DraftStands::Refused
    }

    /// Keeps a draft at one of its places, and returns what there is to tell.
    pub(super) fn keep(&mut self, disk: &Disk, places: &DraftPlaces, draft: Draft) -> Option<Message> {
        self.last = draft;
        let kept = self.keep_last(disk, places);
        self.tell(kept)
    }

    /// Keeps the last draft where it could not be kept before, and returns what there is to tell.
    pub(super) fn retry(&mut self, disk: &Disk, places: &DraftPlaces) -> Option<Message> {
        if !self.is_refused() {
            return None;
        }
        let kept = self.keep_last(disk, places);
        self.tell(kept)
    }

    /// Takes the draft away, because nothing in it is wanted. Returns why it stays if it does, also where that was told before.
    pub(super) fn discard(&mut self, disk: &Disk, places: &DraftPlaces) -> Option<String> {
        self.last = Draft::default();
        let gone = self.keep_last(disk, places);
        self.stands = if gone.is_ok() { DraftStands::Kept } else { DraftStands::Refused };
        gone.err().map(|error| in_words(&error))
    }

    /// Takes the draft along where the lesson has another file now, and returns what there is to tell.
    pub(super) fn take_along(&mut self, disk: &Disk, from: &DraftPlaces, to: &DraftPlaces) -> Option<Message> {
        // One that this window has not written is that of another, whose lesson this was.
        if from == to || self.last.is_empty() {
            return None;
        }
        let taken = self.keep_last(disk, to).and_then(|()| from.keep(disk, &Draft::default()));
        self.tell(taken)
    }

    /// Returns what is lost now, or comes again, because the last draft could not be kept; for whoever leaves. The words are in it.
    pub(super) fn lost(&self) -> Option<String> {
        if !self.is_refused() {
            return None;
        }
        if self.last.is_empty() {
            return Some("what was answered already may come up again when the lesson is opened next".to_owned());
        }
        let fingers = Some(&self.last.fingers).filter(|fingers| !fingers.is_empty());
        let fingers = fingers.map(|fingers| format!("fingers on the fretboard: {fingers}"));
        let words = self.last.boxes.iter().map(|kept| format!("{}: {}", kept.about, kept.words));
        let all: Vec<String> = fingers.into_iter().chain(words).collect();
        Some(format!("what is not in the lesson could not be kept: {}", printable(&all.join("; "))))
    }

    /// Keeps the last draft, and takes the one away that it comes from.
    fn keep_last(&mut self, disk: &Disk, places: &DraftPlaces) -> Result<(), DraftError> {
        if !self.last.is_empty() {
            places.keep(disk, &self.last)?;
            // One that stays counts for nothing as long as this one is there.
            self.left_behind.retain(|path| clear_left_behind(disk, path).is_err());
            return Ok(());
        }
        // The later one last, so that nothing older than it comes up again.
        while let Some(path) = self.left_behind.last() {
            clear_left_behind(disk, path)?;
            self.left_behind.pop();
        }
        places.keep(disk, &self.last)
    }

    fn tell(&mut self, outcome: Result<(), DraftError>) -> Option<Message> {
        let now = if outcome.is_ok() { DraftStands::Kept } else { DraftStands::Refused };
        let before = std::mem::replace(&mut self.stands, now);
        match (before, outcome) {
            (DraftStands::Kept, Err(error)) => Some(Message::DraftFailed(in_words(&error))),
            (DraftStands::Refused, Ok(())) => Some(Message::DraftMended),
            (DraftStands::Kept, Ok(())) | (DraftStands::Refused, Err(_)) => None,
        }
    }
}

/// Returns why a draft is not kept, with what the system said.
fn in_words(error: &DraftError) -> String {
    let (DraftError::Write { source } | DraftError::Remove { source }) = error;
    format!("{error} ({source})")
}
