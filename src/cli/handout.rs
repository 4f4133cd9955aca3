//! `fingerpost handout`: the lesson on paper. Its pages are laid out by `tab`.

use std::collections::BTreeSet;
use std::path::Path;

use anyhow::{Context as _, Result, anyhow, bail};

use super::args::HandoutArgs;
use super::lesson_file::{self, refuse_lesson_files, shown};
use super::outcome::{Outcome, Streams};
use crate::lesson::document::{Lesson, SegmentKind};
use crate::store::atomic;
use crate::tab::handout::handout;
use crate::tab::handout::options::{HandoutOptions, SegmentPick, UnusedMusic};
use crate::text::charset::Charset;

/// Prints the handout, or writes it to a file and says so.
///
/// Errors: a file that cannot be read as a lesson, segments that the lesson does not have, or output that cannot be
/// written.
pub fn run(args: &HandoutArgs, streams: &mut Streams<'_>) -> Result<Outcome> {
    let lesson = lesson_file::read(&args.file, &args.unsaved, streams)?;
    let options = options(args, &lesson)?;
    let text = handout(&lesson, &options).to_text();
    match args.output.as_deref().filter(|path| *path != Path::new("-")) {
        None => streams.out.write_all(text.as_bytes())?,
        Some(path) => {
            refuse_lesson_files(path, Some(&args.file), "a handout", "-o handout.txt")?;
            atomic::replace(path, text.as_bytes())
                .map_err(|error| anyhow!("{}: {error}; {}", shown(path), error.hint()))?;
            writeln!(streams.notes, "wrote {}", shown(path))?;
        }
    }
    Ok(Outcome::Fine)
}

fn options(args: &HandoutArgs, lesson: &Lesson) -> Result<HandoutOptions> {
    let segments = match &args.segments {
        Some(text) => text.parse().context("--segments")?,
        None => SegmentPick::All,
    };
    refuse_missing(&segments, lesson)?;
    Ok(HandoutOptions {
        paper: args.paper,
        columns: args.columns,
        charset: if args.ascii { Charset::Ascii } else { Charset::Utf8 },
        segments,
        unused: if args.unused { UnusedMusic::Print } else { UnusedMusic::LeaveOut },
        video: args.video.version(),
        ..HandoutOptions::default()
    })
}

/// Checks that the lesson has the chosen segments and kinds: a person who names one expects to see it printed. Errors:
/// it lacks one of them.
fn refuse_missing(picked: &SegmentPick, lesson: &Lesson) -> Result<()> {
    let SegmentPick::Only { numbers, kinds } = picked else { return Ok(()) };
    let count = lesson.segments.len();
    let there = match count {
        0 => "the lesson has no segments".to_owned(),
        1 => "the lesson has one segment, number 1".to_owned(),
        _ => format!("the lesson has segments 1 to {count}"),
    };
    if let Some(number) = numbers.iter().find(|number| usize::try_from(**number).is_ok_and(|number| number > count)) {
        bail!("--segments: there is no segment {number}; {there}");
    }
    let used: BTreeSet<SegmentKind> = lesson.segments.iter().map(|segment| segment.kind).collect();
    if let Some(kind) = kinds.difference(&used).next() {
        let used: Vec<&str> = used.iter().map(|kind| kind.word()).collect();
        let there = if used.is_empty() { there } else { format!("the lesson has {}", used.join(", ")) };
        bail!("--segments: no segment is of the kind {}; {there}", kind.word());
    }
    Ok(())
}
