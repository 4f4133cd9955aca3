//! The ways to mend what is found about tunings, between which a person must choose: who goes to the tuning of whom.

use std::collections::HashSet;

use super::assumed::differing;
use super::elsewhere::{PlayedElsewhere, played_elsewhere};
use super::finding::Finding;
use super::mending::{Remedy, only};
use super::retuning::led_elsewhere;
use super::shown_elsewhere::shown_elsewhere;
use crate::lesson::assumed_tunings::AssumedTunings;
use crate::lesson::document::{Lesson, Segment, Setup, Voicing};
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::fresh::IdSource;
use crate::lesson::harmony::names_after::said_of_changes;
use crate::lesson::id::{PassageId, SegmentId, SetupId};
use crate::lesson::moved_voicing::called;
use crate::lesson::music::Passage;
use crate::lesson::place::LessonPlace;
use crate::lesson::tunings::{FretsOrSound, Retuned, passages_to, plays_alike};
use crate::lesson::tunings_along::played_in;
use crate::lesson::voicings_along::{VoicingsThere, make, take_along};

/// Returns what brings segments and what they play into one tuning: the segments go to the passages, or those to the segments.
/// `None` where nothing of the kind is found any more, or two segments share an identity.
pub(super) fn ways_to_one_tuning(lesson: &Lesson, finding: &Finding, ids: &mut IdSource) -> Option<Vec<Remedy>> {
    let all = played_elsewhere(lesson);
    let PlayedElsewhere { passages, segments, written, here, .. } =
        all.iter().find(|played| played.finding().is_some_and(|found| found == *finding))?;
    for segment in &lesson.segments {
        only(&lesson.segments, segment.id)?;
    }
    let word = if segments.len() == 1 { "segment" } else { "segments" };
    let is = if segments.len() == 1 { "is" } else { "are" };
    let coming = segments.iter().map(|(_, segment)| segment.id).collect();
    let mut ways = vec![Remedy {
        text: format!("play the {word} in \"{}\"", written.name),
        done: format!("the {word} {is} now played in \"{}\"", written.name),
        // What follows stays in the tuning that it is in.
        edits: played_in(lesson, &coming, written.id),
    }];
    let (what, is) = match passages.as_slice() {
        [only] => (format!("\"{}\"", only.title), "is"),
        several => (format!("the {} passages", several.len()), "are"),
    };
    let going: Vec<PassageId> = passages.iter().map(|passage| passage.id).collect();
    for (keeping, words) in [(FretsOrSound::Frets, "same frets"), (FretsOrSound::Sound, "same sound, new frets")] {
        let Ok(mut retuned) = passages_to(lesson, &going, here, keeping) else { continue };
        let _ = take_along(lesson, &mut retuned, VoicingsThere::Come(keeping), &mut || ids.draw(lesson));
        let text = format!("{what} in \"{}\": {words}", here.name);
        let renamed = said_of_changes(&retuned.renamed);
        let done = format!("{what} {is} now in \"{}\": {words}{renamed}", here.name);
        ways.push(Remedy { text, done, edits: retuned.edits });
    }
    ways.retain(|way| !way.edits.is_empty());
    Some(ways)
}

/// Returns what brings segments and the voicings that they show into one tuning: those go to the segments, or the segments to them,
/// where they play nothing that is in the other. `None` as for what they play.
pub(super) fn ways_to_one_tuning_of_shapes(
    lesson: &Lesson,
    finding: &Finding,
    ids: &mut IdSource,
) -> Option<Vec<Remedy>> {
    let all = shown_elsewhere(lesson);
    let shown = all.iter().find(|shown| shown.finding().is_some_and(|found| found == *finding))?;
    for segment in &lesson.segments {
        only(&lesson.segments, segment.id)?;
    }
    let journeys = shown.journeys(lesson);
    let (what, is) = match journeys.as_slice() {
        [one] => (called(one.voicing), "is"),
        several => (format!("the {} chord shapes", several.len()), "are"),
    };
    let here = &shown.here.name;
    let mut ways = Vec::new();
    for (keeping, words) in [(FretsOrSound::Frets, "same frets"), (FretsOrSound::Sound, "same sound, new frets")] {
        let mut retuned = Retuned::default();
        let along = make(lesson, &journeys, VoicingsThere::Come(keeping), &mut retuned, &mut || ids.draw(lesson));
        let stay = match along.staying.as_slice() {
            [] => String::new(),
            staying => format!("; {} cannot be fretted there", staying.join(", ")),
        };
        let text = format!("{words}: {what} in \"{here}\"{stay}");
        let unnamed = match retuned.unnamed.as_slice() {
            [] => String::new(),
            names => format!("; lost their names: {}", names.join(", ")),
        };
        let done = format!("{what} {is} now in \"{here}\": {words}{stay}{unnamed}");
        ways.push(Remedy { text, done, edits: retuned.edits });
    }
    let plays_here = |segment: &Segment| {
        let passages = segment.passages.iter().filter_map(|used| lesson.passage(used.passage));
        let stated = passages.filter_map(|passage| lesson.setup(lesson.stated_passage_setup(passage)?));
        stated.into_iter().any(|stated| plays_alike(stated, shown.here))
    };
    if !shown.segments.iter().any(|(_, segment)| plays_here(segment)) {
        let (word, is) = if shown.segments.len() == 1 { ("segment", "is") } else { ("segments", "are") };
        let coming = shown.segments.iter().map(|(_, segment)| segment.id).collect();
        ways.push(Remedy {
            text: format!("play the {word} in \"{}\"", shown.kept_for.name),
            done: format!("the {word} {is} now played in \"{}\"", shown.kept_for.name),
            edits: played_in(lesson, &coming, shown.kept_for.id),
        });
    }
    ways.retain(|way| !way.edits.is_empty());
    Some(ways)
}

/// Returns the tunings that something could state which states none: those in which it is played, or all where nothing plays it.
pub(super) fn ways_to_state(lesson: &Lesson, finding: &Finding) -> Vec<Remedy> {
    let assumed = AssumedTunings::of(lesson);
    let (mut passage, mut voicing) = (None, None);
    if let LessonPlace::Passage(id, _) = finding.place {
        passage = only(&lesson.passages, id);
    } else if let LessonPlace::Voicing(id, _) = finding.place {
        voicing = only(&lesson.voicings, id);
    }
    let played = match (passage, voicing) {
        (Some(passage), _) if lesson.stated_passage_setup(passage).is_none() => assumed.of_passage(passage.id),
        (None, Some(voicing)) if voicing.setup.is_none() => assumed.of_voicing(voicing.id),
        (_, _) => return Vec::new(),
    };
    let all: Vec<SetupId> = lesson.setups.iter().map(|setup| setup.id).collect();
    let way = |setup: &Setup| {
        let stated = Some(setup.id);
        let passage =
            passage.map(|passage| Edit::Passages(ListEdit::Replace(Passage { setup: stated, ..passage.clone() })));
        let voicing =
            voicing.map(|voicing| Edit::Voicings(ListEdit::Replace(Voicing { setup: stated, ..voicing.clone() })));
        let text = format!("it is in \"{}\"", setup.name);
        let done = format!("it is in \"{}\" now", setup.name);
        Remedy { text, done, edits: passage.into_iter().chain(voicing).collect() }
    };
    differing(lesson, if played.is_empty() { &all } else { played }).into_iter().map(way).collect()
}

/// Returns what has a retuning segment and what is played after it agree: either goes to the tuning of the other. `None` where
/// it leads where it should, or where two segments share an identity.
pub(super) fn ways_to_lead(lesson: &Lesson, retuning: SegmentId) -> Option<Vec<Remedy>> {
    let led = led_elsewhere(lesson).into_iter().find(|led| led.retuning.id == retuning)?;
    only(&lesson.segments, retuning)?;
    let mut coming = HashSet::new();
    for segment in &led.played {
        coming.insert(only(&lesson.segments, segment.id)?.id);
    }
    // Every other segment stays in the tuning that it is in.
    let edits = played_in(lesson, &coming, led.said.id);
    let text = format!("play what follows in \"{}\"", led.said.name);
    let done = format!("what follows is now played in \"{}\"", led.said.name);
    let mut ways = vec![Remedy { text, done, edits }];
    // To lead to where the hands are already would be no retuning.
    if !plays_alike(led.from, led.played_in) {
        let edits = vec![in_tuning(led.retuning, led.played_in)];
        let text = format!("change to \"{}\" here", led.played_in.name);
        let done = format!("here the tuning now changes to \"{}\"", led.played_in.name);
        ways.push(Remedy { text, done, edits });
    }
    Some(ways)
}

fn in_tuning(segment: &Segment, setup: &Setup) -> Edit {
    Edit::Segments(ListEdit::Replace(Segment { setup: Some(setup.id), ..segment.clone() }))
}
