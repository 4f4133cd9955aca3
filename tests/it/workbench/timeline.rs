//! The timeline beyond plain lists: cutting, copying, notes, links, later times that move along.

use fingerpost::lesson::cut_video::VideoVersion;
use fingerpost::lesson::document::{Recorded, Segment, SegmentKind, Setup, VideoCut};
use fingerpost::lesson::id::{SegmentId, SetupId, VoicingId};
use fingerpost::lesson::time::{VideoLength, VideoTime};
use fingerpost::plan::chapters::{Basis, chapter_text, chapters};
use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::keys::action::Focus;
use fingerpost::workbench::messages::effect::{Effect, TerminalEffect};
use fingerpost::workbench::messages::message::{Message, Mouse};
use fingerpost::workbench::typing::time::write_cuts;
use proptest::prelude::*;
use ratatui::layout::Position;

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
fn the_chapter_list_is_copied_as_the_cut_video_has_it() {
    let mut lesson = small_lesson();
    let copied = |lesson: &fingerpost::lesson::document::Lesson| {
        let mut bench = Bench::on(lesson.clone(), (100, 30));
        bench.wanted.clear();
        bench.strike("Ctrl+K");
        let text = bench.wanted.pop().map(|effect| match effect {
            Effect::Terminal(TerminalEffect::CopyOut(text)) => text,
            other => panic!("{other:?}"),
        });
        (text, bench.screen())
    };
    let (text, screen) = copied(&lesson);
    assert_eq!(text, None, "only the first segment is recorded");
    assert!(screen.contains("No chapter list yet: segments 2 to 4 have no start time"), "{screen}");
    assert!(screen.contains("`:` in the timeline sets a start time, V records it"), "{screen}");
    let mut bench = Bench::on(lesson.clone(), (80, 24));
    bench.wanted.clear();
    bench.strike("Ctrl+K Enter");
    let planned = chapter_text(&chapters(&lesson, Basis::Planned).unwrap());
    assert_eq!(bench.wanted, [Effect::Terminal(TerminalEffect::CopyOut(planned))]);
    bench.strike("Ctrl+K Esc");
    assert_eq!(bench.wanted.len(), 1);
    for segment in &mut lesson.segments {
        segment.recorded = None;
    }
    let (text, screen) = copied(&lesson);
    assert_eq!(text, Some(chapter_text(&chapters(&lesson, Basis::Planned).unwrap())));
    assert!(screen.contains("planned times"), "{screen}");
    for (segment, start) in lesson.segments.iter_mut().zip([0, 41, 100, 200]) {
        let start = VideoTime(start * 1000);
        segment.recorded = Some(fingerpost::lesson::document::Recorded { start, end: None });
    }
    lesson.segments[1].cuts = vec![VideoCut { from: VideoTime(50_000), to: VideoTime(60_000) }];
    let (text, _) = copied(&lesson);
    let text = text.unwrap();
    // A line without a time says which video it is of, where there are two.
    let list = text.strip_prefix("Chapters (cut video)\n").unwrap();
    assert_eq!(list, chapter_text(&chapters(&lesson, Basis::Recorded(VideoVersion::Cut)).unwrap()));
    assert!(list.starts_with("0:00 Hello\n0:41 ") && text.contains("\n1:30 "), "{text}");
}

#[test]
fn a_chapter_list_that_video_hosts_refuse_is_copied_with_a_word_about_it() {
    let mut lesson = small_lesson();
    let copied = |lesson: &fingerpost::lesson::document::Lesson| {
        let mut bench = Bench::on(lesson.clone(), (80, 24));
        bench.strike("Ctrl+K");
        assert!(matches!(bench.wanted.last(), Some(Effect::Terminal(TerminalEffect::CopyOut(_)))));
        bench.notice().to_owned()
    };
    let record = |lesson: &mut fingerpost::lesson::document::Lesson, starts: [u32; 4]| {
        for (segment, start) in lesson.segments.iter_mut().zip(starts) {
            segment.recorded = Some(fingerpost::lesson::document::Recorded { start: VideoTime(start), end: None });
        }
    };
    record(&mut lesson, [0, 41_000, 100_000, 200_000]);
    assert!(!copied(&lesson).contains("video hosts"), "{}", copied(&lesson));
    record(&mut lesson, [5_000, 41_000, 100_000, 104_000]);
    assert_eq!(
        copied(&lesson),
        "4 chapters copied (times of the cut video), but the first chapter starts at 0:05; a list that does not start at \
         0:00 is ignored by video hosts, and 1 more problem; w lists the fixes"
    );
    record(&mut lesson, [0, 41_000, 100_000, 104_000]);
    assert!(copied(&lesson).contains("but chapter 3: a chapter of 0:04, and video hosts"), "{}", copied(&lesson));
    // Several of one sort are one problem.
    record(&mut lesson, [0, 4_000, 7_000, 9_000]);
    let said = copied(&lesson);
    assert!(said.contains("but 3 chapters are shorter than the 0:10") && said.contains(": chapters 1-3; "), "{said}");
    // Nothing is recorded: the plan has two chapters.
    lesson.segments.truncate(2);
    lesson.segments.iter_mut().for_each(|segment| segment.recorded = None);
    assert!(copied(&lesson).contains("but 2 chapters, and video hosts"), "{}", copied(&lesson));
}

#[test]
fn a_segment_is_split_and_joined_and_each_is_one_step_of_undo() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down X \"0:40\" Enter");
    assert!(
        bench.segments().contains("  Two shapes 0:40 walkthrough\n> Two shapes, part 2 1:20 walkthrough"),
        "{}",
        bench.segments()
    );
    bench.strike("Up j");
    assert_eq!(bench.lesson(), &small_lesson(), "joined again it is what it was");
    bench.strike("X \"-0:20\" Enter");
    assert!(bench.segments().contains("Two shapes 1:40"), "counted from its end: {}", bench.segments());
    bench.strike("u u u");
    assert_eq!(bench.lesson(), &small_lesson());
    for text in ["2:00", "0:00", "-2:00", "soon", "120"] {
        bench.strike(&format!("X \"{text}\" Enter"));
        assert!(!error(&bench).is_empty(), "{text}");
        bench.strike("Esc");
    }
    bench.strike("End j");
    assert!(bench.notice().contains("no segment after this one"), "{}", bench.notice());
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn segments_are_joined_as_they_were_recorded() {
    let recorded = |times: [(u32, u32); 3]| {
        let mut lesson = small_lesson();
        for (segment, (start, end)) in lesson.segments.iter_mut().zip(times) {
            let [start, end] = [start, end].map(|seconds| VideoTime(seconds * 1000));
            segment.recorded = Some(Recorded { start, end: Some(end) });
        }
        Bench::on(lesson, (100, 30))
    };
    // The third of the list was recorded between the first two.
    let mut bench = recorded([(0, 60), (120, 180), (60, 120)]);
    let before = bench.lesson().clone();
    bench.strike("Home j");
    let refusal = "not changed: \"日本 capo\" was recorded between the two, at 1:00: put the segments in the order of the video first";
    assert_eq!((bench.notice(), bench.lesson()), (refusal, &before));
    // What lies between two neighbours goes to both.
    let mut bench = recorded([(0, 60), (90, 150), (150, 200)]);
    bench.strike("Home j");
    assert_eq!(bench.notice(), "joined with \"Two shapes\"; 1:00 to 1:30 between them is part of it now; u undoes");
    let joined = bench.lesson().segments[0].recorded;
    assert_eq!(joined, Some(Recorded { start: VideoTime::START, end: Some(VideoTime(150_000)) }));
    // In the video the second is the first, and runs longer.
    let mut bench = recorded([(30, 60), (0, 90), (90, 120)]);
    bench.strike("Home j");
    let joined = bench.lesson().segments[0].recorded;
    assert_eq!(joined, Some(Recorded { start: VideoTime::START, end: Some(VideoTime(90_000)) }));
}

#[test]
fn a_segment_is_moved_to_a_place_by_its_number_and_what_is_recorded_stays() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down : \"1:00-2:30\" Enter");
    let heading = |bench: &mut Bench| bench.screen().lines().find(|line| line.contains("Timeline")).unwrap().to_owned();
    let before = heading(&mut bench);
    assert!(before.contains("recorded 2:11"), "{before}");
    bench.strike("J \"1\" Enter");
    assert!(bench.segments().starts_with("> Two shapes"), "{}", bench.segments());
    assert_eq!(bench.notice(), "moved to place 1; recorded times stay");
    assert_eq!(recorded(&bench), ["1:00-2:30", "0:00-0:41", "", ""]);
    assert_eq!(heading(&mut bench).replace(" ●", ""), before.replace(" ●", ""));
    bench.strike("J \"4\" Enter");
    assert_eq!(bench.notice(), "moved to place 4; every segment keeps its tuning");
    assert_eq!(bench.desk().timeline.place(bench.lesson()), 3);
    for text in ["", "0", "5", "last", "-1"] {
        bench.strike(&format!("J \"{text}\" Enter"));
        assert!(error(&bench).ends_with("is not a place: type a number from 1 to 4"), "{text}: {}", error(&bench));
        bench.strike("Esc");
    }
    bench.strike("u u u");
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn what_comes_later_in_the_video_moves_along_wherever_it_stands_in_the_list() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down : \"1:00-2:30\" Enter Down : \"3:00\" Enter Home J \"3\" Enter");
    assert_eq!(recorded(&bench), ["1:00-2:30", "3:00", "0:00-0:41", ""]);
    bench.strike("> Home : \"+10\" Enter");
    assert_eq!(recorded(&bench), ["1:10-2:40", "3:10", "0:00-0:41", ""], "what is earlier in the video stays");
    bench.strike(": \"1:00-2:30\" Enter Down Down : \"0:10-0:41\" Enter");
    assert_eq!(recorded(&bench), ["1:10-2:40", "3:10", "0:10-0:41", ""], "what is later in the video moves along");
}

#[test]
fn what_is_cut_out_is_seen_changed_and_deleted_and_goes_with_the_recorded_times() {
    let mut bench = Bench::small((120, 30));
    let cuts = |bench: &Bench| write_cuts(&bench.lesson().segments[0].cuts);
    bench.strike("e \"0:10-0:20\" Enter");
    assert_eq!(cuts(&bench), "0:10-0:20");
    assert!(bench.screen().contains("recorded 0:31   0:10 cut out"), "{}", bench.screen());
    assert!(bench.screen().contains("cut out 0:10-0:20"), "{}", bench.screen());
    assert!(bench.screen().contains("uncut 0:00-0:41"), "{}", bench.screen());
    bench.strike("|");
    assert!(bench.screen().contains(" uncut at uncut to "), "{}", bench.screen());
    bench.strike("|");
    for (typed, problem) in [
        ("0:30-0:50", "the segment is recorded until 0:41: 0:30 to 0:50 ends after that"),
        ("0:20", "after 0:20 comes where the video goes on, as in 0:20-0:35"),
    ] {
        bench.strike(&format!("e Ctrl+U \"{typed}\" Enter"));
        assert_eq!(error(&bench), problem);
        bench.strike("Esc");
    }
    bench.strike(": \"+30\" Enter");
    assert_eq!(cuts(&bench), "0:40-0:50", "a segment that is shifted takes them along");
    bench.strike(": \"0:45-1:11\" Enter");
    assert_eq!(cuts(&bench), "0:45-0:50", "and what is not recorded any more cannot be cut out");
    bench.strike(": Ctrl+U Enter");
    assert_eq!(cuts(&bench), "");
    bench.strike("e");
    assert!(bench.notice().contains("nothing to cut out"), "{}", bench.notice());
    bench.strike("u e Ctrl+U Enter");
    assert_eq!((cuts(&bench), bench.notice()), (String::new(), "nothing is cut out"));
    bench.strike("u u u u");
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

/// What is said of a recording goes neither to a copy nor, joined, to a part that is less far.
#[test]
fn how_far_a_segment_is_is_said_shown_and_taken_back() {
    let mut bench = Bench::small((100, 30));
    let progress =
        |bench: &Bench| bench.lesson().segments.iter().map(|known| known.progress.word()).collect::<Vec<_>>();
    bench.strike("Home y Down Down Down Down Down Enter");
    assert_eq!(bench.notice(), "progress: final");
    assert!(bench.pane(Focus::Timeline).contains("✓Hello"), "{}", bench.pane(Focus::Timeline));
    bench.strike("Down y Down Enter");
    assert_eq!(progress(&bench)[..3], ["final", "idea", "automatic"]);
    bench.strike("|");
    let shown = bench.pane(Focus::Timeline);
    let row = |title| shown.lines().find(|line| line.contains(title)).unwrap();
    assert!(row("Hello").contains("final") && row("Two shapes").contains("idea"), "{shown}");
    bench.strike("Home c j");
    assert_eq!(progress(&bench)[..2], ["final", "idea"], "a copy is practised, with an idea it is an idea");
    bench.strike("u u u u");
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn shot_and_tone_notes_are_written_line_by_line() {
    let mut bench = Bench::small((100, 30));
    bench.strike("' \"Close on the left hand\" Enter \"Lamp from above\" Ctrl+S ; \"Neck pickup\" Ctrl+S");
    let segment = &bench.lesson().segments[0];
    assert_eq!(
        (segment.shot.as_str(), segment.tone.as_str()),
        ("Close on the left hand\nLamp from above", "Neck pickup")
    );
    assert_eq!(bench.notice(), "tone notes changed; u undoes");
    bench.strike("u u");
    assert_eq!(bench.lesson(), &small_lesson());
    bench.strike("' Esc");
    assert!(bench.desk().lesson.is_saved(), "nothing written is no change");
    let mut locked = Bench::read_only((80, 24));
    locked.strike("'");
    assert!(matches!(locked.state.overlay, Some(Overlay::List(_))), "they can be read");
}

#[test]
fn the_voicings_of_a_segment_are_chosen_line_by_line() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down v Space Down Down Space Enter");
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
    bench.strike("G Ctrl+U \"+30\" Enter");
    assert_eq!(bench.lesson().header.target.map(|target| target.to_string()).as_deref(), Some("5:30"));
    bench.strike("G Ctrl+U Enter");
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn what_is_recorded_later_moves_along_only_where_that_was_asked_for() {
    let stamps = "Down : \"1:00\" Enter Down : \"2:00-3:00\" Enter Up";
    let mut bench = Bench::small((100, 30));
    bench.strike(stamps).strike(": Ctrl+U \"+15\" Enter");
    assert_eq!(recorded(&bench), ["0:00-0:41", "1:15", "2:00-3:00", ""]);
    bench.strike("u > : Ctrl+U \"+15\" Enter");
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

/// The column of the `number`th border in a lane of the timeline, and its line; both of the screen.
fn border(bench: &Bench, lane: u16, number: usize) -> Position {
    let area = bench.state.layout().unwrap().pane(Focus::Timeline).area;
    let buffer = bench.buffer();
    let y = area.y + lane;
    let borders = (area.left() + 11..area.right()).filter(|x| ["│", "▸"].contains(&buffer[(*x, y)].symbol()));
    Position { x: borders.into_iter().nth(number).unwrap(), y }
}

fn drag(bench: &mut Bench, from: Position, by: i16) {
    bench.send(Message::Mouse(Mouse::Click(from)));
    for step in 1..=by.abs() {
        let x = from.x.checked_add_signed(step * by.signum()).unwrap();
        bench.send(Message::Mouse(Mouse::Drag(Position { x, ..from })));
    }
}

fn release(bench: &mut Bench) {
    bench.send(Message::Mouse(Mouse::Release(Position { x: 0, y: 0 })));
}

#[test]
fn a_border_dragged_in_the_plan_changes_the_length_when_it_is_let_go() {
    let mut bench = Bench::small((100, 30));
    let at = border(&bench, 1, 1);
    drag(&mut bench, at, 5);
    assert_eq!(bench.lesson(), &small_lesson(), "nothing changes while it is held");
    assert!(bench.pane(Focus::Timeline).contains("Hello: 0:45 long"), "{}", bench.pane(Focus::Timeline));
    release(&mut bench);
    // 88 columns for 4:20 are just under three seconds each, in whole seconds.
    assert_eq!(bench.lesson().segments[0].planned.to_string(), "0:45");
    assert_eq!(bench.replayed, *bench.lesson());
    bench.strike("u");
    assert_eq!(bench.lesson(), &small_lesson(), "one step of undo");
    let at = border(&bench, 1, 1);
    drag(&mut bench, at, -15);
    release(&mut bench);
    assert_eq!(bench.lesson().segments[0].planned.to_string(), "0:01", "as short as can be, but not gone");
}

#[test]
fn a_border_that_is_only_pressed_selects_and_changes_nothing() {
    let mut bench = Bench::small((100, 30));
    let at = border(&bench, 1, 2);
    drag(&mut bench, at, 0);
    release(&mut bench);
    assert_eq!(bench.lesson(), &small_lesson());
    assert_eq!(bench.desk().timeline.place(bench.lesson()), 2);
    // A drag from anywhere else has hold of nothing.
    drag(&mut bench, Position { x: at.x + 3, ..at }, 6);
    release(&mut bench);
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn a_border_dragged_in_the_plan_leaves_what_is_recorded_later_unless_asked_to_move_it() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down : \"1:00\" Enter Down : \"2:00-3:00\" Enter Home");
    let before = recorded(&bench);
    assert_eq!(before, ["0:00-0:41", "1:00", "2:00-3:00", ""]);
    let at = border(&bench, 1, 1);
    drag(&mut bench, at, 4);
    release(&mut bench);
    assert_eq!(bench.lesson().segments[0].planned.to_string(), "0:42");
    assert_eq!(recorded(&bench), before, "{}", bench.notice());
    bench.strike("u >");
    drag(&mut bench, at, 4);
    release(&mut bench);
    assert_eq!(bench.lesson().segments[0].planned.to_string(), "0:42");
    assert_eq!(recorded(&bench), ["0:00-0:53", "1:12", "2:12-3:12", ""], "{}", bench.notice());
}

#[test]
fn a_border_dragged_in_the_recording_moves_its_start_and_what_comes_later_if_asked() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down : \"1:00\" Enter Down : \"2:00-3:00\" Enter");
    // The first segment has two borders, its end is no start.
    let at = border(&bench, 2, 2);
    drag(&mut bench, at, 4);
    release(&mut bench);
    assert_eq!(recorded(&bench), ["0:00-0:41", "1:12", "2:00-3:00", ""]);
    bench.strike("u >");
    drag(&mut bench, at, 4);
    release(&mut bench);
    assert_eq!(recorded(&bench), ["0:00-0:41", "1:12", "2:12-3:12", ""]);
    let mut locked = Bench::read_only((80, 24));
    let at = border(&locked, 1, 1);
    drag(&mut locked, at, 4);
    release(&mut locked);
    assert!(locked.notice().contains("for reading only"), "{}", locked.notice());
    assert_eq!(locked.lesson(), &small_lesson());
}

#[test]
fn the_lanes_zoom_in_on_the_selected_segment_and_out_to_the_whole() {
    let mut bench = Bench::small((80, 24));
    bench.strike("Down Down Ctrl+Up Ctrl+Up");
    insta::assert_snapshot!(bench.pane(Focus::Timeline).lines().take(3).collect::<Vec<_>>().join("\n"), @r"
    ▸Timeline ─────── 2:30 to 3:35 shown   4 segments   planned 4:20   recorded 0:41
     planned   ▸?日本 capo                                                         │
     recorded
    ");
    bench.strike("End");
    assert!(bench.pane(Focus::Timeline).contains("▸Goodbye"), "{}", bench.pane(Focus::Timeline));
    bench.strike("Ctrl+Down Ctrl+Down");
    let whole = Bench::small((80, 24)).strike("End").pane(Focus::Timeline);
    assert_eq!(bench.pane(Focus::Timeline), whole);
    bench.strike("Ctrl+Down");
    assert_eq!(bench.notice(), "it does not zoom further");
    for _ in 0..40 {
        bench.strike("Ctrl+Up");
        bench.buffer();
    }
    assert_eq!(bench.notice(), "it does not zoom further");
}

#[test]
fn the_columns_show_every_time_side_by_side() {
    for size in [(80, 24), (100, 30), (160, 48)] {
        let mut bench = Bench::small(size);
        bench.strike("Down : \"0:41\" Enter G \"5:00\" Enter |");
        let name = format!("timeline_columns_{}x{}", size.0, size.1);
        insta::assert_snapshot!(name, bench.styled_pane(Focus::Timeline));
    }
    let mut bench = Bench::small((80, 24));
    bench.strike("|");
    let y = bench.screen().lines().position(|line| line.contains("Two shapes")).unwrap();
    bench.send(Message::Mouse(Mouse::Click(Position { x: 20, y: u16::try_from(y).unwrap() })));
    assert_eq!(bench.desk().timeline.place(bench.lesson()), 1);
}

#[test]
fn what_is_wrong_is_marked_where_it_is_and_one_key_mends_it() {
    let mut lesson = small_lesson();
    lesson.segments[1].title.clear();
    lesson.segments[3].planned.0 = 0;
    let mut bench = Bench::on(lesson.clone(), (100, 30));
    bench.strike("Down");
    let pane = bench.pane(Focus::Timeline);
    assert!(pane.contains("▸?  2    0:30    2:00"), "{pane}");
    assert!(pane.contains("this segment has no title (W fixes it)"), "{pane}");
    bench.strike("W");
    assert_eq!(bench.notice(), "the title is now \"Turnaround\"; u undoes");
    assert_eq!(bench.lesson().segments[1].title, "Turnaround");
    bench.strike("W");
    assert_eq!(bench.notice(), "no problems in this segment");
    bench.strike("Down W");
    let third = bench.lesson().segments[3].title.clone();
    assert_eq!(bench.notice(), format!("a retuning segment of 0:10 now stands before \"{third}\"; u undoes"));
    assert_eq!(bench.lesson().segments[2].kind, fingerpost::lesson::document::SegmentKind::Retuning);
    bench.strike("u u");
    assert_eq!(bench.lesson(), &lesson);
}

#[test]
fn a_box_taken_as_it_stands_changes_nothing_and_says_so() {
    let mut bench = Bench::on(small_lesson(), (100, 30));
    for keys in [
        "Enter Enter",
        "Ctrl+T Enter",
        "l \"0:30\" Enter",
        "l \"+0\" Enter",
        ": Enter",
        "G Enter",
        "k Enter",
        "y Enter",
        "E Enter",
        "Down n Enter Enter",
    ] {
        bench.strike(keys);
        assert!(bench.state.overlay.is_none(), "{keys}: {}", bench.screen());
        let notice = bench.notice();
        assert!(notice.is_empty() || notice.ends_with("no change"), "{keys}: {notice}");
    }
    assert_eq!(bench.desk().lesson.revision(), 0);
}

#[test]
fn what_somebody_must_decide_is_not_mended() {
    let mut lesson = small_lesson();
    lesson.segments[0].planned.0 = 5_000;
    let mut bench = Bench::on(lesson.clone(), (100, 30));
    bench.strike("W");
    assert!(bench.notice().ends_with("w, then Enter goes there"), "{}", bench.notice());
    assert_eq!(bench.lesson(), &lesson);
    let mut locked = Bench::read_only((80, 24));
    locked.strike("Down Down W");
    assert!(locked.notice().contains("for reading only"), "{}", locked.notice());
}

#[test]
fn the_list_of_what_is_wrong_mends_a_line_and_stays_open() {
    let mut lesson = small_lesson();
    lesson.segments[0].title.clear();
    let mut bench = Bench::on(lesson.clone(), (100, 30));
    bench.strike("w");
    let lines = |bench: &Bench| match &bench.state.overlay {
        Some(Overlay::List(list)) => list.lines.len(),
        _ => panic!("no list"),
    };
    let before = lines(&bench);
    assert!(bench.screen().contains("can be fixed here: call it"), "{}", bench.screen());
    bench.strike("Down W");
    assert_eq!((lines(&bench), bench.lesson().segments[0].title.as_str()), (before - 1, "Welcome"));
    bench.strike("Up W");
    assert!(bench.notice().contains("no automatic fix"), "{}", bench.notice());
    bench.strike("Esc u");
    assert_eq!(bench.lesson(), &lesson);
}

/// Scripts that change the list of segments.
const SCRIPTS: [&str; 14] = [
    "X \"0:10\" Enter",
    "X \"-0:01\" Enter",
    "Esc j",
    "c",
    ">",
    "Delete",
    "Down",
    "Up",
    "' \"wide\" Ctrl+S",
    ": Ctrl+U \"1:00\" Enter Esc",
    ": Ctrl+U \"+7\" Enter Esc",
    "l \"+5\" Enter Esc",
    "Shift+Down",
    "v Space Enter",
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
        bench.state.said.notice = None;
        while bench.notice() != "nothing to undo" {
            bench.strike("u");
        }
        prop_assert_eq!(bench.lesson(), &small_lesson());
    }
}

#[test]
fn the_end_of_a_recording_is_dragged_where_nothing_starts() {
    let mut bench = Bench::small((100, 30));
    // What is recorded of the first segment ends at 0:41, and nothing follows it.
    let at = border(&bench, 2, 1);
    drag(&mut bench, at, 5);
    assert!(bench.pane(Focus::Timeline).contains("Hello: ends at 0:56"), "{}", bench.pane(Focus::Timeline));
    release(&mut bench);
    assert_eq!(recorded(&bench)[0], "0:00-0:56");
    let at = border(&bench, 2, 1);
    drag(&mut bench, at, -25);
    release(&mut bench);
    assert_eq!(recorded(&bench)[0], "0:00-0:01", "past its beginning it is as short as can be");
    assert_eq!(bench.replayed, *bench.lesson());
    bench.strike("u u");
    assert_eq!(bench.lesson(), &small_lesson());
}

/// The row of a segment in the list of the timeline.
fn row(bench: &Bench, number: usize) -> String {
    let pane = bench.pane(Focus::Timeline);
    let begins = |line: &&str| line.get(3..).is_some_and(|line| line.trim_start().starts_with(&format!("{number} ")));
    pane.lines().find(begins).unwrap_or_else(|| panic!("no {number}\n{pane}")).to_owned()
}

#[test]
fn a_row_says_which_tuning_it_is_in_and_which_one_comes_now() {
    let mut lesson = small_lesson();
    lesson.setups[1].name = "double drop D".to_owned();
    lesson.setups[1].tuning = "D2 A2 D3 G3 B3 D4".parse().unwrap();
    lesson.segments[2].title = "A title that is long enough to be cut".to_owned();
    let mut bench = Bench::on(lesson, (200, 50));
    assert!(row(&bench, 2).contains("   standard   "), "it goes on in the tuning of the first\n{}", bench.screen());
    assert!(row(&bench, 3).contains("retune: double drop D"), "{}", bench.screen());
    assert!(row(&bench, 4).contains("   double drop D"), "{}", bench.screen());
    bench.resize(80, 24);
    assert!(row(&bench, 3).contains("retune: doubl"), "{}", bench.screen());
    // A segment for it takes the word of its kind, and the one behind it begins in that tuning.
    let mut lesson = bench.lesson().clone();
    let retuning = Segment::new(SegmentId(90), SegmentKind::Retuning, "Drop", VideoLength::from_seconds(30));
    lesson.segments.insert(2, retuning);
    let bench = Bench::on(lesson, (200, 50));
    assert!(row(&bench, 3).contains("to double drop D"), "{}", bench.screen());
    assert!(row(&bench, 4).contains("double drop D") && !row(&bench, 4).contains("retune"), "{}", bench.screen());
}

#[test]
fn a_row_whose_strings_stay_as_they_are_does_not_say_retune() {
    let mut lesson = small_lesson();
    assert!(row(&Bench::on(lesson.clone(), (200, 50)), 3).contains("capo on fret 2"));
    lesson.segments[0].setup = lesson.segments[2].setup;
    lesson.segments[2].setup = Some(lesson.setups[0].id);
    assert!(row(&Bench::on(lesson.clone(), (200, 50)), 3).contains("capo off"));
    // Another tone alone is no matter for the tuning head.
    lesson.setups[1] = Setup { tone: "bridge pickup".into(), id: lesson.setups[1].id, ..lesson.setups[0].clone() };
    let row = row(&Bench::on(lesson.clone(), (200, 50)), 3);
    assert!(row.contains(&lesson.setups[0].name) && !row.contains("retune"), "{row}");
}

#[test]
fn moving_a_segment_says_where_a_retuning_leads_then() {
    let mut lesson = small_lesson();
    let retuning = Segment::new(SegmentId(90), SegmentKind::Retuning, "Hands", VideoLength::from_seconds(30));
    lesson.segments.insert(1, retuning);
    let mut bench = Bench::on(lesson, (120, 36));
    bench.strike("Down Down Down J \"3\" Enter");
    assert_eq!(bench.notice(), "moved to place 3; what is played keeps its tuning; \"Hands\" now goes to capo 2");
    assert!(row(&bench, 2).contains("to capo 2"), "{}", bench.screen());
    bench.strike("J \"4\" Enter");
    assert!(bench.notice().ends_with("\"Hands\" now changes no tuning"), "{}", bench.notice());
}

#[test]
fn a_stretch_that_is_cut_out_is_seen_in_the_lane_of_the_recording() {
    let mut lesson = small_lesson();
    let before = Bench::on(lesson.clone(), (120, 36)).pane(Focus::Timeline).lines().nth(2).unwrap().to_owned();
    assert!(!before.contains('/'), "{before}");
    lesson.segments[0].cuts = vec![VideoCut { from: VideoTime(10_000), to: VideoTime(20_000) }];
    let bench = Bench::on(lesson, (120, 36));
    let lane = bench.pane(Focus::Timeline).lines().nth(2).unwrap().to_owned();
    // Ten of 260 seconds of plan in 108 columns.
    assert_eq!(lane.matches('/').count(), 4, "{lane}");
    assert!(lane.contains("Hello"), "the title stands beside it: {lane}");
}
