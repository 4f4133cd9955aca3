//! The tuning and capo of passages and pieces, and the tunings of the lesson, by keys.

use std::collections::{BTreeMap, BTreeSet};

use fingerpost::instrument::neck::{Fret, StringNumber};
use fingerpost::lesson::check::{FindingKind, check, remedy};
use fingerpost::lesson::document::{Lesson, PassageUse, Recorded, Segment, SegmentKind, Setup};
use fingerpost::lesson::fresh::{IdSource, Seed};
use fingerpost::lesson::id::{PassageId, SegmentId, SetupId};
use fingerpost::lesson::music::{Bar, Event, Note, Passage, Voice};
use fingerpost::lesson::time::{VideoLength, VideoTime};
use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::editing::rigs::describe;
use proptest::prelude::*;

use super::bench::{Bench, small_lesson};

/// The small lesson at its second segment, which plays the passage, in the passage pane.
fn at_the_passage() -> Bench {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down P");
    bench
}

fn passage(lesson: &Lesson) -> &Passage {
    &lesson.passages[0]
}

fn tuning(lesson: &Lesson) -> &str {
    &lesson.passage_setup(passage(lesson)).unwrap().name
}

#[test]
fn a_passage_goes_to_another_tuning_with_its_frets() {
    let mut bench = at_the_passage();
    bench.strike("E Enter Enter");
    let lesson = bench.lesson();
    assert_eq!(passage(lesson).bars, passage(&small_lesson()).bars, "every fret stays");
    assert_ne!(tuning(lesson), tuning(&small_lesson()));
    // A capo at the second fret raises what the same frets sound by a whole step.
    assert!(bench.notice().ends_with("same frets; the key is D now, it was C"), "{}", bench.notice());
    bench.strike("u");
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn the_segments_that_play_a_passage_come_along_in_one_step() {
    let wrong = |bench: &Bench| {
        let found = check(bench.lesson()).into_iter().filter(|found| found.kind == FindingKind::PassageSetup);
        found.count()
    };
    for (keys, same_bars) in [("End Up Enter", true), ("End Enter", false)] {
        let mut bench = at_the_passage();
        bench.strike("E Enter");
        for line in
            ["same frets, and the segment that plays it", "same sound, new frets, and the segment that plays it"]
        {
            assert!(bench.screen().contains(line), "{}", bench.screen());
        }
        bench.strike(keys);
        assert_ne!(tuning(bench.lesson()), tuning(&small_lesson()));
        assert_eq!(passage(bench.lesson()).bars == passage(&small_lesson()).bars, same_bars);
        assert!(bench.notice().contains("; its segment is played in it too"), "{}", bench.notice());
        let in_force = |lesson: &Lesson| lesson.tunings_in_force().into_iter().map(|(_, id)| id).collect::<Vec<_>>();
        let mut expected = in_force(&small_lesson());
        expected[1] = Some(SetupId(2));
        assert_eq!((in_force(bench.lesson()), wrong(&bench)), (expected, 0));
        bench.strike("Esc u");
        assert_eq!(bench.lesson(), &small_lesson());
    }
    // Without them there is one thing to find, and nothing is offered where they are in that tuning already.
    let mut bench = at_the_passage();
    bench.strike("E Enter Enter");
    assert_eq!(wrong(&bench), 1);
    let mut lesson = small_lesson();
    lesson.segments[1].setup = Some(SetupId(2));
    let mut bench = Bench::on(lesson, (100, 30));
    bench.strike("Down P E Enter");
    assert!(bench.screen().contains("what stays?") && !bench.screen().contains("that plays it"), "{}", bench.screen());
}

#[test]
fn a_segment_that_plays_something_else_as_well_is_named_where_it_stays() {
    let mut lesson = small_lesson();
    let other =
        Passage { id: PassageId(9), title: "Bridge".into(), setup: Some(SetupId(1)), ..lesson.passages[0].clone() };
    lesson.passages.push(other);
    lesson.segments[0].passages = vec![lesson.segments[1].passages[0], PassageUse::whole(PassageId(9))];
    let mut bench = Bench::on(lesson, (110, 34));
    bench.strike("Down P E Enter");
    let screen = bench.screen();
    assert!(screen.contains("same frets, and 1 of the 2 segments that play it"), "{screen}");
    assert!(screen.contains("\"Hello\" stays"), "{screen}");
    bench.strike("Down Down Down Down Enter");
    assert!(bench.notice().contains("; \"Hello\" stays, because it plays something else"), "{}", bench.notice());
    assert_eq!(bench.lesson().segment_setup(SegmentId(1)).map(|setup| setup.id), Some(SetupId(1)));
    assert_eq!(bench.lesson().segment_setup(SegmentId(2)).map(|setup| setup.id), Some(SetupId(2)));
}

#[test]
fn what_is_lost_of_many_notes_is_told_once_with_its_bars() {
    let mut lesson = small_lesson();
    // Each bar has a note that no ukulele has.
    let low = lesson.passages[0].bars[1].clone();
    lesson.passages[0].bars = vec![low; 9];
    let mut bench = Bench::on(lesson, (120, 36));
    bench.strike("Down P E End Enter Ctrl+U \"D#3 A3 D4 G4 B4 E5\" Enter Down Enter");
    let Some(Overlay::List(list)) = &bench.state.overlay else { panic!("{}", bench.screen()) };
    let lines: Vec<(&str, &str)> = list.lines.iter().map(|line| (line.head.as_str(), line.text.as_str())).collect();
    assert_eq!(lines, [("bars 1-9", "9 notes are not on the instrument: they are played an octave higher")]);
}

#[test]
fn undo_of_a_change_of_tuning_leaves_the_cursor_where_it_stands() {
    for keys in ["E Enter Enter", "E Enter Down Enter"] {
        let mut bench = at_the_passage();
        bench.strike("End");
        let cursor = bench.desk().passage.cursor();
        assert_ne!((cursor.0, cursor.1), (1, 1));
        bench.strike(&format!("{keys} Esc u"));
        assert_eq!(bench.lesson(), &small_lesson());
        assert_eq!(bench.desk().passage.cursor(), cursor, "{keys}");
        bench.strike("Ctrl+R");
        assert_eq!(bench.desk().passage.cursor(), cursor, "{keys}, again");
    }
}

#[test]
fn names_over_the_tab_that_no_longer_fit_go_when_the_frets_stay() {
    let mut lesson = small_lesson();
    lesson.setups.truncate(1);
    lesson.segments.iter_mut().for_each(|segment| segment.setup = None);
    lesson.voicings.clear();
    lesson.segments.iter_mut().for_each(|segment| segment.voicings.clear());
    // A barre in open D sounds a fourth higher in open G.
    lesson.setups[0].tuning = "D2 A2 D3 F#3 A3 D4".parse().unwrap();
    let strum = |name: &str, fret: u8| {
        let string = |number| Note::plain(StringNumber::new(number).unwrap(), Fret::new(fret).unwrap());
        Event { chord: Some(name.into()), ..Event::notes("1/2".parse().unwrap(), (1..=6).map(string).collect()) }
    };
    lesson.passages[0].bars = vec![Bar { voices: vec![Voice(vec![strum("G", 5), strum("D", 0)])], ..Bar::default() }];
    let mut bench = Bench::on(lesson, (140, 30));
    bench.strike("Down P E End Enter Ctrl+U \"open G\" Enter Enter");
    assert!(bench.notice().contains("names over the tab: G became C/G, D became G/D"), "{}", bench.notice());
    assert!(!bench.notice().contains("no longer"), "{}", bench.notice());
    bench.strike("u E End Enter Ctrl+U \"open G\" Enter Down Enter");
    assert!(!bench.notice().contains("no longer"), "{}", bench.notice());
}

#[test]
fn a_passage_goes_to_another_tuning_with_its_sound() {
    let mut bench = at_the_passage();
    bench.strike("E Enter Down Enter");
    assert_ne!(tuning(bench.lesson()), tuning(&small_lesson()));
    assert_ne!(passage(bench.lesson()).bars, passage(&small_lesson()).bars, "the frets are others");
}

#[test]
fn a_tuning_is_typed_for_a_passage_and_comes_into_the_lesson_only_when_it_is_taken() {
    let mut bench = at_the_passage();
    bench.strike("E End Enter Ctrl+U \"drop D, capo 4\" Enter Esc");
    assert_eq!(bench.lesson(), &small_lesson());
    bench.strike("E End Enter Ctrl+U \"drop Q\" Enter");
    assert!(bench.screen().contains("no tuning is called `drop Q`"), "{}", bench.screen());
    bench.strike("Ctrl+U \"drop D, capo 4\" Enter Enter");
    assert_eq!(tuning(bench.lesson()), "drop D, capo 4");
    assert_eq!(bench.lesson().setups.len(), small_lesson().setups.len() + 1);
    bench.strike("u");
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn all_passages_of_a_piece_go_together() {
    let mut lesson = small_lesson();
    let mut second = lesson.passages[0].clone();
    second.id.0 += 40;
    second.title = "the same again".into();
    lesson.passages.push(second);
    let mut bench = Bench::on(lesson, (100, 30));
    bench.strike("Down P E Enter");
    assert!(bench.screen().contains("both passages of \"Swing Seat\""), "{}", bench.screen());
    bench.strike("Down Down Enter");
    let lesson = bench.lesson();
    let setups: Vec<_> = lesson.passages.iter().map(|passage| passage.setup).collect();
    assert_eq!(setups[0], setups[1]);
    assert_eq!(lesson.pieces[0].setup, setups[0], "the piece goes along");
}

#[test]
fn a_tuning_is_renamed_changed_and_deleted_and_what_is_played_in_it_is_asked_about() {
    let mut bench = Bench::small((100, 30));
    // The list of tunings is the last line of the choice.
    bench.strike("E End Enter");
    assert!(bench.screen().contains("Tunings of the lesson"), "{}", bench.screen());
    bench.strike("Enter Down Enter Ctrl+U \"the usual\" Enter");
    assert_eq!(bench.lesson().setups[0].name, "the usual");
    bench.strike("u");

    bench.strike("E End Enter Enter Enter Ctrl+U \"drop D\" Enter");
    assert_eq!(bench.lesson(), &small_lesson(), "nothing changes before the question is answered");
    assert!(bench.screen().contains("what stays?"), "{}", bench.screen());
    bench.strike("Enter");
    assert_eq!(bench.lesson().setups[0].tuning.to_string(), "D2 A2 D3 G3 B3 E4");
    assert_eq!(bench.lesson().setups[0].name, "drop D", "a name that said the tuning follows it");
    bench.strike("u");
    assert_eq!(bench.lesson(), &small_lesson());

    bench.strike("E End Enter Enter End Enter");
    assert!(bench.screen().contains("what is played in it goes to"), "{}", bench.screen());
    bench.strike("Enter");
    assert_eq!(bench.lesson().setups.len(), small_lesson().setups.len() - 1);
    assert!(bench.notice().contains("deleted"), "{}", bench.notice());
    bench.strike("u");
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn a_segment_and_a_passage_in_two_tunings_are_brought_together_as_the_teacher_chooses() {
    let mut bench = at_the_passage();
    bench.strike("E Enter Enter T W");
    let screen = bench.screen();
    assert!(screen.contains("Which fix?") && screen.contains("play the segment in"), "{screen}");
    bench.strike("Down Enter");
    assert!(bench.notice().contains("same frets"), "{}", bench.notice());
    assert_eq!(bench.lesson().passages[0].bars, small_lesson().passages[0].bars);
    // From the list of problems, too.
    let mut bench = at_the_passage();
    bench.strike("E Enter Enter w");
    assert!(bench.screen().contains("choose the fix here"), "{}", bench.screen());
}

#[test]
fn nothing_typed_is_no_tuning() {
    for script in
        ["E End Up Enter Enter", "Ctrl+N Enter", "E End Enter Enter Enter Ctrl+U Enter", "P E End Enter Ctrl+U Enter"]
    {
        let mut bench = Bench::small((100, 30));
        bench.strike("Down");
        bench.strike(script);
        assert!(bench.screen().contains("type a tuning, as in drop D"), "{script}: {}", bench.screen());
        assert_eq!(bench.lesson(), &small_lesson(), "{script}");
    }
}

#[test]
fn the_tuning_that_is_played_already_is_said_to_be_and_nothing_is_added() {
    let mut bench = Bench::small((100, 30));
    for segment in 0..bench.lesson().segments.len() {
        let mut bench = bench.clone();
        (0..segment).for_each(|_| _ = bench.strike("Down"));
        let now = describe(bench.desk().fretboard.rig());
        let place = bench.desk().timeline.place(bench.lesson());
        let stated = small_lesson().segments[place].setup.is_some();
        bench.strike(&format!("Ctrl+N \"{now}\" Enter"));
        // One that is only taken from the segment before is stated from now on, as with `E`.
        let already = if stated { " already: no change" } else { "" };
        assert_eq!(bench.notice(), format!("this segment is played in {now}{already}"));
        assert_eq!(*bench.lesson() == small_lesson(), stated);
        assert_eq!(bench.lesson().tunings_in_force(), small_lesson().tunings_in_force());
        bench.strike(&format!("Ctrl+N \"{now}\" Enter"));
        assert_eq!(bench.notice(), format!("this segment is played in {now} already: no change"));
    }
    bench.strike("Down P E End Enter Enter");
    assert!(bench.notice().ends_with("already: no change"), "{}", bench.notice());
    assert_eq!(bench.lesson(), &small_lesson());
    // One that the lesson has is not added a second time, and not said to be.
    let mut bench = Bench::small((100, 30));
    let names: Vec<String> =
        bench.lesson().setups.iter().map(|setup| describe(&bench.lesson().rig(setup).unwrap())).collect();
    let now = describe(bench.desk().fretboard.rig());
    let other = names.iter().find(|name| **name != now).unwrap();
    bench.strike(&format!("Ctrl+N \"{other}\" Enter"));
    assert!(bench.screen().contains("2 chord shapes in another tuning: what stays?"), "{}", bench.screen());
    bench.strike("End Enter");
    assert_eq!(bench.notice(), format!("this segment is played in {other}; so is the one after it"));
    assert_eq!(bench.lesson().setups, small_lesson().setups);
}

/// A lesson of so many segments, of which each states the tuning with its number, or none for 0.
fn lesson_in(stated: &[u8]) -> Lesson {
    let mut lesson = small_lesson();
    let third = Setup { id: SetupId(3), name: "capo 3".to_owned(), capo: "3".parse().ok(), ..lesson.setups[0].clone() };
    lesson.setups.push(third);
    let segment = |(place, number): (usize, &u8)| {
        let title = format!("segment {place}");
        let id = SegmentId(u32::try_from(place).unwrap() + 1);
        let kind = if place % 4 == 3 { SegmentKind::Retuning } else { SegmentKind::Talk };
        let setup = (*number > 0).then(|| SetupId(u32::from(*number)));
        Segment { setup, ..Segment::new(id, kind, title, VideoLength::from_seconds(60)) }
    };
    lesson.segments = stated.iter().enumerate().map(segment).collect();
    lesson
}

/// Returns the tuning that each segment is played in. One for retuning that states none is left out: it leads to the next.
fn played(lesson: &Lesson) -> BTreeMap<SegmentId, SetupId> {
    let plays = |segment: &&Segment| segment.kind != SegmentKind::Retuning || segment.setup.is_some();
    let played = lesson.segments.iter().filter(plays);
    played.map(|segment| (segment.id, lesson.segment_setup(segment.id).unwrap().id)).collect()
}

proptest! {
    #[test]
    fn every_segment_keeps_its_tuning_however_the_list_changes(
        stated in proptest::collection::vec(0..4_u8, 2..9),
        keys in proptest::collection::vec((0..9_usize, 0..9_usize), 1..12),
    ) {
        let lesson = lesson_in(&stated);
        let mut bench = Bench::on(lesson.clone(), (100, 30));
        let mut steps = 0;
        for (place, what) in keys {
            let before = played(bench.lesson());
            let was = bench.lesson().clone();
            let count = bench.lesson().segments.len();
            bench.strike("Home");
            (0..place % count).for_each(|_| _ = bench.strike("Down"));
            let script = match what {
                0 => "Shift+Up".to_owned(),
                1 => "Shift+Down".to_owned(),
                2 if count > 1 => "Delete".to_owned(),
                3 => "c".to_owned(),
                4 => "j".to_owned(),
                5 => "a \"new\" Enter".to_owned(),
                6 => "A \"new\" Enter".to_owned(),
                7 => "X \"0:20\" Enter".to_owned(),
                _ => format!("J \"{}\" Enter", what % count + 1),
            };
            bench.strike(&script);
            if bench.state.overlay.is_some() {
                bench.strike("Esc");
            }
            steps += usize::from(*bench.lesson() != was);
            let after = played(bench.lesson());
            for (segment, tuning) in &before {
                if let Some(now) = after.get(segment) {
                    prop_assert_eq!(now, tuning, "{}: {}", script, bench.notice());
                }
            }
            let stated = |lesson: &Lesson| lesson.segments.iter().filter(|segment| segment.setup.is_some()).count();
            if matches!(script.as_str(), "Shift+Up" | "Shift+Down") && stated(bench.lesson()) > stated(&was) {
                prop_assert!(bench.notice().contains("keeps its tuning"), "{}", bench.notice());
            }
        }
        (0..steps).for_each(|_| _ = bench.strike("u"));
        prop_assert_eq!(bench.lesson(), &lesson);
    }
}

#[test]
fn the_fix_that_puts_segments_in_the_order_of_the_video_keeps_their_tunings() {
    let mut lesson = lesson_in(&[0, 2, 0]);
    for (segment, start) in lesson.segments.iter_mut().zip([60_000, 0, 30_000]) {
        segment.recorded = Some(Recorded { start: VideoTime(start), end: None });
    }
    let before = played(&lesson);
    let findings = check(&lesson);
    let mended = findings.iter().filter_map(|finding| remedy(&lesson, finding, &mut IdSource::new(Seed(1), &lesson)));
    let order = mended.into_iter().find(|found| found.text.contains("order of the video")).unwrap();
    lesson.apply_all(order.edits).unwrap();
    let order: Vec<u32> = lesson.segments.iter().map(|segment| segment.id.0).collect();
    assert_eq!(order, [2, 3, 1]);
    assert_eq!(played(&lesson), before);
}

#[test]
fn a_chosen_tuning_is_named_and_so_is_how_far_it_reaches() {
    let mut bench = Bench::on(lesson_in(&[0, 0, 0, 0, 3]), (100, 30));
    bench.strike("Down E \"capo 2\" Enter");
    assert_eq!(bench.notice(), "this segment is played in capo 2; so are the 2 after it");
    bench.strike("E Home Enter");
    assert_eq!(bench.notice(), "this segment is played in standard, as the one before it; so are the 2 after it");
    bench.strike("E Home Enter");
    assert_eq!(bench.notice(), "this segment has the tuning of the one before it already: no change");
    bench.strike("E Down Enter");
    assert_eq!(bench.notice(), "this segment is played in standard");
    bench.strike("E Enter");
    assert_eq!(bench.notice(), "this segment is played in standard already: no change");
}

#[test]
fn chord_shapes_come_along_with_a_passage_and_its_segment_in_the_same_step() {
    for (keys, how) in [("End Up Enter", "same frets"), ("End Enter", "same sound, new frets")] {
        let mut bench = at_the_passage();
        bench.strike("E Enter").strike(keys);
        let notice = bench.notice();
        assert!(notice.contains(how) && notice.contains("; 2 chord shapes moved with it"), "{notice}");
        assert!(bench.lesson().voicings.iter().all(|voicing| voicing.setup == Some(SetupId(2))));
        assert!(check(bench.lesson()).iter().all(|found| found.kind != FindingKind::VoicingSetup));
        bench.strike("Esc u");
        assert_eq!(bench.lesson(), &small_lesson());
    }
}

#[test]
fn chord_shapes_of_a_segment_that_goes_to_another_tuning_are_asked_about() {
    let mut lesson = small_lesson();
    // What the segment plays goes along by itself.
    lesson.pieces[0].setup = None;
    let shapes = |bench: &Bench| -> Vec<_> { bench.lesson().voicings.iter().map(|one| one.setup.unwrap().0).collect() };
    for (line, expected) in [("Home", [2, 2, 2]), ("Home Down", [2, 2, 2]), ("End", [1, 1, 2])] {
        let mut bench = Bench::on(lesson.clone(), (100, 30));
        bench.strike("Down E \"capo 2\" Enter");
        assert_eq!(bench.lesson(), &lesson, "nothing changes before the question is answered");
        assert!(bench.screen().contains("2 chord shapes in another tuning: what stays?"), "{}", bench.screen());
        bench.strike(line).strike("Enter");
        assert_eq!((shapes(&bench), bench.lesson().segments[1].setup), (expected.to_vec(), Some(SetupId(2))));
        let left = check(bench.lesson()).iter().filter(|found| found.kind == FindingKind::VoicingSetup).count();
        assert_eq!(left, usize::from(line == "End"));
        if line == "End" {
            // What was left can be brought along later.
            bench.strike("T W");
            assert!(bench.screen().contains("same frets: the 2 chord shapes in \"capo 2\""), "{}", bench.screen());
            bench.strike("Enter u");
        }
        bench.strike("Esc u");
        assert_eq!(bench.lesson(), &lesson);
    }
}

#[test]
fn a_tuning_that_no_line_begins_with_is_typed_on_in_the_box_for_it() {
    for open in ["Down E", "Down P E"] {
        let mut bench = Bench::small((80, 24));
        bench.strike(open).strike("\"drop\"");
        let Some(Overlay::Entry(entry)) = &bench.state.overlay else { panic!("{}", bench.screen()) };
        assert_eq!(entry.line.text(), "drop", "{open}");
        bench.strike("\" D, capo 1\"");
        let Some(Overlay::Entry(entry)) = &bench.state.overlay else { panic!("{}", bench.screen()) };
        assert_eq!(entry.line.text(), "drop D, capo 1", "{open}");
        // What goes on behind the name of a line.
        let mut bench = Bench::small((80, 24));
        bench.strike(open).strike("\"Capo 3\"");
        let Some(Overlay::Entry(entry)) = &bench.state.overlay else { panic!("{}", bench.screen()) };
        assert_eq!(entry.line.text(), "Capo 3", "{open}");
        bench.strike("Esc");
        assert_eq!(bench.lesson(), &small_lesson());
    }
}

#[test]
fn choices_of_a_tuning_differ_before_they_are_cut_off() {
    let mut lesson = small_lesson();
    lesson.pieces[0].title = "The longest title that anybody ever gave to a small study for the guitar".into();
    for number in 0..11 {
        let mut more = lesson.passages[0].clone();
        more.id.0 += 40 + number;
        let used = lesson.segments[1].passages[0];
        lesson.segments[1].passages.push(fingerpost::lesson::document::PassageUse { passage: more.id, ..used });
        lesson.passages.push(more);
    }
    let mut bench = Bench::on(lesson, (80, 24));
    bench.strike("Down P E Enter");
    let Some(Overlay::Choice(choice)) = &bench.state.overlay else { panic!("{}", bench.screen()) };
    let begins: BTreeSet<String> = choice.lines.iter().map(|(text, _)| text.chars().take(50).collect()).collect();
    assert_eq!(begins.len(), choice.lines.len(), "{begins:?}");
}

#[test]
fn tunings_of_other_instruments_are_told_with_the_way_to_them() {
    let mut bench = Bench::small((120, 30));
    bench.strike("Ctrl+N \"ukulele\" Enter");
    let screen = bench.screen().split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(screen.contains("ukulele, high G") && screen.contains("fingerpost new my-lesson"), "{}", bench.screen());
    bench.strike("Ctrl+U \"drop A\" Enter End Enter");
    assert_eq!(bench.lesson().setups.last().unwrap().tuning.to_string(), "A1 E2 A2 D3 F#3 B3");
}

#[test]
fn a_deleted_tuning_takes_the_retuning_to_it_along() {
    let mut lesson = lesson_in(&[1, 1, 1, 3, 0]);
    lesson.segments[3].title = "Capo on".into();
    let before = lesson.clone();
    let mut bench = Bench::on(lesson, (100, 30));
    bench.strike("E End Enter Down Down Enter End Enter Enter");
    assert!(bench.notice().starts_with("\"capo 3\" deleted with the retuning to it"), "{}", bench.notice());
    assert_eq!(bench.lesson().segments.len(), 4);
    bench.strike("u");
    assert_eq!(bench.lesson(), &before);
}

#[test]
fn a_summed_finding_marks_all_its_segments_and_leads_from_one_to_the_next() {
    let mut lesson = lesson_in(&[1, 1, 1, 1, 1]);
    for place in [0, 2, 4] {
        lesson.segments[place].planned = VideoLength::from_seconds(5);
    }
    let mut bench = Bench::on(lesson, (100, 30));
    for place in [0, 2, 4] {
        bench.strike("Home").strike(&"Down ".repeat(place)).strike("W");
        assert!(bench.notice().contains("3 chapters are shorter"), "{place}: {}", bench.notice());
    }
    for expected in [0, 2, 4, 0] {
        bench.strike("w");
        let Some(Overlay::List(list)) = &bench.state.overlay else { panic!("{}", bench.screen()) };
        let at = list.lines.iter().position(|line| line.text.contains("3 chapters are shorter")).unwrap();
        bench.strike(&"Down ".repeat(at)).strike("Enter");
        assert_eq!(bench.desk().timeline.place(bench.lesson()), expected, "{}", bench.notice());
    }
}
