//! `fingerpost read-tab`: a block of text tab becomes a passage.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use anyhow::{Context as _, Result, anyhow, bail};

use super::args::ReadTabArgs;
use super::lesson_file::{shown, title_from};
use super::outcome::{Outcome, Streams};
use crate::lesson::document::Lesson;
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::id::{PassageId, SetupId};
use crate::store::lesson_file::LARGEST;
use crate::store::open_lesson::{Access, OpenLesson, SavedState};
use crate::tab::clean::printable;
use crate::tab::passage::render;
use crate::tab::read::{ReadHints, ReadTab, read};
use crate::tab::style::{Charset, TabStyle};

/// How wide the passage is printed: what fits on A4.
const WIDTH: usize = 72;

/// Reads the tab, says what was guessed, and prints the passage or adds it to a lesson.
///
/// Errors: text that holds no tab or cannot be read, a lesson that cannot be read, changed or saved, or
/// output that cannot be written.
pub fn run(args: &ReadTabArgs, streams: &mut Streams<'_>) -> Result<Outcome> {
    let text = input(&args.file, streams)?;
    let name = if args.file == Path::new("-") { "standard input".to_owned() } else { shown(&args.file) };
    let title = args.title.clone().unwrap_or_else(|| title_from(&args.file, "Passage"));
    match &args.into {
        None => {
            let tab = read(&text, &ReadHints::new(PassageId(1), title)).with_context(|| name.clone())?;
            say_guesses(&tab, &name, streams)?;
            print(&tab, streams)?;
        }
        Some(path) => add_to_lesson(path, &text, title, &name, streams)?,
    }
    Ok(Outcome::Fine)
}

fn input(path: &Path, streams: &mut Streams<'_>) -> Result<String> {
    let mut bytes = Vec::new();
    if path == Path::new("-") {
        streams.input.take(LARGEST + 1).read_to_end(&mut bytes).context("cannot read standard input")?;
    } else {
        let cannot = || format!("cannot read {}", shown(path));
        File::open(path).with_context(cannot)?.take(LARGEST + 1).read_to_end(&mut bytes).with_context(cannot)?;
    }
    if u64::try_from(bytes.len()).is_ok_and(|length| length > LARGEST) {
        bail!("{}: too long for text tab: at most {} MB are read", shown(path), LARGEST / (1024 * 1024));
    }
    // Old files come in old encodings; what is no text is refused by the reader, with its line.
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn say_guesses(tab: &ReadTab, name: &str, streams: &mut Streams<'_>) -> Result<()> {
    for guess in &tab.notes {
        writeln!(streams.notes, "{name}:{}: {}", guess.line, printable(&guess.message))?;
    }
    Ok(())
}

fn print(tab: &ReadTab, streams: &mut Streams<'_>) -> Result<()> {
    let text = render(&tab.passage, &tab.labels, &TabStyle { width: WIDTH, charset: Charset::Utf8 });
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
        writeln!(streams.out, "{:6} {}", entry.sign, entry.meaning)?;
    }
    Ok(())
}

/// Adds the passage at the end of the lesson's passages and saves; on any error the lesson is as it was.
fn add_to_lesson(path: &Path, text: &str, title: String, name: &str, streams: &mut Streams<'_>) -> Result<()> {
    let mut opened = OpenLesson::open(path).map_err(|error| anyhow!("{}", error.report()))?;
    if let Access::ReadOnly(reason) = opened.file.access() {
        bail!("{} cannot be changed: {reason}", shown(path));
    }
    if opened.state == SavedState::Unsaved {
        bail!(
            "{} has changes that were brought back after a crash; open it in the workbench and save them first",
            shown(path)
        );
    }
    let lesson = &mut opened.lesson;
    let id = lesson.next_passage_id();
    let mut tab = read(text, &ReadHints::new(id, title)).with_context(|| name.to_owned())?;
    say_guesses(&tab, name, streams)?;
    tab.passage.setup = setup_with(&tab, lesson);
    if tab.passage.setup.is_none() {
        let strings =
            tab.tuning.as_ref().map_or_else(|| "its strings".to_owned(), |tuning| format!("the strings {tuning}"));
        writeln!(
            streams.notes,
            "{name}: no setup of the lesson has {strings}; the passage waits for one to be chosen"
        )?;
    }
    let bars = tab.passage.bars.len();
    let at = lesson.passages.len();
    lesson.apply(Edit::Passages(ListEdit::Insert { at, item: tab.passage }))?;
    opened.file.save(&opened.lesson).map_err(|error| anyhow!("{error}; {}", error.hint()))?;
    writeln!(streams.out, "{}: added passage {id}, {bars} {}", shown(path), if bars == 1 { "bar" } else { "bars" })?;
    Ok(())
}

/// Returns the first setup of the lesson whose open strings are those of the tab.
fn setup_with(tab: &ReadTab, lesson: &Lesson) -> Option<SetupId> {
    let sounds = |tuning: &crate::instrument::tuning::Tuning| -> Vec<u8> {
        tuning.strings().iter().map(|open| open.midi().number()).collect()
    };
    let wanted = sounds(tab.tuning.as_ref()?);
    lesson.setups.iter().find(|setup| sounds(&setup.tuning) == wanted).map(|setup| setup.id)
}
