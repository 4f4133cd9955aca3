//! What keys come to, told as scripts: keys in, the state as text out.

use fingerpost::lesson::id::SegmentId;
use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::keys::action::Focus;
use fingerpost::workbench::messages::effect::{Effect, FileEffect, SoundEffect, TerminalEffect};
use fingerpost::workbench::messages::message::{Message, OpenedLesson};
use fingerpost::workbench::messages::notice::Weight;
use fingerpost::workbench::questions::program::Existing;
use fingerpost::workbench::questions::question::SoughtFile;
use fingerpost::workbench::questions::start::NewLesson;
use fingerpost::workbench::update::routing::update;
use fingerpost::workbench::update::taking_over::Whereabouts;

use fingerpost::workbench::panes::readings::naming::NameBasis;

use super::bench::{Bench, small_lesson};

/// Strikes keys on the small lesson and compares the segments.
#[track_caller]
fn check_segments(script: &str, expected: &[&str]) {
    let mut bench = Bench::small((100, 30));
    bench.strike(script);
    let lines: Vec<String> = bench.segments().lines().map(str::to_owned).collect();
    assert_eq!(lines, expected, "after {script}\n{}", bench.notice());
    assert_eq!(bench.replayed, *bench.lesson(), "the journal replays to the lesson");
}

const HELLO: &str = "  Hello 0:30 welcome";
const SHAPES: &str = "  Two shapes 2:00 walkthrough";
const CAPO: &str = "  日本 capo 1:30 play-along";
const GOODBYE: &str = "  Goodbye 0:20 goodbye";

#[test]
fn a_segment_is_added_after_and_before_the_selected_one() {
    check_segments("a \"Warm up\" Enter", &[HELLO, "> Warm up 1:00 talk", SHAPES, CAPO, GOODBYE]);
    check_segments("Down A \"Warm up\" Enter", &[HELLO, "> Warm up 1:00 talk", SHAPES, CAPO, GOODBYE]);
    check_segments("End a Enter", &[HELLO, SHAPES, CAPO, GOODBYE, "> untitled 1:00 talk"]);
    check_segments("a \"Warm up\" Esc", &["> Hello 0:30 welcome", SHAPES, CAPO, GOODBYE]);
}

#[test]
fn a_title_is_changed_and_one_undo_takes_the_whole_word_back() {
    check_segments("Enter Ctrl+U \"Good day\" Enter", &["> Good day 0:30 welcome", SHAPES, CAPO, GOODBYE]);
    check_segments("Enter Ctrl+U \"Good day\" Enter u", &["> Hello 0:30 welcome", SHAPES, CAPO, GOODBYE]);
    check_segments(
        "Enter End \" there\" Left Left Delete Backspace Enter",
        &["> Hello the 0:30 welcome", SHAPES, CAPO, GOODBYE],
    );
    check_segments("Enter Home Right \"_\" End \"!\" Enter u U", &["> H_ello! 0:30 welcome", SHAPES, CAPO, GOODBYE]);
}

#[test]
fn lengths_are_typed_outright_or_against_the_present_one() {
    check_segments("l \"1:15\" Enter", &["> Hello 1:15 welcome", SHAPES, CAPO, GOODBYE]);
    check_segments("l \"+15\" Enter", &["> Hello 0:45 welcome", SHAPES, CAPO, GOODBYE]);
    check_segments("l \"-5\" Enter", &["> Hello 0:25 welcome", SHAPES, CAPO, GOODBYE]);
}

#[test]
fn a_length_that_is_none_is_refused_and_can_be_mended() {
    let mut bench = Bench::small((100, 30));
    bench.strike("l \"soon\" Enter");
    let Some(Overlay::Entry(entry)) = &bench.state.overlay else { panic!("the box is still open") };
    assert!(entry.error.as_ref().unwrap().starts_with("`soon` is not a time"), "{entry:?}");
    bench.strike("Ctrl+U \"0:35\" Enter");
    assert_eq!(bench.lesson().segments[0].planned.to_string(), "0:35");
}

#[test]
fn segments_move_and_go_and_come_back() {
    check_segments("Shift+Down", &[SHAPES, "> Hello 0:30 welcome", CAPO, GOODBYE]);
    check_segments("End Shift+Up Shift+Up", &[HELLO, "> Goodbye 0:20 goodbye", SHAPES, CAPO]);
    check_segments("Shift+Up", &["> Hello 0:30 welcome", SHAPES, CAPO, GOODBYE]);
    check_segments("Down Delete", &[HELLO, "> 日本 capo 1:30 play-along", GOODBYE]);
    check_segments("End Delete", &[HELLO, SHAPES, "> 日本 capo 1:30 play-along"]);
    check_segments("Delete Delete Delete Delete Delete", &[]);
    check_segments("Delete Delete Delete Delete u u u u", &["> Hello 0:30 welcome", SHAPES, CAPO, GOODBYE]);
}

#[test]
fn the_kind_is_chosen_from_a_list() {
    check_segments("k Down Enter", &["> Hello 0:30 talk", SHAPES, CAPO, GOODBYE]);
    check_segments("k Up Enter", &["> Hello 0:30 welcome", SHAPES, CAPO, GOODBYE]);
    check_segments("k Down Esc", &["> Hello 0:30 welcome", SHAPES, CAPO, GOODBYE]);
}

#[test]
fn talking_points_are_lines_and_one_step_of_undo() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down p Enter \"Mind the wrist\" Enter Enter Up Up Home \"1 \" Ctrl+S");
    let points = ["The third finger stays", "Leave string 6 alone", "1 Mind the wrist"];
    assert_eq!(bench.lesson().segments[1].talking_points, points);
    bench.strike("u");
    assert_eq!(bench.lesson(), &small_lesson());
    bench.strike("p Esc");
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn a_setup_is_chosen_described_or_left_as_before() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down E Down Down Enter Home Enter");
    assert_eq!(bench.desk().fretboard.rig().capo().unwrap().fret.number(), 2);
    bench.strike("Ctrl+N \"drop D, capo 3\" Enter Home Enter");
    let setup = bench.lesson().setups.last().unwrap();
    assert_eq!((setup.name.as_str(), setup.tuning.to_string().as_str()), ("drop D, capo 3", "D2 A2 D3 G3 B3 E4"));
    assert_eq!(bench.lesson().segments[1].setup, Some(setup.id));
    bench.strike("u u");
    assert_eq!(bench.lesson(), &small_lesson());
    bench.strike("Ctrl+N \"drop Q\" Enter");
    let Some(Overlay::Entry(entry)) = &bench.state.overlay else { panic!("the box is still open") };
    assert!(entry.error.as_ref().unwrap().contains("no tuning is called `drop Q`"), "{entry:?}");
}

#[test]
fn the_music_of_a_segment_is_chosen_line_by_line() {
    let mut bench = Bench::small((100, 30));
    assert_eq!(bench.desk().passage.text(), "");
    bench.strike("t Space Enter");
    assert_eq!(bench.lesson().segments[0].passages.len(), 1);
    assert!(bench.desk().passage.text().contains("C"), "the passage is shown at once");
    bench.strike("t Space Enter");
    assert_eq!(bench.lesson().segments[0].passages.len(), 0);
}

#[test]
fn every_key_on_the_fretboard_changes_the_readings() {
    let mut bench = Bench::small((100, 30));
    let best = |bench: &Bench| bench.desk().readings.list().first().map(|named| named.reading.symbol.clone());
    bench.strike("F Shift+Delete");
    assert_eq!(best(&bench), None);
    // x32010 note by note: the cursor begins on string 6.
    for (keys, expected) in
        [("Up 3", Some("C")), ("Up 2", Some("C")), ("Up o", None), ("Up 1", None), ("Up 0", Some("C"))]
    {
        bench.strike(keys);
        assert!(best(&bench).is_some(), "something is named after {keys}");
        if expected.is_some() && keys != "Up 2" {
            assert_eq!(best(&bench).as_deref(), expected, "after {keys}");
        }
    }
    assert_eq!(bench.desk().fretboard.grip().shape.compact(), "x32010");
    bench.strike("Down x");
    assert_eq!(bench.desk().fretboard.grip().shape.compact(), "x320x0");
}

#[test]
fn fingers_are_put_and_lifted_under_the_cursor() {
    let mut bench = Bench::small((100, 30));
    bench.strike("F Shift+Delete Home Right Right Right Space");
    assert_eq!(bench.desk().fretboard.grip().shape.compact(), "3xxxxx");
    bench.strike("Left Enter");
    assert_eq!(bench.desk().fretboard.grip().shape.compact(), "2xxxxx");
    bench.strike("Space");
    assert_eq!(bench.desk().fretboard.grip().shape.compact(), "xxxxxx");
    bench.strike("Up Down End Space");
    assert_eq!(bench.desk().fretboard.grip().shape.compact(), "22-x-x-x-x-x");
}

#[test]
fn a_shape_that_cannot_be_played_here_is_refused_with_the_reason() {
    let mut bench = Bench::small((100, 30));
    for (shape, reason) in [("x3201", "5 strings"), ("x 3 2 0 1 30", "fret 30"), ("hello", "`h`")] {
        bench.strike(&format!("F s \"{shape}\" Enter"));
        let Some(Overlay::Entry(entry)) = &bench.state.overlay else { panic!("the box is still open") };
        assert!(entry.error.as_ref().unwrap().contains(reason), "{shape}: {:?}", entry.error);
        bench.strike("Esc");
    }
}

#[test]
fn a_reading_is_kept_and_the_voicing_saved_in_segment_and_library() {
    let mut bench = Bench::small((100, 30));
    bench.strike("F s \"x02010\" Enter N v");
    assert_eq!(bench.notice(), "saved Am7 in \"Hello\" and in the library");
    let id = bench.lesson().segments[0].voicings[0];
    assert_eq!(bench.lesson().voicing(id).unwrap().name(), Some("Am7"));
    assert_eq!(bench.library.voicings[0].shape.compact(), "x02010");
    assert_eq!(bench.library.voicings[0].taught_in[0].lesson, "Porch chords");
    // Saving it again changes nothing: the same fingers in the same setup are one voicing.
    bench.strike("v");
    assert_eq!(bench.lesson().voicings.len(), 4);
    assert_eq!(bench.library.voicings.len(), 1);
    bench.strike("u");
    assert_eq!(bench.lesson(), &small_lesson(), "voicing and link are one step");
}

#[test]
fn another_reading_can_be_chosen_for_the_name() {
    let mut bench = Bench::small((100, 30));
    bench.strike("F s \"x02010\" Enter R Down");
    let second = bench.desk().readings.selected().unwrap().reading.symbol.clone();
    assert_ne!(second, "Am7");
    bench.strike("N v");
    assert_eq!(bench.library.voicings[0].readings.first(), Some(&second));
    bench.strike("N Up Up N v");
    assert_eq!(bench.library.voicings[0].readings[0], "Am7", "what is kept now comes first");
}

#[test]
fn doubts_go_round_and_say_what_would_change() {
    let mut bench = Bench::small((100, 30));
    bench.strike("F s \"x02010\" Enter Up Up d");
    let without = |bench: &Bench| {
        bench.desk().readings.list().iter().find_map(|named| match &named.basis {
            NameBasis::Without(strings) => Some((strings[0].number(), named.reading.symbol.clone())),
            NameBasis::Sounding(_) | NameBasis::KeptOnly => None,
        })
    };
    // Without its seventh the chord is a plain minor triad.
    assert_eq!(without(&bench), Some((3, "Am".to_owned())));
    bench.strike("d");
    assert_eq!(without(&bench), None);
    assert_eq!(bench.desk().readings.list()[0].reading.symbol, "Am", "a string not heard is left out");
    bench.strike("d");
    assert_eq!(bench.desk().readings.list()[0].reading.symbol, "Am7");
}

#[test]
fn a_doubt_that_changes_no_name_is_said_once_and_ticked_once() {
    let mut bench = Bench::small((160, 48));
    bench.strike("F s \"x02?210\" Enter N");
    let lines: Vec<String> = bench.pane(Focus::Readings).lines().map(str::to_owned).collect();
    let about_am: Vec<&String> = lines.iter().filter(|line| line.contains("Am ")).collect();
    assert_eq!(about_am, ["▸✓Am     either way"], "{lines:#?}");
    assert_eq!(lines.iter().filter(|line| line.contains('✓')).count(), 1, "{lines:#?}");
    // A second doubt, on the string without which it is another chord.
    bench.strike("Up Up Up d N N");
    let lines = bench.pane(Focus::Readings);
    assert!(lines.contains("Am") && lines.contains("with or without string 4"), "{lines}");
    assert!(lines.contains("if string 2 is silent"), "{lines}");
}

#[test]
fn a_kept_name_is_ticked_where_it_differs_in_the_bass_only_and_else_has_a_line_of_its_own() {
    let mut lesson = small_lesson();
    let ((c, rest), kept) = (lesson.voicings.split_first_mut().unwrap(), ["Am7", "Hm7", "C6/G"]);
    (c.shape, c.readings) = ("x x 5 5 5 5".parse().unwrap(), kept.map(str::to_owned).to_vec());
    rest[0].readings = vec!["G".to_owned()];
    let mut bench = Bench::on(lesson, (160, 48));
    bench.strike("Down R");
    let pane = bench.pane(Focus::Readings);
    let ticked: Vec<&str> = pane.lines().filter(|line| line.contains('✓')).collect();
    assert_eq!(ticked.len(), 3, "{pane}");
    assert_eq!(ticked[0], " ✓kept: Hm7");
    assert!(ticked[1..].iter().any(|line| line.starts_with("▸✓Am7/G") && line.contains("kept as Am7")), "{pane}");
    assert!(ticked[1..].iter().any(|line| line.contains("✓C6/G")), "{pane}");
    // The line takes the very name back that was kept.
    bench.strike("N");
    assert_eq!(bench.notice(), "no longer kept: Am7");
    assert_eq!(bench.desk().fretboard.names(), ["Hm7", "C6/G"]);
    // Then C6/G has the keys, which stands first before a G; Am7/G is two lines below.
    bench.strike("Down Down N Up Up Up Up N");
    let mut names = bench.desk().fretboard.names().to_vec();
    names.sort();
    assert_eq!(names, ["Am7/G", "C6/G"]);
    assert!(!bench.pane(Focus::Readings).contains("kept:"));
}

#[test]
fn with_a_capo_the_shape_is_named_as_played_and_as_it_sounds() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down Down F s \"x32010\" Enter");
    let named = &bench.desk().readings.list()[0];
    assert_eq!((named.reading.symbol.as_str(), named.sounds_as.as_deref()), ("C", Some("D")));
}

#[test]
fn labels_are_notes_then_degrees_then_fingers_then_dots() {
    use fingerpost::instrument::hand::Finger::{Index, Middle, Ring};
    let mut lesson = small_lesson();
    // Am with the capo of the third segment, held with the fingers that most teachers give it.
    lesson.voicings[2].fingers = vec![None, None, Some(Middle), Some(Ring), Some(Index), None];
    let mut bench = Bench::on(lesson, (100, 30));
    bench.strike("Down Down F Up Up Up Up Up");
    // The line of each string, from string 1 down to 5, as far as the second fret.
    let lines = |bench: &Bench| -> Vec<String> {
        let pane = bench.pane(Focus::Fretboard);
        pane.lines().skip(1).take(5).map(|line| line.chars().skip(5).take(14).collect()).collect()
    };
    let drawn = |bench: &mut Bench| {
        bench.strike("z");
        lines(bench)
    };
    assert_eq!(
        lines(&bench),
        [" [○]────┼────┼", "   ║─C──┼────┼", "   ║────┼─A──┼", "   ║────┼─E──┼", "  ○║────┼────┼"]
    );
    assert_eq!(
        drawn(&mut bench),
        [" [5]────┼────┼", "   ║─b3─┼────┼", "   ║────┼─1──┼", "   ║────┼─5──┼", "  1║────┼────┼"]
    );
    assert_eq!(bench.notice(), "labels: degrees");
    assert_eq!(
        drawn(&mut bench),
        [" [○]────┼────┼", "   ║─1──┼────┼", "   ║────┼─3──┼", "   ║────┼─2──┼", "  ○║────┼────┼"]
    );
    assert_eq!(
        drawn(&mut bench),
        [" [○]────┼────┼", "   ║─●──┼────┼", "   ║────┼─●──┼", "   ║────┼─●──┼", "  ○║────┼────┼"]
    );
    // Another note is another fingering.
    bench.strike("Up 3 z z z");
    assert_eq!(bench.notice(), "labels: fingers, T for the thumb; none are noted for this shape");
}

#[test]
fn a_key_that_can_do_nothing_says_why() {
    let mut bench = Bench::small((100, 30));
    for (script, reason) in [
        ("F s \"x02010\" Enter Down d", "string 6 is muted: nothing to be unsure of"),
        ("x", "string 6 is muted already"),
        ("Up o", "string 5 is open already"),
        ("Shift+Delete Shift+Delete Shift+Delete Shift+Delete", ""),
        ("y", "y: no action here; ? shows every key"),
        ("F11", "F11: no action here; ? shows every key"),
        ("T k z", "`z`: no line here begins with that"),
        ("Esc F s z", ""),
    ] {
        bench.strike(script);
        assert_eq!(bench.notice(), reason, "after {script}");
    }
    let mut empty = Bench::on(fingerpost::lesson::document::Lesson::default(), (100, 30));
    empty.strike("F Shift+Delete");
    assert_eq!(empty.notice(), "no finger to lift: every string is muted");
}

#[test]
fn the_voicings_of_a_segment_come_to_the_fretboard() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down");
    assert_eq!(bench.desk().fretboard.grip().shape.compact(), "x32010", "the first is there at once");
    bench.strike("F Ctrl+End");
    assert_eq!(bench.desk().fretboard.names(), ["G"]);
    bench.strike("Ctrl+End");
    assert_eq!(bench.desk().fretboard.names(), ["C"], "after the last comes the first");
    bench.strike("Ctrl+Home");
    assert_eq!(bench.desk().fretboard.names(), ["G"], "before the first comes the last");
}

#[test]
fn a_voicing_is_taken_out_of_a_segment_and_stays_in_the_lesson() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down F Ctrl+End D");
    assert_eq!(bench.lesson().segments[1].voicings.len(), 1);
    assert_eq!(bench.lesson().voicings.len(), 3);
    bench.strike("x D");
    assert_eq!(bench.notice(), "what is on the fretboard is no voicing of this segment");
}

#[test]
fn fingers_put_down_by_hand_stay_when_another_segment_is_selected() {
    let mut bench = Bench::small((100, 30));
    bench.strike("F s \"x02010\" Enter T Down");
    assert_eq!(bench.desk().fretboard.grip().shape.compact(), "x02010");
}

#[test]
fn the_library_is_searched_as_one_types() {
    let mut bench = Bench::small((100, 30));
    assert_eq!(bench.desk().library.found_count(), 3, "the lesson's own voicings are in it");
    bench.strike("L f \"op\"");
    assert_eq!(bench.desk().library.selected().unwrap().name(), "G");
    bench.strike("Backspace Backspace \"022\"");
    assert_eq!(bench.desk().library.selected().unwrap().name(), "Am");
    bench.strike("\"zz\" Enter");
    assert_eq!(bench.desk().library.found_count(), 0);
    bench.strike("Esc");
    assert_eq!(bench.desk().library.found_count(), 3);
}

#[test]
fn a_voicing_goes_from_the_library_to_the_fretboard_and_into_a_segment() {
    let mut bench = Bench::small((100, 30));
    bench.strike("L Down Enter");
    assert_eq!(bench.desk().fretboard.grip().shape.compact(), "3x0003");
    bench.strike("L i");
    assert_eq!(bench.notice(), "G is now in \"Hello\"");
    assert_eq!(bench.lesson().segments[0].voicings, [bench.lesson().voicings[1].id], "not a second copy of it");
}

#[test]
fn the_library_kept_on_one_line_counts_its_voicings() {
    let mut lesson = small_lesson();
    let mut bench = Bench::on(lesson.clone(), (80, 16));
    bench.strike("F");
    assert!(bench.pane(Focus::Library).contains(" 3   "), "{}", bench.pane(Focus::Library));
    lesson.voicings.truncate(1);
    lesson.segments.iter_mut().for_each(|segment| segment.voicings.clear());
    bench.open(lesson);
    bench.strike("F");
    assert!(bench.pane(Focus::Library).contains(" 1   "), "{}", bench.pane(Focus::Library));
}

#[test]
fn the_fingering_goes_along_from_the_library_into_another_lesson() {
    use fingerpost::instrument::hand::Barre;
    use fingerpost::instrument::hand::Finger::{Index, Middle, Ring};
    use fingerpost::instrument::neck::{Fret, StringNumber};
    let string = |number| StringNumber::new(number).unwrap();
    let barre = Some(Barre { fret: Fret::new(1).unwrap(), from: string(2), to: string(1) });
    let fingers = vec![None, Some(Ring), Some(Middle), None, Some(Index), None];
    let mut bench = Bench::small((100, 30));
    bench.strike("Down F v");
    bench.library.voicings[0].fingers.clone_from(&fingers);
    bench.library.voicings[0].barre = barre;
    let mut other = small_lesson();
    other.voicings.clear();
    other.segments.iter_mut().for_each(|segment| segment.voicings.clear());
    bench.open(other);
    bench.strike("L Enter v");
    assert_eq!(bench.lesson().voicings[0].fingers, fingers);
    assert_eq!(bench.lesson().voicings[0].barre, barre);

    // Another note is another fingering: neither the fingers nor the barre are those any more.
    bench.strike("F 5 v");
    let changed = bench.lesson().voicings.last().unwrap();
    assert_eq!((changed.fingers.len(), changed.barre), (0, None));
}

#[test]
fn saving_marks_the_lesson_saved_and_undoing_past_it_does_not() {
    let mut bench = Bench::small((100, 30));
    assert!(bench.desk().lesson.is_saved());
    bench.strike("Delete");
    assert!(!bench.desk().lesson.is_saved());
    bench.strike("Ctrl+S");
    assert!(bench.desk().lesson.is_saved());
    assert_eq!(bench.saved.as_ref(), Some(bench.lesson()));
    bench.strike("u");
    assert!(!bench.desk().lesson.is_saved());
}

#[test]
fn quitting_asks_only_where_something_is_not_saved() {
    let mut bench = Bench::small((100, 30));
    bench.strike("q");
    assert_eq!(bench.wanted.pop(), Some(Effect::Terminal(TerminalEffect::Quit)));
    bench.strike("Delete q");
    assert_eq!(bench.wanted.pop(), None);
    bench.strike("Esc q Enter");
    assert_eq!(bench.wanted.pop(), Some(Effect::Terminal(TerminalEffect::Quit)));
    assert_eq!(bench.saved.as_ref(), Some(bench.lesson()), "the first line saves");
    bench.strike("Delete q Down Enter");
    assert_eq!(bench.wanted.pop(), Some(Effect::Terminal(TerminalEffect::Quit)));
    assert_ne!(bench.saved.as_ref(), Some(bench.lesson()), "the second leaves it to the journal");
}

#[test]
fn a_save_that_fails_keeps_the_program_open_and_says_so() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Delete");
    bench.send(Message::Saved(Err("the disk is full".to_owned())));
    assert_eq!(bench.notice(), "not saved: the disk is full; the changes are in the journal");
    assert_eq!(bench.state.said.notice.as_ref().unwrap().weight, Weight::Trouble);
    assert!(bench.screen().lines().next().unwrap().ends_with("NOT SAVED"));
}

#[test]
fn a_file_changed_by_another_program_is_never_written_over_unasked() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Delete");
    bench.send(Message::SaveConflict("the file was changed by another program".to_owned()));
    assert!(matches!(bench.state.overlay, Some(Overlay::Choice(_))));
    bench.strike("Esc");
    assert_eq!(bench.saved, None);
}

#[test]
fn the_handout_is_asked_for_and_a_file_in_the_way_is_asked_about() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Ctrl+E");
    let Some(Effect::Files(FileEffect::WriteHandout(_, _, Existing::Ask))) = bench.wanted.pop() else {
        panic!("no handout")
    };
    bench.send(Message::HandoutExists("/lessons/workbench.handout.txt".into()));
    bench.strike("Enter");
    let Some(Effect::Files(FileEffect::WriteHandout(_, _, Existing::OtherName))) = bench.wanted.pop() else {
        panic!("no handout")
    };
    bench.send(Message::HandoutWritten(Ok("/lessons/workbench.handout 2.txt".into())));
    assert_eq!(bench.notice(), "the handout is in workbench.handout 2.txt, beside the lesson");
}

#[test]
fn what_is_wrong_is_listed_and_leads_to_its_place() {
    let mut bench = Bench::small((100, 30));
    bench.strike("w");
    let Some(Overlay::List(list)) = &bench.state.overlay else { panic!("no list") };
    assert!(list.lines.iter().all(|line| !line.text.is_empty() && !line.below.is_empty()), "{list:?}");
    bench.strike("End Enter");
    let third = bench.lesson().segments[2].id;
    assert_eq!(bench.desk().timeline.selected(), Some(third), "both findings are about the third segment");
}

#[test]
fn a_lesson_for_reading_only_says_why_it_does_not_change() {
    let mut bench = Bench::read_only((100, 30));
    bench.strike("Delete");
    assert_eq!(bench.lesson(), &small_lesson());
    assert_eq!(bench.notice(), "not changed: this lesson is open for reading only (it is open in another window)");
}

#[test]
fn the_start_screen_opens_makes_and_asks() {
    let mut bench = Bench::start_screen((80, 24));
    bench.strike("Enter");
    assert_eq!(bench.wanted.pop(), Some(Effect::Files(FileEffect::Open("/lessons/reel.lesson.ron".into()))));
    bench.strike("Down Enter \"First steps\" Enter Enter Enter Enter");
    let made = NewLesson {
        title: "First steps".to_owned(),
        template: "intro and outro".to_owned(),
        instrument: "guitar".to_owned(),
        tuning: "E2 A2 D3 G3 B3 E4".to_owned(),
    };
    assert_eq!(bench.wanted.pop(), Some(Effect::Files(FileEffect::New(made))));
    bench.strike("Down Enter \"a.lesson.ron\" Enter");
    assert_eq!(bench.wanted.pop(), Some(Effect::Files(FileEffect::Open("a.lesson.ron".into()))));
    bench.strike("Down Enter");
    assert_eq!(bench.wanted.pop(), Some(Effect::Files(FileEffect::ReadLibrary)));
    bench.strike("Down Enter");
    assert_eq!(bench.wanted.pop(), Some(Effect::Files(FileEffect::OpenDemo("small".to_owned()))));
}

#[test]
fn a_new_lesson_is_made_after_the_template_instrument_and_tuning_chosen() {
    let mut bench = Bench::start_screen((100, 30));
    bench.strike("Down Enter \"Reel\" Enter");
    for line in ["▸ intro and outro: a welcome and a goodbye", "  three passages: each played", "  blank: no segments"]
    {
        assert!(bench.screen().contains(line), "{}", bench.screen());
    }
    bench.strike("Down Down Enter Down Down Enter");
    assert!(bench.screen().contains("Tuning"), "{}", bench.screen());
    bench.strike("Down Enter");
    let Some(Effect::Files(FileEffect::New(made))) = bench.wanted.pop() else { panic!("nothing is made") };
    assert_eq!((made.title.as_str(), made.template.as_str()), ("Reel", "three passages"));
    let (body, tuning) =
        fingerpost::instrument::catalogue::setup_from_text(Some(&made.instrument), Some(&made.tuning)).unwrap();
    assert_eq!(usize::from(body.strings), tuning.strings().len());
    assert_ne!(Some(&tuning), fingerpost::instrument::catalogue::standard_tuning(&body).map(|known| &known.notes));
    bench.strike("Enter \"Reel\" Enter Esc");
    assert_eq!(bench.wanted.pop(), None, "Esc makes nothing");
}

#[test]
fn a_name_is_completed_while_a_path_is_typed_and_only_there() {
    let mut bench = Bench::start_screen((80, 24));
    bench.strike("Down Down Enter \"ideas/re\" Tab");
    assert_eq!(
        bench.wanted.pop(),
        Some(Effect::Files(FileEffect::CompletePath("ideas/re".to_owned(), SoughtFile::Lesson)))
    );
    let names = vec!["reel-1.lesson.ron".to_owned(), "reel-2.lesson.ron".to_owned()];
    let answer = |typed: &str| Message::PathCompleted {
        typed: typed.to_owned(),
        completed: "ideas/reel-".to_owned(),
        names: names.clone(),
    };
    bench.send(answer("ideas/r"));
    assert!(!bench.screen().contains("ideas/reel-"), "an answer that comes too late is not taken");
    bench.send(answer("ideas/re"));
    assert_eq!(bench.notice(), "reel-1.lesson.ron  reel-2.lesson.ron");
    bench.strike("\"2.lesson.ron\" Enter");
    assert_eq!(bench.wanted.pop(), Some(Effect::Files(FileEffect::Open("ideas/reel-2.lesson.ron".into()))));
    let mut bench = Bench::small((80, 24));
    bench.strike("Enter Tab");
    assert_eq!(bench.wanted.pop(), None);
    assert!(bench.notice().contains("no file name is asked for here"), "{}", bench.notice());
}

#[test]
fn the_library_is_looked_through_from_the_start_screen() {
    let mut bench = Bench::start_screen((80, 24));
    bench.send(Message::LibraryRead(Ok(Vec::new())));
    assert!(bench.screen().contains("No voicings yet"), "{}", bench.screen());
    bench.strike("Esc");
    let mut filled = Bench::small((80, 24));
    filled.strike("F s \"x02010\" Enter v");
    let items = filled.library.voicings.iter().cloned().map(Into::into).collect();
    bench.send(Message::LibraryRead(Ok(items)));
    assert!(bench.screen().contains("Am7  x02010 standard"), "{}", bench.screen());
    assert!(bench.screen().contains("taught in Porch chords"), "{}", bench.screen());
}

#[test]
fn pasted_text_becomes_points_and_never_keys() {
    let mut bench = Bench::small((100, 30));
    bench.send(Message::Pasted("dddd".to_owned()));
    assert_eq!(bench.lesson().segments.len(), 4, "nothing was deleted");
    bench.strike("p");
    bench.send(Message::Pasted("first\r\nsecond\u{1b}[31m".to_owned()));
    bench.strike("Ctrl+S");
    assert_eq!(bench.lesson().segments[0].talking_points, ["first", "second[31m"]);
}

#[test]
fn what_was_changed_goes_to_the_journal_before_anything_else_is_done() {
    let mut bench = Bench::small((160, 48));
    bench.strike("F Shift+Delete s \"131211\" Enter");
    let effects = update(&mut bench.state, Message::Key("v".parse().unwrap()));
    let [Effect::Files(FileEffect::Journal(_)), Effect::Files(FileEffect::ChangeLibrary(..)), ..] = &effects[..] else {
        panic!("{effects:?}");
    };
}

#[test]
fn nothing_is_said_to_be_in_the_library_before_it_is() {
    let mut bench = Bench::small((160, 48));
    bench.strike("F Shift+Delete s \"131211\" Enter");
    let before = bench.state.said.messages.len();
    let effects = update(&mut bench.state, Message::Key("v".parse().unwrap()));
    assert!(effects.iter().any(|effect| matches!(effect, Effect::Files(FileEffect::ChangeLibrary(..)))), "{effects:?}");
    bench.send(Message::LibraryChanged(Err("not in the library: the disk is full".to_owned())));
    let said: Vec<&str> = bench.state.said.messages[before..].iter().map(|notice| notice.text.as_str()).collect();
    assert_eq!(said, ["not in the library: the disk is full"]);
    bench.strike("v");
    let said = bench.state.said.notice.as_ref().map(|notice| notice.text.as_str());
    assert!(said.is_some_and(|text| text.starts_with("saved ") && text.ends_with(" and in the library")), "{said:?}");
}

#[test]
fn what_plays_ends_with_the_lesson_that_is_closed() {
    let mut bench = Bench::small((100, 30));
    let ends = [Effect::Sound(SoundEffect::Stop), Effect::Files(FileEffect::Close(Whereabouts::left_at(bench.desk())))];
    bench.strike("Ctrl+O");
    assert_eq!(bench.wanted, ends);
}

#[test]
fn a_lesson_opens_at_the_segment_where_it_was_left() {
    let mut bench = Bench::small((100, 30));
    let first = bench.desk().timeline.selected();
    assert_eq!(
        Whereabouts::left_at(bench.desk()).map(|left| left.segment),
        Some(None),
        "at the first one it opens anyway"
    );
    bench.strike("Down");
    let there = bench.desk().timeline.selected();
    assert_ne!(there, first);
    let left = Whereabouts::left_at(bench.desk()).unwrap();
    assert_eq!((Some(left.lesson), left.segment), (bench.lesson().id, there));
    for (left_at, opens_at) in [(left.segment, there), (Some(SegmentId(999)), first), (None, first)] {
        let opened = OpenedLesson { left_at, ..bench.opened() };
        let mut bench = Bench::small((100, 30));
        bench.strike("Ctrl+O");
        bench.send(Message::Opened(Ok(Box::new(opened))));
        assert_eq!(bench.desk().timeline.selected(), opens_at);
        // The fretboard is that of the segment.
        let rig = bench.desk().lesson.rig_at(opens_at).0;
        assert_eq!(*bench.desk().fretboard.rig(), rig.into());
        assert!(bench.desk().lesson.is_saved());
    }
}

#[test]
fn shift_tab_visits_the_panes_in_the_other_order() {
    let mut bench = Bench::small((100, 30));
    let mut visit = |key: &str| [(); 5].map(|()| bench.strike(key).desk().focus);
    let order = [Focus::Passage, Focus::Fretboard, Focus::Readings, Focus::Library, Focus::Timeline];
    assert_eq!(visit("Tab"), order);
    let back = [Focus::Library, Focus::Readings, Focus::Fretboard, Focus::Passage, Focus::Timeline];
    assert_eq!(visit("Shift+Tab"), back);
}
