//! The fingers on the strings: what the keys do to the [`Grip`] that lies there, and where it came from.
//!
//! Nothing here knows the neck; whether a place is there is asked of the rig before a finger is put down.

use std::sync::Arc;

use crate::instrument::hand::{Barre, Finger};
use crate::instrument::neck::{Fret, StringNumber};
use crate::instrument::rig::Rig;
use crate::lesson::id::VoicingId;
use crate::theory::pitch::NoteName;
use crate::theory::reading::Doubt;
use crate::workbench::panes::fretboard::grip::{ChordSearch, Grip, KeepOutcome};

/// Where the shape on the fretboard comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum GripOrigin {
    /// Nobody put it there by hand: it may make way for the next segment's.
    #[default]
    Followed,
    /// It is this voicing of the lesson, unchanged since.
    Voicing(VoicingId),
    /// Somebody put fingers down.
    Hand,
}

/// The fingers on the strings, and what the last keys did to them.
///
/// Invariant: the grip has as many strings as the rig that the fingers were made for.
#[derive(Debug, Clone, PartialEq)]
pub struct Fingers {
    grip: Grip,
    origin: GripOrigin,
    /// The digit typed just before, which the next one may continue.
    typed: Option<u8>,
    /// What lay there before it was cleared.
    cleared: Option<Grip>,
    /// How often the grip was changed.
    revision: u64,
}

impl Fingers {
    /// Returns no finger on these strings.
    pub(super) fn off(rig: Arc<Rig>) -> Self {
        Self { grip: Grip::muted(rig), origin: GripOrigin::Followed, typed: None, cleared: None, revision: 0 }
    }

    /// Takes all fingers off, for these strings. Returns what was put down by hand and has to make way, if anything was.
    pub(super) fn leave(&mut self, rig: Arc<Rig>) -> Option<Grip> {
        let left = std::mem::replace(self, Self { revision: self.revision + 1, ..Self::off(rig) });
        Some(left.grip).filter(|grip| left.origin == GripOrigin::Hand && !grip.is_silent())
    }

    /// Returns a number that differs after every change of what lies on the strings.
    pub(super) const fn revision(&self) -> u64 {
        self.revision
    }

    /// Returns what lies on the strings.
    pub(super) const fn grip(&self) -> &Grip {
        &self.grip
    }

    /// Returns where it comes from.
    pub(super) const fn origin(&self) -> GripOrigin {
        self.origin
    }

    /// Returns how many strings there are.
    pub(super) fn strings(&self) -> usize {
        self.grip.shape.strings().len()
    }

    /// Puts down a grip if it has as many strings as there are here, and returns whether it has; else everything stays as it
    /// is.
    pub(super) fn put(&mut self, grip: Grip, origin: GripOrigin) -> bool {
        let fits = grip.shape.strings().len() == self.strings();
        if fits {
            *self = Self { grip, origin, typed: None, cleared: None, revision: self.revision + 1 };
        }
        fits
    }

    /// Notes that the grip is now this voicing of the lesson.
    pub(super) const fn are_now(&mut self, voicing: VoicingId) {
        self.origin = GripOrigin::Voicing(voicing);
    }

    /// Keeps a reading as the name on `rig`, or drops it.
    pub(super) fn keep(&mut self, symbol: &str, rig: &Arc<Rig>) -> KeepOutcome {
        self.by_hand();
        self.grip.keep(symbol, rig)
    }

    /// Takes down which bass somebody else plays under what sounds on `rig`. Whose voicing it is stays as it was.
    pub(super) fn state_bass(&mut self, bass: Option<NoteName>, rig: &Arc<Rig>) {
        self.grip.state_bass(bass, rig);
        self.revision += 1;
    }

    /// Writes down which fingers hold the shape. Returns whether that was not written down before.
    pub(super) fn hold_with(&mut self, fingers: Vec<Option<Finger>>, barre: Option<Barre>) -> bool {
        if self.grip.fingers == fingers && self.grip.barre == barre {
            return false;
        }
        (self.grip.fingers, self.grip.barre) = (fingers, barre);
        self.by_hand();
        true
    }

    /// Puts a finger on a string of `rig` at a place that is there, or lifts it.
    pub(super) fn set(&mut self, string: StringNumber, fret: Option<Fret>, rig: &Arc<Rig>) {
        if self.grip.shape.on(string) == fret {
            return;
        }
        let search = match self.origin {
            GripOrigin::Voicing(_) => ChordSearch::IsOver,
            GripOrigin::Followed | GripOrigin::Hand => ChordSearch::GoesOn,
        };
        self.grip.set(string, fret, rig, search);
        self.set_doubt(string, Doubt::Sure);
        self.by_hand();
    }

    fn set_doubt(&mut self, string: StringNumber, doubt: Doubt) {
        let index = string.index(self.strings());
        if let Some(place) = index.and_then(|index| self.grip.doubts.get_mut(index)) {
            *place = doubt;
        }
    }

    /// Returns how sure the ear is of a string.
    pub(super) fn doubt(&self, string: StringNumber) -> Doubt {
        string.index(self.strings()).and_then(|index| self.grip.doubts.get(index)).copied().unwrap_or_default()
    }

    /// Goes from sure to unsure to not heard, and round again, on a string that sounds.
    pub(super) fn cycle_doubt(&mut self, string: StringNumber) {
        self.set_doubt(
            string,
            match self.doubt(string) {
                Doubt::Sure => Doubt::Unsure,
                Doubt::Unsure => Doubt::NotHeard,
                Doubt::NotHeard => Doubt::Sure,
            },
        );
        self.by_hand();
    }

    /// Takes every finger off, or puts those back that were taken off last. Returns whether there were any.
    pub(super) fn clear(&mut self, rig: &Arc<Rig>) -> bool {
        if self.grip.is_silent() && self.cleared.is_none() {
            return false;
        }
        match self.cleared.take() {
            Some(grip) if self.grip.is_silent() => self.grip = grip,
            _ => {
                let empty = Grip::muted(Arc::clone(rig));
                self.cleared = Some(std::mem::replace(&mut self.grip, empty));
            }
        }
        self.by_hand();
        true
    }

    /// Notes that somebody has changed the grip.
    const fn by_hand(&mut self) {
        self.origin = GripOrigin::Hand;
        self.revision += 1;
    }

    /// Returns the number that a digit makes with the one typed before it, where that is at most `last`, else the digit
    /// alone, with the number that was too large. A third digit begins anew.
    pub(super) fn number_with(&mut self, digit: u8, last: u8) -> (u8, Option<u8>) {
        let both = self.typed.map(|before| before * 10 + digit);
        let joined = both.filter(|number| *number <= last);
        self.typed = if joined.is_some() { None } else { Some(digit) };
        (joined.unwrap_or(digit), both.filter(|_| joined.is_none()))
    }

    /// Has the next digit begin a number of its own.
    pub(super) const fn end_number(&mut self) {
        self.typed = None;
    }
}
