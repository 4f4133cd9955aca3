//! Lesson files as the commands read them. Their format is not here; see `store`.

use std::path::Path;

use anyhow::{Result, anyhow, bail};

use super::outcome::Streams;
use crate::instrument::rig::Rig;
use crate::lesson::document::Lesson;
use crate::lesson::music::Passage;
use crate::lesson::place::LessonPlace;
use crate::store::atomic::{folder_of, real_path};
use crate::store::disk::Disk;
use crate::store::leftovers;
use crate::store::lesson_file::{EXTENSION, Origin, load};
pub use crate::store::names::title_from;

/// Reads a lesson. A note says so where the file has a newer format.
///
/// Errors: the file cannot be read as a lesson; the store's report names file, line, column and what to do.
pub fn read(path: &Path, streams: &mut Streams<'_>) -> Result<Lesson> {
    let loaded = load(path).map_err(|error| anyhow!("{}", error.report()))?;
    leftovers::clear(&Disk::real(), folder_of(&real_path(path)));
    if let Origin::Newer { format } = loaded.origin {
        writeln!(
            streams.notes,
            "fingerpost: {} was written by a newer version (format {format}); what this version does not know is left out",
            shown(path)
        )?;
    }
    Ok(loaded.lesson)
}

/// Returns what a passage of the lesson is played on.
///
/// Errors: its setup is gone or makes nothing that can be played.
pub fn passage_rig(lesson: &Lesson, passage: &Passage) -> Result<Rig> {
    let said = || LessonPlace::of(passage.id).text(lesson);
    let rig = lesson.passage_rig(passage);
    rig.ok_or_else(|| anyhow!("{} has no setup that can be played: see `fingerpost check`", said()))
}

/// Returns a path in a form that is safe to print.
pub fn shown(path: &Path) -> String {
    crate::store::fault::shown(path)
}

/// Checks that writing to `path` would not replace a lesson, whatever name or link leads to it: a slip of the hand must
/// not replace a lesson by something made from it.
///
/// Errors: `path` is a lesson file or leads to `lesson`. The message says that `thing` would replace it, and suggests
/// `example`.
pub fn refuse_lesson_files(path: &Path, lesson: Option<&Path>, thing: &str, example: &str) -> Result<()> {
    let named_so = |path: &Path| path.to_string_lossy().ends_with(EXTENSION);
    let real = real_path(path);
    let is_lesson = lesson.is_some_and(|lesson| real == real_path(lesson));
    if named_so(path) || named_so(&real) || is_lesson || load(&real).is_ok() {
        bail!("{} is a lesson file: {thing} would replace it; choose another name, as in `{example}`", shown(path));
    }
    Ok(())
}
