//! Notes that come back: a pitch that sounds again within a phrase is found where it was.
//!
//! A player who has just stopped a note does not look for it on an open string a moment later, nor the other way round:
//! the two sound unlike each other, and the hand remembers. So of a pitch that has both, two moments of one phrase that
//! play it differently cost `moved_back`. The search keeps apart what leads through the open string and what leads
//! through a stopped one for as long as that matters, for at most [`SLOTS`] pitches at once.

use super::board::LineBoard;
use super::broken::BrokenChords;
use super::candidates::HandState;
use super::layers::{Kind, Layer};
use super::line::{NoteTarget, Pin, Touch};
use super::weights::thousandths;

/// How many moments later a note is remembered at the most.
const REMEMBERED: usize = 4;
/// How many notes are remembered at once.
pub(super) const SLOTS: usize = 2;

/// The notes of a line that come back.
pub(super) struct Repeats {
    /// For each layer the slot in which its note is remembered from there on.
    begins: Vec<Option<usize>>,
    /// For each layer the slot that remembers its note up to there.
    ends: Vec<Option<usize>>,
    /// What it costs to play it the other way, in thousandths.
    moved_back: u64,
}

impl Repeats {
    /// Finds the notes that come back. Those of one broken chord have their places in its grips.
    pub(super) fn of(board: &LineBoard<'_>, layers: &[Layer], broken: &BrokenChords) -> Self {
        let mut found = Self {
            begins: vec![None; layers.len()],
            ends: vec![None; layers.len()],
            moved_back: u64::from(thousandths(board.weights.moved_back)),
        };
        let mut until = [0; SLOTS];
        let mut has_both = [None; 128];
        for (from, layer) in layers.iter().enumerate() {
            let Some(pitch) = single(layer) else { continue };
            let Some(to) = next(board, layers, from, pitch) else { continue };
            if broken.at(from).is_some() && broken.at(from) == broken.at(to) {
                continue;
            }
            let Some(known) = has_both.get_mut(usize::from(pitch)) else { continue };
            let spots =
                || layer.items.iter().flat_map(|item| board.spots(item.wanted.target, Pin::default(), Touch::Any));
            let both = || spots().any(|spot| spot.wire == 0) && spots().any(|spot| spot.wire > 0);
            if !*known.get_or_insert_with(both) {
                continue;
            }
            let Some(slot) = until.iter().position(|until| *until <= from) else { continue };
            if let (Some(until), Some(begin), Some(end)) =
                (until.get_mut(slot), found.begins.get_mut(from), found.ends.get_mut(to))
            {
                (*until, *begin, *end) = (to, Some(slot), Some(slot));
            }
        }
        found
    }

    /// Returns the slot in which the note of a layer is remembered from there on.
    pub(super) fn begins(&self, layer: usize) -> Option<usize> {
        self.begins.get(layer).copied().flatten()
    }

    /// Returns the slot that remembers the note of a layer up to there.
    pub(super) fn ends(&self, layer: usize) -> Option<usize> {
        self.ends.get(layer).copied().flatten()
    }

    /// Returns what the past of a way can save later at the most, in thousandths.
    pub(super) const fn most_saved(&self) -> u64 {
        self.moved_back
    }

    /// Returns what it costs, in thousandths, that a note which was open, or was not, is played as `state` does.
    pub(super) fn moved_back(&self, was_open: bool, state: &HandState) -> u64 {
        if was_open == state.is_open { 0 } else { self.moved_back }
    }
}

/// Returns where `pitch`, which sounds in the layer `from`, sounds again in the same phrase after others.
fn next(board: &LineBoard<'_>, layers: &[Layer], from: usize, pitch: u8) -> Option<usize> {
    let goes_on = |layer: &Layer| layer.until_next > 0 && layer.until_next as f64 <= board.weights.phrase_ms;
    let after = layers.get(from..layers.len().min(from + REMEMBERED + 1))?;
    for (place, pair) in (from + 1..).zip(after.windows(2)) {
        let [before, layer] = pair else { return None };
        let sounds = single(layer).filter(|_| goes_on(before))?;
        if sounds == pitch {
            return (place > from + 1).then_some(place);
        }
    }
    None
}

/// Returns the pitch of the only note of a layer, where nothing is fixed of it.
fn single(layer: &Layer) -> Option<u8> {
    let [only] = layer.items.as_slice() else { return None };
    match only.wanted.target {
        NoteTarget::Pitch(note)
            if only.kind == Kind::New && only.wanted.pin == Pin::default() && only.wanted.touch == Touch::Any =>
        {
            Some(note.number())
        }
        NoteTarget::Pitch(_) | NoteTarget::At(_) => None,
    }
}
