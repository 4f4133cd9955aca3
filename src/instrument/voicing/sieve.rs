//! The sieve: what a progression can do without, seen before the fingers are found.
//!
//! Finding the fingers of a shape is most of the work of a search. Where a voicing of the same lowest wire, or of
//! another, is cheaper by more than the way to it and back can cost, a shape is never part of a best path, whatever its
//! fingers.

use super::board::ChordBoard;
use super::found_voicing::Hit;
use super::limits::WIRES;
use super::stance::{Stance, Yardstick};
use crate::instrument::fingering::Held;

/// The cheapest voicing so far of each lowest wire.
pub(super) struct Sieve<'a> {
    yardstick: Yardstick<'a>,
    cheapest: [Option<CheapestOfWire>; WIRES],
    /// The most points that a voicing of the lowest wire that is searched may cost without being dropped because of the
    /// other wires.
    beside: u32,
}

/// The cheapest voicing so far of one lowest wire.
#[derive(Clone, Copy)]
struct CheapestOfWire {
    /// What it costs, in points.
    cost: u32,
    stance: Stance,
    /// [`Yardstick::farthest`] without and with a thumb on the lowest wire.
    farthest: [u32; 2],
}

impl<'a> Sieve<'a> {
    /// Makes a sieve that knows of no voicing yet.
    pub(super) fn of(board: &'a ChordBoard) -> Self {
        Self { yardstick: Yardstick::of(board), cheapest: [None; WIRES], beside: u32::MAX }
    }

    /// Returns whether a progression can do without `held`, which costs `least` points or more.
    pub(super) fn drops(&self, least: u32, lowest: i8, held: &Held) -> bool {
        let cheapest = usize::try_from(lowest).ok().and_then(|wire| self.cheapest.get(wire)?.as_ref());
        cheapest.is_some_and(|CheapestOfWire { cost, stance, farthest }| {
            let there_and_back = 2 * farthest[usize::from(held[0] == lowest)];
            cost + there_and_back <= least && cost + there_and_back + 2 * self.yardstick.tones(stance, held) <= least
        })
    }

    /// Prepares for a lowest wire, by what is known of the wires that were searched before it.
    pub(super) fn enter(&mut self, lowest: i8) {
        let most = |cheapest: &CheapestOfWire| {
            let farthest = [false, true].map(|thumb| self.yardstick.farthest(&cheapest.stance, lowest, thumb));
            self.most(cheapest.cost, farthest)
        };
        self.beside = self.cheapest.iter().flatten().map(most).min().unwrap_or(u32::MAX);
    }

    /// Returns the most that a voicing of this lowest wire may cost without being dropped for its price alone.
    pub(super) fn ceiling(&self, lowest: i8) -> u32 {
        let cheapest = usize::try_from(lowest).ok().and_then(|wire| self.cheapest.get(wire)?.as_ref());
        let here = cheapest.map_or(u32::MAX, |cheapest| self.most(cheapest.cost, cheapest.farthest));
        here.min(self.beside)
    }

    /// Returns the most points that a voicing may cost without being dropped because of one that costs `cost`.
    fn most(&self, cost: u32, farthest: [u32; 2]) -> u32 {
        let [plain, thumb] = farthest;
        (cost + 2 * plain.max(thumb) + 2 * self.yardstick.most_tones()).saturating_sub(1)
    }

    /// Remembers a voicing.
    pub(super) fn note(&mut self, hit: &Hit, lowest: i8) {
        let place = usize::try_from(lowest).ok().and_then(|wire| self.cheapest.get_mut(wire));
        if let Some(place) = place.filter(|place| place.is_none_or(|cheapest| hit.cost < cheapest.cost)) {
            let stance = self.yardstick.of_hit(hit);
            let farthest = [false, true].map(|thumb| self.yardstick.farthest(&stance, lowest, thumb));
            *place = Some(CheapestOfWire { cost: hit.cost, stance, farthest });
        }
    }
}
