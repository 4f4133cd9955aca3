//! Each pane and each view as it is drawn on screens of three sizes, full and empty, with how it is styled. Read a
//! changed snapshot before accepting it.

use fingerpost::store::demos::DEMOS;
use fingerpost::workbench::keys::action::Focus;
use fingerpost::workbench::panes::start::pane::StartPane;
use ratatui::style::Color;

use super::bench::Bench;

const SIZES: [(u16, u16); 3] = [(80, 24), (100, 30), (160, 48)];

/// Draws the pane in focus on each size, with the second segment selected, after more keys.
fn check(name: &str, focus: Focus, script: &str) {
    for (width, height) in SIZES {
        let mut bench = Bench::small((width, height));
        bench.strike("Down");
        bench.strike(script);
        insta::assert_snapshot!(format!("{name}_{width}x{height}"), bench.styled_pane(focus));
        is_plain_where_nothing_else_can_be_shown(bench);
    }
}

/// Draws the whole screen of each size after keys, with the second segment selected.
fn check_screen(name: &str, script: &str) {
    for (width, height) in SIZES {
        let mut bench = Bench::small((width, height));
        bench.strike("Down");
        bench.strike(script);
        insta::assert_snapshot!(format!("{name}_{width}x{height}"), bench.styled_screen());
        is_plain_where_nothing_else_can_be_shown(bench);
    }
}

/// Without UTF-8 and colours the same screen is ASCII in the terminal's own two colours.
#[track_caller]
fn is_plain_where_nothing_else_can_be_shown(bench: Bench) {
    let buffer = bench.plain().buffer();
    for cell in buffer.content() {
        assert!(cell.symbol().is_ascii(), "{:?}", cell.symbol());
        assert_eq!((cell.fg, cell.bg), (Color::Reset, Color::Reset));
    }
}

#[test]
fn timeline() {
    check("timeline", Focus::Timeline, "");
}

#[test]
fn passage() {
    check("passage", Focus::Passage, "P");
}

#[test]
fn fretboard() {
    check("fretboard", Focus::Fretboard, "F Ctrl+End d");
}

#[test]
fn readings() {
    check("readings", Focus::Readings, "F s \"x02?010\" Enter R Down");
}

#[test]
fn library() {
    check("library", Focus::Library, "L f \"s\"");
}

#[test]
fn library_grids() {
    check("library_grids", Focus::Library, "L z");
}

#[test]
fn views_and_boxes() {
    for (name, script) in [
        ("handout_preview", "H"),
        ("action_search", "Ctrl+F \"seg\""),
        ("help", "?"),
        ("typing_a_line", "Enter"),
        ("choosing", "k"),
        ("talking_points", "p"),
        ("problems", "w"),
    ] {
        check_screen(name, script);
    }
}

#[test]
fn empty_panes_say_what_to_do() {
    for (width, height) in SIZES {
        for (name, script) in [
            ("timeline", ""),
            ("passage", "P"),
            ("fretboard", "F"),
            ("readings", "R"),
            ("library", "L"),
            ("grids", "L z"),
            ("recording", "V"),
            ("preview", "H"),
        ] {
            let mut bench = Bench::on(fingerpost::lesson::document::Lesson::default(), (width, height));
            bench.strike(script);
            let name = format!("empty_{name}_{width}x{height}");
            // The other panes are in the snapshot of the timeline.
            match (script, bench.desk().focus) {
                ("P" | "F" | "R", focus) => insta::assert_snapshot!(name, bench.styled_pane(focus)),
                _ => insta::assert_snapshot!(name, bench.styled_screen()),
            }
            is_plain_where_nothing_else_can_be_shown(bench);
        }
    }
}

#[test]
fn a_partial_capo_and_a_short_string_are_drawn_where_they_are() {
    use fingerpost::instrument::body::ShortString;
    use fingerpost::instrument::neck::{Fret, StringNumber};
    use fingerpost::instrument::tuning::Capo;
    let mut lesson = super::bench::small_lesson();
    let string = |number| StringNumber::new(number).unwrap();
    let body = &mut lesson.instruments[0].body;
    (body.strings, body.short) = (5, Some(ShortString { string: string(5), starts_at: Fret::new(5).unwrap() }));
    let setup = &mut lesson.setups[0];
    setup.tuning = "G4 D3 G3 B3 D4".parse().unwrap();
    setup.capo = Some(Capo { fret: Fret::new(2).unwrap(), strings: vec![string(1), string(2), string(3)] });
    let mut bench = Bench::on(lesson, (100, 30));
    bench.strike("F s \"7 0 0 1 2\" Enter");
    insta::assert_snapshot!(bench.pane(Focus::Fretboard), @r"
    ▸Fretboard ──── banjo open G, capo 2 on 1 2 3
     d      ║    │    ║────┼─F#─┼────┼────┼────┼
     B      ║    │    ║─D──┼────┼────┼────┼────┼
     G     ○║    │    ║────┼────┼────┼────┼────┼
     D     ○║────┼────┼────┼────┼────┼────┼────┼
     G      ║    │    │    │    │    │────┼[A─]┼
               1    2   •3    4   •5    6   •7  …
     7 0 0 1 2   ! beyond this hand
     string 5, fret 7: A4

     degrees  5   1   5   1   3
    ");
}

#[test]
fn what_was_typed_and_is_refused() {
    let mut bench = Bench::small((80, 24));
    bench.strike("Down l \"+x\" Enter");
    insta::assert_snapshot!("refused_80x24", bench.styled_screen());
}

#[test]
fn the_look_without_utf8_and_colours() {
    for (name, size, script) in [
        ("panes", (100, 30), "P Right Down Down Down"),
        ("library_grids", (80, 24), "L z"),
        ("recording", (80, 24), "V"),
        ("handout_preview", (80, 24), "H"),
        ("talking_points", (80, 24), "p"),
    ] {
        let mut bench = Bench::small(size).plain();
        bench.strike("Down");
        bench.strike(script);
        insta::assert_snapshot!(format!("plain_{name}_{}x{}", size.0, size.1), bench.styled_screen());
    }
}

#[test]
fn start_screen() {
    for (width, height) in SIZES {
        let bench = Bench::start_screen((width, height));
        insta::assert_snapshot!(format!("start_{width}x{height}"), bench.styled_screen());
    }
}

#[test]
fn what_a_demo_is_about_is_read_to_its_end_on_the_start_screen() {
    for demo in DEMOS {
        let mut bench = Bench::start_screen((80, 24));
        bench.state.start =
            StartPane::new(Vec::new(), vec![[demo.name, "Three strings are plenty", demo.about].map(str::to_owned)]);
        bench.state.settle();
        let screen = bench.strike("Down Down Down").screen().replace('\u{2026}', " ");
        let seen = screen.split_whitespace().collect::<Vec<&str>>().join(" ");
        assert!(seen.contains(demo.about), "{}", bench.screen());
    }
}
