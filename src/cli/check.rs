//! `fingerpost check`: what is wrong in lessons, each finding with its place, reason and remedy.
//!
//! Only problems lead to exit status 1. Warnings and notes are for reading; a doubt left open must not fail a script.
//! What counts as a problem is not decided here; see `lesson::check`.

use anyhow::{Result, bail};

use super::args::CheckArgs;
use super::complaint::told;
use super::lesson_file::{self, shown};
use super::outcome::{Outcome, Streams};
use crate::lesson::check::check;
use crate::lesson::check::finding::Severity;
use crate::text::safe::{printable, printable_lines};

/// Prints the findings of every file. The outcome is [`Outcome::ProblemsFound`] when there is a problem among them;
/// warnings and notes do not count.
///
/// A file that cannot be read is reported, and the other files are still checked.
///
/// Errors: after all files, that some could not be read; or output that cannot be written.
pub fn run(args: &CheckArgs, streams: &mut Streams<'_>) -> Result<Outcome> {
    let mut outcome = Outcome::Fine;
    let mut unreadable = 0;
    for file in &args.files {
        let lesson = match lesson_file::read(file, &args.unsaved, streams) {
            Ok(lesson) => lesson,
            Err(error) => {
                writeln!(streams.notes, "fingerpost: {}", printable_lines(&told(&error)))?;
                unreadable += 1;
                continue;
            }
        };
        let findings = check(&lesson);
        for finding in &findings {
            writeln!(streams.out, "{}: {}", shown(file), printable(&finding.text(&lesson)))?;
        }
        if findings.is_empty() {
            writeln!(streams.out, "{}: no problems", shown(file))?;
        }
        if findings.iter().any(|finding| finding.severity == Severity::Problem) {
            outcome = Outcome::ProblemsFound;
        }
    }
    match unreadable {
        0 => Ok(outcome),
        1 => bail!("one file could not be read"),
        count => bail!("{count} files could not be read"),
    }
}
