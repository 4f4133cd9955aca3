//! What `check` finds in a passage: its mark in the tab, its words under the cursor, and the key that fixes it.

use fingerpost::instrument::neck::{Fret, StringNumber};
use fingerpost::lesson::document::Lesson;
use fingerpost::lesson::music::{Bar, Event, Note, Voice};
use fingerpost::tab::handout::handout;
use fingerpost::tab::handout::options::HandoutOptions;
use fingerpost::workbench::keys::action::Focus;

use crate::workbench::bench::{Bench, small_lesson};

fn strum(length: &str, frets: &[(u8, u8)], name: Option<&str>) -> Event {
    let note = |(string, fret): &(u8, u8)| Note::plain(StringNumber::new(*string).unwrap(), Fret::new(*fret).unwrap());
    let notes = frets.iter().map(note).collect();
    Event { chord: name.map(str::to_owned), ..Event::notes(length.parse().unwrap(), notes) }
}

const G: [(u8, u8); 6] = [(1, 3), (2, 0), (3, 0), (4, 0), (5, 2), (6, 3)];
const C: [(u8, u8); 5] = [(1, 0), (2, 1), (3, 0), (4, 2), (5, 3)];

/// Returns the small lesson with these bars as its passage.
fn lesson_of(bars: Vec<Vec<Event>>) -> Lesson {
    let mut lesson = small_lesson();
    let bars = bars.into_iter().map(|events| Bar { voices: vec![Voice(events)], ..Bar::default() });
    lesson.passages[0].bars = bars.collect();
    lesson
}

fn on_passage(lesson: Lesson, size: (u16, u16)) -> Bench {
    let mut bench = Bench::on(lesson, size);
    bench.strike("Down P");
    bench
}

fn last_line(bench: &Bench) -> String {
    bench.pane(Focus::Passage).lines().next_back().unwrap_or_default().trim().to_owned()
}

#[test]
fn a_wrong_chord_name_is_marked_in_the_tab_and_fixed_where_the_cursor_stands() {
    let melody = || [5, 7, 8].map(|fret| strum("1/4", &[(1, fret)], None));
    let first = || std::iter::once(strum("1/4", &G, Some("A"))).chain(melody()).collect();
    let last = vec![strum("1/1", &C, Some("C"))];
    for size in [(80, 24), (120, 36), (200, 50)] {
        let mut bench = on_passage(lesson_of(vec![first(), last.clone()]), size).plain();
        let tab = bench.pane(Focus::Passage);
        let line = |what: &str| tab.lines().find(|line| line.contains(what)).map(str::to_owned);
        assert!(line("A?").is_some_and(|names| names.contains(" C") && !names.contains("C?")), "{tab}");
        assert_eq!(tab.matches('?').count(), 3, "the name, its bar and its words: {tab}");
        let said = "? the name A stands here, but G, B and D sound under it (W fixes it)";
        assert!(last_line(&bench).starts_with(said), "{tab}");
        bench.strike("Right");
        assert!(last_line(&bench).starts_with("string 1, fret 5"), "{}", last_line(&bench));
        bench.strike("W");
        assert!(bench.notice().contains("no problem under the cursor"), "{}", bench.notice());
        bench.strike("Left W");
        assert_eq!(bench.lesson().passages[0].bars[0].voices[0].0[0].chord.as_deref(), Some("G"));
        assert!(!bench.pane(Focus::Passage).contains('?'), "{}", bench.pane(Focus::Passage));
        bench.strike("u");
        assert!(bench.pane(Focus::Passage).contains("A?"), "{}", bench.pane(Focus::Passage));
    }
}

#[test]
fn a_missing_name_is_marked_where_it_is_missing_and_written_with_the_key() {
    let bars = vec![vec![strum("1/1", &C, Some("C"))], vec![strum("1/1", &G, None)]];
    let mut bench = on_passage(lesson_of(bars), (80, 24)).plain();
    bench.strike("]");
    let said = "? no name here, and C from bar 1 does not fit: G, B and D sound (W fixes it)";
    assert!(last_line(&bench).starts_with(said), "{}", bench.pane(Focus::Passage));
    bench.strike("W");
    assert_eq!(bench.lesson().passages[0].bars[1].voices[0].0[0].chord.as_deref(), Some("G"));
    assert!(!bench.pane(Focus::Passage).contains('?'), "{}", bench.pane(Focus::Passage));
}

#[test]
fn a_note_that_cannot_be_played_and_a_short_bar_are_marked_each_in_its_place() {
    let bars = vec![
        vec![strum("1/2", &[(3, 5)], None), strum("1/2", &[(2, 31)], None)],
        vec![strum("1/4", &[(2, 3)], None), strum("1/8", &[(2, 5)], None)],
        vec![strum("1/1", &[(3, 5)], None)],
    ];
    let mut bench = on_passage(lesson_of(bars), (80, 24)).plain();
    let tab = bench.pane(Focus::Passage);
    assert!(tab.contains("-31!-"), "{tab}");
    assert_eq!(tab.matches('!').count(), 3, "the note, its bar and the short bar: {tab}");
    bench.strike("Right Down");
    assert!(
        last_line(&bench).starts_with("! ") && last_line(&bench).contains("(w lists problems)"),
        "{}",
        last_line(&bench)
    );
    bench.strike("]");
    let said = "! bar 2: a half note and an eighth note short";
    assert!(last_line(&bench).starts_with(said) && last_line(&bench).contains("(W fixes it)"), "{}", last_line(&bench));
    bench.strike("W");
    assert!(bench.notice().contains("added an eighth rest and a half rest"), "{}", bench.notice());
}

#[test]
fn the_handout_prints_no_marks() {
    let lesson = lesson_of(vec![vec![strum("1/1", &G, Some("A"))]]);
    let text = handout(&lesson, &HandoutOptions::default()).to_text();
    assert!(text.contains('A') && !text.contains("A?"), "{text}");
}
