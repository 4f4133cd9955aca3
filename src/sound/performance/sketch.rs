//! A sketch: a note while it is being made. Its pitch is a sum of curves, so that a bend continues while a slide runs.
//! Where a note lies in time is decided in [`passage`](super::passage).

use crate::lesson::seconds::Seconds;
use crate::sound::level::Strength;
use crate::sound::score::{Attack, Muting, PitchPoint, SoundedNote, Vibrato};
use crate::theory::pitch::{FinePitch, Semitones};

/// The departure of a pitch from its start: points in time joined by straight lines, level before the first and after
/// the last.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Curve(pub(super) Vec<(Seconds, Semitones)>);

impl Curve {
    fn at(&self, seconds: Seconds) -> Semitones {
        let next = self.0.partition_point(|(at, _)| *at <= seconds);
        let before = next.checked_sub(1).and_then(|last| self.0.get(last));
        match (before, self.0.get(next)) {
            (Some((from, low)), Some((to, high))) if to > from => {
                Semitones(low.0 + (high.0 - low.0) * (seconds.0 - from.0) / (to.0 - from.0))
            }
            (Some((_, level)), _) | (None, Some((_, level))) => *level,
            (None, None) => Semitones(0.0),
        }
    }

    /// Returns the same curve, shifted later by `by`.
    pub(super) fn later(self, by: Seconds) -> Self {
        Self(self.0.into_iter().map(|(at, semitones)| (at + by, semitones)).collect())
    }
}

/// A note with the curves of its pitch.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Sketch {
    pub(super) string: usize,
    pub(super) start: Seconds,
    pub(super) end: Seconds,
    pub(super) attack: Attack,
    pub(super) strength: Strength,
    pub(super) muting: Muting,
    pub(super) pitch: FinePitch,
    pub(super) curves: Vec<Curve>,
    pub(super) vibratos: Vec<Vibrato>,
    pub(super) partial: u8,
    /// The pitch at which the finger now stops the string, after slides.
    pub(super) stopped: FinePitch,
}

impl Sketch {
    /// Makes a plain note.
    pub(super) fn plain(string: usize, (start, end): (Seconds, Seconds), pitch: FinePitch, strength: Strength) -> Self {
        Self {
            string,
            start,
            end,
            attack: Attack::Pluck,
            strength,
            muting: Muting::None,
            pitch,
            curves: Vec::new(),
            vibratos: Vec::new(),
            partial: 1,
            stopped: pitch,
        }
    }

    /// Returns the sketch of the same string struck again `by` later, sounding until `end`. The curves and the vibrato
    /// continue meanwhile.
    pub(super) fn again(&self, by: Seconds, end: Seconds) -> Self {
        Self {
            start: self.start + by,
            end,
            curves: self.curves.iter().map(|curve| curve.clone().later(Seconds::ZERO - by)).collect(),
            vibratos: self.vibratos.iter().map(|vibrato| vibrato.later(Seconds::ZERO - by)).collect(),
            ..self.clone()
        }
    }

    /// Returns the pitch `seconds` after the start, without the vibrato.
    pub(super) fn pitch_at(&self, seconds: Seconds) -> FinePitch {
        self.pitch + Semitones(self.curves.iter().map(|curve| curve.at(seconds).0).sum())
    }

    /// Returns the finished note.
    pub(super) fn note(&self) -> SoundedNote {
        let mut times: Vec<Seconds> =
            self.curves.iter().flat_map(|curve| &curve.0).map(|(at, _)| at.max(Seconds::ZERO)).collect();
        times.sort_by(Seconds::total_cmp);
        times.dedup();
        SoundedNote {
            string: self.string,
            start: self.start,
            end: self.end,
            attack: self.attack,
            strength: self.strength,
            muting: self.muting,
            pitch: self.pitch_at(Seconds::ZERO),
            path: times
                .into_iter()
                .filter(|at| *at > Seconds::ZERO)
                .map(|at| PitchPoint { at, pitch: self.pitch_at(at) })
                .collect(),
            vibratos: self.vibratos.clone(),
            partial: self.partial,
        }
    }
}
