//! Pitches that move: bends, slides, the whammy bar and vibrato, and what comes after them.

use std::f64::consts::TAU;

use fingerpost::lesson::seconds::Seconds;
use fingerpost::sound::score::{Attack, PitchPoint, SoundedNote, Vibrato};
use fingerpost::sound::sounds::sounds;
use fingerpost::theory::pitch::{Cents, FinePitch, Hertz};

use super::estimator::{cents, frequency, partial};
use super::{RATE, between, heard, note, sound, tempered};

fn moving(pitch: f64, seconds: f64, path: &[(f64, f64)]) -> SoundedNote {
    let path = path.iter().map(|(at, pitch)| PitchPoint { at: Seconds(*at), pitch: FinePitch(*pitch) }).collect();
    SoundedNote { path, ..note(0, 0.0, pitch, seconds) }
}

/// The pitch between two seconds, by the whole wave.
#[track_caller]
fn pitch(samples: &[f32], from: f64, to: f64) -> f64 {
    let hertz = frequency(between(samples, from, to), f64::from(RATE)).expect("it has a pitch");
    69.0 + 12.0 * (hertz / 440.0).log2()
}

/// The pitch at a moment, by the phase of the lowest partial over a few periods. A path that is straight in pitch is as
/// good as straight in frequency over so short a time.
#[track_caller]
fn pitch_at(samples: &[f32], moment: f64, meant: f64) -> f64 {
    let hertz = tempered(meant, 440.0);
    let half = 3.0 / hertz;
    let found = partial(between(samples, moment - half, moment + half), f64::from(RATE), hertz);
    meant + cents(found, hertz) / 100.0
}

#[test]
fn a_bend_reaches_its_amount_and_comes_back() {
    for name in ["nylon", "steel", "clean", "bass"] {
        for (from, amount) in [(40.0, 1.0), (64.0, 2.0), (71.0, 3.0), (76.0, 0.5)] {
            let path = [(0.6, from), (0.8, from + amount), (1.4, from + amount), (1.5, from)];
            let samples = heard(sound(name), vec![moving(from, 2.2, &path)]);
            for (start, end, meant) in [(0.1, 0.58, from), (0.86, 1.38, from + amount), (1.56, 2.1, from)] {
                let off = 100.0 * (pitch(&samples, start, end) - meant);
                assert!(off.abs() < 1.0, "{name} {from} {start}: {off:+.3} cents");
            }
        }
    }
}

#[test]
fn a_slide_arrives_in_tune_from_either_side() {
    for sound in sounds() {
        for (from, to) in [(45.0, 52.0), (52.0, 45.0), (64.0, 76.0), (83.0, 69.0), (28.0, 47.0)] {
            let samples = heard(sound, vec![moving(from, 1.2, &[(0.3, from), (0.45, to)])]);
            let off = 100.0 * (pitch(&samples, 0.55, 1.15) - to);
            assert!(off.abs() < 1.0, "{} {from} to {to}: {off:+.3} cents", sound.name);
        }
    }
}

#[test]
fn half_way_along_a_slow_bend_the_pitch_is_half_way() {
    for from in [45.0, 57.0, 69.0, 81.0] {
        let samples = heard(sound("clean"), vec![moving(from, 1.6, &[(0.4, from), (1.4, from + 5.0)])]);
        for moment in [0.7, 0.9, 1.1, 1.3] {
            let meant = from + 5.0 * (moment - 0.4);
            let off = 100.0 * (pitch_at(&samples, moment, meant) - meant);
            assert!(off.abs() < 1.0, "{from} at {moment}: {off:+.3} cents");
        }
    }
}

#[test]
fn the_whammy_bar_dives_two_octaves_and_comes_home() {
    let path = [(0.3, 64.0), (0.8, 40.0), (1.2, 40.0), (1.5, 64.0)];
    let samples = heard(sound("clean"), vec![moving(64.0, 2.2, &path)]);
    for (start, end, meant) in [(0.88, 1.18, 40.0), (1.6, 2.1, 64.0)] {
        let off = 100.0 * (pitch(&samples, start, end) - meant);
        assert!(off.abs() < 1.0, "{meant}: {off:+.3} cents");
    }
}

#[test]
fn vibrato_has_its_depth_and_its_rate() {
    for (middle, depth, rate) in [(52.0, 20.0, 4.0_f64), (64.0, 35.0, 5.5), (76.0, 50.0, 6.5)] {
        let swung = SoundedNote {
            vibratos: vec![Vibrato {
                from: Seconds(0.2),
                until: Seconds::NEVER,
                depth: Cents(depth),
                rate: Hertz(rate),
            }],
            ..note(0, 0.0, middle, 2.6)
        };
        let samples = heard(sound("clean"), vec![swung]);
        // The pitch every hundredth of a second, over whole swings; then the sine of that rate in it.
        let seconds = (2.0 * rate).floor() / rate;
        let steps = (seconds * 100.0).round();
        let (mut sine, mut cosine, mut mean) = (0.0, 0.0, 0.0);
        for step in 0..steps as usize {
            let moment = 0.4 + seconds * step as f64 / steps;
            let off = 100.0 * (pitch_at(&samples, moment, middle) - middle);
            let angle = TAU * rate * (moment - 0.2);
            sine += off * angle.sin() * 2.0 / steps;
            cosine += off * angle.cos() * 2.0 / steps;
            mean += off / steps;
        }
        // The window over three periods to either side flattens the swing by a few cents in a hundred at most.
        assert!((0.93 * depth..1.01 * depth).contains(&sine), "{middle}: {sine} for {depth} cents");
        assert!(cosine.abs() < 0.06 * depth && mean.abs() < 0.5, "{middle}: late by {cosine}, off by {mean}");
    }
}

#[test]
fn a_finger_that_comes_down_or_leaves_gives_a_pitch_in_tune() {
    for sound in sounds() {
        for low in [35.0, 47.0, 59.0, 74.0] {
            let high = low + 3.0;
            let after = |start, pitch, attack| SoundedNote { attack, ..note(0, start, pitch, 0.6) };
            let notes = vec![note(0, 0.0, low, 0.6), after(0.5, high, Attack::Hammer), after(1.0, low, Attack::Pull)];
            let samples = heard(sound, notes);
            for (start, end, meant) in [(0.57, 0.98, high), (1.07, 1.5, low)] {
                let off = 100.0 * (pitch(&samples, start, end) - meant);
                assert!(off.abs() < 1.0, "{} {low} {start}: {off:+.3} cents", sound.name);
            }
        }
    }
}
