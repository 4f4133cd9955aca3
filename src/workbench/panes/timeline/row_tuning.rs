//! What a row of the list says of the tuning: the one that the segment is played in, or the one that it goes to.

use crate::lesson::document::{Lesson, SegmentKind, Setup};

/// What a row says of the tuning.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum RowTuning<'a> {
    /// Nothing: the lesson has no other, or none.
    Unsaid,
    /// The segment is played in it.
    In(&'a str),
    /// The strings are tuned to it, in a segment of its own.
    To(&'a str),
    /// The segment begins in it, and the one before it was in another.
    Retune(&'a str),
}

impl RowTuning<'_> {
    /// Returns the words of the row. The tuning that is left is not named: the row before has it.
    pub(super) fn words(self) -> String {
        match self {
            Self::Unsaid => String::new(),
            Self::In(name) => name.to_owned(),
            Self::To(name) => format!("to {name}"),
            Self::Retune(name) => format!("retune: {name}"),
        }
    }

    /// Returns whether the strings are tuned to something else.
    pub(super) const fn changes(self) -> bool {
        matches!(self, Self::To(_) | Self::Retune(_))
    }
}

/// Returns what each row says of the tuning, in order.
pub(super) fn row_tunings(lesson: &Lesson) -> Vec<RowTuning<'_>> {
    let mut stated = None;
    let in_force = lesson.segments.iter().map(|segment| {
        stated = segment.setup.or(stated);
        stated.map_or(lesson.setups.first(), |id| lesson.setup(id))
    });
    let in_force: Vec<Option<&Setup>> = in_force.collect();
    (0..in_force.len()).map(|place| row_tuning(lesson, &in_force, place)).collect()
}

fn row_tuning<'a>(lesson: &'a Lesson, in_force: &[Option<&'a Setup>], place: usize) -> RowTuning<'a> {
    let in_force = |place: usize| in_force.get(place).copied().flatten();
    let is_retuning = |place: usize| lesson.segments.get(place).is_some_and(|one| one.kind == SegmentKind::Retuning);
    let differs = |one: Option<&Setup>, other: Option<&Setup>| one.map(|setup| setup.id) != other.map(|setup| setup.id);
    let now = in_force(place);
    let before = place.checked_sub(1).map_or(now, in_force);
    let name = now.map_or("", |setup| setup.name.as_str());
    if is_retuning(place) {
        // It may leave it to the next segment to say where it leads.
        let next = (place + 1..lesson.segments.len()).find(|next| !is_retuning(*next)).and_then(in_force);
        let target = if differs(before, now) { now } else { next };
        if let Some(target) = target.filter(|target| differs(before, Some(target))) {
            return RowTuning::To(&target.name);
        }
    } else if differs(before, now) && !name.is_empty() {
        let is_led_to = place.checked_sub(1).is_some_and(is_retuning);
        return if is_led_to { RowTuning::In(name) } else { RowTuning::Retune(name) };
    }
    let is_stated = lesson.segments.get(place).is_some_and(|segment| segment.setup.is_some());
    if name.is_empty() || (lesson.setups.len() < 2 && !is_stated) { RowTuning::Unsaid } else { RowTuning::In(name) }
}
