//! `fingerpost render`: a passage, voicing or segment of a lesson, as a sound file. The sound is made in `sound`.

use std::fmt::Display;

use anyhow::{Result, anyhow, bail};

use super::lesson_file;
use super::outcome::{Outcome, Streams};
use super::sound_args::RenderArgs;
use super::sound_out::SoundFile;
use crate::instrument::rig::Rig;
use crate::lesson::document::{Lesson, Segment, Voicing};
use crate::lesson::music::Passage;
use crate::sound::performance::passage::{Options, PassagePart, Performance, passage, segment};
use crate::sound::performance::shape::{Manner, shape};
use crate::text::quote::quoted;
use crate::text::safe::printable;
use crate::theory::pitch::Hertz;

/// The most names that a message lists.
const LISTED: usize = 20;

/// Writes the passage, voicing or segment that was asked for to a sound file, and says where.
///
/// Errors: a file that cannot be read as a lesson, a passage, voicing or segment that the lesson does not have or that
/// cannot be played, a sound that does not exist, or a file that cannot be written.
pub fn run(args: &RenderArgs, streams: &mut Streams<'_>) -> Result<Outcome> {
    let lesson = lesson_file::read(&args.lesson, streams)?;
    let options = Options { percent: args.tempo, click: args.click, count_in: args.count_in };
    let heard = match (&args.passage, &args.voicing, &args.segment) {
        (Some(text), _, _) => of_passage(&lesson, found(&passages(&lesson), "passage", text)?, options)?,
        (_, Some(text), _) => of_voicing(&lesson, found(&voicings(&lesson), "voicing", text)?)?,
        (_, _, Some(text)) => of_segment(&lesson, found(&segments(&lesson), "segment", text)?, options)?,
        _ => bail!("say what of the lesson is to be heard: --passage, --voicing or --segment"),
    };
    let target = SoundFile::new(&args.file, &heard.title, heard.rig.instrument())?;
    target.write(heard.performance.score, heard.performance.reference, streams)?;
    Ok(Outcome::Fine)
}

/// The music that is rendered, with its title and the instrument that plays it.
struct Rendered {
    title: String,
    rig: Rig,
    performance: Performance,
}

/// Something of a lesson with its number and its name, and an addition that distinguishes it from others of that name.
struct NumberedName<'a, T> {
    number: String,
    name: String,
    apart: String,
    thing: &'a T,
}

impl<'a, T> NumberedName<'a, T> {
    fn new(number: impl Display, name: &str, thing: &'a T) -> Self {
        Self { number: number.to_string(), name: name.to_owned(), apart: String::new(), thing }
    }
}

fn passages(lesson: &Lesson) -> Vec<NumberedName<'_, Passage>> {
    lesson.passages.iter().map(|passage| NumberedName::new(passage.id, &passage.title, passage)).collect()
}

fn voicings(lesson: &Lesson) -> Vec<NumberedName<'_, Voicing>> {
    let named = |voicing: &'_ Voicing| match voicing.name() {
        Some(name) => (name.to_owned(), format!(" ({})", voicing.shape)),
        None => (voicing.shape.to_string(), String::new()),
    };
    let voicings = lesson.voicings.iter().map(|voicing| {
        let (name, apart) = named(voicing);
        NumberedName { apart, ..NumberedName::new(voicing.id, &name, voicing) }
    });
    voicings.collect()
}

/// Segments are numbered by their order, as in every other command.
fn segments(lesson: &Lesson) -> Vec<NumberedName<'_, Segment>> {
    let counted = lesson.segments.iter().enumerate();
    counted.map(|(place, segment)| NumberedName::new(place + 1, &segment.title, segment)).collect()
}

/// Returns what has the number or the name `text`, apart from case. The beginning of a name is enough where only one
/// name begins so.
///
/// Errors: nothing, or more than one thing, has that name; the message names what there is.
fn found<'a, T>(named: &[NumberedName<'a, T>], what: &str, text: &str) -> Result<&'a T> {
    let wanted = text.trim().to_lowercase();
    if let Some(numbered) = named.iter().find(|named| named.number == wanted) {
        return Ok(numbered.thing);
    }
    let fitting = |fits: &dyn Fn(&str) -> bool| -> Vec<&NumberedName<'a, T>> {
        named.iter().filter(|named| fits(&named.name.trim().to_lowercase())).collect()
    };
    let mut called = fitting(&|name| name == wanted);
    if called.is_empty() && !wanted.is_empty() {
        called = fitting(&|name| name.starts_with(&wanted));
    }
    match called.as_slice() {
        [one] => Ok(one.thing),
        [] => bail!("no {what} has the number or name `{}`; the lesson has {}", quoted(text), listed(named.iter())),
        several => bail!(
            "`{}` is the name of more than one {what}: {}; say which by its number",
            quoted(text),
            listed(several.iter().copied())
        ),
    }
}

/// Returns the numbers with their names as a list: `1 "Verse", 2 "Chorus"`.
fn listed<'a, T: 'a>(named: impl Iterator<Item = &'a NumberedName<'a, T>>) -> String {
    let shown = |named: &NumberedName<'a, T>| format!("{} \"{}\"{}", named.number, printable(&named.name), named.apart);
    let mut names: Vec<String> = named.take(LISTED + 1).map(shown).collect();
    if names.len() > LISTED {
        names.truncate(LISTED);
        names.push("and more".to_owned());
    }
    if names.is_empty() { "none".to_owned() } else { names.join(", ") }
}

fn of_passage(lesson: &Lesson, played: &Passage, options: Options) -> Result<Rendered> {
    let performance = passage(lesson, played, PassagePart::default(), options)?;
    Ok(Rendered { title: title(&played.title, "passage"), rig: passage_rig(lesson, played)?, performance })
}

fn of_segment(lesson: &Lesson, played: &Segment, options: Options) -> Result<Rendered> {
    let mut passages = played.passages.iter().filter_map(|used| lesson.passage(used.passage));
    let silent = || {
        anyhow!(
            "segment \"{}\" plays no passage, so there is nothing to hear: choose another",
            printable(&played.title)
        )
    };
    let first = passages.next().ok_or_else(silent)?;
    let performance = segment(lesson, played, options)?;
    Ok(Rendered { title: title(&played.title, "segment"), rig: passage_rig(lesson, first)?, performance })
}

fn of_voicing(lesson: &Lesson, played: &Voicing) -> Result<Rendered> {
    let no_setup = || anyhow!("voicing {} has no setup that can be played: see `fingerpost check`", played.id);
    let rig = lesson.voicing_rig(played).ok_or_else(no_setup)?;
    rig.check(&played.shape)?;
    if played.shape.strings().iter().all(Option::is_none) {
        bail!("voicing {} has every string muted, so there is nothing to hear", played.id);
    }
    let reference = lesson.voicing_setup(played).and_then(|setup| setup.reference).unwrap_or(Hertz::STANDARD_PITCH);
    let score = shape(&rig, &played.shape, |_| true, Manner::StrumDown);
    let name = played.name().map_or_else(|| played.shape.to_string(), str::to_owned);
    Ok(Rendered { title: title(&name, "voicing"), rig, performance: Performance { score, reference } })
}

fn passage_rig(lesson: &Lesson, passage: &Passage) -> Result<Rig> {
    let rig = lesson.passage_rig(passage);
    rig.ok_or_else(|| anyhow!("passage {} has no setup that can be played: see `fingerpost check`", passage.id))
}

fn title(text: &str, otherwise: &str) -> String {
    if text.trim().is_empty() { otherwise.to_owned() } else { text.to_owned() }
}
