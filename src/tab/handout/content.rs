//! What goes into a handout, and in which order.

use std::collections::{HashMap, HashSet};

use crate::lesson::document::{Lesson, Piece, Segment, SegmentKind, Setup, Voicing};
use crate::lesson::id::{PassageId, PieceId, VoicingId};
use crate::lesson::music::Passage;
use crate::lesson::recording::in_video_order;

use super::options::{HandoutOptions, SegmentPick, UnusedMusic};

/// What a handout holds.
pub(super) struct Content<'a> {
    /// The segments picked, in the order in which they are printed, each with its place in that order, counted from 0.
    pub(super) segments: Vec<(usize, &'a Segment)>,
    /// Their music, in the order of first use.
    pub(super) sections: Vec<Section<'a>>,
    /// What no segment uses.
    pub(super) unused: Vec<Section<'a>>,
}

/// Music that stands under one heading.
#[derive(Debug)]
pub(super) struct Section<'a> {
    pub(super) about: SectionSubject<'a>,
    /// One group for each setup it is played in, in the order of first use; at least one.
    pub(super) groups: Vec<SetupMusic<'a>>,
}

/// What a section is about.
#[derive(Debug, Clone, Copy)]
pub(super) enum SectionSubject<'a> {
    Piece(&'a Piece),
    /// Music of no piece, in the segment that plays it first.
    Segment(&'a Segment),
    /// Music of no piece and no segment.
    Lesson,
}

/// The music of a section that is played in one setup.
#[derive(Debug)]
pub(super) struct SetupMusic<'a> {
    pub(super) setup: Option<&'a Setup>,
    pub(super) voicings: Vec<&'a Voicing>,
    pub(super) passages: Vec<&'a Passage>,
}

impl<'a> Content<'a> {
    pub(super) fn of(lesson: &'a Lesson, options: &HandoutOptions) -> Self {
        let all = printed_order(&lesson.segments).into_iter().enumerate();
        let segments: Vec<(usize, &Segment)> = all
            .filter_map(|(printed, place)| Some((printed, lesson.segments.get(place)?)))
            .filter(|(printed, segment)| options.segments.picks(*printed, segment))
            .collect();
        let mut sections = Sections::new(lesson);
        for (place, segment) in &segments {
            sections.add_pieces_of(*place, segment);
        }
        // A voicing that a piece shows anyway needs no place of its own, so pieces come first.
        for (place, segment) in &segments {
            sections.add_rest_of(*place, segment);
        }
        let unused = match (&options.segments, options.unused) {
            (SegmentPick::All, UnusedMusic::Print) => sections.unused(),
            (SegmentPick::All, UnusedMusic::LeaveOut) if lesson.segments.is_empty() => sections.unused(),
            (SegmentPick::All, UnusedMusic::LeaveOut) | (SegmentPick::Only { .. }, _) => Vec::new(),
        };
        Self { segments, sections: sections.finished(), unused }
    }
}

/// Returns the places in the list of all segments, in the order in which they are printed and numbered: that of the video
/// where all of them are recorded, else that of the list.
fn printed_order(segments: &[Segment]) -> Vec<usize> {
    let takes = in_video_order(segments);
    if takes.len() == segments.len() {
        takes.into_iter().map(|take| take.place).collect()
    } else {
        (0..segments.len()).collect()
    }
}

impl<'a> Section<'a> {
    pub(super) const fn piece(&self) -> Option<&'a Piece> {
        match self.about {
            SectionSubject::Piece(piece) => Some(piece),
            SectionSubject::Segment(_) | SectionSubject::Lesson => None,
        }
    }

    /// Returns the group of `setup`, and makes it where it is not there yet.
    fn group(&mut self, setup: Option<&'a Setup>) -> Option<&mut SetupMusic<'a>> {
        let id = setup.map(|setup| setup.id);
        let known = self.groups.iter().position(|group| group.setup.map(|setup| setup.id) == id);
        let place = known.unwrap_or_else(|| {
            self.groups.push(SetupMusic { setup, voicings: Vec::new(), passages: Vec::new() });
            self.groups.len() - 1
        });
        self.groups.get_mut(place)
    }

    fn shows(&self, voicing: VoicingId) -> bool {
        self.groups.iter().flat_map(|group| &group.voicings).any(|known| known.id == voicing)
    }
}

/// The sections while they are being collected.
struct Sections<'a> {
    lesson: &'a Lesson,
    /// The setup each segment of the lesson says or inherits from those ahead of it in the list; in printed order.
    in_force: Vec<Option<&'a Setup>>,
    /// The piece of each passage that belongs to one.
    pieces: HashMap<PassageId, PieceId>,
    /// The sections, each with the place in printed order of the segment that uses it first.
    list: Vec<(usize, Section<'a>)>,
    passages: HashSet<PassageId>,
    voicings: HashSet<VoicingId>,
    /// The segments that are about each piece, in printed order.
    played: HashMap<PieceId, Vec<SegmentOnPiece<'a>>>,
}

/// How a segment is about a piece.
struct SegmentOnPiece<'a> {
    /// Whether it plays the piece; else it speaks of it, or tunes for it.
    plays: bool,
    /// The setup that it says or inherits.
    setup: Option<&'a Setup>,
}

impl<'a> Sections<'a> {
    fn new(lesson: &'a Lesson) -> Self {
        let in_force = lesson.segments.iter().scan(None, |said, segment| {
            *said = segment.setup.or(*said);
            Some(said.and_then(|setup| lesson.setup(setup)))
        });
        let of_list: Vec<Option<&Setup>> = in_force.collect();
        let printed = printed_order(&lesson.segments).into_iter();
        let in_force = printed.map(|place| of_list.get(place).copied().flatten()).collect();
        let pieces = lesson.pieces_of_passages();
        let (passages, voicings) = (HashSet::new(), HashSet::new());
        Self { lesson, in_force, pieces, list: Vec::new(), passages, voicings, played: HashMap::new() }
    }

    fn in_force(&self, place: usize) -> Option<&'a Setup> {
        self.in_force.get(place).copied().flatten()
    }

    /// Adds the pieces that `segment` is about, and what it shows of them.
    fn add_pieces_of(&mut self, place: usize, segment: &'a Segment) {
        let lesson = self.lesson;
        for piece in segment.pieces.iter().filter_map(|piece| lesson.piece(*piece)) {
            self.section(place, SectionSubject::Piece(piece));
            self.note_playing(place, piece, segment);
        }
        for passage in self.passages_of(segment) {
            if let Some(piece) = self.piece_of(passage) {
                let section = self.section(place, SectionSubject::Piece(piece));
                self.add_passage(section, passage, self.in_force(place));
            }
        }
        if let Some(piece) = self.first_piece(segment).filter(|_| !segment.voicings.is_empty()) {
            let section = self.section(place, SectionSubject::Piece(piece));
            let setup = self.in_force(place).or_else(|| self.setup_of(piece));
            self.add_voicings(section, &segment.voicings, setup);
        }
    }

    /// Adds what `segment` shows that belongs to no piece.
    fn add_rest_of(&mut self, place: usize, segment: &'a Segment) {
        let lesson = self.lesson;
        let setup = self.in_force(place);
        for passage in self.passages_of(segment) {
            if self.piece_of(passage).is_none() && !self.passages.contains(&passage.id) {
                let section = self.section(place, SectionSubject::Segment(segment));
                self.add_passage(section, passage, setup);
            }
        }
        if self.first_piece(segment).is_some() {
            return;
        }
        for voicing in &segment.voicings {
            if lesson.voicing(*voicing).is_some() && !self.voicings.contains(voicing) {
                let section = self.section(place, SectionSubject::Segment(segment));
                self.add_voicings(section, &[*voicing], setup.or_else(|| lesson.setups.first()));
            }
        }
    }

    fn passages_of(&self, segment: &Segment) -> Vec<&'a Passage> {
        segment.passages.iter().filter_map(|used| self.lesson.passage(used.passage)).collect()
    }

    fn piece_of(&self, passage: &Passage) -> Option<&'a Piece> {
        self.lesson.piece(*self.pieces.get(&passage.id)?)
    }

    /// Returns the piece that a segment's voicings belong to.
    fn first_piece(&self, segment: &Segment) -> Option<&'a Piece> {
        let named = segment.pieces.iter().find_map(|piece| self.lesson.piece(*piece));
        named.or_else(|| self.passages_of(segment).into_iter().find_map(|passage| self.piece_of(passage)))
    }

    /// Returns the setup of `piece`. A piece that says none is in the lesson's first, as a passage is.
    fn setup_of(&self, piece: &Piece) -> Option<&'a Setup> {
        match piece.setup {
            Some(setup) => self.lesson.setup(setup),
            None => self.lesson.setups.first(),
        }
    }

    /// Adds `passage`, unless it is there, and its voicings. Its frets were written for the setup
    /// that it or its piece says; where neither says one, it is played in `in_force`.
    /// One in which nothing is written, or rests alone, is a plan of the teacher's, and not printed.
    fn add_passage(&mut self, section: usize, passage: &'a Passage, in_force: Option<&'a Setup>) {
        if passage.is_blank() || !self.passages.insert(passage.id) {
            return;
        }
        let setup = match self.lesson.stated_passage_setup(passage) {
            None => in_force.or_else(|| self.lesson.setups.first()),
            Some(setup) => self.lesson.setup(setup),
        };
        if let Some(group) = self.list.get_mut(section).and_then(|(_, section)| section.group(setup)) {
            group.passages.push(passage);
        }
        self.add_voicings(section, &voicings_of(passage), setup);
    }

    /// Adds voicings that `section` does not show yet; those that say no setup are played in `setup`.
    fn add_voicings(&mut self, section: usize, ids: &[VoicingId], setup: Option<&'a Setup>) {
        let Some((_, section)) = self.list.get_mut(section) else { return };
        let piece = section.piece().is_some();
        for id in ids {
            let Some(voicing) = self.lesson.voicing(*id) else { continue };
            // Who plays from the sheet of one piece wants all its chords there; elsewhere once will do.
            if section.shows(*id) || (!self.voicings.insert(*id) && !piece) {
                continue;
            }
            let setup = voicing.setup.and_then(|setup| self.lesson.setup(setup)).or(setup);
            if let Some(group) = section.group(setup) {
                group.voicings.push(voicing);
            }
        }
    }

    /// Returns the place of the section about `about`, and makes it where it is not there yet.
    fn section(&mut self, place: usize, about: SectionSubject<'a>) -> usize {
        let same = |known: SectionSubject<'_>| match (known, about) {
            (SectionSubject::Piece(known), SectionSubject::Piece(piece)) => known.id == piece.id,
            (SectionSubject::Segment(known), SectionSubject::Segment(segment)) => known.id == segment.id,
            (SectionSubject::Lesson, SectionSubject::Lesson) => true,
            (SectionSubject::Piece(_) | SectionSubject::Segment(_) | SectionSubject::Lesson, _) => false,
        };
        if let Some(place) = self.list.iter().position(|(_, section)| same(section.about)) {
            return place;
        }
        self.list.push((place, Section { about, groups: Vec::new() }));
        self.list.len() - 1
    }

    /// Notes that a segment which is about `piece` is played in the tuning that it says or inherits.
    fn note_playing(&mut self, place: usize, piece: &'a Piece, segment: &Segment) {
        let plays = match segment.kind {
            SegmentKind::Performance | SegmentKind::Walkthrough | SegmentKind::PlayAlong | SegmentKind::Exercise => {
                true
            }
            SegmentKind::Welcome | SegmentKind::Talk | SegmentKind::Retuning | SegmentKind::Goodbye => false,
        };
        let setup = self.in_force(place);
        self.played.entry(piece.id).or_default().push(SegmentOnPiece { plays, setup });
    }

    /// Returns the setups in which a piece without music is played: those of the segments that play it, else that of the
    /// first that speaks of it. Where they say none, it is the piece's own.
    fn played_in(&self, piece: &'a Piece) -> Vec<Option<&'a Setup>> {
        let about = self.played.get(&piece.id).map_or(&[][..], Vec::as_slice);
        let playing = about.iter().filter(|one| one.plays);
        let speaking = about.iter().filter(|one| !one.plays).take(usize::from(!about.iter().any(|one| one.plays)));
        let mut setups: Vec<Option<&Setup>> = Vec::new();
        for one in playing.chain(speaking) {
            let setup = one.setup.or_else(|| self.setup_of(piece));
            let is_known = |known: &Option<&Setup>| known.map(|known| known.id) == setup.map(|setup| setup.id);
            if !setups.iter().any(is_known) {
                setups.push(setup);
            }
        }
        if setups.is_empty() { vec![self.setup_of(piece)] } else { setups }
    }

    /// Returns the sections in the order of first use. A piece without music is told with the setups it is played in.
    fn finished(mut self) -> Vec<Section<'a>> {
        let mut list = std::mem::take(&mut self.list);
        list.sort_by_key(|(place, _)| *place);
        for (_, section) in &mut list {
            if let (Some(piece), true) = (section.piece(), section.groups.is_empty()) {
                let alone = |setup| SetupMusic { setup, voicings: Vec::new(), passages: Vec::new() };
                section.groups = self.played_in(piece).into_iter().map(alone).collect();
            }
        }
        list.into_iter().map(|(_, section)| section).filter(|section| !section.groups.is_empty()).collect()
    }

    /// Collects the passages and voicings that no segment uses, by piece in the order of the lesson.
    fn unused(&self) -> Vec<Section<'a>> {
        let mut rest = Self::new(self.lesson);
        let left = |passage: &&Passage| !self.passages.contains(&passage.id) && !passage.is_blank();
        for passage in self.lesson.passages.iter().filter(left) {
            let section = rest.section(0, self.piece_of(passage).map_or(SectionSubject::Lesson, SectionSubject::Piece));
            rest.add_passage(section, passage, None);
        }
        let left = |voicing: &&Voicing| !self.voicings.contains(&voicing.id) && !rest.voicings.contains(&voicing.id);
        let left: Vec<VoicingId> = self.lesson.voicings.iter().filter(left).map(|voicing| voicing.id).collect();
        if !left.is_empty() {
            let section = rest.section(0, SectionSubject::Lesson);
            rest.add_voicings(section, &left, self.lesson.setups.first());
        }
        rest.finished()
    }
}

/// Returns the voicings of the events of a passage, each once, in order.
fn voicings_of(passage: &Passage) -> Vec<VoicingId> {
    let voices = passage.bars.iter().flat_map(|bar| &bar.voices);
    let mut seen = HashSet::new();
    voices.flat_map(|voice| &voice.0).filter_map(|event| event.voicing).filter(|id| seen.insert(*id)).collect()
}
