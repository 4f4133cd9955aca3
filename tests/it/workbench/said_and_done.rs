//! What a press does is said where the eye can miss it, and the same keys do the same each time.

use fingerpost::instrument::neck::{Fret, StringNumber};
use fingerpost::lesson::document::{Lesson, VideoCut};
use fingerpost::lesson::music::{Bar, Event, Note, Voice};
use fingerpost::lesson::time::VideoTime;
use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::keys::action::Focus;

use super::bench::{Bench, small_lesson};

/// Every size at which the program is tried.
const SIZES: [(u16, u16); 3] = [(80, 24), (120, 36), (200, 50)];

/// A bar of quarter notes on one string.
fn bar_on(string: u8) -> Bar {
    let note = Note::plain(StringNumber::new(string).unwrap(), Fret::new(3).unwrap());
    let event = Event::notes("1/4".parse().unwrap(), vec![note]);
    Bar { voices: vec![Voice(vec![event; 4])], ..Bar::default() }
}

fn lesson_of(bars: Vec<Bar>) -> Lesson {
    let mut lesson = small_lesson();
    lesson.passages[0].bars = bars;
    lesson
}

/// Returns a bench whose cursor is in the passage.
fn on_passage(bars: Vec<Bar>) -> Bench {
    let mut bench = Bench::on(lesson_of(bars), (120, 36));
    bench.strike("Down P");
    bench
}

#[test]
fn the_recording_view_shows_all_strings_of_the_first_line_of_tab() {
    for size in SIZES.into_iter().chain([(80, 30), (100, 28), (80, 20)]) {
        for points in [0, 1, 3] {
            let mut lesson = lesson_of(vec![bar_on(6); 2]);
            lesson.segments[1].talking_points = vec!["the thumb stays where it is".to_owned(); points];
            let mut bench = Bench::on(lesson, size).plain();
            bench.strike("Down V");
            let screen = bench.screen();
            // 20 lines have room for the strings only where nothing else is to be said.
            if size.1 > 20 || points == 0 {
                let strings = screen.lines().filter(|line| line.contains("|-") || line.contains("---")).count();
                assert!(strings >= 6, "{size:?}, {points} points: {strings} strings\n{screen}");
                assert!(screen.lines().any(|line| line.trim_start().starts_with("E|")), "{size:?}, {points}\n{screen}");
            }
            if size.1 > 20 {
                assert_eq!(screen.matches("the thumb stays").count(), points, "{screen}");
            }
        }
    }
}

#[test]
fn notes_that_give_way_to_the_strings_come_behind_them() {
    let mut lesson = lesson_of(vec![bar_on(6); 2]);
    lesson.segments[1].talking_points = vec!["the thumb stays where it is".to_owned(); 5];
    lesson.segments[1].shot = "over the shoulder".to_owned();
    let mut bench = Bench::on(lesson, (80, 24)).plain();
    bench.strike("Down V");
    assert!(!bench.screen().contains("over the shoulder"), "{}", bench.screen());
    bench.strike("Down Down Down");
    assert!(bench.screen().contains("over the shoulder"), "{}", bench.screen());
}

#[test]
fn the_same_letters_lead_to_the_same_line_whatever_is_on() {
    let mut bench = on_passage(vec![bar_on(6)]);
    for on in [true, false, true] {
        bench.strike("e \"rep\" Enter");
        assert!(bench.state.overlay.is_none(), "{}", bench.screen());
        assert_eq!(bench.lesson().passages[0].bars[0].repeat_start, on);
        assert!(
            bench.notice().starts_with(if on { "a repeat starts in bar 1" } else { "no repeat starts in bar 1" }),
            "{}",
            bench.notice()
        );
    }
}

#[test]
fn a_second_piece_typed_with_its_segments_comes_behind_the_first() {
    let mut bench = Bench::small((120, 36));
    let before = bench.lesson().segments.len();
    bench.strike("End a \"One: performance, walkthrough\" Enter a \"Two: performance\" Enter");
    let titles: Vec<&str> = bench.lesson().segments[before..].iter().map(|segment| segment.title.as_str()).collect();
    assert_eq!(titles, ["One: performance", "One: walkthrough", "Two: performance"]);
}

#[test]
fn a_single_fix_acts_at_once_and_says_how_to_undo_it() {
    let mut wrong = bar_on(1);
    let notes = [(1, 3), (2, 0), (3, 0), (4, 0), (5, 2), (6, 3)];
    let note = |(string, fret)| Note::plain(StringNumber::new(string).unwrap(), Fret::new(fret).unwrap());
    let chord = Event { chord: Some("A".to_owned()), ..Event::notes("1/1".parse().unwrap(), notes.map(note).to_vec()) };
    wrong.voices = vec![Voice(vec![chord])];
    let mut bench = on_passage(vec![wrong]);
    bench.strike("W");
    match &bench.state.overlay {
        None => assert_eq!(bench.notice(), "the name is now G; u undoes"),
        Some(Overlay::Choice(choice)) => assert!(choice.lines.len() > 1, "{}", bench.screen()),
        Some(_) => panic!("{}", bench.screen()),
    }
    assert_eq!(bench.lesson().passages[0].bars[0].voices[0].0[0].chord.as_deref(), Some("G"));
}

#[test]
fn the_foot_of_the_passage_says_that_more_is_wrong_in_the_same_place() {
    let mut bars = vec![bar_on(6)];
    bars[0].repeat_start = true;
    bars[0].voices[0].0[0].chord = Some("Zzz".to_owned());
    let bench = on_passage(bars);
    let pane = bench.pane(Focus::Passage);
    let foot = pane.lines().next_back().unwrap_or_default();
    assert!(foot.contains(", 1 more problem (w)"), "{pane}");
}

#[test]
fn the_timeline_says_that_more_is_wrong_with_a_segment() {
    let mut lesson = small_lesson();
    lesson.segments[1].title.clear();
    lesson.segments[1].planned.0 = 0;
    let mut bench = Bench::on(lesson, (120, 36));
    bench.strike("Down");
    assert!(bench.pane(Focus::Timeline).contains(", 1 more problem (w)"), "{}", bench.pane(Focus::Timeline));
}

#[test]
fn an_error_in_a_box_goes_with_the_next_key() {
    for key in ["\"1\"", "Backspace", "Left", "Ctrl+U", "End"] {
        let mut bench = Bench::small((80, 24));
        bench.strike("Down : Ctrl+U \"+30\" Enter");
        assert!(bench.screen().contains("nothing is recorded yet that could be shifted"), "{}", bench.screen());
        bench.strike(key);
        assert!(!bench.screen().contains("nothing is recorded yet"), "{key}: {}", bench.screen());
    }
}

#[test]
fn what_is_copied_and_pasted_is_said() {
    let mut bench = on_passage(vec![bar_on(6), bar_on(5), bar_on(4)]);
    bench.strike("S S Shift+Down c");
    assert_eq!(bench.notice(), "copied 2 bars");
    bench.strike("End Ctrl+V");
    assert_eq!(bench.notice(), "2 bars pasted after bar 3; u undoes");
    bench.strike("Home Ctrl+V");
    assert_eq!(bench.notice(), "2 bars pasted at the beginning; u undoes");
    bench.strike("Home c Ctrl+V");
    assert_eq!(bench.notice(), "1 note or rest pasted in bar 1; u undoes");
}

#[test]
fn what_is_done_to_whole_bars_is_said() {
    let steps = [
        ("I", "empty bar inserted as bar 2; u undoes"),
        ("Y", "bar 2 filled with rests; u undoes"),
        ("D", "bar 2 deleted; u undoes"),
        ("Home B", "empty bar inserted as bar 1; u undoes"),
        ("D Right X", "bar 1 split in two; u undoes"),
        ("Home j", "bars 1 and 2 joined; u undoes"),
    ];
    let mut bench = on_passage(vec![bar_on(6), bar_on(5)]);
    for (keys, said) in steps {
        bench.strike(keys);
        assert_eq!(bench.notice(), said, "{keys}");
    }
    assert_eq!(*bench.lesson(), lesson_of(vec![bar_on(6), bar_on(5)]));
}

#[test]
fn what_is_done_to_a_pickup_is_said_by_its_name() {
    let pickup = Bar { pickup: true, ..bar_on(6) };
    let steps = [
        ("B", "empty bar inserted as bar 1: nothing stands before a pickup; u undoes"),
        ("D Home j", "the pickup and bar 1 joined; u undoes"),
        ("u I", "empty bar inserted as bar 1; u undoes"),
        ("u Home D", "the pickup deleted; u undoes"),
        ("u Home S S Shift+Down D", "the pickup to bar 1 deleted; u undoes"),
    ];
    let mut bench = on_passage(vec![pickup, bar_on(5), bar_on(4)]);
    for (keys, said) in steps {
        bench.strike(keys);
        assert_eq!(bench.notice(), said, "{keys}");
    }
}

#[test]
fn an_empty_bar_goes_in_before_the_one_under_the_cursor() {
    let mut bench = on_passage(vec![bar_on(6), bar_on(5)]);
    bench.strike("] B");
    assert_eq!(bench.lesson().passages[0].bars, [bar_on(6), Bar::default(), bar_on(5)]);
    bench.strike("6");
    assert!(!bench.lesson().passages[0].bars[1].voices.is_empty(), "the cursor is in the new bar");
}

#[test]
fn after_a_retake_both_clocks_are_named() {
    let mut lesson = small_lesson();
    let recorded = |start, end| fingerpost::lesson::document::Recorded { start: VideoTime(start), end };
    lesson.segments[0].recorded = Some(recorded(0, None));
    lesson.segments[0].cuts = vec![VideoCut { from: VideoTime(0), to: VideoTime(4_000) }];
    lesson.segments[1].recorded = Some(recorded(13_500, None));
    for size in SIZES {
        let mut bench = Bench::on(lesson.clone(), size);
        bench.strike("Down V");
        assert!(bench.screen().contains("recording clock; cut video 0:09"), "{}", bench.screen());
        let mut uncut = Bench::on(small_lesson(), size);
        uncut.strike("V");
        assert!(!uncut.screen().contains("cut video"), "{}", uncut.screen());
    }
}
