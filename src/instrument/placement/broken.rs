//! Broken chords: notes one after the other that one grip holds.
//!
//! A player who sees the notes of a chord one by one sets the whole chord down and leaves the fingers where they are.
//! So every run of notes that one hand can hold at once, with no two of them as close as a step of a scale, may be
//! played from any grip of all of them: a state of its own in every layer of the run, whose fingers are those of the
//! whole grip. Within the run nothing moves then. The notes may be played one by one as well, which costs
//! `loose` each, for a hand that could stay and does not.

use std::collections::HashMap;

use super::board::{LineBoard, StringSpot};
use super::candidates::{Frame, HandState, Onset, candidates, middle};
use super::grip::MOST;
use super::hints::{ChordHint, Hints};
use super::layers::{Kind, Layer, LayerLink, LayerNote};
use super::line::{NoteTarget, Pin, Touch};
use super::weights::{Cost, thousandths};

/// The most grips of a run that are kept, the cheapest.
const MOST_GRIPS: usize = 48;
/// The fewest different notes of a broken chord, and how many it has at least one by one: three notes may as well be
/// part of a line.
const FEWEST: (usize, usize) = (3, 4);
/// An octave in half steps, and how many broken ones in a row are one form that moves.
const OCTAVE: i16 = 12;
const FEWEST_PAIRS: usize = 2;
/// The thirds and the fifth above a root, in half steps, and how many notes of such a chord leave no doubt.
const THIRDS: [u8; 2] = [3, 4];
const FIFTH: u8 = 7;
const FEWEST_ON_ROOT: usize = 5;
/// The same under the name of a chord.
const FEWEST_NAMED: (usize, usize) = (2, 2);
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
    /// Whether there is no doubt that they belong together: by a name over the line, or because they are a triad or a
    /// seventh chord over its root.
    is_sure: bool,
    /// Whether they are two notes that move on as one form, as if they were struck at once.
    is_pair: bool,
}

/// The broken chords of a line.
pub(super) struct BrokenChords {
    grips: Vec<Grips>,
    /// Which grips each layer may be played from.
    of_layer: Vec<Option<usize>>,
}

/// A search for broken chords.
struct GripFinder<'a> {
    board: &'a LineBoard<'a>,
    layers: &'a [Layer],
    hints: &'a Hints,
    /// The grips of all notes that were asked for so far, by the name over them; `None` where no hand holds them.
    known: HashMap<(Union, Option<usize>), Option<usize>>,
    grips: Vec<Grips>,
}

impl BrokenChords {
    /// Finds the broken chords of a line: from each layer on as many layers as one grip holds. No chord goes on under
    /// the next name.
    pub(super) fn of(board: &LineBoard<'_>, layers: &[Layer], hints: &Hints) -> Self {
        let mut finder = GripFinder { board, layers, hints, known: HashMap::new(), grips: Vec::new() };
        let mut of_layer = vec![None; layers.len()];
        let mut first = 0;
        while first < layers.len() {
            if let Some(end) = finder.pairs(first, &mut of_layer) {
                first = end;
                continue;
            }
            let (end, grips) = finder.longest(first);
            if let Some(grips) = grips {
                for entry in of_layer.iter_mut().take(end).skip(first) {
                    *entry = Some(grips);
                }
            }
            first = end.max(first + 1);
        }
        Self { grips: finder.grips, of_layer }
    }

    /// Returns which broken chord a layer belongs to, counted from 0.
    pub(super) fn at(&self, layer: usize) -> Option<usize> {
        self.of_layer.get(layer).copied().flatten()
    }

    /// Adds to `states`, the ways to play the notes `items` of a layer one by one, those from a grip of the broken chord
    /// `which`. The others cost what it costs not to hold it.
    pub(super) fn add_states(
        &self,
        board: &LineBoard<'_>,
        which: usize,
        items: &[LayerNote],
        states: &mut Vec<HandState>,
    ) {
        let Some(grips) = self.grips.get(which) else { return };
        let weights = board.weights;
        let loose = if grips.is_pair {
            weights.loose_octave
        } else if grips.is_sure {
            weights.loose_named
        } else {
            weights.loose
        };
        let loose = thousandths(loose * items.len() as f64);
        states.iter_mut().for_each(|state| state.cost += loose);
        let place_of =
            |item: &LayerNote| grips.union.iter().position(|other| other.wanted.target == item.wanted.target);
        let places: Vec<usize> = items.iter().filter_map(place_of).collect();
        let of_all = items.len() as f64 / grips.union.len().max(1) as f64 * weights.held_share;
        for whole in &grips.states {
            let mut spots = [StringSpot::default(); MOST];
            for (spot, place) in spots.iter_mut().zip(&places) {
                *spot = whole.spots.get(*place).copied().unwrap_or_default();
            }
            let struck = || spots.iter().take(places.len());
            let long = struck().map(|spot| spot.string).filter(|string| !board.is_short(*string));
            let cost = (f64::from(whole.cost) * of_all).round() as Cost;
            let frame = if grips.is_pair { whole.frame } else { Frame::of(struck().copied()) };
            let is_open = struck().all(|spot| spot.wire == 0);
            let is_chord = grips.is_pair || items.len() > 1;
            states.push(HandState { cost, middle: middle(long), is_chord, frame, is_open, spots, ..*whole });
        }
    }
}

impl GripFinder<'_> {
    /// Returns where the broken octaves that start at layer `first` end, after it has noted their grips in `of_layer`;
    /// `None` where there are none.
    fn pairs(&mut self, first: usize, of_layer: &mut [Option<usize>]) -> Option<usize> {
        let octave = |pair: &[Layer]| match pair {
            [one, other] => Some(single(other)? - single(one)?).filter(|apart| apart.abs() == OCTAVE),
            _ => None,
        };
        let rest = self.layers.get(first..)?;
        let wanted = octave(rest.get(..2)?)?;
        // Under a name its shapes say what is held.
        let named =
            |place: usize| self.hints.number_at(first + 2 * place).or(self.hints.number_at(first + 2 * place + 1));
        let goes_on = |(place, pair): &(usize, &[Layer])| octave(pair) == Some(wanted) && named(*place).is_none();
        let count = rest.chunks_exact(2).enumerate().take_while(goes_on).count();
        if count < FEWEST_PAIRS {
            return None;
        }
        let mut end = first;
        for pair in rest.chunks_exact(2).take(count) {
            let union: Vec<LayerNote> = pair.iter().flat_map(|layer| &layer.items).copied().collect();
            let grips = self.grips_of(&union, None);
            for entry in of_layer.iter_mut().skip(end).take(2) {
                *entry = grips;
            }
            end += 2;
        }
        Some(end)
    }

    /// Returns where the longest broken chord that starts at layer `first` ends, and its grips.
    fn longest(&mut self, first: usize) -> (usize, Option<usize>) {
        let number = self.hints.number_at(first);
        let hint = self.hints.get(number);
        let (fewest, fewest_apart) = if hint.is_some() { FEWEST_NAMED } else { FEWEST };
        let mut union: Vec<LayerNote> = Vec::new();
        let mut best = (first, None);
        let mut apart = 0;
        for (place, layer) in self.layers.iter().enumerate().skip(first) {
            let before = union.len();
            apart += usize::from(layer.items.len() == 1);
            let fits = layer.items.len() <= MOST_AT_ONCE
                && self.hints.number_at(place) == number
                && extend(&mut union, layer, hint)
                && union.len() <= self.board.rig.tuning().strings().len();
            if !fits {
                break;
            }
            if union.len() < fewest {
                if place - first >= SOON {
                    break;
                }
                continue;
            }
            if union.len() == before && best.1.is_some() {
                best.0 = place + 1;
                continue;
            }
            if apart < fewest_apart {
                continue;
            }
            let grips = self.grips_of(&union, number);
            if grips.is_none() {
                break;
            }
            best = (place + 1, grips);
        }
        best
    }

    /// Returns the number of the grips of these notes; `None` where no hand holds them all.
    fn grips_of(&mut self, union: &[LayerNote], number: Option<usize>) -> Option<usize> {
        let asked = |item: &LayerNote| (item.wanted.target, item.wanted.pin, item.wanted.touch);
        let mut key: Union = union.iter().map(asked).collect();
        key.sort_unstable_by_key(|(target, ..)| *target);
        let (board, hint, all) = (self.board, self.hints.get(number), &mut self.grips);
        *self.known.entry((key, number)).or_insert_with(|| {
            let is_pair = union.len() == 2 && hint.is_none();
            let onset = if is_pair { Onset::Together } else { Onset::Apart };
            let mut states = candidates(board, union, onset).ok()?;
            if let Some(hint) = hint {
                for state in &mut states {
                    let back = hint.back(state.spots.iter().take(union.len()));
                    state.cost += thousandths(back * board.weights.other_grip);
                }
                states.sort_by_key(|state| state.cost);
            }
            // No form that moves has its upper note on an open string.
            let moves = |state: &HandState| {
                let spots = || state.spots.iter().take(union.len());
                spots().max_by_key(|spot| spot.note).is_some_and(|spot| spot.wire > 0)
            };
            if is_pair && states.iter().any(moves) {
                states.retain(moves);
            }
            states.truncate(MOST_GRIPS);
            states.iter_mut().for_each(|state| state.finger_as_taught(board, union.len()));
            all.push(Grips {
                union: union.to_vec(),
                states,
                is_sure: hint.is_some() || is_chord_on_root(union),
                is_pair,
            });
            Some(all.len() - 1)
        })
    }
}

/// Returns the pitch of the only note of a layer, where nothing is fixed of it and no other rings on.
fn single(layer: &Layer) -> Option<i16> {
    let [only] = layer.items.as_slice() else { return None };
    let is_joined = matches!(only.link, Some((_, LayerLink::Joined(_))));
    match only.wanted.target {
        NoteTarget::Pitch(note) if only.kind == Kind::New && !is_joined && only.wanted.pin == Pin::default() => {
            Some(i16::from(note.number()))
        }
        NoteTarget::Pitch(_) | NoteTarget::At(_) => None,
    }
}

/// Returns whether notes are a major or minor triad over its root and further than an octave, maybe with a seventh.
fn is_chord_on_root(union: &[LayerNote]) -> bool {
    let pitch = |item: &LayerNote| match item.wanted.target {
        NoteTarget::Pitch(note) => Some(note.number()),
        NoteTarget::At(_) => None,
    };
    let (lowest, highest) = (union.iter().filter_map(pitch).min(), union.iter().filter_map(pitch).max());
    let Some((root, highest)) = lowest.zip(highest) else { return false };
    let above: Vec<u8> = union.iter().filter_map(pitch).map(|note| (note - root) % 12).collect();
    let thirds = THIRDS.iter().filter(|third| above.contains(third)).count();
    let known = above.iter().all(|note| matches!(note, 0 | 3 | 4 | 7 | 10 | 11));
    known
        && thirds == 1
        && above.contains(&FIFTH)
        && union.len() >= FEWEST_ON_ROOT
        && i16::from(highest - root) >= OCTAVE
}

/// Adds the notes of a layer to those of a broken chord; `false` where they do not belong to it. Under a name the notes of
/// its chord may be as close as they are, and no others belong to it.
fn extend(union: &mut Vec<LayerNote>, layer: &Layer, hint: Option<&ChordHint>) -> bool {
    for item in &layer.items {
        let NoteTarget::Pitch(note) = item.wanted.target else { return false };
        if item.kind == Kind::Held || matches!(item.link, Some((_, LayerLink::Joined(_)))) {
            return false;
        }
        if hint.is_some_and(|hint| !hint.has(note)) {
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
            } else if hint.is_none() && known.number().abs_diff(note.number()) < STEP {
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
