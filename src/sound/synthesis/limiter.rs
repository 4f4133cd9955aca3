//! The limiter, through which everything passes last: no sample is above the ceiling.

use crate::lesson::seconds::Seconds;
use crate::sound::level::Level;
use crate::sound::rate::SampleRate;

/// The largest amplitude that the limiter returns: -1 dB of full scale.
pub const CEILING: Level = Level(0.891_250_9);
/// The time that it looks ahead, and the time in which the gain recovers.
const AHEAD: Seconds = Seconds(0.0015);
const LETS_GO: Seconds = Seconds(0.12);

/// Reduces the gain a moment before a sample would be too loud.
///
/// Every sample that it returns lies within [`CEILING`]: each is multiplied by a mean of gains that all allow for it.
#[derive(Debug, Clone)]
pub struct Limiter {
    /// The samples that wait, and the gains of as many samples.
    waiting: Box<[f32]>,
    gains: Box<[f32]>,
    at: usize,
    /// The sum of `gains`.
    sum: f64,
    /// The smallest gains that the waiting samples ask for, with their places, in rising order: a ring buffer.
    lowest: Box<[(usize, f32)]>,
    first: usize,
    count: usize,
    now: usize,
    gain: f32,
    lets_go: f32,
}

impl Limiter {
    /// Returns a limiter with a gain of 1.
    pub fn new(rate: SampleRate) -> Self {
        let length = ((AHEAD.0 * rate.per_second()) as usize).max(1);
        Self {
            waiting: vec![0.0; length].into_boxed_slice(),
            gains: vec![1.0; length].into_boxed_slice(),
            at: 0,
            sum: length as f64,
            lowest: vec![(0, 1.0); length + 1].into_boxed_slice(),
            first: 0,
            count: 0,
            now: 0,
            gain: 1.0,
            lets_go: (1.0 - (-1.0 / (LETS_GO.0 * rate.per_second())).exp()) as f32,
        }
    }

    /// Returns the latency, in samples.
    pub fn latency(&self) -> usize {
        self.waiting.len() - 1
    }

    /// Takes a sample and returns the one from [`Limiter::latency`] samples ago.
    pub fn next(&mut self, sample: f32) -> f32 {
        let sample = if sample.is_finite() { sample } else { 0.0 };
        let length = self.waiting.len();
        let asked = if sample.abs() > CEILING.0 { CEILING.0 / sample.abs() } else { 1.0 };
        let lowest = self.lowest_of_all(asked);
        self.gain = (self.gain + self.lets_go * (1.0 - self.gain)).min(lowest);
        // The recovery ends; otherwise the gain would approach 1 for ever.
        if self.gain > 0.999_99 && lowest >= 1.0 {
            self.gain = 1.0;
        }
        self.sum += f64::from(self.gain) - f64::from(self.gains[self.at]);
        self.gains[self.at] = self.gain;
        self.waiting[self.at] = sample;
        self.at = (self.at + 1) % length;
        let mean = (self.sum / length as f64) as f32;
        // Only rounding could still lead above the ceiling.
        (self.waiting[self.at] * mean).clamp(-CEILING.0, CEILING.0)
    }

    /// Returns the smallest gain that the waiting samples ask for.
    fn lowest_of_all(&mut self, asked: f32) -> f32 {
        let (length, places) = (self.waiting.len(), self.lowest.len());
        while self.count > 0 && self.lowest[(self.first + self.count - 1) % places].1 >= asked {
            self.count -= 1;
        }
        self.lowest[(self.first + self.count) % places] = (self.now, asked);
        self.count += 1;
        if self.now.wrapping_sub(self.lowest[self.first].0) >= length {
            self.first = (self.first + 1) % places;
            self.count -= 1;
        }
        self.now = self.now.wrapping_add(1);
        self.lowest[self.first].1
    }
}
