//! Writes a sound file while the samples are made: whole, or not at all.

use std::path::Path;

use super::form::{Container, Depth, FileForm};
use super::samples::{Samples, Watched};
use super::{flac, wav};
use crate::lesson::seconds::Seconds;
use crate::store::atomic::{self, WriteError};

/// The most bytes of samples in a WAV file, which counts its bytes in 32 bits.
const LARGEST_WAV: f64 = 4_294_967_296.0 - 4096.0;

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
    let bytes = longest.0 * form.rate.per_second() * f64::from(form.depth.bytes());
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
