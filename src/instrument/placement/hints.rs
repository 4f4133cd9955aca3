//! What the names of chords over a line say of its broken chords.

use std::collections::HashMap;

use super::board::StringSpot;
use super::layers::Layer;
use super::line::ChordOver;
use crate::instrument::neck::Shape;
use crate::instrument::rig::Rig;
use crate::instrument::voicing::board::ChordBoard;
use crate::instrument::voicing::request::Request;
use crate::theory::pitch::MidiNote;
use crate::theory::pitch_set::PitchSet;
use crate::theory::symbol::ChordSymbol;

/// How many of the voicings of a name are those that players show first.
const SHOWN: usize = 8;

/// The names over the layers of a line.
#[derive(Default)]
pub(super) struct Hints {
    hints: Vec<ChordHint>,
    /// Which of them stands over each layer.
    of_layer: Vec<Option<usize>>,
}

/// What one name says.
pub(super) struct ChordHint {
    tones: PitchSet,
    /// The shapes that players show first.
    shapes: Vec<Shape>,
}

impl Hints {
    /// Looks up the shapes of `chords` on `rig`, and which chord stands over each layer.
    pub(super) fn of(rig: &Rig, chords: &[ChordOver], layers: &[Layer]) -> Self {
        let mut hints = Self { hints: Vec::new(), of_layer: vec![None; layers.len()] };
        if chords.is_empty() {
            return hints;
        }
        let board = ChordBoard::of(rig);
        let mut known: HashMap<&ChordSymbol, Vec<Shape>> = HashMap::new();
        for chord in chords {
            let shapes = known.entry(&chord.symbol).or_insert_with(|| {
                let request = Request::default();
                // On strings too few for it, a name still says which notes belong together.
                let found = board.search(&chord.symbol, &request).map(|search| search.found(SHOWN));
                found.unwrap_or_default().into_iter().map(|voicing| voicing.shape).collect()
            });
            hints.hints.push(ChordHint { tones: chord.symbol.pitch_classes(), shapes: shapes.clone() });
        }
        for (entry, layer) in hints.of_layer.iter_mut().zip(layers) {
            *entry = chords.partition_point(|chord| chord.slice <= layer.slice).checked_sub(1);
        }
        hints
    }

    /// Returns the number of the name that stands over a layer.
    pub(super) fn number_at(&self, layer: usize) -> Option<usize> {
        self.of_layer.get(layer).copied().flatten()
    }

    /// Returns the name with this number.
    pub(super) fn get(&self, number: Option<usize>) -> Option<&ChordHint> {
        self.hints.get(number?)
    }
}

impl ChordHint {
    /// Returns whether a note is one of the chord.
    pub(super) fn has(&self, note: MidiNote) -> bool {
        self.tones.has(note.number() % 12)
    }

    /// Returns how far back the first of the shapes stands that have all of these places: 0 for the very first, 1 where
    /// none has them.
    pub(super) fn back<'s>(&self, spots: impl Iterator<Item = &'s StringSpot> + Clone) -> f64 {
        let lies_in = |shape: &Shape, spot: &StringSpot| {
            let strings = shape.strings();
            let place = strings.len().checked_sub(usize::from(spot.string));
            let fret = place.and_then(|place| strings.get(place)).copied().flatten();
            fret.is_some_and(|fret| fret.number() == spot.fret)
        };
        let found = self.shapes.iter().position(|shape| spots.clone().all(|spot| lies_in(shape, spot)));
        found.map_or(1.0, |place| place as f64 / SHOWN as f64)
    }
}
