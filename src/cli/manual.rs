//! `fingerpost completions` and `fingerpost man`: both are made from the clap definitions in [`args`](super::args).

use anyhow::Result;
use clap::CommandFactory;

use super::args::{CommandLine, CompletionsArgs};
use super::outcome::{Outcome, Streams};

/// Prints the completion script of a shell.
///
/// Errors: output that cannot be written.
pub fn completions(args: &CompletionsArgs, streams: &mut Streams<'_>) -> Result<Outcome> {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut CommandLine::command(), "fingerpost", &mut script);
    streams.out.write_all(&script)?;
    Ok(Outcome::Fine)
}

/// Prints the manual page: the page of the program, followed by one section for each command.
///
/// Errors: output that cannot be written.
pub fn page(streams: &mut Streams<'_>) -> Result<Outcome> {
    let mut command = CommandLine::command();
    command.build();
    clap_mangen::Man::new(command.clone()).render(streams.out)?;
    for sub in command.get_subcommands().filter(|sub| sub.get_name() != "help") {
        clap_mangen::Man::new(sub.clone()).render(streams.out)?;
    }
    Ok(Outcome::Fine)
}
