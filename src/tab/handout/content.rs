//! What goes into a handout, and in which order.

use std::collections::HashSet;

use crate::lesson::document::{Lesson, Piece, Segment, Setup, Voicing};
use crate::lesson::id::{PassageId, PieceId, SetupId, VoicingId};
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
        let mut setup = None;
        for (place, segment) in lesson.segments.iter().enumerate() {
            setup = segment.setup.or(setup);
            if options.segments.picks(place, segment) {
                sections.add_segment(segment, setup);
            }
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
    /// Voicings of segments about no piece, each with the setup in hand.
    homeless: Vec<(VoicingId, Option<SetupId>)>,
}

impl<'a> Sections<'a> {
    fn new(lesson: &'a Lesson) -> Self {
        Self { lesson, list: Vec::new(), passages: HashSet::new(), voicings: HashSet::new(), homeless: Vec::new() }
    }

    /// Adds what `segment` is about; `setup` is the one in hand, for what has none of its own.
    fn add_segment(&mut self, segment: &Segment, setup: Option<SetupId>) {
        for piece in &segment.pieces {
            if let Some(piece) = find_piece(self.lesson, Some(*piece)) {
                self.section(Some(piece), setup);
            }
        }
        for used in &segment.passages {
            let Some(passage) = self.lesson.passages.iter().find(|passage| passage.id == used.passage) else {
                continue;
            };
            let piece = find_piece(self.lesson, passage.piece);
            if self.passages.insert(passage.id) {
                let place = self.section(piece, setup);
                if let Some(section) = self.list.get_mut(place) {
                    section.passages.push(passage);
                }
                self.add_voicings(place, &voicings_of(passage));
            }
        }
        let lesson = self.lesson;
        let passages = segment.passages.iter().filter_map(|used| find_passage(lesson, used.passage)?.piece);
        let mut pieces = segment.pieces.iter().copied().chain(passages);
        match pieces.find_map(|piece| find_piece(lesson, Some(piece))) {
            Some(piece) if !segment.voicings.is_empty() => {
                let place = self.section(Some(piece), setup);
                self.add_voicings(place, &segment.voicings);
            }
            Some(_) => {}
            None => self.homeless.extend(segment.voicings.iter().map(|voicing| (*voicing, setup))),
        }
    }

    /// Gives the voicings of segments about no piece a section, unless a piece has them already.
    fn settle_homeless(&mut self) {
        for (voicing, setup) in std::mem::take(&mut self.homeless) {
            let known = self.lesson.voicings.iter().any(|known| known.id == voicing);
            if known && !self.voicings.contains(&voicing) {
                let place = self.section(None, setup);
                self.add_voicings(place, &[voicing]);
            }
        }
    }

    fn add_voicings(&mut self, place: usize, ids: &[VoicingId]) {
        let Some(section) = self.list.get_mut(place) else { return };
        for id in ids {
            let Some(voicing) = self.lesson.voicings.iter().find(|voicing| voicing.id == *id) else { continue };
            self.voicings.insert(*id);
            if !section.voicings.iter().any(|known| known.id == *id) {
                section.voicings.push(voicing);
            }
        }
    }

    /// Returns the place of the section of `piece`, made where it is not there yet.
    fn section(&mut self, piece: Option<&'a Piece>, setup: Option<SetupId>) -> usize {
        let id = |piece: Option<&Piece>| piece.map(|piece| piece.id);
        if let Some(place) = self.list.iter().position(|section| id(section.piece) == id(piece)) {
            return place;
        }
        let own = piece.and_then(|piece| piece.setup);
        let setup = find_setup(self.lesson, own).or_else(|| find_setup(self.lesson, setup));
        self.list.push(Section { piece, setup, ..Section::default() });
        self.list.len() - 1
    }

    /// Collects the passages and voicings that no segment uses, by piece in the order of the lesson.
    fn unused(&self) -> Vec<Section<'a>> {
        let mut rest = Self::new(self.lesson);
        for passage in self.lesson.passages.iter().filter(|passage| !self.passages.contains(&passage.id)) {
            let piece = find_piece(self.lesson, passage.piece);
            if rest.passages.insert(passage.id) {
                let place = rest.section(piece, None);
                if let Some(section) = rest.list.get_mut(place) {
                    section.passages.push(passage);
                }
                rest.add_voicings(place, &voicings_of(passage));
            }
        }
        let left = |voicing: &&Voicing| !self.voicings.contains(&voicing.id) && !rest.voicings.contains(&voicing.id);
        let left: Vec<VoicingId> = self.lesson.voicings.iter().filter(left).map(|voicing| voicing.id).collect();
        if !left.is_empty() {
            let place = rest.section(None, None);
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

fn find_passage(lesson: &Lesson, id: PassageId) -> Option<&Passage> {
    lesson.passages.iter().find(|passage| passage.id == id)
}

fn find_piece(lesson: &Lesson, id: Option<PieceId>) -> Option<&Piece> {
    lesson.pieces.iter().find(|piece| Some(piece.id) == id)
}

/// Returns the setup with that identity.
pub(super) fn find_setup(lesson: &Lesson, id: Option<SetupId>) -> Option<&Setup> {
    lesson.setups.iter().find(|setup| Some(setup.id) == id)
}
