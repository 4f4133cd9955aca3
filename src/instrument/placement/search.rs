//! The search for the shortest path through the layers.

use std::collections::HashMap;

use super::board::{LineBoard, StringSpot, string_of};
use super::broken::BrokenChords;
use super::bundles::StateList;
use super::candidates::{HandState, Onset, candidates};
use super::error::PlacementError;
use super::hints::Hints;
use super::layers::{Kind, Layer, LayerNote, layers};
use super::line::{ChordOver, Limits, NoteSpot, NoteTarget, Pin, Slice, Touch};
use super::moves::MoveCosts;
use super::path::shortest;
use super::repeats::Repeats;
use super::runs::{WideRuns, open_runs};
use super::shuffle::{Shuffles, reached};
use super::weights::{Weights, weights};
use crate::instrument::neck::{Fret, Place};
use crate::instrument::rig::Rig;

/// What two moments share whose states are the same.
type LayerKey = (Vec<ItemKey>, [Option<usize>; 2], bool);

/// Where one note is played.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Placed {
    /// String and fret.
    pub place: Place,
    /// The finger, 1 (index) to 4; `None` for an open string.
    pub finger: Option<u8>,
}

/// Where the notes of a slice are played.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlacedSlice {
    /// The hand position: the fret that belongs to the index finger, counted from a capo over all
    /// strings. `None` while nothing is stopped, and for a slice without notes.
    pub position: Option<Fret>,
    /// The notes, in the slice's order.
    pub notes: Vec<Placed>,
}

/// A note whose string or finger was needed before it had rung as long as asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LetGo {
    /// The note.
    pub spot: NoteSpot,
    /// The slice at whose start it ends.
    pub at: usize,
}

/// A whole line on the neck.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Placement {
    /// One for each slice of the line.
    pub slices: Vec<PlacedSlice>,
    /// What could not ring as long as asked, in the order in which it ends.
    pub let_go: Vec<LetGo>,
    /// What it costs, in thousandths of the weights' unit; only good for comparing.
    pub cost: u64,
}

/// Returns the cheapest way to play `line` on `rig`.
///
/// - It is the cheapest of all choices of strings, hand positions and fingers, where a chord has the best fingers for
///   its strings and position. Of a moment that can be played in more than 1024 such ways, with all that rings into
///   it, or that can be spread over the strings in more than 2400, only the most promising ways are tried. In the
///   broken chords measured this is so once six notes sound at once on six strings, or four on eight.
/// - Units: times in milliseconds, costs in thousandths. The time and memory taken are linear in the number of notes.
/// - Errors: a note that is not on the neck, or not within limits and pin; more notes at once than there
///   are strings; notes that no hand can hold at once.
/// - Source: see the module; ties go to the state that is cheaper by itself, then to the lower string number's rival.
pub fn place(rig: &Rig, line: &[Slice], limits: Limits) -> Result<Placement, PlacementError> {
    place_under(rig, line, &[], limits)
}

/// Returns the cheapest way to play `line` on `rig` under the names of its chords, in the order of their slices.
///
/// A name says of the broken chords beneath which of their notes belong together, and that the shapes which players show
/// first for it are held rather than others. Nothing else changes; see [`place`].
///
/// Errors: those of [`place`].
pub fn place_under(
    rig: &Rig,
    line: &[Slice],
    chords: &[ChordOver],
    limits: Limits,
) -> Result<Placement, PlacementError> {
    place_with(rig, line, chords, limits, weights())
}

/// Checks that the notes of `slice` can be played at once.
///
/// Errors: those of [`place`].
pub fn can_be_held(rig: &Rig, slice: &Slice, limits: Limits) -> Result<(), PlacementError> {
    let alone = std::slice::from_ref(slice);
    place(rig, alone, limits).map(|_| ())
}

/// Returns the same as [`place_under`] with other weights.
///
/// Errors: those of [`place`].
pub(super) fn place_with(
    rig: &Rig,
    line: &[Slice],
    chords: &[ChordOver],
    limits: Limits,
    weights: &Weights,
) -> Result<Placement, PlacementError> {
    let board = LineBoard::new(rig, limits, weights);
    PlacementError::check(&board, line)?;
    let mut layers = layers(line, rig.tuning().strings().len());
    open_runs(&board, &mut layers);
    let broken = BrokenChords::of(&board, &layers, &Hints::of(rig, chords, &layers));
    let runs = WideRuns::of(&board, &layers);
    let shuffles = Shuffles::of(&layers);
    let pool = Pool::of(&board, line, &layers, (&broken, &runs, &shuffles))?;
    let moves = MoveCosts::new(&board);
    let repeats = Repeats::of(&board, &layers, &broken);
    let (path, cost) = shortest(&board, &layers, |layer| pool.list(layer), &moves, &repeats);
    let path: Vec<HandState> =
        path.into_iter().zip(&layers).map(|(state, layer)| shown(&board, *state, layer)).collect();
    Ok(told(line, &layers, &path, cost))
}

/// What decides about the candidates of one item.
type ItemKey = (NoteTarget, Pin, Touch, Kind, Option<usize>);

/// The candidates of all layers. Layers that want the same share them.
pub(super) struct Pool {
    lists: Vec<StateList>,
    of_layer: Vec<usize>,
}

impl Pool {
    /// Finds the candidates of every layer.
    ///
    /// Errors: the first layer that cannot be played.
    fn of(
        board: &LineBoard<'_>,
        line: &[Slice],
        layers: &[Layer],
        (broken, runs, shuffles): (&BrokenChords, &WideRuns, &Shuffles),
    ) -> Result<Self, PlacementError> {
        let mut known: HashMap<LayerKey, usize> = HashMap::new();
        let mut pool = Self { lists: Vec::new(), of_layer: Vec::with_capacity(layers.len()) };
        for (index, layer) in layers.iter().enumerate() {
            let key = |LayerNote { wanted, kind, twin, .. }: &LayerNote| {
                (wanted.target, wanted.pin, wanted.touch, *kind, *twin)
            };
            let chord = broken.at(index);
            // Each note of a wide run has states of its own.
            let in_run = runs.has(index).then_some(index);
            let key: LayerKey = (layer.items.iter().map(key).collect(), [chord, in_run], shuffles.has(index));
            let place = match known.get(&key) {
                Some(place) => *place,
                None => {
                    let mut states = match candidates(board, &layer.items, Onset::Together) {
                        Ok(states) => states,
                        // Two notes that a shuffle holds can be held without it.
                        Err(trouble) => Some(reached(board, &layer.items))
                            .filter(|states| !states.is_empty())
                            .ok_or_else(|| PlacementError::of(trouble, board, line, layer))?,
                    };
                    if let Some(chord) = chord {
                        broken.add_states(board, chord, &layer.items, &mut states);
                    }
                    runs.add_states(board, index, &mut states);
                    shuffles.weigh(board, index, &layer.items, &mut states);
                    pool.lists.push(StateList::new(states));
                    known.insert(key, pool.lists.len() - 1);
                    pool.lists.len() - 1
                }
            };
            pool.of_layer.push(place);
        }
        Ok(pool)
    }

    /// Returns the candidates of a layer.
    fn list(&self, layer: usize) -> Option<&StateList> {
        self.of_layer.get(layer).and_then(|place| self.lists.get(*place))
    }
}

/// Returns `state` with the fingers that are told: those of `fingerpost fingering` for a chord that is struck whole, with
/// nothing else held and nothing fixed.
fn shown(board: &LineBoard<'_>, mut state: HandState, layer: &Layer) -> HandState {
    let is_plain = |item: &LayerNote| {
        item.kind == Kind::New && item.wanted.pin.position.is_none() && item.wanted.follows.is_none()
    };
    if layer.items.iter().all(is_plain) {
        state.finger_as_taught(board, layer.items.len());
    }
    state
}

/// Returns the path in the terms of the line: where each of its notes is played, and which end early.
fn told(line: &[Slice], layers: &[Layer], path: &[HandState], cost: u64) -> Placement {
    let empty = PlacedSlice { position: None, notes: Vec::new() };
    let mut placement = Placement { slices: vec![empty; line.len()], let_go: Vec::new(), cost };
    let mut ringing: Vec<NoteSpot> = Vec::new();
    for (layer, state) in layers.iter().zip(path) {
        let sounding = || layer.items.iter().zip(&state.spots).filter(|(_, spot)| !spot.is_silent());
        let start = line.get(layer.slice).map_or(0, |slice| slice.start.0);
        let cut = ringing.iter().filter(|spot| !sounding().any(|(item, _)| item.spot == **spot));
        placement.let_go.extend(
            cut.filter(|spot| rings_at(line, **spot, start)).map(|spot| LetGo { spot: *spot, at: layer.slice }),
        );
        ringing = sounding().map(|(item, _)| item.spot).collect();
        let Some(slice) = placement.slices.get_mut(layer.slice) else { continue };
        let fresh = sounding().filter(|(item, _)| item.kind == Kind::New);
        slice.notes = fresh.filter_map(|(_, spot)| placed(*spot)).collect();
        slice.position = (!state.free).then(|| LineBoard::shown(state.position));
    }
    placement
}

/// Returns whether a note was asked to sound at `time`, in milliseconds.
fn rings_at(line: &[Slice], spot: NoteSpot, time: u64) -> bool {
    let slice = line.get(spot.slice);
    let length = slice.and_then(|slice| slice.notes.get(spot.note)).map_or(0, |wanted| wanted.length.0);
    slice.is_some_and(|slice| slice.start.0.saturating_add(length) > time)
}

/// Returns where a note is played; `None` for a silent one.
fn placed(spot: StringSpot) -> Option<Placed> {
    let place = Place { string: string_of(spot)?, fret: Fret::new(spot.fret)? };
    Some(Placed { place, finger: (spot.finger > 0).then_some(spot.finger) })
}
