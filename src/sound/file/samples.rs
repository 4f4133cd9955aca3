//! The samples of a sound file on their way into it: asked for block by block, until they end or are stopped, and
//! rounded to whole numbers.
//!
//! Files of 16 bits are dithered with noise that is the same each time; where the signal is exactly silent, so is the
//! file.

use std::io;

use super::form::Depth;
use crate::sound::synthesis::noise::Noise;

/// The number of samples that are asked for at a time, which is also the block of a FLAC file.
pub const BLOCK: usize = 4096;

/// A source of samples for a file.
pub trait Samples {
    /// Makes the next samples, each within -1 to 1, and returns how many samples of `out` it has filled: none at the
    /// end.
    fn next(&mut self, out: &mut [f32]) -> usize;

    /// Returns whether to stop before the end.
    fn stopped(&self) -> bool {
        false
    }
}

/// A source of samples that may be stopped, and whether it was.
pub(super) struct Watched<'a> {
    /// The source.
    pub samples: &'a mut dyn Samples,
    /// Whether it was stopped.
    pub stopped: &'a mut bool,
}

impl Watched<'_> {
    /// Fills `out` as [`Samples::next`] does.
    ///
    /// Errors: the source was stopped.
    pub(super) fn next(&mut self, out: &mut [f32]) -> io::Result<usize> {
        if self.samples.stopped() {
            *self.stopped = true;
            return Err(io::Error::from(io::ErrorKind::Interrupted));
        }
        Ok(self.samples.next(out))
    }
}

/// Rounds samples to whole numbers of a given depth.
pub(super) struct Rounding {
    scale: f64,
    dither: Option<Noise>,
}

impl Rounding {
    /// Returns the rounding to the bits of `depth`. Floating point has no use for it.
    pub(super) fn new(depth: Depth) -> Self {
        match depth {
            Depth::Sixteen => Self { scale: 32_767.0, dither: Some(Noise::new(1)) },
            Depth::TwentyFour | Depth::Float => Self { scale: 8_388_607.0, dither: None },
        }
    }

    /// Returns the whole number for a sample, which is clipped to -1 to 1 first.
    pub(super) fn round(&mut self, sample: f32) -> i32 {
        // Silence stays silence: exact zeros need no rounding and get no dither.
        let dither = match &mut self.dither {
            Some(noise) if sample != 0.0 => f64::from(noise.sample() + noise.sample()) / 2.0,
            _ => 0.0,
        };
        (f64::from(sample.clamp(-1.0, 1.0)) * self.scale + dither).round().clamp(-self.scale, self.scale) as i32
    }
}

/// Returns the error of an encoder as an I/O error.
pub(super) fn library_error(error: impl std::fmt::Display) -> io::Error {
    io::Error::other(error.to_string())
}
