//! Planned lengths and recorded times as they are typed.

use fingerpost::lesson::cut_video::VideoVersion;
use fingerpost::plan::chapters::{Basis, chapter_text, chapters};
use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::keys::action::Focus;

use super::bench::{Bench, small_lesson};

fn error(bench: &Bench) -> String {
    match &bench.state.overlay {
        Some(Overlay::Entry(entry)) => entry.error.clone().unwrap_or_default(),
        _ => "the box is closed".to_owned(),
    }
}

#[test]
fn a_bare_number_is_a_length_as_the_prompt_says() {
    let mut bench = Bench::small((80, 24));
    let planned = |bench: &Bench| bench.lesson().segments[0].planned.to_string();
    bench.strike("l \"90\" Enter");
    assert_eq!(planned(&bench), "1:30");
    bench.strike("l \"2\" Enter");
    assert_eq!(planned(&bench), "0:02");
    bench.strike("G Ctrl+U \"700\" Enter");
    assert_eq!(bench.lesson().header.target.unwrap().to_string(), "11:40");
    bench.strike("l Ctrl+U \"2:75\" Enter");
    assert_eq!(error(&bench), "seconds go up to 59: 2:75 would be 3:15");
    bench.strike("Ctrl+U \"2m\" Enter");
    assert_eq!(bench.lesson().segments[0].planned.to_string(), "2:00");
    bench.strike("l \"90s\" Enter l \"+15\" Enter l \"-5\" Enter");
    assert_eq!(bench.lesson().segments[0].planned.to_string(), "1:40");
}

#[test]
fn recorded_times_are_typed_shifted_and_cleared_and_each_is_one_step_of_undo() {
    let mut bench = Bench::small((100, 30));
    let recorded = |bench: &Bench| {
        bench.lesson().segments[1].recorded.map(|r| (r.start.to_string(), r.end.map(|end| end.to_string())))
    };
    let pair = |start: &str, end: Option<&str>| Some((start.to_owned(), end.map(str::to_owned)));
    bench.strike("Down : \"1:23.4\" Enter");
    assert_eq!(recorded(&bench), pair("1:23.4", None));
    bench.strike(": Ctrl+U \"1:23-2:40\" Enter");
    assert_eq!(recorded(&bench), pair("1:23", Some("2:40")));
    let list = bench.pane(Focus::Timeline);
    assert!(list.contains("1:23-2:40"), "{list}");
    bench.strike(": Ctrl+U \"+15\" Enter");
    assert_eq!(recorded(&bench), pair("1:38", Some("2:55")));
    bench.strike(": Ctrl+U \"-5\" Enter");
    assert_eq!(recorded(&bench), pair("1:33", Some("2:50")));
    bench.strike(": Enter");
    assert_eq!(recorded(&bench), pair("1:33", Some("2:50")), "what stands there is taken as it is");
    bench.strike(": Ctrl+U Enter");
    assert_eq!(recorded(&bench), None);
    assert_eq!(bench.replayed, *bench.lesson());
    bench.strike("u u u u u");
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn every_prompt_for_a_time_has_one_rule_and_says_what_it_understood() {
    // The key that asks, what is typed, and what that is taken for; a cut is asked of a segment that is recorded.
    for (keys, typed, words) in [
        ("l", "95", "= 1 min 35 s"),
        ("l", "+15", "= 15 s longer"),
        ("G", "12m", "= 12 min"),
        ("G", "12", "= 12 s"),
        (":", "1:23-160", "= 1 min 23 s to 2 min 40 s"),
        ("X", "-20", "= 20 s before its end"),
        ("e", "10-25", "= 10 s to 25 s"),
        ("V :", "95", "= 1 min 35 s"),
    ] {
        let mut bench = Bench::small((80, 24));
        bench.strike(keys);
        let Some(Overlay::Entry(entry)) = &bench.state.overlay else { panic!("{keys}: {}", bench.screen()) };
        assert!(entry.advice.contains("A number alone is seconds."), "{keys}: {}", entry.advice);
        bench.strike("Ctrl+U").strike(&format!("\"{typed}\""));
        assert!(bench.screen().contains(&format!("│ {words} ")), "{keys} {typed}: {}", bench.screen());
        bench.strike("Ctrl+U \"so\"");
        assert!(!bench.screen().contains("│ = "), "{keys}: {}", bench.screen());
    }
}

#[test]
fn recorded_times_that_are_none_are_refused() {
    let mut bench = Bench::small((100, 30));
    for (text, expected) in [
        ("2:00-1:00", "it would end at 1:00, before it starts at 2:00"),
        ("-5", "nothing is recorded yet that could be shifted"),
        ("1:23-", "after the - comes the end, as in 1:23-2:40"),
    ] {
        bench.strike(&format!("Down : Ctrl+U \"{text}\" Enter"));
        assert_eq!(error(&bench), expected, "{text}");
        bench.strike("Esc Up");
    }
    bench.strike("Home : Ctrl+U \"-5\" Enter");
    assert_eq!(error(&bench), "it starts at 0:00: cannot be 0:05 earlier");
}

#[test]
fn with_a_time_for_every_segment_there_is_a_chapter_list() {
    let mut bench = Bench::small((100, 30));
    bench.strike(": Ctrl+U \"0:00\" Enter Down : \"0:41\" Enter Down : \"2:50\" Enter Down : \"4:30-5:00\" Enter");
    let list = chapters(bench.lesson(), Basis::Recorded(VideoVersion::Cut)).unwrap();
    let text = chapter_text(&list);
    assert!(text.starts_with("0:00 Hello\n0:41 Two shapes\n"), "{text}");
    assert!(text.ends_with("4:30 Goodbye\n"), "{text}");
}

#[test]
fn the_mark_in_the_lane_stands_on_the_selected_segment_however_short_it_is() {
    use ratatui::style::Modifier;
    let mut bench = Bench::small((80, 24)).plain();
    // An hour beside it, so that two seconds are far less than a cell.
    bench.strike("l \"1:00:00\" Enter Down l \"0:02\" Enter");
    let area = bench.state.layout().unwrap().pane(Focus::Timeline).area;
    let buffer = bench.buffer();
    let lane: Vec<_> = (area.left()..area.right()).map(|x| buffer[(x, area.y + 1)].clone()).collect();
    let marked: Vec<usize> = (0..lane.len()).filter(|x| lane[*x].modifier.contains(Modifier::REVERSED)).collect();
    assert_eq!(marked.len(), 1, "one cell for two seconds");
    let line: String = lane.iter().map(|cell| cell.symbol()).collect();
    assert_eq!(&line[marked[0]..=marked[0] + 1], ">|", "the next segment begins after the mark: {line}");
}
