//! The ways to play one layer.

use super::board::{FINGERS, LineBoard, StringSpot};
use super::grip::{MOST, StoppedNote, flat_index, grip};
use super::layers::{Kind, LayerNote};
use super::weights::{Cost, thousandths};
use crate::instrument::neck::{Fret, StringNumber};

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

/// The fewest notes of a chord that is one shape to the hand; fewer are held by whatever fingers lead on best.
const FEWEST_OF_SHAPE: usize = 3;

/// How the notes of a chord are struck.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Onset {
    /// At once, so that the strings between must be silent.
    Together,
    /// One after the other.
    Apart,
}

/// One finger on the neck; wire 0 stands for a finger that is not used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct PressedFinger {
    pub(super) wire: u8,
    /// The highest string number under it.
    pub(super) from: u8,
    /// The lowest string number under it.
    pub(super) to: u8,
}

/// The strings that are struck at once and how their frets lie to each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Frame {
    /// A bit for each string.
    pub(super) strings: u16,
    /// The fret of each string above the lowest that is stopped, from the highest string on, four bits each.
    pub(super) shape: u64,
    /// Whether some of the strings are open and others stopped.
    pub(super) is_mixed: bool,
    /// Whether all of them are open.
    pub(super) is_open: bool,
}

impl Frame {
    /// Returns the frame of what is struck.
    pub(super) fn of(struck: impl Iterator<Item = StringSpot> + Clone) -> Self {
        let lowest = struck.clone().map(|spot| spot.wire).filter(|wire| *wire > 0).min().unwrap_or(0);
        let mut frame = Self::default();
        let (mut open, mut stopped) = (false, false);
        for spot in struck {
            frame.strings |= 1 << spot.string;
            frame.shape |= u64::from(spot.wire.saturating_sub(lowest).min(15)) << (4 * spot.string);
            (open, stopped) = (open || spot.wire == 0, stopped || spot.wire > 0);
        }
        frame.is_mixed = open && stopped;
        frame.is_open = open && !stopped;
        frame
    }

    /// Returns whether the same strings are stopped again.
    pub(super) const fn moves_to(self, other: Self) -> bool {
        self.strings == other.strings && !self.is_mixed && !other.is_mixed
    }

    /// Returns how many strings are struck.
    pub(super) const fn count(self) -> u32 {
        self.strings.count_ones()
    }
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
    /// What is struck.
    pub(super) frame: Frame,
    /// Whether nothing but open strings is struck.
    pub(super) is_open: bool,
    /// The fingers, index first.
    pub(super) holds: [PressedFinger; FINGERS],
    /// Where each item of the layer lies; silent where it was let go.
    pub(super) spots: [StringSpot; MOST],
}

impl HandState {
    /// Puts the fingers that `fingerpost fingering` gives for the shape on these notes, where they are a shape to the hand.
    /// They are told, not weighed: where a chord lies does not hang on them.
    pub(super) fn finger_as_taught(&mut self, board: &LineBoard<'_>, notes: usize) {
        let sounding = || self.spots.iter().take(notes).filter(|spot| !spot.is_silent());
        if sounding().count() < FEWEST_OF_SHAPE && !is_power_form(sounding()) {
            return;
        }
        let Some(grip) = board.held(sounding()) else { return };
        let fingers: Option<Vec<u8>> = self
            .spots
            .iter()
            .take(notes)
            .map(|spot| if spot.wire == 0 { Some(0) } else { board.finger_on(&grip, spot.string) })
            .collect();
        let Some(fingers) = fingers else { return };
        let fingered = |(spot, finger): (&StringSpot, u8)| StringSpot { finger, ..*spot };
        let spots: Vec<StringSpot> = self.spots.iter().zip(fingers).map(fingered).collect();
        let lowest = spots.iter().filter(|spot| spot.finger > 0).min_by_key(|spot| (spot.wire, spot.finger));
        if let Some(lowest) = lowest {
            self.position = (lowest.wire + 1).saturating_sub(lowest.finger).max(1);
        }
        self.holds = [PressedFinger::default(); FINGERS];
        for (place, spot) in spots.iter().enumerate().filter(|(_, spot)| spot.finger > 0) {
            self.lay(StoppedNote { wire: spot.wire, string: spot.string }, place, spot.finger);
        }
    }

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

/// Returns whether this is the form in which power chords are moved about: two stopped notes on neighbouring strings, the one on the
/// higher string two frets up.
fn is_power_form<'s>(mut sounding: impl Iterator<Item = &'s StringSpot>) -> bool {
    let (Some(one), Some(other), None) = (sounding.next(), sounding.next(), sounding.next()) else { return false };
    let (low, high) = if one.string > other.string { (one, other) } else { (other, one) };
    low.wire > 0 && low.string == high.string + 1 && high.wire == low.wire + 2
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
pub(super) fn candidates(
    board: &LineBoard<'_>,
    items: &[LayerNote],
    strike: Onset,
) -> Result<Vec<HandState>, HandTrouble> {
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
        add_states(board, items, spread, strike, &mut states);
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
    strike: Onset,
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
    let fixed = pressed + crossings(board, sounding()) + span(board, &notes) + open_fifth(board, struck());
    let struck_at_once: u16 =
        struck().map(|(spot, _)| spot.string).filter(long).fold(0, |all, string| all | 1 << string);
    let fixed = match strike {
        Onset::Together => fixed + inner_mutes(board, struck_at_once, open),
        Onset::Apart => fixed,
    };
    let plain = HandState {
        position: 0,
        cost: fixed,
        middle: middle(struck().map(|(spot, _)| spot.string).filter(long)),
        free: notes.is_empty(),
        is_chord: sounding().count() > 1,
        is_open: struck().all(|(spot, _)| spot.wire == 0),
        frame: Frame::of(struck().map(|(spot, _)| *spot)),
        holds: [PressedFinger::default(); FINGERS],
        spots: *spread,
    };
    let several = plain.is_chord;
    let ends = notes.first().zip(notes.last());
    if ends.is_some_and(|(low, high)| !board.in_reach(low.wire, high.wire)) {
        return;
    }
    if strike == Onset::Together && notes.len() > 1 && board.held(sounding()).is_none() {
        return;
    }
    let positions = match (notes.first(), notes.last()) {
        (Some(low), Some(high)) => board.positions(low.wire, high.wire),
        _ => 1..=board.last,
    };
    let fresh = items.iter().filter(|item| item.kind == Kind::New);
    let pinned: Vec<u8> = fresh.filter_map(|item| item.wanted.pin.position).map(Fret::number).collect();
    let is_whole = open == 0 && pinned.is_empty() && items.iter().all(|item| item.kind == Kind::New);
    let lies_flat = is_whole && !board.has_fifths_frame() && is_flat_power(&notes, struck());
    for position in positions.filter(|position| pinned.iter().all(|pin| pin == position)) {
        let height = match notes.first() {
            None => 0,
            // How high the hand is does not depend on which finger does it.
            Some(lowest) => board.height(lowest.wire, several),
        };
        let opened = struck().filter(|(spot, _)| spot.wire == 0);
        let opens: Cost = opened.map(|(spot, _)| board.open(spot.string, position)).sum();
        for (cost, fingers) in grips(board, position, &notes, open, lies_flat) {
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
fn grips(
    board: &LineBoard<'_>,
    position: u8,
    notes: &[StoppedNote],
    open: u32,
    lies_flat: bool,
) -> impl Iterator<Item = (Cost, [u8; MOST])> {
    let mut found = [None; FINGERS];
    match notes {
        [only] => {
            for ((entry, finger), number) in found.iter_mut().zip(0..).zip(1..) {
                *entry = board.finger(position, only.wire, finger).map(|cost| (cost, [number; MOST]));
            }
        }
        several => {
            let grip =
                if lies_flat { flat_index(board, position, several) } else { grip(board, position, several, open) };
            if let Some(entry) = found.first_mut() {
                *entry = grip;
            }
        }
    }
    found.into_iter().flatten()
}

/// Returns what it costs, in thousandths, that an open string rings above a stopped one in root and fifth alone, which
/// players hold on neighbouring strings and damp with the hand that stops them.
fn open_fifth<'s>(
    board: &LineBoard<'_>,
    struck: impl Iterator<Item = (&'s StringSpot, &'s LayerNote)> + Clone,
) -> Cost {
    let Some(lowest) = power_root(struck.clone()) else { return 0 };
    let open = sounding_notes(struck.clone()).any(|spot| spot.wire == 0 && spot.note > lowest.note);
    if !open || lowest.wire == 0 {
        return 0;
    }
    let is_bare =
        sounding_notes(struck).count() == 2 || (!board.has_fifths_frame() && board.has_flat_fifth(lowest.string));
    thousandths(if is_bare { board.weights.open_fifth_bare } else { board.weights.open_fifth })
}

/// Returns the lowest note of a power chord; `None` for what is none.
fn power_root<'s>(struck: impl Iterator<Item = (&'s StringSpot, &'s LayerNote)> + Clone) -> Option<&'s StringSpot> {
    let notes = || sounding_notes(struck.clone());
    let lowest = notes().min_by_key(|spot| spot.note)?;
    let above = |spot: &StringSpot| (spot.note - lowest.note) % 12;
    (notes().all(|spot| matches!(above(spot), 0 | 7)) && notes().any(|spot| above(spot) == 7)).then_some(lowest)
}

fn sounding_notes<'s>(
    struck: impl Iterator<Item = (&'s StringSpot, &'s LayerNote)>,
) -> impl Iterator<Item = &'s StringSpot> {
    struck.map(|(spot, _)| spot).filter(|spot| spot.note > 0)
}

/// Returns whether these are a power chord at one fret of neighbouring strings. That is what dropped tunings are for: one
/// finger lies flat, so that the chord moves as fast as a single note.
fn is_flat_power<'s>(
    notes: &[StoppedNote],
    struck: impl Iterator<Item = (&'s StringSpot, &'s LayerNote)> + Clone,
) -> bool {
    let next = |pair: &[StoppedNote]| match pair {
        [low, high] => low.wire == high.wire && low.string == high.string + 1,
        _ => false,
    };
    notes.len() > 1 && notes.windows(2).all(next) && power_root(struck).is_some()
}

/// Returns what it costs to hold frets further apart than a hand lies at ease, in thousandths.
fn span(board: &LineBoard<'_>, stopped: &[StoppedNote]) -> Cost {
    let (Some(low), Some(high)) = (stopped.first(), stopped.last()) else { return 0 };
    let over = f64::from((high.wire - low.wire).saturating_sub(2));
    thousandths(over * board.weights.span)
}

/// Returns the middle of some strings, doubled; 0 for none.
pub(super) fn middle(strings: impl Iterator<Item = u8>) -> u8 {
    let (sum, count) = strings.fold((0u32, 0u32), |(sum, count), string| (sum + u32::from(string), count + 1));
    u8::try_from(sum * 2 / count.max(1)).unwrap_or(0)
}

/// Returns what it costs to keep the strings between those of a chord silent, in thousandths. `struck` and `open` have a
/// bit for each string. Beside an open string no finger damps what must be silent.
fn inner_mutes(board: &LineBoard<'_>, struck: u16, open: u32) -> Cost {
    let weights = board.weights;
    let mut cost = 0.0;
    let mut below: Option<u32> = None;
    for string in (1..=u32::from(StringNumber::LAST)).filter(|string| struck >> string & 1 == 1) {
        if let Some(before) = below {
            let silent = f64::from(string - before - 1);
            let is_open = (open >> string | open >> before) & 1 == 1;
            cost += if is_open {
                silent * weights.open_mute
            } else {
                silent * weights.inner_mute + (silent - 1.0).max(0.0) * weights.further_mute
            };
        }
        below = Some(string);
    }
    thousandths(cost)
}

/// Returns what it costs, in thousandths, that notes of a chord lie the other way round than their open strings.
fn crossings<'s>(board: &LineBoard<'_>, sounding: impl Iterator<Item = &'s StringSpot> + Clone) -> Cost {
    let later = sounding.clone().enumerate().flat_map(|(place, one)| {
        sounding.clone().skip(place + 1).filter(|other| board.is_crossed(*one, **other)).map(|_| ())
    });
    thousandths(later.count() as f64 * board.weights.crossed)
}
