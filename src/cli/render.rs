//! `fingerpost render`: a passage, voicing or segment of a lesson, as a sound file. The sound is made in `sound`.

use anyhow::{Result, anyhow, bail};

use super::lesson_file::passage_rig;
use super::outcome::{Outcome, Streams};
use super::sound_args::RenderArgs;
use super::sound_out::SoundFile;
use super::{by_name, lesson_file};
use crate::instrument::rig::Rig;
use crate::lesson::document::{Lesson, Segment, Voicing};
use crate::lesson::music::Passage;
use crate::lesson::place::LessonPlace;
use crate::sound::performance::passage::{Options, PassagePart, Performance, passage, segment};
use crate::sound::performance::shape::{Manner, shape};
use crate::text::safe::printable;
use crate::theory::pitch::Hertz;

/// Writes the passage, voicing or segment that was asked for to a sound file, and says where.
///
/// Errors: a file that cannot be read as a lesson, a passage, voicing or segment that the lesson does not have or that
/// cannot be played, a sound that does not exist, or a file that cannot be written.
pub fn run(args: &RenderArgs, streams: &mut Streams<'_>) -> Result<Outcome> {
    let lesson = lesson_file::read(&args.lesson, &args.unsaved, streams)?;
    let options = Options { percent: args.tempo, click: args.click, count_in: args.count_in };
    let heard = match (&args.passage, &args.voicing, &args.segment) {
        (Some(text), _, _) => of_passage(&lesson, by_name::passage(&lesson, text)?, options)?,
        (_, Some(text), _) => of_voicing(&lesson, by_name::voicing(&lesson, text)?)?,
        (_, _, Some(text)) => of_segment(&lesson, by_name::segment(&lesson, text)?, options)?,
        _ => bail!("say what to play: --passage, --voicing or --segment"),
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

fn of_passage(lesson: &Lesson, played: &Passage, options: Options) -> Result<Rendered> {
    let performance = passage(lesson, played, PassagePart::default(), options)?;
    Ok(Rendered { title: title(&played.title, "passage"), rig: passage_rig(lesson, played)?, performance })
}

fn of_segment(lesson: &Lesson, played: &Segment, options: Options) -> Result<Rendered> {
    let mut passages = played.passages.iter().filter_map(|used| lesson.passage(used.passage));
    let silent = || {
        anyhow!(
            "segment \"{}\" plays no passage, so there is nothing to play: choose another",
            printable(&played.title)
        )
    };
    let first = passages.next().ok_or_else(silent)?;
    let performance = segment(lesson, played, options)?;
    Ok(Rendered { title: title(&played.title, "segment"), rig: passage_rig(lesson, first)?, performance })
}

fn of_voicing(lesson: &Lesson, played: &Voicing) -> Result<Rendered> {
    let said = LessonPlace::of(played.id).text(lesson);
    let rig = lesson.voicing_rig(played);
    let rig = rig.ok_or_else(|| anyhow!("{said} has no tuning that can be played: see `fingerpost check`"))?;
    rig.check(&played.shape)?;
    if played.shape.strings().iter().all(Option::is_none) {
        bail!("{said} has every string muted, so there is nothing to play");
    }
    let reference = lesson.voicing_setup(played).and_then(|setup| setup.reference).unwrap_or(Hertz::STANDARD_PITCH);
    let score = shape(&rig, &played.shape, |_| true, Manner::StrumDown);
    let name = played.name().map_or_else(|| played.shape.to_string(), str::to_owned);
    Ok(Rendered { title: title(&name, "voicing"), rig, performance: Performance { score, reference } })
}

fn title(text: &str, otherwise: &str) -> String {
    if text.trim().is_empty() { otherwise.to_owned() } else { text.to_owned() }
}
