//! Music that goes back and comes round: what a repeat leads into, and where a cursor within it goes on.

use fingerpost::sound::performance::passage::{Options, Part, passage};
use fingerpost::sound::score::Score;

use super::performance::{COMMON, about, lesson_with, on_one, starts};

/// Bars of one whole note each at 120, two seconds long: what stands before the voices, the fret on string 1, and what
/// the note has beside it.
fn heard(bars: &[(&str, u8, &str)], part: Part) -> Score {
    let bar = |(head, fret, more): &(&str, u8, &str)| format!("({head}voices: [[{}]])", on_one("1/1", *fret, more));
    let bars: Vec<String> = bars.iter().map(bar).collect();
    let (lesson, written) = lesson_with("standard", None, COMMON, &bars.join(","));
    passage(&lesson, &written, part, Options::default()).unwrap().score
}

/// The frets that are struck on string 1, which sounds E4 (MIDI 64).
fn frets(score: &Score) -> Vec<f64> {
    score.notes.iter().map(|note| note.pitch - 64.0).collect()
}

#[test]
fn a_tie_holds_no_note_of_another_fret_that_a_repeat_brings() {
    // The tie is for the bar after the repeat; the first time, the beginning comes instead.
    let bars = [("repeat_start: true, ", 5, ""), ("repeat_end: 2, ", 7, ", join: Tie"), ("", 7, "")];
    let score = heard(&bars, Part::default());
    assert_eq!(frets(&score), [5.0, 7.0, 5.0, 7.0]);
    about(&starts(&score), &[0.0, 2.0, 4.0, 6.0]);
    let ends: Vec<f64> = score.notes.iter().map(|note| note.end).collect();
    about(&ends, &[2.0, 4.0, 6.0, 10.0]);
}

#[test]
fn what_begins_within_a_repeat_comes_round_as_if_all_of_it_had_been_played() {
    let bars = [
        ("repeat_start: true, ", 1, ""),
        ("", 2, ""),
        ("endings: [1], repeat_end: 2, ", 3, ""),
        ("endings: [2], ", 4, ""),
        ("", 5, ""),
    ];
    let from = |place| Part { begin: Some(place), ..Part::default() };
    for (place, meant) in [
        (0, &[1.0, 2.0, 3.0, 1.0, 2.0, 4.0, 5.0][..]),
        (1, &[2.0, 3.0, 1.0, 2.0, 4.0, 5.0]),
        (2, &[3.0, 1.0, 2.0, 4.0, 5.0]),
        (3, &[4.0, 5.0]),
        (4, &[5.0]),
    ] {
        assert_eq!(frets(&heard(&bars, from(place))), meant, "from bar {}", place + 1);
    }
    // An ending that never comes is played all the same when the cursor stands on it.
    let never = [("", 1, ""), ("endings: [7], repeat_end: 2, ", 2, ""), ("", 3, "")];
    assert_eq!(frets(&heard(&never, from(1))), [2.0, 3.0]);
}
