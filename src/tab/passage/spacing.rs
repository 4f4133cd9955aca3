//! How wide each column of a row is.
//!
//! Equal notes stand at equal distances within a bar wherever the row has the room: columns of a bar that last equally
//! long are one class and are widened together. What is left over then stands before bar lines.

use std::collections::BTreeMap;

use crate::lesson::time::NoteValue;

use super::piece::{BarPiece, LEAD};

/// What the share of one unit wanted is counted in.
const WANT_UNIT: u64 = 1 << 16;
/// How many columns may be left over before each bar line rather than be given to one bar alone.
const MOST_LEFT: usize = 3;

/// The columns of a bar that last equally long.
struct EqualNotes {
    piece: usize,
    /// Their places in the piece.
    members: Vec<usize>,
    /// How much of the spare room each wants.
    want: u64,
    /// The width all of them have at least.
    floor: usize,
}

impl EqualNotes {
    /// Returns the width of a member whose own least is `least`.
    fn width(&self, level: usize, least: usize) -> usize {
        level.max(self.floor).max(least)
    }

    /// Returns the width at a scale, in 65,536ths of a column for each unit wanted.
    fn level(&self, scale: u64, most: usize) -> usize {
        let wide = usize::try_from(self.want.saturating_mul(scale) >> 16).unwrap_or(usize::MAX);
        wide.min(most).max(self.floor)
    }
}

/// The equal notes of the pieces that stand in one row.
struct SpacedRow<'a> {
    pieces: &'a [BarPiece],
    classes: Vec<EqualNotes>,
}

/// Returns the width of each column of `pieces`, which stand in one row, so that they add up to `target` if their
/// least widths leave that room.
pub(super) fn filled(pieces: &[BarPiece], target: usize) -> Vec<Vec<usize>> {
    let classes = pieces.iter().enumerate().flat_map(|(number, piece)| classes(number, piece)).collect();
    let mut row = SpacedRow { pieces, classes };
    row.part_where_tight(target);
    let mut levels = row.scaled_to(target);
    let spare = row.share_out(&mut levels, target);
    let mut widths = row.widths(&levels);
    widen_ends(&mut widths, spare);
    widths
}

impl SpacedRow<'_> {
    fn least(&self, piece: usize, column: usize) -> usize {
        self.pieces.get(piece).and_then(|piece| piece.least.get(column)).copied().unwrap_or(0)
    }

    /// Returns the width of all columns of a class.
    fn total(&self, class: &EqualNotes, level: usize) -> usize {
        let widths = class.members.iter().map(|column| class.width(level, self.least(class.piece, *column)));
        widths.fold(0, usize::saturating_add)
    }

    /// Lets equal notes stand at different distances where there is no room for all to be alike; those first that give
    /// back the most.
    fn part_where_tight(&mut self, target: usize) {
        let mut sum = self.classes.iter().map(|class| self.total(class, 0)).fold(0, usize::saturating_add);
        while sum > target {
            let bare = |class: &EqualNotes| -> usize {
                class.members.iter().map(|column| self.least(class.piece, *column)).sum()
            };
            let gains = self.classes.iter().map(|class| self.total(class, 0) - bare(class)).enumerate();
            let Some((place, gain)) = gains.max_by_key(|(_, gain)| *gain).filter(|(_, gain)| *gain > 0) else { break };
            sum -= gain;
            if let Some(class) = self.classes.get_mut(place) {
                class.floor = 0;
            }
        }
    }

    /// Returns the level of each class at the largest scale at which all of them have room.
    fn scaled_to(&self, target: usize) -> Vec<usize> {
        let sum_at = |scale: u64| {
            let totals = self.classes.iter().map(|class| self.total(class, class.level(scale, target)));
            totals.fold(0, usize::saturating_add)
        };
        let (mut low, mut high) = (0u64, 1u64 << 32);
        while high - low > 1 {
            let middle = low + (high - low) / 2;
            if sum_at(middle) <= target { low = middle } else { high = middle }
        }
        self.classes.iter().map(|class| class.level(low, target)).collect()
    }

    /// Widens classes by one column each where what is left of `target` allows it, and returns what is left after that. Equal
    /// notes of all bars grow together, or else those of one bar, as long as there is much to give away.
    fn share_out(&self, levels: &mut [usize], target: usize) -> usize {
        let sum = self.classes.iter().zip(levels.iter()).map(|(class, level)| self.total(class, *level));
        let mut spare = target.saturating_sub(sum.fold(0, usize::saturating_add));
        let mut next: Vec<usize> = (0..self.classes.len()).collect();
        next.sort_by_key(|place| {
            let level = levels.get(*place).copied().unwrap_or(0) as u64;
            let class = self.classes.get(*place);
            class.map_or((u64::MAX, 0), |class| ((level + 1) * WANT_UNIT / class.want.max(1), class.want))
        });
        let wanted = |place: &usize| self.classes.get(*place).map_or(0, |class| class.want);
        let together = next.chunk_by(|one, other| wanted(one) == wanted(other)).map(<[usize]>::to_vec);
        let alone = next.iter().map(|place| vec![*place]);
        let kept = MOST_LEFT * self.pieces.len();
        for (group, keep) in together.map(|group| (group, 0)).chain(alone.map(|one| (one, kept))) {
            let more = |place: &usize| match (self.classes.get(*place), levels.get(*place)) {
                (Some(class), Some(level)) if class.want > 0 => {
                    self.total(class, *level + 1) - self.total(class, *level)
                }
                _ => 0,
            };
            let takes: usize = group.iter().map(more).sum();
            if takes > 0 && takes <= spare && spare > keep {
                spare -= takes;
                for place in group {
                    if let Some(level) = levels.get_mut(place) {
                        *level += 1;
                    }
                }
            }
        }
        spare
    }

    /// Returns the width of each column of each piece.
    fn widths(&self, levels: &[usize]) -> Vec<Vec<usize>> {
        let mut widths: Vec<Vec<usize>> = self.pieces.iter().map(|piece| piece.least.clone()).collect();
        for (class, level) in self.classes.iter().zip(levels) {
            let Some(piece) = widths.get_mut(class.piece) else { continue };
            for column in &class.members {
                if let Some(width) = piece.get_mut(*column) {
                    *width = class.width(*level, *width);
                }
            }
        }
        widths
    }
}

/// Gives what is left over to the ends of the pieces, before their bar lines.
fn widen_ends(widths: &mut [Vec<usize>], spare: usize) {
    let count = widths.iter().filter(|piece| !piece.is_empty()).count().max(1);
    let ends = widths.iter_mut().filter_map(|piece| piece.last_mut());
    for (place, last) in ends.enumerate() {
        *last += (place + 1) * spare / count - place * spare / count;
    }
}

/// Returns the least width of `pieces` in which all equal notes stand at equal distances.
pub(super) fn even(pieces: &[BarPiece]) -> usize {
    let classes = pieces.iter().enumerate().flat_map(|(number, piece)| {
        let least = |column: &usize| piece.least.get(*column).copied().unwrap_or(0);
        classes(number, piece).into_iter().map(move |class| {
            class.members.iter().map(|column| class.width(0, least(column))).fold(0, usize::saturating_add)
        })
    });
    classes.fold(0, usize::saturating_add)
}

/// Sorts the columns of a piece by how long they last.
fn classes(number: usize, piece: &BarPiece) -> Vec<EqualNotes> {
    let mut by_length: BTreeMap<u64, Vec<usize>> = BTreeMap::new();
    for (place, lasts) in piece.lasts.iter().enumerate() {
        by_length.entry(*lasts).or_default().push(place);
    }
    // What stands behind the last column is the bar line, which may be farther away.
    let inner = piece.least.len().saturating_sub(1);
    let class = |(lasts, members): (u64, Vec<usize>)| EqualNotes {
        piece: number,
        want: lasts.isqrt(),
        floor: members
            .iter()
            .filter(|column| **column < inner)
            .filter_map(|column| piece.least.get(*column).copied())
            .max()
            .unwrap_or(0),
        members,
    };
    by_length.into_iter().map(class).collect()
}

/// The columns that a sixteenth may have where what is written stays in its place, the first choice first.
const SIXTEENTHS: std::ops::RangeInclusive<usize> = 2..=6;
/// Those that are taken only for notes that stand at equal distances with them.
const EXACT: std::ops::RangeInclusive<usize> = 2..=5;
/// The width of a bar in which nothing is written yet.
const EMPTY_BAR: usize = 8;

/// Returns the widths of the columns of a bar by time alone: what is added behind a note does not move it. Where
/// signs or short notes need more room, all of the bar has it. `None` where that takes more than `room`.
pub(super) fn steady(piece: &BarPiece, room: usize) -> Option<Vec<usize>> {
    if let ([column], [least]) = (piece.columns.as_slice(), piece.least.as_slice())
        && column.lengths.is_empty()
    {
        return Some(vec![(*least).max(EMPTY_BAR)]);
    }
    let exact = EXACT.filter(|scale| piece.columns.iter().all(|column| is_exact(piece, column.tick.0, *scale)));
    let mut scales = exact.chain(SIXTEENTHS);
    let scale = scales.find(|scale| placed(piece, *scale).1 == Pushed::No).unwrap_or(4);
    let (at, _) = placed(piece, scale);
    let last = piece.columns.len().checked_sub(1)?;
    let lasts = distance(piece.lasts.get(last).copied()?, scale);
    let end = at.get(last)? + lasts.max(piece.least.get(last).copied()?);
    let next = at.iter().skip(1).copied().chain([end]);
    let mut widths: Vec<usize> = at.iter().zip(next).map(|(at, next)| next.saturating_sub(*at)).collect();
    // The place of the first is that of grace notes before it, so nothing stands before it.
    if let (Some(first), Some(before)) = (widths.first_mut(), at.first()) {
        *first += before;
    }
    (LEAD + widths.iter().sum::<usize>() <= room).then_some(widths)
}

/// Returns so many ticks in columns.
fn distance(ticks: u64, scale: usize) -> usize {
    let columns = ticks.saturating_mul(scale as u64) / NoteValue::Sixteenth.ticks().0;
    usize::try_from(columns).unwrap_or(usize::MAX)
}

/// Returns whether a moment falls on a column.
fn is_exact(piece: &BarPiece, tick: u64, scale: usize) -> bool {
    let first = piece.columns.first().map_or(0, |column| column.tick.0);
    (tick.saturating_sub(first)).saturating_mul(scale as u64).is_multiple_of(NoteValue::Sixteenth.ticks().0)
}

/// Whether something had to move to the right of its moment.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Pushed {
    No,
    Yes,
}

/// Returns the place of each column at a scale. Grace notes stand in the room before the note they lead to.
fn placed(piece: &BarPiece, scale: usize) -> (Vec<usize>, Pushed) {
    let mut at: Vec<usize> = Vec::with_capacity(piece.columns.len());
    let mut pushed = Pushed::No;
    let mut free = 0;
    let mut origin: Option<(u64, usize)> = None;
    let mut waiting: Vec<usize> = Vec::new();
    for (column, least) in piece.columns.iter().zip(&piece.least) {
        if column.grace {
            waiting.push(*least);
            continue;
        }
        let grace: usize = waiting.iter().sum();
        let here = match origin {
            Some((tick, at)) => at + distance(column.tick.0.saturating_sub(tick), scale),
            None => grace,
        };
        if here < free + grace {
            pushed = Pushed::Yes;
        }
        let here = here.max(free + grace);
        origin.get_or_insert((column.tick.0, here));
        let mut before = here - grace;
        for least in waiting.drain(..) {
            at.push(before);
            before += least;
        }
        at.push(here);
        free = here + least;
    }
    for least in waiting {
        at.push(free);
        free += least;
    }
    (at, pushed)
}
