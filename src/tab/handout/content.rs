//! What goes into a handout, and in which order.

use std::collections::HashSet;

use crate::lesson::document::{Lesson, Piece, Segment, Setup, Voicing};
use crate::lesson::id::{PassageId, VoicingId};
use crate::lesson::music::Passage;

use super::options::{HandoutOptions, SegmentPick};

/// What a handout holds.
pub(super) struct Content<'a> {
    /// The segments picked, each with its place in the lesson, counted from 0.
    pub(super) segments: Vec<(usize, &'a Segment)>,
    /// Their music, piece by piece.
    pub(super) sections: Vec<Section<'a>>,
    /// What no segment uses.
    pub(super) unused: Vec<Section<'a>>,
}

/// The music of one piece, or of none.
#[derive(Debug, Default)]
pub(super) struct Section<'a> {
    pub(super) piece: Option<&'a Piece>,
    pub(super) setup: Option<&'a Setup>,
    pub(super) voicings: Vec<&'a Voicing>,
    pub(super) passages: Vec<&'a Passage>,
}

impl<'a> Content<'a> {
    pub(super) fn of(lesson: &'a Lesson, options: &HandoutOptions) -> Self {
        let all = lesson.segments.iter().enumerate();
        let segments: Vec<(usize, &Segment)> =
            all.filter(|(place, segment)| options.segments.picks(*place, segment)).collect();
        let mut sections = Sections::new(lesson);
        for (_, segment) in &segments {
            sections.add_segment(segment);
        }
        sections.settle_homeless();
        let unused = match options.segments {
            SegmentPick::All => sections.unused(),
            SegmentPick::Only { .. } => Vec::new(),
        };
        let keep = |section: &Section<'_>| section.piece.is_some() || !section.is_empty();
        let sections = sections.list.into_iter().filter(keep).collect();
        Self { segments, sections, unused }
    }
}

impl Section<'_> {
    fn is_empty(&self) -> bool {
        self.voicings.is_empty() && self.passages.is_empty()
    }
}

/// The sections while they are being collected.
struct Sections<'a> {
    lesson: &'a Lesson,
    list: Vec<Section<'a>>,
    passages: HashSet<PassageId>,
    voicings: HashSet<VoicingId>,
    /// Voicings of segments about no piece.
    homeless: Vec<VoicingId>,
}

impl<'a> Sections<'a> {
    fn new(lesson: &'a Lesson) -> Self {
        Self { lesson, list: Vec::new(), passages: HashSet::new(), voicings: HashSet::new(), homeless: Vec::new() }
    }

    /// Adds what `segment` is about.
    fn add_segment(&mut self, segment: &Segment) {
        let lesson = self.lesson;
        for piece in segment.pieces.iter().filter_map(|piece| lesson.piece(*piece)) {
            self.section(Some(piece));
        }
        for used in &segment.passages {
            let Some(passage) = lesson.passage(used.passage) else { continue };
            let piece = passage.piece.and_then(|piece| self.lesson.piece(piece));
            if self.passages.insert(passage.id) {
                let place = self.section(piece);
                if let Some(section) = self.list.get_mut(place) {
                    section.passages.push(passage);
                }
                self.add_voicings(place, &voicings_of(passage));
            }
        }
        let passages = segment.passages.iter().filter_map(|used| lesson.passage(used.passage)?.piece);
        let mut pieces = segment.pieces.iter().copied().chain(passages);
        match pieces.find_map(|piece| lesson.piece(piece)) {
            Some(piece) if !segment.voicings.is_empty() => {
                let place = self.section(Some(piece));
                self.add_voicings(place, &segment.voicings);
            }
            Some(_) => {}
            None => self.homeless.extend(segment.voicings.iter().copied()),
        }
    }

    /// Gives the voicings of segments about no piece a section, unless a piece has them already.
    fn settle_homeless(&mut self) {
        for voicing in std::mem::take(&mut self.homeless) {
            if self.lesson.voicing(voicing).is_some() && !self.voicings.contains(&voicing) {
                let place = self.section(None);
                self.add_voicings(place, &[voicing]);
            }
        }
    }

    fn add_voicings(&mut self, place: usize, ids: &[VoicingId]) {
        let Some(section) = self.list.get_mut(place) else { return };
        for id in ids {
            let Some(voicing) = self.lesson.voicing(*id) else { continue };
            self.voicings.insert(*id);
            if !section.voicings.iter().any(|known| known.id == *id) {
                section.voicings.push(voicing);
            }
        }
    }

    /// Returns the place of the section of `piece`, made where it is not there yet.
    fn section(&mut self, piece: Option<&'a Piece>) -> usize {
        let id = |piece: Option<&Piece>| piece.map(|piece| piece.id);
        if let Some(place) = self.list.iter().position(|section| id(section.piece) == id(piece)) {
            return place;
        }
        // As for a passage that says none: the lesson's first setup is what is in hand.
        let setup = match piece.and_then(|piece| piece.setup) {
            Some(setup) => self.lesson.setup(setup),
            None => self.lesson.setups.first(),
        };
        self.list.push(Section { piece, setup, ..Section::default() });
        self.list.len() - 1
    }

    /// Collects the passages and voicings that no segment uses, by piece in the order of the lesson.
    fn unused(&self) -> Vec<Section<'a>> {
        let mut rest = Self::new(self.lesson);
        for passage in self.lesson.passages.iter().filter(|passage| !self.passages.contains(&passage.id)) {
            let piece = passage.piece.and_then(|piece| self.lesson.piece(piece));
            if rest.passages.insert(passage.id) {
                let place = rest.section(piece);
                if let Some(section) = rest.list.get_mut(place) {
                    section.passages.push(passage);
                }
                rest.add_voicings(place, &voicings_of(passage));
            }
        }
        let left = |voicing: &&Voicing| !self.voicings.contains(&voicing.id) && !rest.voicings.contains(&voicing.id);
        let left: Vec<VoicingId> = self.lesson.voicings.iter().filter(left).map(|voicing| voicing.id).collect();
        if !left.is_empty() {
            let place = rest.section(None);
            rest.add_voicings(place, &left);
        }
        rest.list
    }
}

/// Returns the voicings of the events of a passage, each once, in order.
fn voicings_of(passage: &Passage) -> Vec<VoicingId> {
    let voices = passage.bars.iter().flat_map(|bar| &bar.voices);
    let mut seen = HashSet::new();
    voices.flat_map(|voice| &voice.0).filter_map(|event| event.voicing).filter(|id| seen.insert(*id)).collect()
}
