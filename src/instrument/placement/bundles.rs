//! The steps from one layer to the next, without looking at every pair of states.
//!
//! A note that rings on stays where it is, so that most pairs do not fit together. States are bundled by the places
//! of the notes that ring across the step: one look tells whether two bundles fit and what is let go between
//! them, and only pairs of fitting bundles are tried. Nothing is lost by it.

use super::candidates::HandState;
use super::layers::{LayerLink, LayerNote};
use super::moves::{Hurry, MoveCosts};

/// A step from the states of one layer to those of the next.
pub(super) struct LayerStep<'a> {
    pub(super) moves: &'a MoveCosts,
    pub(super) hurry: Hurry,
    /// The items of the next layer.
    pub(super) items: &'a [LayerNote],
    /// The states of the layer that the step begins in.
    pub(super) before: &'a [HandState],
    /// What it costs to get to each of them, in thousandths; `u64::MAX` where no way leads.
    pub(super) sums: &'a [u64],
}

/// The states that a step leads to, with the cheapest way to each.
#[derive(Default)]
pub(super) struct ReachedStates {
    /// What it costs to get to each state, in thousandths; `u64::MAX` where no way leads.
    pub(super) sums: Vec<u64>,
    /// The state before it on the cheapest way.
    pub(super) came_from: Vec<u16>,
}

/// States from which a step may begin, by where the hand is, the place that is cheapest to get to first.
struct Bundle {
    places: Vec<FromPlace>,
}

/// The states of one hand position that strike the same strings in the middle: each with what it costs to get there and
/// its number, the cheapest first.
struct FromPlace {
    position: u8,
    middle: u8,
    states: Vec<(u64, u16)>,
}

impl FromPlace {
    /// Returns the cheapest state.
    fn first(&self) -> (u64, u16) {
        self.states.first().copied().unwrap_or((u64::MAX, 0))
    }
}

/// A bundle that fits the states to go to.
struct Fitting<'b> {
    bundle: &'b Bundle,
    /// What every way from the bundle pays for the notes that are let go.
    let_go: u64,
    /// What the cheapest way from the bundle costs at least.
    least: u64,
}

impl LayerStep<'_> {
    /// Returns the cheapest way to each of `states`.
    pub(super) fn reach(&self, states: &[HandState]) -> ReachedStates {
        let mut reached = ReachedStates { sums: vec![u64::MAX; states.len()], came_from: vec![0; states.len()] };
        let ringing =
            || self.items.iter().enumerate().filter(|(_, item)| matches!(item.link, Some((_, LayerLink::Held))));
        let places_before: Vec<usize> = ringing().filter_map(|(_, item)| item.link).map(|(place, _)| place).collect();
        let places: Vec<usize> = ringing().map(|(place, _)| place).collect();
        let bundles: Vec<Bundle> =
            bundled(self.before, &places_before).into_iter().map(|bundle| self.cheapest_first(&bundle)).collect();
        for alike in bundled(states, &places) {
            let Some(first) = alike.first().and_then(|place| states.get(usize::from(*place))) else { continue };
            let fitting = self.fitting(&bundles, first);
            for place in alike.into_iter().map(usize::from) {
                let Some(state) = states.get(place) else { continue };
                let ends = (reached.sums.get_mut(place), reached.came_from.get_mut(place));
                if let (Some(sum), Some(came_from)) = ends {
                    (*sum, *came_from) = self.cheapest(&fitting, state);
                    *sum = sum.saturating_add(u64::from(state.cost));
                }
            }
        }
        reached
    }

    /// Sorts the states with these numbers by where the hand is and by what it costs to get to them.
    fn cheapest_first(&self, bundle: &[u16]) -> Bundle {
        let sum = |place: u16| self.sums.get(usize::from(place)).copied().unwrap_or(u64::MAX);
        let at =
            |place: u16| self.before.get(usize::from(place)).map_or((0, 0), |state| (state.position, state.middle));
        let mut states: Vec<((u8, u8), (u64, u16))> =
            bundle.iter().map(|place| (at(*place), (sum(*place), *place))).collect();
        states.sort_unstable();
        let from = |states: &[((u8, u8), (u64, u16))]| {
            let (position, middle) = states.first().map_or((0, 0), |(at, _)| *at);
            FromPlace { position, middle, states: states.iter().map(|(_, state)| *state).collect() }
        };
        let mut places: Vec<FromPlace> = states.chunk_by(|one, other| one.0 == other.0).map(from).collect();
        places.sort_by_key(FromPlace::first);
        Bundle { places }
    }

    /// Returns the bundles from which a step leads to `to` and to the states bundled with it, the most promising first.
    fn fitting<'b>(&self, bundles: &'b [Bundle], to: &HandState) -> Vec<Fitting<'b>> {
        let fits = |bundle: &'b Bundle| {
            let (sum, place) = bundle.places.first()?.first();
            let let_go = self.moves.let_go(self.before.get(usize::from(place))?, to, self.items)?;
            Some(Fitting { bundle, let_go, least: sum.saturating_add(let_go) })
        };
        let mut fitting: Vec<Fitting<'b>> = bundles.iter().filter_map(fits).collect();
        fitting.sort_by_key(|fitting| fitting.least);
        fitting
    }

    /// Returns what it costs to get to `to`, without its own cost, and the number of the state that the cheapest way
    /// comes from.
    fn cheapest(&self, fitting: &[Fitting<'_>], to: &HandState) -> (u64, u16) {
        let mut best = (u64::MAX, 0);
        for Fitting { bundle, let_go, least } in fitting {
            if *least >= best.0 {
                break;
            }
            for from in &bundle.places {
                let (least, _) = from.first();
                if least.saturating_add(*let_go) >= best.0 {
                    break;
                }
                // No step costs less than what is let go and the way of the hand.
                let way = let_go.saturating_add(self.moves.least_way((from.position, from.middle), to, self.hurry));
                for &(sum, place) in &from.states {
                    if sum.saturating_add(way) >= best.0 {
                        break;
                    }
                    let from = self.before.get(usize::from(place));
                    let step = from.and_then(|from| self.moves.step(from, to, self.hurry, self.items));
                    if let Some(sum) = step.map(|step| sum.saturating_add(step)).filter(|sum| *sum < best.0) {
                        best = (sum, place);
                    }
                }
            }
        }
        best
    }
}

/// Returns the states, by their numbers, in bundles that have the items at `places` on the same strings and frets.
fn bundled(states: &[HandState], places: &[usize]) -> Vec<Vec<u16>> {
    if places.is_empty() {
        return vec![(0..).take(states.len()).collect()];
    }
    // Four bits for a string and six for a fret: twelve of them fit.
    let held = |state: &HandState| {
        let spots = places.iter().filter_map(|place| state.spots.get(*place));
        spots.fold(0u128, |held, spot| held << 10 | u128::from(spot.string & 15) << 6 | u128::from(spot.fret & 63))
    };
    let mut by_held: Vec<(u128, u16)> = states.iter().zip(0..).map(|(state, number)| (held(state), number)).collect();
    by_held.sort_unstable();
    let bundle = |alike: &[(u128, u16)]| alike.iter().map(|(_, number)| *number).collect();
    by_held.chunk_by(|one, other| one.0 == other.0).map(bundle).collect()
}
