//! WAV, by the `hound` library. Samples are rounded in the parent module.

use std::io::{self, BufWriter};

use super::form::{Depth, FileForm};
use super::samples::{BLOCK, Rounding, Watched, library_error};
use crate::store::disk::DiskFile;

/// Writes all samples. Errors: the source was stopped, or the file cannot be written.
pub(super) fn write(file: &mut DiskFile, form: FileForm, samples: &mut Watched<'_>) -> io::Result<()> {
    let (bits_per_sample, sample_format) = match form.depth {
        Depth::Sixteen => (16, hound::SampleFormat::Int),
        Depth::TwentyFour => (24, hound::SampleFormat::Int),
        Depth::Float => (32, hound::SampleFormat::Float),
    };
    let spec = hound::WavSpec { channels: 1, sample_rate: form.rate.0, bits_per_sample, sample_format };
    let mut writer = hound::WavWriter::new(BufWriter::new(file), spec).map_err(from_hound)?;
    let mut rounding = Rounding::new(form.depth);
    let mut block = [0.0; BLOCK];
    loop {
        let made = samples.next(&mut block)?;
        if made == 0 {
            return writer.finalize().map_err(from_hound);
        }
        for sample in block.iter().take(made) {
            let written = match form.depth {
                Depth::Float => writer.write_sample(*sample),
                Depth::Sixteen | Depth::TwentyFour => writer.write_sample(rounding.round(*sample)),
            };
            written.map_err(from_hound)?;
        }
    }
}

fn from_hound(error: hound::Error) -> io::Error {
    match error {
        hound::Error::IoError(error) => error,
        error => library_error(error),
    }
}
