//! The whole check.

use super::finding::Finding;
use super::kept::Checked;
use super::{joins, techniques};
use crate::lesson::document::Lesson;
use crate::lesson::music::Passage;
use crate::lesson::touched::Touched;

/// Returns everything found in `lesson`, in the order of the document.
pub fn check(lesson: &Lesson) -> Vec<Finding> {
    let mut checked = Checked::default();
    checked.follow(lesson, &Touched::everything());
    checked.into_findings()
}

/// Returns what cannot be played in a passage, whatever it is played on: joins that lead nowhere and
/// techniques that exclude each other or their note.
pub fn unplayable(passage: &Passage) -> Vec<Finding> {
    let mut findings = Vec::new();
    joins::check(passage, &mut findings);
    techniques::check(passage, &mut findings);
    findings
}
