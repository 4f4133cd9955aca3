//! Turns the typed command line into a command, or into a text that is safe to print. Nothing runs or prints here.

use std::ffi::OsString;

use clap::Parser;
use clap::error::ErrorKind;

use super::args::CommandLine;
use crate::text::safe::printable_lines;

/// Why there is no command to run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoCommand {
    /// Help or the version was asked for; the text is for standard output.
    Asked(String),
    /// The command line is wrong; the text is for standard error.
    Mistake(String),
}

/// Reads a command line. The first of `arguments` is the program's own name.
///
/// The texts hold nothing that a terminal would obey, whatever was typed. A text that repeats the user's words is made
/// again from safe ones, so that those words are shown and not merely left out.
///
/// Errors: the text to print, where the command line asks for help or is wrong.
pub fn parse(arguments: impl IntoIterator<Item = OsString>) -> Result<CommandLine, NoCommand> {
    let arguments: Vec<OsString> = arguments.into_iter().collect();
    CommandLine::try_parse_from(&arguments).map_err(|error| {
        let safe = arguments.iter().map(|argument| printable_lines(&argument.to_string_lossy()));
        let error = CommandLine::try_parse_from(safe).err().unwrap_or(error);
        let text = printable_lines(&error.render().to_string());
        match error.kind() {
            ErrorKind::DisplayHelp | ErrorKind::DisplayVersion => NoCommand::Asked(text),
            _ => NoCommand::Mistake(text),
        }
    })
}
