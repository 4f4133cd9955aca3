//! The string itself: a wave that runs round and loses a little each time. Strokes and fingers are not here; see
//! [`plucked`](super::plucked).
//!
//! It is a delay line with a fractional length (Lagrange interpolation over six samples) and a loss that delays every
//! frequency alike. The period of the string is the length of the line plus that one delay. A string is therefore in
//! tune whatever it loses, and its partials are harmonic.
//!
//! The usual loop of a plucked string has a one-pole filter and an allpass that tunes it. These shift every partial
//! differently, and differently again while a bend moves. Here the loss is a cascade of symmetric filters: a bell curve
//! in time, so that the rate of decay grows with the square of the frequency. A harmonic is the same loop, shorter by a
//! whole factor.

use crate::lesson::seconds::Seconds;
use crate::sound::rate::SampleRate;
use crate::theory::pitch::Hertz;

/// The number of samples that the interpolation uses.
const TAPS: usize = 6;
/// The shortest line that the interpolation can read, in samples.
const SHORTEST: f64 = 3.0;
/// The largest number of filters in the loss. Each spans twice as many samples as the one before.
const STAGES: usize = 4;
/// The number of samples that one filter remembers: more than the widest filter spans.
const MEMORY: usize = 32;
/// A string whose samples are all below this (-140 dB of full scale) is still. That is far below what can be heard and
/// far above the numbers that slow a processor down.
const STILL: f32 = 1e-7;

/// The loss of a string, as decay rates of the amplitude.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loss {
    /// The rate for all frequencies alike, in 1/s.
    even: f64,
    /// The factor, in s, that gives a rate when multiplied by the square of the angular frequency in rad/s.
    dull: f64,
}

impl Loss {
    /// Returns a loss by which the lowest partial falls by 60 dB within `rings`.
    ///
    /// `dull` is the part that grows with the frequency: multiplied by the square of the angular frequency in rad/s, it
    /// is a rate in 1/s.
    pub fn new(rings: Seconds, dull: Seconds) -> Self {
        Self { even: 1000_f64.ln() / rings.0, dull: dull.0 }
    }
}

/// A wave that runs round a delay line.
#[derive(Debug, Clone)]
pub struct Ring {
    line: DelayLine,
    /// Samples per second.
    rate: f64,
    /// The length of the line in samples, and where it is read for that.
    delay: f64,
    reading: ReadPoint,
    glide: Glide,
    passing: LengthPassing,
    filters: LossFilters,
    rest: RestWatch,
}

/// The samples that have run by.
#[derive(Debug, Clone)]
struct DelayLine {
    /// The samples of the wave, each stored twice, so that a read never has to wrap.
    samples: Box<[f32]>,
    /// The index of the next sample.
    at: usize,
}

impl DelayLine {
    /// Makes a silent line that holds `size` samples.
    fn new(size: usize) -> Self {
        Self { samples: vec![0.0; 2 * size].into_boxed_slice(), at: 0 }
    }

    /// Returns how many samples it holds.
    const fn size(&self) -> usize {
        self.samples.len() / 2
    }

    fn silence(&mut self) {
        self.samples.fill(0.0);
    }

    fn read(&self, reading: &ReadPoint) -> f32 {
        // The oldest of the six samples comes first in the line.
        let start = self.at + self.size() - reading.whole - TAPS / 2;
        let Some(samples) = self.samples.get(start..start + TAPS) else { return 0.0 };
        samples.iter().rev().zip(reading.taps).map(|(sample, tap)| sample * tap).sum()
    }

    fn push(&mut self, value: f32) {
        let size = self.size();
        self.samples[self.at] = value;
        self.samples[self.at + size] = value;
        self.at = (self.at + 1) % size;
    }
}

/// A glide from one pitch to another.
#[derive(Debug, Clone, Copy, Default)]
struct Glide {
    /// By how many samples the line grows with each sample.
    drift: f64,
    /// How many samples are left of it.
    left: usize,
}

/// The passing of a string from one length to another, while both are heard.
#[derive(Debug, Clone, Copy)]
struct LengthPassing {
    /// Where the line was read before.
    before: ReadPoint,
    /// How many samples are left of it, and the share of the old length that each of those stands for.
    left: u32,
    step: f32,
}

/// What the string loses in a round: a cascade of symmetric filters, and a factor for all frequencies alike.
#[derive(Debug, Clone)]
struct LossFilters {
    /// How many filters are in use.
    stages: usize,
    spread: [f32; STAGES],
    memory: [[f32; MEMORY]; STAGES],
    gain: f32,
}

impl LossFilters {
    const NONE: Self = Self { stages: 0, spread: [0.0; STAGES], memory: [[0.0; MEMORY]; STAGES], gain: 0.0 };

    fn silence(&mut self) {
        self.memory = [[0.0; MEMORY]; STAGES];
    }

    /// Returns what is left of `value`, which stands at the place `at` of the line.
    fn pass(&mut self, mut value: f32, at: usize) -> f32 {
        for (stage, (memory, spread)) in self.memory.iter_mut().zip(self.spread).enumerate().take(self.stages) {
            let span = 1 << stage;
            memory[at % MEMORY] = value;
            let middle = memory[at.wrapping_sub(span) % MEMORY];
            let last = memory[at.wrapping_sub(2 * span) % MEMORY];
            value = middle + spread * (value - 2.0 * middle + last);
        }
        value * self.gain
    }

    /// Sets what is lost of a wave at `hertz`, with `rate` samples in a second.
    fn set(&mut self, Hertz(hertz): Hertz, loss: Loss, rate: f64) {
        self.gain = (-loss.even / hertz).exp().min(0.999_99) as f32;
        // One round loses exp(-dull w^2 / hertz): a bell curve in frequency, therefore one in time, with this variance
        // in samples. A filter (b, 1 - 2b, b) that spans m samples has the variance 2 b m^2, and b may be at most 1/4.
        let mut variance = 2.0 * loss.dull * rate * rate / hertz;
        self.spread = [0.0; STAGES];
        for (stage, spread) in self.spread.iter_mut().enumerate().take(self.stages) {
            let square = f64::from(1_u32 << (2 * stage));
            let taken = variance.min(square / 2.0);
            *spread = (taken / (2.0 * square)) as f32;
            variance -= taken;
        }
    }
}

/// What tells that a string has died away.
#[derive(Debug, Clone, Copy)]
struct RestWatch {
    /// The loudest sample since the last look, and how many samples ago that was.
    loudest: f32,
    watched: usize,
    /// Whether nothing moves any more.
    still: bool,
}

impl RestWatch {
    const STILL: Self = Self { loudest: 0.0, watched: 0, still: true };
}

/// Which samples are read, and how they are weighed.
#[derive(Debug, Clone, Copy, PartialEq)]
struct ReadPoint {
    whole: usize,
    taps: [f32; TAPS],
}

impl ReadPoint {
    /// Returns the read point `delay` samples back, by Lagrange's formula for the six points around it.
    fn at(delay: f64) -> Self {
        let whole = delay as usize;
        let part = (delay - whole as f64) as f32;
        let [a, b, c, d, e, f] = [part + 2.0, part + 1.0, part, part - 1.0, part - 2.0, part - 3.0];
        let (low, high) = (a * b, e * f);
        let taps = [
            b * c * d * high / -120.0,
            a * c * d * high / 24.0,
            low * d * high / -12.0,
            low * c * high / 12.0,
            low * c * d * f / -24.0,
            low * c * d * e / 120.0,
        ];
        Self { whole, taps }
    }
}

impl Ring {
    /// Returns a string at rest that can be tuned down to `lowest`.
    pub fn new(rate: SampleRate, lowest: Hertz) -> Self {
        let rate = rate.per_second();
        let size = ((rate / lowest.0) as usize + 64).next_power_of_two();
        // A string is tuned before it sounds; until then any length will do.
        let delay = rate / Hertz::STANDARD_PITCH.0;
        let reading = ReadPoint::at(delay);
        Self {
            line: DelayLine::new(size),
            rate,
            delay,
            reading,
            glide: Glide::default(),
            passing: LengthPassing { before: reading, left: 0, step: 0.0 },
            filters: LossFilters::NONE,
            rest: RestWatch::STILL,
        }
    }

    /// Returns whether the string is at rest: all of its state is exactly zero.
    pub const fn is_still(&self) -> bool {
        self.rest.still
    }

    /// Stops the wave at once.
    pub fn silence(&mut self) {
        if !self.rest.still {
            self.line.silence();
            self.filters.silence();
        }
        self.passing.left = 0;
        self.rest = RestWatch::STILL;
    }

    /// Tunes a string that is at rest. Call [`Ring::silence`] first.
    pub fn tune(&mut self, hertz: Hertz, loss: Loss) {
        // The loss may take a sixth of the period, so that the line stays long enough to be read during a bend or slide
        // of two octaves.
        let sixth = self.rate / hertz.0 / 6.0;
        self.filters.stages = (0..=STAGES).rev().find(|stages| delay_of(*stages) <= sixth).unwrap_or(0);
        self.hold();
        self.lose(hertz, loss);
        self.delay = self.line_for(hertz);
        self.reading = ReadPoint::at(self.delay);
    }

    /// Makes the string glide to a frequency within the next `samples` and stay there.
    pub fn glide(&mut self, hertz: Hertz, loss: Loss, samples: usize) {
        self.make_room(hertz);
        self.lose(hertz, loss);
        let target = self.line_for(hertz);
        self.glide = Glide { drift: (target - self.delay) / samples.max(1) as f64, left: samples };
    }

    /// Ends a glide at the present length.
    pub const fn hold(&mut self) {
        self.glide.left = 0;
    }

    /// Changes the length of the string over `samples` samples while it rings on.
    pub fn pass_to(&mut self, hertz: Hertz, loss: Loss, samples: u32) {
        let samples = samples.max(1);
        self.passing = LengthPassing { before: self.reading, left: samples, step: 1.0 / samples as f32 };
        self.hold();
        self.make_room(hertz);
        self.lose(hertz, loss);
        self.delay = self.line_for(hertz);
        self.reading = ReadPoint::at(self.delay);
    }

    /// Changes what the string loses at `hertz`.
    pub fn lose(&mut self, hertz: Hertz, loss: Loss) {
        self.filters.set(hertz, loss, self.rate);
    }

    /// Advances by one sample: adds `input` to the wave and returns the sample that passes.
    pub fn next(&mut self, input: f32) -> f32 {
        if self.glide.left > 0 {
            self.glide.left -= 1;
            // Rounding must not lead below the shortest line.
            self.delay = (self.delay + self.glide.drift).max(SHORTEST);
            self.reading = ReadPoint::at(self.delay);
        }
        let mut value = self.line.read(&self.reading);
        if self.passing.left > 0 {
            let old = self.line.read(&self.passing.before);
            value += self.passing.left as f32 * self.passing.step * (old - value);
            self.passing.left -= 1;
        }
        value = self.filters.pass(value, self.line.at) + input;
        self.line.push(value);
        self.rest.loudest = self.rest.loudest.max(value.abs());
        value
    }

    /// Notes that `samples` samples have passed. A string that has died away comes to rest.
    pub fn watch(&mut self, samples: usize) {
        self.rest.still = false;
        self.rest.watched += samples;
        if self.rest.watched >= self.line.size() {
            if self.rest.loudest < STILL {
                self.silence();
            }
            self.rest.watched = 0;
            self.rest.loudest = 0.0;
        }
    }

    /// Gives up filters where the string has become too short for them.
    fn make_room(&mut self, hertz: Hertz) {
        while self.filters.stages > 0 && self.rate / hertz.0 - delay_of(self.filters.stages) < SHORTEST {
            self.filters.stages -= 1;
        }
    }

    /// Returns the length of the line for a frequency, in samples, clamped to the lengths that the line can have.
    fn line_for(&self, hertz: Hertz) -> f64 {
        let longest = (self.line.size() - TAPS) as f64;
        (self.rate / hertz.0 - delay_of(self.filters.stages)).clamp(SHORTEST, longest)
    }
}

/// Returns the delay of the filters, in samples; it is the same for all frequencies.
fn delay_of(stages: usize) -> f64 {
    f64::from((1_u32 << stages) - 1)
}
