//! Nothing is too loud, nothing hums on, nothing stands beside zero.

use std::sync::Arc;

use fingerpost::lesson::seconds::Seconds;
use fingerpost::sound::level::{Level, Strength};
use fingerpost::sound::rendering::render;
use fingerpost::sound::score::{
    Accent, Attack, Click, Drone, Muting, OpenString, PitchPoint, Score, SoundedNote, Vibrato,
};
use fingerpost::sound::sounds::sounds;
use fingerpost::sound::synthesis::engine::{Engine, StringSound};
use fingerpost::sound::synthesis::limiter::CEILING;
use fingerpost::theory::pitch::{Cents, FinePitch, Hertz};
use proptest::prelude::*;

use super::estimator::{cents, frequency, strength};
use super::{A4, DISC, RATE, between, decibels, heard, loudness, note, score, sound, tempered};

/// -1 dB of full scale, and no more than rounding beside it.
const MOST: f32 = 0.891_251;

fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![20 => -1.0..3.0, 1 => Just(f64::INFINITY), 1 => Just(f64::NAN), 1 => Just(-1e300), 1 => Just(1e300)]
}

fn any_note() -> impl Strategy<Value = SoundedNote> {
    let attack = prop::sample::select(vec![Attack::Pluck, Attack::Pinch, Attack::Hammer, Attack::Pull, Attack::Tap]);
    let muting = prop::sample::select(vec![Muting::None, Muting::Palm, Muting::Dead]);
    let pitch = prop_oneof![20 => 0.0..130.0, 1 => Just(f64::NAN), 1 => Just(-500.0), 1 => Just(1e9)];
    let point =
        (any_number(), 10.0..110.0).prop_map(|(at, pitch)| PitchPoint { at: Seconds(at), pitch: FinePitch(pitch) });
    let vibrato = (any_number(), any_number(), 0.0..300.0, any_number()).prop_map(|(from, until, depth, rate)| {
        Vibrato { from: Seconds(from), until: Seconds(until), depth: Cents(depth), rate: Hertz(rate) }
    });
    let times = (0.0..1.0, any_number());
    let path = (prop::collection::vec(point, 0..4), prop::collection::vec(vibrato, 0..3));
    (0..14_usize, times, attack, prop_oneof![0.0_f32..1.0, Just(f32::NAN), Just(1e9)], muting, pitch, path, 0..14_u8)
        .prop_map(|(string, (start, end), attack, strength, muting, pitch, (path, vibratos), partial)| SoundedNote {
            string,
            start: Seconds(start),
            end: Seconds(end),
            attack,
            strength: Strength(strength),
            muting,
            pitch: FinePitch(pitch),
            path,
            vibratos,
            partial,
        })
}

fn any_score() -> impl Strategy<Value = Score> {
    let click = (0.0..1.0, prop::sample::select(vec![Accent::Bar, Accent::Group, Accent::Beat]))
        .prop_map(|(at, accent)| Click { at: Seconds(at), accent });
    let drone = (0.0..130.0, 0.0_f32..1.0)
        .prop_map(|(pitch, strength)| Drone { pitch: FinePitch(pitch), strength: Strength(strength) });
    (prop::collection::vec(any_note(), 0..40), prop::collection::vec(click, 0..8), prop::option::of(drone)).prop_map(
        |(mut notes, mut clicks, drone)| {
            notes.sort_by(|a, b| a.start.total_cmp(&b.start));
            clicks.sort_by(|a, b| a.at.total_cmp(&b.at));
            let strings = vec![OpenString { pitch: FinePitch(40.0) }; 12];
            Score { strings, notes, clicks, drone, end: Seconds(1.0), ..Score::default() }
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]
    #[test]
    fn whatever_is_played_stays_a_decibel_below_full_scale_and_asks_for_no_memory(score in any_score(), which in 0..6_usize) {
        let score = Arc::new(score);
        let mut engine = Engine::new(&sounds()[which], DISC, A4, 12);
        let mut block = [0.0; 700];
        let mut peak = 0.0_f32;
        // As a device would: nothing here may wait for memory, or give any back.
        let before = assert_no_alloc::violation_count();
        assert_no_alloc::assert_no_alloc(|| {
            engine.set_level(Level(4.0));
            engine.play(Arc::clone(&score), Seconds(0.0));
            for number in 0..90 {
                match number {
                    60 => engine.set_loop(Some((Seconds(0.2), Seconds(0.7)))),
                    70 => engine.set_string(number % 12, StringSound::Silenced),
                    80 => drop(engine.play(Arc::clone(&score), Seconds(0.3))),
                    85 => engine.stop(),
                    _ => {}
                }
                engine.fill(&mut block);
                peak = block.iter().fold(peak, |peak, sample| peak.max(sample.abs()));
                assert!(block.iter().all(|sample| sample.is_finite()));
            }
        });
        prop_assert!(peak <= MOST, "{peak}");
        prop_assert_eq!(assert_no_alloc::violation_count(), before);
    }
}

#[test]
fn a_pitch_that_stops_making_sense_stays_where_it_was() {
    // The vibrato's sine has no value a moment after the start, and the path leads beyond what can be sounded.
    let vibrato = Vibrato { from: Seconds(0.0), until: Seconds::NEVER, depth: Cents(226.0), rate: Hertz(-1e300) };
    let absurd = SoundedNote { vibratos: vec![vibrato], ..note(0, 0.0, 7.8, 1.9) };
    let beyond =
        SoundedNote { path: vec![PitchPoint { at: Seconds(0.3), pitch: FinePitch(400.0) }], ..note(0, 0.0, 64.0, 1.9) };
    for played in [absurd, beyond] {
        let samples = heard(sound("nylon"), vec![played]);
        assert!(samples.iter().all(|sample| sample.abs() <= MOST));
        assert!(loudness(between(&samples, 0.0, 0.2)) > 0.001);
    }
}

/// Twelve strings at once, as hard as anybody plays.
fn twelve_strings() -> Vec<SoundedNote> {
    (0..12)
        .map(|string| SoundedNote { strength: Strength(1.0), ..note(string, 0.0, 40.0 + 5.0 * string as f64, 1.0) })
        .collect()
}

#[test]
fn twelve_strings_at_full_strength_reach_the_ceiling_and_stay_below_it() {
    assert!((decibels(f64::from(CEILING.0)) + 1.0).abs() < 1e-6, "the ceiling is -1 dB");
    for sound in sounds() {
        let samples = heard(sound, twelve_strings());
        let peak = samples.iter().fold(0.0_f32, |peak, sample| peak.max(sample.abs()));
        assert!(peak <= MOST, "{}: {peak}", sound.name);
        assert!(peak > 0.5, "{}: {peak}", sound.name);
    }
}

#[test]
fn after_the_last_note_there_is_silence_and_soon() {
    for sound in sounds() {
        for pitch in [23.0, 40.0, 64.0] {
            let damped = heard(sound, vec![note(0, 0.0, pitch, 0.5)]);
            assert!(damped.len() < RATE as usize, "{} {pitch}: {} samples", sound.name, damped.len());
            let last = &damped[damped.len() - 2000..];
            assert!(last.iter().all(|sample| sample.abs() < 1e-4), "{} {pitch}", sound.name);
            let ringing = SoundedNote { end: Seconds::NEVER, ..note(0, 0.0, pitch, 0.5) };
            let ringing = Score { end: Seconds(0.5), ..score(vec![ringing]) };
            let ringing = render(sound, DISC, A4, Arc::new(ringing));
            assert!(ringing.len() < 8 * RATE as usize, "{} {pitch}: {} samples", sound.name, ringing.len());
            assert!(ringing.len() > damped.len(), "{} {pitch}", sound.name);
            let last = &ringing[ringing.len() - 2000..];
            assert!(last.iter().all(|sample| sample.abs() < 1e-4), "{} {pitch}", sound.name);
        }
    }
}

#[test]
fn no_steady_level_stands_under_a_sound() {
    for sound in sounds() {
        for samples in [heard(sound, twelve_strings()), heard(sound, vec![note(0, 0.0, 33.0, 1.0)])] {
            let stretch = between(&samples, 0.1, 0.9);
            // What stands still is what sounds at 0 Hz, and has no other half there.
            let steady = strength(stretch, f64::from(RATE), 0.0) / 2.0;
            assert!(decibels(steady) < -60.0, "{}: {} dB of full scale", sound.name, decibels(steady));
        }
    }
}

#[test]
fn strings_that_have_died_away_are_at_rest_to_the_last_bit() {
    for sound in sounds() {
        let mut engine = Engine::new(sound, DISC, A4, 6);
        let notes = (0..6).map(|string| note(string, 0.0, 64.0 + string as f64, f64::INFINITY)).collect();
        let dead: Vec<SoundedNote> = Vec::into_iter(notes)
            .map(|note| SoundedNote { muting: Muting::Palm, end: Seconds::NEVER, ..note })
            .collect();
        engine.play(Arc::new(Score { end: Seconds(0.1), ..score(dead) }), Seconds(0.0));
        assert!(!engine.is_over());
        let mut block = [0.0; 4410];
        let mut blocks = 0;
        while !engine.is_over() {
            engine.fill(&mut block);
            blocks += 1;
            assert!(blocks < 100, "{}: still moving after ten seconds", sound.name);
        }
        assert!(engine.is_still(), "{}", sound.name);
        // What filters and limiter still hold runs out, and then every sample is exactly nothing.
        (0..8).for_each(|_| engine.fill(&mut block));
        assert!(block.iter().all(|sample| *sample == 0.0), "{}", sound.name);
    }
}

#[test]
fn clicks_have_three_accents_and_the_drone_its_pitch() {
    let click = |accent| {
        let score = Score { clicks: vec![Click { at: Seconds(0.0), accent }], end: Seconds(0.2), ..Score::default() };
        render(sound("clean"), DISC, A4, Arc::new(score))
    };
    let [bar, group, beat] = [Accent::Bar, Accent::Group, Accent::Beat].map(click);
    let loud = |samples: &[f32]| loudness(between(samples, 0.0, 0.05));
    assert!(loud(&bar) > 1.2 * loud(&group) && loud(&group) > 1.2 * loud(&beat) && loud(&beat) > 0.005);
    let held = Score {
        drone: Some(Drone { pitch: FinePitch(36.3), strength: Strength(0.8) }),
        end: Seconds(1.0),
        ..Score::default()
    };
    let held = render(sound("clean"), DISC, A4, Arc::new(held));
    let hertz = frequency(between(&held, 0.2, 0.9), f64::from(RATE)).unwrap();
    let off = cents(hertz, tempered(36.3, 440.0));
    assert!(off.abs() < 0.1, "{off} cents");
}
