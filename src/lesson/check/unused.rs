//! Instruments, tunings, pieces, passages and voicings that are used nowhere.

use super::finding::{Finding, FindingKind};
use crate::lesson::deleting::used_nowhere;
use crate::lesson::document::Lesson;
use crate::lesson::id::ItemId;
use crate::lesson::place::LessonPlace;

/// Notes what is used nowhere. Before there are segments nothing is.
pub(super) fn check(lesson: &Lesson, findings: &mut Vec<Finding>) {
    if lesson.segments.is_empty() {
        return;
    }
    for item in used_nowhere(lesson) {
        let (reason, use_it) = match item {
            ItemId::Passage(_) => ("no segment plays it, so it is not on the handout", "have a segment play it"),
            ItemId::Piece(_) => ("no segment is about it, and no passage is of it", "have a segment be about it"),
            ItemId::Setup(_) => ("nothing is played in it", "choose it for a segment"),
            ItemId::Instrument(_) => ("no tuning is for it", "choose a tuning of it for a segment"),
            ItemId::Voicing(_) => {
                ("no segment or passage shows it, so it is not on the handout", "have a segment show it")
            }
            // A segment is what uses the others.
            ItemId::Segment(_) => continue,
        };
        findings.push(Finding::note(
            FindingKind::UsedNowhere,
            LessonPlace::of(item),
            reason,
            format!("{use_it}, or delete it"),
        ));
    }
}
