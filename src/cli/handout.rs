//! `fingerpost handout`: the lesson on paper. Its pages are laid out by `tab`.

use std::fs;
use std::path::Path;

use anyhow::{Context as _, Result, anyhow, bail};

use super::args::HandoutArgs;
use super::lesson_file::{self, refuse_lesson_files, shown};
use super::outcome::{Outcome, Streams};
use crate::lesson::document::Lesson;
use crate::store::atomic;
use crate::store::fingerprint::Fingerprint;
use crate::store::folders::Folders;
use crate::store::printed::PrintedHandouts;
use crate::store::settings::{Characters, HandoutChoice, Settings};
use crate::tab::handout::handout;
use crate::tab::handout::options::{HandoutOptions, SegmentPick, TalkingPoints, UnusedMusic};
use crate::text::charset::Charset;

/// Prints the handout, or writes it to a file, says so, and remembers it as one that the workbench may replace.
///
/// Errors: a file that cannot be read as a lesson, segments that the lesson does not have, or output that cannot be
/// written.
pub fn run(args: &HandoutArgs, streams: &mut Streams<'_>) -> Result<Outcome> {
    let lesson = lesson_file::read(&args.file, &args.unsaved, streams)?;
    let folders = Folders::of_user();
    let chosen = folders.as_ref().map(|folders| Settings::load(folders).0).unwrap_or_default();
    let options = options(args, &lesson, chosen.handout_choice())?;
    let text = handout(&lesson, &options).to_text();
    match args.output.as_deref().filter(|path| *path != Path::new("-")) {
        None => streams.out.write_all(text.as_bytes())?,
        Some(path) => {
            refuse_lesson_files(path, Some(&args.file), "a handout", "-o handout.txt")?;
            let replaced = fs::read(path).is_ok_and(|earlier| earlier != text.as_bytes());
            atomic::replace(path, text.as_bytes())
                .map_err(|error| anyhow!("{}: {error}; {}", shown(path), error.hint()))?;
            if let (Some(folders), Some(id)) = (&folders, lesson.id) {
                // Where that cannot be remembered, the workbench asks once before it replaces the file.
                let _remembered = PrintedHandouts::remember(folders, id, Fingerprint::of(text.as_bytes()));
            }
            let instead = if replaced { ", in place of what was there" } else { "" };
            writeln!(streams.notes, "wrote {}{instead}", shown(path))?;
        }
    }
    Ok(Outcome::Fine)
}

/// Returns what was chosen: by options, else in the workbench for all handouts. Errors: `--segments` picks none, or some that
/// the lesson does not have.
fn options(args: &HandoutArgs, lesson: &Lesson, chosen: HandoutChoice) -> Result<HandoutOptions> {
    let segments: SegmentPick = match &args.segments {
        Some(text) => text.parse().context("--segments")?,
        None => SegmentPick::All,
    };
    // A person who names a segment or a kind expects to see it printed.
    if let Some(lacking) = segments.lacking(lesson) {
        bail!("--segments: {lacking}");
    }
    let ascii = args.ascii || (!args.utf8 && chosen.rest.characters == Characters::Ascii);
    let points = args.talking_points || (!args.no_talking_points && chosen.rest.talking_points);
    Ok(HandoutOptions {
        paper: args.paper.unwrap_or(chosen.paper),
        columns: args.columns,
        charset: if ascii { Charset::Ascii } else { Charset::Utf8 },
        segments,
        talking_points: if points { TalkingPoints::Print } else { TalkingPoints::LeaveOut },
        unused: if args.unused { UnusedMusic::Print } else { UnusedMusic::LeaveOut },
        video: args.video.version(),
    })
}
