//! What a setup asks A4 to sound at is what is heard, along every way from a lesson to the ear.
//!
//! The expected frequencies come from the definition of equal temperament (`tempered`) and the reference asked for: 440 Hz
//! is ISO 16:1975; 415, 432 and 442 Hz are heard beside it (common practice, no published source). Neither they nor
//! the estimator know any code of the program.

use std::sync::Arc;

use fingerpost::lesson::document::Setup;
use fingerpost::lesson::seconds::Seconds;
use fingerpost::sound::level::Strength;
use fingerpost::sound::performance::passage::{Options, PassagePart, passage};
use fingerpost::sound::player::{PlayOrder, Player};
use fingerpost::sound::rendering::render;
use fingerpost::sound::rendition::Rendition;
use fingerpost::sound::score::{Drone, PitchPoint, Score, SoundedNote};
use fingerpost::theory::pitch::{FinePitch, Hertz};

use super::estimator::{cents, frequency, partial};
use super::performance::{COMMON, bar, lesson_with, on_one};
use super::player::device::Device;
use super::player::until_it_sounds;
use super::{DISC, RATE, between, note, score, sound, tempered};

/// What A4 is asked to sound at, in Hz.
const REFERENCES: [f64; 4] = [440.0, 415.0, 432.0, 442.0];

/// The samples between two seconds sound `pitch`, A4 at `reference`, within a cent.
#[track_caller]
fn check(samples: &[f32], (from, to): (f64, f64), pitch: f64, reference: f64) {
    let found = frequency(between(samples, from, to), f64::from(RATE)).expect("it has a pitch");
    let off = cents(found, tempered(pitch, reference));
    assert!(off.abs() < 1.0, "{pitch} at {reference} Hz: {off:+.2} cents");
}

fn rendered(score: Score, reference: f64) -> Vec<f32> {
    render(sound("steel"), DISC, Hertz(reference), Arc::new(score))
}

#[test]
fn a_passage_sounds_at_the_reference_of_its_setup() {
    // String 1, frets 5 and 0: A4 and E4, a second each.
    let (lesson, written) =
        lesson_with("standard", None, COMMON, &bar(&[on_one("1/2", 5, ""), on_one("1/2", 0, "")].join(",")));
    for reference in REFERENCES {
        let asked = Some(Hertz(reference)).filter(|_| reference != 440.0);
        let setup = Setup { reference: asked, ..lesson.setups[0].clone() };
        let lesson = fingerpost::lesson::document::Lesson { setups: vec![setup], ..lesson.clone() };
        let found = passage(&lesson, &written, PassagePart::default(), Options::default()).unwrap();
        let samples = render(sound("steel"), DISC, found.reference, Arc::new(found.score));
        check(&samples, (0.1, 0.9), 69.0, reference);
        check(&samples, (1.1, 1.9), 64.0, reference);
    }
}

#[test]
fn every_note_of_a_chord_and_the_drone_under_it_sound_at_the_reference() {
    // C3, F#3 and D4 with B1 under them: no partial of one is near the lowest of another.
    for reference in REFERENCES {
        let pitches = [48.0, 54.0, 62.0];
        let notes = pitches.iter().enumerate().map(|(string, pitch)| note(string, 0.0, *pitch, 1.5)).collect();
        let drone = Some(Drone { pitch: FinePitch(35.0), strength: Strength(0.8) });
        let samples = rendered(Score { drone, ..score(notes) }, reference);
        for pitch in pitches.into_iter().chain([35.0]) {
            let meant = tempered(pitch, reference);
            let off = cents(partial(between(&samples, 0.1, 1.4), f64::from(RATE), meant), meant);
            assert!(off.abs() < 1.0, "{pitch} at {reference} Hz: {off:+.2} cents");
        }
    }
}

#[test]
fn bends_and_harmonics_are_counted_from_the_reference() {
    for reference in REFERENCES {
        let path = vec![
            PitchPoint { at: Seconds(0.5), pitch: FinePitch(57.0) },
            PitchPoint { at: Seconds(0.7), pitch: FinePitch(59.0) },
        ];
        let bent = SoundedNote { path, ..note(0, 0.0, 57.0, 1.6) };
        let samples = rendered(score(vec![bent]), reference);
        check(&samples, (0.1, 0.48), 57.0, reference);
        check(&samples, (0.8, 1.5), 59.0, reference);
        // The second partial of E2 sounds an octave above it.
        let touched = SoundedNote { partial: 2, ..note(0, 0.0, 40.0, 1.0) };
        check(&rendered(score(vec![touched]), reference), (0.1, 0.9), 52.0, reference);
    }
}

#[test]
fn what_a_player_plays_sounds_at_the_reference_of_its_order() {
    for reference in REFERENCES {
        let device = Device::default();
        let mut player = Player::on(Box::new(device.clone()), Box::new(Device::default()));
        let strings = Rendition {
            score: Arc::new(score(vec![note(0, 0.0, 69.0, 2.0)])),
            sound: sound("nylon"),
            reference: Hertz(reference),
        };
        player.play(PlayOrder { music: Arc::new(strings), from: Seconds::ZERO, span: None });
        let mut samples = until_it_sounds(&device);
        samples.extend(device.take(RATE as usize));
        check(&samples, (0.1, 0.9), 69.0, reference);
    }
}
