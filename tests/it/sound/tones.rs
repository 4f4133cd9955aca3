//! Plain notes, what they sound like, and how loud that is.

use std::sync::Arc;

use fingerpost::lesson::seconds::Seconds;
use fingerpost::sound::rate::SampleRate;
use fingerpost::sound::rendering::render;
use fingerpost::sound::score::{OpenString, Score, SoundedNote};
use fingerpost::sound::sounds::{Sound, sound_named};
use fingerpost::theory::pitch::{FinePitch, Hertz};

use plain_note::plain_note;

#[path = "../../../benches/shared/plain_note.rs"]
mod plain_note;

/// Samples a second, where nothing else is said.
pub const RATE: u32 = 44_100;
pub const DISC: SampleRate = SampleRate(RATE);

/// What A4 sounds at, where nothing else is said: ISO 16:1975.
pub const A4: Hertz = Hertz(440.0);

/// The frequency of a pitch in Hz when A4, key 69, sounds at `reference` Hz: each of the twelve semitones of an octave is
/// the same ratio, and an octave doubles the frequency. The definition itself, and no code of the program.
pub fn tempered(pitch: f64, reference: f64) -> f64 {
    reference * 2_f64.powf((pitch - 69.0) / 12.0)
}

/// The sound of that name.
#[track_caller]
pub fn sound(name: &str) -> &'static Sound {
    sound_named(name).expect("a sound")
}

/// A plain note on a string, damped after some seconds.
pub fn note(string: usize, start: f64, pitch: f64, seconds: f64) -> SoundedNote {
    plain_note(string, start, start + seconds, pitch)
}

/// A score of notes, which ends when the last of them does.
pub fn score(notes: Vec<SoundedNote>) -> Score {
    let strings = notes.iter().map(|note| note.string + 1).max().unwrap_or(1);
    let end = notes.iter().map(|note| note.end.0).filter(|end| end.is_finite()).fold(0.0, f64::max);
    Score {
        strings: vec![OpenString { pitch: FinePitch(40.0) }; strings],
        notes,
        end: Seconds(end),
        ..Score::default()
    }
}

/// What these notes sound like, A4 at 440 Hz.
pub fn heard(sound: &Sound, notes: Vec<SoundedNote>) -> Vec<f32> {
    render(sound, DISC, A4, Arc::new(score(notes)))
}

/// The samples between two seconds.
#[track_caller]
pub fn between(samples: &[f32], from: f64, to: f64) -> &[f32] {
    let place = |seconds: f64| (seconds * f64::from(RATE)).round() as usize;
    &samples[place(from)..place(to)]
}

/// Root mean square.
pub fn loudness(samples: &[f32]) -> f64 {
    let sum: f64 = samples.iter().map(|sample| f64::from(*sample).powi(2)).sum();
    (sum / samples.len().max(1) as f64).sqrt()
}

/// A ratio of amplitudes in decibels.
pub fn decibels(ratio: f64) -> f64 {
    20.0 * ratio.log10()
}
