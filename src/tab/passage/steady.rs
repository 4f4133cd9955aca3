//! How wide each column of a bar is where tab is written.
//!
//! - In a bar of one voice the width follows from the length of the note alone, and how close notes stand from the line and the
//!   time signature alone. So nothing moves what stands before it. A sign that is wider than its place moves what stands behind
//!   it, since nobody knew of it when the notes before it were written.
//! - In a bar of two voices that would part equal notes: a quarter that the eighths of the other voice cut in two would be wider
//!   than its neighbour. There distances go by time, at one scale for the whole bar: the least at which what stands in it has
//!   room from each moment to the next. What is written later moves what stands before it only where it needs a larger scale: it
//!   is shorter than anything before it, or it is too wide. Where a bar would then be too wide for a line, the scale is smaller
//!   as far as signs allow it; a bar that is too wide all the same is spaced as one of one voice.

use super::piece::{BarPiece, Edge, LEAD};
use super::spans::{NoteSpan, name_rooms, spans, within};
use super::time_scale::each;

/// The width of a bar in which nothing is written yet.
const EMPTY_BAR: usize = 8;

/// Returns the widths of the columns of a bar, or of a part of one, which have to stay where they are while others are written
/// behind them.
pub(super) fn steady(piece: &BarPiece) -> Vec<usize> {
    if let ([column], [least]) = (piece.columns.as_slice(), piece.least.as_slice())
        && column.lengths.is_empty()
    {
        return vec![(*least).max(EMPTY_BAR)];
    }
    by_time(piece).unwrap_or_else(|| by_length(piece))
}

/// Returns the widths by the length of each note alone.
fn by_length(piece: &BarPiece) -> Vec<usize> {
    let closeness = piece.line.closeness;
    let wide =
        |span: &NoteSpan| if span.ticks == 0 { span.least } else { closeness.columns(span.ticks).max(span.least) };
    spans(piece, &piece.least).iter().flat_map(|span| within(piece, &piece.least, span, wide(span))).collect()
}

/// Returns the widths at one scale for the bar; `None` for a bar of one voice, and for one that has not the room.
fn by_time(piece: &BarPiece) -> Option<Vec<usize>> {
    let scale = piece.line.scale.filter(|_| piece.left != Edge::GoesOn && piece.right != Edge::GoesOn)?;
    let spans = spans(piece, &piece.unnamed);
    let all = |spans: &[NoteSpan]| spans.iter().map(|span| scale.units(span.ticks)).fold(0, usize::saturating_add);
    let mut names = name_rooms(piece, &piece.unnamed, &spans);
    let last_name = names.pop_if(|name| name.spans.end == spans.len());
    // What the last one needs, there is before the bar line.
    let inner = spans.get(..spans.len().saturating_sub(1)).unwrap_or_default();
    let signs = inner.iter().map(|span| each(span.least, scale.units(span.ticks)));
    let named = names.iter().map(|name| each(name.needs, all(spans.get(name.spans.clone()).unwrap_or_default())));
    let least = signs.chain(named).max().unwrap_or(0);
    // As if the bar were full, so that it stays as it is while it is filled.
    let full = all(&spans).max(scale.units(piece.line.bar.0)).max(1);
    let room = piece.line.room.saturating_sub(LEAD);
    let level = scale.usual.min(room / full).max(least);
    let wide = |span: &NoteSpan| scale.units(span.ticks).saturating_mul(level).max(span.least);
    let mut widths: Vec<usize> = spans.iter().map(wide).collect();
    if let (Some(name), Some((last, before))) = (last_name, widths.split_last_mut()) {
        let under = before.get(name.spans.start..).unwrap_or_default().iter().copied().fold(0, usize::saturating_add);
        *last = (*last).max(name.needs.saturating_sub(under));
    }
    let sum = widths.iter().copied().fold(0, usize::saturating_add);
    let columns = spans.iter().zip(widths).flat_map(|(span, wide)| within(piece, &piece.unnamed, span, wide));
    (sum <= room).then(|| columns.collect())
}
