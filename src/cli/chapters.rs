//! `fingerpost chapters`: the chapter list to publish with the video. How chapters are made is not here; see `plan`.

use anyhow::{Context as _, Result, anyhow};

use super::args::ChaptersArgs;
use super::lesson_file;
use super::outcome::{Outcome, Streams};
use crate::lesson::check::ToldFault;
use crate::lesson::cut_video::{CutVideo, VideoVersion};
use crate::lesson::time::VideoLength;
use crate::plan::chapters::{Basis, Chapter, ChapterError, chapters, faults, published_text};

/// Prints one `0:00 Title` line for each segment, behind one that says which video they are of where that is cut, and says what of the list video hosts do not take.
///
/// Errors: a file that cannot be read as a lesson, a lesson without chapters, or output that cannot be written.
pub fn run(args: &ChaptersArgs, streams: &mut Streams<'_>) -> Result<Outcome> {
    let lesson = lesson_file::read(&args.file, &args.unsaved, streams)?;
    let basis = if args.planned { Basis::Planned } else { Basis::Recorded(args.video.version()) };
    let list = chapters(&lesson, basis).map_err(|error| match &error {
        ChapterError::NotRecorded { segments } => {
            let them = if segments.len() == 1 { "it" } else { "them" };
            anyhow!(
                "{error}: set {them} in the workbench (`:` in the timeline), or use --planned for the planned times"
            )
        }
        ChapterError::NoSegments => anyhow!(error),
    });
    let list = list.with_context(|| lesson_file::shown(&args.file))?;
    let left_out = CutVideo::of(&lesson.segments).left_out();
    if left_out > VideoLength::ZERO {
        match basis {
            Basis::Planned => {}
            Basis::Recorded(VideoVersion::Cut) => writeln!(
                streams.notes,
                "these are the times of the cut video, {left_out} shorter than the recording; --uncut gives those of the uncut one"
            )?,
            Basis::Recorded(VideoVersion::Uncut) => {
                writeln!(streams.notes, "these are the times of the uncut video, {left_out} longer than the cut one")?;
            }
        }
    }
    streams.out.write_all(published_text(&lesson, basis, &list).as_bytes())?;
    for fault in faults(&lesson, basis, &list) {
        writeln!(streams.notes, "{}", words(&fault, &list))?;
    }
    Ok(Outcome::Fine)
}

/// Returns what a video host does not take, at which chapter, and what can be done: `chapter 2 "Slow": a chapter of 0:05, ...`.
fn words(fault: &ToldFault, list: &[Chapter]) -> String {
    let at = fault.only_chapter().and_then(|place| Some((place + 1, list.get(place)?)));
    let at = at.map_or_else(String::new, |(number, chapter)| format!("chapter {number} \"{}\": ", chapter.title));
    format!("{at}{}; {}", fault.reason_in_list(), fault.way_out())
}
