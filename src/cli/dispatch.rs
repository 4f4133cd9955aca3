//! From a parsed command line to a result.

use std::io::{BufRead, Write};
use std::path::PathBuf;

use anyhow::Result;

use super::args::{Command, CommandLine};
use super::{chapters, check, demo, handout, manual, name, new, tunings};

/// How a command ended, where it did not fail.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Outcome {
    /// All is well: exit status 0.
    Fine,
    /// The command did its work and found problems: exit status 1.
    ProblemsFound,
    /// The workbench is asked for.
    Workbench(Launch),
}

/// What the workbench shall open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Launch {
    /// The last lesson, or the start screen if there is none.
    LastLesson,
    /// A lesson file.
    Lesson(PathBuf),
    /// A copy of a demo lesson, with a library and settings of its own beside it.
    Demo {
        /// The copied lesson.
        lesson: PathBuf,
        /// The folder for library and settings.
        home: PathBuf,
    },
}

/// Where a command reads and writes.
pub struct Streams<'a> {
    /// Standard input.
    pub input: &'a mut dyn BufRead,
    /// Standard output: results.
    pub out: &'a mut dyn Write,
    /// Standard error: notes that are not results.
    pub notes: &'a mut dyn Write,
}

/// Runs the command that was asked for.
///
/// Errors: bad use or unreadable input, exit status 2. A reader that stopped listening (a closed
/// pipe) is an I/O error like any other here; `main` treats it as a quiet end.
pub fn dispatch(line: CommandLine, streams: &mut Streams<'_>) -> Result<Outcome> {
    let Some(command) = line.command else { return Ok(Outcome::Workbench(Launch::LastLesson)) };
    match command {
        Command::Open(args) => Ok(Outcome::Workbench(Launch::Lesson(args.file))),
        Command::New(args) => new::run(&args, streams),
        Command::Demo(args) => demo::run(&args, streams),
        Command::Check(args) => check::run(&args, streams),
        Command::Handout(args) => handout::run(&args, streams),
        Command::Chapters(args) => chapters::run(&args, streams),
        Command::Name(args) => name::run(&args, streams),
        Command::Tunings(args) => tunings::run(&args, streams),
        Command::Completions(args) => manual::completions(&args, streams),
        Command::Man => manual::page(streams),
        _ => anyhow::bail!("later"),
    }
}
