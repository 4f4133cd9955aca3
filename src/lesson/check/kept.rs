//! What is found in a lesson, kept up to date while it changes: each passage and each voicing is looked at again
//! only when it, or something it leans on, was touched.
//!
//! Whole checks go the same way, with nothing kept. A property over random edits compares the two.

use std::collections::HashMap;

use super::finding::{Finding, FindingKind};
use super::links::KnownLinks;
use super::other_shape::{self, ShownBeside};
use super::rigs::Rigs;
use super::{
    assumed, bars, chapters, elsewhere, gaps, held, joins, links, names, neck, numbers, repeats, retuning,
    retuning_titles, segments, shown_elsewhere, strings, techniques, text, tuplets, unnamed, unused, voicings,
};
use crate::lesson::document::{ChordNames, Lesson, Voicing};
use crate::lesson::id::{ItemId, PassageId, SetupId, VoicingId};
use crate::lesson::links::Linked;
use crate::lesson::music::Passage;
use crate::lesson::place::{LessonPlace, Spot};
use crate::lesson::touched::{Items, Touched, still_standing};

/// Everything found in a lesson, with what is needed to find it again quickly after a change.
#[derive(Debug, Clone, Default)]
pub struct Checked {
    passages: Vec<OfPassage>,
    voicings: Vec<OfVoicing>,
    /// Same shapes under different names, which is between voicings.
    names: Vec<Finding>,
    chord_names: ChordNames,
    findings: Vec<Finding>,
    /// The passage that somebody is about to write.
    about_to_write: Option<PassageId>,
    /// That nothing is written in it, with its place among the findings.
    set_aside: Option<(usize, Finding)>,
}

/// What was found in a passage.
#[derive(Debug, Clone)]
struct OfPassage {
    id: PassageId,
    /// The setup that it was taken to be in; segments can change that.
    setup: Option<SetupId>,
    /// The voicings that the segments show which play it.
    shown: Vec<VoicingId>,
    /// Those, and the voicings that its events link to.
    voicings: Vec<VoicingId>,
    findings: Vec<Finding>,
}

/// What was found in a voicing by itself.
#[derive(Debug, Clone)]
struct OfVoicing {
    id: VoicingId,
    /// The setup that it was taken to be in; segments and passages can change that.
    setup: Option<SetupId>,
    findings: Vec<Finding>,
}

impl Checked {
    /// Returns everything found, in the order of the document.
    pub fn findings(&self) -> &[Finding] {
        &self.findings
    }

    /// Takes out everything found, in the order of the document.
    pub fn into_findings(self) -> Vec<Finding> {
        self.findings
    }

    /// Brings the findings up to date with `lesson`, of which at most `touched` has changed since the last
    /// time; before the first time that is everything.
    pub fn follow(&mut self, lesson: &Lesson, touched: &Touched) {
        let mut findings = Vec::new();
        if lesson.is_empty() {
            findings.push(Finding::note(
                FindingKind::EmptyLesson,
                LessonPlace::Lesson,
                "there is nothing in this lesson yet",
                "add a segment or a piece",
            ));
        }
        let known = KnownLinks::of(lesson, &mut findings);
        let rigs = Rigs::of(lesson);
        links::check(lesson, &known, &mut findings);
        text::check(lesson, &mut findings);
        numbers::check(lesson, &mut findings);
        self.follow_passages(lesson, touched, &known, &rigs);
        self.follow_voicings(lesson, touched, &known, &rigs);
        findings.extend(self.passages.iter().flat_map(|passage| &passage.findings).cloned());
        findings.extend(self.voicings.iter().flat_map(|voicing| &voicing.findings).cloned());
        findings.extend(self.names.iter().cloned());
        unnamed::check(lesson, &rigs, &mut findings);
        unused::check(lesson, &mut findings);
        assumed::check(lesson, &mut findings);
        segments::check(lesson, &mut findings);
        elsewhere::check(lesson, &mut findings);
        shown_elsewhere::check(lesson, &mut findings);
        retuning::check(lesson, &mut findings);
        retuning_titles::check(lesson, &mut findings);
        gaps::check(lesson, &mut findings);
        chapters::check(lesson, &mut findings);
        let places = Places::of(lesson);
        findings.sort_by_cached_key(|finding| (places.order(finding.place), finding.severity, finding.kind));
        self.findings = findings;
        self.set_aside();
    }

    /// Says which passage somebody is about to write, if any: that nothing is written in it counts once it is left. Returns whether
    /// that changes what is found.
    pub fn about_to_write(&mut self, passage: Option<PassageId>) -> bool {
        if self.about_to_write == passage {
            return false;
        }
        let back = self.set_aside.take();
        let is_back = back.is_some();
        if let Some((at, finding)) = back {
            self.findings.insert(at.min(self.findings.len()), finding);
        }
        self.about_to_write = passage;
        self.set_aside();
        is_back || self.set_aside.is_some()
    }

    /// Sets aside that nothing is written in the passage that is about to be written.
    fn set_aside(&mut self) {
        let is_of_it = |finding: &Finding| {
            let at = |id| finding.place == LessonPlace::Passage(id, Spot::WHOLE);
            finding.kind == FindingKind::NothingWritten && self.about_to_write.is_some_and(at)
        };
        let at = self.findings.iter().position(is_of_it);
        self.set_aside = at.map(|at| (at, self.findings.remove(at)));
    }

    fn follow_passages(&mut self, lesson: &Lesson, touched: &Touched, known: &KnownLinks, rigs: &Rigs) {
        let names = lesson.header.chord_names;
        let all = !touched.instruments.is_empty()
            || !touched.setups.is_empty()
            || !touched.pieces.is_empty()
            || touched.passages == Items::All
            || touched.voicings == Items::All
            || self.chord_names != names;
        self.chord_names = names;
        if !all && touched.passages.is_empty() && touched.voicings.is_empty() && touched.segments.is_empty() {
            return;
        }
        let stands = |kept: &OfPassage| {
            !all && !touched.passages.has(&kept.id) && !kept.voicings.iter().any(|id| touched.voicings.has(id))
        };
        let mut kept = still_standing(std::mem::take(&mut self.passages), |kept| kept.id, stands);
        let beside = ShownBeside::of(lesson);
        let found = |passage: &Passage| match kept.remove(&passage.id) {
            Some(kept)
                if kept.setup == rigs.setup_of_passage(lesson, passage) && kept.shown == beside.passage(passage.id) =>
            {
                kept
            }
            Some(_) | None => look_at_passage(lesson, passage, beside.passage(passage.id), known, rigs),
        };
        self.passages = lesson.passages.iter().map(found).collect();
    }

    fn follow_voicings(&mut self, lesson: &Lesson, touched: &Touched, known: &KnownLinks, rigs: &Rigs) {
        let all = !touched.instruments.is_empty() || !touched.setups.is_empty() || touched.voicings == Items::All;
        // What states no tuning takes that of the segment or the passage that it belongs to.
        let elsewhere = !touched.segments.is_empty() || !touched.passages.is_empty() || !touched.pieces.is_empty();
        let moved = elsewhere && lesson.voicings.iter().any(|voicing| voicing.setup.is_none());
        if !all && !moved && touched.voicings.is_empty() {
            return;
        }
        let stands = |kept: &OfVoicing| !all && !touched.voicings.has(&kept.id);
        let mut kept = still_standing(std::mem::take(&mut self.voicings), |kept| kept.id, stands);
        let found = |voicing: &Voicing| match kept.remove(&voicing.id) {
            Some(kept) if kept.setup == rigs.setup_of_voicing(lesson, voicing) => kept,
            Some(_) | None => look_at_voicing(lesson, voicing, known, rigs),
        };
        self.voicings = lesson.voicings.iter().map(found).collect();
        self.names.clear();
        voicings::check_names(lesson, rigs, &mut self.names);
    }
}

fn look_at_passage(
    lesson: &Lesson,
    passage: &Passage,
    shown: &[VoicingId],
    known: &KnownLinks,
    rigs: &Rigs,
) -> OfPassage {
    let mut findings = Vec::new();
    known.check_one(LessonPlace::of(passage.id), passage, &mut findings);
    text::check_passage(passage, &mut findings);
    bars::check(passage, &mut findings);
    tuplets::check(passage, &mut findings);
    repeats::check(passage, &mut findings);
    strings::check(passage, &mut findings);
    joins::check(passage, &mut findings);
    techniques::check(passage, &mut findings);
    let rig = rigs.of_passage(lesson, passage);
    voicings::check_chord_names(lesson, rig, passage, &mut findings);
    names::check(lesson, rig, passage, &mut findings);
    neck::check(rig, passage, &mut findings);
    held::check(rig, passage, &mut findings);
    other_shape::check(lesson, rig, passage, shown, &mut findings);
    let mut voicings = shown.to_vec();
    passage.links(&mut |_, to| {
        if let ItemId::Voicing(id) = to {
            voicings.push(id);
        }
    });
    voicings.sort_unstable();
    voicings.dedup();
    let (id, setup, shown) = (passage.id, rigs.setup_of_passage(lesson, passage), shown.to_vec());
    OfPassage { id, setup, shown, voicings, findings }
}

fn look_at_voicing(lesson: &Lesson, voicing: &Voicing, known: &KnownLinks, rigs: &Rigs) -> OfVoicing {
    let mut findings = Vec::new();
    known.check_one(LessonPlace::of(voicing.id), voicing, &mut findings);
    text::check_voicing(voicing, &mut findings);
    voicings::check(voicing, rigs.of_voicing(lesson, voicing), &mut findings);
    OfVoicing { id: voicing.id, setup: rigs.setup_of_voicing(lesson, voicing), findings }
}

/// Where everything stands in its list.
struct Places(HashMap<ItemId, usize>);

impl Places {
    fn of(lesson: &Lesson) -> Self {
        let mut places = HashMap::with_capacity(lesson.identities().count());
        // Only the order counts, so the places may go on counting from one list to the next.
        for (place, item) in lesson.identities().enumerate() {
            places.entry(item).or_insert(place);
        }
        Self(places)
    }

    /// Returns what sorts as [`LessonPlace::order`] does, without looking through the list for each.
    fn order(&self, place: LessonPlace) -> (u8, usize, Spot) {
        let at = place.item().and_then(|item| self.0.get(&item));
        place.order_at(at.copied().unwrap_or(usize::MAX))
    }
}
