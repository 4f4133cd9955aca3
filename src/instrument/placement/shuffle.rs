//! Shuffles: a fifth, then the sixth over the same root, and back.
//!
//! Players hold root and fifth on neighbouring strings and reach further up the string of the fifth for what comes above
//! it. The reach is practised with the figure, and is preferred to another string. So whatever lies elsewhere costs
//! `off_neighbours` in every layer of such a figure, and the little finger reaches further in it than in other chords.

use super::board::{FINGERS, LineBoard, StringSpot};
use super::candidates::{Frame, HandState, PressedFinger, middle};
use super::grip::MOST;
use super::layers::{Kind, Layer, LayerNote};
use super::line::{NoteTarget, Pin};
use super::weights::thousandths;

/// A fifth, in half steps.
const FIFTH: u8 = 7;
/// What follows the fifth over the same root, in half steps: the sixth and the seventh.
const ABOVE: [u8; 2] = [9, 10];
/// The little finger.
const LITTLE: u8 = 4;

/// The shuffles of a line.
pub(super) struct Shuffles {
    /// Whether each layer belongs to one.
    of_layer: Vec<bool>,
}

impl Shuffles {
    /// Finds the shuffles of a line.
    pub(super) fn of(layers: &[Layer]) -> Self {
        let mut of_layer = Vec::with_capacity(layers.len());
        let alike = |one: &Layer, other: &Layer| {
            figure(one).zip(figure(other)).is_some_and(|((root, _), (next, _))| root == next)
        };
        for run in layers.chunk_by(alike) {
            let has = |wanted: &[u8]| run.iter().filter_map(figure).any(|(_, apart)| wanted.contains(&apart));
            let is_shuffle = has(&[FIFTH]) && has(&ABOVE);
            of_layer.extend(run.iter().map(|_| is_shuffle));
        }
        Self { of_layer }
    }

    /// Returns whether a layer belongs to a shuffle.
    pub(super) fn has(&self, layer: usize) -> bool {
        self.of_layer.get(layer).copied().unwrap_or(false)
    }

    /// Adds to the `states` of a layer of a shuffle those that the little finger reaches for, and to all of them what it
    /// costs that they do not lie on neighbouring strings.
    pub(super) fn weigh(&self, board: &LineBoard<'_>, layer: usize, items: &[LayerNote], states: &mut Vec<HandState>) {
        if !self.has(layer) {
            return;
        }
        states.extend(reached(board, items));
        let off = thousandths(board.weights.off_neighbours);
        let pressed = thousandths(2.0 * board.weights.press);
        for state in states {
            let [one, other, ..] = state.spots;
            if one.string.abs_diff(other.string) != 1 {
                state.cost += off;
                continue;
            }
            // The index stays at the root, and what the little finger reaches for has been practised with it.
            let lowest = one.wire.min(other.wire);
            if lowest > 0 && state.position == lowest {
                state.cost = state.cost.min(pressed + board.height(lowest, true));
            }
        }
    }
}

/// Returns the ways to play two notes on neighbouring strings that lie further apart than a hand holds other chords, and
/// within `shuffle_reach`: the index at the root, the little finger above it.
pub(super) fn reached(board: &LineBoard<'_>, items: &[LayerNote]) -> Vec<HandState> {
    let [one, other] = items else { return Vec::new() };
    let spots = |item: &LayerNote| board.spots(item.wanted.target, item.wanted.pin, item.wanted.touch);
    let is_free = |item: &LayerNote| item.kind == Kind::New && item.wanted.pin.position.is_none();
    if ![one, other].into_iter().all(is_free) {
        return Vec::new();
    }
    let pairs = spots(one).into_iter().flat_map(|one| spots(other).into_iter().map(move |other| [one, other]));
    pairs.filter_map(|pair| reaching(board, pair)).collect()
}

/// Returns the hand on two such notes, in the order of the layer.
fn reaching(board: &LineBoard<'_>, pair: [StringSpot; 2]) -> Option<HandState> {
    let weights = board.weights;
    let [one, other] = pair;
    let [root, above] = if one.note < other.note { [one, other] } else { [other, one] };
    let far = board.distance(root.wire, above.wire);
    let is_form = root.wire > 0
        && above.wire > root.wire
        && root.string == above.string + 1
        && ABOVE.contains(&(above.note - root.note));
    if !is_form || board.in_reach(root.wire, above.wire) || far > weights.shuffle_reach {
        return None;
    }
    let mut spots = [StringSpot::default(); MOST];
    let mut holds = [PressedFinger::default(); FINGERS];
    for (place, spot) in pair.into_iter().enumerate() {
        let finger = if spot.string == root.string { 1 } else { LITTLE };
        *spots.get_mut(place)? = StringSpot { finger, ..spot };
        *holds.get_mut(usize::from(finger) - 1)? =
            PressedFinger { wire: spot.wire, from: spot.string, to: spot.string };
    }
    Some(HandState {
        position: root.wire,
        cost: thousandths(2.0 * weights.press) + board.height(root.wire, true),
        middle: middle(pair.iter().map(|spot| spot.string)),
        free: false,
        is_chord: true,
        frame: Frame::of(pair.into_iter()),
        is_open: false,
        holds,
        spots,
    })
}

/// Returns the lower of two notes that are struck at once, and how far above it the other lies, where a shuffle has both
/// and nothing is fixed of them.
fn figure(layer: &Layer) -> Option<(u8, u8)> {
    let [one, other] = layer.items.as_slice() else { return None };
    let (one, other) = (pitch(one)?, pitch(other)?);
    let apart = one.abs_diff(other);
    (apart == FIFTH || ABOVE.contains(&apart)).then_some((one.min(other), apart))
}

fn pitch(item: &LayerNote) -> Option<u8> {
    match item.wanted.target {
        NoteTarget::Pitch(note) if item.kind == Kind::New && item.wanted.pin == Pin::default() => Some(note.number()),
        NoteTarget::Pitch(_) | NoteTarget::At(_) => None,
    }
}
