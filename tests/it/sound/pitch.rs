//! Every pitch is where equal temperament puts it, for every sound and at every reference.

use std::sync::Arc;

use fingerpost::sound::rendering::render;
use fingerpost::sound::score::frequency as tempered;
use fingerpost::sound::sounds::{Sound, sounds};

use super::estimator::{cents, frequency};
use super::{RATE, note, score};

/// B0, the lowest string of a five-string bass, and E6, the 24th fret of a guitar's first string.
const LOWEST: u8 = 23;
const HIGHEST: u8 = 88;

/// How far a note is from its place, in cents.
#[track_caller]
fn astray(sound: &Sound, rate: u32, reference: f64, pitch: f64) -> f64 {
    let samples = render(sound, rate, reference, Arc::new(score(vec![note(0, 0.0, pitch, 0.5)])));
    let steady = &samples[rate as usize / 12..rate as usize / 2];
    let found = frequency(steady, f64::from(rate)).expect("it has a pitch");
    cents(found, tempered(pitch, reference))
}

#[test]
fn every_note_of_every_sound_is_in_tune_within_a_cent() {
    for sound in sounds() {
        for pitch in LOWEST..=HIGHEST {
            let off = astray(sound, RATE, 440.0, f64::from(pitch));
            println!("{} {pitch} {off:+.4}", sound.name);
            assert!(off.abs() < 1.0, "{} {pitch}: {off:+.3} cents", sound.name);
        }
    }
}
