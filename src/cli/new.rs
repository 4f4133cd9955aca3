//! `fingerpost new`: a lesson file to start from. The command asks nothing and overwrites nothing.

use std::path::{Path, PathBuf};

use anyhow::{Result, anyhow, bail};

use super::args::NewArgs;
use super::lesson_file::{shown, title_from};
use super::outcome::{Outcome, Streams};
use crate::instrument::catalogue::setup_from_text;
use crate::instrument::neck::Fret;
use crate::instrument::rig::Rig;
use crate::instrument::tuning::Capo;
use crate::lesson::document::Lesson;
use crate::store::lesson_file::{EXTENSION, Replace, SaveError, save};
use crate::store::random;

/// Writes the new lesson and says where it is.
///
/// Errors: a path that names no file or an existing file, a tuning or capo that does not fit, or a lesson that cannot
/// be saved.
pub fn run(args: &NewArgs, streams: &mut Streams<'_>) -> Result<Outcome> {
    let path = with_ending(&args.file)?;
    let title = args.title.clone().unwrap_or_else(|| title_from(&path, "Lesson"));
    let lesson = blank_lesson(title, args)?;
    save(&path, &lesson, Replace::Nothing).map_err(|error| match &error {
        SaveError::Exists { .. } => anyhow!("{error}; choose another name, or open it with `fingerpost open`"),
        SaveError::ChangedOnDisk { .. }
        | SaveError::Gone { .. }
        | SaveError::ReadOnly { .. }
        | SaveError::Unwritable { .. }
        | SaveError::TooLarge { .. }
        | SaveError::Write { .. }
        | SaveError::Unconfirmed { .. } => anyhow!("{error}; {}", error.hint()),
    })?;
    writeln!(streams.out, "{}", shown(&path))?;
    writeln!(streams.notes, "open it with: fingerpost open {}", for_the_shell(&shown(&path)))?;
    Ok(Outcome::Fine)
}

/// Returns a word as a shell reads it back (POSIX.1-2017, XCU 2.2.2): in single quotes where a sign in it means something else.
fn for_the_shell(word: &str) -> String {
    let plain = |sign: char| sign.is_alphanumeric() || "/._-+,:@%".contains(sign);
    if word.chars().all(plain) { word.to_owned() } else { format!("'{}'", word.replace('\'', "'\\''")) }
}

/// Returns the lesson to start from. Errors: an instrument, tuning or capo that is unknown or does not fit.
fn blank_lesson(title: String, args: &NewArgs) -> Result<Lesson> {
    let (instrument, tuning) = setup_from_text(Some(&args.instrument), args.tuning.as_deref())?;
    let capo = args.capo.filter(|fret| *fret != Fret::OPEN).map(|fret| Capo { fret, strings: Vec::new() });
    Ok(Lesson::blank(random::lesson_id(), title, &Rig::new(instrument, tuning, capo)?))
}

/// Returns the path with the ending of lesson files added where it is missing.
///
/// Errors: a path that names no file, such as `.` or one that ends in a slash.
fn with_ending(path: &Path) -> Result<PathBuf> {
    let text = path.as_os_str().as_encoded_bytes();
    let Some(name) = path.file_name().filter(|_| !text.ends_with(b"/") && !text.ends_with(b"/.")) else {
        bail!("{} names a folder: name the file to make in it, as in `slow-reel.lesson.ron`", shown(path));
    };
    let bytes = name.as_encoded_bytes();
    if bytes.ends_with(b".ron") {
        return Ok(path.to_owned());
    }
    let mut name = name.to_owned();
    // The ending `.lesson` is half of it.
    name.push(if bytes.ends_with(b".lesson") { ".ron" } else { EXTENSION });
    Ok(path.with_file_name(name))
}

#[cfg(test)]
mod tests {
    use super::for_the_shell;

    #[test]
    fn a_path_is_quoted_where_a_shell_would_take_it_apart() {
        assert_eq!(for_the_shell("lessons/porch-4.lesson.ron"), "lessons/porch-4.lesson.ron");
        assert_eq!(for_the_shell("Porch Swing.lesson.ron"), "'Porch Swing.lesson.ron'");
        assert_eq!(for_the_shell("Ada's $5.lesson.ron"), r"'Ada'\''s $5.lesson.ron'");
    }
}
