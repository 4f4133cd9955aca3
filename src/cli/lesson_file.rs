//! Lesson files as the commands read them. Their format is not here; see `store`.

use std::path::Path;

use anyhow::{Result, anyhow, bail};

use super::outcome::Streams;
use super::unsaved_args::UnsavedArgs;
use crate::instrument::rig::Rig;
use crate::lesson::document::Lesson;
use crate::lesson::music::Passage;
use crate::lesson::place::LessonPlace;
use crate::store::atomic::{folder_of, real_path};
use crate::store::disk::Disk;
use crate::store::journal::Refuge;
use crate::store::leftovers;
use crate::store::lesson_file::{EXTENSION, Origin, load};
use crate::store::open_lesson::LookedAt;
pub use crate::store::title_of_file::title_from;

/// Reads a lesson, with the changes that wait in a window or from a crash where they are wanted. A note says so where there
/// are any and they are not wanted, and where the file has a newer format.
///
/// Errors: the file cannot be read as a lesson; the store's report names file, line, column and what to do.
pub fn read(path: &Path, wanted: &UnsavedArgs, streams: &mut Streams<'_>) -> Result<Lesson> {
    let LookedAt { loaded, unsaved } =
        LookedAt::at(path, &Refuge::of_user()).map_err(|error| anyhow!("{}", error.report()))?;
    leftovers::clear(&Disk::real(), folder_of(&real_path(path)));
    if let Origin::Newer { format } = loaded.origin {
        writeln!(
            streams.notes,
            "fingerpost: {} was written by a newer version (file version {format}); what this version does not know is left out",
            shown(path)
        )?;
    }
    let Some((changed, recovered)) = unsaved else { return Ok(loaded.lesson) };
    let path = shown(path);
    if recovered.kept.is_some() {
        writeln!(
            streams.notes,
            "fingerpost: {path} has unsaved changes that cannot be read; open it to see what they are"
        )?;
        return Ok(loaded.lesson);
    }
    let waiting = recovered.reasons.len() + recovered.apart.len();
    let (changes, which, them) = match waiting {
        1 => ("an unsaved change".to_owned(), "is", "it"),
        many => (format!("{many} unsaved changes"), "are", "them"),
    };
    if !wanted.with_unsaved {
        writeln!(
            streams.notes,
            "fingerpost: {path} has {changes}, in an open window or from a crash, which {which} left out; --with-unsaved includes {them}"
        )?;
        return Ok(loaded.lesson);
    }
    if !recovered.apart.is_empty() {
        let both = recovered.apart.len();
        let things = if both == 1 { "a thing was" } else { "things were" };
        writeln!(
            streams.notes,
            "fingerpost: {path}: {things} changed by another program as well and {which} as in the file; open the lesson to choose"
        )?;
    }
    Ok(changed)
}

/// Returns what a passage of the lesson is played on.
///
/// Errors: its setup is gone or makes nothing that can be played.
pub fn passage_rig(lesson: &Lesson, passage: &Passage) -> Result<Rig> {
    let said = || LessonPlace::of(passage.id).text(lesson);
    let rig = lesson.passage_rig(passage);
    rig.ok_or_else(|| anyhow!("{} has no tuning that can be played: see `fingerpost check`", said()))
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
