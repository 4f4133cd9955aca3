//! Chord names that are missing, against the notes there. What fits is common practice of the trade; no published source.

use super::names::{bar, contradicted, lesson_of, missing, over, strum};
use crate::lesson::check::{FindingKind, check, choices, is_a_choice};

#[test]
fn bars_behind_the_first_do_not_accuse_a_name_but_tell_where_one_is_missing() {
    let named = |bars: &[&str]| {
        let bars = bars.iter().enumerate();
        lesson_of(
            bars.map(|(place, frets)| bar(vec![over("1/1", strum(frets), if place == 0 { "C" } else { "" })]))
                .collect(),
        )
    };
    let lesson = named(&["x32010", "320003", "320003", "320003"]);
    assert_eq!(contradicted(&lesson), []);
    assert_eq!(
        missing(&lesson),
        ["warning: passage \"verse\", bar 2, beat 1: no name here, and C from bar 1 does not fit: G, B and D sound \
             (write G here, or correct the notes)"]
    );
    // The same chord, its colours and inversions, chords over the root of the name, what only passes.
    for bars in [["x32010"; 4], ["x32010", "x32000", "032010", "x32033"], ["x32010", "x33211", "x35553", "x32010"]] {
        assert_eq!(missing(&named(&bars)), Vec::<String>::new(), "{bars:?}");
    }
}

#[test]
fn a_chord_that_leads_to_the_next_name_is_not_where_one_is_missing() {
    // Half a step below, slid into the chord on the second beat, whose name stands there.
    let bars = vec![
        bar(vec![over("1/1", strum("x32010"), "C")]),
        bar(vec![over("1/4", strum("xx3444"), ""), over("1/2.", strum("x32010"), "C")]),
    ];
    assert_eq!(missing(&lesson_of(bars)), Vec::<String>::new());
}

#[test]
fn a_missing_name_that_is_chosen_is_written_and_nothing_is_found_any_more() {
    let bars = ["x32010", "320003"].iter().enumerate();
    let mut lesson =
        lesson_of(bars.map(|(place, frets)| bar(vec![over("1/1", strum(frets), ["C", ""][place])])).collect());
    let finding = check(&lesson).into_iter().find(|finding| finding.kind == FindingKind::MissingName).unwrap();
    assert!(is_a_choice(&finding));
    let first = choices(&lesson, &finding).remove(0);
    assert_eq!(first.text, "write G");
    lesson.apply_all(first.edits).unwrap();
    assert_eq!(lesson.passages[0].bars[1].voices[0].0[0].chord.as_deref(), Some("G"));
    assert_eq!(missing(&lesson), Vec::<String>::new());
}
