//! How fast sound is made: a second of it, six strings ringing, on one core. The target is a hundredth of a second clean and
//! a fortieth overdriven.

#[path = "shared/plain_note.rs"]
mod plain_note;

use std::sync::Arc;

use divan::counter::ItemsCount;
use fingerpost::lesson::seconds::Seconds;
use fingerpost::sound::rate::SampleRate;
use fingerpost::sound::score::{OpenString, PitchPoint, Score, Vibrato};
use fingerpost::sound::sounds::sound_named;
use fingerpost::sound::synthesis::engine::Engine;
use fingerpost::theory::pitch::{Cents, FinePitch, Hertz};

use crate::plain_note::plain_note;

fn main() {
    divan::main();
}

/// Samples a second, and how many a device asks for at a time.
const RATE: u32 = 44_100;
const BLOCK: usize = 441;

/// An open chord over six strings, struck every half second for an hour; with `moving`, every note bends and swings.
fn chords(moving: bool) -> Score {
    let pitches = [40.0, 47.0, 52.0, 56.0, 59.0, 64.0];
    let strikes =
        (0..7200).flat_map(|strike| pitches.iter().enumerate().map(move |(string, pitch)| (strike, string, *pitch)));
    let notes = strikes.map(|(strike, string, pitch)| {
        let start = f64::from(strike) * 0.5 + 0.012 * string as f64;
        let mut note = plain_note(string, start, f64::INFINITY, pitch);
        if moving {
            note.path = vec![PitchPoint { at: Seconds(0.5), pitch: FinePitch(pitch + 2.0) }];
            note.vibratos.push(Vibrato {
                from: Seconds(0.1),
                until: Seconds::NEVER,
                depth: Cents(30.0),
                rate: Hertz(5.5),
            });
        }
        note
    });
    let strings = pitches.map(|pitch| OpenString { pitch: FinePitch(pitch) }).to_vec();
    Score { strings, notes: notes.collect(), end: Seconds(3600.0), ..Score::default() }
}

fn playing(sound: &str, score: Score) -> Engine {
    let mut engine = Engine::new(sound_named(sound).expect("a sound"), SampleRate(RATE), Hertz::STANDARD_PITCH, 6);
    engine.play(Arc::new(score), Seconds(0.0));
    engine
}

fn second(engine: &mut Engine) -> f32 {
    let mut block = [0.0; BLOCK];
    for _ in 0..RATE as usize / BLOCK {
        engine.fill(&mut block);
    }
    block[0]
}

#[divan::bench(args = ["nylon", "steel", "clean", "overdriven", "bass", "ukulele"])]
fn a_second_of_six_strings(bencher: divan::Bencher, sound: &str) {
    let mut engine = playing(sound, chords(false));
    second(&mut engine);
    bencher.counter(ItemsCount::new(1_u32)).bench_local(move || second(&mut engine));
}

#[divan::bench(args = ["clean", "overdriven"])]
fn a_second_of_six_strings_that_bend_and_swing(bencher: divan::Bencher, sound: &str) {
    let mut engine = playing(sound, chords(true));
    second(&mut engine);
    bencher.counter(ItemsCount::new(1_u32)).bench_local(move || second(&mut engine));
}

/// Strings that ring out in silence, far below what can be heard: it must take no longer than while they sound.
#[divan::bench(args = ["clean", "overdriven"])]
fn a_second_of_strings_that_have_died_away(bencher: divan::Bencher, sound: &str) {
    let once = Score { end: Seconds(1e6), ..chords(false) };
    let once = Score { notes: once.notes.into_iter().take(6).collect(), ..once };
    let mut engine = playing(sound, once);
    for _ in 0..20 {
        second(&mut engine);
    }
    bencher.counter(ItemsCount::new(1_u32)).bench_local(move || second(&mut engine));
}

/// A decaying sound, second by second, so that a slow stretch on the way to silence shows.
#[divan::bench(args = [1, 2, 4, 8, 12, 16])]
fn a_second_on_the_way_to_silence(bencher: divan::Bencher, from: u32) {
    let once = Score { end: Seconds(1e6), ..chords(false) };
    let once = Score { notes: once.notes.into_iter().take(6).collect(), ..once };
    bencher
        .with_inputs(|| {
            let mut engine = playing("overdriven", once.clone());
            (0..from).for_each(|_| {
                second(&mut engine);
            });
            engine
        })
        .bench_local_values(|mut engine| second(&mut engine));
}
