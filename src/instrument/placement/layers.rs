//! Layers: each slice with what rings on into it from earlier ones.

use super::line::{Joined, NoteSpot, Slice, Wanted};

/// One note that sounds in a layer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct LayerNote {
    pub(super) spot: NoteSpot,
    pub(super) wanted: Wanted,
    pub(super) kind: Kind,
    /// The item of the layer before that decides about this one.
    pub(super) link: Option<(usize, LayerLink)>,
    /// An earlier item of the layer with which this one can change strings without changing the line.
    pub(super) twin: Option<usize>,
}

/// Whether a note starts in a layer or rings on into it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Kind {
    New,
    Held,
}

/// What ties a note to one of the layer before.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum LayerLink {
    /// It is the same note, ringing on.
    Held,
    /// It must be on the same string.
    Joined(Joined),
    /// It sounds what that sounded, which has ended, and so stays where it was.
    Again,
}

/// How often a note sounds between others where it is a pedal.
const PEDAL: usize = 4;

/// A slice and what rings on into it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Layer {
    /// The slice, counted from 0.
    pub(super) slice: usize,
    pub(super) items: Vec<LayerNote>,
    /// The time from the start of this layer to the start of the next and how much of it is silence, in milliseconds;
    /// 0 for the last layer.
    pub(super) until_next: u64,
    pub(super) silence: u64,
    /// Whether it goes on to the next one as a run does: neither of them comes back to a note that stays.
    pub(super) runs_on: bool,
}

/// Returns a layer for every slice that has notes. `strings` is the most notes that can ring at once.
///
/// A note rings on until its length is over. One that another is joined to rings until that one starts, neither shorter
/// nor longer, because both are played on one string.
pub(super) fn layers(line: &[Slice], strings: usize) -> Vec<Layer> {
    let carried = carried(line);
    let mut layers: Vec<Layer> = Vec::with_capacity(line.len());
    for (index, slice) in line.iter().enumerate() {
        if slice.notes.is_empty() {
            continue;
        }
        let before = layers.last().map(|layer| layer.items.as_slice()).unwrap_or_default();
        let mut items: Vec<LayerNote> = Vec::with_capacity(slice.notes.len());
        for (note, wanted) in slice.notes.iter().enumerate() {
            let from =
                wanted.follows.map(|follows| (NoteSpot { slice: follows.slice, note: follows.note }, follows.how));
            let joined = from.and_then(|(from, how)| Some((place_of(before, from)?, LayerLink::Joined(how))));
            let has_ended = |item: &LayerNote| {
                let start = line.get(item.spot.slice).map_or(0, |slice| slice.start.0);
                start.saturating_add(item.wanted.length.0) <= slice.start.0
            };
            let again = || again(before, &items, wanted, has_ended).map(|place| (place, LayerLink::Again));
            let link = if from.is_some() { joined } else { again() };
            let spot = NoteSpot { slice: index, note };
            items.push(LayerNote { spot, wanted: *wanted, kind: Kind::New, link, twin: None });
        }
        let room = strings.saturating_sub(items.len());
        let ringing = before.iter().enumerate().filter(|(_, item)| {
            let found = carried.binary_search_by_key(&item.spot, |(spot, _)| *spot).ok();
            let carried = found.and_then(|found| carried.get(found)).is_some_and(|(_, until)| index < *until);
            let start = line.get(item.spot.slice).map_or(0, |slice| slice.start.0);
            let end = start.saturating_add(item.wanted.length.0);
            // One that is joined to a new one has ended.
            let ended = items.iter().any(|new| new.link.is_some_and(|(from, _)| before.get(from) == Some(item)));
            !ended && (carried || end > slice.start.0)
        });
        let held: Vec<LayerNote> = ringing
            .map(|(place, item)| LayerNote { kind: Kind::Held, link: Some((place, LayerLink::Held)), ..*item })
            .collect();
        // Where there are not strings enough, what has rung longest gives way: it stands last.
        items.extend(held.iter().take(room));
        layers.push(Layer { slice: index, items, until_next: 0, silence: 0, runs_on: false });
    }
    time(line, &mut layers);
    mark_runs(&mut layers);
    twin(&mut layers);
    layers
}

/// Finds the twins of every layer: new notes that ask for the same, and on which nothing later depends.
///
/// Two notes of one pitch are no twins where one of them rings on or is joined to a later note, because then it matters
/// which of them lies where.
fn twin(layers: &mut [Layer]) {
    for index in 0..layers.len() {
        let next = layers.get(index + 1).map(|layer| layer.items.as_slice()).unwrap_or_default();
        let goes_on: Vec<usize> = next.iter().filter_map(|item| item.link).map(|(place, _)| place).collect();
        let Some(Layer { items, .. }) = layers.get_mut(index) else { continue };
        for place in 1..items.len() {
            let (earlier, later) = items.split_at_mut(place);
            let Some(item) = later.first_mut() else { continue };
            let is_twin = |(at, other): &(usize, &LayerNote)| asks_the_same(item, other) && !goes_on.contains(at);
            let found = earlier.iter().enumerate().rfind(is_twin).filter(|_| !goes_on.contains(&place));
            item.twin = found.map(|(at, _)| at);
        }
    }
}

/// Returns whether two new notes have the same places to choose from, and the same behind them.
fn asks_the_same(one: &LayerNote, other: &LayerNote) -> bool {
    let asked = |item: &LayerNote| (item.wanted.target, item.wanted.pin, item.wanted.touch, item.link);
    one.kind == Kind::New && other.kind == Kind::New && asked(one) == asked(other)
}

/// Marks the layers that go on as a run does. A note that sounds again and again between others is a pedal; in a scale by
/// groups of three or four each comes back too, but not so often.
fn mark_runs(layers: &mut [Layer]) {
    let sounds = |layer: &Layer| layer.items.iter().map(|item| item.wanted.target).collect::<Vec<_>>();
    let notes: Vec<_> = layers.iter().map(sounds).collect();
    // How often each sounds at every second place, up to there.
    let mut times: Vec<usize> = vec![1; notes.len()];
    let same = |one: usize, other: usize| notes.get(one).is_some_and(|one| notes.get(other) == Some(one));
    for at in 2..notes.len() {
        if same(at - 2, at) {
            times[at] = times[at - 2] + 1;
        }
    }
    for at in (2..notes.len()).rev().filter(|at| same(at - 2, *at)) {
        times[at - 2] = times[at];
    }
    let pedal = |at: usize| times.get(at).is_some_and(|times| *times >= PEDAL);
    for (at, layer) in layers.iter_mut().enumerate() {
        layer.runs_on = !pedal(at) && !pedal(at + 1);
    }
}

/// Works out for every layer how long it is until the next, and how much of that time is silence.
fn time(line: &[Slice], layers: &mut [Layer]) {
    let start = |slice: usize| line.get(slice).map_or(0, |slice| slice.start.0);
    let starts: Vec<u64> = layers.iter().map(|layer| start(layer.slice)).collect();
    for (layer, next) in layers.iter_mut().zip(starts.iter().skip(1)) {
        let ends = layer.items.iter().map(|item| start(item.spot.slice).saturating_add(item.wanted.length.0));
        layer.until_next = next.saturating_sub(start(layer.slice));
        layer.silence = next.saturating_sub(ends.max().unwrap_or(0)).min(layer.until_next);
    }
}

/// Returns the notes that others are joined to, each with the slice up to which it is carried, in order.
fn carried(line: &[Slice]) -> Vec<(NoteSpot, usize)> {
    let mut carried: Vec<(NoteSpot, usize)> = Vec::new();
    for (index, slice) in line.iter().enumerate() {
        let follows = slice.notes.iter().filter_map(|wanted| wanted.follows);
        carried.extend(follows.map(|from| (NoteSpot { slice: from.slice, note: from.note }, index)));
    }
    carried.sort_unstable();
    carried
}

/// Returns which of the notes `before` that have ended sounds what is wanted again, and belongs to none of `items` yet.
fn again(
    before: &[LayerNote],
    items: &[LayerNote],
    wanted: &Wanted,
    has_ended: impl Fn(&LayerNote) -> bool,
) -> Option<usize> {
    let has = |place: usize| items.iter().any(|item| item.link.is_some_and(|(other, _)| other == place));
    let sounds = |item: &LayerNote| item.wanted.target == wanted.target && has_ended(item);
    before.iter().enumerate().position(|(place, item)| sounds(item) && !has(place))
}

/// Returns which of `items` the note at `spot` is.
fn place_of(items: &[LayerNote], spot: NoteSpot) -> Option<usize> {
    items.iter().position(|item| item.spot == spot)
}
