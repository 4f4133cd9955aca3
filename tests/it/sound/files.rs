//! Sound files: what is in them, and that none is left half-written.

use std::fs;
use std::path::Path;

use fingerpost::lesson::seconds::Seconds;
use fingerpost::sound::file::{Container, Depth, FileForm, Samples, SoundFileError, write};
use fingerpost::sound::rate::SampleRate;

use super::{DISC, RATE, heard, note, sound};

const WAV: FileForm = FileForm { container: Container::Wav, rate: DISC, depth: Depth::Sixteen };
const FLAC: FileForm = FileForm { container: Container::Flac, ..WAV };

/// Samples from memory, stopped after a number of blocks.
struct TechniqueValue {
    samples: Vec<f32>,
    at: usize,
    blocks: usize,
}

impl Samples for TechniqueValue {
    fn next(&mut self, out: &mut [f32]) -> usize {
        let rest = &self.samples[self.at..];
        let made = rest.len().min(out.len());
        out[..made].copy_from_slice(&rest[..made]);
        self.at += made;
        self.blocks = self.blocks.saturating_sub(1);
        made
    }

    fn stopped(&self) -> bool {
        self.blocks == 0
    }
}

fn given(samples: &[f32]) -> TechniqueValue {
    TechniqueValue { samples: samples.to_vec(), at: 0, blocks: usize::MAX }
}

#[track_caller]
fn written(path: &Path, form: FileForm, samples: &[f32]) -> Vec<u8> {
    write(path, form, Seconds(samples.len() as f64 / f64::from(form.rate.0)), &mut given(samples))
        .expect("it can be written");
    fs::read(path).expect("it is there")
}

fn tune() -> Vec<f32> {
    heard(sound("steel"), vec![note(0, 0.0, 45.0, 0.4), note(1, 0.1, 57.0, 0.3)])
}

/// A number of some bytes, the least first, as RIFF has it.
fn number(bytes: &[u8], at: usize, length: usize) -> usize {
    bytes[at..at + length].iter().rev().fold(0, |sum, byte| sum * 256 + usize::from(*byte))
}

#[test]
fn a_wav_file_has_the_head_that_readers_expect() {
    // The layout of the RIFF WAVE file: "Multimedia Programming Interface and Data Specifications 1.0", 1991; from memory.
    let folder = tempfile::tempdir().unwrap();
    let samples = tune();
    for rate in [44_100, 48_000] {
        let bytes = written(&folder.path().join("a.wav"), FileForm { rate: SampleRate(rate), ..WAV }, &samples);
        assert_eq!((&bytes[..4], &bytes[8..16]), (&b"RIFF"[..], &b"WAVEfmt "[..]));
        assert_eq!(number(&bytes, 4, 4), bytes.len() - 8);
        let [format, channels] = [20, 22].map(|at| number(&bytes, at, 2));
        assert_eq!((format, channels, number(&bytes, 24, 4)), (1, 1, rate as usize));
        assert_eq!((number(&bytes, 28, 4), number(&bytes, 32, 2), number(&bytes, 34, 2)), (2 * rate as usize, 2, 16));
        assert_eq!((&bytes[36..40], number(&bytes, 40, 4)), (&b"data"[..], 2 * samples.len()));
    }
}

#[test]
fn what_is_written_is_what_is_read() {
    let folder = tempfile::tempdir().unwrap();
    let samples = tune();
    let path = folder.path().join("tune.wav");
    for (depth, bits, most) in [(Depth::Sixteen, 16, 1.6), (Depth::TwentyFour, 24, 0.6)] {
        let scale = f64::from(1_u32 << (bits - 1)) - 1.0;
        written(&path, FileForm { depth, ..WAV }, &samples);
        let wav: Vec<i32> = hound::WavReader::open(&path).unwrap().into_samples::<i32>().map(Result::unwrap).collect();
        let flac = folder.path().join("tune.flac");
        written(&flac, FileForm { depth, ..FLAC }, &samples);
        let mut reader = claxon::FlacReader::open(&flac).unwrap();
        let info = reader.streaminfo();
        assert_eq!((info.bits_per_sample, info.sample_rate, info.channels), (bits, RATE, 1));
        assert_eq!(info.samples, Some(samples.len() as u64));
        assert!(info.min_block_size == info.max_block_size);
        let flac: Vec<i32> = reader.samples().map(Result::unwrap).collect();
        assert!(wav == flac, "{bits} bits: WAV and FLAC differ");
        assert_eq!(wav.len(), samples.len());
        for (read, sample) in wav.iter().zip(&samples) {
            assert!((f64::from(*read) - f64::from(*sample) * scale).abs() <= most, "{bits} bits: {read} for {sample}");
        }
    }
    written(&path, FileForm { depth: Depth::Float, ..WAV }, &samples);
    let read: Vec<f32> = hound::WavReader::open(&path).unwrap().into_samples::<f32>().map(Result::unwrap).collect();
    assert!(read == samples);
}

#[test]
fn the_same_samples_give_the_same_file() {
    let folder = tempfile::tempdir().unwrap();
    for form in [WAV, FLAC] {
        let [one, other] = ["one", "other"].map(|name| written(&folder.path().join(name), form, &tune()));
        assert!(one == other, "{form:?}");
    }
}

#[test]
fn dither_turns_what_is_lost_into_noise_and_leaves_silence_alone() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("soft.wav");
    // A third of the least bit: rounded, it would be gone.
    let samples: Vec<f32> = [1.0 / 98_304.0; 40_000].into_iter().chain([0.0; 4_000]).collect();
    written(&path, WAV, &samples);
    let read: Vec<i32> = hound::WavReader::open(&path).unwrap().into_samples::<i32>().map(Result::unwrap).collect();
    let mean = read[..40_000].iter().map(|sample| f64::from(*sample)).sum::<f64>() / 40_000.0;
    assert!((mean - 1.0 / 3.0).abs() < 0.02, "{mean}");
    assert!(read[40_000..].iter().all(|sample| *sample == 0));
}

#[test]
fn what_cannot_be_written_leaves_nothing_behind() {
    let folder = tempfile::tempdir().unwrap();
    let listed = || fs::read_dir(folder.path()).unwrap().count();
    let path = folder.path().join("tune.wav");
    fs::write(&path, "what was there").unwrap();
    let mut halted = TechniqueValue { blocks: 2, ..given(&[0.1; 50_000]) };
    let stopped = write(&path, WAV, Seconds(1.0), &mut halted);
    assert!(matches!(stopped, Err(SoundFileError::Stopped)), "{stopped:?}");
    let flac = FileForm { depth: Depth::Float, ..FLAC };
    let refused = write(&path, flac, Seconds(1.0), &mut given(&[0.1])).unwrap_err();
    assert_eq!(refused.to_string(), "a FLAC file holds whole numbers: choose 16 or 24 bits, or a WAV file");
    let long = write(&path, WAV, Seconds(1e6), &mut given(&[0.1])).unwrap_err();
    assert_eq!(long.to_string(), "16666 minutes are too long for a WAV file of 16 bits: write FLAC, or fewer bits");
    assert_eq!((fs::read_to_string(&path).unwrap().as_str(), listed()), ("what was there", 1));
    let nowhere = write(&folder.path().join("no/tune.wav"), WAV, Seconds(1.0), &mut given(&[0.1])).unwrap_err();
    assert_eq!(nowhere.to_string(), "its folder is not there; make the folder first, or save somewhere else");
    assert!(write(folder.path(), WAV, Seconds(1.0), &mut given(&[0.1])).is_err());
    assert_eq!(listed(), 1);
}
