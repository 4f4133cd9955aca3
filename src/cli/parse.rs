//! The command line as it was typed becomes a command, or a text that is safe to print.

use std::ffi::OsString;

use clap::Parser;
use clap::error::ErrorKind;

use super::args::CommandLine;
use crate::text::safe::printable_lines;

/// Why there is no command to run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoCommand {
    /// Help or the version was asked for: text for standard output.
    Asked(String),
    /// The command line makes no sense: text for standard error.
    Mistake(String),
}

/// Reads a command line; the first of `arguments` is the program's own name.
///
/// The texts hold nothing that a terminal would obey, whatever was typed: what shows the user's own
/// words is made anew from words that are safe, so that they are seen and not only left out.
///
/// Errors: the text to print, where it asks for help or makes no sense.
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
