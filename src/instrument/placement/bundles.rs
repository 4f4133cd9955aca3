//! The steps from one layer to the next, without looking at every pair of states.
//!
//! A note that rings on stays where it is, so that most pairs do not fit together. States are bundled by the places
//! of the notes that ring across the step: one look tells whether two bundles fit and what is let go between
//! them, and only pairs of fitting bundles are tried. The states of a bundle at one place, a hand position and the
//! strings that are struck, have a bound in common, and only those that stay below the best way so far are weighed.
//! Nothing is lost by it: of several ways that cost the same, the first in the order of the bundles is taken.

use std::ops::Range;

use super::candidates::HandState;
use super::layers::{LayerLink, LayerNote};
use super::moves::{Hurry, MoveCosts, Toward, Whence};

/// A state behind what it is sorted by: where it holds the strings, then what parts it from others there.
type SortedState<'s> = (HeldSpots, (u8, u8), u64, u16, &'s HandState);

/// A step from the states of one layer to those of the next.
pub(super) struct LayerStep<'a> {
    pub(super) moves: &'a MoveCosts,
    pub(super) hurry: Hurry,
    /// The items of the next layer.
    pub(super) items: &'a [LayerNote],
    /// The states of the layer that the step begins in.
    pub(super) before: &'a StateList,
    /// What it costs to get to each of them, in thousandths; `u64::MAX` where no way leads.
    pub(super) sums: &'a [u64],
}

/// The states of a layer, with the orders in which the steps need them.
pub(super) struct StateList {
    states: Vec<HandState>,
    /// Their numbers by hand position and by the middle of the strings that are struck.
    by_place: Vec<u16>,
    /// Their numbers by what the bounds of the ways to them follow from.
    by_goal: Vec<(Goal, u16)>,
}

impl StateList {
    /// Puts states, of which there are no more than two bytes count, in order.
    pub(super) fn new(states: Vec<HandState>) -> Self {
        let mut by_place: Vec<(u8, u8, u16)> =
            states.iter().zip(0..).map(|(state, number)| (state.position, state.middle, number)).collect();
        by_place.sort_unstable();
        let by_place = by_place.into_iter().map(|(.., number)| number).collect();
        let mut by_goal: Vec<(Goal, u16)> =
            states.iter().zip(0..).map(|(state, number)| (Goal::of(state), number)).collect();
        by_goal.sort_unstable();
        Self { states, by_place, by_goal }
    }

    /// Returns the states, in the order of their numbers.
    pub(super) fn states(&self) -> &[HandState] {
        &self.states
    }

    fn get(&self, number: u16) -> Option<&HandState> {
        self.states.get(usize::from(number))
    }
}

/// The states that a step leads to, with the cheapest way to each.
#[derive(Default)]
pub(super) struct ReachedStates {
    /// What it costs to get to each state, in thousandths; `u64::MAX` where no way leads.
    pub(super) sums: Vec<u64>,
    /// The state before it on the cheapest way.
    pub(super) came_from: Vec<u16>,
}

/// The states from which a step may begin.
struct Starts<'a> {
    /// What it costs to get to each of them, and the state with its number; by their places, the cheapest first.
    states: Vec<(u64, u16, &'a HandState)>,
    /// By their bundles, the one that is cheapest to get to first.
    places: Vec<FromPlace>,
    bundles: Vec<Bundle>,
}

/// The states of a bundle with one hand position, that strike the same strings in the middle.
struct FromPlace {
    whence: Whence,
    /// What it costs to get to its cheapest state, and the number of that.
    first: (u64, u16),
    /// Where its states stand.
    states: Range<usize>,
}

impl FromPlace {
    /// Returns what a way from here costs at least, where so much is paid for what is let go.
    fn bound(&self, let_go: u64, toward: &Toward<'_>) -> u64 {
        self.first.0.saturating_add(let_go).saturating_add(toward.least_way(&self.whence))
    }
}

/// States that have all notes which ring on at the same places.
struct Bundle {
    held: HeldSpots,
    /// What it costs to get to its cheapest state.
    least: u64,
    /// Where its places stand.
    places: Range<usize>,
}

/// A bundle that fits the states to go to.
struct Fitting<'b> {
    places: &'b [FromPlace],
    /// What every way from the bundle pays for the notes that are let go.
    let_go: u64,
    /// What the cheapest way from the bundle costs at least.
    least: u64,
}

/// The best way to a state so far.
struct BestBundles {
    sum: u64,
    /// How late its place comes: of equal ways the first is taken.
    rank: (usize, usize),
    number: u16,
}

impl BestBundles {
    /// Returns whether a way of at least `sum` from the place with this rank may be the better one.
    fn may_yield_to(&self, sum: u64, rank: (usize, usize)) -> bool {
        (sum, rank) <= (self.sum, self.rank)
    }
}

/// Where the notes lie that ring across a step: ten bits for each, of which none is set for a silent one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(super) struct HeldSpots(u128);

impl HeldSpots {
    /// A bit for each note.
    const EACH: u128 = {
        let (mut each, mut note) = (0, 0);
        while note < 12 {
            each |= 1 << (10 * note);
            note += 1;
        }
        each
    };

    /// Returns where `state` has the items at `places`.
    pub(super) fn of(state: &HandState, places: &[usize]) -> Self {
        // Four bits for a string and six for a fret: twelve of them fit.
        let spots = places.iter().filter_map(|place| state.spots.get(*place));
        let held = |held, fret: u8, string: u8| held << 10 | u128::from(string & 15) << 6 | u128::from(fret & 63);
        Self(spots.fold(0, |all, spot| held(all, spot.fret, spot.string)))
    }

    /// Returns the bit of every note that sounds.
    const fn sounding(self) -> u128 {
        // A string has a number from 1 on.
        (self.0 >> 6 | self.0 >> 7 | self.0 >> 8 | self.0 >> 9) & Self::EACH
    }

    /// Returns how many notes are let go on the way to `later`; `None` where one would have to move or to sound again.
    pub(super) const fn let_go(self, later: Self) -> Option<u32> {
        let stays = later.sounding() * 0x3ff;
        if (self.0 ^ later.0) & stays == 0 { Some((self.sounding() & !later.sounding()).count_ones()) } else { None }
    }
}

impl LayerStep<'_> {
    /// Returns the cheapest way to each state of `list`.
    pub(super) fn reach(&self, list: &StateList) -> ReachedStates {
        let count = list.states.len();
        let mut reached = ReachedStates { sums: vec![u64::MAX; count], came_from: vec![0; count] };
        let ringing =
            || self.items.iter().enumerate().filter(|(_, item)| matches!(item.link, Some((_, LayerLink::Held))));
        let places_before: Vec<usize> = ringing().filter_map(|(_, item)| item.link).map(|(place, _)| place).collect();
        let places: Vec<usize> = ringing().map(|(place, _)| place).collect();
        let starts = self.starts(&places_before);
        let end = |(goal, number): &(Goal, u16)| Some((HeldSpots::of(list.get(*number)?, &places), *goal, *number));
        let mut ends: Vec<(HeldSpots, Goal, u16)> = list.by_goal.iter().filter_map(end).collect();
        if !places.is_empty() {
            ends.sort_by_key(|(held, ..)| *held);
        }
        let (mut fitting, mut bounds) = (Vec::new(), Vec::new());
        for alike in ends.chunk_by(|one, other| one.0 == other.0) {
            let Some((held, ..)) = alike.first() else { continue };
            self.fit(&starts, *held, &mut fitting);
            for alike in alike.chunk_by(|one, other| one.1 == other.1) {
                let Some(any) = alike.first().and_then(|(.., number)| list.get(*number)) else { continue };
                let toward = self.moves.toward(any, self.hurry);
                bounds.clear();
                if let Some(Fitting { places, let_go, .. }) = fitting.first() {
                    bounds.extend(places.iter().map(|place| place.bound(*let_go, &toward)));
                }
                for number in alike.iter().map(|(.., number)| *number) {
                    let ends =
                        (reached.sums.get_mut(usize::from(number)), reached.came_from.get_mut(usize::from(number)));
                    if let (Some(sum), Some(came_from), Some(state)) = (ends.0, ends.1, list.get(number)) {
                        (*sum, *came_from) = self.cheapest(&starts, &fitting, (&toward, &bounds), state);
                        *sum = sum.saturating_add(u64::from(state.cost));
                    }
                }
            }
        }
        reached
    }

    /// Sorts the states that the step may begin in by what rings on, by where the hand is and by what it costs to get to
    /// them. `ringing` are the places of the items that ring on.
    fn starts(&self, ringing: &[usize]) -> Starts<'_> {
        let start = |number: &u16| {
            let sum = self.sums.get(usize::from(*number)).copied().filter(|sum| *sum < u64::MAX)?;
            let state = self.before.get(*number)?;
            Some((HeldSpots::of(state, ringing), (state.position, state.middle), sum, *number, state))
        };
        let mut sorted: Vec<SortedState<'_>> = Vec::with_capacity(self.before.by_place.len());
        sorted.extend(self.before.by_place.iter().filter_map(start));
        if !ringing.is_empty() {
            sorted.sort_by_key(|(held, ..)| *held);
        }
        // In each bundle the states at one place stand together now; the cheapest of them comes first.
        for place in sorted.chunk_by_mut(|one, other| (one.0, one.1) == (other.0, other.1)) {
            place.sort_unstable_by_key(|(_, _, sum, number, _)| (*sum, *number));
        }
        let mut starts = Starts {
            states: sorted.iter().map(|(_, _, sum, number, state)| (*sum, *number, *state)).collect(),
            places: Vec::new(),
            bundles: Vec::new(),
        };
        let mut from = 0;
        for bundle in sorted.chunk_by(|one, other| one.0 == other.0) {
            let first_place = starts.places.len();
            for place in bundle.chunk_by(|one, other| one.1 == other.1) {
                let Some((_, _, sum, number, first)) = place.first() else { continue };
                let whence = place.iter().fold(Whence::of(first), |whence, (.., state)| whence.with(state));
                starts.places.push(FromPlace { whence, first: (*sum, *number), states: from..from + place.len() });
                from += place.len();
            }
            let end = starts.places.len();
            let Some(places) = starts.places.get_mut(first_place..end) else { continue };
            places.sort_unstable_by_key(|place| place.first);
            if let (Some((held, ..)), Some(place)) = (bundle.first(), places.first()) {
                starts.bundles.push(Bundle { held: *held, least: place.first.0, places: first_place..end });
            }
        }
        starts
    }

    /// Puts into `fitting` the bundles from which a step leads to states where the notes that ring on are `held`, the most
    /// promising first.
    fn fit<'b>(&self, starts: &'b Starts<'_>, held: HeldSpots, fitting: &mut Vec<Fitting<'b>>) {
        let fits = |bundle: &'b Bundle| {
            let let_go = self.moves.letting_go(bundle.held.let_go(held)?);
            let places = starts.places.get(bundle.places.clone())?;
            Some(Fitting { places, let_go, least: bundle.least.saturating_add(let_go) })
        };
        fitting.clear();
        fitting.extend(starts.bundles.iter().filter_map(fits));
        fitting.sort_by_key(|fitting| fitting.least);
    }

    /// Returns what it costs to get to `to`, without its own cost, and the number of the state that the cheapest way
    /// comes from. `toward` and `bounds`, those of the places of the first bundle, are of all states like it.
    fn cheapest(
        &self,
        starts: &Starts<'_>,
        fitting: &[Fitting<'_>],
        (toward, bounds): (&Toward<'_>, &[u64]),
        to: &HandState,
    ) -> (u64, u16) {
        let mut best = BestBundles { sum: u64::MAX, rank: (usize::MAX, usize::MAX), number: 0 };
        // A good way at once leaves few others to look at.
        let promising = bounds.iter().zip(0..).min_by_key(|(bound, _)| **bound).map_or(0, |(_, place)| place);
        let Some((first, others)) = fitting.split_first() else { return (best.sum, best.number) };
        let mut look = |nth: usize, place: usize, from: &FromPlace, (let_go, bound): (u64, u64)| {
            self.look(starts, from, (let_go, bound), (nth, place), to, &mut best);
            best.sum
        };
        let mut sum = first
            .places
            .get(promising)
            .zip(bounds.get(promising))
            .map_or(u64::MAX, |(from, bound)| look(0, promising, from, (first.let_go, *bound)));
        for (place, bound) in bounds.iter().enumerate() {
            if *bound <= sum && place != promising {
                let Some(from) = first.places.get(place) else { continue };
                sum = look(0, place, from, (first.let_go, *bound));
            }
        }
        for (nth, Fitting { places, let_go, least }) in others.iter().enumerate() {
            if *least >= sum {
                break;
            }
            for (place, from) in places.iter().enumerate() {
                if from.first.0.saturating_add(*let_go) >= sum {
                    break;
                }
                let bound = from.bound(*let_go, toward);
                if bound < sum {
                    sum = look(nth + 1, place, from, (*let_go, bound));
                }
            }
        }
        (best.sum, best.number)
    }

    /// Looks for a better way to `to` from the states of a place, of which the ways cost `bound` at least.
    fn look(
        &self,
        starts: &Starts<'_>,
        from: &FromPlace,
        (let_go, bound): (u64, u64),
        rank: (usize, usize),
        to: &HandState,
        best: &mut BestBundles,
    ) {
        let least = bound - from.first.0;
        for (sum, number, state) in starts.states.get(from.states.clone()).unwrap_or_default() {
            if !best.may_yield_to(sum.saturating_add(least), rank) {
                break;
            }
            let way = self.moves.way(state, to, self.hurry, self.items);
            let sum = sum.saturating_add(let_go).saturating_add(way);
            if (sum, rank) < (best.sum, best.rank) {
                *best = BestBundles { sum, rank, number: *number };
            }
        }
    }
}

/// What the bound of a way follows from, besides where it comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Goal(u32);

impl Goal {
    fn of(state: &HandState) -> Self {
        let flags = [state.free, state.is_open, state.is_chord, state.frame.count() > 1];
        let flags = flags.iter().fold(0, |all, flag| all << 1 | u32::from(*flag));
        Self(u32::from(state.position) << 16 | u32::from(state.middle) << 8 | flags)
    }
}
