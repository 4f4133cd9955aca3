//! A harmonic leaves the partials that have a node where the string is touched, and no others.

use fingerpost::sound::score::{Attack, SoundedNote};

use super::estimator::{cents, partial, strength};
use super::{RATE, between, decibels, heard, note, sound, tempered};

#[test]
fn only_partials_with_a_node_there_sound() {
    for name in ["nylon", "steel", "clean", "bass"] {
        for n in [2_u8, 3, 5, 12] {
            for attack in [Attack::Pluck, Attack::Pinch, Attack::Tap] {
                // Each way once for each sound, and all ways for the third partial.
                if n != 3 && attack != Attack::Pluck {
                    continue;
                }
                let touched = SoundedNote { attack, partial: n, ..note(0, 0.0, 40.0, 0.9) };
                let samples = heard(sound(name), vec![touched]);
                let steady = between(&samples, 0.1, 0.8);
                let whole = tempered(40.0, 440.0);
                let at = |k: u8| strength(steady, f64::from(RATE), whole * f64::from(k));
                let lowest = at(n);
                let off = cents(partial(steady, f64::from(RATE), whole * f64::from(n)), whole * f64::from(n));
                assert!(off.abs() < 1.0, "{name} {n}: {off} cents");
                assert!(lowest > 3e-4, "{name} {n} {attack:?}: {lowest}");
                for k in (1..=24).filter(|k| k % n != 0) {
                    let below = decibels(at(k) / lowest);
                    assert!(below < -60.0, "{name} {n}: partial {k} at {below} dB");
                }
            }
        }
    }
}

#[test]
fn harmonics_sound_at_the_published_distances() {
    // tests/reference/harmonics.tsv: semitones above the open string (calculated; music21 agrees to its rounding).
    for (n, semitones) in [(2, 12.0), (3, 19.02), (4, 24.0), (5, 27.86), (6, 31.02), (7, 33.69)] {
        for open in [40.0, 50.0, 64.0] {
            let touched = SoundedNote { partial: n, ..note(0, 0.0, open, 0.7) };
            let samples = heard(sound("steel"), vec![touched]);
            let hertz = partial(between(&samples, 0.1, 0.6), f64::from(RATE), tempered(open + semitones, 440.0));
            // The table gives hundredths of a semitone.
            let off = cents(hertz, tempered(open + semitones, 440.0));
            assert!(off.abs() < 1.0, "{open}, partial {n}: {off} cents");
        }
    }
}

#[test]
fn a_harmonic_too_high_to_be_sounded_is_silence_and_no_wrong_note() {
    let touched = SoundedNote { partial: 12, ..note(0, 0.0, 88.0, 0.5) };
    let samples = heard(sound("steel"), vec![touched]);
    assert!(samples.iter().all(|sample| *sample == 0.0));
}
