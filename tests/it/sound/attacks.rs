//! How a string is set going and what lies on it: plain strokes, hammers, muting.

use fingerpost::lesson::seconds::Seconds;
use fingerpost::sound::level::Strength;
use fingerpost::sound::score::{Attack, Muting, SoundedNote};
use fingerpost::sound::sounds::{Sound, sounds};

use super::estimator::strength;
use super::{RATE, between, decibels, heard, loudness, note, sound, tempered};

/// The place of the first sample that is not silent.
fn onset(samples: &[f32]) -> usize {
    samples.iter().position(|sample| *sample != 0.0).expect("something sounds")
}

/// Seconds until the loudness has fallen by 60 dB, from its fall between two moments.
fn decay(samples: &[f32], from: f64, to: f64) -> f64 {
    let at = |moment: f64| loudness(between(samples, moment, moment + 0.08));
    60.0 * (to - from) / decibels(at(from) / at(to))
}

/// The share of the power above a frequency, by the differences of neighbouring samples: large where it is bright.
fn brightness(samples: &[f32]) -> f64 {
    let steps: Vec<f32> = samples.windows(2).map(|pair| pair[1] - pair[0]).collect();
    loudness(&steps) / loudness(samples)
}

fn manner(attack: Attack, muting: Muting) -> SoundedNote {
    SoundedNote { attack, muting, ..note(0, 0.25, 45.0, 1.5) }
}

#[test]
fn a_note_begins_on_its_sample() {
    for sound in sounds() {
        for attack in [Attack::Pluck, Attack::Pinch, Attack::Hammer, Attack::Pull, Attack::Tap] {
            for muting in [Muting::None, Muting::Palm, Muting::Dead] {
                for start in [0.0, 0.133_3] {
                    let samples = heard(
                        sound,
                        vec![SoundedNote {
                            start: Seconds(start),
                            end: Seconds(start + 0.05),
                            ..manner(attack, muting)
                        }],
                    );
                    let meant = (start * f64::from(RATE)).round();
                    // Filters of the oversampled amplifier begin a little before.
                    let early = meant - onset(&samples) as f64;
                    let most = if sound.amp.is_some() { 24.0 } else { 0.0 };
                    assert!((0.0..=most).contains(&early), "{} {attack:?} {start}: {early} samples early", sound.name);
                }
            }
        }
    }
}

#[test]
fn a_note_is_there_within_a_millisecond() {
    // A tenth of what the first hundredth of a second reaches, against silence before.
    for sound in sounds() {
        for pitch in [28.0, 40.0, 64.0, 83.0] {
            let samples = heard(sound, vec![note(0, 0.25, pitch, 0.5)]);
            let peak = between(&samples, 0.25, 0.26).iter().fold(0.0_f32, |peak, sample| peak.max(sample.abs()));
            let there = samples.iter().position(|sample| sample.abs() > peak / 10.0).unwrap();
            let late = there as f64 / f64::from(RATE) - 0.25;
            assert!(late.abs() < 0.001, "{} {pitch}: {late} s late", sound.name);
        }
    }
}

#[test]
fn notes_of_a_passage_stand_where_they_are_written() {
    // Strokes that follow each other on one string, each a jump up from what the one before has become.
    let starts: Vec<f64> = (0..12).map(|number| 0.1 + 0.137_31 * f64::from(number)).collect();
    let notes: Vec<SoundedNote> =
        starts.iter().map(|start| SoundedNote { muting: Muting::Palm, ..note(0, *start, 52.0, 0.1) }).collect();
    let samples = heard(sound("steel"), notes);
    for start in starts {
        let quiet = loudness(between(&samples, start - 0.004, start - 0.0005));
        let place = (start * f64::from(RATE)) as usize;
        let there = samples[place - 20..].iter().position(|sample| f64::from(sample.abs()) > 0.01 + 4.0 * quiet);
        let late = (there.unwrap() as f64 - 20.0) / f64::from(RATE);
        assert!(late.abs() < 0.001, "{start}: {late} s late");
    }
}

#[test]
fn a_harder_stroke_is_louder_and_brighter_and_none_is_silent() {
    for sound in sounds() {
        let stroke =
            |strength| heard(sound, vec![SoundedNote { strength: Strength(strength), ..note(0, 0.0, 45.0, 0.6) }]);
        let [soft, plain, hard] = [0.2, 0.6, 1.0].map(stroke);
        let loud = |samples: &[f32]| loudness(between(samples, 0.0, 0.3));
        assert!(loud(&soft) < loud(&plain) && loud(&plain) < loud(&hard), "{}", sound.name);
        if sound.amp.is_none() {
            assert!(brightness(between(&soft, 0.0, 0.2)) < brightness(between(&hard, 0.0, 0.2)), "{}", sound.name);
        }
        assert!(stroke(0.0).iter().all(|sample| *sample == 0.0), "{}", sound.name);
    }
}

#[test]
fn hammers_and_pulls_keep_what_rings_and_add_little() {
    for name in ["nylon", "steel", "clean", "bass"] {
        let after = |attack| SoundedNote { attack, ..note(0, 0.4, 50.0, 0.8) };
        // The first note may end as the second begins, or a rounding error before it.
        let joined = heard(sound(name), vec![note(0, 0.0, 48.0, 0.399_99), after(Attack::Hammer)]);
        let before = loudness(between(&joined, 0.3, 0.39));
        let now = loudness(between(&joined, 0.42, 0.51));
        assert!((-4.0..4.0).contains(&decibels(now / before)), "{name}: {} dB", decibels(now / before));
        // The same with hardly any strength still rings: the energy is that of the stroke before.
        let gently = SoundedNote { strength: Strength(0.01), ..after(Attack::Pull) };
        let gently = heard(sound(name), vec![note(0, 0.0, 48.0, 0.4), gently]);
        let kept = decibels(loudness(between(&gently, 0.42, 0.51)) / before);
        assert!((-5.0..2.0).contains(&kept), "{name}: {kept} dB");
        // A pluck as soft stops it instead.
        let anew = SoundedNote { strength: Strength(0.01), ..after(Attack::Pluck) };
        let anew = heard(sound(name), vec![note(0, 0.0, 48.0, 2.0), anew]);
        let left = decibels(loudness(between(&anew, 0.42, 0.51)) / before);
        assert!(left < -30.0, "{name}: {left} dB");
    }
}

#[test]
fn the_next_note_takes_its_string_over_and_leaves_the_others_alone() {
    let notes = vec![note(0, 0.0, 45.0, 2.0), note(1, 0.0, 57.3, 2.0), note(0, 0.5, 48.0, 1.5)];
    let samples = heard(sound("steel"), notes);
    let at =
        |pitch: f64, from: f64| strength(between(&samples, from, from + 0.35), f64::from(RATE), tempered(pitch, 440.0));
    assert!(decibels(at(45.0, 0.6) / at(45.0, 0.1)) < -40.0);
    assert!(decibels(at(57.3, 0.6) / at(57.3, 0.1)) > -12.0);
    assert!(at(48.0, 0.6) > 0.3 * at(45.0, 0.1));
}

#[test]
fn the_heel_of_the_hand_makes_it_short_and_dark() {
    for sound in sounds().iter().filter(|sound| sound.amp.is_none()) {
        let open = heard(sound, vec![manner(Attack::Pluck, Muting::None)]);
        let muted = heard(sound, vec![manner(Attack::Pluck, Muting::Palm)]);
        let (long, short) = (decay(&open, 0.4, 0.6), decay(&muted, 0.4, 0.6));
        assert!(short < 0.5 && short < long / 3.0, "{}: {short} s against {long} s", sound.name);
        assert!(brightness(between(&muted, 0.27, 0.4)) < 0.8 * brightness(between(&open, 0.27, 0.4)), "{}", sound.name);
    }
}

#[test]
fn a_dead_note_has_hardly_any_pitch_and_is_gone_at_once() {
    for sound in sounds().iter().filter(|sound| sound.amp.is_none()) {
        let open = heard(sound, vec![manner(Attack::Pluck, Muting::None)]);
        let dead = heard(sound, vec![manner(Attack::Pluck, Muting::Dead)]);
        let tone = |samples: &[f32]| {
            let stretch = between(samples, 0.25, 0.4);
            strength(stretch, f64::from(RATE), tempered(45.0, 440.0)) / loudness(stretch)
        };
        assert!(tone(&dead) < 0.5 * tone(&open), "{}: {} against {}", sound.name, tone(&dead), tone(&open));
        assert!(loudness(between(&dead, 0.35, 0.4)) < 0.02 * loudness(between(&dead, 0.25, 0.27)), "{}", sound.name);
    }
}

#[test]
fn low_strings_ring_for_seconds_and_high_ones_less() {
    // Common practice, no published source: plucked strings of these instruments ring for about so many seconds.
    let seconds = |sound: &Sound, pitch| decay(&heard(sound, vec![note(0, 0.0, pitch, 1.6)]), 0.4, 1.4);
    for (name, pitch, least, most) in [
        ("nylon", 40.0, 2.0, 6.0),
        ("nylon", 64.0, 0.8, 3.0),
        ("steel", 40.0, 3.0, 9.0),
        ("steel", 64.0, 1.5, 6.0),
        ("clean", 64.0, 2.0, 8.0),
        ("bass", 28.0, 4.0, 16.0),
        ("ukulele", 67.0, 0.6, 2.5),
    ] {
        let found = seconds(sound(name), pitch);
        assert!((least..most).contains(&found), "{name} {pitch}: {found} s");
        assert!(seconds(sound(name), pitch + 12.0) < found, "{name} {pitch}");
    }
}

#[test]
fn higher_partials_die_away_sooner_and_the_highest_at_once() {
    // "Fundamentals of guitar tone", J. Acoust. Soc. Am. 71(S1), S8 (1982), abstract: "the higher partials decaying more
    // rapidly than the lower ones"; "frequency components above 5000 Hz are perceptible only at the attack of tones".
    for name in ["nylon", "steel", "clean"] {
        let samples = heard(sound(name), vec![note(0, 0.0, 45.0, 1.6)]);
        let partial = |number: f64, from: f64| {
            strength(between(&samples, from, from + 0.3), f64::from(RATE), number * tempered(45.0, 440.0))
        };
        let falls = [1.0, 9.0, 18.0, 27.0].map(|number| decibels(partial(number, 0.1) / partial(number, 0.6)));
        assert!(falls.is_sorted() && falls[3] > falls[0] + 3.0, "{name}: {falls:?}");
        let high = |from: f64| {
            let stretch = between(&samples, from, from + 0.3);
            let all: f64 = (46..73).map(|number| partial(f64::from(number), from).powi(2)).sum();
            decibels(all.sqrt() / loudness(stretch))
        };
        assert!(high(0.7) < -40.0, "{name}: {} dB above 5 kHz", high(0.7));
    }
}
