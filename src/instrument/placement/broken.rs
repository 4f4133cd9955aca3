//! Broken chords: notes one after the other that one grip holds.
//!
//! A player who sees the notes of a chord one by one sets the whole chord down and leaves the fingers where they are.
//! So every run of notes that one hand can hold at once, with no two of them as close as a step of a scale, may be
//! played from any grip of all of them: a state of its own in every layer of the run, whose fingers are those of the
//! whole grip. Within the run nothing moves then. The notes may be played one by one as well, which costs
//! `loose` each, for a hand that could stay and does not.

use std::collections::HashMap;

use super::board::{LineBoard, StringSpot};
use super::candidates::{Frame, HandState, Struck, candidates, middle};
use super::grip::MOST;
use super::layers::{Kind, Layer, LayerLink, LayerNote};
use super::line::{NoteTarget, Pin, Touch};
use super::weights::{Cost, thousandths};

/// The most grips of a run that are kept, the cheapest.
const MOST_GRIPS: usize = 48;
/// The fewest different notes of a broken chord, and how many it has at least one by one: three notes may as well be
/// part of a line.
const FEWEST: usize = 3;
const FEWEST_APART: usize = 4;
/// The most notes of it at once, as of a bass and a melody.
const MOST_AT_ONCE: usize = 2;
/// Two notes of a chord are further apart than a step of a scale: at least so many half steps.
const STEP: u8 = 3;

/// The most layers within which a broken chord shows itself.
const SOON: usize = 8;

/// What the grips of a broken chord follow from.
type Union = Vec<(NoteTarget, Pin, Touch)>;

/// The grips of one broken chord.
pub(super) struct Grips {
    /// Its different notes.
    union: Vec<LayerNote>,
    /// The ways to hold them all; each has the notes at the places of `union`.
    states: Vec<HandState>,
}

/// The broken chords of a line.
pub(super) struct BrokenChords {
    grips: Vec<Grips>,
    /// Which grips each layer may be played from.
    of_layer: Vec<Option<usize>>,
}

impl BrokenChords {
    /// Finds the broken chords of a line: from each layer on as many layers as one grip holds.
    pub(super) fn of(board: &LineBoard<'_>, layers: &[Layer]) -> Self {
        let mut found = Self { grips: Vec::new(), of_layer: vec![None; layers.len()] };
        let mut known: HashMap<Union, Option<usize>> = HashMap::new();
        let mut first = 0;
        while first < layers.len() {
            let (end, grips) = found.longest(board, layers, first, &mut known);
            if let Some(grips) = grips {
                for entry in found.of_layer.iter_mut().take(end).skip(first) {
                    *entry = Some(grips);
                }
            }
            first = end.max(first + 1);
        }
        found
    }

    /// Returns where the longest broken chord that starts at layer `first` ends, and its grips.
    fn longest(
        &mut self,
        board: &LineBoard<'_>,
        layers: &[Layer],
        first: usize,
        known: &mut HashMap<Union, Option<usize>>,
    ) -> (usize, Option<usize>) {
        let mut union: Vec<LayerNote> = Vec::new();
        let mut best = (first, None);
        let mut apart = 0;
        for (place, layer) in layers.iter().enumerate().skip(first) {
            let before = union.len();
            apart += usize::from(layer.items.len() == 1);
            if layer.items.len() > MOST_AT_ONCE
                || !extend(&mut union, layer)
                || union.len() > board.rig.tuning().strings().len()
            {
                break;
            }
            if union.len() < FEWEST {
                if place - first >= SOON {
                    break;
                }
                continue;
            }
            if union.len() == before && best.1.is_some() {
                best.0 = place + 1;
                continue;
            }
            if apart < FEWEST_APART {
                continue;
            }
            let asked = |item: &LayerNote| (item.wanted.target, item.wanted.pin, item.wanted.touch);
            let mut key: Union = union.iter().map(asked).collect();
            key.sort_unstable_by_key(|(target, ..)| *target);
            let grips = *known.entry(key).or_insert_with(|| {
                let mut states = candidates(board, &union, Struck::Apart).ok()?;
                states.truncate(MOST_GRIPS);
                self.grips.push(Grips { union: union.clone(), states });
                Some(self.grips.len() - 1)
            });
            if grips.is_none() {
                break;
            }
            best = (place + 1, grips);
        }
        best
    }

    /// Returns which broken chord a layer belongs to, counted from 0.
    pub(super) fn at(&self, layer: usize) -> Option<usize> {
        self.of_layer.get(layer).copied().flatten()
    }

    /// Returns the ways to play the notes `items` of a layer from a grip of the broken chord `which`.
    pub(super) fn states(&self, board: &LineBoard<'_>, which: usize, items: &[LayerNote]) -> Vec<HandState> {
        let Some(grips) = self.grips.get(which) else { return Vec::new() };
        let place_of =
            |item: &LayerNote| grips.union.iter().position(|other| other.wanted.target == item.wanted.target);
        let places: Vec<usize> = items.iter().filter_map(place_of).collect();
        let of_all = items.len() as f64 / grips.union.len().max(1) as f64 * board.weights.held_share;
        let mut states = Vec::with_capacity(grips.states.len());
        for whole in &grips.states {
            let mut spots = [StringSpot::default(); MOST];
            for (spot, place) in spots.iter_mut().zip(&places) {
                *spot = whole.spots.get(*place).copied().unwrap_or_default();
            }
            let long =
                spots.iter().take(places.len()).map(|spot| spot.string).filter(|string| !board.is_short(*string));
            let cost = (f64::from(whole.cost) * of_all).round() as Cost;
            let frame = Frame::of(spots.iter().take(places.len()).copied());
            let is_open = spots.iter().take(places.len()).all(|spot| spot.wire == 0);
            let is_chord = items.len() > 1;
            states.push(HandState { cost, middle: middle(long), is_chord, frame, is_open, spots, ..*whole });
        }
        states
    }
}

/// Returns what it costs to play the notes of a broken chord one by one, in thousandths.
pub(super) fn loose(board: &LineBoard<'_>, items: &[LayerNote]) -> Cost {
    thousandths(board.weights.loose * items.len() as f64)
}

/// Adds the notes of a layer to those of a broken chord; `false` where they do not belong to it.
fn extend(union: &mut Vec<LayerNote>, layer: &Layer) -> bool {
    for item in &layer.items {
        let NoteTarget::Pitch(note) = item.wanted.target else { return false };
        if item.kind == Kind::Held || matches!(item.link, Some((_, LayerLink::Joined(_)))) {
            return false;
        }
        let mut is_new = true;
        for other in union.iter() {
            let NoteTarget::Pitch(known) = other.wanted.target else { return false };
            if known == note {
                if (other.wanted.pin, other.wanted.touch) != (item.wanted.pin, item.wanted.touch) {
                    return false;
                }
                is_new = false;
            } else if known.number().abs_diff(note.number()) < STEP {
                return false;
            }
        }
        if is_new {
            union.push(LayerNote { twin: None, ..*item });
        }
    }
    // Two notes of one pitch at once have no places in one grip.
    let mut targets: Vec<NoteTarget> = layer.items.iter().map(|item| item.wanted.target).collect();
    targets.sort_unstable();
    targets.windows(2).all(|pair| pair.first() != pair.last())
}
