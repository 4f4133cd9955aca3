//! What stands on the screen without being asked for names keys that work where the keys go.

use fingerpost::text::width::width;
use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::keys::action::Focus;
use fingerpost::workbench::keys::keystroke::Keystroke;

use super::bench::{Bench, small_lesson};

/// What the keys do that such texts name.
const VERBS: [&str; 6] = ["fixes", "adds", "begins", "reads", "chooses", "saves"];
const PANES: [(Focus, &str); 5] = [
    (Focus::Timeline, "T"),
    (Focus::Passage, "P"),
    (Focus::Fretboard, "F"),
    (Focus::Readings, "R"),
    (Focus::Library, "L"),
];

/// Returns the keys that texts of a screen name before such a verb, each as they are pressed: `T, then W`.
fn named(screen: &str) -> Vec<Vec<String>> {
    let bare = |word: &str| word.trim_matches(['(', ',', ';', ')']).to_owned();
    let words: Vec<&str> = screen.split_whitespace().collect();
    let verbs = words.iter().enumerate().filter(|(_, word)| VERBS.contains(word));
    let keys = verbs.filter_map(|(at, _)| match words.get(at.checked_sub(3)?..at)? {
        [go, "then", key] => Some(vec![bare(go), bare(key)]),
        [.., key] => Some(vec![bare(key)]),
        [] => None,
    });
    keys.filter(|keys| keys.iter().all(|key| key.parse::<Keystroke>().is_ok())).collect()
}

#[test]
fn every_key_that_a_standing_text_names_works_where_the_keys_go() {
    let mut faulty = small_lesson();
    faulty.segments[0].title = String::new();
    let mut empty = small_lesson();
    (empty.segments, empty.passages, empty.voicings) = (Vec::new(), Vec::new(), Vec::new());
    let mut silent = small_lesson();
    silent.segments.iter_mut().for_each(|segment| segment.passages.clear());
    let mut seen = 0;
    for lesson in [faulty, empty, silent] {
        // In the other voice, or with the nut on the other side, too.
        for ((focus, go), then) in PANES.iter().flat_map(|pane| [(*pane, ""), (*pane, "O")]) {
            let mut bench = Bench::on(lesson.clone(), (200, 50));
            bench.strike(go).strike(then);
            let lines: String = bench.screen().lines().rev().skip(2).collect::<Vec<&str>>().join("\n");
            for keys in named(&lines) {
                let mut here = focus.pane();
                for key in &keys {
                    let action = bench.state.keys.action(here, key.parse().unwrap());
                    assert!(action.is_some(), "{focus:?}: {keys:?}\n{}", bench.screen());
                    if let Some((there, _)) = PANES.iter().find(|(_, go)| go == key).filter(|_| keys.len() > 1) {
                        here = there.pane();
                    }
                }
                seen += 1;
            }
        }
    }
    assert!(seen >= 40, "{seen} keys are named");
}

#[test]
fn the_line_of_hints_shows_techniques_and_how_to_play() {
    for size in [(80, 24), (120, 36), (200, 50)] {
        let mut bench = Bench::small(size);
        bench.strike("Down P");
        let hints = bench.screen().lines().rev().nth(1).unwrap().to_owned();
        for hint in ["0-9 fret", "h hammer", "s slide", "b bend", "Enter ", "F5 play", "Tab ", "? all keys"] {
            assert!(hints.contains(hint), "{hint} is missing at {size:?}\n{hints}");
        }
        for (_, go) in PANES {
            bench.strike(go);
            let hints = bench.screen().lines().rev().nth(1).unwrap().to_owned();
            assert!(hints.contains("F5 play") || (go, size) == ("T", (80, 24)), "{go} at {size:?}\n{hints}");
        }
    }
}

#[test]
fn what_is_wrong_with_a_segment_names_the_way_to_the_key_that_fixes_it() {
    let mut lesson = small_lesson();
    lesson.segments[0].title = String::new();
    for (focus, go) in PANES {
        let mut bench = Bench::on(lesson.clone(), (120, 36));
        bench.strike(go);
        let said = if focus == Focus::Timeline { "(W fixes it)" } else { "(T, then W fixes it)" };
        assert!(bench.pane(Focus::Timeline).contains(said), "{}", bench.screen());
    }
}

#[test]
fn the_tuning_stands_in_one_column_and_the_selected_row_has_it_too() {
    for size in [(200, 50), (240, 60)] {
        let mut lesson = small_lesson();
        let names: Vec<String> = lesson.setups.iter().map(|setup| setup.name.clone()).collect();
        let setups: Vec<_> = lesson.setups.iter().map(|setup| setup.id).collect();
        for (place, segment) in lesson.segments.iter_mut().enumerate() {
            segment.setup = Some(setups[place / 2 % 2]);
        }
        // What is wrong with the selected segment stands behind its tuning.
        lesson.segments[0].title = String::new();
        let mut bench = Bench::on(lesson, size);
        for _ in 0..4 {
            let pane = bench.pane(Focus::Timeline);
            let column = |line: &str| {
                let found = ["retune: ", "to "]
                    .iter()
                    .flat_map(|before| names.iter().map(move |name| format!("{before}{name}")));
                let all = found
                    .chain(names.iter().cloned())
                    .chain(["capo on fret 2", "capo off"].map(str::to_owned))
                    .filter_map(|text| line.find(&text));
                all.min().map(|at| width(&line[..at]))
            };
            let rows: Vec<Option<usize>> = pane.lines().skip(3).take(4).map(column).collect();
            assert!(rows.iter().all(|at| *at == rows[0] && at.is_some()), "{rows:?}\n{pane}");
            bench.strike("Down");
        }
    }
}

#[test]
fn at_80_by_24_a_title_that_is_cut_stands_whole_under_the_list() {
    let mut lesson = small_lesson();
    lesson.segments[1].title =
        "The turnaround, slowly, then with the thumb alone, then as it goes in the song".to_owned();
    let mut bench = Bench::on(lesson, (80, 24));
    bench.strike("Down");
    let words = |text: &str| text.split_whitespace().collect::<Vec<&str>>().join(" ");
    let pane = bench.pane(Focus::Timeline);
    assert!(words(&pane).contains("with the thumb alone, then as it goes in the song"), "{pane}");
}

#[test]
fn a_technique_that_cannot_be_played_here_is_refused_before_anything_is_asked() {
    for key in ["b", "&", "v", "m", "g", "+", "<", "h", "s", "t", "k"] {
        let mut bench = Bench::small((100, 30));
        bench.strike(&format!("Down P Ctrl+Right Ctrl+Right End Right {key}"));
        assert!(bench.state.overlay.is_none(), "{key}: {}", bench.screen());
        assert!(!bench.notice().is_empty(), "{key} says why");
    }
    // What there is a note for is asked about.
    let mut bench = Bench::small((100, 30));
    bench.strike("Down P 7 b");
    assert!(matches!(bench.state.overlay, Some(Overlay::Entry(_))), "{}", bench.screen());
    // An open string cannot be bent; who wants it written all the same presses again.
    bench.strike("Esc 0 b");
    assert!(bench.state.overlay.is_none() && bench.notice().contains("again"), "{}", bench.notice());
    bench.strike("b");
    assert!(matches!(bench.state.overlay, Some(Overlay::Entry(_))), "{}", bench.screen());
}

#[test]
fn a_fret_beyond_the_neck_is_said_to_be() {
    let mut bench = Bench::small((100, 30));
    bench.strike("F 3 0");
    assert!(bench.notice().starts_with("no fret 30: string"), "{}", bench.notice());
    bench.strike("F Left 9 9");
    assert!(!bench.notice().contains("no fret 99"), "nobody means fret 99: {}", bench.notice());
    bench.strike("T Down P 3 0");
    assert!(bench.notice().starts_with("no fret 30: string"), "{}", bench.notice());
}

#[test]
fn talking_points_name_each_key_once() {
    for size in [(80, 24), (120, 36), (200, 50)] {
        let mut bench = Bench::small(size);
        bench.strike("p");
        let screen = bench.screen();
        for words in ["Ctrl+S OK", "Esc cancel"] {
            assert_eq!(screen.matches(words).count(), 1, "{words}\n{screen}");
        }
    }
}

#[test]
fn free_lines_under_the_frets_say_what_the_labels_leave_out() {
    let mut bench = Bench::small((160, 60));
    bench.strike("F s \"x32010\" Enter");
    let pane = bench.pane(Focus::Fretboard);
    assert!(pane.contains("degrees  -   1   3   5   1   3"), "{pane}");
    assert!(!pane.contains("notes    "), "those stand on the strings: {pane}");
    bench.strike("z");
    let pane = bench.pane(Focus::Fretboard);
    assert!(pane.contains("notes    -   C   E   G   C   E") && !pane.contains("degrees  "), "{pane}");
}

#[test]
fn where_there_is_no_music_the_hints_name_only_keys_that_do_something() {
    let mut silent = small_lesson();
    silent.segments.iter_mut().for_each(|segment| segment.passages.clear());
    for size in [(80, 24), (200, 50)] {
        let mut bench = Bench::on(silent.clone(), size);
        bench.strike("P");
        let screen = bench.screen();
        let hints = screen.lines().nth(usize::from(size.1) - 2).unwrap().to_owned();
        assert!(hints.contains("a new passage") && hints.contains("A read tab"), "{hints}");
        assert!(hints.contains("T t choose one"), "{hints}");
        assert!(!hints.contains("rest") && !hints.contains("technique") && !hints.contains("fret"), "{hints}");
        bench.strike("T t");
        assert!(matches!(bench.state.overlay, Some(Overlay::Marks(_) | Overlay::Choice(_))), "{}", bench.screen());
    }
    let mut empty = small_lesson();
    (empty.segments, empty.passages, empty.voicings) = (Vec::new(), Vec::new(), Vec::new());
    let mut bench = Bench::on(empty, (80, 24));
    bench.strike("T");
    let screen = bench.screen();
    let hints = screen.lines().nth(22).unwrap();
    assert!(!hints.contains("title") && !hints.contains("start time"), "{hints}");
    bench.strike("P");
    assert!(!bench.screen().contains("choose one"), "{}", bench.screen());
}
