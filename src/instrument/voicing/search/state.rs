//! What the search knows of the strings it has been through.

use crate::instrument::fingering::{MUTED, OPEN};
use crate::instrument::hand::ThumbUse;
use crate::instrument::voicing::limits::{INNER_MUTES, SPAN};
use crate::theory::pitch_set::PitchSet;

/// What the strings before the next one sound.
#[derive(Clone, Copy)]
pub(super) struct StringsSoFar {
    /// The tones that sound.
    pub(super) covered: PitchSet,
    /// Strings that sound.
    pub(super) sounding: u32,
    /// The lowest note so far.
    pub(super) lowest_note: u8,
    /// Times a foreign bass sounds.
    pub(super) foreign: u32,
    /// The wire of the string before; muted and open ones too.
    pub(super) before: i8,
    pub(super) mutes: MutesSoFar,
    pub(super) fingers: FingersSoFar,
    /// Open strings far from the fingers and pitches that sound twice, in points; counted once a ceiling is known.
    pub(super) spent: u32,
}

/// The strings that are damped after the first that sounds.
#[derive(Clone, Copy)]
pub(super) struct MutesSoFar {
    /// Strings damped between sounding ones.
    pub(super) inner: u8,
    /// Muted strings since the last that sounds.
    pending: u8,
    /// Whether a muted string waits for a stopped one to damp it.
    undamped: bool,
}

/// What the stopped strings ask of the fingers.
#[derive(Clone, Copy)]
pub(super) struct FingersSoFar {
    /// The fingers that are needed at least at each wire above the lowest, for the strings after the first only: four
    /// bits for each wire, the lowest first.
    higher: u64,
    /// Fingers that are needed at least without a thumb.
    groups: u32,
    /// Fingers that are needed at least, beside a thumb where that may help.
    pub(super) needed: u32,
    /// Frets from the lowest wire to the highest so far.
    pub(super) span: u32,
    /// Whether one index finger may hold the next string at the lowest wire together with those before.
    low_run: bool,
    /// Whether only the string with the highest number is stopped at the lowest wire, and a thumb may do that.
    thumb_alone: bool,
    /// Whether some string is stopped at the lowest wire.
    pub(super) at_lowest: bool,
}

impl StringsSoFar {
    /// The state before the first string, for a place where a finger is down at the lowest wire.
    pub(super) const START: Self = Self {
        covered: PitchSet::EMPTY,
        sounding: 0,
        lowest_note: u8::MAX,
        foreign: 0,
        before: MUTED,
        mutes: MutesSoFar { inner: 0, pending: 0, undamped: false },
        fingers: FingersSoFar {
            higher: 0,
            groups: 0,
            needed: 0,
            span: 0,
            low_run: false,
            thumb_alone: false,
            at_lowest: false,
        },
        spent: 0,
    };

    /// The same where no finger is down at all.
    pub(super) const ALL_OPEN: Self =
        Self { fingers: FingersSoFar { at_lowest: true, ..Self::START.fingers }, ..Self::START };

    /// Returns the state after one more string is muted; `None` where it can be damped by no finger.
    pub(super) fn muted(self) -> Option<Self> {
        if self.sounding == 0 {
            return Some(Self { before: MUTED, ..self });
        }
        let mutes = self.mutes;
        // Between sounding strings a finger beside it damps a string: the one on the string before, or on the next.
        let undamped = self.before <= OPEN;
        if u32::from(mutes.inner + mutes.pending) >= INNER_MUTES || (undamped && mutes.undamped) {
            return None;
        }
        let mutes = MutesSoFar { pending: mutes.pending + 1, undamped, ..mutes };
        Some(Self { mutes, before: MUTED, ..self })
    }

    /// Returns whether a muted string waits to be damped by a finger on the next one.
    pub(super) const fn wants_a_finger(&self) -> bool {
        self.mutes.undamped
    }

    /// Returns the state after one more string sounds `note` at `wire`, for which the fingers are `fingers`.
    pub(super) fn sounded(self, note: u8, wire: i8, fingers: FingersSoFar) -> Self {
        Self {
            covered: self.covered.with_class(note % 12),
            sounding: self.sounding + 1,
            lowest_note: self.lowest_note.min(note),
            before: wire,
            mutes: MutesSoFar { inner: self.mutes.inner + self.mutes.pending, pending: 0, undamped: false },
            fingers,
            ..self
        }
    }
}

impl FingersSoFar {
    /// Returns what is asked of the fingers after the string at `index` is stopped at `wire`, or open; `None` where no
    /// hand has so many. `before` is the wire of the string before it, and `thumb` says whether a thumb may take the
    /// string with the highest number.
    pub(super) fn with(self, index: usize, wire: i8, lowest: i8, before: i8, thumb: ThumbUse) -> Option<Self> {
        let thumb = thumb == ThumbUse::IfNeeded;
        let mut next = self;
        if wire == OPEN {
            next.low_run = false;
        } else if wire == lowest {
            // One index finger holds all of these, unless an open string lies between.
            next.groups += u32::from(!self.low_run);
            next.low_run = true;
            next.at_lowest = true;
        } else {
            next.groups += u32::from(wire != before);
            next.higher += u64::from(index > 0 && wire != before) << (4 * (wire - lowest));
        }
        // A thumb may take the string with the highest number.
        next.thumb_alone = if index == 0 { thumb && wire == lowest } else { next.thumb_alone && wire != lowest };
        next.needed = if next.thumb_alone { next.beside_thumb() } else { next.groups };
        if next.needed > 4 + u32::from(thumb && index > 0 && !next.thumb_alone) {
            return None;
        }
        if wire != OPEN {
            next.span = self.span.max((wire - lowest) as u32);
        }
        Some(next)
    }

    /// Returns the fingers that are needed at least beside a thumb that is alone at the lowest wire: the index finger
    /// then lies at the next wire, and may hold all that is stopped there.
    fn beside_thumb(self) -> u32 {
        let fingers = |wires: u64| (0..=SPAN).map(|wire| (wires >> (4 * wire) & 0xF) as u32).sum::<u32>();
        let all = fingers(self.higher);
        let lowest = self.higher.trailing_zeros() / 4 * 4;
        if self.higher == 0 { 0 } else { all + 1 - (self.higher >> lowest & 0xF) as u32 }
    }
}
