//! Onsets of rendered passages: where the music says, to the millisecond.

use std::sync::Arc;

use fingerpost::lesson::music::Passage;
use fingerpost::lesson::seconds::Seconds;
use fingerpost::sound::level::Strength;
use fingerpost::sound::performance::passage::{Options, PassagePart, passage};
use fingerpost::sound::rendering::render;
use fingerpost::sound::score::{Muting, Score, SoundedNote};
use fingerpost::store::demos::DEMOS;
use fingerpost::store::lesson_file::parse;

use super::performance::{COMMON, bar, lesson_with, on_one};
use super::{A4, DISC, RATE, loudness, sound};

/// The score with every note muted and cut short, so that each stroke stands alone, and those left out that follow
/// another too closely to be told from it by ear.
fn strokes(score: Score) -> Score {
    let mut last = f64::NEG_INFINITY;
    let mut notes: Vec<SoundedNote> = Vec::new();
    for note in score.notes {
        if note.start.0 - last > 0.09 {
            last = note.start.0;
            notes.push(SoundedNote {
                end: note.start + Seconds(0.02),
                muting: Muting::Palm,
                strength: Strength(0.8),
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
        let score = strokes(passage(&lesson, played, PassagePart::default(), options).unwrap().score);
        let starts: Vec<f64> = score.notes.iter().map(|note| note.start.0).collect();
        assert!(starts.len() > 4, "{}", played.title);
        let samples = render(sound("steel"), DISC, A4, Arc::new(score));
        for start in starts {
            assert!(rises(&samples, start), "{}: nothing begins at {start:.4} s", played.title);
            assert!(!rises(&samples, start + 0.03), "{}: what is measured is no onset", played.title);
        }
    }
}

#[test]
fn onsets_follow_changes_of_tempo_and_meter_tuplets_and_repeats_to_the_millisecond() {
    let notes = |length: &str, count: usize| vec![on_one(length, 3, ""); count].join(",");
    let changed = |head: &str, events: &str| bar(events).replacen('(', &format!("({head}, "), 1);
    let bars = [
        changed("repeat_start: true", &[notes("1/8 3:2", 3), notes("1/4", 1), notes("1/8 5:4", 5)].join(",")),
        changed(r#"meter: "7/8", endings: [1], repeat_end: 2"#, &notes("1/8", 7)),
        changed(r#"meter: "6/8", tempo: "1/4.=40", endings: [2]"#, &notes("1/8", 6)),
        changed(r#"meter: "3/4", tempo: "1/4=97""#, &notes("1/4", 3)),
    ];
    let (lesson, written) = lesson_with("standard", None, COMMON, &bars.join(","));
    // By hand: quarters of half a second; eighths of half a second at 40 dotted quarters; quarters of 60/97 s.
    let first = [0.0, 0.5 / 3.0, 1.0 / 3.0, 0.5, 1.0, 1.2, 1.4, 1.6, 1.8];
    let every = |from: f64, step: f64, count: u32| (0..count).map(move |number| from + step * f64::from(number));
    let meant: Vec<f64> = (first.iter().copied())
        .chain(every(2.0, 0.25, 7))
        .chain(first.iter().map(|start| 3.75 + start))
        .chain(every(5.75, 0.5, 6))
        .chain(every(8.75, 60.0 / 97.0, 3))
        .collect();
    for percent in [50, 100] {
        let options = Options { percent, ..Options::default() };
        let score = strokes(passage(&lesson, &written, PassagePart::default(), options).unwrap().score);
        assert_eq!(score.notes.len(), meant.len());
        let samples = render(sound("steel"), DISC, A4, Arc::new(score));
        for start in meant.iter().map(|start| start * 100.0 / f64::from(percent)) {
            assert!(rises(&samples, start), "{percent} %: nothing begins at {start:.4} s");
            // A millisecond is what is measured: two later is none, and two earlier neither.
            assert!(!rises(&samples, start + 0.002) && (start == 0.0 || !rises(&samples, start - 0.002)));
        }
    }
}
