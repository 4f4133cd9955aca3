//! What a command is given, and how it ends. The exit status itself is set in `main`.

use std::io::{BufRead, Write};
use std::path::PathBuf;

/// The end of a command that did not fail.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Outcome {
    /// All is well: the exit status is 0.
    Fine,
    /// The command did its work and found problems: the exit status is 1.
    ProblemsFound,
    /// The workbench is to be opened.
    Workbench(Launch),
}

/// What the workbench opens.
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

/// The streams from which a command reads and to which it writes.
pub struct Streams<'a> {
    /// Standard input.
    pub input: &'a mut dyn BufRead,
    /// Standard output, for results.
    pub out: &'a mut dyn Write,
    /// Standard error, for notes that are not results.
    pub notes: &'a mut dyn Write,
}
