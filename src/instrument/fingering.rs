//! Fingering: which finger holds which string of a shape, how far they lie apart, and how hard that is.
//!
//! Fingers go up the neck in order: a higher finger never stands on a lower fret, and on one fret the
//! lower finger takes the string with the higher number. One finger may hold several strings of one fret
//! ([`Barre`]). Among all assignments that the hand can hold the least uncomfortable one is chosen; what is
//! uncomfortable is data (`assets/fingering.ron`).
//!
//! Everything is measured from the fret wires along the strings; how thick a finger is, or how far apart the
//! strings lie, is left out.
//!
//! Reach is checked for each pair of fingers; comfort is priced alike for all hands, so that a grid does not change
//! its numbers from student to student.

use std::sync::OnceLock;

use serde::Deserialize;

use super::body::Millimetres;
use super::geometry;
use super::hand::{Barre, Finger, Hand, ThumbUse};
use super::neck::{Fret, Place, Shape, StringNumber};
use super::rig::{Rig, ShapeError};

/// The most strings there are, as a length of arrays.
pub(super) const STRINGS: usize = StringNumber::LAST as usize;

/// A string of a shape as the hand meets it: [`MUTED`], [`OPEN`], or the wire it is stopped behind, counted from the
/// nut.
pub(super) type Held = [i8; STRINGS];
pub(super) const MUTED: i8 = -1;
pub(super) const OPEN: i8 = 0;

/// How a shape is held.
#[derive(Debug, Clone, PartialEq)]
pub struct Fingering {
    /// The finger on each string, as in the shape; `None` on open and muted ones.
    pub fingers: Vec<Option<Finger>>,
    /// The barre of the lowest fret that has one; fingers may hold further strings together.
    pub barre: Option<Barre>,
    /// The distance along the neck between the outermost fingers; 0 for fewer than two.
    pub reach: Millimetres,
    /// How uncomfortable it is, in points; 0 is an open string.
    pub strain: u32,
}

impl Fingering {
    /// Returns how comfortable it is, from 100 (nothing to hold) down toward 0; half at 60 points of strain.
    pub fn comfort(&self) -> u32 {
        comfort(self.strain)
    }
}

pub(super) const fn comfort(strain: u32) -> u32 {
    6000 / (60 + strain)
}

/// Why a shape has no fingering.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FingeringError {
    /// It cannot be played on this rig at all.
    #[error(transparent)]
    Shape(#[from] ShapeError),
    /// The outermost fingers lie too far apart.
    #[error("this stretches the hand over {needed:.0} mm, and {reach:.0} mm is as far as this hand goes", needed = .needed.0, reach = .reach.0)]
    Reach {
        /// How far they lie apart.
        needed: Millimetres,
        /// How far the hand goes.
        reach: Millimetres,
    },
    /// The hand is wide enough, but there is no finger left or two that must lie too far apart.
    #[error(
        "no four fingers of this hand can hold it: expected at most four fingers, each further up the neck than the one before, and no open string under a barre"
    )]
    Fingers,
}

/// Returns the most comfortable way to hold `shape`.
///
/// Errors: a shape that does not fit the rig, stretches further than `hand`, or needs more fingers than there are.
pub fn fingering(rig: &Rig, shape: &Shape, hand: &Hand) -> Result<Fingering, FingeringError> {
    rig.check(shape)?;
    let neck = Neck::of(rig);
    let held = held(rig, shape)?;
    let needed = neck.reach(&held);
    if f64::from(needed) > hand.reach().0 + 0.001 {
        return Err(FingeringError::Reach { needed: Millimetres(f64::from(needed)), reach: hand.reach() });
    }
    let grip = Gripper::new(&neck, hand, costs(), ThumbUse::IfNeeded).best(&held);
    grip.map(|grip| grip.fingering(shape, &held, &neck)).ok_or(FingeringError::Fingers)
}

/// Returns `shape` as the hand meets it.
///
/// Errors: a place that the rig does not have.
pub(super) fn held(rig: &Rig, shape: &Shape) -> Result<Held, ShapeError> {
    let mut held = [MUTED; STRINGS];
    for ((string, fret), place) in rig.strings().zip(shape.strings()).zip(&mut held) {
        *place = match fret {
            None => MUTED,
            Some(Fret::OPEN) => OPEN,
            Some(fret) => wire_number(rig.wire(Place { string, fret: *fret })?),
        };
    }
    Ok(held)
}

fn wire_number(wire: Fret) -> i8 {
    i8::try_from(wire.number()).unwrap_or(OPEN)
}

/// Where the wires of one instrument lie, and how many strings it has.
#[derive(Debug, Clone)]
pub(super) struct Neck {
    wires: [f32; Fret::LAST as usize + 1],
    pub(super) strings: usize,
    /// The wire from which the hand counts frets: that of a capo over all strings, else the nut.
    pub(super) nut: i8,
}

impl Neck {
    pub(super) fn of(rig: &Rig) -> Self {
        let scale = rig.instrument().scale;
        let mut wires = [0.0; Fret::LAST as usize + 1];
        for (number, place) in (0..).zip(&mut wires) {
            *place = Fret::new(number).map_or(0.0, |fret| geometry::nut_to_fret(scale, fret).0 as f32);
        }
        let nut = i8::try_from(rig.played_as().capo).unwrap_or(OPEN);
        Self { wires, strings: rig.tuning().strings().len().min(STRINGS), nut }
    }

    /// Returns the distance from the nut to a wire; the last one for a wire beyond it.
    pub(super) fn at(&self, wire: i8) -> f32 {
        let place = usize::try_from(wire).unwrap_or(0);
        self.wires.get(place).copied().unwrap_or(self.wires[Fret::LAST as usize])
    }

    /// Returns the distance between the outermost stopped strings.
    pub(super) fn reach(&self, held: &Held) -> f32 {
        let stopped = || held.iter().copied().filter(|wire| *wire > OPEN);
        match (stopped().min(), stopped().max()) {
            (Some(low), Some(high)) => self.at(high) - self.at(low),
            _ => 0.0,
        }
    }
}

/// The prices of `assets/fingering.ron`, explained there.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Costs {
    stretch: u32,
    squeeze: u32,
    late_start: u32,
    fingers: [u32; 4],
    barre_extra: u32,
    index_barre: u32,
    split_pair: u32,
    off_home: u32,
    off_home_few: u32,
    middle_barre: u32,
    ring_barre: u32,
    little_barre: u32,
    bent_barre: u32,
    open_beside: u32,
    damped: u32,
    beside_index: u32,
    thumb: u32,
    first_frets: u32,
}

pub(super) fn costs() -> &'static Costs {
    static COSTS: OnceLock<Costs> = OnceLock::new();
    COSTS.get_or_init(|| {
        ron::from_str(include_str!("../../assets/fingering.ron")).expect("a test reads the table that is compiled in")
    })
}

/// A fingering in its smallest form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct PackedFingering {
    /// The finger on each string: 0 for none, 1 to 4 from the index to the little finger, [`THUMB`] for the thumb.
    pub(super) fingers: [u8; STRINGS],
    /// How hard it is to hold.
    pub(super) strain: u32,
}

/// The thumb, in a fingering in its smallest form.
const THUMB: u8 = 5;

/// A strain that is greater than that of any grip.
pub(super) const UNBOUNDED: u32 = u32::MAX - 1;

/// The fewest strings where a thumb comes over the neck: on the narrow necks with fewer nobody needs it.
pub(super) const THUMB_STRINGS: usize = 5;

impl PackedFingering {
    pub(super) fn fingering(&self, shape: &Shape, held: &Held, neck: &Neck) -> Fingering {
        let finger = |number: u8| if number == THUMB { Some(Finger::Thumb) } else { Finger::numbered(number) };
        Fingering {
            fingers: self.fingers.iter().take(neck.strings).map(|number| finger(*number)).collect(),
            barre: self.barre(shape, neck.strings),
            reach: Millimetres(f64::from(neck.reach(held))),
            strain: self.strain,
        }
    }

    /// Returns how many fingers are down, the thumb among them.
    pub(super) fn count(&self) -> u32 {
        (1..=THUMB).filter(|finger| self.fingers.contains(finger)).count() as u32
    }

    /// Returns over how many strings the widest barre lies; 1 where no finger holds more, 0 where none is down.
    pub(super) fn widest_barre(&self) -> usize {
        let under = |finger: u8| {
            let from = self.fingers.iter().position(|other| *other == finger)?;
            let to = self.fingers.iter().rposition(|other| *other == finger)?;
            Some(to - from + 1)
        };
        (1..=4).filter_map(under).max().unwrap_or(0)
    }

    /// Returns whether the little finger lies across strings while the ring finger is free.
    pub(super) fn lays_little_alone(&self) -> bool {
        let strings = |finger: u8| self.fingers.iter().filter(|other| **other == finger).count();
        strings(4) > 1 && strings(3) == 0
    }

    /// Returns whether the thumb comes over the neck.
    pub(super) fn has_thumb(&self) -> bool {
        self.fingers.contains(&THUMB)
    }

    /// Returns the ease, as [`Fingering::comfort`].
    pub(super) const fn comfort(&self) -> u32 {
        comfort(self.strain)
    }

    /// Returns the barre of the lowest finger that holds more than one string.
    fn barre(&self, shape: &Shape, strings: usize) -> Option<Barre> {
        (1..=4).find_map(|finger| {
            let from = self.fingers.iter().position(|other| *other == finger)?;
            let to = self.fingers.iter().rposition(|other| *other == finger)?;
            let fret = (*shape.strings().get(from)?)?;
            let (from, to) = (StringNumber::at(from, strings)?, StringNumber::at(to, strings)?);
            (from != to).then_some(Barre { fret, from, to })
        })
    }
}

/// What finding a grip needs to know.
pub(super) struct Gripper<'a> {
    neck: &'a Neck,
    hand: &'a Hand,
    costs: &'a Costs,
    thumb: ThumbUse,
    /// What a finger after the first costs at least.
    cheapest: u32,
}

impl<'a> Gripper<'a> {
    pub(super) fn new(neck: &'a Neck, hand: &'a Hand, costs: &'a Costs, thumb: ThumbUse) -> Self {
        let [_, middle, ring, little] = costs.fingers;
        Self { neck, hand, costs, thumb, cheapest: middle.min(ring).min(little) }
    }

    /// Returns the least strain of a grip with as many fingers, a thumb not counted.
    pub(super) fn least(&self, fingers: u32) -> u32 {
        let first = self.cheapest.min(self.costs.fingers[0]);
        if fingers == 0 { 0 } else { first + (fingers - 1) * self.cheapest }
    }
}

/// The stopped strings in the order fingers take them: by wire, then from the highest string number down.
struct StoppedStrings {
    strings: [u8; STRINGS],
    wires: [i8; STRINGS],
    count: usize,
    /// How many fingers the strings from each place on take at least.
    fewest: [u8; STRINGS + 1],
    /// Whether some string sounds open.
    open: bool,
    /// The most fingers that may be down.
    most: usize,
}

impl StoppedStrings {
    fn of(held: &Held, strings: usize, skip: usize) -> Self {
        let open = held[..strings].contains(&OPEN);
        let (strings_of, wires_of) = ([0; STRINGS], [0; STRINGS]);
        let mut stopped =
            Self { strings: strings_of, wires: wires_of, count: 0, fewest: [0; STRINGS + 1], open, most: 4 };
        for (string, wire) in held.iter().copied().enumerate().take(strings).skip(skip) {
            if wire > OPEN {
                let mut at = stopped.count;
                while at > 0 && stopped.wires[at - 1] > wire {
                    stopped.wires[at] = stopped.wires[at - 1];
                    stopped.strings[at] = stopped.strings[at - 1];
                    at -= 1;
                }
                stopped.wires[at] = wire;
                stopped.strings[at] = u8::try_from(string).unwrap_or(0);
                stopped.count += 1;
            }
        }
        for at in (0..stopped.count).rev() {
            let alone = at + 1 == stopped.count || !stopped.may_join(held, at);
            stopped.fewest[at] = stopped.fewest[at + 1] + u8::from(alone);
        }
        stopped
    }

    /// Returns whether some finger may hold the string at place `at` together with the next.
    fn may_join(&self, held: &Held, at: usize) -> bool {
        let (from, to) = (usize::from(self.strings[at]), usize::from(self.strings[at + 1]));
        let wire = self.wires[at];
        // Above the lowest wire only the tip is left, which holds neighbours.
        wire == self.wires[at + 1] && (to == from + 1 || wire == self.wires[0] && !held[from + 1..to].contains(&OPEN))
    }

    /// Returns whether `group` is two strings, and the others are stopped at one fret, none of them before it: two
    /// pairs of fingers side by side hold that as well as a barre and two fingers.
    fn are_pairs(&self, group: &std::ops::Range<usize>) -> bool {
        let others = &self.wires[group.end..self.count];
        let lowest_string = self.strings[group.start];
        group.len() == 2
            && others.iter().all(|wire| *wire == others[0])
            && self.strings[group.end..self.count].iter().all(|string| *string > lowest_string)
    }
}

/// The fingers put down so far: their wires, 0 where they are free.
#[derive(Clone, Copy)]
struct FingersDown {
    wires: [i8; 4],
    last: Option<usize>,
    strain: u32,
}

impl Gripper<'_> {
    /// Returns the most comfortable grip; `None` where the hand cannot hold it.
    pub(super) fn best(&self, held: &Held) -> Option<PackedFingering> {
        self.best_within(held, UNBOUNDED)
    }

    /// Returns the same as [`Gripper::best`], or perhaps `None` where the strain is above `most` points.
    pub(super) fn best_within(&self, held: &Held, most: u32) -> Option<PackedFingering> {
        let stopped = StoppedStrings::of(held, self.neck.strings, 0);
        if self.thumb == ThumbUse::Never || held[0] <= OPEN || self.neck.strings < THUMB_STRINGS {
            return self.fingers_only(held, &stopped, most);
        }
        // The thumb is for what fingers alone cannot hold, not for what strains them.
        self.fingers_only(held, &stopped, UNBOUNDED).or_else(|| self.with_thumb(held))
    }

    fn fingers_only(&self, held: &Held, stopped: &StoppedStrings, most: u32) -> Option<PackedFingering> {
        let none = PackedFingering { fingers: [0; STRINGS], strain: most.saturating_add(1) };
        let mut best = none;
        let mut trial = PackedFingering { fingers: [0; STRINGS], strain: 0 };
        let down = FingersDown { wires: [0; 4], last: None, strain: 0 };
        self.put_down(held, stopped, 0, down, &mut trial, &mut best);
        (best.strain != none.strain).then_some(best)
    }

    /// Returns the grip in which the thumb takes the string with the highest number and the fingers take the rest;
    /// Returns `None` where the hand cannot hold that.
    fn with_thumb(&self, held: &Held) -> Option<PackedFingering> {
        let mut stopped = StoppedStrings::of(held, self.neck.strings, 1);
        stopped.most = if self.hand.has_thumb_beside_four() { 4 } else { 3 };
        let mut grip = self.fingers_only(held, &stopped, UNBOUNDED)?;
        let lowest = (0..stopped.count).map(|at| stopped.wires[at]).min()?;
        if (self.neck.at(held[0]) - self.neck.at(lowest)).abs() > self.hand.thumb() {
            return None;
        }
        grip.fingers[0] = THUMB;
        grip.strain += self.costs.thumb;
        Some(grip)
    }

    /// Puts fingers on the stopped strings from place `at` on, and keeps the best whole assignment.
    fn put_down(
        &self,
        held: &Held,
        stopped: &StoppedStrings,
        at: usize,
        down: FingersDown,
        trial: &mut PackedFingering,
        best: &mut PackedFingering,
    ) {
        if at == stopped.count {
            let fingers = down.wires.iter().filter(|wire| **wire != 0).count();
            if down.strain < best.strain && fingers <= stopped.most {
                *best = PackedFingering { strain: down.strain, ..*trial };
            }
            return;
        }
        let wire = stopped.wires[at];
        let mut end = at;
        // One string, or a barre over ever more strings of the same fret.
        while end < stopped.count && stopped.wires[end] == wire {
            end += 1;
            let lie = if end - at > 1 { self.lie(held, stopped, at..end) } else { Some(Lie::SINGLE) };
            // What one finger cannot hold it cannot hold together with more.
            let Some(lie) = lie else { return };
            let first_finger = down.last.map_or(0, |last| last + 1);
            let still = usize::from(stopped.fewest[end]);
            let least = self.cheapest * still as u32;
            for finger in first_finger..4usize.saturating_sub(still) {
                if down.strain + self.costs.fingers[finger] + least >= best.strain {
                    continue;
                }
                let Some(next) = self.with_finger(held, stopped, (wire, lie), down, finger) else { continue };
                if next.strain + least >= best.strain {
                    continue;
                }
                for place in at..end {
                    trial.fingers[usize::from(stopped.strings[place])] = finger as u8 + 1;
                }
                self.put_down(held, stopped, end, next, trial, best);
            }
        }
    }

    /// Puts one finger down; `None` where the hand does not reach or the barre is impossible.
    fn with_finger(
        &self,
        held: &Held,
        stopped: &StoppedStrings,
        (wire, lie): (i8, Lie),
        down: FingersDown,
        finger: usize,
    ) -> Option<FingersDown> {
        let costs = self.costs;
        let mut strain = down.strain + costs.fingers[finger] + lie.price(finger, costs)?;
        match down.last {
            None => strain += self.start(held, stopped, wire, finger),
            Some(last) => {
                for earlier in (0..=last).filter(|earlier| down.wires[*earlier] != 0) {
                    let apart = self.neck.at(wire) - self.neck.at(down.wires[earlier]);
                    if apart > self.hand.pair(earlier, finger) {
                        return None;
                    }
                }
                let apart = self.neck.at(wire) - self.neck.at(down.wires[last]);
                let steps = (finger - last) as u32;
                let easy = self.hand.comfort() * steps as f32;
                if apart > easy {
                    strain += ((apart - easy) * costs.stretch as f32 / 10.0) as u32;
                }
                let frets = (wire - down.wires[last]) as u32;
                strain += costs.squeeze * steps.saturating_sub(frets.max(1));
                // The index finger is in its way: it would hold these strings itself, were none open between.
                if lie.spans > 1 && down.wires[0] == wire {
                    strain += costs.beside_index;
                }
            }
        }
        let mut wires = down.wires;
        wires[finger] = wire;
        Some(FingersDown { wires, last: Some(finger), strain })
    }

    /// Returns what it costs that `finger` is the first one used. Beside open strings each finger has a fret of its own
    /// from the nut, as in open position.
    fn start(&self, held: &Held, stopped: &StoppedStrings, wire: i8, finger: usize) -> u32 {
        let fret = wire - self.neck.nut;
        if stopped.open && fret <= 3 {
            let home = usize::try_from(fret - 1).unwrap_or(0);
            // Where the two strings beside an open bass string are stopped, the hand has the shape of E minor.
            let e_minor = self.neck.strings > 4 && held[..3] == [OPEN, self.neck.nut + 2, self.neck.nut + 2];
            let price = if stopped.count <= 2 || e_minor { self.costs.off_home_few } else { self.costs.off_home };
            price * finger.abs_diff(home) as u32
        } else {
            self.costs.late_start * finger as u32
        }
    }

    /// Returns how one finger lies over the strings of `group`, at least two; `None` where no finger can.
    fn lie(&self, held: &Held, stopped: &StoppedStrings, group: std::ops::Range<usize>) -> Option<Lie> {
        let costs = self.costs;
        let wire = stopped.wires[group.start];
        let from = usize::from(stopped.strings[group.start]);
        let to = usize::from(stopped.strings[group.end - 1]);
        let (mut damped, mut higher) = (0, false);
        for under in &held[from + 1..to] {
            match *under {
                MUTED => damped += 1,
                other if other < wire => return None,
                other if other > wire => higher = true,
                _ => {}
            }
        }
        if damped > 1 {
            return None;
        }
        let spans = (to - from + 1) as u32;
        let mut strain = costs.barre_extra * (spans - 1) + costs.damped * damped;
        if wire - self.neck.nut <= 2 {
            strain += costs.first_frets;
        }
        let beyond = &held[to + 1..self.neck.strings];
        let (mut index, mut tip) = (strain + costs.index_barre, strain);
        match beyond.first() {
            _ if beyond.contains(&OPEN) => (index, tip) = (index + costs.open_beside, tip + costs.open_beside),
            // A flat index finger would hold the next string of the same fret as well.
            Some(next) if *next == wire => index += costs.open_beside,
            Some(next) if *next > OPEN && *next < wire => {
                (index, tip) = (index + costs.bent_barre, tip + costs.bent_barre)
            }
            _ => {}
        }
        if higher && stopped.are_pairs(&group) {
            index += costs.split_pair;
        }
        // Only the index finger lies flat enough for others to work above it, or to spare one string.
        Some(Lie { index, tip: (damped == 0 && !higher).then_some(tip), spans })
    }
}

/// How one finger lies over strings, whichever it is.
#[derive(Clone, Copy)]
struct Lie {
    /// What that costs the index finger.
    index: u32,
    /// What it costs another one beside its own price; `None` where it cannot.
    tip: Option<u32>,
    /// How many strings lie under it.
    spans: u32,
}

impl Lie {
    /// A fingertip on one string.
    const SINGLE: Self = Self { index: 0, tip: Some(0), spans: 1 };

    /// Returns what it costs `finger`, index 0 to little 3; `None` where that cannot lie so.
    fn price(self, finger: usize, costs: &Costs) -> Option<u32> {
        let (own, longest) = match finger {
            0 => return Some(self.index),
            1 => (costs.middle_barre, 4),
            2 => (costs.ring_barre, 4),
            _ => (costs.little_barre, 3),
        };
        match self.spans {
            1 => Some(0),
            spans if spans <= longest => self.tip.map(|tip| tip + own),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests;
