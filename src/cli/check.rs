//! `fingerpost check`: what is wrong in lessons, each with place, reason and remedy.
//!
//! The status is 1 for problems only. Warnings and notes are for the eye; a doubt left open must not fail a script.

use anyhow::{Result, bail};

use super::args::CheckArgs;
use super::complaint::told;
use super::lesson_file::{self, shown};
use super::outcome::{Outcome, Streams};
use crate::lesson::check::check;
use crate::lesson::check::finding::Severity;
use crate::text::safe::{printable, printable_lines};

/// Prints the findings of every file; exit status 1 when there is a problem among them (warnings
/// and notes alone are no reason to stop).
///
/// A file that cannot be read is reported, the others are still checked, and the run ends as bad
/// input.
///
/// Errors: at the end, files that could not be read; or output that cannot be written.
pub fn run(args: &CheckArgs, streams: &mut Streams<'_>) -> Result<Outcome> {
    let mut outcome = Outcome::Fine;
    let mut unreadable = 0;
    for file in &args.files {
        let lesson = match lesson_file::read(file, streams) {
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
            writeln!(streams.out, "{}: nothing found", shown(file))?;
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
