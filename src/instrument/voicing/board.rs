//! The board: what every wire of every string of a rig sounds, measured once for a whole search.

use super::found_voicing::{FoundVoicing, Hit};
use super::limits::WIRES;
use super::taught::Taught;
use crate::instrument::fingering::{Held, MUTED, Neck, OPEN, STRINGS};
use crate::instrument::neck::{Fret, Place, Shape};
use crate::instrument::rig::Rig;
use crate::theory::reading::Lowest;

/// A rig as the search needs it: what every wire of every string sounds.
pub struct ChordBoard {
    pub(super) neck: Neck,
    /// How many strings there are.
    pub(super) strings: usize,
    /// The MIDI note of each string at each wire; 0 where there is none.
    pub(super) notes: [[u8; WIRES]; STRINGS],
    /// The MIDI note of each open string.
    pub(super) open: [u8; STRINGS],
    /// The number of the fret that is written for each wire of a string; 0 where there is none.
    pub(super) written: [[u8; WIRES]; STRINGS],
    /// What the lowest note is to the names of what sounds.
    pub(super) lowest: Lowest,
    /// Whether the tuning is re-entrant, so that nobody hears a bass.
    pub(super) reentrant: bool,
    /// Whether any tone may be lowest: the tuning is re-entrant, or has four high strings or fewer, all of which a chord
    /// needs.
    pub(super) any_bass: bool,
    /// Whether it is re-entrant and all its open strings lie within an octave, so that two often sound one note.
    pub(super) narrow: bool,
    /// Whether it is a bass: no open string is above [`DEEP`].
    pub(super) is_bass: bool,
    /// The shapes that everybody learns on it.
    pub(super) taught: Taught,
}

/// The highest open string of a bass, at the most: E3. A bass of six strings has C3, a baritone guitar B3.
const DEEP: u8 = 52;

impl ChordBoard {
    /// Measures `rig`.
    pub fn of(rig: &Rig) -> Self {
        let mut board = Self {
            neck: Neck::of(rig),
            strings: rig.tuning().strings().len().min(STRINGS),
            notes: [[0; WIRES]; STRINGS],
            open: [0; STRINGS],
            written: [[0; WIRES]; STRINGS],
            lowest: rig.lowest_is(),
            reentrant: rig.lowest_is() == Lowest::AnyTone,
            any_bass: rig.lowest_is() != Lowest::Bass,
            narrow: false,
            is_bass: false,
            taught: Taught::default(),
        };
        for (index, string) in rig.strings().enumerate().take(STRINGS) {
            for fret in rig.frets(string) {
                let Ok(note) = rig.sounding(string, fret) else { continue };
                if fret == Fret::OPEN {
                    board.open[index] = note.number();
                } else if let Ok(wire) = rig.wire(Place { string, fret }) {
                    let wire = usize::from(wire.number());
                    board.notes[index][wire] = note.number();
                    board.written[index][wire] = fret.number();
                }
            }
        }
        let open = &board.open[..board.strings];
        let apart = |(low, high): (&u8, &u8)| high - low;
        board.narrow = board.reentrant && open.iter().min().zip(open.iter().max()).map_or(0, apart) <= 12;
        board.is_bass = open.iter().max().is_some_and(|highest| *highest <= DEEP);
        board.taught = Taught::on(open, board.neck.nut);
        board
    }

    /// Returns `held` as a shape is written.
    pub(super) fn shape(&self, held: &Held) -> Shape {
        let written = |(index, wire): (usize, &i8)| match *wire {
            MUTED => None,
            OPEN => Some(Fret::OPEN),
            wire => Fret::new(self.written[index][usize::try_from(wire).unwrap_or(0)]),
        };
        Shape::new(held.iter().take(self.strings).enumerate().map(written).collect()).unwrap_or_default()
    }

    /// Returns the MIDI note of a string as it is held; `None` where it is muted.
    pub(super) fn note(&self, index: usize, wire: i8) -> Option<u8> {
        match wire {
            MUTED => None,
            OPEN => Some(self.open[index]),
            wire => Some(self.notes[index][usize::try_from(wire).unwrap_or(0)]),
        }
    }

    /// Returns how many strings make a full chord of so many tones, where the instrument has them. A bass leaves out the fifth, so
    /// low is it.
    pub(super) fn enough(&self, tones: u32) -> u32 {
        if self.is_bass { tones.saturating_sub(1).clamp(2, 3) } else { 4.min(tones + 1) }
    }

    /// Returns `hit` with its shape and fingering as they are shown.
    pub(super) fn voicing(&self, hit: &Hit) -> FoundVoicing {
        let shape = self.shape(&hit.held);
        let fingering = hit.grip.fingering(&shape, &hit.held, &self.neck);
        FoundVoicing { shape, fingering, cost: hit.cost }
    }
}
