//! Each pane as it is drawn on screens of three sizes. Read a changed snapshot before accepting it.

use fingerpost::workbench::action::Focus;

use super::bench::Bench;

const SIZES: [(u16, u16); 3] = [(80, 24), (100, 30), (160, 48)];

/// Draws the pane in focus on each size, with the second segment selected, after more keys.
fn check(name: &str, focus: Focus, script: &str) {
    for (width, height) in SIZES {
        let mut bench = Bench::small((width, height));
        bench.strike("Down");
        bench.strike(script);
        let pane = bench.pane(focus);
        insta::assert_snapshot!(format!("{name}_{width}x{height}"), pane);
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
    check("fretboard", Focus::Fretboard, "F n d");
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
fn empty_panes_say_what_to_do() {
    let mut bench = Bench::on(fingerpost::lesson::document::Lesson::default(), (100, 30));
    bench.strike("");
    insta::assert_snapshot!("empty_100x30", bench.screen());
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
               1    2   •3    4   •5    6   •7
     7 0 0 1 2   ! beyond this hand
     string 5, fret 7: A4
    ");
}

#[test]
fn boxes() {
    let mut bench = Bench::small((80, 24));
    for (name, script) in [
        ("box_entry", "Down l \"+x\" Enter"),
        ("box_points", "Esc p"),
        ("box_choice", "Esc k"),
        ("box_problems", "Esc w"),
        ("box_help", "Esc ?"),
    ] {
        bench.strike(script);
        insta::assert_snapshot!(format!("{name}_80x24"), bench.screen());
    }
}

#[test]
fn start_screen() {
    insta::assert_snapshot!("start_80x24", Bench::start_screen((80, 24)).screen());
}
