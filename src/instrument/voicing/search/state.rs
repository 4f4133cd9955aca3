//! What the search knows of the strings it has been through.

use crate::instrument::fingering::{MUTED, OPEN};
use crate::instrument::voicing::limits::{INNER_MUTES, SPAN};
use crate::theory::pitch_set::PitchSet;

/// What the strings before the next one sound.
#[derive(Clone, Copy)]
pub(super) struct StringsSoFar {
    pub(super) covered: PitchSet,
    /// Strings that sound.
    pub(super) sounding: u32,
    /// Strings damped between them.
    pub(super) inner: u32,
    /// Muted strings since the last that sounds.
    pub(super) pending: u32,
    /// Fingers that are needed at least.
    pub(super) groups: u32,
    /// The fingers that are needed at least at each wire above the lowest, for the strings after the first only: four
    /// bits for each wire, the lowest first.
    pub(super) higher: u64,
    /// Whether one index finger may hold the next string at the lowest wire together with those before.
    pub(super) low_run: bool,
    /// Whether only the string with the highest number is stopped at the lowest wire, and a thumb may do that.
    pub(super) thumb_alone: bool,
    /// Whether some string is stopped at the lowest wire.
    pub(super) at_lowest: bool,
    /// The wire of the string before; muted and open ones too.
    pub(super) before: i8,
    /// Times a foreign bass sounds.
    pub(super) foreign: u32,
    /// Whether a muted string waits for a stopped one to damp it.
    pub(super) undamped: bool,
    /// Frets from the lowest wire to the highest so far.
    pub(super) span: u32,
    /// How many fingers are needed at least, beside a thumb where that may help.
    pub(super) fingers: u32,
    /// The lowest note so far.
    pub(super) lowest_note: u8,
    /// Open strings far from the fingers and pitches that sound twice, in points; counted once a ceiling is known.
    pub(super) spent: u32,
}

impl StringsSoFar {
    /// Returns the fingers that are needed at least beside a thumb that is alone at the lowest wire: the index finger
    /// then lies at the next wire, and may hold all that is stopped there.
    pub(super) fn beside_thumb(self) -> u32 {
        let fingers = |wires: u64| (0..=SPAN).map(|wire| (wires >> (4 * wire) & 0xF) as u32).sum::<u32>();
        let all = fingers(self.higher);
        let lowest = self.higher.trailing_zeros() / 4 * 4;
        if self.higher == 0 { 0 } else { all + 1 - (self.higher >> lowest & 0xF) as u32 }
    }

    /// Returns the state after one more string is muted; `None` where it can be damped by no finger.
    pub(super) fn muted(self) -> Option<Self> {
        if self.sounding == 0 {
            return Some(Self { before: MUTED, ..self });
        }
        // Between sounding strings a finger beside it damps a string: the one on the string before, or on the next.
        let undamped = self.before <= OPEN;
        if self.inner + self.pending >= INNER_MUTES || (undamped && self.undamped) {
            return None;
        }
        Some(Self { pending: self.pending + 1, undamped, before: MUTED, ..self })
    }
}
