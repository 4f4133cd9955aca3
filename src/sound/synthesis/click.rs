//! The click of the metronome: short tones of three pitches.

use std::f64::consts::TAU;

use crate::sound::score::Accent;

/// As quiet as this (-100 dB), a click is over.
const GONE: f64 = 1e-5;

/// A click in progress. Pitches, lengths and levels are our own, set so that the three are told apart.
#[derive(Debug, Clone, Default)]
struct Tick {
    sine: [f64; 2],
    turn: f64,
    level: f64,
    falls: f64,
}

impl Tick {
    fn start(&mut self, accent: Accent, rate: f64) {
        let (hertz, level) = match accent {
            Accent::Bar => (2093.0, 0.32),
            Accent::Group => (1568.0, 0.24),
            Accent::Beat => (1318.5, 0.16),
        };
        let angle = TAU * hertz / rate;
        // A sine, made by turning: its next value is twice the cosine of the step times this one less the one before.
        *self =
            Self { sine: [0.0, -angle.sin()], turn: 2.0 * angle.cos(), level, falls: (-1.0 / (0.008 * rate)).exp() };
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
    rate: f64,
    ticks: [Tick; 2],
    next: usize,
}

impl Clicks {
    /// A metronome that is silent.
    pub fn new(rate: f64) -> Self {
        Self { rate, ticks: Default::default(), next: 0 }
    }

    /// Clicks.
    pub fn click(&mut self, accent: Accent) {
        self.ticks[self.next].start(accent, self.rate);
        self.next = 1 - self.next;
    }

    /// Whether nothing is heard any more.
    pub fn is_still(&self) -> bool {
        self.ticks.iter().all(|tick| tick.level == 0.0)
    }

    /// Adds what is heard to `bus`.
    pub fn add_to(&mut self, bus: &mut [f32]) {
        for tick in self.ticks.iter_mut().filter(|tick| tick.level > 0.0) {
            for sample in bus.iter_mut() {
                *sample += tick.next();
            }
            if tick.level < GONE {
                *tick = Tick::default();
            }
        }
    }
}
