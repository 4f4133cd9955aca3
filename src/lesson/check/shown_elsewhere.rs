//! Voicings that are shown in another tuning than the one they are in: one finding for each pair of tunings, whatever number of
//! segments it shows in.

use std::collections::HashMap;

use super::finding::{Finding, FindingKind};
use super::words::listed;
use crate::lesson::document::{Lesson, Segment, SegmentKind, Setup, Voicing};
use crate::lesson::id::{ItemId, SetupId, VoicingId};
use crate::lesson::moved_voicing::called;
use crate::lesson::place::LessonPlace;
use crate::lesson::tunings::plays_alike;
use crate::lesson::voicings_along::Journey;
use crate::text::quote::quoted;

/// Voicings of one tuning that segments of another one show.
pub(super) struct ShownElsewhere<'a> {
    /// The voicings, in the order in which they are shown: at least one.
    voicings: Vec<&'a Voicing>,
    /// The segments and their places, counted from 0: at least one.
    pub(super) segments: Vec<(usize, &'a Segment)>,
    /// The tuning that the voicings state.
    pub(super) kept_for: &'a Setup,
    /// The tuning that the segments are played in.
    pub(super) here: &'a Setup,
}

/// Returns the voicings that are shown in another tuning than their own, in the order of the segments that show them first.
pub(super) fn shown_elsewhere(lesson: &Lesson) -> Vec<ShownElsewhere<'_>> {
    // Those that state no tuning are in that of the segment, or a finding of their own.
    let stating = lesson.voicings.iter().filter(|voicing| voicing.setup.is_some());
    let stating: HashMap<VoicingId, &Voicing> = stating.map(|voicing| (voicing.id, voicing)).collect();
    let mut found: Vec<ShownElsewhere<'_>> = Vec::new();
    let mut stated: Option<SetupId> = None;
    for (place, segment) in lesson.segments.iter().enumerate() {
        stated = segment.setup.or(stated);
        let here = stated.map_or_else(|| lesson.setups.first(), |id| lesson.setup(id));
        // While strings are retuned, hands are in both tunings.
        let Some(here) = here.filter(|_| segment.kind != SegmentKind::Retuning) else { continue };
        for voicing in segment.voicings.iter().filter_map(|id| stating.get(id).copied()) {
            let kept_for = voicing.setup.and_then(|id| lesson.setup(id));
            let Some(kept_for) = kept_for.filter(|kept_for| !plays_alike(kept_for, here)) else { continue };
            let same = |known: &&mut ShownElsewhere<'_>| known.kept_for.id == kept_for.id && known.here.id == here.id;
            let Some(known) = found.iter_mut().find(same) else {
                found.push(ShownElsewhere {
                    voicings: vec![voicing],
                    segments: vec![(place, segment)],
                    kept_for,
                    here,
                });
                continue;
            };
            if known.voicings.iter().all(|other| other.id != voicing.id) {
                known.voicings.push(voicing);
            }
            if known.segments.last().is_some_and(|(last, _)| *last != place) {
                known.segments.push((place, segment));
            }
        }
    }
    found
}

/// Finds what is shown in another tuning than its own.
pub(super) fn check(lesson: &Lesson, findings: &mut Vec<Finding>) {
    findings.extend(shown_elsewhere(lesson).iter().filter_map(ShownElsewhere::finding));
}

impl<'a> ShownElsewhere<'a> {
    /// Returns the finding, at the first of the segments.
    pub(super) fn finding(&self) -> Option<Finding> {
        let (_, first) = self.segments.first()?;
        let (kept_for, here) = (quoted(&self.kept_for.name), quoted(&self.here.name));
        let segments = if self.segments.len() == 1 { "the segment" } else { "the segments" };
        let them = if self.voicings.len() == 1 { "it" } else { "them" };
        let remedy = format!(
            "move {them} to \"{here}\": same frets or same sound, or play {segments} in \"{kept_for}\"; leave {them} where both tunings are shown"
        );
        let found = Finding::warning(FindingKind::VoicingSetup, LessonPlace::Segment(first.id), self.reason(), remedy);
        Some(found.also_about(self.segments.iter().skip(1).map(|(_, segment)| segment.id)))
    }

    /// Says what is shown where.
    fn reason(&self) -> String {
        let (kept_for, here) = (quoted(&self.kept_for.name), quoted(&self.here.name));
        let names: Vec<String> = self.voicings.iter().map(|voicing| quoted(&called(voicing)).to_string()).collect();
        let numbers: Vec<usize> = self.segments.iter().map(|(place, _)| place + 1).collect();
        let played = match numbers.as_slice() {
            [] | [_] => "this segment is".to_owned(),
            [_, _, ..] => format!("segments {} are", listed(&numbers)),
        };
        let shapes = if names.len() == 1 { "chord shape" } else { "chord shapes" };
        let are = if names.len() == 1 { "is" } else { "are" };
        format!("{shapes} {} {are} in \"{kept_for}\", and {played} played in \"{here}\"", listed(&names))
    }

    /// Returns what takes its voicings to the tuning of the segments.
    pub(super) fn journeys(&self, lesson: &Lesson) -> Vec<Journey<'a>> {
        let in_force: HashMap<_, _> = lesson.tunings_in_force().into_iter().collect();
        let is_here = |setup: Option<&Setup>| setup.is_some_and(|setup| plays_alike(setup, self.here));
        let journey = |voicing: &&'a Voicing| {
            let shows = |segment: &&Segment| segment.voicings.contains(&voicing.id);
            let comes = |segment: &Segment| self.segments.iter().any(|(_, one)| one.id == segment.id);
            let other = |segment: &Segment| {
                let now = in_force.get(&segment.id).copied().flatten();
                !comes(segment) && !is_here(now.and_then(|id| lesson.setup(id)))
            };
            let links = |item: ItemId| lesson.who_links_to(item).into_iter();
            let passages = links(voicing.id.into())
                .filter_map(|from| if let LessonPlace::Passage(id, _) = from { lesson.passage(id) } else { None });
            let played = passages.into_iter().any(|passage| !is_here(lesson.passage_setup(passage)));
            Journey {
                voicing,
                from: self.kept_for,
                to: self.here,
                coming: lesson
                    .segments
                    .iter()
                    .filter(shows)
                    .filter(|one| comes(one))
                    .map(|one| one.id.into())
                    .collect(),
                is_needed: played || lesson.segments.iter().filter(shows).any(other),
            }
        };
        self.voicings.iter().map(journey).collect()
    }
}
