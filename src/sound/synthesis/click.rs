//! The clicks of the metronome: short tones of three pitches. When they sound is decided by the score.

use std::f64::consts::TAU;

use crate::lesson::seconds::Seconds;
use crate::sound::rate::SampleRate;
use crate::sound::score::Accent;
use crate::theory::pitch::Hertz;

/// The level below which a click is over (-100 dB).
const GONE: f64 = 1e-5;
/// The time in which a click falls to 1/e of its level.
const FALLS: Seconds = Seconds(0.008);

/// A click in progress. Its pitches, lengths and levels are our own choice, made so that the three kinds can be told
/// apart.
#[derive(Debug, Clone, Default)]
struct ClickTone {
    sine: [f64; 2],
    turn: f64,
    level: f64,
    falls: f64,
}

impl ClickTone {
    fn start(&mut self, accent: Accent, rate: SampleRate) {
        let (hertz, level) = match accent {
            Accent::Bar => (Hertz(2093.0), 0.32),
            Accent::Group => (Hertz(1568.0), 0.24),
            Accent::Beat => (Hertz(1318.5), 0.16),
        };
        let angle = TAU * hertz.0 / rate.per_second();
        // The sine is made by recursion: its next value is this one times twice the cosine of the step, less the value
        // before.
        let falls = (-1.0 / (FALLS.0 * rate.per_second())).exp();
        *self = Self { sine: [0.0, -angle.sin()], turn: 2.0 * angle.cos(), level, falls };
    }

    fn next(&mut self) -> f32 {
        let value = self.sine[0] * self.level;
        self.sine = [self.turn * self.sine[0] - self.sine[1], self.sine[0]];
        self.level *= self.falls;
        value as f32
    }
}

/// The metronome. Two clicks may overlap.
#[derive(Debug, Clone)]
pub struct Clicks {
    rate: SampleRate,
    ticks: [ClickTone; 2],
    next: usize,
}

impl Clicks {
    /// Returns a silent metronome.
    pub fn new(rate: SampleRate) -> Self {
        Self { rate, ticks: Default::default(), next: 0 }
    }

    /// Starts a click.
    pub fn click(&mut self, accent: Accent) {
        self.ticks[self.next].start(accent, self.rate);
        self.next = 1 - self.next;
    }

    /// Returns whether no click sounds any more.
    pub fn is_still(&self) -> bool {
        self.ticks.iter().all(|tick| tick.level == 0.0)
    }

    /// Adds the clicks to `bus`.
    pub fn add_to(&mut self, bus: &mut [f32]) {
        for tick in self.ticks.iter_mut().filter(|tick| tick.level > 0.0) {
            for sample in bus.iter_mut() {
                *sample += tick.next();
            }
            if tick.level < GONE {
                *tick = ClickTone::default();
            }
        }
    }
}
