//! What a row of the list says of the tuning: the one that the segment is played in, or the one that it goes to.

use crate::instrument::retuning::CapoStep;
use crate::lesson::document::{Lesson, SegmentKind, Setup};
use crate::lesson::tunings::TuningStep;

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
    /// The segment begins in it, on another instrument than the one before it.
    Instrument(&'a str),
    /// The segment begins with the capo elsewhere than the one before it, on the same strings.
    Capo(CapoStep),
}

impl RowTuning<'_> {
    /// Returns the words of the row. The tuning that is left is not named: the row before has it.
    pub(super) fn words(self) -> String {
        match self {
            Self::Unsaid => String::new(),
            Self::In(name) => name.to_owned(),
            Self::To(name) => format!("to {name}"),
            Self::Retune(name) => format!("retune: {name}"),
            Self::Instrument(name) => format!("change to {name}"),
            Self::Capo(step) => step.short(),
        }
    }

    /// Returns whether hands have something to do before it is played.
    pub(super) const fn changes(self) -> bool {
        match self {
            Self::Unsaid | Self::In(_) => false,
            Self::To(_) | Self::Retune(_) | Self::Instrument(_) | Self::Capo(_) => true,
        }
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
        return match before.zip(now).map_or(TuningStep::Retune, |(before, now)| TuningStep::between(before, now)) {
            _ if is_led_to => RowTuning::In(name),
            TuningStep::Nothing => RowTuning::In(name),
            TuningStep::Capo(step) => RowTuning::Capo(step),
            TuningStep::Retune => RowTuning::Retune(name),
            TuningStep::Instrument => RowTuning::Instrument(name),
        };
    }
    let is_stated = lesson.segments.get(place).is_some_and(|segment| segment.setup.is_some());
    if name.is_empty() || (lesson.setups.len() < 2 && !is_stated) { RowTuning::Unsaid } else { RowTuning::In(name) }
}
