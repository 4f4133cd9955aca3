//! Tuplets that are not complete.

use super::finding::{Finding, FindingKind};
use super::words::{counted, tuplet_word};
use crate::lesson::music::{Event, Passage};
use crate::lesson::phrase::rests::TupletGroups;
use crate::lesson::place::{LessonPlace, Spot};
use crate::lesson::time::Tuplet;

pub(super) fn check(passage: &Passage, findings: &mut Vec<Finding>) {
    for (index, bar) in passage.bars.iter().enumerate() {
        for (number, voice) in bar.voices.iter().enumerate() {
            let mut event = 0;
            for run in voice.0.chunk_by(|one, next| one.length.tuplet() == next.length.tuplet()) {
                if let Some(tuplet) = run.first().and_then(|event| event.length.tuplet()) {
                    let place = LessonPlace::Passage(passage.id, Spot::bar(index).voice(number).event(event));
                    findings.extend(incomplete(run, tuplet, place));
                }
                event += run.len();
            }
        }
    }
}

/// Finds a run of events in one sort of tuplet that is not complete. It is complete when its written lengths make up
/// whole groups: so many of the shortest value in it as the tuplet counts, or a multiple.
fn incomplete(run: &[Event], tuplet: Tuplet, place: LessonPlace) -> Option<Finding> {
    let groups = TupletGroups::of(run, tuplet);
    let lacks = groups.lacks();
    if lacks == 0 {
        return None;
    }
    let (actual, normal, unit) = (tuplet.actual, tuplet.normal, groups.unit);
    let counted_in = |count: u64, word: &str| counted(usize::try_from(count).unwrap_or(usize::MAX), word);
    let missing = lacks.div_ceil(unit.ticks().0.max(1));
    let written = counted_in(groups.count(), unit.name());
    Some(Finding::problem(
        FindingKind::Tuplet,
        place,
        format!("the {} is not complete: {written} where {actual} count as {normal}", tuplet_word(tuplet)),
        format!("add {} to it, as notes or rests", counted_in(missing, &format!("more {}", unit.name()))),
    ))
}
