//! The fingerpost program: parse, dispatch, print the error, exit code.

use std::io::{self, BufWriter, Write};
use std::process::ExitCode;

use clap::Parser;
use fingerpost::cli::args::CommandLine;
use fingerpost::cli::dispatch::dispatch;
use fingerpost::cli::outcome::{Launch, Outcome, Streams};
use fingerpost::store::folders::Folders;
use fingerpost::workbench::runtime::{self, Ended, OpenFirst, RunOptions};

/// Bad use or unreadable input.
const BAD_USE: u8 = 2;
/// What shells add to the number of a signal that ended a program.
const SIGNALLED: i32 = 128;

fn main() -> ExitCode {
    let line = CommandLine::parse();
    match run(line) {
        Ok(code) => code,
        // Whoever read our output had enough of it: nothing to complain about.
        Err(error) if is_closed_pipe(&error) => ExitCode::SUCCESS,
        Err(error) => {
            let _ = writeln!(io::stderr(), "fingerpost: {error:#}");
            ExitCode::from(BAD_USE)
        }
    }
}

fn run(line: CommandLine) -> anyhow::Result<ExitCode> {
    let outcome = {
        let mut out = BufWriter::new(io::stdout().lock());
        let mut streams = Streams { input: &mut io::stdin().lock(), out: &mut out, notes: &mut io::stderr().lock() };
        let outcome = dispatch(line, &mut streams)?;
        out.flush()?;
        outcome
    };
    match outcome {
        Outcome::Fine => Ok(ExitCode::SUCCESS),
        Outcome::ProblemsFound => Ok(ExitCode::from(1)),
        Outcome::Workbench(launch) => open_workbench(launch),
    }
}

fn open_workbench(launch: Launch) -> anyhow::Result<ExitCode> {
    let (open, folders) = match launch {
        Launch::LastLesson => (OpenFirst::LastLesson, Folders::of_user()),
        Launch::Lesson(path) => (OpenFirst::Lesson(path), Folders::of_user()),
        Launch::Demo { lesson, home } => (OpenFirst::Demo(lesson), Some(Folders::under(&home))),
    };
    Ok(match runtime::run(RunOptions { open, folders })? {
        Ended::Quit => ExitCode::SUCCESS,
        Ended::Signal(number) => ExitCode::from(u8::try_from(SIGNALLED + number).unwrap_or(BAD_USE)),
        Ended::TerminalGone => ExitCode::from(BAD_USE),
    })
}

fn is_closed_pipe(error: &anyhow::Error) -> bool {
    error
        .chain()
        .filter_map(|cause| cause.downcast_ref::<io::Error>())
        .any(|cause| cause.kind() == io::ErrorKind::BrokenPipe)
}
