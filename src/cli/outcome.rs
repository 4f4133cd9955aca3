//! What a command is given and how it ends.

use std::io::{BufRead, Write};
use std::path::PathBuf;

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
