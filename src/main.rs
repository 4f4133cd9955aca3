//! The fingerpost program: parse, dispatch, print the error, exit code.

use std::io::{self, BufWriter, Write};
use std::process::ExitCode;

use clap::Parser;
use fingerpost::cli::args::CommandLine;
use fingerpost::cli::dispatch::dispatch;
use fingerpost::cli::outcome::{Outcome, Streams};

/// Bad use or unreadable input.
const BAD_USE: u8 = 2;

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
        Outcome::Workbench(_) => anyhow::bail!("later"),
    }
}

fn is_closed_pipe(error: &anyhow::Error) -> bool {
    error
        .chain()
        .filter_map(|cause| cause.downcast_ref::<io::Error>())
        .any(|cause| cause.kind() == io::ErrorKind::BrokenPipe)
}
