//! The fingerpost program: parse, dispatch, print the error, exit code.
//!
//! Only this file knows both the command line and the workbench: a command that wants the workbench returns what to
//! open.

use std::io::{self, Write};
use std::process::ExitCode;

use fingerpost::cli::args::CommandLine;
use fingerpost::cli::complaint::told;
use fingerpost::cli::dispatch::dispatch;
use fingerpost::cli::outcome::{Launch, Outcome, Streams};
use fingerpost::cli::output::{BufferedOutput, Notes, WriteOutcome};
use fingerpost::cli::parse::{NoCommand, parse};
use fingerpost::store::folders::Folders;
use fingerpost::text::safe::printable_lines;
use fingerpost::workbench::runtime::{self, Ended, OpenFirst, RunOptions};

/// The exit code after wrong arguments, or input that cannot be read.
const BAD_USE: u8 = 2;
/// The exit code after a fault of the program; the standard library of Rust ends a program that panics with the same.
const FAULT: u8 = 101;
/// The exit code after the terminal was closed: the one that shells report of a program that SIGHUP, signal 1 of POSIX, has ended.
/// The program ends with it also where it notices the closing before the signal comes.
const HUNG_UP: u8 = 129;
/// The number that shells add to that of a signal to get the exit code of the program that it ended.
const SIGNALLED: i32 = 128;

fn main() -> ExitCode {
    let line = match parse(std::env::args_os()) {
        Ok(line) => line,
        Err(NoCommand::Asked(text)) => {
            let mut out = BufferedOutput::new(io::stdout().lock());
            // A failure is remembered and comes out at the end.
            let _ = out.write_all(text.as_bytes());
            return finished(out).unwrap_or(ExitCode::SUCCESS);
        }
        Err(NoCommand::Mistake(text)) => {
            let _ = write!(io::stderr(), "{text}");
            return ExitCode::from(BAD_USE);
        }
    };
    run(line).unwrap_or_else(|error| complain(&told(&error)))
}

fn run(line: CommandLine) -> anyhow::Result<ExitCode> {
    let mut out = BufferedOutput::new(io::stdout().lock());
    let outcome = {
        let mut streams =
            Streams { input: &mut io::stdin().lock(), out: &mut out, notes: &mut Notes::new(io::stderr().lock()) };
        dispatch(line, &mut streams)
    };
    if let Some(code) = finished(out) {
        return Ok(code);
    }
    match outcome? {
        Outcome::Fine => Ok(ExitCode::SUCCESS),
        Outcome::ProblemsFound => Ok(ExitCode::from(1)),
        Outcome::Workbench(launch) => open_workbench(launch),
    }
}

/// Returns how to end where not all of the output has arrived.
fn finished<W: Write>(out: BufferedOutput<W>) -> Option<ExitCode> {
    match out.finish() {
        WriteOutcome::All => None,
        // Whoever read our output had enough of it: nothing to complain about.
        WriteOutcome::NotWanted => Some(ExitCode::SUCCESS),
        WriteOutcome::Failed(error) => Some(complain(&format!("the output could not be written: {error}"))),
    }
}

/// Says what went wrong. Messages quote what users and files say, so nothing in them is sent as it is.
fn complain(message: &str) -> ExitCode {
    let _ = writeln!(io::stderr(), "fingerpost: {}", printable_lines(message));
    ExitCode::from(BAD_USE)
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
        Ended::TerminalGone => ExitCode::from(HUNG_UP),
        Ended::Fault => ExitCode::from(FAULT),
    })
}
