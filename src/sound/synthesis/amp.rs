//! What all strings pass through together: a clipping amplifier, where the sound has one, and the tone filters. The
//! strings themselves are not here.

use super::filter::{Biquad, OnePole};
use super::oversampling::HalfBand;
use crate::sound::rate::SampleRate;
use crate::sound::sounds::{AmpSound, Sound};

/// An amplifier that clips softly, at four times the sample rate.
///
/// All strings pass through it as one signal, so that a chord makes the sum and difference tones of a real amplifier.
#[derive(Debug, Clone)]
struct Clipper {
    drive: f32,
    bias: f32,
    tight: OnePole,
    bright: OnePole,
    up: [HalfBand; 2],
    down: [HalfBand; 2],
}

impl Clipper {
    fn new(sound: AmpSound, rate: SampleRate) -> Self {
        Self {
            drive: sound.drive,
            bias: sound.bias,
            tight: OnePole::new(sound.tight, rate),
            bright: OnePole::new(sound.bright, rate),
            up: Default::default(),
            down: Default::default(),
        }
    }

    fn next(&mut self, input: f64) -> f64 {
        let fed = self.bright.low(self.tight.high(input)) as f32 * self.drive;
        let [up, up_twice] = &mut self.up;
        let [down, down_twice] = &mut self.down;
        let halves = up.up(fed).map(|half| {
            let quarters = up_twice.up(half).map(|quarter| clipped(quarter, self.bias));
            down_twice.down(quarters)
        });
        f64::from(down.down(halves))
    }

    fn settle(&mut self) {
        self.tight.settle();
        self.bright.settle();
    }
}

/// Clips by a smooth curve, `x / sqrt(1 + x^2)`, whose value stays within -1 to 1. Silence stays silence whatever the
/// bias.
fn clipped(value: f32, bias: f32) -> f32 {
    let curve = |value: f32| value / (1.0 + value * value).sqrt();
    curve(value + bias) - curve(bias)
}

/// Amplifier and tone.
#[derive(Debug, Clone)]
pub struct Amp {
    clipper: Option<Clipper>,
    tone: Box<[Biquad]>,
    level: f64,
}

impl Amp {
    /// Returns the amplifier and the filters of a sound.
    pub fn new(sound: &Sound, rate: SampleRate) -> Self {
        Self {
            clipper: sound.amp.map(|amp| Clipper::new(amp, rate)),
            tone: sound.tone.iter().map(|filter| Biquad::new(*filter, rate)).collect(),
            level: f64::from(sound.level),
        }
    }

    /// Returns the latency, in samples.
    pub fn latency(&self) -> usize {
        if self.clipper.is_some() { (HalfBand::DELAY * 1.5).round() as usize } else { 0 }
    }

    /// Clears all state.
    pub fn reset(&mut self) {
        if let Some(clipper) = &mut self.clipper {
            clipper.up.iter_mut().chain(&mut clipper.down).for_each(HalfBand::reset);
            clipper.tight.reset();
            clipper.bright.reset();
        }
        self.tone.iter_mut().for_each(Biquad::reset);
    }

    /// Passes samples through the amplifier and the filters, in place.
    pub fn process(&mut self, samples: &mut [f32]) {
        for sample in samples.iter_mut() {
            let mut value = f64::from(*sample);
            if let Some(clipper) = &mut self.clipper {
                value = clipper.next(value);
            }
            for filter in &mut self.tone {
                value = filter.next(value);
            }
            *sample = (value * self.level) as f32;
        }
        if let Some(clipper) = &mut self.clipper {
            clipper.settle();
        }
        self.tone.iter_mut().for_each(Biquad::settle);
    }
}
