//! Sound files: WAV and FLAC, mono, written while the samples are made. The samples themselves are not made here.
//!
//! The files are mono because one instrument has no stereo width. Files of 16 bits are dithered with noise that is the
//! same each time; where the signal is exactly silent, so is the file. The same bits are promised for one build on one
//! kind of processor; the sine and exponential of another may round differently.

mod flac;
mod wav;

use std::io;
use std::path::Path;

use super::rate::SampleRate;
use super::synthesis::noise::Noise;
use crate::lesson::seconds::Seconds;
use crate::store::atomic::{self, WriteError};

/// The number of samples that are asked for at a time, which is also the block of a FLAC file.
pub const BLOCK: usize = 4096;
/// The most bytes of samples in a WAV file, which counts its bytes in 32 bits.
const LARGEST_WAV: f64 = 4_294_967_296.0 - 4096.0;

/// The kinds of sound file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Container {
    /// RIFF WAVE.
    Wav,
    /// Free Lossless Audio Codec (RFC 9639).
    Flac,
}

/// The exactness of a sample.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Depth {
    /// Whole numbers of 16 bits, with triangular dither two least significant bits wide: rounding adds noise and no tone.
    Sixteen,
    /// Whole numbers of 24 bits.
    TwentyFour,
    /// Floating point, 32 bits.
    Float,
}

/// The form of a sound file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct FileForm {
    /// The kind of file.
    pub container: Container,
    /// The sample rate.
    pub rate: SampleRate,
    /// The exactness of each sample.
    pub depth: Depth,
}

/// The reason why no sound file was written. Whatever was there before is unchanged.
#[derive(Debug, thiserror::Error)]
pub enum SoundFileError {
    /// No file has this form.
    #[error("a FLAC file holds whole numbers: choose 16 or 24 bits, or a WAV file")]
    FlacHoldsNoFloats,
    /// The sound is too long for a WAV file.
    #[error("{minutes} minutes are too long for a WAV file of {depth}: write FLAC, or fewer bits")]
    TooLong {
        /// The length that the file would have, in minutes.
        minutes: u64,
        /// The depth that the file was to have.
        depth: &'static str,
    },
    /// The writing was stopped before the end.
    #[error("stopped before the end: nothing was written")]
    Stopped,
    /// The file could not be written.
    #[error("{}; {}", .0, .0.hint())]
    Write(#[from] WriteError),
}

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

/// Writes a sound file of at most `longest`. It writes a temporary file beside `path` first, which then takes its place
/// in one step.
///
/// The same samples give the same file, to the last bit.
///
/// Errors: a form that does not exist, a sound that would be too long, a source that is stopped, or a folder, file or
/// disk that refuses; then nothing new stays on the disk.
pub fn write(path: &Path, form: FileForm, longest: Seconds, samples: &mut dyn Samples) -> Result<(), SoundFileError> {
    if form.container == Container::Flac && form.depth == Depth::Float {
        return Err(SoundFileError::FlacHoldsNoFloats);
    }
    let bytes = longest.0 * form.rate.per_second() * form.depth.bytes();
    if form.container == Container::Wav && bytes > LARGEST_WAV {
        return Err(SoundFileError::TooLong { minutes: (longest.0 / 60.0) as u64, depth: form.depth.name() });
    }
    let mut stopped = false;
    let written = atomic::replace_with(path, |file| {
        let mut samples = Watched { samples, stopped: &mut stopped };
        match form.container {
            Container::Wav => wav::write(file, form, &mut samples),
            Container::Flac => flac::write(file, form, &mut samples),
        }
    });
    if stopped { Err(SoundFileError::Stopped) } else { Ok(written?) }
}

impl Depth {
    const fn bytes(self) -> f64 {
        match self {
            Self::Sixteen => 2.0,
            Self::TwentyFour => 3.0,
            Self::Float => 4.0,
        }
    }

    const fn name(self) -> &'static str {
        match self {
            Self::Sixteen => "16 bits",
            Self::TwentyFour => "24 bits",
            Self::Float => "32 bits",
        }
    }
}

/// A source of samples that may be stopped, and whether it was.
struct Watched<'a> {
    samples: &'a mut dyn Samples,
    stopped: &'a mut bool,
}

impl Watched<'_> {
    fn next(&mut self, out: &mut [f32]) -> io::Result<usize> {
        if self.samples.stopped() {
            *self.stopped = true;
            return Err(io::Error::from(io::ErrorKind::Interrupted));
        }
        Ok(self.samples.next(out))
    }
}

/// Rounds samples to whole numbers of a given depth.
struct Rounding {
    scale: f64,
    dither: Option<Noise>,
}

impl Rounding {
    fn new(depth: Depth) -> Self {
        match depth {
            Depth::Sixteen => Self { scale: 32_767.0, dither: Some(Noise::new(1)) },
            Depth::TwentyFour | Depth::Float => Self { scale: 8_388_607.0, dither: None },
        }
    }

    fn round(&mut self, sample: f32) -> i32 {
        // Silence stays silence: exact zeros need no rounding and get no dither.
        let dither = match &mut self.dither {
            Some(noise) if sample != 0.0 => f64::from(noise.sample() + noise.sample()) / 2.0,
            _ => 0.0,
        };
        (f64::from(sample.clamp(-1.0, 1.0)) * self.scale + dither).round().clamp(-self.scale, self.scale) as i32
    }
}

/// Returns the error of an encoder as an I/O error.
fn other(error: impl std::fmt::Display) -> io::Error {
    io::Error::other(error.to_string())
}
