//! What was done last in all lessons, in a small file of the program's own: the latest first, and only so many.
//!
//! Nothing depends on such a file: where it cannot be read, nothing is known, and it is left as it is.

use std::path::PathBuf;

use super::folders::Folders;
use super::user_file::{self, Patience, UpdateError, UserFile};

/// A file that remembers what was done last.
pub(super) trait Latest: UserFile {
    /// One thing that was done.
    type Entry: Clone;
    /// How many are remembered.
    const KEPT: usize;

    /// Returns where the file lies.
    fn path(folders: &Folders) -> PathBuf;

    /// Returns what is remembered, the latest first.
    fn entries(&mut self) -> &mut Vec<Self::Entry>;

    /// Returns what is known; nothing where that cannot be read.
    fn known(folders: &Folders) -> Self {
        user_file::load(&Self::path(folders)).unwrap_or_default()
    }

    /// Remembers `newest`, if there is something to remember, in the place of what it `replaces`. Nobody waits long for another window
    /// here.
    ///
    /// Errors: the file cannot be read or written; what was there is still there.
    fn put_first(
        folders: &Folders,
        newest: Option<&Self::Entry>,
        replaces: impl Fn(&Self::Entry) -> bool,
    ) -> Result<(), UpdateError> {
        let patience = folders.patience().at_most(Patience::AT_A_KEY);
        user_file::update(folders.disk(), &Self::path(folders), patience, |known: &mut Self| {
            let entries = known.entries();
            entries.retain(|entry| !replaces(entry));
            entries.splice(0..0, newest.cloned());
            entries.truncate(Self::KEPT);
        })
        .map(drop)
    }
}
