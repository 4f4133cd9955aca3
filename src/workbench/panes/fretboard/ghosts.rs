//! Ghosts: other shapes drawn on the neck beside the fingers, before one of them is taken.
//!
//! A search runs only when it is asked for; what it found is stepped through until the shape on the
//! fretboard changes.

use std::fmt;
use std::sync::Arc;

use crate::instrument::fingering::{Fingering, FingeringError};
use crate::instrument::neck::{Fret, Shape, StringNumber};
use crate::instrument::rig::Rig;
use crate::instrument::voicing::elsewhere::HANDS;
use crate::instrument::voicing::level::PlayerLevel;
use crate::workbench::panes::fretboard::grip::Grip;

/// What the ghosts have in common with the fingers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GhostKind {
    /// The same tones over the same bass in another place.
    Elsewhere,
    /// The same tones under the same highest note.
    SameTop,
    /// An inversion on the same strings.
    Inversion,
    /// The same shape further along or across the neck.
    Moved,
    /// What a hand holds that the shape is too wide for.
    Smaller,
    /// The voicings of a chord that was typed.
    Named,
}

/// One shape that may be taken.
#[derive(Debug, Clone, PartialEq)]
pub struct Ghost {
    /// Where the fingers would be.
    pub shape: Shape,
    /// Which fingers they would be, or why the hand cannot hold it.
    pub fingering: Result<Fingering, FingeringError>,
    /// What there is to say of it beside that; possibly nothing.
    pub about: String,
    /// The names that are kept for it once it is taken.
    pub kept: Vec<String>,
}

impl Ghost {
    /// Returns what lies on the strings `on` once it is taken.
    pub fn grip(self, on: Arc<Rig>) -> Grip {
        let grip = Grip::new(self.shape, Vec::new(), self.kept, on);
        match self.fingering {
            Ok(fingering) => grip.held_with(fingering.fingers, fingering.barre),
            Err(_) => grip,
        }
    }

    /// Says how it is held, or that the hand cannot and what then.
    pub fn hold_in_words(&self) -> String {
        match &self.fingering {
            Ok(fingering) => {
                format!("{}, fingers {}", hold_in_words(fingering), fingers_in_short(fingering, &self.shape))
            }
            Err(error) => format!("{error}. {HANDS}"),
        }
    }
}

/// How many of the shapes that were found a level of playing leaves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LevelShare {
    /// The level.
    pub level: PlayerLevel,
    /// How many keep to it.
    pub left: usize,
    /// How many there are for a player of every level.
    pub all: usize,
}

impl fmt::Display for LevelShare {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { level, left, all } = self;
        let shapes = if *all == 1 { "shape" } else { "shapes" };
        match left {
            0 => write!(f, "{level}: none of {all} {shapes}"),
            left => write!(f, "{level}: {left} of {all} {shapes}"),
        }
    }
}

/// Some ghosts, one of which is shown.
///
/// Invariant: there is at least one.
#[derive(Debug, Clone, PartialEq)]
pub struct Ghosts {
    /// What they have in common.
    pub kind: GhostKind,
    /// The shape on the fretboard that they belong to.
    pub of: Shape,
    /// How many a level has left; `None` where it has left them all.
    pub share: Option<LevelShare>,
    first: Ghost,
    rest: Vec<Ghost>,
    at: usize,
}

impl Ghosts {
    /// Returns the ghosts of a shape, the first of them shown; `None` where the list is empty.
    pub fn new(kind: GhostKind, of: Shape, list: impl IntoIterator<Item = Ghost>) -> Option<Self> {
        let mut list = list.into_iter();
        let first = list.next()?;
        Some(Self { kind, of, share: None, first, rest: list.collect(), at: 0 })
    }

    /// Returns the same with what a level has left of all that there are.
    pub fn of_all(self, share: LevelShare) -> Self {
        Self { share: Some(share).filter(|share| share.left < share.all), ..self }
    }

    /// Returns how many there are.
    pub const fn count(&self) -> usize {
        self.rest.len() + 1
    }

    /// Returns the place of the one shown, counted from 1.
    pub const fn place(&self) -> usize {
        self.at + 1
    }

    /// Returns the one shown.
    pub fn shown(&self) -> &Ghost {
        self.at.checked_sub(1).and_then(|at| self.rest.get(at)).unwrap_or(&self.first)
    }

    /// Shows the next one, the first after the last.
    pub const fn next(&mut self) {
        self.at = (self.at + 1) % self.count();
    }

    /// Shows the one before, the last before the first.
    pub const fn previous(&mut self) {
        self.at = (self.at + self.count() - 1) % self.count();
    }

    /// Returns whether the one shown has a finger, or an open string, at a place.
    pub fn is_at(&self, string: StringNumber, fret: Fret) -> bool {
        self.shown().shape.on(string) == Some(fret)
    }
}

/// Says how a shape is held: how far the fingers lie apart and how comfortable that is.
pub fn hold_in_words(fingering: &Fingering) -> String {
    format!("reach {:.0} mm, ease {}/100", fingering.reach.0, fingering.comfort())
}

/// Returns the fingers as teachers write them: `x32-1-`, a dash for a string without one.
pub fn fingers_in_short(fingering: &Fingering, shape: &Shape) -> String {
    let strings = shape.strings().iter().zip(&fingering.fingers);
    let mark = |(fret, finger): (&Option<Fret>, &Option<crate::instrument::hand::Finger>)| match (fret, finger) {
        (None, _) => 'x',
        (Some(_), None) => '-',
        (Some(_), Some(finger)) => finger.to_char(),
    };
    strings.map(mark).collect()
}
