//! A disk that fails on purpose, so that tests can see what is reported. Release builds leave it out.

#[cfg(debug_assertions)]
use crate::store::disk::Disk;
use crate::store::folders::Folders;

/// Returns the folders. Where a test has asked for it, their disk refuses to sync journals.
#[cfg(debug_assertions)]
pub(super) fn on(folders: Folders) -> Folders {
    let provoked = std::env::var_os("FINGERPOST_FAULT").is_some_and(|place| place == "syncing");
    if provoked { folders.on(Disk::watched(std::sync::Arc::new(provoking::Unconfirmed))) } else { folders }
}

#[cfg(not(debug_assertions))]
pub(super) fn on(folders: Folders) -> Folders {
    folders
}

#[cfg(debug_assertions)]
mod provoking {
    use std::io;

    use crate::store::disk::{Call, Verdict, Witness};

    #[derive(Debug)]
    pub(super) struct Unconfirmed;

    impl Witness for Unconfirmed {
        fn before(&self, call: Call<'_>) -> Verdict {
            match call {
                Call::SyncFile(path) if path.extension().is_some_and(|ending| ending == "journal") => {
                    Verdict::Refuse(io::Error::other("provoked"))
                }
                _ => Verdict::Make,
            }
        }

        fn after(&self, _: Call<'_>, _: Result<(), &io::Error>) {}
    }
}
