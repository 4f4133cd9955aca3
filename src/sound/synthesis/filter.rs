//! Filters for the sum of all strings. The filters inside a string are not here; see [`ring`](super::ring).

use std::f64::consts::TAU;

use crate::sound::rate::SampleRate;
use crate::sound::sounds::{Decibels, Filter};
use crate::theory::pitch::Hertz;

/// A filter state below this is set to zero, because a processor slows down over denormal numbers.
const TINY: f64 = 1e-15;

/// A filter of the second order.
///
/// Source: R. Bristow-Johnson, "Audio EQ Cookbook" (W3C Group Note, 2021), from memory.
#[derive(Debug, Clone)]
pub struct Biquad {
    feed: [f64; 3],
    back: [f64; 2],
    state: [f64; 2],
}

impl Biquad {
    /// Returns the filter for a sample rate.
    pub fn new(filter: Filter, rate: SampleRate) -> Self {
        let rate = rate.per_second();
        let (Hertz(hz), q) = match filter {
            Filter::LowCut { hz, q } | Filter::HighCut { hz, q } | Filter::Peak { hz, q, .. } => (hz, q),
            Filter::HighShelf { hz, .. } => (hz, std::f64::consts::FRAC_1_SQRT_2),
        };
        // A corner above what the sample rate can represent is clamped.
        let angle = TAU * hz.clamp(1.0, rate * 0.45) / rate;
        let (cosine, alpha) = (angle.cos(), angle.sin() / (2.0 * q.max(0.01)));
        let (feed, back) = match filter {
            Filter::LowCut { .. } => (
                [f64::midpoint(1.0, cosine), -(1.0 + cosine), f64::midpoint(1.0, cosine)],
                [1.0 + alpha, -2.0 * cosine, 1.0 - alpha],
            ),
            Filter::HighCut { .. } => {
                ([(1.0 - cosine) / 2.0, 1.0 - cosine, (1.0 - cosine) / 2.0], [1.0 + alpha, -2.0 * cosine, 1.0 - alpha])
            }
            Filter::HighShelf { db, .. } => high_shelf(db, cosine, alpha),
            Filter::Peak { db, .. } => {
                let root = 10_f64.powf(db.0 / 40.0);
                (
                    [1.0 + alpha * root, -2.0 * cosine, 1.0 - alpha * root],
                    [1.0 + alpha / root, -2.0 * cosine, 1.0 - alpha / root],
                )
            }
        };
        Self { feed: feed.map(|value| value / back[0]), back: [back[1] / back[0], back[2] / back[0]], state: [0.0; 2] }
    }

    /// Clears the state.
    pub const fn reset(&mut self) {
        self.state = [0.0; 2];
    }

    /// Filters one sample.
    pub fn next(&mut self, input: f64) -> f64 {
        let output = self.feed[0] * input + self.state[0];
        self.state[0] = self.feed[1] * input - self.back[0] * output + self.state[1];
        self.state[1] = self.feed[2] * input - self.back[1] * output;
        output
    }

    /// Sets a state that is too small to be heard to zero.
    pub fn settle(&mut self) {
        if self.state.iter().all(|value| value.abs() < TINY) {
            self.state = [0.0; 2];
        }
    }
}

/// Returns the coefficients of a filter that changes the level well above its corner by `db` and leaves the level well
/// below.
fn high_shelf(db: Decibels, cosine: f64, alpha: f64) -> ([f64; 3], [f64; 3]) {
    let root = 10_f64.powf(db.0 / 40.0);
    let (more, less, slope) = (root + 1.0, root - 1.0, 2.0 * root.sqrt() * alpha);
    (
        [
            root * (more + less * cosine + slope),
            -2.0 * root * (less + more * cosine),
            root * (more + less * cosine - slope),
        ],
        [more - less * cosine + slope, 2.0 * (less - more * cosine), more - less * cosine - slope],
    )
}

/// A filter of the first order that passes the low or the high part.
#[derive(Debug, Clone)]
pub struct OnePole {
    keep: f64,
    low: f64,
}

impl OnePole {
    /// Returns the filter for a corner frequency.
    pub fn new(corner: Hertz, rate: SampleRate) -> Self {
        Self { keep: (-TAU * corner.0 / rate.per_second()).exp(), low: 0.0 }
    }

    /// Clears the state.
    pub const fn reset(&mut self) {
        self.low = 0.0;
    }

    /// Returns the part of `input` below the corner.
    pub fn low(&mut self, input: f64) -> f64 {
        self.low = input + self.keep * (self.low - input);
        self.low
    }

    /// Returns the part of `input` above the corner.
    pub fn high(&mut self, input: f64) -> f64 {
        input - self.low(input)
    }

    /// Sets a state that is too small to be heard to zero.
    pub fn settle(&mut self) {
        if self.low.abs() < TINY {
            self.low = 0.0;
        }
    }
}
