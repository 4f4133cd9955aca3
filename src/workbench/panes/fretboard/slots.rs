//! Two slots for shapes to compare: A and B.

use crate::instrument::neck::Shape;
use crate::workbench::panes::fretboard::grip::Grip;

/// One of the two slots.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum ShapeSlot {
    A,
    B,
}

impl ShapeSlot {
    const fn place(self) -> usize {
        match self {
            Self::A => 0,
            Self::B => 1,
        }
    }

    /// Returns the letter that the slot has on the screen.
    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::A => "A",
            Self::B => "B",
        }
    }
}

/// What lies in the slots A and B.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct ShapeSlots([Option<Grip>; 2]);

impl ShapeSlots {
    /// Returns what lies in A and what lies in B.
    pub(super) const fn both(&self) -> &[Option<Grip>; 2] {
        &self.0
    }

    /// Puts a grip into a slot.
    pub(super) fn put(&mut self, slot: ShapeSlot, grip: Grip) {
        if let Some(slot) = self.0.get_mut(slot.place()) {
            *slot = Some(grip);
        }
    }

    /// Returns what lies in the other slot, and which that is: in B where `shape` is that of A, else in A, else in B.
    pub(super) fn other_than(&self, shape: &Shape) -> Option<(Grip, ShapeSlot)> {
        let [a, b] = &self.0;
        let here = |slot: &Option<Grip>| slot.as_ref().is_some_and(|grip| grip.shape == *shape);
        match (a, b) {
            (_, Some(b)) if here(a) => Some((b.clone(), ShapeSlot::B)),
            (Some(a), _) => Some((a.clone(), ShapeSlot::A)),
            (None, Some(b)) => Some((b.clone(), ShapeSlot::B)),
            (None, None) => None,
        }
    }
}
