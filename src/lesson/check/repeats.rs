//! Repeats that do not close and endings that do not follow each other.

use super::finding::{Finding, FindingKind};
use super::words::{counted, listed};
use crate::lesson::bar_numbers::BarNumbers;
use crate::lesson::music::{Bar, Passage};
use crate::lesson::place::{LessonPlace, Spot};

pub(super) fn check(passage: &Passage, findings: &mut Vec<Finding>) {
    let at = |index: usize| LessonPlace::Passage(passage.id, Spot::bar(index));
    let mut open: Option<usize> = None;
    for (index, bar) in passage.bars.iter().enumerate() {
        if bar.repeat_start {
            if let Some(first) = open {
                findings.push(Finding::warning(
                    FindingKind::Repeat,
                    at(index),
                    format!(
                        "a repeat starts here before the one from {} has ended",
                        BarNumbers::of(passage).name(first)
                    ),
                    "end the first repeat, or delete one of the two starts",
                ));
            }
            open = Some(index);
        }
        if let Some(times) = bar.repeat_end {
            // A repeat end without a start goes back to the start of the passage: common practice.
            open = None;
            if times < 2 {
                findings.push(Finding::problem(
                    FindingKind::Repeat,
                    at(index),
                    format!(
                        "the repeat that ends here is played {} in all, which is no repeat",
                        counted(usize::from(times), "time")
                    ),
                    "play it 2 times or more, or delete the repeat",
                ));
            }
        }
    }
    if let Some(first) = open {
        findings.push(Finding::problem(
            FindingKind::Repeat,
            at(first),
            "the repeat that starts here never ends",
            "end it after the last bar that is repeated, or delete the start",
        ));
    }
    check_endings(passage, findings);
}

/// Neighbouring bars with the same endings.
struct EndingGroup<'a> {
    first: usize,
    endings: &'a [u8],
    repeat_end: Option<u8>,
}

fn check_endings(passage: &Passage, findings: &mut Vec<Finding>) {
    let at = |index: usize| LessonPlace::Passage(passage.id, Spot::bar(index));
    let mut start = 0;
    // A first ending after another one begins a new set; so does a bar outside endings.
    let same_set = |one: &Bar, next: &Bar| {
        !one.endings.is_empty()
            && !next.endings.is_empty()
            && (one.endings == next.endings || !next.endings.contains(&1))
    };
    for set in passage.bars.chunk_by(same_set) {
        let groups = groups(set, start);
        start += set.len();
        let mut covered: Vec<u8> = Vec::new();
        for (place, group) in groups.iter().enumerate() {
            let expected = covered.iter().max().map_or(1, |last| u32::from(*last) + 1);
            let follows = (expected..).zip(group.endings).all(|(number, ending)| number == u32::from(*ending));
            if !follows {
                findings.push(Finding::problem(
                    FindingKind::Ending,
                    at(group.first),
                    format!("ending {} where ending {expected} should come", listed(group.endings)),
                    format!("number the endings 1, 2, 3 in the order they are played: this one {expected}"),
                ));
            }
            covered.extend(group.endings);
            if place + 1 < groups.len() && group.repeat_end.is_none() {
                findings.push(Finding::warning(
                    FindingKind::Ending,
                    at(group.first),
                    format!("ending {} does not go back: no repeat ends in it", listed(group.endings)),
                    "end a repeat after its last bar",
                ));
            }
        }
        let times = groups.iter().find_map(|group| group.repeat_end);
        if let (Some(first), Some(times)) = (groups.first(), times)
            && usize::from(times) != covered.len()
            && groups.len() > 1
        {
            findings.push(Finding::warning(
                FindingKind::Ending,
                at(first.first),
                format!("the repeat is played {times} times, and there are endings for {}", covered.len()),
                "give every time one ending: `1, 2` and `3` for three times",
            ));
        }
    }
}

fn groups(set: &[Bar], start: usize) -> Vec<EndingGroup<'_>> {
    let mut first = start;
    let chunks = set.chunk_by(|one, next| one.endings == next.endings);
    chunks
        .filter_map(|bars| {
            let here = first;
            first += bars.len();
            let endings = bars.first()?.endings.as_slice();
            (!endings.is_empty()).then(|| EndingGroup {
                first: here,
                endings,
                repeat_end: bars.iter().find_map(|bar| bar.repeat_end),
            })
        })
        .collect()
}
