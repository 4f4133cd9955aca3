//! The recording view: what each stroke stamps, and what is on the screen.

use std::time::Duration;

use fingerpost::lesson::cut_video::VideoVersion;
use fingerpost::lesson::document::{Lesson, Recorded, VideoCut};
use fingerpost::lesson::time::{VideoLength, VideoTime};
use fingerpost::plan::chapters::{Basis, chapter_text, chapters};
use fingerpost::plan::schedule::Totals;
use fingerpost::workbench::messages::message::{Message, Mouse};
use fingerpost::workbench::panes::recording::pane::Showing;
use fingerpost::workbench::typing::time::write_cuts;
use proptest::prelude::*;
use ratatui::layout::Position;

use super::bench::{Bench, small_lesson};

#[test]
fn more_cues_are_offered_only_where_some_are_out_of_view() {
    let mut lesson = small_lesson();
    for (count, offered) in [(1, false), (60, true)] {
        lesson.segments[0].talking_points = (0..count).map(|number| format!("point {number}")).collect();
        let mut bench = Bench::on(lesson.clone(), (160, 48));
        bench.strike("T Home V");
        assert_eq!(bench.screen().contains("more cues"), offered, "{}", bench.screen());
    }
}

/// Lets time pass and strikes keys: `12.5 PageDown` is a stroke when the program is 12.5 s old.
#[track_caller]
fn play(bench: &mut Bench, script: &str) {
    for word in script.split_whitespace() {
        match word.parse::<f64>() {
            Ok(seconds) => bench.send(Message::Clock(Duration::from_secs_f64(seconds))),
            Err(_) => _ = bench.strike(word),
        }
    }
}

fn recorded(lesson: &Lesson) -> Vec<String> {
    let text = |known: Recorded| match known.end {
        Some(end) => format!("{}-{end}", known.start),
        None => known.start.to_string(),
    };
    lesson.segments.iter().map(|segment| segment.recorded.map(text).unwrap_or_default()).collect()
}

/// Plays a script on the small lesson and compares when its segments were recorded.
#[track_caller]
fn check(script: &str, expected: [&str; 4]) -> Bench {
    let mut bench = Bench::small((80, 24));
    play(&mut bench, script);
    assert_eq!(recorded(bench.lesson()), expected, "after {script}\n{}", bench.notice());
    assert_eq!(bench.replayed, *bench.lesson(), "the journal replays to the lesson");
    bench
}

#[test]
fn one_key_stamps_the_whole_lesson_and_the_last_stroke_its_end() {
    let script = "V 100 PageDown 131 PageDown 250.4 PageDown 340 PageDown 361 PageDown";
    let bench = check(script, ["0:00", "0:31", "2:30.4", "4:00-4:21"]);
    assert!(!bench.desk().recording.clock().is_running(), "the clock is held at the end");
    assert!(bench.screen().contains("ALL RECORDED"), "{}", bench.screen());
    check(&format!("{script} 400 PageDown"), ["0:00", "0:31", "2:30.4", "4:00-4:21"]);
}

#[test]
fn the_clock_is_held_while_the_camera_pauses() {
    check("V 0 PageDown 10 Space 70 Space 75 PageDown", ["0:00", "0:15", "", ""]);
    // A stroke on a held clock lets it run on.
    check("V 0 PageDown 10 Space 70 PageDown 80 PageDown", ["0:00", "0:10", "0:20", ""]);
}

#[test]
fn a_step_back_gives_the_segment_before_the_end_that_the_stroke_took() {
    let stroke = "Down V 0 : \"0:20\" Enter PageDown";
    check(stroke, ["0:00", "0:20", "", ""]);
    check(&format!("{stroke} 5 PageUp"), ["0:00-0:41", "", "", ""]);
}

#[test]
fn a_step_back_takes_the_stamp_back_and_the_clock_runs_on() {
    let bench = check("V 0 PageDown 10 PageDown 12 PageUp 31 PageDown", ["0:00", "0:31", "", ""]);
    assert_eq!(bench.desk().timeline.place(bench.lesson()), 1);
    let bench = check("V 0 PageDown 10 PageUp", ["0:00-0:41", "", "", ""]);
    assert!(!bench.desk().recording.clock().is_running(), "nothing is recorded, so the clock stands");
    check("V 0 PageDown 9 PageDown 20 PageDown 30 PageDown 40 PageDown 41 PageUp", ["0:00", "0:09", "0:20", "0:30"]);
}

/// What is cut out of each segment.
fn cuts(lesson: &Lesson) -> Vec<String> {
    lesson.segments.iter().map(|segment| write_cuts(&segment.cuts)).collect()
}

#[test]
fn a_segment_taken_again_starts_anew_and_what_was_recorded_of_it_is_cut_out() {
    let script = "V 0 PageDown 10 PageDown 25 r";
    let mut bench = check(script, ["0:00", "0:10", "", ""]);
    assert_eq!(cuts(bench.lesson()), ["", "0:10-0:25", "", ""]);
    assert_eq!(bench.lesson().segments[1].shot, "", "it is stored, and not only said in a note");
    assert!(bench.screen().contains("0:00 of 2:00"), "the time of the new take: {}", bench.screen());
    play(&mut bench, "31 r 60 PageDown 70 PageDown 80 PageDown");
    assert_eq!(recorded(bench.lesson()), ["0:00", "0:10", "1:00", "1:10-1:20"]);
    assert_eq!(cuts(bench.lesson()), ["", "0:10-0:31", "", ""]);
    let list = |version| chapter_text(&chapters(bench.lesson(), Basis::Recorded(version)).unwrap());
    let starts = |text: String| text.lines().map(|line| line.split(' ').next().unwrap().to_owned()).collect::<Vec<_>>();
    assert_eq!(starts(list(VideoVersion::Cut)), ["0:00", "0:10", "0:39", "0:49"]);
    assert_eq!(starts(list(VideoVersion::Uncut)), ["0:00", "0:10", "1:00", "1:10"]);
    let totals = Totals::of(bench.lesson());
    assert_eq!((totals.recorded.to_string(), totals.left_out.to_string()), ("0:59".to_owned(), "0:21".to_owned()));
    bench.strike("u u u u");
    assert_eq!(cuts(bench.lesson()), ["", "0:10-0:25", "", ""]);
    assert!(bench.notice().starts_with("undone: retake"), "{}", bench.notice());
    bench.strike("u u u");
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn a_step_back_over_a_segment_that_was_taken_again_gives_back_what_was_known_before() {
    let script = "V 0 PageDown 10 PageDown 25 r 30 PageUp";
    let bench = check(script, ["0:00", "", "", ""]);
    assert_eq!(cuts(bench.lesson()), ["", "", "", ""]);
    let bench = check(&format!("{script} 40 PageDown"), ["0:00", "0:40", "", ""]);
    assert_eq!(cuts(bench.lesson()), ["", "", "", ""]);
}

#[test]
fn strokes_too_close_together_are_one() {
    let bench = check("V 0 PageDown 10 PageDown 10.3 PageDown", ["0:00", "0:10", "", ""]);
    assert!(bench.notice().contains("pressed twice quickly"), "{}", bench.notice());
}

#[test]
fn an_undone_stamp_goes_back_to_the_segment_before_and_can_be_struck_again() {
    check("V 0 PageDown 10 PageDown u 31 PageDown", ["0:00", "0:31", "", ""]);
    check("V 0 PageDown 10 PageDown u U 31 PageDown", ["0:00", "0:10", "0:31", ""]);
    check("V 0 PageDown u 5 PageDown 9 PageDown", ["0:05", "0:09", "", ""]);
}

#[test]
fn a_recording_goes_on_where_the_one_before_ended_or_where_the_clock_is_set() {
    check("Down V 50 PageDown 60 PageDown", ["0:00-0:41", "0:41", "0:51", ""]);
    let mut bench = Bench::small((80, 24));
    bench.strike("Down V : \"1:02:03\" Enter");
    play(&mut bench, "50 PageDown 60.25");
    bench.strike(": \"+5\" Enter");
    play(&mut bench, "70.25 PageDown");
    assert_eq!(recorded(bench.lesson()), ["0:00-0:41", "1:02:03", "1:02:28.3", ""]);
    bench.strike(": \"-2:00:00\" Enter");
    assert!(bench.screen().contains("it cannot go back so far"), "{}", bench.screen());
}

#[test]
fn the_view_closed_the_clock_runs_on_and_keys_are_the_panes_again() {
    let mut bench = check("V 0 PageDown 10 Esc", ["0:00", "", "", ""]);
    assert_eq!(bench.desk().recording.showing(), Showing::Hidden);
    assert!(bench.state.wants_time());
    assert_eq!(bench.state.wake_in(), None, "nothing on the screen changes by itself");
    play(&mut bench, "T 20 V 31 PageDown");
    assert_eq!(recorded(bench.lesson()), ["0:00", "0:31", "", ""]);
}

#[test]
fn the_screen_changes_by_itself_only_while_the_clock_is_seen_to_run() {
    let mut bench = Bench::small((80, 24));
    assert_eq!((bench.state.wants_time(), bench.state.wake_in()), (false, None));
    play(&mut bench, "V 7.25");
    assert_eq!((bench.state.wants_time(), bench.state.wake_in()), (true, None), "a held clock does not change");
    play(&mut bench, "Space 7.5");
    assert_eq!(bench.state.wake_in(), Some(Duration::from_millis(750)));
    let before = bench.screen();
    play(&mut bench, "8.249");
    assert_eq!(bench.screen(), before, "within a second nothing on the screen changes");
    play(&mut bench, "8.25");
    assert_ne!(bench.screen(), before);
}

#[test]
fn a_lesson_for_reading_only_refuses_the_stamp_and_an_empty_one_the_view() {
    let mut bench = Bench::read_only((80, 24));
    play(&mut bench, "V 0 PageDown");
    assert!(bench.notice().contains("for reading only"), "{}", bench.notice());
    assert_eq!(bench.lesson(), &small_lesson());
    assert!(!bench.desk().recording.clock().is_running());
    let mut empty = Bench::on(Lesson::default(), (80, 24));
    empty.strike("V");
    assert_eq!(empty.desk().recording.showing(), Showing::Hidden);
    assert!(empty.notice().contains("nothing to record yet"), "{}", empty.notice());
}

#[test]
fn the_mouse_holds_the_clock_and_starts_what_comes_next() {
    let mut bench = Bench::small((80, 24));
    play(&mut bench, "V 0");
    let next = bench.screen().lines().position(|line| line.contains("NEXT")).unwrap();
    let click = |x: usize, y: usize| {
        let place = Position { x: u16::try_from(x).unwrap(), y: u16::try_from(y).unwrap() };
        Message::Mouse(Mouse::Click(place))
    };
    bench.send(click(10, next));
    play(&mut bench, "10");
    bench.send(click(10, 4));
    assert!(!bench.desk().recording.clock().is_running());
    bench.send(click(10, 4));
    play(&mut bench, "15");
    bench.send(click(10, next));
    bench.send(click(70, 12));
    assert_eq!(recorded(bench.lesson()), ["0:00", "0:15", "", ""]);
}

#[test]
fn the_view_says_what_is_recorded_what_to_say_and_what_comes_next() {
    for size in [(80, 24), (100, 30), (120, 36), (160, 48)] {
        let mut bench = Bench::small(size);
        play(&mut bench, "V 0 PageDown 31 PageDown 72.5");
        insta::assert_snapshot!(format!("recording_{}x{}", size.0, size.1), bench.styled_screen());
    }
    let mut plain = Bench::small((80, 24)).plain();
    play(&mut plain, "V 0 PageDown 31 PageDown 200");
    assert!(plain.screen().is_ascii(), "{}", plain.screen());
    assert!(plain.screen().contains("0:49 OVER"), "{}", plain.screen());
    plain.resize(40, 10);
    assert!(plain.screen().contains("needs more room"), "{}", plain.screen());
}

/// Returns the first line of the screen with this in it.
#[track_caller]
fn line_with(bench: &mut Bench, text: &str) -> String {
    let screen = bench.screen();
    screen.lines().find(|line| line.contains(text)).unwrap_or_else(|| panic!("no `{text}` in\n{screen}")).to_owned()
}

#[test]
fn times_are_whole_seconds_and_stamps_tenths_so_that_the_number_of_the_segment_is_seen() {
    let mut bench = Bench::small((80, 24));
    play(&mut bench, "V 0 PageDown 3.46 PageDown 13.92 r");
    assert!(bench.notice().contains("0:03.5 to 0:13.9 is cut out"), "{}", bench.notice());
    assert!(bench.notice().contains("retake from 0:13.9;"), "{}", bench.notice());
    play(&mut bench, "20.07 PageDown");
    assert!(bench.notice().contains("starts at 0:20.1"), "{}", bench.notice());
    let head = bench.screen().lines().next().unwrap().to_owned();
    assert!(head.contains("   segment 3 of 4  "), "{head}");
    assert!(head.contains("0:10 of 4:20 planned"), "3.46 and 6.15 are 9.61 s: {head}");
    let mut lesson = bench.lesson().clone();
    lesson.header.title = "A title that is longer than what is left of the line".to_owned();
    let mut bench = Bench::on(lesson, (80, 24));
    play(&mut bench, "Down V");
    let head = bench.screen().lines().next().unwrap().to_owned();
    assert!(head.contains("   segment 2 of 4  "), "{head}");
}

#[test]
fn what_a_segment_took_is_rounded_and_the_difference_agrees_with_it() {
    let mut lesson = small_lesson();
    let taken = |took| Some(Recorded { start: "0:00".parse().unwrap(), end: Some(VideoTime(took)) });
    for (took, shown, difference) in [
        (3_460, "0:03.5", "-0:26.5"),
        (29_950, "0:30", "+0:00"),
        (29_949, "0:29.9", "-0:00.1"),
        (30_050, "0:30.1", "+0:00.1"),
    ] {
        lesson.segments[0].recorded = taken(took);
        let mut bench = Bench::on(lesson.clone(), (120, 36));
        bench.strike("|");
        let row = line_with(&mut bench, "Hello");
        let cells: Vec<&str> = row.split_whitespace().collect();
        assert!(cells.windows(2).any(|pair| pair == [shown, difference]), "{row}");
    }
}

#[test]
fn the_heading_of_the_timeline_and_the_top_line_show_whole_seconds_and_no_word_is_lost() {
    let mut lesson = small_lesson();
    lesson.header.target = Some(VideoLength(240_400));
    lesson.segments[0].recorded = Some(Recorded { start: VideoTime(0), end: Some(VideoTime(239_918)) });
    lesson.segments[1].planned = VideoLength(120_300);
    let mut bench = Bench::on(lesson, (80, 24));
    let heading = line_with(&mut bench, "Timeline");
    assert!(heading.trim_end().ends_with("planned 4:20   recorded 4:00   goal 4:00, 0:20 over"), "{heading}");
    let top = bench.screen().lines().next().unwrap().to_owned();
    assert!(top.contains("recorded 4:00   planned 4:20 "), "{top}");
}

#[test]
fn the_clock_is_twice_as_large_where_there_is_room_for_it() {
    let lines = |size, script: &str| {
        let mut bench = Bench::small(size);
        play(&mut bench, script);
        let screen = bench.screen();
        let digits = |line: &&str| line.contains('█');
        let ends =
            screen.lines().filter(digits).map(|line| line.rfind('█').map_or(0, |end| line[..end].chars().count()));
        (screen.lines().filter(digits).count(), ends.max().unwrap_or(0))
    };
    let first = "V 0 PageDown 9 PageDown 11";
    assert_eq!(lines((80, 24), first).0, 5);
    assert_eq!(lines((120, 35), first).0, 5);
    assert_eq!(lines((111, 36), first).0, 5);
    let small = lines((80, 24), first).1;
    let large = lines((120, 36), first);
    assert_eq!(large.0, 10);
    assert!(large.1 > 2 * small - 4, "as wide as high: {large:?} and {small}");
    // What stands beside the clock has its room there when the video is an hour long, too.
    for (size, expected) in [((120, 36), 5), ((150, 36), 10)] {
        assert_eq!(lines(size, "V : \"1:02:03\" Enter 0 PageDown 9 PageDown 11").0, expected);
    }
}

#[test]
fn the_mouse_finds_the_large_clock_where_it_is_drawn() {
    let mut bench = Bench::small((120, 36));
    play(&mut bench, "V 0 PageDown 5");
    bench.send(Message::Mouse(Mouse::Click(Position { x: 60, y: 11 })));
    assert!(!bench.desk().recording.clock().is_running(), "{}", bench.screen());
}

/// The small lesson with nothing recorded, or all of it on another day.
fn lesson_of(recorded: [Option<&str>; 4]) -> Lesson {
    let mut lesson = small_lesson();
    for (segment, start) in lesson.segments.iter_mut().zip(recorded) {
        segment.recorded = start.map(|start| Recorded { start: start.parse().unwrap(), end: None });
    }
    lesson
}

#[test]
fn at_the_end_it_says_which_segments_have_no_start_and_what_to_do() {
    for (recorded, keys, missing) in [
        ([None; 4], "Down", "1 has no start time: `:` in the timeline sets it"),
        ([None; 4], "Down Down", "1 and 2 have no start time: `:` in the timeline sets them"),
        (
            [None, Some("0:01"), None, None],
            "Down Down Down",
            "1 and 3 have no start time: `:` in the timeline sets them",
        ),
        ([None; 4], "Down Down Down", "1 to 3 have no start time: `:` in the timeline sets them"),
    ] {
        let mut bench = Bench::on(lesson_of(recorded), (80, 24));
        let last = bench.lesson().segments.len() - 1;
        play(&mut bench, &format!("{keys} V"));
        let place = bench.desk().timeline.place(bench.lesson());
        for stroke in 0..=last - place + 1 {
            play(&mut bench, &format!("{} PageDown", 10 * stroke + 5));
        }
        assert!(bench.notice().ends_with(missing), "{}", bench.notice());
        assert!(bench.notice().starts_with("ends at 0:"), "{}", bench.notice());
        assert!(!bench.screen().contains("ALL RECORDED"), "{}", bench.screen());
        assert!(!bench.screen().contains("the lesson is recorded"), "{}", bench.screen());
        play(&mut bench, "90 PageDown");
        assert!(bench.notice().contains(missing), "{}", bench.notice());
    }
}

#[test]
fn a_clock_about_to_start_on_a_later_segment_says_which_stay_without_times() {
    let mut bench = Bench::on(lesson_of([None; 4]), (80, 24));
    play(&mut bench, "Down Down V");
    assert!(bench.screen().contains("segments 1 and 2"), "{}", bench.screen());
    assert!(bench.screen().contains("have no start time"), "{}", bench.screen());
    play(&mut bench, "0 PageDown 9");
    assert!(bench.notice().contains("segments 1 and 2 have no start time"), "{}", bench.notice());
    play(&mut bench, "10 PageDown");
    assert!(!bench.notice().contains("no start time"), "it is said once: {}", bench.notice());
    let mut bench = Bench::on(lesson_of([Some("0:00"), Some("0:10"), None, None]), (80, 24));
    play(&mut bench, "Down Down V");
    assert!(!bench.screen().contains("without"), "{}", bench.screen());
}

/// Records the first segment, leaves the clock running, and comes back on the third, which has a
/// start of another day.
fn come_back_on_the_third() -> Bench {
    let mut bench = Bench::on(lesson_of([None, None, Some("0:20"), Some("0:50")]), (80, 24));
    play(&mut bench, "V 0 PageDown 10 Esc Down Down 19 V");
    bench
}

#[test]
fn a_stray_stroke_on_a_recorded_segment_says_what_the_next_one_replaces() {
    let mut bench = come_back_on_the_third();
    assert!(bench.screen().contains("recorded 0:20: two presses replace it"), "{}", bench.screen());
    play(&mut bench, "PageDown");
    assert_eq!(recorded(bench.lesson()), ["0:00", "", "0:20", "0:50"], "{}", bench.notice());
    assert_eq!(bench.notice(), "no time set: 3 has its start at 0:20; the next press replaces it");
    assert!(bench.screen().contains("recorded 0:20: the next press replaces it"), "{}", bench.screen());
    // A pedal that bounces is one stroke.
    play(&mut bench, "19.3 PageDown");
    assert_eq!(recorded(bench.lesson()), ["0:00", "", "0:20", "0:50"], "{}", bench.notice());
    play(&mut bench, "22 PageDown");
    assert_eq!(recorded(bench.lesson()), ["0:00", "", "0:22", "0:50"], "{}", bench.notice());
    assert!(bench.notice().starts_with("3 starts at 0:22, was 0:20; u undoes"), "{}", bench.notice());
    // The take goes on: from here each stroke stamps, as the pedal is meant to.
    play(&mut bench, "31 PageDown");
    assert_eq!(recorded(bench.lesson()), ["0:00", "", "0:22", "0:31"], "{}", bench.notice());
    assert!(bench.notice().starts_with("4 starts at 0:31, was 0:50; u undoes"), "{}", bench.notice());
    bench.strike("u u");
    assert_eq!(recorded(bench.lesson()), ["0:00", "", "0:20", "0:50"], "{}", bench.notice());
}

#[test]
fn a_run_over_recorded_segments_asks_once() {
    let mut lesson = lesson_of(ALL);
    lesson.segments[1].cuts = vec![VideoCut { from: VideoTime(12_000), to: VideoTime(15_000) }];
    let before = lesson.clone();
    let mut bench = Bench::on(lesson, (80, 24));
    // The first starts where it started.
    play(&mut bench, "V 0 PageDown 3 PageDown");
    assert_eq!(recorded(bench.lesson()), ["0:00", "0:10", "0:20", "0:50"], "{}", bench.notice());
    assert_eq!(bench.lesson().segments[1], before.segments[1]);
    assert_eq!(bench.notice(), "no time set: 2 has its start at 0:10; the next press replaces it");
    // From here on the run is meant.
    play(&mut bench, "6 PageDown 11 PageDown 17 PageDown");
    assert_eq!(recorded(bench.lesson()), ["0:00", "0:06", "0:11", "0:17"], "{}", bench.notice());
    // What is cut out of one that begins where it began would be lost as well; the clock stands, and two presses are enough.
    let mut bench = Bench::on(before.clone(), (80, 24));
    play(&mut bench, "Down V 0 PageDown");
    assert_eq!(bench.lesson(), &before, "{}", bench.notice());
    play(&mut bench, "PageDown");
    assert!(bench.lesson().segments[1].cuts.is_empty(), "{}", bench.notice());
    // A run that comes upon what was recorded before asks there.
    let mut bench = Bench::on(lesson_of([None, None, Some("0:20"), Some("0:50")]), (80, 24));
    play(&mut bench, "V 0 PageDown 5 PageDown 8 Space 9 Space 12 PageDown");
    assert_eq!(recorded(bench.lesson()), ["0:00", "0:05", "0:20", "0:50"], "{}", bench.notice());
    assert_eq!(bench.notice(), "no time set: 3 has its start at 0:20; the next press replaces it");
    play(&mut bench, "15 PageDown 20 PageDown");
    assert_eq!(recorded(bench.lesson()), ["0:00", "0:05", "0:14", "0:19"], "{}", bench.notice());
}

/// Starts of another day for every segment of the small lesson.
const ALL: [Option<&str>; 4] = [Some("0:00"), Some("0:10"), Some("0:20"), Some("0:50")];

#[test]
fn a_recorded_segment_is_recorded_again_from_its_own_start() {
    let mut bench = Bench::on(lesson_of(ALL), (80, 24));
    play(&mut bench, "Down Down V");
    let says = "recorded 0:20: the next press records it again from there";
    assert!(bench.screen().contains(says), "{}", bench.screen());
    play(&mut bench, "0 PageDown");
    assert_eq!(recorded(bench.lesson()), ["0:00", "0:10", "0:20", "0:50"]);
    assert_eq!(bench.notice(), "3 starts at 0:20, as before");
    // The next one is recorded as well, and that is asked.
    play(&mut bench, "23 PageDown 25 PageDown");
    assert_eq!(recorded(bench.lesson()), ["0:00", "0:10", "0:20", "0:45"]);
    assert!(bench.notice().starts_with("4 starts at 0:45, was 0:50; u undoes"), "{}", bench.notice());
    // In a list of another order than the video it is the segment's own start too.
    let mut bench = Bench::on(lesson_of(ALL), (80, 24));
    play(&mut bench, "Down Down Down Shift+Up V 0 PageDown");
    assert_eq!(recorded(bench.lesson()), ["0:00", "0:10", "0:50", "0:20"]);
    assert_eq!(bench.notice(), "3 starts at 0:50, as before");
}

#[test]
fn two_segments_never_start_at_one_time_without_a_word() {
    // The second runs until the third of the list's recording begins, which is the fourth's.
    let mut bench = Bench::on(lesson_of([Some("0:00"), Some("0:10"), None, Some("0:20")]), (80, 24));
    play(&mut bench, "Down Down V");
    assert!(bench.screen().contains("4 starts at 0:20 too"), "{}", bench.screen());
    play(&mut bench, "0 PageDown");
    assert_eq!(recorded(bench.lesson()), ["0:00", "0:10", "0:20", "0:20"]);
    assert!(bench.notice().ends_with("starts at 0:20; 4 starts at 0:20 too; u undoes"), "{}", bench.notice());
    let mut bench = Bench::on(lesson_of([Some("0:00"), Some("0:10"), None, Some("0:20")]), (80, 24));
    play(&mut bench, "Down Down V : \"0:12\" Enter 0 PageDown");
    assert!(!bench.notice().contains("too"), "{}", bench.notice());
}

#[test]
fn no_recording_grows_when_another_goes() {
    let lesson = lesson_of(ALL);
    for (keys, expected, said) in [
        (
            "Down Delete",
            &["0:00-0:10", "0:20", "0:50"][..],
            "deleted \"Two shapes\"; no segment has 0:10 to 0:20 of the recording now; u undoes",
        ),
        (
            "Down : Ctrl+U Enter",
            &["0:00-0:10", "", "0:20", "0:50"],
            "it is not recorded yet; no segment has 0:10 to 0:20 of the recording now",
        ),
        // The one before it in the video, wherever that stands in the list.
        (
            "Down Shift+Up Home Delete",
            &["0:00-0:10", "0:20", "0:50"],
            "deleted \"Two shapes\"; no segment has 0:10 to 0:20 of the recording now; u undoes",
        ),
    ] {
        let mut bench = Bench::on(lesson.clone(), (120, 36));
        bench.strike(keys);
        assert_eq!(recorded(bench.lesson()), expected, "{keys}");
        assert_eq!(bench.notice(), said);
        assert_eq!(bench.replayed, *bench.lesson());
        bench.strike("u");
        assert_eq!(Totals::of(bench.lesson()), Totals::of(&lesson), "{keys}");
        bench.strike("u");
        assert_eq!(*bench.lesson(), lesson, "{keys}");
    }
}

#[test]
fn a_take_that_is_meant_is_replaced_at_the_first_stroke() {
    // The clock is held and the screen says so: the stroke begins the take.
    let mut bench = Bench::on(lesson_of(ALL), (80, 24));
    play(&mut bench, "Down Down V : \"0:15\" Enter");
    assert!(bench.screen().contains("recorded 0:20: the next press replaces it"), "{}", bench.screen());
    play(&mut bench, "5 PageDown");
    assert_eq!(recorded(bench.lesson()), ["0:00", "0:10", "0:15", "0:50"], "{}", bench.notice());
    assert!(bench.notice().starts_with("3 starts at 0:15, was 0:20; u undoes"), "{}", bench.notice());
    // A look at the panes in between changes nothing.
    play(&mut bench, "9 Esc V 25 PageDown");
    assert_eq!(recorded(bench.lesson()), ["0:00", "0:10", "0:15", "0:35"], "{}", bench.notice());
    // So is what follows a step back: the second starts anew.
    let mut bench = Bench::on(lesson_of([None, Some("0:10"), Some("0:20"), None]), (80, 24));
    play(&mut bench, "V 0 PageDown 5 Esc Down Down 9 V PageUp");
    assert!(bench.notice().starts_with("3 had its start at 0:20; u undoes"), "{}", bench.notice());
    play(&mut bench, "12 PageDown");
    assert_eq!(recorded(bench.lesson())[..2], ["0:00", "0:12"], "{}", bench.notice());
    // Holding the clock, or letting it run, is meant: one stroke is enough again.
    let mut bench = come_back_on_the_third();
    play(&mut bench, "21 Space 30 PageDown");
    assert_eq!(recorded(bench.lesson()), ["0:00", "", "0:21", "0:50"], "{}", bench.notice());
    assert!(bench.desk().recording.clock().is_running());
}

#[test]
fn a_stray_stroke_after_a_segment_of_this_take_does_not_replace_the_next_either() {
    let mut bench = Bench::on(lesson_of([None; 4]), (80, 24));
    play(&mut bench, "V 0 PageDown 10 PageDown 20 PageDown 30 Esc Up Up V 35 PageDown");
    assert_eq!(recorded(bench.lesson()), ["0:00", "0:10", "0:20", ""], "{}", bench.notice());
    assert_eq!(bench.notice(), "no time set: 2 has its start at 0:10; the next press replaces it");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn whatever_is_struck_undo_leads_back_to_the_first_lesson(
        strokes in prop::collection::vec(
            (0u32..90, prop::sample::select(&["PageDown", "PageUp", "Space", "r", "u", "U", "Esc V", "Down"][..])),
            0..30,
        ),
    ) {
        let mut bench = Bench::small((80, 24));
        bench.strike("V");
        let mut now = 0;
        for (pause, key) in strokes {
            now += pause;
            play(&mut bench, &format!("{}.{} {key}", now / 10, now % 10));
            for segment in &bench.lesson().segments {
                let forward = segment.recorded.is_none_or(|known| known.end.is_none_or(|end| end > known.start));
                prop_assert!(forward, "{:?}", segment.recorded);
                let mut fitted = segment.clone();
                fitted.fit_cuts();
                prop_assert_eq!(&fitted.cuts, &segment.cuts, "{:?}", segment.recorded);
            }
        }
        prop_assert_eq!(&bench.replayed, bench.lesson());
        bench.strike("Esc");
        while bench.notice() != "nothing to undo" {
            bench.strike("u");
        }
        prop_assert_eq!(bench.lesson(), &small_lesson());
    }
}
