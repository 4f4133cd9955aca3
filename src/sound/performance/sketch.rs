//! A note while it is being made: its pitch is a sum of curves, so that a bend goes on while a slide does.

use crate::sound::score::{Attack, Muting, PitchPoint, SoundedNote, Vibrato};

/// How a pitch departs from where it began: points of seconds and semitones, straight lines between them, level before
/// and after.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Curve(pub(super) Vec<(f64, f64)>);

impl Curve {
    fn at(&self, seconds: f64) -> f64 {
        let next = self.0.partition_point(|(at, _)| *at <= seconds);
        let before = next.checked_sub(1).and_then(|last| self.0.get(last));
        match (before, self.0.get(next)) {
            (Some((from, low)), Some((to, high))) if to > from => low + (high - low) * (seconds - from) / (to - from),
            (Some((_, level)), _) | (None, Some((_, level))) => *level,
            (None, None) => 0.0,
        }
    }

    /// The same curve that begins later.
    pub(super) fn later(self, by: f64) -> Self {
        Self(self.0.into_iter().map(|(at, semitones)| (at + by, semitones)).collect())
    }
}

/// A note with the curves of its pitch.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Sketch {
    pub(super) string: usize,
    pub(super) start: f64,
    pub(super) end: f64,
    pub(super) attack: Attack,
    pub(super) strength: f32,
    pub(super) muting: Muting,
    pub(super) pitch: f64,
    pub(super) curves: Vec<Curve>,
    pub(super) vibratos: Vec<Vibrato>,
    pub(super) partial: u8,
    /// The pitch that the finger stops now, after slides.
    pub(super) stopped: f64,
}

impl Sketch {
    /// A plain note.
    pub(super) fn plain(string: usize, (start, end): (f64, f64), pitch: f64, strength: f32) -> Self {
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

    /// The same string struck again so much later, until `end`: its curves and its vibrato go on meanwhile.
    pub(super) fn again(&self, by: f64, end: f64) -> Self {
        Self {
            start: self.start + by,
            end,
            curves: self.curves.iter().map(|curve| curve.clone().later(-by)).collect(),
            vibratos: self.vibratos.iter().map(|vibrato| vibrato.later(-by)).collect(),
            ..self.clone()
        }
    }

    /// The pitch so many seconds after the start, without the vibrato.
    pub(super) fn pitch_at(&self, seconds: f64) -> f64 {
        self.pitch + self.curves.iter().map(|curve| curve.at(seconds)).sum::<f64>()
    }

    /// Returns the note.
    pub(super) fn note(&self) -> SoundedNote {
        let mut times: Vec<f64> = self.curves.iter().flat_map(|curve| &curve.0).map(|(at, _)| at.max(0.0)).collect();
        times.sort_by(f64::total_cmp);
        times.dedup();
        SoundedNote {
            string: self.string,
            start: self.start,
            end: self.end,
            attack: self.attack,
            strength: self.strength,
            muting: self.muting,
            pitch: self.pitch_at(0.0),
            path: times
                .into_iter()
                .filter(|at| *at > 0.0)
                .map(|at| PitchPoint { at, pitch: self.pitch_at(at) })
                .collect(),
            vibratos: self.vibratos.clone(),
            partial: self.partial,
        }
    }
}
