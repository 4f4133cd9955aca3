//! Music that goes back and comes round: what a repeat leads into, and where a cursor within it goes on.

use fingerpost::lesson::seconds::Seconds;
use fingerpost::lesson::time::{NoteValue, Ticks};
use fingerpost::sound::performance::passage::{Options, PassagePart, passage};
use fingerpost::sound::score::{Accent, Score};

use super::performance::{COMMON, about, bar, lesson_with, on_one, starts};

/// Bars of one whole note each at 120, two seconds long: what stands before the voices, the fret on string 1, and what
/// the note has beside it.
fn heard(bars: &[(&str, u8, &str)], part: PassagePart) -> Score {
    let one = |(head, fret, more): &(&str, u8, &str)| format!("({head}voices: [[{}]])", on_one("1/1", *fret, more));
    let bars: Vec<String> = bars.iter().map(one).collect();
    let (lesson, written) = lesson_with("standard", None, COMMON, &bars.join(","));
    passage(&lesson, &written, part, Options::default()).unwrap().score
}

/// The frets that are struck on string 1, which sounds E4 (MIDI 64).
fn frets(score: &Score) -> Vec<f64> {
    score.notes.iter().map(|note| note.pitch.0 - 64.0).collect()
}

#[test]
fn a_tie_holds_no_note_of_another_fret_that_a_repeat_brings() {
    // The tie is for the bar after the repeat; the first time, the beginning comes instead.
    let bars = [("repeat_start: true, ", 5, ""), ("repeat_end: 2, ", 7, ", join: Tie"), ("", 7, "")];
    let score = heard(&bars, PassagePart::default());
    assert_eq!(frets(&score), [5.0, 7.0, 5.0, 7.0]);
    about(&starts(&score), &[0.0, 2.0, 4.0, 6.0]);
    let ends: Vec<f64> = score.notes.iter().map(|note| note.end.0).collect();
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
    let from = |place| PassagePart { begin: Some(place), ..PassagePart::default() };
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

#[test]
fn grace_notes_come_after_the_note_before_them_however_short_it_is() {
    // Sixteenths at 180 last a twelfth of a second: two grace notes of the usual length would begin before it.
    let grace = "grace: [(string: 1, fret: 7), (string: 1, fret: 8)]";
    let last = format!(r#"(length: "1/16", notes: [(string: 1, fret: 5)], {grace})"#);
    let events = [on_one("1/16", 1, ""), on_one("1/16", 2, ""), last].join(",");
    let (lesson, written) = lesson_with("standard", None, r#"meter: "4/4", tempo: "1/4=180""#, &bar(&events));
    let score = passage(&lesson, &written, PassagePart::default(), Options::default()).unwrap().score;
    assert_eq!(frets(&score), [1.0, 2.0, 7.0, 8.0, 5.0]);
    let starts = starts(&score);
    about(&[starts[0], starts[1], starts[4]], &[0.0, 1.0 / 12.0, 2.0 / 12.0]);
    // At least half of the note before is left to be heard.
    assert!(starts[2] - starts[1] > 1.0 / 24.0 - 1e-9 && starts[2] < starts[3] && starts[3] < starts[4], "{starts:?}");
}

#[test]
fn the_count_leads_to_the_beat_on_which_the_music_begins() {
    // Common practice: a whole bar, and what a pickup or a beginning within a bar leaves of the next.
    let pickup = format!("(pickup: true, voices: [[{}]]), {}", on_one("1/4", 1, ""), bar(&on_one("1/1", 2, "")));
    let (lesson, written) = lesson_with("standard", None, COMMON, &pickup);
    let options = Options { count_in: true, ..Options::default() };
    let score = passage(&lesson, &written, PassagePart::default(), options).unwrap().score;
    about(&starts(&score), &[3.5, 4.0]);
    let clicks: Vec<f64> = score.clicks.iter().map(|click| click.at.0).collect();
    about(&clicks, &[0.0, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0]);
    let (first, beat) = (Accent::Bar, Accent::Beat);
    let accents: Vec<Accent> = score.clicks.iter().map(|click| click.accent).collect();
    assert_eq!(accents, [first, beat, beat, beat, first, beat, beat]);
    assert_eq!(score.mark_at(Seconds(3.4)).map(|mark| mark.bar), Some(None));
    // From the third quarter of a bar on.
    let part = PassagePart { begin: Some(1), from: Ticks(2 * NoteValue::Quarter.ticks().0), ..PassagePart::default() };
    let quarters = bar(&vec![on_one("1/4", 3, ""); 4].join(","));
    let (lesson, written) = lesson_with("standard", None, COMMON, &[quarters.clone(), quarters].join(","));
    let score = passage(&lesson, &written, part, options).unwrap().score;
    about(&starts(&score), &[3.0, 3.5]);
    assert_eq!(score.clicks.len(), 6);
}
