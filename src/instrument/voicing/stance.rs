//! Stances: where every finger of a voicing is, in the compact form in which thousands are compared.
//!
//! The distance of two stances is what `assets/movement.ron` charges for going from one to the other. It is the sum
//! of distances in which each part is a metric (places along the neck, ends across the strings, the set of pitches,
//! the highest note), so that no detour over a third stance is ever cheaper. The search of [`super::path`] needs
//! that where the detour leads over another voicing of the same chord, and so power chords may charge something more
//! among each other: the strings on which they do not both stand, and an open string that only one of them has.

use std::sync::OnceLock;

use serde::Deserialize;

use super::board::ChordBoard;
use super::found_voicing::Hit;
use super::limits::{SPAN, WIRES};
use crate::instrument::fingering::{Fingering, Held, OPEN};
use crate::instrument::hand::Finger;
use crate::theory::pitch_set::PitchSet;

/// The prices of `assets/movement.ron`, explained there.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct MovementPrices {
    hand: u32,
    neck: u32,
    edge: u32,
    shift: u32,
    leave: u32,
    lift: u32,
    tone: u32,
    top: u32,
    power: u32,
}

/// Returns the prices that are compiled in.
pub(super) fn prices() -> &'static MovementPrices {
    static PRICES: OnceLock<MovementPrices> = OnceLock::new();
    PRICES.get_or_init(|| {
        ron::from_str(include_str!("../../../assets/movement.ron")).expect("a test reads the table that is compiled in")
    })
}

/// The thumb and the four fingers, in the order of [`Finger`].
pub(super) const FINGERS: [Finger; 5] = [Finger::Thumb, Finger::Index, Finger::Middle, Finger::Ring, Finger::Little];

/// What one finger holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct FingerHold {
    /// The wire; 0 where the finger is up.
    pub(super) wire: u8,
    /// The places of its outermost strings in the order of shapes.
    pub(super) from: u8,
    pub(super) to: u8,
    /// Where the wire lies along the neck, in points.
    along: i16,
}

impl FingerHold {
    /// Returns whether the finger holds nothing.
    pub(super) const fn is_up(self) -> bool {
        self.wire == 0
    }
}

/// Where the hand and its fingers are, and what sounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stance {
    /// The pitches that sound, as bits.
    pitches: u128,
    pub(super) holds: [FingerHold; 5],
    /// Where the hand is along the neck, in points.
    along: i16,
    /// The highest MIDI note that sounds.
    top: u8,
    /// The wire where the index finger is or would be. A hand with no finger down waits at the first.
    pub(super) position: u8,
    /// The strings that sound, as bits, where root and fifth are all that sounds, and [`OPEN_STRING`]; 0 for every other chord.
    power: u16,
}

/// The bit that says whether a chord of root and fifth alone has an open string: none of a string, as there are twelve at most.
const OPEN_STRING: u16 = 1 << 15;

/// A board with the wires measured in points.
pub(super) struct Yardstick<'a> {
    board: &'a ChordBoard,
    /// The place of each wire in points: as the way of a finger is charged, and as that of the hand is.
    finger: [i16; WIRES],
    hand: [i16; WIRES],
}

impl<'a> Yardstick<'a> {
    /// Measures the wires of `board`.
    pub(super) fn of(board: &'a ChordBoard) -> Self {
        let prices = prices();
        let mut yardstick = Self { board, finger: [0; WIRES], hand: [0; WIRES] };
        for (wire, (finger, hand)) in (0..).zip(yardstick.finger.iter_mut().zip(&mut yardstick.hand)) {
            let points = |price: u32| (board.neck.at(wire) * price as f32 / 10.0).round() as i16;
            (*finger, *hand) = (points(prices.neck), points(prices.hand));
        }
        yardstick
    }

    /// Returns the stance of a voicing that was found.
    pub(super) fn of_hit(&self, hit: &Hit) -> Stance {
        // A grip counts the thumb as 5, and 0 as none.
        let finger = |string: usize| hit.grip.fingers[string].checked_sub(1);
        self.stance(&hit.held, |string| finger(string).map(|finger| (usize::from(finger) + 1) % 5))
    }

    /// Returns the stance of a shape that is held by `fingering`.
    pub(super) fn of_fingering(&self, held: &Held, fingering: &Fingering) -> Stance {
        let finger = |string: usize| fingering.fingers.get(string).copied().flatten();
        self.stance(held, |string| finger(string).map(|finger| finger as usize))
    }

    /// Returns the most points that it costs, without the tones, to go from `stance` to any voicing whose lowest wire
    /// is `lowest`: every finger goes to another place, and the hand to the farthest place from which a finger reaches
    /// that wire. A thumb on the lowest wire lets the hand be further up.
    pub(super) fn farthest(&self, stance: &Stance, lowest: i8, thumb: bool) -> u32 {
        let prices = prices();
        let most = |hold: &FingerHold| if hold.is_up() { prices.lift } else { 2 * prices.lift };
        let lowest = usize::try_from(lowest).unwrap_or(0);
        let positions = lowest.saturating_sub(3).max(1)..=if thumb { lowest + SPAN as usize } else { lowest.max(1) };
        let hands = positions.filter_map(|wire| self.hand.get(wire));
        let hand = hands.map(|hand| u32::from(hand.abs_diff(stance.along))).max().unwrap_or(0);
        let other_strings = if stance.power == 0 { 0 } else { (self.board.strings as u32 + 1) * prices.power };
        stance.holds.iter().map(most).sum::<u32>() + hand + other_strings
    }

    /// Returns what it costs, in points, to go from the tones of `stance` to those of `held`.
    pub(super) fn tones(&self, stance: &Stance, held: &Held) -> u32 {
        let notes = held.iter().enumerate().take(self.board.strings);
        let notes = notes.filter_map(|(string, wire)| self.board.note(string, *wire));
        let (pitches, top) =
            notes.fold((0, 0), |(pitches, top), note| (pitches | 1u128 << (note & 127), note.max(top)));
        stance.tones(pitches, top, prices())
    }

    /// Returns the most points that it can cost to go from the tones of one stance to those of another.
    pub(super) fn most_tones(&self) -> u32 {
        let prices = prices();
        // All strings of both sound, and nothing twice.
        self.board.strings as u32 * prices.tone + 12 * prices.top
    }

    /// Returns the stance of `held`, where `finger_on` tells which of [`FINGERS`] is on a string.
    fn stance(&self, held: &Held, finger_on: impl Fn(usize) -> Option<usize>) -> Stance {
        let board = self.board;
        let mut holds = [FingerHold::default(); 5];
        let (mut pitches, mut top) = (0, 0);
        let (mut classes, mut strings) = (PitchSet::EMPTY, 0);
        for (string, wire) in held.iter().copied().enumerate().take(board.strings) {
            if let Some(note) = board.note(string, wire) {
                pitches |= 1u128 << (note & 127);
                top = top.max(note);
                classes = classes.with_class(note % 12);
                strings |= 1 << string | if wire == OPEN { OPEN_STRING } else { 0 };
            }
            let hold = finger_on(string).and_then(|finger| holds.get_mut(finger));
            let (Some(hold), Ok(wire), Ok(place)) = (hold, u8::try_from(wire), u8::try_from(string)) else { continue };
            if wire == 0 {
                continue;
            }
            let from = if hold.is_up() { place } else { hold.from };
            *hold = FingerHold { wire, from, to: place, along: self.finger[usize::from(wire)] };
        }
        let position = position(&holds);
        let power = if classes.len() == 2 { strings } else { 0 };
        Stance { pitches, holds, along: self.hand[usize::from(position)], top, position, power }
    }
}

impl Stance {
    /// Returns what it costs, in points, to go from one stance to the other. It is the same both ways, and 0 between
    /// stances that are the same.
    pub(super) fn distance(&self, other: &Self, prices: &MovementPrices) -> u32 {
        let fingers = self.holds.iter().zip(&other.holds).map(|(before, after)| prices.finger(*before, *after));
        self.outline(other, prices) + fingers.sum::<u32>()
    }

    /// Returns the part of the distance that is quickly found: all of it but the fingers, in points.
    pub(super) fn outline(&self, other: &Self, prices: &MovementPrices) -> u32 {
        // A row of power chords is one form that slides on its strings.
        let both = self.power != 0 && other.power != 0;
        let strings = if both { (self.power ^ other.power).count_ones() * prices.power } else { 0 };
        u32::from(self.along.abs_diff(other.along)) + self.tones(other.pitches, other.top, prices) + strings
    }

    /// Returns what it costs, in points, to go to `pitches`, of which `top` is the highest.
    fn tones(&self, pitches: u128, top: u8, prices: &MovementPrices) -> u32 {
        (self.pitches ^ pitches).count_ones().div_ceil(2) * prices.tone
            + u32::from(self.top.abs_diff(top)).min(12) * prices.top
    }
}

/// Returns the wire where the index finger is or would be.
fn position(holds: &[FingerHold; 5]) -> u8 {
    let [thumb, fingers @ ..] = holds;
    let lowest = (0..).zip(fingers).find(|(_, hold)| !hold.is_up());
    lowest.map_or(thumb.wire, |(finger, hold)| hold.wire.saturating_sub(finger)).max(1)
}

impl MovementPrices {
    /// Returns what the way of one finger costs, in points.
    fn finger(&self, before: FingerHold, after: FingerHold) -> u32 {
        if before == after {
            return 0;
        }
        if before.is_up() || after.is_up() {
            return self.lift;
        }
        let edges = u32::from(before.from.abs_diff(after.from)) + u32::from(before.to.abs_diff(after.to));
        let across = if edges == 0 { 0 } else { self.leave + edges * self.edge };
        let along = u32::from(before.along.abs_diff(after.along));
        (self.shift + across + along).min(2 * self.lift)
    }
}
