//! What is done with a passage that a command has made: it is printed, or added to a lesson. Making it is up to the
//! command.

use std::path::Path;

use anyhow::{Result, anyhow, bail};

use super::lesson_file::shown;
use super::outcome::Streams;
use crate::lesson::bar_numbers::BarNumbers;
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::fresh::IdSource;
use crate::lesson::id::PassageId;
use crate::lesson::music::Passage;
use crate::lesson::place::LessonPlace;
use crate::store::disk::Disk;
use crate::store::journal::Refuge;
use crate::store::open_lesson::{Access, OpenLesson, Opened, OpeningNotice, SavedState};
use crate::store::random;
use crate::tab::style::TabText;
use crate::text::fit::pad;

/// The width of a printed passage, in characters: as much as fits on A4.
pub const WIDTH: usize = 72;

/// Prints a passage with its legend.
///
/// Errors: output that cannot be written.
pub fn print(text: &TabText, streams: &mut Streams<'_>) -> Result<()> {
    for (place, system) in text.systems.iter().enumerate() {
        if place > 0 {
            writeln!(streams.out)?;
        }
        for line in &system.lines {
            writeln!(streams.out, "{line}")?;
        }
    }
    if !text.legend.is_empty() {
        writeln!(streams.out)?;
    }
    for entry in &text.legend {
        writeln!(streams.out, "{} {}", pad(&entry.sign, 6), entry.meaning)?;
    }
    Ok(())
}

/// Opens a lesson that a command is going to change.
///
/// Errors: a lesson that cannot be read, that may not be changed, or that has recovered changes nobody has looked at
/// yet.
pub fn open_to_change(path: &Path) -> Result<Opened> {
    let opened = OpenLesson::open_with(&Disk::real(), path, &Refuge::of_user())
        .map_err(|error| anyhow!("{}", error.report()))?;
    if let Access::ReadOnly(reason) = opened.file.access() {
        bail!("{} cannot be changed: {reason}", shown(path));
    }
    if opened.state == SavedState::Unsaved {
        bail!(
            "{} has changes that were brought back after a crash; open it in the workbench and save them first",
            shown(path)
        );
    }
    if opened.file.notices().contains(&OpeningNotice::CommentsWillGo) {
        bail!(
            "{} has comments written by hand, which would be lost; delete them first, or print the passage and copy it in",
            shown(path)
        );
    }
    Ok(opened)
}

/// Returns an identity that no passage of the lesson has.
pub fn new_id(opened: &Opened) -> PassageId {
    IdSource::new(random::seed(), &opened.lesson).draw(&opened.lesson)
}

/// Adds a passage after the lesson's other passages and saves the lesson. On any error the file is as it was.
///
/// Errors: an identity that is taken, or a lesson that cannot be saved.
pub fn add(mut opened: Opened, path: &Path, passage: Passage, streams: &mut Streams<'_>) -> Result<()> {
    let (said, bars) = (LessonPlace::of(passage.id), BarNumbers::of(&passage).count());
    let at = opened.lesson.passages.len();
    opened.lesson.apply(Edit::Passages(ListEdit::Insert { at, item: passage }))?;
    let renewed = opened.file.save(&opened.lesson).map_err(|error| anyhow!("{error}; {}", error.hint()))?;
    let (path, said) = (shown(path), said.text(&opened.lesson));
    writeln!(streams.out, "{path}: added {said}, {bars}")?;
    if let Some(more) = renewed.told() {
        writeln!(streams.notes, "fingerpost: {path}: {more}")?;
    }
    Ok(())
}
