//! `fingerpost handout`: the lesson on paper.

use std::path::Path;

use anyhow::{Context as _, Result, anyhow, bail};

use super::args::{HandoutArgs, PaperName};
use super::lesson_file::{self, shown};
use super::outcome::{Outcome, Streams};
use crate::lesson::document::Lesson;
use crate::store::atomic::{self, real_path};
use crate::store::lesson_file::{EXTENSION, load};
use crate::tab::handout::handout;
use crate::tab::handout::options::{HandoutOptions, Paper, SegmentPick};
use crate::tab::style::Charset;

/// Prints the handout, or writes it to a file and says so.
pub fn run(args: &HandoutArgs, streams: &mut Streams<'_>) -> Result<Outcome> {
    let lesson = lesson_file::read(&args.file, streams)?;
    let options = options(args, &lesson)?;
    let text = handout(&lesson, &options).to_text();
    match args.output.as_deref().filter(|path| *path != Path::new("-")) {
        None => streams.out.write_all(text.as_bytes())?,
        Some(path) => {
            refuse_lesson_files(path, &args.file)?;
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
    let picked = lesson.segments.iter().enumerate().any(|(place, segment)| segments.picks(place, segment));
    if args.segments.is_some() && !picked {
        bail!("--segments picks nothing: the lesson has {} segments, counted from 1", lesson.segments.len());
    }
    Ok(HandoutOptions {
        paper: match args.paper {
            PaperName::A4 => Paper::A4,
            PaperName::Letter => Paper::Letter,
        },
        columns: args.columns,
        charset: if args.ascii { Charset::Ascii } else { Charset::Utf8 },
        segments,
        ..HandoutOptions::default()
    })
}

/// A slip of the hand must not replace a lesson by its own handout, whatever name or link leads to it.
fn refuse_lesson_files(path: &Path, lesson: &Path) -> Result<()> {
    let named_so = |path: &Path| path.to_string_lossy().ends_with(EXTENSION);
    let real = real_path(path);
    if named_so(path) || named_so(&real) || real == real_path(lesson) || load(&real).is_ok() {
        bail!(
            "{} is a lesson file: a handout would replace it; choose another name, as in `-o handout.txt`",
            shown(path)
        );
    }
    Ok(())
}
