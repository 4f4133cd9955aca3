//! `fingerpost read-tab`: a block of text tab becomes a passage. The reader of tab is not here; see `tab::read`.

use std::path::Path;

use anyhow::{Context as _, Result};

use super::args::ReadTabArgs;
use super::input;
use super::lesson_file::{shown, title_from};
use super::outcome::{Outcome, Streams};
use super::passage_out::{WIDTH, add, open_to_change, print};
use super::taken_for::no_text_tab;
use crate::lesson::fresh::IdSource;
use crate::lesson::id::PassageId;
use crate::store::random;
use crate::tab::passage::render;
use crate::tab::read::own_tuning::own_tuning;
use crate::tab::read::{ReadHints, ReadTab, read};
use crate::tab::style::TabStyle;
use crate::text::charset::Charset;
use crate::text::safe::printable;

/// Reads the tab, says what was guessed, and prints the passage or adds it to a lesson.
///
/// Errors: text that cannot be read or holds no tab, a lesson that cannot be read, changed or saved, or output that
/// cannot be written.
pub fn run(args: &ReadTabArgs, streams: &mut Streams<'_>) -> Result<Outcome> {
    // Old files use old encodings; the reader refuses what is not text and names the line.
    let text = String::from_utf8_lossy(&input::read(&args.file, "text tab", streams)?).into_owned();
    let name = if args.file == Path::new("-") { "standard input".to_owned() } else { shown(&args.file) };
    if let Some(error) = no_text_tab(&args.file, &text) {
        return Err(error);
    }
    let title = args.title.clone().unwrap_or_else(|| title_from(&args.file, "Passage"));
    match &args.into {
        None => {
            let tab = read(&text, &ReadHints::new(PassageId(1), title)).with_context(|| name.clone())?;
            say_guesses(&tab, &name, streams)?;
            let style = TabStyle::filled(WIDTH, Charset::Utf8);
            print(&render(&tab.passage, &tab.labels, &style), streams)?;
        }
        Some(path) => add_to_lesson(path, &text, title, &name, streams)?,
    }
    Ok(Outcome::Fine)
}

fn say_guesses(tab: &ReadTab, name: &str, streams: &mut Streams<'_>) -> Result<()> {
    for guess in &tab.notes {
        writeln!(streams.notes, "{name}:{}: {}", guess.line, printable(&guess.message))?;
    }
    Ok(())
}

/// Adds the passage after the lesson's other passages and saves the lesson. On any error the lesson is as it was.
fn add_to_lesson(path: &Path, text: &str, title: String, name: &str, streams: &mut Streams<'_>) -> Result<()> {
    let mut opened = open_to_change(path)?;
    let mut ids = IdSource::new(random::seed(), &opened.lesson);
    let lesson = &mut opened.lesson;
    let here = lesson.setups.first();
    let hints = ReadHints { tuning: here.map(|here| here.tuning.clone()), ..ReadHints::new(ids.draw(lesson), title) };
    let mut tab = read(text, &hints).with_context(|| name.to_owned())?;
    say_guesses(&tab, name, streams)?;
    // No segment plays it yet, so it goes where no capo is in force.
    let own = own_tuning(lesson, None, &mut tab, (ids.draw(lesson), ids.draw(lesson)));
    writeln!(streams.notes, "{name}: read {}", own.words)?;
    tab.passage.setup = own.setup;
    lesson.apply_all(own.edits)?;
    add(opened, path, tab.passage, streams)
}
