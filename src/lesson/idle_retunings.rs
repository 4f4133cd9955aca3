//! Retuning segments that change neither tuning nor capo, and those that come to nothing when a tuning is deleted.

use super::document::{Lesson, Segment, SegmentKind, Setup};
use super::edit::{Edit, ListEdit};
use super::id::SegmentId;
use super::kept_tunings::tunings_kept;
use super::tunings::{Retuned, plays_alike};

/// Returns the retuning segments that change neither tuning nor capo, the last one first, each with the tuning that it stays in.
pub fn idle_retunings(lesson: &Lesson) -> Vec<(&Segment, Option<&Setup>)> {
    let stated = lesson.segments.iter().scan(None, |said, segment| {
        *said = segment.setup.or(*said);
        Some(*said)
    });
    let in_force: Vec<Option<&Setup>> = stated.map(|id| id.and_then(|id| lesson.setup(id))).collect();
    let mut found = Vec::new();
    // The setup that the next segment of another kind is played in: a retuning may leave it to that one
    // to say where it leads.
    let mut next = None;
    for (place, segment) in lesson.segments.iter().enumerate().rev() {
        let now = in_force.get(place).copied().flatten();
        if segment.kind != SegmentKind::Retuning {
            next = Some(now);
            continue;
        }
        let before = place.checked_sub(1).and_then(|before| in_force.get(before).copied().flatten());
        let changes = |from: Option<&Setup>, to: Option<&Setup>| match (from, to) {
            (Some(from), Some(to)) => !plays_alike(from, to),
            (from, to) => from.is_some() || to.is_some(),
        };
        if !changes(before, now) && next.is_none_or(|next| !changes(now, next)) {
            found.push((segment, now));
        }
    }
    found
}

/// Returns the edits that delete a retuning segment which changes nothing; `None` where it was recorded, or plays or shows something,
/// so that there is more to lose.
pub fn deleting_it(lesson: &Lesson, id: SegmentId) -> Option<Vec<Edit>> {
    let segment = lesson.segment(id)?;
    if segment.recorded.is_some() || !segment.passages.is_empty() || !segment.voicings.is_empty() {
        return None;
    }
    let mut edits = vec![Edit::Segments(ListEdit::Remove(id))];
    edits.extend(tunings_kept(lesson, &edits));
    Some(edits)
}

/// The retuning segments that came to nothing.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct IdleAlong {
    /// How many were deleted.
    pub deleted: usize,
    /// How many stay, because there is more in them than the retuning.
    pub staying: usize,
}

/// Adds to `retuned`, edits of the lesson `before`, what deletes the retuning segments that change nothing after them, and did before.
pub fn delete_idle(before: &Lesson, retuned: &mut Retuned) -> IdleAlong {
    let mut along = IdleAlong::default();
    let mut after = before.clone();
    // What does not fit is refused, in words, where the edits are made.
    if after.apply_all(retuned.edits.clone()).is_err() {
        return along;
    }
    let were: Vec<SegmentId> = idle_retunings(before).into_iter().map(|(segment, _)| segment.id).collect();
    let are: Vec<SegmentId> = idle_retunings(&after).into_iter().map(|(segment, _)| segment.id).collect();
    for id in are.into_iter().filter(|id| !were.contains(id)) {
        let deleted = deleting_it(&after, id).filter(|edits| after.apply_all(edits.clone()).is_ok());
        match deleted {
            Some(edits) => {
                retuned.edits.extend(edits);
                along.deleted += 1;
            }
            None => along.staying += 1,
        }
    }
    along
}
