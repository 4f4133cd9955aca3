//! Runs the command that a parsed command line names. What a command does is in its own file.

use anyhow::Result;

use super::args::{Command, CommandLine};
use super::outcome::{Launch, Outcome, Streams};
use super::{
    chapters, check, demo, fingering, handout, manual, name, new, place, read_tab, render, sound, tunings, voicings,
};

/// Runs the command that was asked for and returns its outcome.
///
/// Errors: wrong usage or unreadable input, which give exit status 2. A reader that stopped listening (a closed pipe)
/// is an I/O error like any other here; `main` treats it as a quiet end.
pub fn dispatch(line: CommandLine, streams: &mut Streams<'_>) -> Result<Outcome> {
    let Some(command) = line.command else { return Ok(Outcome::Workbench(Launch::LastLesson)) };
    match command {
        Command::Open(args) => Ok(Outcome::Workbench(Launch::Lesson(args.file))),
        Command::New(args) => new::run(&args, streams),
        Command::Demo(args) => demo::run(&args, streams),
        Command::Check(args) => check::run(&args, streams),
        Command::Handout(args) => handout::run(&args, streams),
        Command::Chapters(args) => chapters::run(&args, streams),
        Command::ReadTab(args) => read_tab::run(&args, streams),
        Command::Place(args) => place::run(&args, streams),
        Command::Name(args) => name::run(&args, streams),
        Command::Voicings(args) => voicings::run(&args, streams),
        Command::Fingering(args) => fingering::run(&args, streams),
        Command::Render(args) => render::run(&args, streams),
        Command::Sound(args) => sound::run(&args, streams),
        Command::Tunings(args) => tunings::run(&args, streams),
        Command::Completions(args) => manual::completions(&args, streams),
        Command::Man => manual::page(streams),
    }
}
