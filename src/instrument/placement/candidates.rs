//! The ways to play one layer.

use super::board::{FINGERS, LineBoard, StringSpot};
use super::grip::{MOST, StoppedNote, grip};
use super::layers::{Kind, LayerNote};
use super::weights::{Cost, thousandths};
use crate::instrument::neck::Fret;

/// The most states of a layer that are kept; two bytes count them. Up to here the search leaves nothing out; broken
/// chords on a guitar come so far once six notes sound at once.
const MOST_STATES: usize = 1024;
/// The most hand positions that are kept for one way to hold the strings, where notes ring on and there are more than
/// [`MOST_STATES`].
const MOST_POSITIONS: usize = 4;
/// How many of the states that let go of everything are kept where notes ring on, so that there is always a way on.
const MOST_LET_GO: usize = 128;
/// The most ways to spread the notes over the strings that are looked at: so many with notes that ring on, and so many
/// without. Only a layer of many notes with many places has more.
const MOST_SPREADS: usize = 2400;

/// One finger on the neck; wire 0 stands for a finger that is not used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct PressedFinger {
    pub(super) wire: u8,
    /// The highest string number under it.
    pub(super) from: u8,
    /// The lowest string number under it.
    pub(super) to: u8,
}

/// One way to play a layer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct HandState {
    /// The fret of the index finger, counted from a capo over all strings.
    pub(super) position: u8,
    /// What it costs by itself, in thousandths.
    pub(super) cost: Cost,
    /// The middle of the strings that are struck, doubled; 0 for a short string alone, which the thumb has for its own.
    pub(super) middle: u8,
    /// Whether no finger holds anything, so that the hand may move.
    pub(super) free: bool,
    /// Whether several notes sound.
    pub(super) is_chord: bool,
    /// The fingers, index first.
    pub(super) holds: [PressedFinger; FINGERS],
    /// Where each item of the layer lies; silent where it was let go.
    pub(super) spots: [StringSpot; MOST],
}

impl HandState {
    /// Puts a finger on the note at `place`.
    fn lay(&mut self, note: StoppedNote, place: usize, finger: u8) {
        if let Some(spot) = self.spots.get_mut(place) {
            spot.finger = finger;
        }
        if let Some(hold) = self.holds.get_mut(usize::from(finger).wrapping_sub(1)) {
            let from = hold.from.max(note.string);
            let to = if hold.wire == 0 { note.string } else { hold.to.min(note.string) };
            *hold = PressedFinger { wire: note.wire, from, to };
        }
    }
}

/// The reasons why a layer cannot be played.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum HandTrouble {
    /// This item has no place.
    NoPlace(usize),
    /// Each note has places, but no hand has them all.
    NoHand,
}

/// Returns every way to play `items`, the cheapest first.
///
/// Errors: an item without a place, or places that no hand has together ([`HandTrouble`]).
pub(super) fn candidates(board: &LineBoard<'_>, items: &[LayerNote]) -> Result<Vec<HandState>, HandTrouble> {
    let mut options = Vec::with_capacity(items.len());
    for (place, item) in items.iter().enumerate() {
        let mut spots = board.spots(item.wanted.target, item.wanted.pin, item.wanted.touch);
        match item.kind {
            Kind::Held => spots.push(StringSpot::default()),
            Kind::New if spots.is_empty() => return Err(HandTrouble::NoPlace(place)),
            Kind::New => {}
        }
        options.push(spots);
    }
    let spreads = spreads(board, items, &options);
    let mut states = Vec::new();
    let mut first_of_spread = Vec::with_capacity(spreads.len());
    for spread in &spreads {
        first_of_spread.push(states.len());
        add_states(board, items, spread, &mut states);
    }
    let states = fewer(board, items, states, &first_of_spread);
    if states.is_empty() { Err(HandTrouble::NoHand) } else { Ok(states) }
}

/// Sorts the states, the cheapest first, and keeps only the most promising where there are more than [`MOST_STATES`].
fn fewer(
    board: &LineBoard<'_>,
    items: &[LayerNote],
    mut states: Vec<HandState>,
    first_of_spread: &[usize],
) -> Vec<HandState> {
    // What is let go is paid for on the way; here it must not look cheap.
    let let_go = thousandths(board.weights.let_go);
    let silent = |state: &HandState| state.spots.iter().take(items.len()).filter(|spot| spot.is_silent()).count();
    let weighed = |state: &HandState| u64::from(state.cost) + u64::from(let_go) * silent(state) as u64;
    let held = items.iter().filter(|item| item.kind == Kind::Held).count();
    if states.len() <= MOST_STATES || held == 0 {
        states.sort_by_cached_key(weighed);
        states.truncate(MOST_STATES);
        return states;
    }
    let mut some: Vec<HandState> = Vec::new();
    let ends = first_of_spread.iter().skip(1).copied().chain([states.len()]);
    for (start, end) in first_of_spread.iter().copied().zip(ends) {
        let Some(spread) = states.get_mut(start..end) else { continue };
        spread.sort_by_key(|state| state.cost);
        // A hand that holds nothing may be anywhere.
        let most = if spread.first().is_some_and(|state| state.free) { spread.len() } else { MOST_POSITIONS };
        some.extend(spread.iter().take(most));
    }
    let (mut gone, mut kept): (Vec<HandState>, Vec<HandState>) =
        some.into_iter().partition(|state| silent(state) == held);
    gone.sort_by_cached_key(weighed);
    kept.sort_by_cached_key(weighed);
    gone.truncate(MOST_LET_GO);
    kept.truncate(MOST_STATES - gone.len());
    kept.extend(gone);
    kept
}

/// Returns the items in the order in which they are given places: those with the least choice first.
fn order(options: &[Vec<StringSpot>]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..options.len()).collect();
    order.sort_by_key(|place| options.get(*place).map_or(0, Vec::len));
    order
}

/// Returns the ways to spread the items over the strings. Those that let go of everything that rings on come last.
fn spreads(board: &LineBoard<'_>, items: &[LayerNote], options: &[Vec<StringSpot>]) -> Vec<[StringSpot; MOST]> {
    let mut spreads = Spreads { board, items, options, order: order(options), ring: true, most: 0, found: Vec::new() };
    // Apart, because however many ways there are to let something ring, there must be one left to go on.
    let held = items.iter().any(|item| item.kind == Kind::Held);
    for ring in [true, false].into_iter().filter(|ring| held || !ring) {
        (spreads.ring, spreads.most) = (ring, spreads.found.len() + MOST_SPREADS);
        spreads.extend(0, &mut [StringSpot::default(); MOST], 0, None);
    }
    spreads.found
}

/// A search for ways to spread the items over the strings.
struct Spreads<'a> {
    board: &'a LineBoard<'a>,
    items: &'a [LayerNote],
    options: &'a [Vec<StringSpot>],
    order: Vec<usize>,
    /// Whether something of what rings on keeps ringing, or everything is let go.
    ring: bool,
    /// How many ways are found when the search stops.
    most: usize,
    found: Vec<[StringSpot; MOST]>,
}

impl Spreads<'_> {
    /// Finds a place for each item from number `done` of the order on. `used` has a bit for each string that is taken,
    /// and `frets` are the lowest and the highest fret that is stopped so far.
    fn extend(&mut self, done: usize, chosen: &mut [StringSpot; MOST], used: u32, frets: Option<(u8, u8)>) {
        if self.found.len() >= self.most {
            return;
        }
        let Some(&item) = self.order.get(done) else {
            if self.rings(chosen) == self.ring {
                self.found.push(*chosen);
            }
            return;
        };
        let is_held = self.items.get(item).is_some_and(|item| item.kind == Kind::Held);
        let options = self.options;
        for spot in options.get(item).into_iter().flatten() {
            let bit = if spot.is_silent() { 0 } else { 1 << spot.string };
            let goes = is_held && !self.ring && !spot.is_silent();
            if goes || used & bit != 0 || self.is_mirrored(item, *spot, chosen) {
                continue;
            }
            let frets = match (spot.wire, frets) {
                (0, frets) => frets,
                (wire, None) => Some((wire, wire)),
                (wire, Some((low, high))) => Some((low.min(wire), high.max(wire))),
            };
            if frets.is_some_and(|(low, high)| !self.board.in_reach(low, high)) {
                continue;
            }
            if let Some(place) = chosen.get_mut(item) {
                *place = *spot;
            }
            self.extend(done + 1, chosen, used | bit, frets);
        }
    }

    /// Returns whether any of the notes that ring on keeps ringing.
    fn rings(&self, chosen: &[StringSpot; MOST]) -> bool {
        self.items.iter().zip(chosen).any(|(item, spot)| item.kind == Kind::Held && !spot.is_silent())
    }

    /// Returns whether the item's twin lies on a string with a lower number already. One order of the two is enough.
    fn is_mirrored(&self, item: usize, spot: StringSpot, chosen: &[StringSpot; MOST]) -> bool {
        // Twins have the same choice, so that the earlier one has its place by now.
        let twin = self.items.get(item).and_then(|item| item.twin).and_then(|twin| chosen.get(twin));
        twin.is_some_and(|placed| placed.string < spot.string)
    }
}

/// Adds a state for every hand position from which `spread` can be held.
pub(super) fn add_states(
    board: &LineBoard<'_>,
    items: &[LayerNote],
    spread: &[StringSpot; MOST],
    states: &mut Vec<HandState>,
) {
    let struck = || spread.iter().zip(items).filter(|(spot, item)| !spot.is_silent() && item.kind == Kind::New);
    let sounding = || spread.iter().take(items.len()).filter(|spot| !spot.is_silent());
    let mut stopped: Vec<(StoppedNote, usize)> = Vec::with_capacity(items.len());
    let mut open = 0;
    for (place, spot) in spread.iter().enumerate().take(items.len()).filter(|(_, spot)| !spot.is_silent()) {
        if spot.wire == 0 {
            open |= 1 << spot.string;
        } else {
            stopped.push((StoppedNote { wire: spot.wire, string: spot.string }, place));
        }
    }
    stopped.sort_by_key(|(note, _)| (note.wire, u8::MAX - note.string));
    let notes: Vec<StoppedNote> = stopped.iter().map(|(note, _)| *note).collect();
    let long = |string: &u8| !board.is_short(*string);
    let pressed = struck().filter(|(spot, _)| spot.wire > 0).count();
    let pressed = thousandths(board.weights.press * pressed as f64);
    let fixed =
        pressed + inner_mutes(board, sounding().map(|spot| spot.string).filter(long)) + crossings(board, sounding());
    let plain = HandState {
        position: 0,
        cost: fixed,
        middle: middle(struck().map(|(spot, _)| spot.string).filter(long)),
        free: notes.is_empty(),
        is_chord: sounding().count() > 1,
        holds: [PressedFinger::default(); FINGERS],
        spots: *spread,
    };
    let positions = match (notes.first(), notes.last()) {
        (Some(low), Some(high)) => board.positions(low.wire, high.wire),
        _ => 1..=board.last,
    };
    let fresh = items.iter().filter(|item| item.kind == Kind::New);
    let pinned: Vec<u8> = fresh.filter_map(|item| item.wanted.pin.position).map(Fret::number).collect();
    for position in positions.filter(|position| pinned.iter().all(|pin| pin == position)) {
        let height = if notes.is_empty() { 0 } else { board.height(position) };
        let opened = struck().filter(|(spot, _)| spot.wire == 0);
        let opens: Cost = opened.map(|(spot, _)| board.open(spot.string, position)).sum();
        for (cost, fingers) in grips(board, position, &notes, open) {
            let cost = fixed + height + opens + cost;
            let mut state = HandState { position, cost, ..plain };
            for ((note, place), finger) in stopped.iter().zip(fingers) {
                state.lay(*note, *place, finger);
            }
            states.push(state);
        }
    }
}

/// Returns the fingers to choose from and what they cost: each finger for a single note, the best ones for a chord.
fn grips(board: &LineBoard<'_>, position: u8, notes: &[StoppedNote], open: u32) -> Vec<(Cost, [u8; MOST])> {
    match notes {
        [only] => {
            let with = |finger: u8| Some((board.finger(position, only.wire, usize::from(finger) - 1)?, [finger; MOST]));
            (1..=FINGERS as u8).filter_map(with).collect()
        }
        several => grip(board, position, several, open).into_iter().collect(),
    }
}

/// Returns the middle of some strings, doubled; 0 for none.
fn middle(strings: impl Iterator<Item = u8>) -> u8 {
    let (sum, count) = strings.fold((0u32, 0u32), |(sum, count), string| (sum + u32::from(string), count + 1));
    u8::try_from(sum * 2 / count.max(1)).unwrap_or(0)
}

/// Returns what it costs to keep the strings between those of a chord silent, in thousandths.
fn inner_mutes(board: &LineBoard<'_>, sounding: impl Iterator<Item = u8>) -> Cost {
    let (mut low, mut high, mut count) = (u8::MAX, 0, 0u8);
    for string in sounding {
        (low, high, count) = (low.min(string), high.max(string), count + 1);
    }
    let silent = (high + 1).saturating_sub(low.min(high)).saturating_sub(count);
    thousandths(if count > 1 { f64::from(silent) * board.weights.inner_mute } else { 0.0 })
}

/// Returns what it costs, in thousandths, that notes of a chord lie the other way round than their open strings.
fn crossings<'s>(board: &LineBoard<'_>, sounding: impl Iterator<Item = &'s StringSpot> + Clone) -> Cost {
    let later = sounding.clone().enumerate().flat_map(|(place, one)| {
        sounding.clone().skip(place + 1).filter(|other| board.is_crossed(*one, **other)).map(|_| ())
    });
    thousandths(later.count() as f64 * board.weights.crossed)
}
