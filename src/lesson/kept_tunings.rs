//! The tuning of each segment while the list of segments changes.
//!
//! A segment that states no tuning is played in that of the one before it, so whoever moves, deletes or puts in a segment
//! may change the tuning of others. What is here states the tuning where it would be another one afterwards, so that every
//! segment is played in what it was played in.

use std::collections::HashMap;

use super::document::{Lesson, Segment, SegmentKind};
use super::edit::{Edit, ListEdit};
use super::id::{SegmentId, SetupId};

impl Lesson {
    /// Returns the tuning that is in force in each segment, in order: its own, else that of the one before it, else the
    /// lesson's first.
    pub fn tunings_in_force(&self) -> Vec<(SegmentId, Option<SetupId>)> {
        let mut stated = self.setups.first().map(|setup| setup.id);
        let in_force = |segment: &Segment| {
            stated = segment.setup.or(stated);
            (segment.id, stated)
        };
        self.segments.iter().map(in_force).collect()
    }

    /// Returns the tuning that each retuning segment leads to which states none itself: that of the next segment of another
    /// kind, where it is another one than before.
    pub fn led_to(&self) -> Vec<(SegmentId, Option<SetupId>)> {
        let mut led = Vec::new();
        let mut next = None;
        for (segment, (id, now)) in self.segments.iter().zip(self.tunings_in_force()).rev() {
            if segment.kind != SegmentKind::Retuning {
                next = now;
            } else if segment.setup.is_none() {
                led.push((id, next.filter(|next| Some(*next) != now)));
            }
        }
        led
    }
}

/// Returns the edits that have to follow `edits` so that every segment is still played in its tuning; none where nothing
/// else would change.
///
/// A segment whose own tuning `edits` change has that one. One for retuning that states none leads to the tuning of the next
/// segment, wherever it stands, and is left alone.
pub fn tunings_kept(lesson: &Lesson, edits: &[Edit]) -> Vec<Edit> {
    let mut changed = Lesson { segments: lesson.segments.clone(), setups: lesson.setups.clone(), ..Lesson::default() };
    for edit in edits.iter().filter(|edit| matches!(edit, Edit::Segments(_))) {
        // What does not fit is refused, in words, where the edits are made.
        let Ok(_back) = changed.apply(edit.clone()) else { return Vec::new() };
    }
    let stated: HashMap<SegmentId, Option<SetupId>> =
        lesson.segments.iter().map(|segment| (segment.id, segment.setup)).collect();
    let before: HashMap<SegmentId, Option<SetupId>> = lesson.tunings_in_force().into_iter().collect();
    let mut in_force = lesson.setups.first().map(|setup| setup.id);
    let mut more = Vec::new();
    for segment in &changed.segments {
        in_force = segment.setup.or(in_force);
        let was = before.get(&segment.id).copied().flatten().filter(|setup| lesson.setup(*setup).is_some());
        let only_leads = segment.kind == SegmentKind::Retuning && segment.setup.is_none();
        let is_as_stated = stated.get(&segment.id) == Some(&segment.setup);
        if let Some(was) = was.filter(|was| Some(*was) != in_force && is_as_stated && !only_leads) {
            in_force = Some(was);
            more.push(Edit::Segments(ListEdit::Replace(Segment { setup: in_force, ..segment.clone() })));
        }
    }
    more
}
