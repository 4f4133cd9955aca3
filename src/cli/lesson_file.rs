//! Lesson files as the commands read them.

use std::path::Path;

use anyhow::{Result, anyhow};

use super::outcome::Streams;
use crate::lesson::document::Lesson;
use crate::store::lesson_file::{Origin, load};
pub use crate::store::names::title_from;

/// Reads a lesson; a note says so where the file is of a newer format.
///
/// Errors: the store's report, with file, line, column and what to do.
pub fn read(path: &Path, streams: &mut Streams<'_>) -> Result<Lesson> {
    let loaded = load(path).map_err(|error| anyhow!("{}", error.report()))?;
    if let Origin::Newer { format } = loaded.origin {
        writeln!(
            streams.notes,
            "fingerpost: {} was written by a newer version (format {format}); what this version does not know is left out",
            shown(path)
        )?;
    }
    Ok(loaded.lesson)
}

/// Returns a path that is safe to print.
pub fn shown(path: &Path) -> String {
    crate::store::fault::shown(path)
}
