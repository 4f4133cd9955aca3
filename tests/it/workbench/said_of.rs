//! A kept name, a stated bass and a shape belong to the strings they were said of.

use fingerpost::lesson::document::Lesson;
use fingerpost::theory::pitch::NoteName;
use fingerpost::workbench::keys::action::Focus;

use super::bench::{Bench, small_lesson};

/// The small lesson with a third tuning, which its third segment is played in, and no voicing there.
fn with_drop_d() -> Lesson {
    let mut lesson = small_lesson();
    lesson.setups[1].tuning = "D2 A2 D3 G3 B3 E4".parse().unwrap();
    lesson.setups[1].capo = None;
    lesson.setups[1].name = "drop D".into();
    lesson.segments[2].voicings.clear();
    lesson.voicings.truncate(2);
    lesson
}

/// E5 kept for three fingers on the lowest strings, in the first segment.
fn kept_e5(lesson: Lesson) -> Bench {
    let mut bench = Bench::on(lesson, (120, 36));
    bench.strike("F s \"022xxx\" Enter R N");
    assert_eq!(bench.desk().fretboard.names(), ["E5"]);
    bench
}

/// The bass that counts for what lies on the strings.
fn bass(bench: &Bench) -> Option<NoteName> {
    let fretboard = &bench.desk().fretboard;
    fretboard.grip().bass_on(fretboard.rig())
}

/// Asserts that nothing on the screen calls the fingers by a name that they do not have here, and that they are marked.
#[track_caller]
fn belongs_elsewhere(bench: &Bench, of: &str) {
    let neck = bench.pane(Focus::Fretboard);
    assert!(bench.desk().fretboard.names().is_empty(), "{neck}");
    assert!(!neck.contains("kept as"), "{neck}");
    assert!(neck.contains(&format!("! from {of}")), "{neck}");
    let readings = bench.pane(Focus::Readings);
    assert!(!readings.contains('✓') && !readings.contains("kept"), "{readings}");
}

#[test]
fn a_kept_name_goes_where_the_segment_is_in_another_tuning_and_comes_back() {
    let mut bench = kept_e5(with_drop_d());
    bench.strike("T Down Down");
    belongs_elsewhere(&bench, "standard, E5 there");
    bench.strike("Up Up");
    assert_eq!(bench.desk().fretboard.names(), ["E5"]);
    assert!(bench.pane(Focus::Fretboard).contains("kept as E5"));
}

#[test]
fn a_kept_name_goes_with_another_tuning_or_capo_of_the_segment_and_comes_back_by_undo() {
    for typed in ["drop D", "capo 2", "D2 A2 D3 G3 A3 D4, no capo"] {
        let mut bench = kept_e5(small_lesson());
        // The chord shapes of the segments that follow keep their frets.
        bench.strike(&format!("T Ctrl+N Ctrl+U \"{typed}\" Enter Enter"));
        belongs_elsewhere(&bench, "standard");
        bench.strike("u");
        assert_eq!(bench.desk().fretboard.names(), ["E5"], "{typed}");
        bench.strike("U");
        belongs_elsewhere(&bench, "standard");
    }
}

#[test]
fn a_kept_name_goes_with_a_tuning_that_is_changed_for_the_whole_lesson() {
    let mut bench = kept_e5(small_lesson());
    // The tunings of the lesson, the first of them, its strings, and its passage keeps its frets.
    bench.strike("T E End Enter Enter Enter Ctrl+U \"drop D\" Enter Enter");
    assert_eq!(bench.lesson().setups[0].name, "drop D");
    belongs_elsewhere(&bench, "standard");
}

#[test]
fn a_kept_name_stays_where_the_strings_under_the_shape_are_the_same() {
    let mut bench = Bench::on(with_drop_d(), (120, 36));
    bench.strike("F s \"x32010\" Enter R N T Down Down");
    assert_eq!(bench.desk().fretboard.names(), ["C"], "drop D changes only string 6, which is muted");
}

#[test]
fn saving_on_other_strings_never_writes_the_name_that_was_kept() {
    let mut bench = kept_e5(with_drop_d());
    bench.strike("T Down Down F v");
    let saved = bench.lesson().voicings.last().unwrap();
    assert_eq!(saved.shape.compact(), "022xxx");
    assert_eq!(saved.setup, bench.lesson().segments[2].setup);
    assert!(!saved.readings.contains(&"E5".to_owned()), "{:?}", saved.readings);
    assert_eq!(bench.library.voicings.last().unwrap().readings, saved.readings);
}

#[test]
fn voicings_lose_names_that_a_change_of_their_tuning_makes_wrong_and_undo_brings_them_back() {
    let mut bench = Bench::small((120, 36));
    bench.strike("E End Enter Enter Enter Ctrl+U \"drop D\" Enter Enter");
    let names: Vec<_> = bench.lesson().voicings.iter().map(|voicing| voicing.name()).collect();
    assert_eq!(names, [Some("C"), None, Some("Am")], "only the G shape plays string 6 of that tuning");
    assert!(bench.notice().contains("lost their names: G"), "{}", bench.notice());
    bench.strike("u");
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn with_another_capo_the_shapes_of_a_lesson_keep_the_names_of_their_shapes() {
    let mut bench = Bench::small((120, 36));
    bench.strike("E End Enter Down Enter Enter Ctrl+U \"standard, capo 4\" Enter");
    assert!(bench.screen().contains("1 chord shape in standard, capo 4: what stays?"), "{}", bench.screen());
    bench.strike("Enter");
    assert_eq!(bench.lesson().voicings[2].name(), Some("Am"));
    assert_eq!(bench.lesson().setups[1].capo.as_ref().unwrap().fret.number(), 4);
}

#[test]
fn a_voicing_of_the_library_kept_for_other_strings_takes_no_name_along() {
    let mut lesson = with_drop_d();
    lesson.segments[2].passages = lesson.segments[1].passages.clone();
    let mut bench = Bench::on(lesson, (120, 36));
    // The G shape of the lesson's own voicings, into the segment that is in drop D.
    bench.strike("Down Down L Down");
    let selected = bench.desk().library.selected().unwrap().name();
    assert_eq!(selected, "G");
    bench.strike("i");
    let put_in = bench.lesson().voicings.last().unwrap();
    assert_eq!((put_in.shape.compact(), put_in.name()), ("3x0003".to_owned(), None));
    bench.strike("u L Enter");
    belongs_elsewhere(&bench, "standard, G there");
}

#[test]
fn a_stated_bass_goes_with_the_chord_it_was_said_of() {
    let over_a = |bench: &mut Bench| {
        bench.strike("F s \"x32010\" Enter R b \"A\" Enter");
        assert!(bench.pane(Focus::Readings).contains("bass A"));
    };
    let elsewhere: [&str; 7] = [
        "F s \"320003\" Enter",  // another shape
        "T Down F Ctrl+End",     // a voicing of the segment
        "F n \"G\" Enter Enter", // a chord that was searched for
        "F Shift+Delete",        // cleared
        "T Ctrl+N Ctrl+U \"capo 2\" Enter Enter",
        "F v Space", // another finger after the chord was saved
        "L Enter",   // a voicing of the library
    ];
    for keys in elsewhere {
        let mut bench = Bench::small((120, 36));
        over_a(&mut bench);
        bench.strike(keys);
        assert_eq!(bass(&bench), None, "{keys}");
        assert!(!bench.pane(Focus::Readings).contains("bass A"), "{keys}: {}", bench.pane(Focus::Readings));
    }
}

#[test]
fn a_stated_bass_stays_while_a_chord_is_looked_for_over_it() {
    let mut bench = Bench::small((120, 36));
    bench.strike("T End F Shift+Delete R b \"A\" Enter F s \"x32010\" Enter R b \"A\" Enter F Home 4 Up 4");
    assert_eq!(bass(&bench).map(|bass| bass.to_string()).as_deref(), Some("A"));
    bench.strike("u u");
    assert_eq!(bench.desk().fretboard.grip().shape.compact(), "x32010");
    bench.strike("u");
    assert_eq!(bass(&bench), None, "stating the bass is undone as well");
}

#[test]
fn fingers_put_down_for_another_number_of_strings_come_back_with_them() {
    let mut lesson = small_lesson();
    lesson.instruments.push(fingerpost::lesson::document::OwnedInstrument {
        id: fingerpost::lesson::id::InstrumentId(9),
        body: fingerpost::instrument::body::Instrument { strings: 4, ..lesson.instruments[0].body.clone() },
    });
    lesson.setups[1].instrument = fingerpost::lesson::id::InstrumentId(9);
    lesson.setups[1].tuning = "E1 A1 D2 G2".parse().unwrap();
    lesson.setups[1].capo = None;
    lesson.segments[2].voicings.clear();
    let mut bench = kept_e5(lesson);
    bench.strike("T Down Down");
    assert_eq!(bench.desk().fretboard.strings(), 4);
    bench.strike("Up Up");
    assert_eq!(bench.desk().fretboard.grip().shape.compact(), "022xxx");
    assert_eq!(bench.desk().fretboard.names(), ["E5"]);
}

#[test]
fn a_voicing_on_the_fretboard_follows_what_becomes_of_it_in_the_lesson() {
    let mut bench = Bench::small((120, 36));
    bench.strike("Down F Ctrl+End");
    assert_eq!(bench.desk().fretboard.names(), ["G"]);
    bench.strike("T E End Enter Enter Enter Ctrl+U \"drop D\" Enter Enter");
    belongs_here_without_name(&bench);
    bench.strike("u");
    assert_eq!(bench.desk().fretboard.names(), ["G"]);
    bench.strike("U");
    belongs_here_without_name(&bench);
}

/// Asserts that the G shape lies there as the lesson has it in its new tuning: with no name.
#[track_caller]
fn belongs_here_without_name(bench: &Bench) {
    assert_eq!(bench.desk().fretboard.grip().shape.compact(), "3x0003");
    assert!(bench.desk().fretboard.names().is_empty());
    assert!(!bench.pane(Focus::Fretboard).contains("kept as"), "{}", bench.pane(Focus::Fretboard));
}

#[test]
fn a_name_is_offered_over_the_tab_only_where_the_passage_is_on_the_same_strings() {
    let mut lesson = small_lesson();
    lesson.passages[0].setup = Some(lesson.setups[1].id);
    lesson.passages[0].bars[0].voices[0].0[0].chord = None;
    for (lesson, offered) in [(lesson, ""), (small_lesson(), "C")] {
        let mut bench = Bench::on(lesson, (120, 36));
        bench.strike("Down F s \"x32010\" Enter R N P n");
        let Some(fingerpost::workbench::boxes::overlay::Overlay::Entry(entry)) = &bench.state.overlay else {
            panic!("no box");
        };
        assert_eq!(entry.line.text(), offered);
    }
}
