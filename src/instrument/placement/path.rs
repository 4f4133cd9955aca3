//! The shortest path through the layers.

use super::board::LineBoard;
use super::bundles::{LayerStep, StateList};
use super::candidates::HandState;
use super::layers::Layer;
use super::moves::{Hurry, MoveCosts};
use super::repeats::{Repeats, SLOTS};

/// How many ways to have played the remembered notes are kept apart: each was open or stopped.
const PASTS: usize = 1 << SLOTS;

/// The cheapest ways to the states of a layer, by how the remembered notes were played: bit for bit whether the note of a
/// slot was open.
type Sums = [Option<Vec<u64>>; PASTS];

/// Where the cheapest ways to the states of a layer come from.
#[derive(Default)]
struct Back {
    /// The state of the layer before, by what was remembered until here.
    states: [Option<Vec<u16>>; PASTS],
    /// What was remembered until here, by what is remembered from here on; `None` where nothing is forgotten here.
    pasts: Option<[Vec<u8>; PASTS]>,
}

/// Returns the state of each layer on the cheapest way, and what the whole way costs, in thousandths.
pub(super) fn shortest<'p>(
    board: &LineBoard<'_>,
    layers: &[Layer],
    list: impl Fn(usize) -> Option<&'p StateList>,
    moves: &MoveCosts,
    repeats: &Repeats,
) -> (Vec<&'p HandState>, u64) {
    let states = |layer: usize| list(layer).map(StateList::states).unwrap_or_default();
    let mut sums: Sums = Default::default();
    sums[0] = Some(states(0).iter().map(|state| u64::from(state.cost)).collect());
    let mut back: Vec<Back> = Vec::with_capacity(layers.len());
    remember(repeats, 0, states(0), &mut sums);
    for (index, pair) in layers.windows(2).enumerate() {
        let [layer, next] = pair else { continue };
        let hurry = Hurry::after(layer, board);
        let (Some(before), Some(goal)) = (list(index), list(index + 1)) else { continue };
        let mut came = Back::default();
        let mut reached: Sums = Default::default();
        for ((sums, reached), came_from) in sums.iter().zip(&mut reached).zip(&mut came.states) {
            let Some(sums) = sums else { continue };
            let step = LayerStep { moves, hurry, items: &next.items, before, sums }.reach(goal);
            (*reached, *came_from) = (Some(step.sums), Some(step.came_from));
        }
        sums = reached;
        came.pasts = forget(repeats, index + 1, goal.states(), &mut sums);
        give_up(repeats, &mut sums);
        remember(repeats, index + 1, goal.states(), &mut sums);
        back.push(came);
    }
    let ends = sums
        .iter()
        .enumerate()
        .flat_map(|(past, sums)| sums.iter().flatten().enumerate().map(move |(place, sum)| (*sum, place, past)));
    let (cost, mut place, mut past) = ends.min().unwrap_or_default();
    let mut path = Vec::with_capacity(layers.len());
    for layer in (0..layers.len()).rev() {
        path.extend(states(layer).get(place));
        if let Some(back) = layer.checked_sub(1).and_then(|before| back.get(before)) {
            (place, past) = back.before(place, past, layer, repeats);
        }
    }
    path.reverse();
    (path, cost)
}

impl Back {
    /// Returns the state of the layer before `layer`, and what was remembered there, on the cheapest way to the state
    /// `place` of `layer` with this past.
    fn before(&self, place: usize, past: usize, layer: usize, repeats: &Repeats) -> (usize, usize) {
        let past = repeats.begins(layer).map_or(past, |slot| past & !(1 << slot));
        let origin = self.pasts.as_ref().and_then(|pasts| pasts.get(past)).and_then(|pasts| pasts.get(place));
        let past = origin.copied().map_or(past, usize::from);
        let state = self.states.get(past).and_then(|states| states.as_ref()).and_then(|states| states.get(place));
        (state.copied().map_or(0, usize::from), past)
    }
}

/// Keeps apart, from a layer on whose note comes back, the ways that play it open and those that stop it.
fn remember(repeats: &Repeats, layer: usize, states: &[HandState], sums: &mut Sums) {
    let Some(bit) = repeats.begins(layer).map(|slot| 1 << slot) else { return };
    for past in (0..PASTS).filter(|past| past & bit == 0) {
        let Some(all) = sums.get_mut(past).and_then(Option::take) else { continue };
        let only = |open: bool| {
            let some = states.iter().zip(&all).map(|(state, sum)| if state.is_open == open { *sum } else { u64::MAX });
            Some(some.collect::<Vec<u64>>()).filter(|sums| sums.iter().any(|sum| *sum < u64::MAX))
        };
        let parts = [(past, only(false)), (past | bit, only(true))];
        for (past, part) in parts {
            if let Some(entry) = sums.get_mut(past) {
                *entry = part;
            }
        }
    }
}

/// Gives up the ways that cost so much more than others to the same state that what they remember cannot make up for it.
fn give_up(repeats: &Repeats, sums: &mut Sums) {
    for bit in (0..SLOTS).map(|slot| 1 << slot) {
        for past in (0..PASTS).filter(|past| past & bit == 0) {
            let pair = [past, past | bit].map(|past| sums.get_mut(past).and_then(Option::take));
            let [Some(mut stopped), Some(mut open)] = pair else {
                for (past, sums_of) in [past, past | bit].into_iter().zip(pair) {
                    if let Some(entry) = sums.get_mut(past) {
                        *entry = sums_of;
                    }
                }
                continue;
            };
            let mut left = [false; 2];
            for (stopped, open) in stopped.iter_mut().zip(&mut open) {
                if *stopped >= open.saturating_add(repeats.most_saved()) {
                    *stopped = u64::MAX;
                } else if *open >= stopped.saturating_add(repeats.most_saved()) {
                    *open = u64::MAX;
                }
                left = [left[0] || *stopped < u64::MAX, left[1] || *open < u64::MAX];
            }
            for ((past, sums_of), left) in [(past, stopped), (past | bit, open)].into_iter().zip(left) {
                if let Some(entry) = sums.get_mut(past) {
                    *entry = left.then_some(sums_of);
                }
            }
        }
    }
}

/// Brings together again, in the layer where a note has come back, the ways that had played it open and those that had
/// stopped it. Returns what each of them had remembered; `None` where no note comes back.
fn forget(repeats: &Repeats, layer: usize, states: &[HandState], sums: &mut Sums) -> Option<[Vec<u8>; PASTS]> {
    let bit = 1 << repeats.ends(layer)?;
    let mut pasts: [Vec<u8>; PASTS] = Default::default();
    for past in (0..PASTS).filter(|past| past & bit == 0) {
        let [stopped, open] = [past, past | bit].map(|past| sums.get_mut(past).and_then(Option::take));
        if stopped.is_none() && open.is_none() {
            continue;
        }
        let sum = |sums: &Option<Vec<u64>>, place: usize| {
            sums.as_ref().and_then(|sums| sums.get(place)).copied().unwrap_or(u64::MAX)
        };
        let better = |(place, state): (usize, &HandState)| {
            let stopped = sum(&stopped, place).saturating_add(repeats.moved_back(false, state));
            let open = sum(&open, place).saturating_add(repeats.moved_back(true, state));
            if open < stopped { (open, past | bit) } else { (stopped, past) }
        };
        let (together, from): (Vec<u64>, Vec<usize>) = states.iter().enumerate().map(better).unzip();
        if let (Some(entry), Some(origins)) = (sums.get_mut(past), pasts.get_mut(past)) {
            *entry = Some(together);
            *origins = from.into_iter().filter_map(|past| u8::try_from(past).ok()).collect();
        }
    }
    Some(pasts)
}
