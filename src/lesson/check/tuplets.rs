//! Tuplets that are not complete.

use super::finding::{Finding, FindingKind};
use super::words::counted;
use crate::lesson::music::{Event, Passage};
use crate::lesson::place::{LessonPlace, Spot};
use crate::lesson::time::{Length, NoteValue, Ticks, Tuplet};

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
    let written = |length: Length| Length::new(length.value(), length.dots(), None).map_or(Ticks::ZERO, Length::ticks);
    let total: Ticks = run.iter().map(|event| written(event.length)).sum();
    let unit = run.iter().map(|event| shortest_part(event.length)).max().unwrap_or(NoteValue::Eighth);
    let group = unit.ticks().0 * u64::from(tuplet.actual);
    let rest = total.0 % group.max(1);
    if rest == 0 {
        return None;
    }
    let Tuplet { actual, normal } = tuplet;
    let unit_name = unit.name();
    let of_unit = |ticks: u64| usize::try_from(ticks.div_ceil(unit.ticks().0.max(1))).unwrap_or(usize::MAX);
    let written = of_unit(total.0);
    let missing = of_unit(group - rest);
    Some(Finding::problem(
        FindingKind::Tuplet,
        place,
        format!("{} is not complete: {} where {actual} count as {normal}", kind(tuplet), counted(written, unit_name)),
        format!("add {} to it, as notes or rests", counted(missing, &format!("more {unit_name}"))),
    ))
}

/// Returns the plain value of which a dotted length is made up.
fn shortest_part(length: Length) -> NoteValue {
    let denominator = u32::from(length.value().denominator()) << length.dots();
    u8::try_from(denominator).ok().and_then(NoteValue::from_denominator).unwrap_or(NoteValue::SixtyFourth)
}

fn kind(tuplet: Tuplet) -> String {
    match tuplet.actual {
        2 => "the duplet".to_owned(),
        3 => "the triplet".to_owned(),
        4 => "the quadruplet".to_owned(),
        5 => "the quintuplet".to_owned(),
        6 => "the sextuplet".to_owned(),
        7 => "the septuplet".to_owned(),
        actual => format!("the group of {actual}"),
    }
}
