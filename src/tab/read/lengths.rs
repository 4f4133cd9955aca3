//! Guesses lengths from the spacing of the columns.

use crate::lesson::time::{Length, Meter, NoteValue, Ticks, Tuplet};

/// Notes placed on an even grid.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Grid {
    /// The length of one step.
    pub(super) step: Ticks,
    /// The steps in the bar.
    pub(super) steps: u64,
    /// The step at which each note starts.
    pub(super) at: Vec<u64>,
}

/// How far a column may be from its step, in twelfths of a column.
const SLACK: u64 = 7;

/// Places notes at `columns` of a bar of `width` columns, of which the first `lead` go before the
/// first beat, on the coarsest grid that fits.
pub(super) fn place(columns: &[usize], width: usize, lead: usize, meter: Meter) -> Grid {
    let columns: Vec<u64> = columns.iter().map(|column| column.saturating_sub(lead) as u64).collect();
    let compound = meter.unit() >= NoteValue::Eighth && meter.beats().is_multiple_of(3);
    let parts: &[u64] = if compound { &[1, 2, 4] } else { &[1, 2, 4, 3, 8, 6] };
    let beats = u64::from(meter.beats());
    let unit = meter.unit().ticks().0;
    let shortest = NoteValue::SixtyFourth.ticks().0;
    let span = (width.saturating_sub(lead) as u64).max(1);
    let fine = |parts: &&u64| unit / **parts >= shortest && unit.is_multiple_of(**parts);
    for parts in parts.iter().filter(fine) {
        let steps = beats * parts;
        let found = (span..=span + lead as u64 + 1).find_map(|span| fit(&columns, span, steps));
        if let Some(at) = found {
            return Grid { step: Ticks(unit / parts), steps, at };
        }
    }
    crowd(&columns, span, meter)
}

/// Returns the step of each column if all lie near different steps.
fn fit(columns: &[u64], span: u64, steps: u64) -> Option<Vec<u64>> {
    let mut at: Vec<u64> = Vec::with_capacity(columns.len());
    for column in columns {
        let nearest = (column * steps + span / 2) / span;
        // The distance is |column - nearest * span / steps| columns.
        let off = (column * steps).abs_diff(nearest * span);
        let new = at.last().is_none_or(|before| *before < nearest);
        if off * 12 > SLACK * steps || nearest >= steps || !new {
            return None;
        }
        at.push(nearest);
    }
    Some(at)
}

/// Places notes that fit no even grid as well as it goes.
fn crowd(columns: &[u64], span: u64, meter: Meter) -> Grid {
    let count = columns.len() as u64;
    let mut step = NoteValue::Sixteenth.ticks().0.min(meter.unit().ticks().0);
    let shortest = NoteValue::SixtyFourth.ticks().0;
    while meter.ticks().0 / step < count && step > shortest {
        step /= 2;
    }
    let steps = (meter.ticks().0 / step).max(count).max(1);
    let mut at: Vec<u64> = Vec::with_capacity(columns.len());
    for (left, column) in (1..=count).rev().zip(columns) {
        let nearest = (column * steps + span / 2) / span;
        let first = at.last().map_or(0, |before| before + 1);
        at.push(nearest.clamp(first, steps.saturating_sub(left).max(first)));
    }
    Grid { step: Ticks(step), steps, at }
}

/// Returns written lengths that together last `steps` steps of `step`, the longest first.
pub(super) fn spell(steps: u64, step: Ticks) -> Vec<Length> {
    let mut left = steps.saturating_mul(step.0);
    let mut lengths = Vec::new();
    let choices = choices(step);
    while left > 0 {
        let Some((ticks, length)) = choices.iter().find(|(ticks, _)| *ticks <= left) else { break };
        lengths.push(*length);
        left -= ticks;
    }
    lengths
}

/// Returns the lengths that are whole numbers of `step`, the longest first.
fn choices(step: Ticks) -> Vec<(u64, Length)> {
    let triplet = Tuplet { actual: 3, normal: 2 };
    let mut choices: Vec<(u64, Length)> = Vec::new();
    for tuplet in [None, Some(triplet)] {
        for value in NoteValue::ALL {
            for dots in [0, 1] {
                let Some(length) = Length::new(value, dots, tuplet) else { continue };
                let ticks = length.ticks().0;
                let new = choices.iter().all(|(other, _)| *other != ticks);
                if ticks.is_multiple_of(step.0.max(1)) && new && (dots == 0 || tuplet.is_none()) {
                    choices.push((ticks, length));
                }
            }
        }
    }
    choices.sort_by_key(|(ticks, _)| std::cmp::Reverse(*ticks));
    choices
}

/// Returns the step of notes that stand closest where nothing else is known: an eighth, or the
/// meter's unit if that is shorter.
pub(super) fn eighth_or_unit(meter: Meter) -> Ticks {
    NoteValue::Eighth.ticks().min(meter.unit().ticks())
}
