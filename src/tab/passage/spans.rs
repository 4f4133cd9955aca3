//! The columns of a bar put together by moments: what stands from where a note or rest starts to where the next one does.

use std::collections::BTreeMap;
use std::ops::Range;

use super::piece::BarPiece;
use crate::lesson::time::Ticks;

/// From where notes or rests start to where the next ones do, of whichever voice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct NoteSpan {
    /// Its columns: first those of the notes and rests, side by side where two voices start together and do not share one.
    pub(super) columns: Range<usize>,
    /// When they start; `None` for what stands before the first.
    start: Option<Ticks>,
    /// How long it lasts.
    pub(super) ticks: u64,
    /// The width it has at least.
    pub(super) least: usize,
    /// How much of the spare room it wants.
    pub(super) want: u64,
}

/// Cuts a piece, the columns of which have these least widths, into spans. What stands before the first note or rest is one too.
pub(super) fn spans(piece: &BarPiece, leasts: &[usize]) -> Vec<NoteSpan> {
    let mut spans: Vec<NoteSpan> = Vec::new();
    for (place, (column, lasts)) in piece.columns.iter().zip(&piece.lasts).enumerate() {
        let least = leasts.get(place).copied().unwrap_or(0);
        let start = column.is_start().then_some(column.tick);
        match spans.last_mut().filter(|span| start.is_none() || span.start == start) {
            Some(span) => {
                span.columns.end = place + 1;
                span.ticks += lasts;
                span.least += least;
                span.want += lasts.isqrt();
            }
            None => {
                spans.push(NoteSpan { columns: place..place + 1, start, ticks: *lasts, least, want: lasts.isqrt() });
            }
        }
    }
    spans
}

/// Returns the widths of the columns of a span that is `width` wide, where they have these least widths. What is counted stands
/// where its time comes, grace notes close to the note they lead to.
pub(super) fn within(piece: &BarPiece, leasts: &[usize], span: &NoteSpan, width: usize) -> Vec<usize> {
    let leasts = leasts.get(span.columns.clone()).unwrap_or_default();
    let (mut at, mut gone, mut free, mut left) = (Vec::with_capacity(leasts.len()), 0u64, 0, span.least);
    for (place, least) in span.columns.clone().zip(leasts) {
        // One that leads to the lower voice of this moment stands within it.
        let leads_on = |column: &super::columns::Column| column.grace && Some(column.tick) != span.start;
        let grace = piece.columns.get(place).is_some_and(leads_on);
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

/// Returns whether notes of one voice that last equally long are made up of the same spans, but for their order, so that they stand
/// at equal distances wherever equal spans have equal widths. How far the last note of a voice stands from the bar line does not count.
pub(super) fn are_alike(piece: &BarPiece, spans: &[NoteSpan]) -> bool {
    let mut starts: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (place, span) in spans.iter().enumerate() {
        let columns = piece.columns.get(span.columns.clone()).unwrap_or_default();
        for (voice, _) in columns.iter().flat_map(|column| &column.lengths) {
            starts.entry(*voice).or_default().push(place);
        }
    }
    let alike = |starts: Vec<usize>| {
        let mut known: BTreeMap<u64, Vec<u64>> = BTreeMap::new();
        starts.windows(2).all(|note| {
            let [from, to] = *note else { return true };
            let mut ticks: Vec<u64> = spans.get(from..to).unwrap_or_default().iter().map(|span| span.ticks).collect();
            ticks.sort_unstable();
            known.entry(ticks.iter().sum()).or_insert_with(|| ticks.clone()) == &ticks
        })
    };
    starts.into_values().all(alike)
}

/// The room that a chord name needs over some spans.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct NameRoom {
    /// The spans from where it stands to where the next one does.
    pub(super) spans: Range<usize>,
    /// How wide they are together at least.
    pub(super) needs: usize,
}

/// Returns the room that the chord names of a piece need: each up to the next, and the last up to the bar line.
pub(super) fn name_rooms(piece: &BarPiece, leasts: &[usize], spans: &[NoteSpan]) -> Vec<NameRoom> {
    // What stands before a name in its own span takes the place that it has at least.
    let place = |column: usize| {
        let (place, span) = spans.iter().enumerate().find(|(_, span)| span.columns.contains(&column))?;
        Some((place, leasts.get(span.columns.start..column)?.iter().sum::<usize>()))
    };
    let mut rooms = Vec::new();
    for (number, name) in piece.names.iter().enumerate() {
        let Some((from, before)) = place(name.column) else { continue };
        let next = piece.names.get(number + 1).map(|next| place(next.column));
        let room = match next {
            Some(Some((to, _))) if to == from => continue,
            Some(Some((to, ahead))) => {
                NameRoom { spans: from..to, needs: (before + name.width + 1).saturating_sub(ahead) }
            }
            Some(None) | None => NameRoom { spans: from..spans.len(), needs: before + name.width },
        };
        rooms.push(room);
    }
    rooms
}
