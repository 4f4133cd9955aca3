//! The segments that come along when passages go to another tuning: those that play them, and what leads to them.

use std::collections::HashSet;

use super::document::{Lesson, Segment, SegmentKind, Setup};
use super::edit::{Edit, ListEdit};
use super::id::{PassageId, PieceId, SegmentId, SetupId};

/// The segments that are played in another tuning than passages that go to one, and can go there as well.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SegmentsAlong {
    /// Those that play one of the passages and nothing that stays in another tuning, in order.
    pub playing: Vec<SegmentId>,
    /// Those that only belong to them, in order: segments about a piece that goes there whole, and retunings that lead to one that
    /// comes along.
    pub beside: Vec<SegmentId>,
    /// Those that play one of the passages, and also something that stays in another tuning, in order.
    pub torn: Vec<SegmentId>,
}

impl SegmentsAlong {
    /// Returns the segments that could come along when these passages go to the tuning `to`.
    pub fn of(lesson: &Lesson, passages: &[PassageId], to: &Setup) -> Self {
        let going: HashSet<PassageId> = passages.iter().copied().collect();
        let pieces = whole_pieces(lesson, &going);
        let stays = |id: PassageId| {
            let written = lesson.passage(id).and_then(|passage| lesson.passage_setup(passage));
            !going.contains(&id) && written.is_some_and(|written| written.id != to.id)
        };
        let mut along = Self::default();
        // Seen from behind: the segment that a retuning leads to is known by then.
        let mut next_comes = None;
        for (segment, (_, now)) in lesson.segments.iter().zip(lesson.tunings_in_force()).rev() {
            if segment.kind == SegmentKind::Retuning {
                if segment.setup.is_some() && segment.setup != Some(to.id) && next_comes == Some(segment.setup) {
                    along.beside.push(segment.id);
                }
                continue;
            }
            next_comes = None;
            if now == Some(to.id) {
                continue;
            }
            let plays = segment.passages.iter().any(|used| going.contains(&used.passage));
            let is_torn = segment.passages.iter().any(|used| stays(used.passage));
            if plays && is_torn {
                along.torn.push(segment.id);
            } else if plays {
                along.playing.push(segment.id);
                next_comes = Some(now);
            } else if !is_torn && is_about(segment, &pieces) {
                along.beside.push(segment.id);
                next_comes = Some(now);
            }
        }
        along.playing.reverse();
        along.beside.reverse();
        along.torn.reverse();
        if along.playing.is_empty() { Self { beside: Vec::new(), ..along } } else { along }
    }

    /// Returns the edits by which they are played in the tuning `to`. Every other segment that needs its own stays in that.
    pub fn edits(&self, lesson: &Lesson, to: SetupId) -> Vec<Edit> {
        let coming: HashSet<SegmentId> = self.playing.iter().chain(&self.beside).copied().collect();
        played_in(lesson, &coming, to)
    }
}

/// Returns the edits by which the segments `coming` are played in the tuning `to`, and every other one in its own. A retuning that
/// states no tuning leads to the next segment, and is left alone; so is a segment that states none and needs none, as a goodbye, behind
/// one that comes, where nothing behind it keeps the hands in the old tuning: it goes on in that of the one before.
pub fn played_in(lesson: &Lesson, coming: &HashSet<SegmentId>, to: SetupId) -> Vec<Edit> {
    let mut in_force = lesson.setups.first().map(|setup| setup.id);
    let mut edits = Vec::new();
    let goes_on = going_on(lesson, coming);
    for ((segment, (_, was)), goes_on) in lesson.segments.iter().zip(lesson.tunings_in_force()).zip(goes_on) {
        let comes = coming.contains(&segment.id);
        if segment.kind == SegmentKind::Retuning && segment.setup.is_none() && !comes {
            continue;
        }
        if goes_on && in_force == Some(to) {
            continue;
        }
        let wanted = if comes { Some(to) } else { was };
        let setup = if segment.setup.is_some() || wanted != in_force { wanted } else { None };
        in_force = wanted;
        if setup != segment.setup {
            edits.push(Edit::Segments(ListEdit::Replace(Segment { setup, ..segment.clone() })));
        }
    }
    edits
}

/// Returns of each segment whether it goes on in the tuning of the one before: it states none, nothing of it is played in one, and no
/// segment that stays takes its tuning from it.
fn going_on(lesson: &Lesson, coming: &HashSet<SegmentId>) -> Vec<bool> {
    let mut nothing_leans = true;
    let mut goes_on = Vec::with_capacity(lesson.segments.len());
    for segment in lesson.segments.iter().rev() {
        let states = segment.setup.is_some() || coming.contains(&segment.id);
        let needs_none = segment.passages.is_empty() && segment.voicings.is_empty() && segment.pieces.is_empty();
        goes_on.push(!states && needs_none && nothing_leans);
        nothing_leans = states || nothing_leans && (needs_none || segment.kind == SegmentKind::Retuning);
    }
    goes_on.reverse();
    goes_on
}

/// Returns the pieces all of whose passages are among these.
fn whole_pieces(lesson: &Lesson, going: &HashSet<PassageId>) -> HashSet<PieceId> {
    let of = lesson.pieces_of_passages();
    let stay: HashSet<PieceId> =
        of.iter().filter(|(passage, _)| !going.contains(passage)).map(|(_, piece)| *piece).collect();
    of.into_values().filter(|piece| !stay.contains(piece)).collect()
}

/// Returns whether a segment is about these pieces and no others.
fn is_about(segment: &Segment, pieces: &HashSet<PieceId>) -> bool {
    !segment.pieces.is_empty() && segment.pieces.iter().all(|piece| pieces.contains(piece))
}
