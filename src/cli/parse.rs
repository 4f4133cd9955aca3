//! Turns the typed command line into a command, or into a text that is safe to print. Nothing runs or prints here.

use std::ffi::{OsStr, OsString};
use std::path::Path;

use clap::Parser;
use clap::error::{ContextKind, ContextValue, ErrorKind};

use super::args::CommandLine;
use super::taken_for::neither_command_nor_file;
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
/// A file in the place of a command is opened. A word that is neither is told with the command that comes nearest.
///
/// Errors: the text to print, where the command line asks for help or is wrong.
pub fn parse(arguments: impl IntoIterator<Item = OsString>) -> Result<CommandLine, NoCommand> {
    let mut arguments: Vec<OsString> = arguments.into_iter().collect();
    let mut parsed = CommandLine::try_parse_from(&arguments);
    let is_no_command = parsed.as_ref().is_err_and(|error| error.kind() == ErrorKind::InvalidSubcommand);
    if is_no_command && arguments.get(1).is_some_and(|word| is_file(word)) {
        arguments.insert(1, "open".into());
        parsed = CommandLine::try_parse_from(&arguments);
    }
    if let Err(error) = &parsed
        && error.kind() == ErrorKind::InvalidSubcommand
        && let Some(word) = arguments.get(1).filter(|word| is_the_word_of(error, word))
    {
        let said = neither_command_nor_file(word, nearest_command(error));
        return Err(NoCommand::Mistake(format!("fingerpost: {}\n", printable_lines(&said))));
    }
    parsed.map_err(|error| {
        let safe = arguments.iter().map(|argument| printable_lines(&argument.to_string_lossy()));
        let error = CommandLine::try_parse_from(safe).err().unwrap_or(error);
        let text = printable_lines(&error.render().to_string());
        match error.kind() {
            ErrorKind::DisplayHelp | ErrorKind::DisplayVersion => NoCommand::Asked(text),
            _ => NoCommand::Mistake(text),
        }
    })
}

/// Returns whether an error is about this word.
fn is_the_word_of(error: &clap::Error, word: &OsStr) -> bool {
    matches!(error.get(ContextKind::InvalidSubcommand), Some(ContextValue::String(said)) if *said == word.to_string_lossy())
}

/// Returns the command that is spelled most like the one in an error.
fn nearest_command(error: &clap::Error) -> Option<&str> {
    match error.get(ContextKind::SuggestedSubcommand)? {
        ContextValue::Strings(nearest) => nearest.first().map(String::as_str),
        ContextValue::String(nearest) => Some(nearest),
        _ => None,
    }
}

/// Returns whether a word names a file: one that is there, or one that is called like a lesson.
fn is_file(word: &OsStr) -> bool {
    let path = Path::new(word);
    path.is_file() || path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("ron"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cli::args::Command;

    fn parsed(words: &[&str]) -> Result<CommandLine, NoCommand> {
        parse(std::iter::once("fingerpost").chain(words.iter().copied()).map(OsString::from))
    }

    #[test]
    fn a_file_in_the_place_of_a_command_is_opened() {
        // One that is there, and one that is called like a lesson.
        for file in ["Cargo.toml", "tests/lessons/workbench.lesson.ron", "not/there.lesson.ron", "there.RON"] {
            let Ok(CommandLine { command: Some(Command::Open(args)) }) = parsed(&[file]) else { panic!("{file}") };
            assert_eq!(args.file, Path::new(file));
        }
        assert!(matches!(parsed(&["Cargo.toml", "--help"]), Err(NoCommand::Asked(help)) if help.contains("open")));
        // A command is one even where a file is called like it.
        assert!(matches!(parsed(&["check", "Cargo.toml"]), Ok(CommandLine { command: Some(Command::Check(_)) })));
    }

    #[test]
    fn the_help_says_that_a_file_alone_is_opened() {
        for words in [&["--help"][..], &["-h"]] {
            let Err(NoCommand::Asked(help)) = parsed(words) else { panic!("{words:?}") };
            assert!(help.contains("Usage: fingerpost [FILE]") && help.contains("fingerpost <COMMAND>"), "{help}");
        }
        let Err(NoCommand::Mistake(said)) = parsed(&["--opne"]) else { panic!("it is no option") };
        assert!(said.contains("fingerpost [FILE]"), "{said}");
        let Err(NoCommand::Asked(help)) = parsed(&["check", "--help"]) else { panic!("it asks for help") };
        assert!(help.contains("Usage: fingerpost check") && !help.contains("[FILE]\n"), "{help}");
    }

    #[test]
    fn a_word_that_is_neither_command_nor_file_is_told_with_the_nearest_command() {
        let Err(NoCommand::Mistake(said)) = parsed(&["chekc"]) else { panic!("it is no command") };
        assert_eq!(said, "fingerpost: no file and no command is called `chekc`; did you mean `fingerpost check`?\n");
        for (words, told) in [
            (&["src"][..], "`src` is a folder, and no command has that name"),
            (&["xyzzy"], "`fingerpost --help` lists the commands"),
            (&["not/there.txt"], "the name of a lesson ends in `.lesson.ron`"),
            // A lesson that is named without its ending, or with another.
            (&["tests/lessons/workbench"], "did you mean `fingerpost tests/lessons/workbench.lesson.ron`?"),
            (&["tests/lessons/workbench.lesson"], "did you mean `fingerpost tests/lessons/workbench.lesson.ron`?"),
            (&["tests/lessons/workbench.txt"], "did you mean `fingerpost tests/lessons/workbench.lesson.ron`?"),
            (&["--opne"], "--opne"),
            (&["help", "chekc"], "chekc"),
            // What a terminal would obey is shown instead.
            (&["a\u{1b}[2Jb"], "a\\u{1b}[2Jb"),
        ] {
            let Err(NoCommand::Mistake(said)) = parsed(words) else { panic!("{words:?}") };
            assert!(said.contains(told), "{words:?}: {said}");
        }
    }
}
