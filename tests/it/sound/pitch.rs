//! Every pitch is where equal temperament puts it, for every sound and at every reference.

use std::sync::Arc;

use fingerpost::sound::rate::SampleRate;
use fingerpost::sound::rendering::Rendering;
use fingerpost::sound::sounds::{Sound, sounds};
use fingerpost::theory::pitch::Hertz;

use super::estimator::{cents, frequency};
use super::{DISC, note, score, tempered};

/// B0, the lowest string of a five-string bass, and E6, the 24th fret of a guitar's first string.
const LOWEST: u8 = 23;
const HIGHEST: u8 = 88;

const VIDEO: SampleRate = SampleRate(48_000);

/// How far a note is from its place, in cents.
#[track_caller]
fn astray(sound: &Sound, rate: SampleRate, reference: f64, pitch: f64) -> f64 {
    // What rings on after the note is not wanted, and need not be made.
    let mut samples = vec![0.0; rate.0 as usize / 2];
    let score = Arc::new(score(vec![note(0, 0.0, pitch, 0.5)]));
    Rendering::new(sound, rate, Hertz(reference), score).fill(&mut samples);
    let steady = &samples[rate.0 as usize / 12..];
    let found = frequency(steady, f64::from(rate.0)).expect("it has a pitch");
    cents(found, tempered(pitch, reference))
}

#[test]
fn every_note_of_every_sound_is_in_tune_within_a_cent() {
    for sound in sounds() {
        for pitch in LOWEST..=HIGHEST {
            let off = astray(sound, DISC, 440.0, f64::from(pitch));
            assert!(off.abs() < 1.0, "{} {pitch}: {off:+.3} cents", sound.name);
        }
    }
}

#[test]
fn another_reference_or_rate_moves_every_note_alike() {
    // 415, 432 and 442 Hz are heard beside 440 (common practice, no published source).
    for (place, sound) in sounds().iter().enumerate() {
        for (rate, reference) in [(VIDEO, 440.0), (DISC, 415.0), (VIDEO, 432.0), (DISC, 442.0)] {
            for pitch in (LOWEST..=HIGHEST).step_by(16).map(|pitch| pitch + 2 * place as u8) {
                let off = astray(sound, rate, reference, f64::from(pitch.min(HIGHEST)));
                assert!(off.abs() < 1.0, "{} {pitch} at {reference}: {off:+.3} cents", sound.name);
            }
        }
    }
}

#[test]
fn quarter_tones_and_other_parts_of_a_semitone_are_in_tune() {
    for pitch in [40.5, 51.86, 64.014, 75.33] {
        let off = astray(&sounds()[0], DISC, 440.0, pitch);
        assert!(off.abs() < 1.0, "{pitch}: {off:+.3} cents");
    }
}
