//! What it costs to get from one layer to the next.

use super::board::LineBoard;
use super::candidates::{Frame, HandState, PressedFinger};
use super::layers::{Layer, LayerLink, LayerNote};
use super::line::Joined;
use super::weights::{Cost, Weights, thousandths};
use crate::instrument::neck::StringNumber;

/// The number of parts in which factors are counted.
const ONE: u64 = 1024;

/// The costs of moves in thousandths, computed once for a board.
pub(super) struct MoveCosts {
    /// The number of hand positions, position 0 among them.
    positions: usize,
    /// The cost of a move along the neck, by the position before and the one after.
    along: Vec<Cost>,
    /// The cost of a move across the strings, by twice the number of strings.
    across: Vec<Cost>,
    /// The factor where a finger leads the hand, in parts of [`ONE`].
    guided: u64,
    /// The factor where the whole form moves along the neck, in parts of [`ONE`].
    framed: u64,
    frames: FrameCosts,
    moved_again: Cost,
    runs: RunCosts,
    roll: Cost,
    hop: Cost,
    regrip: Cost,
    take_over: Cost,
    let_go: Cost,
    broken_join: Cost,
}

/// What a note of a run costs, where it is open among stopped ones or is stopped low on the neck.
#[derive(Debug, Clone, Copy)]
struct RunCosts {
    open: Cost,
    low: Cost,
    /// The position from which on none is low.
    below: u8,
}

/// What it costs that of two moments with equally many notes one is not the other moved along the neck.
#[derive(Debug, Clone, Copy)]
struct FrameCosts {
    other_strings: Cost,
    other_strings_here: Cost,
    other_shape: Cost,
    open_among: Cost,
}

impl FrameCosts {
    fn new(weights: &Weights) -> Self {
        Self {
            other_strings: thousandths(weights.other_strings),
            other_strings_here: thousandths(weights.other_strings_here),
            other_shape: thousandths(weights.other_shape),
            open_among: thousandths(weights.open_among),
        }
    }
}

/// How hard-pressed the hand is between two layers, in parts of [`ONE`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Hurry {
    /// The factor for a hand that holds nothing, which has the whole time.
    free: u64,
    /// The factor for a hand that holds something, which has the silence and a share of the rest.
    holding: u64,
    /// How fast a run goes: none of [`ONE`] where an open string sounds like any other note of it.
    run: u64,
}

impl Hurry {
    /// Returns how hard-pressed the hand is from `layer` to the next one.
    pub(super) fn after(layer: &Layer, board: &LineBoard<'_>) -> Self {
        let weights = board.weights;
        let factor = |time: f64| {
            let factor = 1.0 / (1.0 / weights.hurried_most + time / weights.unhurried_ms);
            // A cast saturates.
            (factor.max(weights.shift_least) * ONE as f64).round() as u64
        };
        let (whole, silence) = (layer.until_next as f64, layer.silence as f64);
        let run = (1.0 - whole / weights.run_ms).max(0.0);
        let run = if board.has_fifths_frame() || !layer.runs_on { 0 } else { (run * ONE as f64).round() as u64 };
        Self { run, free: factor(whole), holding: factor(silence + (whole - silence) * weights.share_of_stopped) }
    }
}

/// What the states at one place have in common: one hand position and one middle of the strings that are struck.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Whence {
    position: u8,
    middle: u8,
    /// Whether no finger holds anything; `None` where that differs.
    is_free: Option<bool>,
    /// Whether nothing but open strings is struck; `None` where that differs.
    is_open: Option<bool>,
    /// Whether several notes sound in any of them.
    some_chord: bool,
}

impl Whence {
    /// Returns the place of one state.
    pub(super) const fn of(state: &HandState) -> Self {
        Self {
            position: state.position,
            middle: state.middle,
            is_free: Some(state.free),
            is_open: Some(state.is_open),
            some_chord: state.is_chord,
        }
    }

    /// Returns what a place has in common with another state there.
    pub(super) fn with(self, state: &HandState) -> Self {
        Self {
            is_free: self.is_free.filter(|free| *free == state.free),
            is_open: self.is_open.filter(|open| *open == state.is_open),
            some_chord: self.some_chord || state.is_chord,
            ..self
        }
    }
}

/// What the bounds of the ways to a state follow from.
pub(super) struct Toward<'a> {
    /// The cost of a move along the neck, by the position before.
    along: &'a [Cost],
    /// The cost of a move across the strings, by twice the number of strings.
    across: &'a [Cost],
    /// The least factor of a move along the neck, in parts of [`ONE`].
    least: u64,
    hurry: Hurry,
    middle: u8,
    is_free: bool,
    is_open: bool,
    is_chord: bool,
    /// The costs of a run: of an open note among stopped ones, and of a low one.
    opened: u64,
    low: u64,
}

impl Toward<'_> {
    /// Returns what [`way`](MoveCosts::way) comes to at the least, from any of the states at one place.
    #[inline]
    pub(super) fn least_way(&self, from: &Whence) -> u64 {
        let short = from.middle == 0 || self.middle == 0;
        let strings = if short { 0 } else { from.middle.abs_diff(self.middle) };
        let across = self.across.get(usize::from(strings)).copied().unwrap_or_default();
        let along = self.along.get(usize::from(from.position)).copied().unwrap_or_default();
        let hurry = match from.is_free {
            Some(true) => self.hurry.free,
            Some(false) => self.hurry.holding,
            None => self.hurry.free.min(self.hurry.holding),
        };
        let way = u64::from(across) + u64::from(along) * self.least / ONE * hurry / ONE;
        if from.some_chord || self.is_chord {
            return way;
        }
        // A hand that holds nothing differs from every hand that holds something.
        let other_hold = from.is_free == Some(!self.is_free) && from.is_open == Some(!self.is_open);
        way + self.low + if other_hold && !short { self.opened } else { 0 }
    }
}

impl MoveCosts {
    /// Works out the costs of all moves on `board`.
    pub(super) fn new(board: &LineBoard<'_>) -> Self {
        let weights = board.weights;
        let mut along = Vec::new();
        for from in 0..=board.last {
            for to in 0..=board.last {
                let cost = if from == to {
                    0.0
                } else {
                    weights.shift + weights.shift_mm * board.distance(from, to).min(weights.shift_most)
                };
                along.push(thousandths(cost));
            }
        }
        let across = (0..=2 * StringNumber::LAST).map(|half| {
            let strings = f64::from(half) / 2.0;
            thousandths(strings.min(1.0) * weights.next_string + (strings - 1.0).max(0.0) * weights.skipped_string)
        });
        Self {
            positions: usize::from(board.last) + 1,
            along,
            across: across.collect(),
            guided: (weights.guided * ONE as f64).round() as u64,
            framed: (weights.framed * ONE as f64).round() as u64,
            frames: FrameCosts::new(weights),
            moved_again: thousandths(weights.moved_again),
            runs: RunCosts {
                open: thousandths(weights.open_in_run),
                low: thousandths(weights.low_in_run),
                below: weights.low_below,
            },
            roll: thousandths(weights.roll),
            hop: thousandths(weights.hop),
            regrip: thousandths(weights.regrip),
            take_over: thousandths(weights.take_over),
            let_go: thousandths(weights.let_go),
            broken_join: thousandths(weights.broken_join),
        }
    }

    /// Returns what the step from `from` to `to` costs, in thousandths; `None` where the two do not fit together.
    /// `items` are those of the later layer.
    #[cfg(test)]
    pub(super) fn step(&self, from: &HandState, to: &HandState, hurry: Hurry, items: &[LayerNote]) -> Option<u64> {
        Some(self.let_go(from, to, items)? + self.way(from, to, hurry, items))
    }

    /// Returns what the step from `from` to `to` costs besides letting go of notes that ring, in thousandths, where the
    /// two fit together. `items` are those of the later layer.
    pub(super) fn way(&self, from: &HandState, to: &HandState, hurry: Hurry, items: &[LayerNote]) -> u64 {
        let linked = self.links(from, to, items);
        let across = self.across(from.middle, to.middle);
        let pressed = u64::from(self.along(from.position, to.position)) + self.same_fingers(from, to);
        let regripped = self.regripped(from, to);
        let series = from.frame.count() > 1 && from.frame.count() == to.frame.count();
        let moved = from.position != to.position;
        let pressed = if series && moved && from.frame.moves_to(to.frame) {
            (pressed + regripped) * self.framed / ONE
        } else if moved && is_guided(from, to) {
            pressed * self.guided / ONE + regripped
        } else {
            pressed + regripped
        };
        // A short string is there to be played open: it lies in the middle of none.
        let short = from.middle == 0 || to.middle == 0;
        let several = from.is_chord || to.is_chord;
        let opened = if several || short || from.holds == to.holds || from.is_open == to.is_open {
            0
        } else {
            u64::from(self.runs.open) * hurry.run / ONE
        };
        let low = if several || to.is_open { 0 } else { self.low(to.position) * hurry.run / ONE };
        let hurry = if from.free { hurry.free } else { hurry.holding };
        let frame = if series { self.other_frame(from.frame, to.frame, moved) } else { 0 };
        linked + u64::from(across) + pressed * hurry / ONE + frame + opened + low
    }

    /// Returns what the bounds of the ways to `to` follow from, and to every state that differs from it in fingers alone.
    pub(super) fn toward(&self, to: &HandState, hurry: Hurry) -> Toward<'_> {
        let guided = if to.free { ONE } else { self.guided.min(ONE) };
        let start = usize::from(to.position) * self.positions;
        Toward {
            // A move costs the same in both directions.
            along: self.along.get(start..start + self.positions).unwrap_or_default(),
            across: &self.across,
            least: if to.frame.count() > 1 { guided.min(self.framed) } else { guided },
            hurry,
            middle: to.middle,
            is_free: to.free,
            is_open: to.is_open,
            is_chord: to.is_chord,
            opened: u64::from(self.runs.open) * hurry.run / ONE,
            low: if to.is_open { 0 } else { self.low(to.position) * hurry.run / ONE },
        }
    }

    /// Returns what it costs to let go of so many notes that ring.
    pub(super) fn letting_go(&self, notes: u32) -> u64 {
        u64::from(notes) * u64::from(self.let_go)
    }

    /// Returns what a move along the neck costs.
    fn along(&self, from: u8, to: u8) -> Cost {
        self.along.get(usize::from(from) * self.positions + usize::from(to)).copied().unwrap_or_default()
    }

    /// Returns what a move across the strings costs, from one middle of the strings that are struck to another.
    fn across(&self, from: u8, to: u8) -> Cost {
        let strings = if from == 0 || to == 0 { 0 } else { from.abs_diff(to) };
        self.across.get(usize::from(strings)).copied().unwrap_or_default()
    }

    /// Returns what it costs that a note of a run is stopped with the hand at `position`.
    fn low(&self, position: u8) -> u64 {
        u64::from(self.runs.below.saturating_sub(position)) * u64::from(self.runs.low)
    }

    /// Returns what it costs that one of two moments with equally many notes is not the other one moved along the neck:
    /// runs of thirds, sixths, octaves and power chords are one hand form that moves.
    fn other_frame(&self, from: Frame, to: Frame, moved: bool) -> u64 {
        // A hand that stays where it is changes strings more easily than one that goes elsewhere.
        let each = if moved { self.frames.other_strings } else { self.frames.other_strings_here };
        let strings = u64::from((to.strings & !from.strings).count_ones()) * u64::from(each);
        let open = if (from.is_mixed, from.is_open) == (to.is_mixed, to.is_open) {
            0
        } else {
            u64::from(self.frames.open_among)
        };
        let shape = if from.shape == to.shape { 0 } else { u64::from(self.frames.other_shape) };
        strings + open + shape
    }

    /// Returns what it costs that fingers are set down anew between two chords.
    fn regripped(&self, from: &HandState, to: &HandState) -> u64 {
        if !(from.is_chord && to.is_chord) {
            return 0;
        }
        let anew = |(before, after): &(&PressedFinger, &PressedFinger)| {
            after.wire > 0 && (before.wire == 0 || (before.from, before.to) != (after.from, after.to))
        };
        u64::from(self.regrip) * from.holds.iter().zip(&to.holds).filter(anew).count() as u64
    }

    /// Returns what it costs that fingers are needed elsewhere at once while the hand stays where it is.
    fn same_fingers(&self, from: &HandState, to: &HandState) -> u64 {
        if from.position != to.position {
            return 0;
        }
        let mut cost = 0;
        for (before, after) in from.holds.iter().zip(&to.holds) {
            if before.wire == 0 || after.wire == 0 || before == after {
                continue;
            }
            if before.wire != after.wire {
                cost += u64::from(self.hop);
            } else if before.to > after.from || after.to > before.from {
                cost += u64::from(self.roll);
            }
        }
        cost
    }

    /// Returns what it costs to let go of notes that ring; `None` where one would have to move or to sound again.
    #[cfg(test)]
    fn let_go(&self, from: &HandState, to: &HandState, items: &[LayerNote]) -> Option<u64> {
        let mut cost = 0;
        for (item, after) in items.iter().zip(&to.spots) {
            let Some((place, LayerLink::Held)) = item.link else { continue };
            let Some(before) = from.spots.get(place) else { continue };
            if after.is_silent() {
                cost += if before.is_silent() { 0 } else { u64::from(self.let_go) };
            } else if (before.string, before.fret) != (after.string, after.fret) {
                return None;
            }
        }
        Some(cost)
    }

    /// Returns what it costs that notes ring on under another finger, are joined, or sound again elsewhere.
    fn links(&self, from: &HandState, to: &HandState, items: &[LayerNote]) -> u64 {
        let mut cost = 0;
        for (item, after) in items.iter().zip(&to.spots) {
            let Some((place, link)) = item.link else { continue };
            let Some(before) = from.spots.get(place) else { continue };
            match link {
                LayerLink::Held if !after.is_silent() && before.finger != after.finger => {
                    cost += u64::from(self.take_over);
                }
                LayerLink::Held => {}
                LayerLink::Again if (before.string, before.fret) != (after.string, after.fret) => {
                    // Where it was let go before, it has no place to stay at.
                    cost += if before.is_silent() { 0 } else { u64::from(self.moved_again) };
                }
                LayerLink::Again => {}
                LayerLink::Joined(how) => {
                    let lifted = how == Joined::Slide && (before.wire == 0 || after.wire == 0);
                    if before.string != after.string || lifted {
                        cost += u64::from(self.broken_join);
                    }
                }
            }
        }
        cost
    }
}

/// Returns whether a finger stays on its strings while the hand moves, and so leads it.
fn is_guided(from: &HandState, to: &HandState) -> bool {
    let same = |(before, after): (&PressedFinger, &PressedFinger)| {
        before.wire > 0 && after.wire > 0 && (before.from, before.to) == (after.from, after.to)
    };
    from.holds.iter().zip(&to.holds).any(same)
}
