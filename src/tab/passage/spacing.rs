//! How wide each column of a row is.
//!
//! A note or rest has a place that reaches to where the next one starts: a [`NoteSpan`], in which counts and grace notes stand as well.
//! Equal notes have spans of one width within a bar; that is kept on both ways to spread them.
//!
//! - Where tab is written, `steady` says how.
//! - On paper ([`filled`]) spans of a bar that last equally long are one class and are widened together; rows are broken so that
//!   all classes have room. Where a second voice cuts equal notes into unequal spans, the spans of that bar are as wide as they last
//!   long, so that equal notes of each voice are alike all the same. A chord name may hang over what follows up to the next one; only
//!   what it lacks beyond that widens a class. Only a bar that is too wide for a line by itself is not even: see
//!   [`SpacedRow::part_where_tight`]. What is left over stands before bar lines.

use std::collections::BTreeMap;
use std::ops::Range;

use super::piece::BarPiece;
use super::spans::{NameRoom, NoteSpan, are_alike, name_rooms, spans, within};
use super::time_scale::greatest_common_divisor;

/// What the share of one unit wanted is counted in.
const WANT_UNIT: u64 = 1 << 16;
/// How many columns may be left over before each bar line rather than be given to one bar alone.
const MOST_LEFT: usize = 3;

/// What decides how wide the spans of a row are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Evenness {
    /// Equal notes of each voice stand at equal distances.
    Notes,
    /// Equal spans are equally wide, whichever notes they are parts of.
    Spans,
    /// There is not the room for that: each chord name widens what stands before the next one, and classes part.
    Crowded,
}

/// A span of a class, and how many times as wide as the others of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Member {
    /// Its place among the spans of the piece.
    span: usize,
    times: usize,
}

/// Spans of a bar that are widened together: those that last equally long, or all of them, each by how long it lasts.
#[derive(Debug)]
struct EqualNotes {
    piece: usize,
    members: Vec<Member>,
    /// How much of the spare room one wants, of those that count once.
    want: u64,
    /// The width such a one has at least.
    floor: usize,
}

impl EqualNotes {
    /// Returns the width of a member whose own least is `least`.
    fn width(&self, level: usize, member: Member, least: usize) -> usize {
        level.max(self.floor).saturating_mul(member.times).max(least)
    }

    /// Returns the width at a scale, in 65,536ths of a column for each unit wanted.
    fn level(&self, scale: u64, most: usize) -> usize {
        let wide = usize::try_from(self.want.saturating_mul(scale) >> 16).unwrap_or(usize::MAX);
        wide.min(most).max(self.floor)
    }
}

/// The pieces that stand in one row, as spans.
struct SpacedRow<'a> {
    pieces: Vec<SpacedPiece<'a>>,
    classes: Vec<EqualNotes>,
}

/// A piece as spans.
struct SpacedPiece<'a> {
    piece: &'a BarPiece,
    /// The least width of each column.
    leasts: &'a [usize],
    spans: Vec<NoteSpan>,
    /// The room its last chord name needs up to the bar line.
    last_name: Option<NameRoom>,
}

/// Returns the width of each column of `pieces`, which stand in one row, so that they add up to `target` if their
/// least widths leave that room.
pub(super) fn filled(pieces: &[BarPiece], target: usize) -> Vec<Vec<usize>> {
    let even = [Evenness::Notes, Evenness::Spans].into_iter().map(|evenness| SpacedRow::new(pieces, evenness));
    let fitting = even.into_iter().find(|row| row.sum(&row.floors()) <= target);
    let row = fitting.unwrap_or_else(|| {
        let mut row = SpacedRow::new(pieces, Evenness::Crowded);
        row.part_where_tight(target);
        row
    });
    let mut levels = row.scaled_to(target);
    row.share_out(&mut levels, target);
    let spare = target.saturating_sub(row.sum(&levels));
    let mut widths = row.widths(&levels);
    widen_ends(&mut widths, spare);
    widths
}

/// Returns the least width of `pieces` in which all equal notes stand at equal distances.
pub(super) fn even(pieces: &[BarPiece]) -> usize {
    let row = SpacedRow::new(pieces, Evenness::Notes);
    row.sum(&row.floors())
}

impl<'a> SpacedRow<'a> {
    fn new(pieces: &'a [BarPiece], evenness: Evenness) -> Self {
        let mut row = Self { pieces: Vec::new(), classes: Vec::new() };
        for (number, piece) in pieces.iter().enumerate() {
            let leasts = if evenness == Evenness::Crowded { &piece.least } else { &piece.unnamed };
            let spans = spans(piece, leasts);
            let mut classes = if evenness == Evenness::Notes && !are_alike(piece, &spans) {
                by_time(number, &spans)
            } else {
                by_length(number, &spans)
            };
            let mut names = if evenness == Evenness::Crowded { Vec::new() } else { name_rooms(piece, leasts, &spans) };
            let last_name = names.pop_if(|name| name.spans.end == spans.len());
            for name in names {
                make_room(&name, &spans, &mut classes);
            }
            row.pieces.push(SpacedPiece { piece, leasts, spans, last_name });
            row.classes.extend(classes);
        }
        row
    }

    /// Returns the least level of each class.
    fn floors(&self) -> Vec<usize> {
        self.classes.iter().map(|class| class.floor).collect()
    }

    fn least(&self, piece: usize, span: usize) -> usize {
        self.pieces.get(piece).and_then(|piece| piece.spans.get(span)).map_or(0, |span| span.least)
    }

    /// Returns the width of all spans of a class.
    fn total(&self, class: &EqualNotes, level: usize) -> usize {
        let width = |member: &Member| class.width(level, *member, self.least(class.piece, member.span));
        class.members.iter().map(width).fold(0, usize::saturating_add)
    }

    /// Returns the width of the row.
    fn sum(&self, levels: &[usize]) -> usize {
        self.span_widths(levels).into_iter().flatten().fold(0, usize::saturating_add)
    }

    /// Lets equal notes stand at different distances where there is no room for all to be alike; those first that give
    /// back the most.
    fn part_where_tight(&mut self, target: usize) {
        let mut sum = self.sum(&self.floors());
        while sum > target {
            let bare = |class: &EqualNotes| -> usize {
                class.members.iter().map(|member| self.least(class.piece, member.span)).sum()
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
        let levels =
            |scale: u64| -> Vec<usize> { self.classes.iter().map(|class| class.level(scale, target)).collect() };
        let (mut low, mut high) = (0u64, 1u64 << 32);
        while high - low > 1 {
            let middle = low + (high - low) / 2;
            if self.sum(&levels(middle)) <= target { low = middle } else { high = middle }
        }
        levels(low)
    }

    /// Widens classes by one column each where what is left of `target` allows it. Equal notes of all bars grow together, or else
    /// those of one bar, as long as there is much to give away.
    fn share_out(&self, levels: &mut [usize], target: usize) {
        let mut spare = target.saturating_sub(self.sum(levels));
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
    }

    /// Returns the width of each span of each piece. Where the last chord name needs more, there is more before the bar line.
    fn span_widths(&self, levels: &[usize]) -> Vec<Vec<usize>> {
        let leasts = |piece: &SpacedPiece<'_>| piece.spans.iter().map(|span| span.least).collect();
        let mut wide: Vec<Vec<usize>> = self.pieces.iter().map(leasts).collect();
        for (class, level) in self.classes.iter().zip(levels) {
            let Some(spans) = wide.get_mut(class.piece) else { continue };
            for member in &class.members {
                if let Some(width) = spans.get_mut(member.span) {
                    *width = class.width(*level, *member, *width);
                }
            }
        }
        for (piece, wide) in self.pieces.iter().zip(&mut wide) {
            let lacks = piece.last_name.as_ref().map_or(0, |name| {
                let under = wide.get(name.spans.clone()).unwrap_or_default();
                name.needs.saturating_sub(under.iter().copied().fold(0, usize::saturating_add))
            });
            if let Some(last) = wide.last_mut() {
                *last = last.saturating_add(lacks);
            }
        }
        wide
    }

    /// Returns the width of each column of each piece.
    fn widths(&self, levels: &[usize]) -> Vec<Vec<usize>> {
        let of_piece = |(spaced, wide): (&SpacedPiece<'_>, Vec<usize>)| {
            let spans = spaced.spans.iter().zip(wide);
            spans.flat_map(|(span, wide)| within(spaced.piece, spaced.leasts, span, wide)).collect()
        };
        self.pieces.iter().zip(self.span_widths(levels)).map(of_piece).collect()
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

/// Sorts the spans of a piece by how long they last.
fn by_length(number: usize, spans: &[NoteSpan]) -> Vec<EqualNotes> {
    let mut by_length: BTreeMap<u64, Vec<Member>> = BTreeMap::new();
    for (place, span) in spans.iter().enumerate() {
        by_length.entry(span.ticks).or_default().push(Member { span: place, times: 1 });
    }
    by_length.into_values().map(|members| class(number, members, spans)).collect()
}

/// Has all spans of a piece be as wide as they last long.
fn by_time(number: usize, spans: &[NoteSpan]) -> Vec<EqualNotes> {
    let inner = spans.len().saturating_sub(1);
    let unit = spans.iter().take(inner).fold(0, |unit, span| greatest_common_divisor(unit, span.ticks)).max(1);
    let member = |(span, known): (usize, &NoteSpan)| {
        let times = usize::try_from(known.ticks / unit).unwrap_or(usize::MAX);
        // What stands before the first note or rest takes no time.
        Member { span, times: if known.ticks == 0 { 0 } else { times.max(1) } }
    };
    let class = class(number, spans.iter().enumerate().map(member).collect(), spans);
    // All together they want no more than they would each by itself.
    let wanted = spans.iter().fold(0u64, |sum, span| sum.saturating_add(span.want));
    let times = class.members.iter().fold(0usize, |sum, member| sum.saturating_add(member.times));
    vec![EqualNotes { want: wanted / (times as u64).max(1), ..class }]
}

/// Returns the class of `members`.
fn class(piece: usize, members: Vec<Member>, spans: &[NoteSpan]) -> EqualNotes {
    let known = |member: &Member| Some((member.times, spans.get(member.span)?));
    // What stands behind the last one is the bar line, which may be farther away.
    let inner = spans.len().saturating_sub(1);
    let each = |(times, span): (usize, &NoteSpan)| if times == 0 { 0 } else { span.least.div_ceil(times) };
    let floor = members.iter().filter(|member| member.span < inner).filter_map(known).map(each).max().unwrap_or(0);
    let wants = members.iter().filter_map(known).map(|(times, span)| span.want.div_ceil(times.max(1) as u64));
    EqualNotes { piece, want: wants.max().unwrap_or(0), floor, members }
}

/// Raises the floors of the classes under a chord name until it has room, those first that are narrow for what they want.
fn make_room(name: &NameRoom, spans: &[NoteSpan], classes: &mut [EqualNotes]) {
    let least = |span: usize| spans.get(span).map_or(0, |span| span.least);
    let under = |class: &EqualNotes, range: &Range<usize>| {
        let members = class.members.iter().filter(|member| range.contains(&member.span));
        members.map(|member| class.width(0, *member, least(member.span))).fold(0, usize::saturating_add)
    };
    while classes.iter().map(|class| under(class, &name.spans)).fold(0, usize::saturating_add) < name.needs {
        let grows = |class: &&mut EqualNotes| {
            class.members.iter().any(|member| name.spans.contains(&member.span) && member.times > 0)
        };
        let narrow = |class: &&mut EqualNotes| (class.floor as u64 + 1) * WANT_UNIT / class.want.max(1);
        let Some(class) = classes.iter_mut().filter(grows).min_by_key(narrow) else { break };
        class.floor += 1;
    }
}
