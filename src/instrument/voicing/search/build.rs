//! What keeps a voicing behind the others whatever its fingers and its place are, and what its silent strings mean.

use super::state::StringsSoFar;
use crate::instrument::fingering::{Held, MUTED, STRINGS};
use crate::instrument::voicing::board::ChordBoard;
use crate::instrument::voicing::ranking::{BassTone, Build};
use crate::instrument::voicing::tones::ChordTones;
use crate::theory::pitch::PitchClass;
use crate::theory::pitch_set::PitchSet;
use crate::theory::reading::bare_names;

/// A chord on the strings that it is looked for on.
pub(super) struct ChordOnStrings<'s> {
    pub(super) board: &'s ChordBoard,
    pub(super) tones: &'s ChordTones,
    /// Whether a bass was asked for beside the chord.
    pub(super) asks_bass: bool,
}

impl ChordOnStrings<'_> {
    /// Returns what the lowest note is to the chord.
    pub(super) fn bass_tone(&self, bass: u8) -> BassTone {
        let is = |tone: Option<PitchClass>| tone.is_some_and(|tone| tone.number() == bass % 12);
        let asked_for = self.tones.bass.is_some() || self.asks_bass;
        // A power chord over its fifth is no inversion that players look for.
        let power = self.tones.allowed.len() == 2;
        if self.board.any_bass || asked_for || is(Some(self.tones.root)) {
            BassTone::Proper
        } else if is(self.tones.fifth) && !power {
            BassTone::Fifth
        } else if is(self.tones.third) {
            BassTone::Third
        } else {
            BassTone::Other
        }
    }

    /// Returns whether it is a suspended triad. Over another bass than its root it is the other kind of suspended triad, on that
    /// bass, which players look up: A, B and E are Asus2 over A, and Esus4 over E.
    pub(super) fn is_suspended(&self) -> bool {
        let third = self.tones.third.map(|third| self.tones.root.up_to(third));
        self.tones.allowed.len() == 3 && matches!(third, Some(2 | 5))
    }

    /// Returns whether what sounds over `bass` is called first by the name of a chord on another root.
    pub(super) fn is_renamed(&self, sounding: PitchSet, bass: u8) -> bool {
        let bass = PitchClass::of(i32::from(bass));
        bare_names(sounding, bass).next().is_some_and(|name| name.root != self.tones.root)
    }

    /// Counts what keeps a shape that is not taught behind others whatever its fingers and its place are; see `clutter` in `assets/voicing_ranking.ron`.
    pub(super) fn clutter(&self, last: usize, state: &StringsSoFar, held: &Held, notes: &[u8; STRINGS]) -> u32 {
        let sounding = || (0..=last).filter(|index| notes[*index] != 0);
        let (Some(bass), Some(top)) =
            (sounding().min_by_key(|index| notes[*index]), sounding().max_by_key(|index| notes[*index]))
        else {
            return 0;
        };
        let in_the_middle = Self::damps_in_the_middle(last, held, notes);
        let root = self.tones.root.number();
        let roots = sounding().filter(|index| notes[*index] % 12 == root).count();
        let root_on_top =
            self.tones.is_dominant && !self.board.any_bass && roots == 1 && notes[top] % 12 == root && top != bass;
        let lost = !self.board.any_bass && self.is_lost(state.covered, notes[bass]);
        let power = self.tones.allowed.len() == 2;
        let other_bass = (self.board.is_bass || power) && self.bass_tone(notes[bass]) != BassTone::Proper;
        [in_the_middle, root_on_top, lost, other_bass].into_iter().map(u32::from).sum()
    }

    /// Returns whether the chord is not among the first three names of what sounds over `bass`, where it has a name.
    fn is_lost(&self, sounding: PitchSet, bass: u8) -> bool {
        let Some(formula) = self.tones.named.filter(|_| !self.tones.foreign_bass) else { return false };
        let bass = PitchClass::of(i32::from(bass));
        // Over its root, whole, it is what it is called.
        let is_whole = bass == self.tones.root && sounding == self.tones.allowed;
        !is_whole
            && !bare_names(sounding, bass)
                .take(3)
                .any(|name| name.root == self.tones.root && name.quality.formula == formula)
    }

    /// Returns what the silent strings mean in a voicing.
    pub(super) fn build(&self, state: &StringsSoFar, over_root: bool, open: u32, in_the_middle: bool) -> Build {
        let tones = self.tones.allowed.len();
        let each_once = state.sounding == state.covered.len();
        if over_root && tones == 2 && state.mutes.inner == 0 {
            Build::Power
        } else if over_root && self.board.is_bass && open == 0 && each_once && !in_the_middle {
            Build::Plucked
        } else if over_root && tones >= 4 && open == 0 && each_once {
            Build::Compact
        } else {
            Build::Plain
        }
    }

    /// Returns whether a string up to the one at `last` is damped between sounding ones, other than directly above the bass. The finger on
    /// the bass string damps the next one; what is damped further on waits for another.
    pub(super) fn damps_in_the_middle(last: usize, held: &Held, notes: &[u8; STRINGS]) -> bool {
        let sounding = || (0..=last).filter(|index| notes[*index] != 0);
        let Some((first, bass)) = sounding().next().zip(sounding().min_by_key(|index| notes[*index])) else {
            return false;
        };
        let above_bass = held[bass + 1..=last].iter().take_while(|wire| **wire == MUTED).count();
        let silent = held[first..=last].iter().filter(|wire| **wire == MUTED).count();
        silent > above_bass
    }
}
