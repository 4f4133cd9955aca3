//! Onsets of rendered passages: where the music says, to the millisecond.

use std::sync::Arc;

use fingerpost::lesson::music::Passage;
use fingerpost::sound::performance::passage::{Options, Part, passage};
use fingerpost::sound::rendering::render;
use fingerpost::sound::score::{Muting, Score, SoundedNote};
use fingerpost::store::demos::DEMOS;
use fingerpost::store::lesson_file::parse;

use super::{RATE, loudness, sound};

/// The score with every note muted and cut short, so that each stroke stands alone, and those left out that follow
/// another too closely to be told from it by ear.
fn strokes(score: Score) -> Score {
    let mut last = f64::NEG_INFINITY;
    let mut notes: Vec<SoundedNote> = Vec::new();
    for note in score.notes {
        if note.start - last > 0.09 {
            last = note.start;
            notes.push(SoundedNote {
                end: note.start + 0.02,
                muting: Muting::Palm,
                strength: 0.8,
                partial: 1,
                path: Vec::new(),
                vibratos: Vec::new(),
                ..note
            });
        }
    }
    Score { notes, clicks: Vec::new(), ..score }
}

/// Where the level rises most steeply above what was heard just before.
fn rises(samples: &[f32], near: f64) -> bool {
    let rate = f64::from(RATE);
    let window = (0.001 * rate) as usize;
    let place = (near * rate).round() as usize;
    let before = loudness(&samples[place.saturating_sub(4 * window)..place.saturating_sub(window)]);
    let after = loudness(&samples[place..(place + window).min(samples.len())]);
    let just_before = loudness(&samples[place.saturating_sub(window)..place]);
    after > 4.0 * before.max(1e-4) && after > 3.0 * just_before.max(1e-4)
}

#[test]
fn every_stroke_of_a_passage_is_heard_within_a_millisecond() {
    for (demo, percent) in DEMOS.iter().zip([100, 140, 125]) {
        let lesson = parse(std::path::Path::new(demo.name), demo.text.as_bytes()).unwrap().lesson;
        let shortest = |passage: &&Passage| passage.bars.len();
        let played = lesson.passages.iter().min_by_key(shortest).expect("a demo has passages");
        let options = Options { percent, ..Options::default() };
        let score = strokes(passage(&lesson, played, Part::default(), options).unwrap().score);
        let starts: Vec<f64> = score.notes.iter().map(|note| note.start).collect();
        assert!(starts.len() > 4, "{}", played.title);
        let samples = render(sound("steel"), RATE, 440.0, Arc::new(score));
        for start in starts {
            assert!(rises(&samples, start), "{}: nothing begins at {start:.4} s", played.title);
            assert!(!rises(&samples, start + 0.03), "{}: what is measured is no onset", played.title);
        }
    }
}
