//! Passages and voicings that state no tuning where it is not clear which one is meant.

use super::finding::{Finding, FindingKind};
use super::words::listed;
use crate::lesson::assumed_tunings::AssumedTunings;
use crate::lesson::document::{Lesson, Setup};
use crate::lesson::id::SetupId;
use crate::lesson::place::LessonPlace;
use crate::lesson::tunings::plays_alike;
use crate::text::quote::quoted;

/// Notes what states no tuning and is played in several, and the passages that nothing plays, where the lesson has several
/// tunings.
pub(super) fn check(lesson: &Lesson, findings: &mut Vec<Finding>) {
    let Some((first, others)) = lesson.setups.split_first() else { return };
    if others.iter().all(|other| plays_alike(first, other)) {
        return;
    }
    let assumed = AssumedTunings::of(lesson);
    for passage in lesson.passages.iter().filter(|passage| lesson.stated_passage_setup(passage).is_none()) {
        let place = LessonPlace::of(passage.id);
        match assumed.of_passage(passage.id) {
            [] => findings.push(Finding::note(
                FindingKind::AssumedSetup,
                place,
                format!(
                    "it states no tuning and no segment plays it, so it is assumed to be in \"{}\"",
                    quoted(&first.name)
                ),
                "choose its tuning",
            )),
            tunings => findings.extend(in_several(lesson, tunings, "played", place)),
        }
    }
    for voicing in lesson.voicings.iter().filter(|voicing| voicing.setup.is_none()) {
        findings.extend(in_several(lesson, assumed.of_voicing(voicing.id), "shown", LessonPlace::of(voicing.id)));
    }
}

/// Finds something that states no tuning and is played in several that differ.
fn in_several(lesson: &Lesson, tunings: &[SetupId], word: &str, place: LessonPlace) -> Option<Finding> {
    let differing = differing(lesson, tunings);
    let [first, _, ..] = differing.as_slice() else { return None };
    let names: Vec<String> = differing.iter().map(|setup| format!("\"{}\"", quoted(&setup.name))).collect();
    Some(Finding::warning(
        FindingKind::AssumedSetup,
        place,
        format!("it states no tuning, and is {word} in {}", listed(&names)),
        format!("choose its tuning; it is assumed to be in \"{}\", where it comes first", quoted(&first.name)),
    ))
}

/// Returns the tunings in which the same frets sound different notes, in this order.
pub(super) fn differing<'a>(lesson: &'a Lesson, tunings: &[SetupId]) -> Vec<&'a Setup> {
    let mut differing: Vec<&Setup> = Vec::new();
    for setup in tunings.iter().filter_map(|id| lesson.setup(*id)) {
        if !differing.iter().any(|known| plays_alike(known, setup)) {
            differing.push(setup);
        }
    }
    differing
}
