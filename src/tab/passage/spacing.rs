//! How wide each column of a row is.
//!
//! A note or rest has a place that reaches to where the next one starts: a [`NoteSpan`], in which counts and grace notes stand as well.
//! Equal notes have spans of one width within a bar; that is kept on both ways to spread them.
//!
//! - On paper ([`filled`]) spans of a bar that last equally long are one class and are widened together; rows are broken so that
//!   all classes have room. Only a bar that is too wide for a line by itself is not even: see [`SpacedRow::part_where_tight`].
//!   What is left over stands before bar lines.
//! - Where tab is written ([`steady`]) the width follows from the length of the note alone, and how close notes stand from the
//!   line and the time signature alone. So nothing moves what stands before it. A sign that is wider than its place
//!   moves what stands behind it, since nobody knew of it when the notes before it were written.

use std::collections::BTreeMap;
use std::ops::Range;

use super::closeness::Closeness;
use super::piece::BarPiece;

/// What the share of one unit wanted is counted in.
const WANT_UNIT: u64 = 1 << 16;
/// How many columns may be left over before each bar line rather than be given to one bar alone.
const MOST_LEFT: usize = 3;

/// From where a note or rest starts to where the next one does.
#[derive(Debug, Clone, PartialEq, Eq)]
struct NoteSpan {
    /// Its columns: that of the note or rest first.
    columns: Range<usize>,
    /// How long it lasts.
    ticks: u64,
    /// The width it has at least.
    least: usize,
    /// How much of the spare room it wants.
    want: u64,
}

/// Cuts a piece into spans. What stands before the first note or rest is one too.
fn spans(piece: &BarPiece) -> Vec<NoteSpan> {
    let mut spans: Vec<NoteSpan> = Vec::new();
    for (place, (column, lasts)) in piece.columns.iter().zip(&piece.lasts).enumerate() {
        let least = piece.least.get(place).copied().unwrap_or(0);
        match spans.last_mut().filter(|_| !column.is_start()) {
            Some(span) => {
                span.columns.end = place + 1;
                span.ticks += lasts;
                span.least += least;
                span.want += lasts.isqrt();
            }
            None => spans.push(NoteSpan { columns: place..place + 1, ticks: *lasts, least, want: lasts.isqrt() }),
        }
    }
    spans
}

/// Returns the widths of the columns of a span that is `width` wide. What is counted stands where its time comes, grace notes close
/// to the note they lead to.
fn within(piece: &BarPiece, span: &NoteSpan, width: usize) -> Vec<usize> {
    let leasts = piece.least.get(span.columns.clone()).unwrap_or_default();
    let (mut at, mut gone, mut free, mut left) = (Vec::with_capacity(leasts.len()), 0u64, 0, span.least);
    for (place, least) in span.columns.clone().zip(leasts) {
        let grace = piece.columns.get(place).is_some_and(|column| column.grace);
        let latest = width.saturating_sub(left);
        let timely = usize::try_from((width as u64).saturating_mul(gone) / span.ticks.max(1)).unwrap_or(usize::MAX);
        let here = if at.is_empty() {
            0
        } else if grace {
            latest
        } else {
            timely.min(latest)
        };
        let here = here.max(free);
        at.push(here);
        free = here + least;
        left = left.saturating_sub(*least);
        gone += piece.lasts.get(place).copied().unwrap_or(0);
    }
    let ends = at.iter().skip(1).copied().chain([width.max(free)]);
    at.iter().zip(ends).map(|(at, end)| end.saturating_sub(*at)).collect()
}

/// The spans of a bar that last equally long.
struct EqualNotes {
    piece: usize,
    /// Their places among the spans of the piece.
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
    /// The spans of each piece.
    spans: Vec<Vec<NoteSpan>>,
    classes: Vec<EqualNotes>,
}

/// Returns the width of each column of `pieces`, which stand in one row, so that they add up to `target` if their
/// least widths leave that room.
pub(super) fn filled(pieces: &[BarPiece], target: usize) -> Vec<Vec<usize>> {
    let spans: Vec<Vec<NoteSpan>> = pieces.iter().map(spans).collect();
    let classes = spans.iter().enumerate().flat_map(|(number, spans)| classes(number, spans)).collect();
    let mut row = SpacedRow { pieces, spans, classes };
    row.part_where_tight(target);
    let mut levels = row.scaled_to(target);
    let spare = row.share_out(&mut levels, target);
    let mut widths = row.widths(&levels);
    widen_ends(&mut widths, spare);
    widths
}

impl SpacedRow<'_> {
    fn least(&self, piece: usize, span: usize) -> usize {
        self.spans.get(piece).and_then(|spans| spans.get(span)).map_or(0, |span| span.least)
    }

    /// Returns the width of all spans of a class.
    fn total(&self, class: &EqualNotes, level: usize) -> usize {
        let widths = class.members.iter().map(|span| class.width(level, self.least(class.piece, *span)));
        widths.fold(0, usize::saturating_add)
    }

    /// Lets equal notes stand at different distances where there is no room for all to be alike; those first that give
    /// back the most.
    fn part_where_tight(&mut self, target: usize) {
        let mut sum = self.classes.iter().map(|class| self.total(class, 0)).fold(0, usize::saturating_add);
        while sum > target {
            let bare =
                |class: &EqualNotes| -> usize { class.members.iter().map(|span| self.least(class.piece, *span)).sum() };
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
        let mut wide: Vec<Vec<usize>> =
            self.spans.iter().map(|spans| spans.iter().map(|span| span.least).collect()).collect();
        for (class, level) in self.classes.iter().zip(levels) {
            let Some(spans) = wide.get_mut(class.piece) else { continue };
            for member in &class.members {
                if let Some(width) = spans.get_mut(*member) {
                    *width = class.width(*level, *width);
                }
            }
        }
        let of_piece = |((piece, spans), wide): ((&BarPiece, &Vec<NoteSpan>), &Vec<usize>)| {
            spans.iter().zip(wide).flat_map(|(span, wide)| within(piece, span, *wide)).collect()
        };
        self.pieces.iter().zip(&self.spans).zip(&wide).map(of_piece).collect()
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
    let of_piece = |piece: &BarPiece| {
        let spans = spans(piece);
        let least = |span: &usize| spans.get(*span).map_or(0, |span| span.least);
        let of_class = |class: EqualNotes| -> usize {
            class.members.iter().map(|span| class.width(0, least(span))).fold(0, usize::saturating_add)
        };
        classes(0, &spans).into_iter().map(of_class).fold(0, usize::saturating_add)
    };
    pieces.iter().map(of_piece).fold(0, usize::saturating_add)
}

/// Sorts the spans of a piece by how long they last.
fn classes(number: usize, spans: &[NoteSpan]) -> Vec<EqualNotes> {
    let mut by_length: BTreeMap<u64, Vec<usize>> = BTreeMap::new();
    for (place, span) in spans.iter().enumerate() {
        by_length.entry(span.ticks).or_default().push(place);
    }
    // What stands behind the last one is the bar line, which may be farther away.
    let inner = spans.len().saturating_sub(1);
    let class = |members: Vec<usize>| EqualNotes {
        piece: number,
        want: members.iter().filter_map(|place| spans.get(*place)).map(|span| span.want).max().unwrap_or(0),
        floor: members
            .iter()
            .filter(|place| **place < inner)
            .filter_map(|place| spans.get(*place))
            .map(|span| span.least)
            .max()
            .unwrap_or(0),
        members,
    };
    by_length.into_values().map(class).collect()
}

/// The width of a bar in which nothing is written yet.
const EMPTY_BAR: usize = 8;
/// Returns the widths of the columns of a bar, or of a part of one, by the length of each note alone.
pub(super) fn steady(piece: &BarPiece, closeness: Closeness) -> Vec<usize> {
    if let ([column], [least]) = (piece.columns.as_slice(), piece.least.as_slice())
        && column.lengths.is_empty()
    {
        return vec![(*least).max(EMPTY_BAR)];
    }
    let wide =
        |span: &NoteSpan| if span.ticks == 0 { span.least } else { closeness.columns(span.ticks).max(span.least) };
    spans(piece).iter().flat_map(|span| within(piece, span, wide(span))).collect()
}
