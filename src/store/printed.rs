//! Which handouts the program has written, so that one that nobody has changed since may be replaced without a question.
//!
//! A handout is known by its lesson and by what it holds, not by where it lies: a folder may be moved, and a file that somebody
//! has put there is another one even under the same name.

use std::path::PathBuf;

use serde::{Deserialize, Serialize};

use super::fingerprint::Fingerprint;
use super::folders::Folders;
use super::formats::PRINTED_FORMAT;
use super::latest::Latest;
use super::user_file::{UpdateError, UserFile};
use crate::lesson::id::LessonId;

/// The handouts written last, of all lessons.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct PrintedHandouts {
    format: u32,
    /// The latest first, at most [`Latest::KEPT`].
    printed: Vec<PrintedHandout>,
}

/// One handout.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PrintedHandout {
    lesson: LessonId,
    /// The fingerprint of what it holds, as text.
    content: String,
}

impl Default for PrintedHandouts {
    fn default() -> Self {
        Self { format: Self::FORMAT, printed: Vec::new() }
    }
}

impl UserFile for PrintedHandouts {
    const TOP_LINE: &'static str = "The handouts that fingerpost has written and may replace. It may be deleted.";
    const FORMAT: u32 = PRINTED_FORMAT;

    fn format(&self) -> u32 {
        self.format
    }

    fn renew_format(&mut self) {
        self.format = Self::FORMAT;
    }
}

impl Latest for PrintedHandouts {
    type Entry = PrintedHandout;
    // Some of each lesson that a teacher works on.
    const KEPT: usize = 400;

    fn path(folders: &Folders) -> PathBuf {
        folders.printed_handouts()
    }

    fn entries(&mut self) -> &mut Vec<PrintedHandout> {
        &mut self.printed
    }
}

impl PrintedHandouts {
    /// Returns whether a handout of `lesson` with this content was written by the program. Where that cannot be read, it
    /// was not.
    pub fn knows(folders: &Folders, lesson: LessonId, content: Fingerprint) -> bool {
        Self::known(folders).printed.contains(&PrintedHandout { lesson, content: content.to_string() })
    }

    /// Remembers that a handout of `lesson` with this content was written.
    ///
    /// Errors: the file cannot be read or written; what was there is still there.
    pub fn remember(folders: &Folders, lesson: LessonId, content: Fingerprint) -> Result<(), UpdateError> {
        let written = PrintedHandout { lesson, content: content.to_string() };
        Self::put_first(folders, Some(&written), |other| *other == written)
    }
}
