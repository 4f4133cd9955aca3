//! The engine as a device asks it: any block, any start, loop, louder and softer, stopped and begun again.

use std::sync::Arc;

use fingerpost::lesson::seconds::Seconds;
use fingerpost::sound::level::Level;
use fingerpost::sound::rendering::render;
use fingerpost::sound::score::{PitchPoint, Score, SoundedNote, Vibrato};
use fingerpost::sound::synthesis::engine::{Engine, StringSound};
use fingerpost::theory::pitch::{Cents, FinePitch, Hertz};

use super::{A4, DISC, RATE, between, decibels, loudness, note, score, sound};

fn engine(name: &str, notes: Vec<SoundedNote>) -> Engine {
    let mut engine = Engine::new(sound(name), DISC, A4, 6);
    engine.play(Arc::new(score(notes)), Seconds(0.0));
    engine
}

/// The next seconds of it.
fn play(engine: &mut Engine, seconds: f64) -> Vec<f32> {
    let mut samples = vec![0.0; (seconds * f64::from(RATE)) as usize];
    engine.fill(&mut samples);
    samples
}

/// A few notes of every kind, with one that bends and swings.
fn tune() -> Vec<SoundedNote> {
    let path = vec![
        PitchPoint { at: Seconds(0.1), pitch: FinePitch(55.0) },
        PitchPoint { at: Seconds(0.3), pitch: FinePitch(57.0) },
    ];
    let vibratos = vec![Vibrato { from: Seconds(0.3), until: Seconds::NEVER, depth: Cents(30.0), rate: Hertz(5.0) }];
    let bent = SoundedNote { path, vibratos, ..note(1, 0.2, 55.0, 0.8) };
    vec![note(0, 0.0, 40.0, 0.7), bent, note(2, 0.4, 59.0, 0.6), note(0, 0.7, 43.0, 0.3)]
}

/// The largest jump from one sample to the next.
fn jump(samples: &[f32]) -> f32 {
    samples.windows(2).map(|pair| (pair[1] - pair[0]).abs()).fold(0.0, f32::max)
}

#[test]
fn the_same_score_gives_the_same_samples() {
    for name in ["steel", "overdriven"] {
        let [one, other] = [(); 2].map(|()| render(sound(name), DISC, A4, Arc::new(score(tune()))));
        assert!(one == other, "{name}");
    }
}

#[test]
fn blocks_of_any_size_give_the_same_sound() {
    for name in ["steel", "overdriven"] {
        let whole = play(&mut engine(name, tune()), 1.2);
        for size in [1, 7, 64, 441, 1024] {
            let mut engine = engine(name, tune());
            let mut samples = vec![0.0; whole.len()];
            samples.chunks_mut(size).for_each(|block| engine.fill(block));
            let apart = whole.iter().zip(&samples).map(|(a, b)| (a - b).abs()).fold(0.0, f32::max);
            assert!(apart < 1e-5, "{name}, blocks of {size}: {apart} apart");
        }
    }
}

#[test]
fn from_any_second_on_it_sounds_as_it_does_from_the_start() {
    let notes = || vec![note(0, 0.0, 40.0, 0.2), note(1, 1.0, 52.0, 0.3), note(0, 1.2, 43.0, 0.4)];
    let whole = play(&mut engine("steel", notes()), 1.6);
    for from in [0.9, 1.0] {
        let mut engine = Engine::new(sound("steel"), DISC, A4, 6);
        engine.play(Arc::new(score(notes())), Seconds(from));
        let late = play(&mut engine, 0.6);
        let same = between(&whole, from, from + 0.6);
        let apart = same.iter().zip(&late).map(|(a, b)| (a - b).abs()).fold(0.0, f32::max);
        assert!(apart < 1e-5, "from {from}: {apart} apart");
    }
}

#[test]
fn a_loop_comes_round_on_the_sample_and_without_a_click() {
    let ringing = SoundedNote { end: Seconds::NEVER, ..note(0, 0.1, 35.0, 9.0) };
    let mut engine = Engine::new(sound("bass"), DISC, A4, 6);
    engine.play(Arc::new(Score { end: Seconds(1.0), ..score(vec![ringing]) }), Seconds(0.0));
    engine.set_loop(Some((Seconds(0.0), Seconds(0.5))));
    let samples = play(&mut engine, 3.0);
    // Each round is like the second.
    let second = between(&samples, 0.55, 1.0);
    for round in 2..5 {
        let start = 0.05 + 0.5 * f64::from(round);
        let this = between(&samples, start, start + 0.45);
        let apart: Vec<f32> = second.iter().zip(this).map(|(a, b)| a - b).collect();
        assert!(decibels(loudness(&apart) / loudness(second)) < -40.0, "round {round}");
    }
    // Where it goes back, the string is damped: no sample jumps further than the wave itself does.
    let usual = jump(between(&samples, 0.3, 0.49));
    assert!(jump(between(&samples, 0.49, 0.59)) < 1.2 * usual);
    assert!(loudness(between(&samples, 0.49, 0.5)) > 0.01, "it still rang");
    // A loop has no end; without it, the score goes on to its own.
    assert!(!engine.is_past_end());
    engine.set_loop(None);
    play(&mut engine, 1.0);
    assert!(engine.is_past_end());
}

#[test]
fn a_stop_is_a_ramp_and_playing_again_begins_clean() {
    let mut engine = engine("bass", vec![note(0, 0.0, 33.0, 3.0)]);
    let before = play(&mut engine, 0.5);
    engine.stop();
    let stopping = play(&mut engine, 0.1);
    assert!(jump(&stopping) < 1.2 * jump(between(&before, 0.3, 0.5)));
    assert!(between(&stopping, 0.05, 0.1).iter().all(|sample| *sample == 0.0));
    assert!(engine.is_over() && engine.is_still());
    let first = play(&mut self::engine("bass", vec![note(0, 0.0, 45.0, 0.5)]), 0.3);
    engine.play(Arc::new(score(vec![note(0, 0.0, 45.0, 0.5)])), Seconds::ZERO);
    let again = play(&mut engine, 0.3);
    let apart = first.iter().zip(&again).map(|(a, b)| (a - b).abs()).fold(0.0, f32::max);
    assert!(apart < 1e-5, "{apart} apart");
}

#[test]
fn a_stop_lets_the_sound_go_evenly_over_some_hundredths_of_a_second() {
    let notes = || vec![note(0, 0.0, 45.0, 3.0), note(1, 0.0, 52.0, 3.0)];
    let (mut goes_on, mut stops) = (engine("steel", notes()), engine("steel", notes()));
    play(&mut goes_on, 0.5);
    play(&mut stops, 0.5);
    stops.stop();
    let (whole, fading) = (play(&mut goes_on, 0.1), play(&mut stops, 0.1));
    let share = |from, to| loudness(between(&fading, from, to)) / loudness(between(&whole, from, to));
    let shares = [share(0.0, 0.004), share(0.013, 0.019), share(0.04, 0.1)];
    assert!(shares[0] > 0.85 && (0.3..0.7).contains(&shares[1]) && shares[2] == 0.0, "{shares:?}");
}

#[test]
fn going_elsewhere_while_it_sounds_makes_no_click() {
    let mut engine = engine("bass", vec![note(0, 0.0, 33.0, 3.0)]);
    let before = play(&mut engine, 0.5);
    engine.play(Arc::new(Score { end: Seconds(1.0), ..score(vec![]) }), Seconds(0.0));
    assert!(jump(&play(&mut engine, 0.3)) < 1.2 * jump(between(&before, 0.3, 0.5)));
}

#[test]
fn levels_change_without_a_step_and_strings_go_in_and_out() {
    let mut engine = engine("bass", vec![note(0, 0.0, 33.0, 4.0), note(1, 0.0, 45.0, 4.0)]);
    let before = play(&mut engine, 0.5);
    engine.set_level(Level(0.25));
    let down = play(&mut engine, 0.5);
    assert!(jump(between(&down, 0.0, 0.1)) < 1.2 * jump(between(&before, 0.3, 0.5)));
    let softer = decibels(loudness(between(&down, 0.1, 0.3)) / loudness(between(&before, 0.3, 0.5)));
    assert!((-16.0..-11.0).contains(&softer), "{softer} dB");
    engine.set_level(Level::AS_MADE);
    engine.set_string(0, StringSound::Silenced);
    engine.set_string(1, StringSound::Silenced);
    play(&mut engine, 0.2);
    assert!(decibels(loudness(&play(&mut engine, 0.2)) / loudness(&before)) < -60.0);
    // The string went on ringing unheard.
    engine.set_string(1, StringSound::Heard);
    play(&mut engine, 0.1);
    assert!(decibels(loudness(&play(&mut engine, 0.2)) / loudness(&before)) > -20.0);
}

#[test]
fn a_level_that_is_set_before_playing_holds_from_the_first_note_on() {
    let playing = |level| {
        let mut engine = Engine::new(sound("steel"), DISC, A4, 6);
        engine.set_level(Level(level));
        engine.set_string(1, StringSound::Silenced);
        engine.play(Arc::new(score(vec![note(0, 0.0, 45.0, 1.0), note(1, 0.0, 57.0, 1.0)])), Seconds::ZERO);
        play(&mut engine, 0.2)
    };
    let (loud, soft) = (playing(1.0), playing(0.1));
    assert!(loud.iter().zip(&soft).all(|(loud, soft)| (loud * 0.1 - soft).abs() < 1e-5));
    // So does a string that is left out.
    let alone = play(&mut engine("steel", vec![note(0, 0.0, 45.0, 1.0)]), 0.2);
    assert!(loud.iter().zip(&alone).all(|(both, alone)| (both - alone).abs() < 1e-5));
}

#[test]
fn the_position_is_that_of_what_is_heard() {
    let mut engine = engine("overdriven", vec![note(0, 0.5, 45.0, 1.0)]);
    let samples = play(&mut engine, 0.8);
    let heard = samples.iter().position(|sample| sample.abs() > 1e-3).unwrap() as f64 / f64::from(RATE);
    let late = engine.latency() as f64 / f64::from(RATE);
    assert!((heard - late - 0.5).abs() < 0.001, "heard at {heard}, late by {late}");
    assert!((engine.position().0 - (0.8 - late)).abs() < 0.001);
    engine.set_loop(Some((Seconds(0.2), Seconds(0.8))));
    let mut one = [0.0; 1];
    engine.fill(&mut one);
    // It is already back, and what is heard is still the end of the round before.
    assert!((0.79..0.8).contains(&engine.position().0), "{}", engine.position().0);
}

#[test]
fn a_score_played_before_is_handed_back_to_be_dropped_elsewhere() {
    let mut engine = Engine::new(sound("steel"), DISC, A4, 6);
    let first = Arc::new(score(tune()));
    assert!(engine.play(Arc::clone(&first), Seconds(0.0)).is_none());
    play(&mut engine, 0.1);
    let back = engine.play(Arc::new(score(vec![])), Seconds(0.0)).unwrap();
    assert!(Arc::ptr_eq(&first, &back));
}
