//! The timeline beyond plain lists: cutting, copying, notes, links, later times that move along.

use fingerpost::lesson::id::{SetupId, VoicingId};
use fingerpost::workbench::boxes::Overlay;
use proptest::prelude::*;

use super::bench::{Bench, small_lesson};

fn error(bench: &Bench) -> String {
    match &bench.state.overlay {
        Some(Overlay::Entry(entry)) => entry.error.clone().unwrap_or_default(),
        _ => "the box is closed".to_owned(),
    }
}

/// When each segment was recorded; nothing for one that is not.
fn recorded(bench: &Bench) -> Vec<String> {
    let text = |known: fingerpost::lesson::document::Recorded| match known.end {
        Some(end) => format!("{}-{end}", known.start),
        None => known.start.to_string(),
    };
    bench.lesson().segments.iter().map(|segment| segment.recorded.map(text).unwrap_or_default()).collect()
}

#[test]
fn a_segment_is_split_and_joined_and_each_is_one_step_of_undo() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down x \"0:40\" Enter");
    assert!(
        bench.segments().contains("  Two shapes 0:40 slowly\n> Two shapes, part 2 1:20 slowly"),
        "{}",
        bench.segments()
    );
    bench.strike("Up j");
    assert_eq!(bench.lesson(), &small_lesson(), "joined again it is what it was");
    bench.strike("x \"-0:20\" Enter");
    assert!(bench.segments().contains("Two shapes 1:40"), "counted from its end: {}", bench.segments());
    bench.strike("u u u");
    assert_eq!(bench.lesson(), &small_lesson());
    for text in ["2:00", "0:00", "-2:00", "soon", "2"] {
        bench.strike(&format!("x \"{text}\" Enter"));
        assert!(!error(&bench).is_empty(), "{text}");
        bench.strike("Esc");
    }
    bench.strike("End j");
    assert!(bench.notice().contains("no segment after this one"), "{}", bench.notice());
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn a_setup_that_a_joined_segment_brought_in_holds_on_for_the_one_after() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down j");
    let segments = &bench.lesson().segments;
    assert_eq!((segments[1].setup, segments[2].setup), (None, Some(SetupId(2))), "the goodbye is still with the capo");
    assert_eq!(segments[1].voicings, [1, 2, 3].map(VoicingId));
}

#[test]
fn a_copy_is_not_recorded_yet() {
    let mut bench = Bench::small((100, 30));
    bench.strike("c");
    assert!(bench.segments().starts_with("  Hello 0:30 welcome\n> Hello 0:30 welcome\n"), "{}", bench.segments());
    assert_eq!(recorded(&bench), ["0:00-0:41", "", "", "", ""]);
    bench.strike("u");
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn shot_and_tone_notes_are_written_line_by_line() {
    let mut bench = Bench::small((100, 30));
    bench.strike("S \"Close on the left hand\" Enter \"Lamp from above\" Esc o \"Neck pickup\" Ctrl+S");
    let segment = &bench.lesson().segments[0];
    assert_eq!(
        (segment.shot.as_str(), segment.tone.as_str()),
        ("Close on the left hand\nLamp from above", "Neck pickup")
    );
    assert_eq!(bench.notice(), "tone notes changed; u takes it back");
    bench.strike("u u");
    assert_eq!(bench.lesson(), &small_lesson());
    bench.strike("S Esc");
    assert!(bench.desk().lesson.is_saved(), "nothing written is no change");
    let mut locked = super::desk::read_only();
    locked.strike("S");
    assert!(matches!(locked.state.overlay, Some(Overlay::List(_))), "they can be read");
}

#[test]
fn the_voicings_of_a_segment_are_chosen_line_by_line() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down g Space Down Down Space Enter");
    assert_eq!(bench.lesson().segments[1].voicings, [2, 3].map(VoicingId));
    assert_eq!(bench.lesson().segments[1].passages, small_lesson().segments[1].passages, "the music stays");
    bench.strike("u");
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn the_goal_is_set_and_taken_away() {
    let mut bench = Bench::small((100, 30));
    bench.strike("G \"5:00\" Enter");
    assert_eq!(bench.lesson().header.target.map(|target| target.to_string()).as_deref(), Some("5:00"));
    bench.strike("G Ctrl+E \"+30\" Enter");
    assert_eq!(bench.lesson().header.target.map(|target| target.to_string()).as_deref(), Some("5:30"));
    bench.strike("G Ctrl+E Enter");
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn what_is_recorded_later_moves_along_only_where_that_was_asked_for() {
    let stamps = "Down v \"1:00\" Enter Down v \"2:00-3:00\" Enter Up";
    let mut bench = Bench::small((100, 30));
    bench.strike(stamps).strike("v Ctrl+E \"+15\" Enter");
    assert_eq!(recorded(&bench), ["0:00-0:41", "1:15", "2:00-3:00", ""]);
    bench.strike("u > v Ctrl+E \"+15\" Enter");
    assert_eq!(recorded(&bench), ["0:00-0:41", "1:15", "2:15-3:15", ""]);
    bench.strike("l \"-30\" Enter");
    assert_eq!(recorded(&bench), ["0:00-0:41", "1:15", "1:45-2:45", ""], "a shorter plan of a recorded segment");
    bench.strike("u u");
    assert_eq!(recorded(&bench), ["0:00-0:41", "1:00", "2:00-3:00", ""]);
    bench.strike("Home l \"+10\" Enter");
    assert_eq!(recorded(&bench), ["0:00-0:51", "1:10", "2:10-3:10", ""], "its own end moves too");
    bench.strike("u l \"0:01\" Enter l \"+10\" Enter");
    assert_eq!(recorded(&bench), ["0:00-0:22", "0:41", "1:41-2:41", ""]);
    bench.strike("Down Down l \"0:01\" Enter");
    assert!(bench.notice().contains("end before it starts"), "{}", bench.notice());
    assert_eq!(bench.replayed, *bench.lesson());
}

/// Scripts that change the list of segments.
const SCRIPTS: [&str; 14] = [
    "x \"0:10\" Enter",
    "x \"-0:01\" Enter",
    "Esc j",
    "c",
    ">",
    "d",
    "Down",
    "Up",
    "S \"wide\" Esc",
    "v Ctrl+E \"1:00\" Enter Esc",
    "v Ctrl+E \"+7\" Enter Esc",
    "l \"+5\" Enter Esc",
    "Shift+Down",
    "g Space Enter",
];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn undoing_every_change_of_the_segments_returns_the_first_lesson(
        scripts in prop::collection::vec(prop::sample::select(&SCRIPTS[..]), 0..20),
    ) {
        let mut bench = Bench::small((80, 24));
        for script in &scripts {
            bench.strike(script).strike("Esc Esc");
        }
        prop_assert_eq!(&bench.replayed, bench.lesson());
        bench.state.notice = None;
        while bench.notice() != "nothing to undo" {
            bench.strike("u");
        }
        prop_assert_eq!(bench.lesson(), &small_lesson());
    }
}
