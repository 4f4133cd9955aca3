//! What reaches the screen, whatever the lesson holds and whatever size the terminal has.

use fingerpost::lesson::document::Lesson;
use fingerpost::text::width::width as width_of;
use fingerpost::workbench::drawing::appearance::Colours;
use fingerpost::workbench::drawing::theme::Theme;
use fingerpost::workbench::keys::action::Focus;
use proptest::prelude::*;
use ratatui::buffer::Buffer;
use ratatui::style::{Color, Modifier};

use super::bench::{Bench, small_lesson, text_of};

/// A lesson whose texts try to do things to the terminal.
fn hostile_lesson() -> Lesson {
    let nasty = "\u{1b}[2J\u{9b}31m\u{7}\r\n\t\u{202e}olleh\u{200b}";
    let mut lesson = small_lesson();
    lesson.header.title = nasty.to_owned();
    for segment in &mut lesson.segments {
        segment.title = nasty.to_owned();
        segment.talking_points = vec![nasty.to_owned()];
    }
    for voicing in &mut lesson.voicings {
        voicing.readings = vec![nasty.to_owned()];
        voicing.tags = vec![nasty.to_owned()];
    }
    for setup in &mut lesson.setups {
        setup.name = nasty.to_owned();
    }
    for passage in &mut lesson.passages {
        passage.title = nasty.to_owned();
        passage.bars[0].voices[0].0[0].text = Some(nasty.to_owned());
    }
    lesson
}

#[test]
fn nothing_from_a_lesson_can_steer_the_terminal() {
    let mut bench = Bench::on(hostile_lesson(), (160, 48));
    for script in ["", "Down", "Enter", "Esc p", "Esc E", "Esc t", "Esc w", "Esc L f \"\"", "Esc ?"] {
        bench.strike(script);
        for cell in bench.buffer().content() {
            let steers = |letter: char| letter.is_control() || matches!(letter, '\u{202a}'..='\u{202e}' | '\u{200b}');
            assert!(!cell.symbol().chars().any(steers), "{:?} after {script}", cell.symbol());
        }
    }
}

#[test]
fn what_would_steer_the_terminal_is_seen_on_the_screen() {
    let buffer = Bench::on(hostile_lesson(), (160, 48)).buffer();
    assert!(text_of(&buffer, buffer.area).contains("␛[2J\u{fffd}31m␇  \u{fffd}olleh\u{fffd}"));
    let buffer = Bench::on(hostile_lesson(), (160, 48)).plain().buffer();
    assert!(text_of(&buffer, buffer.area).contains("^[[2J?31m^G  ?olleh?"));
}

#[test]
fn plain_characters_and_no_colours_are_kept_to_where_they_are_asked_for() {
    let mut bench = Bench::small((120, 40)).plain();
    for script in ["", "Down", "F", "d", "w", "Esc ?", "Esc p"] {
        bench.strike(script);
        for cell in bench.buffer().content() {
            assert!(cell.symbol().is_ascii(), "{:?} after {script}", cell.symbol());
            assert_eq!((cell.fg, cell.bg), (Color::Reset, Color::Reset), "after {script}");
        }
    }
}

#[test]
fn only_the_terminals_own_sixteen_colours_are_used() {
    let mut bench = Bench::small((120, 40));
    bench.strike("Down F d w");
    for cell in bench.buffer().content() {
        for colour in [cell.fg, cell.bg] {
            assert!(!matches!(colour, Color::Rgb(..) | Color::Indexed(_)), "{colour:?}");
        }
    }
}

#[test]
fn a_theme_changes_colours_and_nothing_else() {
    let mut bench = Bench::small((120, 40));
    bench.strike("Down F d w");
    let plain = bench.buffer();
    for theme in Theme::built_in() {
        bench.state.appearance.colours = Colours::Theme(theme.palette());
        let themed = bench.buffer();
        let symbols =
            |buffer: &Buffer| buffer.content().iter().map(|cell| cell.symbol().to_owned()).collect::<Vec<_>>();
        assert_eq!(symbols(&themed), symbols(&plain));
        let (mut own, allowed) = (0, |modifier: Modifier| modifier.difference(Modifier::DIM));
        for (cell, before) in themed.content().iter().zip(plain.content()) {
            assert_eq!(allowed(cell.modifier), allowed(before.modifier));
            own += usize::from(matches!(cell.fg, Color::Rgb(..)));
        }
        assert!(own > 100, "{}: only {own} cells", theme.name);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn titles_of_any_characters_leave_every_line_as_wide_as_the_screen(
        titles in proptest::collection::vec("\\PC{0,40}|[\u{300}-\u{36f}a日🎸\u{200d}\u{fe0f}ก้한ש]{0,30}", 4),
        (width, height) in (60u16..130, 16u16..40),
    ) {
        let mut lesson = small_lesson();
        lesson.header.title.clone_from(&titles[0]);
        for (segment, title) in lesson.segments.iter_mut().zip(titles.iter().cycle()) {
            segment.title.clone_from(title);
            segment.talking_points = vec![title.clone()];
        }
        for (voicing, title) in lesson.voicings.iter_mut().zip(titles.iter().cycle()) {
            voicing.readings = vec![title.clone()];
            voicing.tags = vec![title.clone()];
        }
        let mut bench = Bench::on(lesson, (width, height));
        for script in ["", "L", "z", "v", "Esc z T Enter", "Esc p", "Esc H", "Esc Ctrl+F"] {
            bench.strike(script);
            let buffer = bench.buffer();
            for y in 0..height {
                // A wide character covers the cells after it; what stands there is not shown.
                let (mut x, mut drawn) = (0, 0);
                while x < width {
                    let wide = width_of(buffer[(x, y)].symbol()).max(1);
                    drawn += wide;
                    x += u16::try_from(wide).unwrap();
                }
                prop_assert_eq!(drawn, usize::from(width), "line {} after {}", y, script);
            }
            // The frames and edges drawn over the text stand straight, one under the other.
            let frame: Vec<u16> = (0..height).filter_map(|y| (0..width).rev().find(|x| buffer[(*x, y)].symbol() == "│")).collect();
            if script == "Esc Ctrl+F" {
                prop_assert!(frame.len() > 4 && frame.windows(2).filter(|pair| pair[0] == pair[1]).count() > 2);
            }
        }
    }
}

#[test]
fn the_pane_in_focus_is_told_by_a_mark_and_its_selection_by_reversal() {
    let mut bench = Bench::small((100, 30)).plain();
    for (key, focus) in [("T", Focus::Timeline), ("P", Focus::Passage), ("F", Focus::Fretboard), ("L", Focus::Library)]
    {
        bench.strike(key);
        for pane in Focus::ALL {
            let marked = bench.pane(pane).starts_with(&format!(">{}", pane.title()));
            assert_eq!(marked, pane == focus, "{pane:?} while {focus:?} is in focus");
        }
    }
    let reversed = bench.buffer().content().iter().any(|cell| cell.modifier.contains(Modifier::REVERSED));
    assert!(reversed);
}

#[test]
fn wide_characters_leave_the_columns_straight() {
    let bench = Bench::small((100, 30));
    let area = bench.state.layout().unwrap().pane(Focus::Timeline).area;
    let buffer = bench.buffer();
    // The setup of segments 1 and 3 begins in the same column, though the third title is wide.
    let column = |line: u16, word: &str| {
        let y = area.y + line;
        (area.left()..area.right()).find(|x| {
            let cells = (*x..area.right()).take(word.len()).map(|x| buffer[(x, y)].symbol());
            cells.collect::<String>() == word
        })
    };
    assert_eq!(column(3, "standard"), column(5, "capo on fret 2"));
    assert!(column(5, "capo on fret 2").is_some());
}

#[test]
fn no_size_of_terminal_is_too_small_or_too_large() {
    let mut bench = Bench::small((100, 30));
    for size in [(0, 0), (1, 1), (2, 40), (40, 10), (59, 15), (60, 16), (80, 24), (100, 30), (300, 100), (300, 3)] {
        bench.resize(size.0, size.1);
        for script in ["T", "P", "F", "R", "L", "T Enter", "Esc p", "Esc k", "Esc ?", "Esc w", "Esc"] {
            bench.strike(script);
            bench.buffer();
        }
    }
}

#[test]
fn after_resizing_the_neck_is_seen_from_the_nut_where_everything_fits() {
    let mut bench = Bench::small((160, 48));
    bench.strike("F s \"xx5555\" Enter");
    let first = |bench: &Bench| bench.desk().fretboard.view().0;
    assert_eq!(first(&bench), 0);
    for size in [(40, 10), (80, 1), (10, 3), (61, 17)] {
        bench.resize(size.0, size.1);
    }
    bench.resize(160, 48);
    assert_eq!(first(&bench), 0, "{}", bench.screen());
    // What does not fit from the nut is brought into view all the same.
    bench.strike("End");
    assert!(first(&bench) > 0);
    bench.resize(120, 40);
    assert!(bench.pane(Focus::Fretboard).contains("22"), "{}", bench.screen());
}

#[test]
fn a_cramped_terminal_says_what_it_needs() {
    let bench = Bench::small((40, 10));
    insta::assert_snapshot!(bench.screen().trim_end(), @r"
    fingerpost needs more room:
    60 x 16 or more; it has 40 x 10.

    Your lesson is safe meanwhile.
    Ctrl+C quits.
    ");
}

#[test]
fn from_100_by_30_timeline_fretboard_and_library_are_together_and_at_80_by_24_one_has_the_room() {
    for focus in ["T", "P", "F", "R", "L"] {
        let mut bench = Bench::small((100, 30));
        bench.strike(focus);
        let screen = bench.screen();
        for part in ["Two shapes", "e    ", "Am", "x 3 2 0 1 0"] {
            assert!(screen.contains(part), "{part} is missing with {focus}\n{screen}");
        }
        bench.resize(80, 24);
        let lines: Vec<String> = bench.screen().lines().map(str::to_owned).collect();
        for title in ["Timeline", "Passage", "Fretboard", "Voicings"] {
            assert!(lines.iter().any(|line| line[..].contains(title)), "{title} is missing with {focus}");
        }
    }
}

#[test]
fn whole_screens_fit_their_size_at_100_by_30() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down");
    let screen = text_of(&bench.buffer(), bench.buffer().area);
    insta::assert_snapshot!("screen_100x30", screen);
}
