//! Chord shapes that a segment shows without a name: their grids are printed with none over them.

use std::collections::HashSet;

use super::finding::{Finding, FindingKind};
use super::mending::{Remedy, changed};
use super::rigs::Rigs;
use crate::instrument::rig::Rig;
use crate::lesson::document::{Lesson, Voicing};
use crate::lesson::id::VoicingId;
use crate::lesson::place::LessonPlace;
use crate::theory::reading::{Context, Doubt, readings_limited};

/// How many names are offered at most.
const MOST_NAMES: usize = 4;

/// Notes the shapes that are shown without a name and could have one.
pub(super) fn check(lesson: &Lesson, rigs: &Rigs, findings: &mut Vec<Finding>) {
    let is_unnamed = |voicing: &&Voicing| voicing.name().is_none_or(|name| name.trim().is_empty());
    let mut unnamed = lesson.voicings.iter().filter(is_unnamed).peekable();
    if unnamed.peek().is_none() {
        return;
    }
    let shown: HashSet<VoicingId> = lesson.segments.iter().flat_map(|segment| &segment.voicings).copied().collect();
    for voicing in unnamed.filter(|voicing| shown.contains(&voicing.id)) {
        let names = rigs.of_voicing(lesson, voicing).map_or_else(Vec::new, |rig| names_of(voicing, rig));
        if names.is_empty() {
            continue;
        }
        findings.push(Finding::note(
            FindingKind::NoName,
            LessonPlace::Voicing(voicing.id, None),
            "this chord shape is shown without a name",
            format!("name it {}", names.join(" or ")),
        ));
    }
}

/// Returns the ways to name a voicing that has no name.
pub(super) fn ways_to_name(lesson: &Lesson, voicing: &Voicing) -> Vec<Remedy> {
    let names = lesson.voicing_rig(voicing).map_or_else(Vec::new, |rig| names_of(voicing, &rig));
    let way = |name: String| {
        let words = [format!("name it {name}"), format!("the name is now {name}")];
        changed(lesson, Voicing { readings: vec![name], ..voicing.clone() }, words)
    };
    names.into_iter().filter_map(way).collect()
}

/// Returns the chord names that a voicing can have as the hand plays it, best first: none as long as it is not sure which strings sound.
fn names_of(voicing: &Voicing, rig: &Rig) -> Vec<String> {
    if voicing.doubts.contains(&Doubt::Unsure) {
        return Vec::new();
    }
    let Ok(notes) = rig.notes_as_played(&voicing.shape) else { return Vec::new() };
    let context = Context { lowest: rig.lowest_is(), ..Context::default() };
    let readings = readings_limited(&notes, &context, MOST_NAMES).into_iter();
    readings.filter(|reading| reading.kind.is_chord_name()).map(|reading| reading.symbol).collect()
}
