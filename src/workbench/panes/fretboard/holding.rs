//! How the shape on the fretboard is held by a hand, worked out once for each shape.

use crate::instrument::fingering::{Fingering, FingeringError, fingering};
use crate::instrument::hand::{Hand, HandSize};
use crate::instrument::neck::{Fret, Shape};
use crate::instrument::rig::Rig;

/// How a hand holds a shape.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Holding {
    shape: Shape,
    hand: HandSize,
    /// The fingering, or why there is none.
    pub(super) fingering: Result<Fingering, FingeringError>,
}

impl Holding {
    /// Returns how `hand` holds `shape`; `None` where no finger is needed or the neck does not have its places.
    pub(super) fn of(rig: &Rig, shape: &Shape, hand: HandSize) -> Option<Self> {
        let stopped = shape.strings().iter().flatten().any(|fret| *fret != Fret::OPEN);
        (stopped && rig.check(shape).is_ok()).then(|| Self {
            shape: shape.clone(),
            hand,
            fingering: fingering(rig, shape, &Hand::new(hand)),
        })
    }

    /// Returns whether this is how `hand` holds `shape`.
    pub(super) fn is_of(&self, shape: &Shape, hand: HandSize) -> bool {
        self.shape == *shape && self.hand == hand
    }
}
