//! The drone: a bass note held under everything.

use std::f64::consts::TAU;

use crate::lesson::seconds::Seconds;
use crate::sound::rate::SampleRate;
use crate::sound::score::Drone;
use crate::theory::pitch::Hertz;

/// The number of partials, and the ratio of each partial's level to the one before.
const PARTIALS: usize = 6;
const WEAKER: f64 = 0.55;
/// The level at full strength, and the time in which the drone fades in and out.
const LEVEL: f64 = 0.16;
const COMES: Seconds = Seconds(0.06);

/// A steady tone of a few partials.
#[derive(Debug, Clone)]
pub struct Droning {
    rate: SampleRate,
    /// The sine and cosine of the lowest partial, and those of its step.
    wheel: [f64; 2],
    step: [f64; 2],
    weights: [f64; PARTIALS],
    level: f64,
    target: f64,
}

impl Droning {
    /// Returns a silent drone.
    pub const fn new(rate: SampleRate) -> Self {
        Self { rate, wheel: [0.0, 1.0], step: [0.0, 1.0], weights: [0.0; PARTIALS], level: 0.0, target: 0.0 }
    }

    /// Starts `drone`, tuned to `reference`.
    pub fn start(&mut self, drone: Drone, reference: Hertz) {
        let (Hertz(hertz), rate) = (drone.pitch.frequency(reference), self.rate.per_second());
        if !hertz.is_finite() || hertz > rate / 3.0 || !drone.strength.0.is_finite() {
            return self.stop();
        }
        let angle = TAU * hertz / rate;
        self.step = [angle.sin(), angle.cos()];
        for (place, weight) in self.weights.iter_mut().enumerate() {
            let partial = (place + 1) as f64;
            *weight = if partial * hertz < rate / 3.0 { WEAKER.powi(place as i32) } else { 0.0 };
        }
        self.target = LEVEL * f64::from(drone.strength.share());
    }

    /// Fades the drone out.
    pub const fn stop(&mut self) {
        self.target = 0.0;
    }

    /// Returns whether the drone is silent.
    pub fn is_still(&self) -> bool {
        self.level == 0.0 && self.target == 0.0
    }

    /// Adds the drone to `bus`.
    pub fn add_to(&mut self, bus: &mut [f32]) {
        if self.is_still() {
            self.wheel = [0.0, 1.0];
            return;
        }
        let most = LEVEL / (COMES.0 * self.rate.per_second());
        for sample in bus {
            self.level += (self.target - self.level).clamp(-most, most);
            *sample += (self.level * self.tone()) as f32;
            let [sine, cosine] = self.wheel;
            self.wheel = [sine * self.step[1] + cosine * self.step[0], cosine * self.step[1] - sine * self.step[0]];
        }
        // Rotation changes the length of the vector only by rounding, so correcting it once a block is enough.
        let size = self.wheel[0].hypot(self.wheel[1]);
        self.wheel = self.wheel.map(|side| side / size);
    }

    /// Returns the sum of the partials: sin(n a) is 2 cos(a) sin((n - 1) a) - sin((n - 2) a).
    fn tone(&self) -> f64 {
        let [sine, cosine] = self.wheel;
        let (mut before, mut this, mut sum) = (0.0, sine, 0.0);
        for weight in self.weights {
            sum += weight * this;
            (before, this) = (this, 2.0 * cosine * this - before);
        }
        sum
    }
}
