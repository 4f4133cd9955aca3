//! The whole check.

use super::finding::{Finding, FindingKind};
use super::{
    bars, chapters, joins, links, neck, numbers, repeats, retuning, segments, strings, techniques, text, tuplets,
    voicings,
};
use crate::lesson::document::Lesson;
use crate::lesson::music::Passage;
use crate::lesson::place::Place;

/// Returns everything found in `lesson`, in the order of the document.
pub fn check(lesson: &Lesson) -> Vec<Finding> {
    let mut findings = Vec::new();
    if is_empty(lesson) {
        findings.push(Finding::note(
            FindingKind::EmptyLesson,
            Place::Lesson,
            "there is nothing in this lesson yet",
            "add a segment or a piece",
        ));
    }
    links::check(lesson, &mut findings);
    text::check(lesson, &mut findings);
    numbers::check(lesson, &mut findings);
    for passage in &lesson.passages {
        bars::check(passage, &mut findings);
        tuplets::check(passage, &mut findings);
        repeats::check(passage, &mut findings);
        strings::check(passage, &mut findings);
        joins::check(passage, &mut findings);
        techniques::check(passage, &mut findings);
        voicings::check_chord_names(lesson, passage, &mut findings);
        neck::check(lesson, passage, &mut findings);
    }
    voicings::check(lesson, &mut findings);
    segments::check(lesson, &mut findings);
    retuning::check(lesson, &mut findings);
    chapters::check(lesson, &mut findings);
    findings.sort_by_cached_key(|finding| (finding.place.order(lesson), finding.severity, finding.kind));
    findings
}

/// Returns what is wrong with the lengths of the bars of a passage, in their order.
pub fn bar_lengths(passage: &Passage) -> Vec<Finding> {
    let mut findings = Vec::new();
    bars::check(passage, &mut findings);
    findings.retain(|finding| finding.kind == FindingKind::BarLength);
    findings
}

/// Returns what cannot be played in a passage, whatever it is played on: joins that lead nowhere and
/// techniques that exclude each other or their note.
pub fn unplayable(passage: &Passage) -> Vec<Finding> {
    let mut findings = Vec::new();
    joins::check(passage, &mut findings);
    techniques::check(passage, &mut findings);
    findings
}

fn is_empty(lesson: &Lesson) -> bool {
    lesson.segments.is_empty()
        && lesson.passages.is_empty()
        && lesson.voicings.is_empty()
        && lesson.pieces.is_empty()
        && lesson.setups.is_empty()
        && lesson.instruments.is_empty()
}
