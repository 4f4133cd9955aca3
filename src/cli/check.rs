//! `fingerpost check`: the problems of lessons, each with place, reason and remedy.

use anyhow::Result;

use super::args::CheckArgs;
use super::dispatch::{Outcome, Streams};
use super::lesson_file;
use crate::lesson::check::check;
use crate::tab::clean::printable;

/// Prints the findings of every file; exit status 1 when there are any problems.
///
/// A file that cannot be read is reported, the others are still checked, and the run ends as bad
/// input.
pub fn run(args: &CheckArgs, streams: &mut Streams<'_>) -> Result<Outcome> {
    let mut outcome = Outcome::Fine;
    let mut unreadable = None;
    for file in &args.files {
        let lesson = match lesson_file::read(file, streams) {
            Ok(lesson) => lesson,
            Err(error) => {
                writeln!(streams.notes, "fingerpost: {error:#}")?;
                unreadable = Some(lesson_file::shown(file));
                continue;
            }
        };
        let findings = check(&lesson);
        let shown = lesson_file::shown(file);
        for finding in &findings {
            writeln!(streams.out, "{shown}: {}", printable(&finding.to_string()))?;
        }
    }
    Ok(outcome)
}
