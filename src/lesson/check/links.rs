//! Identities given twice, and links to things that are gone.

use std::collections::HashSet;
use std::hash::Hash;

use super::finding::{Finding, FindingKind};
use super::walk::steps;
use crate::lesson::document::{Lesson, OwnedInstrument, Piece, Segment, Setup, Voicing};
use crate::lesson::edit::Item;
use crate::lesson::id::{InstrumentId, PassageId, PieceId, SegmentId, SetupId, VoicingId};
use crate::lesson::music::Passage;
use crate::lesson::place::{LessonPlace, Spot};

/// Checks the links of setups, pieces and segments; those of passages and voicings are checked one by one.
pub(super) fn check(lesson: &Lesson, known: &KnownLinks, findings: &mut Vec<Finding>) {
    for setup in &lesson.setups {
        let place = LessonPlace::Setup(setup.id);
        findings.extend(gone::<OwnedInstrument>(&known.instruments, setup.instrument, place));
    }
    for piece in &lesson.pieces {
        findings.extend(piece.setup.and_then(|id| gone::<Setup>(&known.setups, id, LessonPlace::Piece(piece.id))));
    }
    for segment in &lesson.segments {
        known.check_segment(segment, findings);
    }
}

/// The identities that links may hold on to.
pub(super) struct KnownLinks {
    instruments: HashSet<InstrumentId>,
    setups: HashSet<SetupId>,
    pieces: HashSet<PieceId>,
    passages: HashSet<PassageId>,
    voicings: HashSet<VoicingId>,
}

impl KnownLinks {
    /// Returns the identities in a lesson, and finds those that come twice.
    pub(super) fn of(lesson: &Lesson, findings: &mut Vec<Finding>) -> Self {
        let known = Self {
            instruments: known(&lesson.instruments, LessonPlace::Instrument, findings),
            setups: known(&lesson.setups, LessonPlace::Setup, findings),
            pieces: known(&lesson.pieces, LessonPlace::Piece, findings),
            passages: known(&lesson.passages, |id| LessonPlace::Passage(id, Spot::WHOLE), findings),
            voicings: known(&lesson.voicings, |id| LessonPlace::Voicing(id, None), findings),
        };
        // Nothing links to segments.
        let _: HashSet<SegmentId> = known_segments(&lesson.segments, findings);
        known
    }

    pub(super) fn check_voicing(&self, voicing: &Voicing, findings: &mut Vec<Finding>) {
        let place = LessonPlace::Voicing(voicing.id, None);
        findings.extend(voicing.setup.and_then(|id| gone::<Setup>(&self.setups, id, place)));
    }

    pub(super) fn check_passage(&self, passage: &Passage, findings: &mut Vec<Finding>) {
        let place = LessonPlace::Passage(passage.id, Spot::WHOLE);
        findings.extend(passage.piece.and_then(|id| gone::<Piece>(&self.pieces, id, place)));
        findings.extend(passage.setup.and_then(|id| gone::<Setup>(&self.setups, id, place)));
        for step in steps(passage) {
            let place = LessonPlace::Passage(passage.id, step.spot());
            findings.extend(step.played.voicing.and_then(|id| gone::<Voicing>(&self.voicings, id, place)));
        }
    }

    fn check_segment(&self, segment: &Segment, findings: &mut Vec<Finding>) {
        let place = LessonPlace::Segment(segment.id);
        findings.extend(segment.setup.and_then(|id| gone::<Setup>(&self.setups, id, place)));
        findings.extend(segment.pieces.iter().filter_map(|id| gone::<Piece>(&self.pieces, *id, place)));
        let passages = segment.passages.iter().map(|played| played.passage);
        findings.extend(passages.filter_map(|id| gone::<Passage>(&self.passages, id, place)));
        findings.extend(segment.voicings.iter().filter_map(|id| gone::<Voicing>(&self.voicings, *id, place)));
    }
}

/// Returns the identities in a list, and finds those that come twice.
fn known<T: Item>(list: &[T], place: fn(T::Id) -> LessonPlace, findings: &mut Vec<Finding>) -> HashSet<T::Id>
where
    T::Id: Hash,
{
    let mut known = HashSet::with_capacity(list.len());
    let mut twice = HashSet::new();
    for id in list.iter().map(Item::id) {
        if !known.insert(id) && twice.insert(id) {
            let count = list.iter().filter(|item| item.id() == id).count();
            findings.push(Finding::problem(
                FindingKind::DuplicateId,
                place(id),
                format!("{count} {}s have the number {id}; links reach only the first", T::WORD),
                "give the others numbers of their own",
            ));
        }
    }
    known
}

fn known_segments(segments: &[Segment], findings: &mut Vec<Finding>) -> HashSet<SegmentId> {
    known(segments, LessonPlace::Segment, findings)
}

fn gone<T: Item>(known: &HashSet<T::Id>, id: T::Id, place: LessonPlace) -> Option<Finding>
where
    T::Id: Hash,
{
    let word = T::WORD;
    (!known.contains(&id)).then(|| {
        Finding::problem(
            FindingKind::DanglingLink,
            place,
            format!("this links to {word} {id}, which is not in the lesson"),
            format!("choose another {word}, or take the link out"),
        )
    })
}
