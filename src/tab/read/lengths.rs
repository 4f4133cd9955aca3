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
    /// What the steps are.
    pub(super) kind: GridSteps,
}

/// What the steps of a grid are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum GridSteps {
    /// Plain lengths.
    Plain,
    /// Thirds of a plain length: triplets.
    Triplets,
}

impl GridSteps {
    /// Returns what the steps are when `parts` of them make a beat of a simple meter.
    const fn of(parts: u64) -> Self {
        if parts.is_multiple_of(3) { Self::Triplets } else { Self::Plain }
    }
}

/// Places notes on a grid that divides the bar's columns evenly. Every step takes as many columns, at most one
/// column of filler stands before the first, and every note lies on a step.
///
/// The usual grids are tried in the order eighths, sixteenths, triplets (in 4/4: 8, 16, 12 steps).
pub(super) fn even(columns: &[usize], width: usize, lead: usize, meter: Meter) -> Option<Grid> {
    let span = width.checked_sub(lead).filter(|_| lead <= 1)? as u64;
    let unit = meter.unit().ticks().0;
    let parts: &[u64] = match meter.unit() {
        NoteValue::Half => &[4, 8],
        NoteValue::Quarter => &[2, 4, 3],
        NoteValue::Whole
        | NoteValue::Eighth
        | NoteValue::Sixteenth
        | NoteValue::ThirtySecond
        | NoteValue::SixtyFourth => &[1, 2],
    };
    parts.iter().find_map(|parts| {
        let steps = u64::from(meter.beats()) * parts;
        let wide = span / steps.max(1);
        if wide == 0 || !span.is_multiple_of(steps) {
            return None;
        }
        let place = |column: &usize| {
            let column = column.checked_sub(lead)? as u64;
            column.is_multiple_of(wide).then_some(column / wide).filter(|at| *at < steps)
        };
        let at = columns.iter().map(place).collect::<Option<Vec<u64>>>()?;
        Some(Grid { step: Ticks(unit / parts), steps, at, kind: GridSteps::of(*parts) })
    })
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
            let kind = if compound { GridSteps::Plain } else { GridSteps::of(*parts) };
            return Grid { step: Ticks(unit / parts), steps, at, kind };
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

/// Places notes that fit no even grid as well as can be done.
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
    Grid { step: Ticks(step), steps, at, kind: GridSteps::Plain }
}

/// Returns written lengths that together last from step `from` to step `to` of `grid`. A group of
/// three triplet steps is filled by itself, so that every triplet is complete.
pub(super) fn spell(from: u64, to: u64, grid: &Grid) -> Vec<Length> {
    if grid.kind == GridSteps::Plain {
        return plain(to.saturating_sub(from), grid.step);
    }
    let mut lengths = Vec::new();
    let mut at = from;
    while at < to {
        let group_end = (at / 3 + 1) * 3;
        if at.is_multiple_of(3) && group_end <= to {
            let groups = (to - at) / 3;
            lengths.extend(plain(groups, Ticks(grid.step.0 * 3)));
            at += groups * 3;
        } else {
            let end = to.min(group_end);
            lengths.extend(thirds(end - at, grid.step));
            at = end;
        }
    }
    lengths
}

/// Returns the length of one or two triplet steps.
fn thirds(steps: u64, step: Ticks) -> Option<Length> {
    let triplet = Tuplet { actual: 3, normal: 2 };
    let length = |value: &NoteValue| Length::new(*value, 0, Some(triplet));
    NoteValue::ALL.iter().filter_map(length).find(|length| length.ticks().0 == steps * step.0)
}

/// Returns plain lengths that together last `steps` steps of `step`, the longest first.
fn plain(steps: u64, step: Ticks) -> Vec<Length> {
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
    let mut choices: Vec<(u64, Length)> = Vec::new();
    for value in NoteValue::ALL {
        for dots in [0, 1] {
            let Some(length) = Length::new(value, dots, None) else { continue };
            let ticks = length.ticks().0;
            if ticks.is_multiple_of(step.0.max(1)) {
                choices.push((ticks, length));
            }
        }
    }
    choices.sort_by_key(|(ticks, _)| std::cmp::Reverse(*ticks));
    choices
}

/// Returns the step that is taken where nothing else is known of the notes that stand closest: an eighth, or the
/// meter's unit if that is shorter.
pub(super) fn eighth_or_unit(meter: Meter) -> Ticks {
    NoteValue::Eighth.ticks().min(meter.unit().ticks())
}
