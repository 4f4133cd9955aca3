//! `fingerpost chapters`: the chapter list to publish with the video. How chapters are made is not here; see `plan`.

use anyhow::{Context as _, Result, anyhow};

use super::args::ChaptersArgs;
use super::lesson_file;
use super::outcome::{Outcome, Streams};
use crate::plan::chapters::{Basis, ChapterError, chapter_text, chapters};

/// Prints one `0:00 Title` line for each segment.
///
/// Errors: a file that cannot be read as a lesson, a lesson without chapters, or output that cannot be written.
pub fn run(args: &ChaptersArgs, streams: &mut Streams<'_>) -> Result<Outcome> {
    let lesson = lesson_file::read(&args.file, &args.unsaved, streams)?;
    let basis = if args.planned { Basis::Planned } else { Basis::Recorded };
    let list = chapters(&lesson, basis).map_err(|error| match &error {
        ChapterError::NotRecorded { .. } => {
            anyhow!("{error}: the key v in the workbench's timeline does the one, --planned the other")
        }
        ChapterError::NoSegments => anyhow!(error),
    });
    let list = list.with_context(|| lesson_file::shown(&args.file))?;
    streams.out.write_all(chapter_text(&list).as_bytes())?;
    Ok(Outcome::Fine)
}
