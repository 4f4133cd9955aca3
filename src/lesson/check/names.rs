//! Chord names that the notes under them contradict, and bars where another name is missing.

use super::finding::{Finding, FindingKind};
use crate::instrument::neck::StringNumber;
use crate::instrument::rig::Rig;
use crate::lesson::bar_numbers::BarNumbers;
use crate::lesson::document::{ChordNames, Lesson, Voicing};
use crate::lesson::harmony::judgement::{ContradictedName, NameStands, contradicted_names};
use crate::lesson::music::{Event, Passage};
use crate::lesson::phrase::Slot;
use crate::lesson::place::{LessonPlace, Spot};
use crate::text::quote::quoted;

use super::words::listed;

/// Finds chord names that the notes contradict; `rig` is what the passage is played on, if that is known.
pub(super) fn check(lesson: &Lesson, rig: Option<&Rig>, passage: &Passage, findings: &mut Vec<Finding>) {
    let Some(rig) = rig else { return };
    let found = contradicted_names(passage, rig, lesson.header.chord_names);
    findings.extend(
        found.iter().filter(|name| !is_said_of_voicing(lesson, passage, name)).map(|name| finding(passage, name)),
    );
}

/// Returns how many chord names of a lesson the notes under them contradict.
pub fn contradicted(lesson: &Lesson) -> usize {
    let mut findings = Vec::new();
    for passage in &lesson.passages {
        check(lesson, lesson.passage_rig(passage).as_ref(), passage, &mut findings);
    }
    findings.len()
}

/// Returns the names that fit better than the one a finding is about.
pub(super) fn better_names(lesson: &Lesson, passage: &Passage, spot: Spot) -> Vec<String> {
    let Some(rig) = lesson.passage_rig(passage) else { return Vec::new() };
    let all = contradicted_names(passage, &rig, lesson.header.chord_names);
    all.into_iter().find(|name| spot_of(name.slot) == spot).map_or(Vec::new(), |name| name.better)
}

fn finding(passage: &Passage, name: &ContradictedName) -> Finding {
    let ContradictedName { slot, written, stands, tones, better } = name;
    let (one_of, written, tones) = (better.join(" or "), quoted(written), listed(tones));
    let place = LessonPlace::Passage(passage.id, spot_of(*slot));
    match stands {
        NameStands::ByTheOther(ChordNames::SoundsAs) => Finding::note(
            FindingKind::ContradictedName,
            place,
            format!("the name {written} is what sounds over the capo, but names here are those of the shapes"),
            format!("call it {one_of}"),
        ),
        NameStands::ByTheOther(ChordNames::PlayedAs) => Finding::note(
            FindingKind::ContradictedName,
            place,
            format!("the name {written} is that of the shape, but names here are those that sound over the capo"),
            format!("call it {one_of}"),
        ),
        NameStands::Here => Finding::warning(
            FindingKind::ContradictedName,
            place,
            format!("the name {written} stands here, but {tones} sound under it"),
            format!("call it {one_of}, or correct the notes"),
        ),
        NameStands::Before(bar) => Finding::warning(
            FindingKind::MissingName,
            place,
            format!(
                "no name here, and {written} from {} does not fit: {tones} sound",
                BarNumbers::of(passage).name(*bar)
            ),
            format!("write {one_of} here, or correct the notes"),
        ),
    }
}

fn spot_of(slot: Slot) -> Spot {
    Spot::bar(slot.bar).voice(slot.voice).event(slot.event)
}

/// Returns whether the notes are a voicing that somebody has kept under this very name: what is wrong with it is found there.
fn is_said_of_voicing(lesson: &Lesson, passage: &Passage, name: &ContradictedName) -> bool {
    let stands_here = match name.stands {
        NameStands::Here | NameStands::ByTheOther(_) => true,
        NameStands::Before(_) => false,
    };
    let Some(event) = name.slot.read(passage).filter(|_| stands_here) else { return false };
    let voicing = event.voicing.and_then(|id| lesson.voicing(id));
    let is_called = |kept: &str| kept.trim() == name.written && lesson.header.chord_names == ChordNames::PlayedAs;
    voicing.is_some_and(|voicing| voicing.name().is_some_and(is_called) && holds(voicing, event))
}

/// Returns whether an event plays the shape of a voicing, and nothing else.
fn holds(voicing: &Voicing, event: &Event) -> bool {
    let strings = voicing.shape.strings();
    let fretted = strings
        .iter()
        .enumerate()
        .filter_map(|(index, fret)| Some((StringNumber::at(index, strings.len())?, (*fret)?)));
    let mut shape: Vec<_> = fretted.collect();
    let mut played: Vec<_> = event.notes.iter().map(|note| (note.string, note.fret)).collect();
    shape.sort_unstable();
    played.sort_unstable();
    shape == played
}
