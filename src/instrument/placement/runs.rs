//! Wide runs: fast scales that reach further than one position does.
//!
//! Guitarists practise them as one form: three notes on each string, the hand a little further up or down with every
//! string. So each note of such a run has a state of its own for every string that the form may begin on, and whatever
//! else is done there costs `out_of_form`. What the form stretches has been practised with it and costs nothing.

use super::board::{FINGERS, LineBoard, StringSpot};
use super::candidates::{Frame, HandState, PressedFinger};
use super::grip::MOST;
use super::layers::{Kind, Layer, LayerNote};
use super::line::{NoteTarget, Pin};
use super::weights::thousandths;

/// How many notes of the form lie on each string.
const EACH: usize = 3;
/// The furthest that two notes of a scale lie apart, in half steps: a harmonic minor scale has such a step.
const STEP: u8 = 3;
/// The frets from the lowest to the highest note of one string that one position holds, reached out.
const IN_POSITION: u8 = 4;

/// The wide runs of a line.
pub(super) struct WideRuns {
    /// For each layer where its note lies in the forms of its run; empty outside runs.
    forms: Vec<Vec<FormSpot>>,
}

/// Where a note lies in a form.
#[derive(Debug, Clone, Copy)]
struct FormSpot {
    position: u8,
    spot: StringSpot,
}

impl WideRuns {
    /// Finds the wide runs of a line.
    pub(super) fn of(board: &LineBoard<'_>, layers: &[Layer]) -> Self {
        let mut runs = Self { forms: vec![Vec::new(); layers.len()] };
        let mut first = 0;
        while first < layers.len() {
            let end = end(board, layers, first);
            if let Some(run) = layers.get(first..end) {
                runs.add(board, run, first);
            }
            // The last note of a run may be the first of the next, which turns back.
            first = end.saturating_sub(1).max(first + 1);
        }
        runs
    }

    /// Returns whether a layer belongs to a wide run.
    pub(super) fn has(&self, layer: usize) -> bool {
        self.forms.get(layer).is_some_and(|forms| !forms.is_empty())
    }

    /// Adds to `states`, the ways to play a layer by itself, those of the forms of its run. The others cost more.
    pub(super) fn add_states(&self, board: &LineBoard<'_>, layer: usize, states: &mut Vec<HandState>) {
        let Some(forms) = self.forms.get(layer).filter(|forms| !forms.is_empty()) else { return };
        let out_of_form = thousandths(board.weights.out_of_form);
        states.iter_mut().for_each(|state| state.cost += out_of_form);
        for FormSpot { position, spot } in forms {
            let mut spots = [StringSpot::default(); MOST];
            let mut holds = [PressedFinger::default(); FINGERS];
            if let (Some(first), Some(hold)) =
                (spots.first_mut(), holds.get_mut(usize::from(spot.finger).wrapping_sub(1)))
            {
                *first = *spot;
                *hold = PressedFinger { wire: spot.wire, from: spot.string, to: spot.string };
            }
            states.push(HandState {
                position: *position,
                cost: thousandths(board.weights.press) + board.height(spot.wire, false),
                middle: 2 * spot.string,
                free: false,
                is_chord: false,
                frame: Frame::of([*spot].into_iter()),
                is_open: false,
                holds,
                spots,
            });
        }
    }

    /// Adds the forms of the run that `layers` are, of which the first has the number `first`; none where it is not wide.
    fn add(&mut self, board: &LineBoard<'_>, layers: &[Layer], first: usize) {
        let mut notes: Vec<u8> = layers.iter().filter_map(single).filter_map(pitch).collect();
        let is_falling = notes.first() > notes.last();
        if is_falling {
            notes.reverse();
        }
        let (Some(low), Some(high)) = (notes.first(), notes.last()) else { return };
        let Some(apart) = board.strings_apart() else { return };
        if high - low <= apart + IN_POSITION {
            return;
        }
        let strings = u8::try_from(board.rig.tuning().strings().len()).unwrap_or(0);
        for start in 1..=strings {
            let Some(mut form) = form(board, &notes, start) else { continue };
            if is_falling {
                form.reverse();
            }
            for (place, spot) in (first..).zip(form) {
                if let Some(forms) = self.forms.get_mut(place) {
                    forms.push(spot);
                }
            }
        }
    }
}

/// Takes from the runs of a line what says that an open string sounds unlike the rest, where some note of the run has no
/// other place: such a run is played with open strings.
pub(super) fn open_runs(board: &LineBoard<'_>, layers: &mut [Layer]) {
    let goes_on = |layer: &Layer| layer.until_next > 0 && (layer.until_next as f64) < board.weights.run_ms;
    for run in layers.split_inclusive_mut(|layer| !goes_on(layer)) {
        let is_open = |item: &LayerNote| {
            let spots = board.spots(item.wanted.target, item.wanted.pin, item.wanted.touch);
            !spots.is_empty() && spots.iter().all(|spot| spot.wire == 0)
        };
        if run.iter().any(|layer| layer.items.iter().any(is_open)) {
            run.iter_mut().for_each(|layer| layer.runs_on = false);
        }
    }
}

/// Returns where the run that begins at layer `first` ends: fast steps of a scale in one direction.
fn end(board: &LineBoard<'_>, layers: &[Layer], first: usize) -> usize {
    let note = |place: usize| layers.get(place).and_then(single).and_then(pitch);
    let mut end = first + 1;
    let mut rises = None;
    while let (Some(before), Some(next)) = (note(end - 1), note(end)) {
        let is_fast = layers.get(end - 1).is_some_and(|layer| layer.until_next as f64 <= board.weights.fast_ms);
        let is_step = (1..=STEP).contains(&before.abs_diff(next));
        if !is_fast || !is_step || rises.is_some_and(|rises| rises != (next > before)) {
            break;
        }
        rises = Some(next > before);
        end += 1;
    }
    end
}

/// Returns the only note of a layer, where nothing is fixed of it.
fn single(layer: &Layer) -> Option<&LayerNote> {
    match layer.items.as_slice() {
        [only] if only.kind == Kind::New && only.link.is_none() && only.wanted.pin == Pin::default() => Some(only),
        _ => None,
    }
}

fn pitch(item: &LayerNote) -> Option<u8> {
    match item.wanted.target {
        NoteTarget::Pitch(note) => Some(note.number()),
        NoteTarget::At(_) => None,
    }
}

/// Returns where rising `notes` lie in the form whose lowest string is `start`; `None` where the neck does not have it.
fn form(board: &LineBoard<'_>, notes: &[u8], start: u8) -> Option<Vec<FormSpot>> {
    let mut form = Vec::with_capacity(notes.len());
    for (group, string) in notes.chunks(EACH).zip((1..=start).rev().map(Some).chain(std::iter::repeat(None))) {
        let spots: Vec<StringSpot> = group.iter().map(|note| board.stopped(*note, string?)).collect::<Option<_>>()?;
        let position = spots.first()?.wire;
        // Between the outer fingers the others find their places.
        let furthest = spots.last()?.wire;
        board.finger(position, furthest, if furthest > position { FINGERS - 1 } else { 0 })?;
        for (spot, finger) in spots.iter().zip(fingers(&spots)) {
            form.push(FormSpot { position, spot: StringSpot { finger, ..*spot } });
        }
    }
    Some(form)
}

/// Returns the fingers for up to three notes on a string: the outer ones of three under index and little finger.
fn fingers(spots: &[StringSpot]) -> [u8; EACH] {
    let gap = |place: usize| match (spots.get(place), spots.get(place + 1)) {
        (Some(low), Some(high)) => high.wire - low.wire,
        _ => 0,
    };
    match (gap(0), gap(1)) {
        (1, 1) => [1, 2, 3],
        (1, 0) => [1, 2, 4],
        (2, 0 | 1) => [1, 3, 4],
        (0..=2, _) => [1, 2, 4],
        (_, 0) => [1, 4, 4],
        _ => [1, 3, 4],
    }
}
