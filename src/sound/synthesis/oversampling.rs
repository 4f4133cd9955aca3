//! Doubles the sample rate and halves it again, so that overtones added by a clipper do not alias into the audible
//! range. The clipper itself is not here; see [`amp`](super::amp).

use std::f64::consts::PI;

/// Half the number of non-zero weights of a half-band filter, apart from the middle one.
const HALF: usize = 8;
/// The samples that a filter remembers.
const MEMORY: usize = 32;

/// A half-band filter: linear phase, every second weight zero, the middle weight one half.
#[derive(Debug, Clone)]
pub struct HalfBand {
    /// The weights on one side of the middle, nearest first: those at 1, 3, 5 … samples of the higher rate.
    weights: [f32; HALF],
    even: [f32; MEMORY],
    odd: [f32; MEMORY],
    at: usize,
}

impl Default for HalfBand {
    fn default() -> Self {
        let mut weights = [0.0; HALF];
        for (place, weight) in weights.iter_mut().enumerate() {
            let distance = (2 * place + 1) as f64;
            let ideal = (PI * distance / 2.0).sin() / (PI * distance);
            // A Kaiser window with beta 8 attenuates by about 80 dB.
            let across = distance / (2 * HALF) as f64;
            *weight = (ideal * bessel(8.0 * (1.0 - across * across).sqrt()) / bessel(8.0)) as f32;
        }
        // The middle weight is one half and the sides add up to the other half, so that a constant level is unchanged.
        let sum: f32 = 2.0 * weights.iter().sum::<f32>();
        Self { weights: weights.map(|weight| weight * 0.5 / sum), even: [0.0; MEMORY], odd: [0.0; MEMORY], at: 0 }
    }
}

impl HalfBand {
    /// The delay of doubling and halving together, in samples of the lower rate.
    pub const DELAY: f64 = 2.0 * HALF as f64 - 1.5;

    /// Returns two samples of the higher rate for one of the lower.
    pub fn up(&mut self, input: f32) -> [f32; 2] {
        self.at = (self.at + 1) % MEMORY;
        self.even[self.at] = input;
        [2.0 * self.sides(&self.even), self.past(&self.even, HALF - 1)]
    }

    /// Returns one sample of the lower rate for two of the higher.
    pub fn down(&mut self, [first, second]: [f32; 2]) -> f32 {
        self.at = (self.at + 1) % MEMORY;
        self.even[self.at] = first;
        self.odd[self.at] = second;
        self.sides(&self.odd) + 0.5 * self.past(&self.even, HALF - 1)
    }

    /// Clears the state.
    pub const fn reset(&mut self) {
        (self.even, self.odd) = ([0.0; MEMORY], [0.0; MEMORY]);
    }

    fn past(&self, memory: &[f32; MEMORY], samples: usize) -> f32 {
        memory[(self.at + MEMORY - samples) % MEMORY]
    }

    /// Returns the weighted sum of the samples on both sides of a middle between two samples.
    fn sides(&self, memory: &[f32; MEMORY]) -> f32 {
        let pair = |place: usize| self.past(memory, HALF - 1 - place) + self.past(memory, HALF + place);
        self.weights.iter().enumerate().map(|(place, weight)| weight * pair(place)).sum()
    }
}

/// Returns the modified Bessel function of order 0, by its series.
fn bessel(x: f64) -> f64 {
    let mut term = 1.0;
    let mut sum = 1.0;
    for step in 1..40 {
        term *= (x / 2.0 / f64::from(step)).powi(2);
        sum += term;
    }
    sum
}
