//! The lesson document: edits and their inverses, history, time.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use fingerpost::lesson::cutting::{join, shifted, split};
use fingerpost::lesson::document::Lesson;
use fingerpost::lesson::edit::Edit;
use fingerpost::lesson::history::{Change, Reason, Transaction};
use fingerpost::lesson::id::{PassageId, SegmentId};
use fingerpost::lesson::place::{LessonPlace, Spot};
use fingerpost::lesson::time::VideoLength;
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::TestRunner;

use super::arbitrary::{
    Choices, Music, any_lesson, any_lesson_and_chain, any_passage, any_passage_on_any_neck, edit_from,
};

/// Returns some edits of which each fits the lesson the ones before it leave behind, now and then
/// with one at the end that does not.
fn transaction_edits(lesson: &Lesson, choices: &mut Choices) -> Vec<Edit> {
    let mut lesson = lesson.clone();
    let mut edits = Vec::new();
    for _ in 0..=choices.below(4) {
        let edit = edit_from(&lesson, choices);
        let fits = lesson.apply(edit.clone()).is_ok();
        if fits || choices.happens(4) {
            edits.push(edit);
        }
        if !fits {
            break;
        }
    }
    edits
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn a_segment_split_anywhere_and_joined_again_is_what_it_was(lesson in any_lesson(), part in 0.0..1.0f64) {
        for segment in &lesson.segments {
            let at = VideoLength((f64::from(segment.planned.0) * part) as u32);
            let Some((first, second)) = split(segment, SegmentId(9999), at) else {
                prop_assert!(at == VideoLength::ZERO || at >= segment.planned);
                continue;
            };
            prop_assert_eq!(first.planned + second.planned, segment.planned);
            prop_assert_eq!(&join(&first, &second), segment);
        }
    }

    #[test]
    fn what_is_shifted_keeps_its_differences_and_comes_back(lesson in any_lesson(), by in -100_000i64..100_000) {
        let Some(moved) = shifted(&lesson.segments, by) else { return Ok(()) };
        let recorded = lesson.segments.iter().filter_map(|segment| Some((segment.id, segment.recorded?)));
        prop_assert_eq!(moved.len(), recorded.clone().count());
        for ((id, was), now) in recorded.zip(&moved) {
            let now_recorded = now.recorded.unwrap();
            prop_assert_eq!(id, now.id);
            prop_assert_eq!(i64::from(now_recorded.start.0) - i64::from(was.start.0), by);
            prop_assert_eq!(now_recorded.end.map(|end| i64::from(end.0) - by), was.end.map(|end| i64::from(end.0)));
        }
        let back = shifted(&moved, -by).unwrap();
        prop_assert!(back.iter().all(|segment| lesson.segments.contains(segment)));
    }

    #[test]
    fn undoing_every_edit_in_reverse_restores_the_lesson((before, chain) in any_lesson_and_chain()) {
        let mut lesson = before.clone();
        let mut undo: Vec<Edit> = Vec::new();
        for numbers in &chain {
            let edit = edit_from(&lesson, &mut Choices::new(numbers));
            undo.extend(lesson.apply(edit));
        }
        for edit in undo.into_iter().rev() {
            lesson.apply(edit).unwrap();
        }
        prop_assert_eq!(lesson, before);
    }

    #[test]
    fn an_edit_that_does_not_fit_leaves_the_lesson_alone((before, chain) in any_lesson_and_chain()) {
        let mut lesson = before;
        for numbers in &chain {
            let untouched = lesson.clone();
            if lesson.apply(edit_from(&lesson, &mut Choices::new(numbers))).is_err() {
                prop_assert_eq!(&lesson, &untouched);
            }
        }
    }

    #[test]
    fn taking_all_changes_back_gives_the_first_lesson_and_making_them_again_the_last(
        (before, chain) in any_lesson_and_chain(),
    ) {
        let mut lesson = before.clone();
        let mut changes: Vec<Change> = Vec::new();
        for numbers in &chain {
            let choices = &mut Choices::new(numbers);
            let untouched = lesson.clone();
            let edits = transaction_edits(&lesson, choices);
            match (Change::make(&mut lesson, Transaction::new(Reason::PutFret, edits)), changes.last_mut()) {
                (Ok(change), Some(last)) if choices.happens(3) => last.join(change),
                (Ok(change), _) => changes.push(change),
                (Err(_), _) => prop_assert_eq!(&lesson, &untouched),
            }
        }
        let after = lesson.clone();
        for change in changes.iter().rev() {
            lesson.apply_all(change.taking_back().edits).unwrap();
        }
        prop_assert_eq!(&lesson, &before);
        for change in &changes {
            lesson.apply_all(change.making_again().edits).unwrap();
        }
        prop_assert_eq!(&lesson, &after);
    }

    /// Transactions go into the journal as text.
    #[test]
    fn a_transaction_reads_back_as_written((lesson, chain) in any_lesson_and_chain()) {
        for numbers in chain.iter().take(4) {
            let edits = transaction_edits(&lesson, &mut Choices::new(numbers));
            let place = LessonPlace::Passage(PassageId(3), Spot::bar(1).voice(0).event(4));
            let transaction = Transaction::new(Reason::PutFret, edits).at(place);
            let text = ron::to_string(&transaction).unwrap();
            prop_assert_eq!(ron::from_str::<Transaction>(&text).unwrap(), transaction);
        }
    }

    #[test]
    fn generated_bars_fill_their_meter((_, passage) in any_passage_on_any_neck()) {
        let mut meter = passage.meter;
        let last = passage.bars.len() - 1;
        for (place, bar) in passage.bars.iter().enumerate() {
            meter = bar.meter.unwrap_or(meter);
            for voice in &bar.voices {
                let full = voice.ticks() == meter.ticks();
                let short = bar.pickup && voice.ticks() < meter.ticks();
                let completes = place == last
                    && passage.bars[0].pickup
                    && voice.ticks() + passage.bars[0].voices[0].ticks() == meter.ticks();
                prop_assert!(full || short || completes, "bar {}", place + 1);
            }
        }
    }
}

/// A generator that never makes something tests nothing about it.
#[test]
fn the_generator_makes_every_technique_join_and_stroke() {
    let mut runner = TestRunner::deterministic();
    let strategy = any_passage(Music { frets: 24, ..Music::everything() });
    let mut seen: BTreeSet<String> = BTreeSet::new();
    for _ in 0..150 {
        let passage = strategy.new_tree(&mut runner).unwrap().current();
        for bar in &passage.bars {
            seen.extend(bar.pickup.then(|| "pickup".to_owned()));
            seen.extend(bar.repeat_end.map(|_| "repeat".to_owned()));
            seen.extend(bar.endings.first().map(|_| "ending".to_owned()));
            seen.extend(bar.meter.map(|_| "meter".to_owned()));
            seen.extend(bar.voices.get(1).map(|_| "second voice".to_owned()));
            for event in bar.voices.iter().flat_map(|voice| &voice.0) {
                seen.extend(event.length.tuplet().map(|tuplet| format!("{tuplet:?}")));
                seen.extend(event.grace.first().map(|_| "grace".to_owned()));
                seen.extend(event.stroke.map(|stroke| format!("{stroke:?}")));
                for note in &event.notes {
                    seen.extend(note.join.map(|join| format!("{join:?}")));
                    // The name of the technique without its amount or fret.
                    let names = note.techniques.iter().map(|technique| format!("{technique:?}"));
                    seen.extend(names.map(|name| name.split('(').next().unwrap_or_default().to_owned()));
                }
            }
        }
    }
    // 23 techniques, 5 joins, 6 strokes, 6 tuplets, and the six words above.
    assert_eq!(seen.len(), 46, "{seen:?}");
}

/// Returns what the code of a folder says, without its tests.
fn code_in(folder: &Path) -> String {
    let mut all = String::new();
    for path in fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
        if path.is_dir() {
            all += &code_in(&path);
        } else {
            all += fs::read_to_string(path).unwrap().split("#[cfg(test)]").next().unwrap();
        }
    }
    all
}

/// A reason that nothing gives would stand in no history: it goes, and its name becomes one that is still read.
#[test]
fn every_reason_is_given_for_some_change() {
    let code = code_in(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"));
    let given: BTreeSet<&str> = code
        .split("Reason::")
        .skip(1)
        .filter_map(|rest| rest.split(|sign: char| !sign.is_alphanumeric()).next())
        .collect();
    let unused: Vec<&Reason> = Reason::ALL.iter().filter(|reason| !given.contains(&*format!("{reason:?}"))).collect();
    assert!(unused.is_empty(), "nothing gives {unused:?}");
}
