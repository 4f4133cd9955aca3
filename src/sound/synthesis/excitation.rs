//! The excitation of a string: a pulse for one period, some noise, and the noise of the pick itself. The vibration that
//! follows is not here; see [`ring`](super::ring).

use super::noise::Noise;
use crate::sound::level::Strength;
use crate::sound::rate::SampleRate;
use crate::sound::score::{Attack, Muting};
use crate::sound::sounds::{PlaceOnString, Sound};
use crate::theory::pitch::Hertz;

/// The properties of a stroke that do not change from note to note.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PickingHand {
    position: PlaceOnString,
    pickup: PlaceOnString,
    soft: Hertz,
    hard: Hertz,
    grain: f32,
    noise: f32,
}

impl PickingHand {
    /// Returns the picking hand of a sound.
    pub const fn of(sound: &Sound) -> Self {
        Self {
            position: sound.position,
            pickup: sound.pickup,
            soft: sound.soft,
            hard: sound.hard,
            grain: sound.grain,
            noise: sound.noise,
        }
    }
}

/// The properties of a stroke that each note has of its own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StrokeTouch {
    /// What strikes the string.
    pub attack: Attack,
    /// What damps the string.
    pub muting: Muting,
    /// The strength.
    pub strength: Strength,
    /// The lowest partial of the whole string that sounds.
    pub partial: u8,
    /// Whether the string was at rest. A hammer-on on such a string supplies the whole excitation.
    pub at_rest: bool,
}

/// One stroke in progress.
#[derive(Debug, Clone)]
pub struct Excitation {
    at: u32,
    /// The samples of one period of the string, and those of the pulse within it.
    round: u32,
    pulse: u32,
    /// The number of samples after which the pickup hears the pulse a second time, inverted; 0 where it does not.
    echo: u32,
    /// The mean of the pulse, which is subtracted.
    mean: f32,
    level: f32,
    grain: f32,
    /// The share of the sample before that the low-pass filter keeps.
    smooth: f32,
    low: [f32; 2],
    scrape: f32,
    scrape_falls: f32,
    scrape_low: f32,
    noise: Noise,
    /// The number of samples until the stroke is over.
    left: u32,
}

impl Excitation {
    /// Returns a stroke that is over.
    pub const fn none() -> Self {
        Self {
            at: 0,
            round: 1,
            pulse: 0,
            echo: 0,
            mean: 0.0,
            level: 0.0,
            grain: 0.0,
            smooth: 0.0,
            low: [0.0; 2],
            scrape: 0.0,
            scrape_falls: 0.0,
            scrape_low: 0.0,
            noise: Noise::new(0),
            left: 0,
        }
    }

    /// Starts a stroke on a string whose period is `round` samples. Each `seed` gives other noise.
    pub fn start(&mut self, hand: &PickingHand, touch: StrokeTouch, round: f64, rate: SampleRate, seed: u32) {
        let rate = rate.per_second();
        let strength = touch.strength.share();
        let share = |PlaceOnString(place)| (place * f64::from(touch.partial)).fract();
        let (mut position, mut corner, mut level) =
            (share(hand.position), hand.soft.0 * (hand.hard.0 / hand.soft.0).powf(f64::from(strength)), 1.0);
        let (mut grain, mut noise) = (hand.grain, hand.noise);
        match touch.attack {
            Attack::Pluck => {}
            Attack::Pinch => (corner, level, noise) = (corner * 1.4, 0.9, noise * 2.0),
            Attack::Hammer if touch.at_rest => (position, corner, level, noise) = (0.4, corner * 0.6, 0.6, noise * 0.4),
            Attack::Hammer => (position, corner, level, noise) = (0.4, corner * 0.6, 0.25, noise * 0.4),
            Attack::Pull if touch.at_rest => (position, corner, level, noise) = (0.3, corner * 0.7, 0.7, noise * 0.3),
            Attack::Pull => (position, corner, level, noise) = (0.3, corner * 0.7, 0.4, noise * 0.3),
            Attack::Tap => (position, corner, level, noise) = (0.4, corner * 0.8, 0.7, noise * 0.5),
        }
        match touch.muting {
            Muting::None => {}
            Muting::Palm => (corner, level) = (corner * 0.5, level * 1.2),
            Muting::Dead => (corner, level, grain, noise) = (corner * 0.6, level * 0.8, 0.9, noise * 1.5),
        }
        // A pulse without width, or as long as the period, would be silent.
        let position = position.clamp(0.08, 0.5);
        let power = strength.powf(1.5);
        self.at = 0;
        self.round = round.round().clamp(2.0, 1e6) as u32;
        self.pulse = (position * round).round().max(1.0) as u32;
        self.echo = (share(hand.pickup) * round).round() as u32;
        self.mean = if self.echo > 0 { 0.0 } else { self.pulse as f32 / self.round as f32 };
        // The partials of a harmonic get weaker in proportion to their number, but the hand plays harmonics harder.
        self.level = power * level * f32::from(touch.partial).powf(-0.4);
        self.grain = grain;
        self.smooth = (-std::f64::consts::TAU * corner.min(rate / 2.5) / rate).exp() as f32;
        self.scrape = power * noise;
        self.scrape_falls = (-1.0 / (0.004 * rate)).exp() as f32;
        self.noise = Noise::new(seed);
        let rest = (0.06 * rate) as u32;
        self.left = self.round + rest;
    }

    /// Returns the next sample for the string, and the sample that is heard beside it.
    pub fn advance(&mut self) -> (f32, f32) {
        if self.left == 0 {
            return (0.0, 0.0);
        }
        self.left -= 1;
        let noise = self.noise.sample();
        let mut drive = 0.0;
        if self.at < self.round {
            drive = self.level * (self.shape(self.at) * (1.0 - self.grain) + self.grain * noise);
            self.at += 1;
        }
        self.low[0] = drive + self.smooth * (self.low[0] - drive);
        self.low[1] = self.low[0] + self.smooth * (self.low[1] - self.low[0]);
        // The noise of the sample before is subtracted: that removes low frequencies, so the pick scrapes and does not
        // thump.
        let scrape = self.scrape * (noise - self.scrape_low);
        self.scrape_low = noise;
        self.scrape *= self.scrape_falls;
        if self.left == 0 {
            self.low = [0.0; 2];
            self.scrape_low = 0.0;
        }
        (self.low[1], scrape)
    }

    fn shape(&self, at: u32) -> f32 {
        let pulse = |at: u32| if at < self.pulse { 1.0 } else { 0.0 };
        let heard =
            if self.echo > 0 { pulse(at) - pulse((at + self.round - self.echo) % self.round) } else { pulse(at) };
        heard - self.mean
    }
}
