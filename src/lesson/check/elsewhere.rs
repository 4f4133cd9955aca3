//! Music that is played in another tuning than the one it is written for: one finding for each cause, whatever number of segments
//! it shows in.

use super::finding::{Finding, FindingKind};
use super::words::listed;
use crate::lesson::document::{Lesson, Piece, Segment, Setup};
use crate::lesson::id::{PassageId, PieceId, SetupId};
use crate::lesson::music::Passage;
use crate::lesson::place::LessonPlace;
use crate::lesson::tunings::plays_alike;
use crate::text::quote::quoted;

/// A passage, or passages of one piece, that segments play in another tuning.
pub(super) struct PlayedElsewhere<'a> {
    /// The passages, in the order in which they are played: at least one.
    pub(super) passages: Vec<&'a Passage>,
    /// The piece that they are of.
    piece: Option<&'a Piece>,
    /// The segments and their places, counted from 0: at least one.
    pub(super) segments: Vec<(usize, &'a Segment)>,
    /// The tuning that the passages state.
    pub(super) written: &'a Setup,
    /// The tuning that the segments are played in.
    pub(super) here: &'a Setup,
}

/// What has one cause: what is played, the tuning that it states, and the one in which it is played.
type Cause = (Result<PieceId, PassageId>, SetupId, SetupId);

/// Returns the music that is played in another tuning than its own, in the order of the segments that show it first.
pub(super) fn played_elsewhere(lesson: &Lesson) -> Vec<PlayedElsewhere<'_>> {
    let mut pieces = None;
    let mut found: Vec<(Cause, PlayedElsewhere<'_>)> = Vec::new();
    // What the segments so far say they are played in; asked anew for each, a long lesson takes long.
    let mut stated: Option<SetupId> = None;
    for (place, segment) in lesson.segments.iter().enumerate() {
        stated = segment.setup.or(stated);
        let Some(here) = stated.map_or_else(|| lesson.setups.first(), |id| lesson.setup(id)) else { continue };
        for passage in segment.passages.iter().filter_map(|used| lesson.passage(used.passage)) {
            // What states no tuning is played in that of the segment.
            let written = lesson.stated_passage_setup(passage).and_then(|id| lesson.setup(id));
            let Some(written) = written.filter(|written| !plays_alike(written, here)) else { continue };
            let pieces = pieces.get_or_insert_with(|| lesson.pieces_of_passages());
            let piece = pieces.get(&passage.id).and_then(|id| lesson.piece(*id));
            let cause = (piece.map_or(Err(passage.id), |piece| Ok(piece.id)), written.id, here.id);
            let known = found.iter_mut().find(|(known, _)| *known == cause);
            let Some((_, known)) = known else {
                let (passages, segments) = (vec![passage], vec![(place, segment)]);
                found.push((cause, PlayedElsewhere { passages, piece, segments, written, here }));
                continue;
            };
            if known.passages.iter().all(|other| other.id != passage.id) {
                known.passages.push(passage);
            }
            if known.segments.last().is_some_and(|(last, _)| *last != place) {
                known.segments.push((place, segment));
            }
        }
    }
    found.into_iter().map(|(_, played)| played).collect()
}

/// Finds what is played in another tuning than its own.
pub(super) fn check(lesson: &Lesson, findings: &mut Vec<Finding>) {
    findings.extend(played_elsewhere(lesson).iter().filter_map(PlayedElsewhere::finding));
}

impl PlayedElsewhere<'_> {
    /// Returns the finding, at the first of the segments.
    pub(super) fn finding(&self) -> Option<Finding> {
        let (_, first) = self.segments.first()?;
        let (written, here) = (quoted(&self.written.name), quoted(&self.here.name));
        let segments = if self.segments.len() == 1 { "the segment" } else { "the segments" };
        let passages = if self.passages.len() == 1 { "the passage" } else { "the passages" };
        let remedy =
            format!("play {segments} in \"{written}\", or move {passages} to \"{here}\": same frets or same sound");
        let found = Finding::warning(FindingKind::PassageSetup, LessonPlace::Segment(first.id), self.reason(), remedy);
        Some(found.also_about(self.segments.iter().skip(1).map(|(_, segment)| segment.id)))
    }

    /// Says what is played where.
    fn reason(&self) -> String {
        let (written, here) = (quoted(&self.written.name), quoted(&self.here.name));
        let what = match (self.passages.as_slice(), self.piece) {
            (passages @ [_, _, ..], Some(piece)) => {
                format!("{} passages of \"{}\" are", passages.len(), quoted(&piece.title))
            }
            (passages, _) => {
                let title = passages.first().map_or("", |passage| passage.title.as_str());
                format!("passage \"{}\" is", quoted(title))
            }
        };
        let numbers: Vec<usize> = self.segments.iter().map(|(place, _)| place + 1).collect();
        let played = match numbers.as_slice() {
            [] | [_] => "this segment is".to_owned(),
            [_, _, ..] => format!("segments {} are", listed(&numbers)),
        };
        format!("{what} in \"{written}\", and {played} played in \"{here}\"")
    }
}
