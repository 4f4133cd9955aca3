//! Where the cursor goes, and what of the passage is seen.

use fingerpost::instrument::neck::{Fret, StringNumber};
use fingerpost::lesson::document::BarRange;
use fingerpost::lesson::music::Join;
use fingerpost::workbench::keys::action::Focus;
use fingerpost::workbench::messages::message::{Message, Mouse};
use ratatui::layout::Position;
use ratatui::style::Modifier;

use super::{frets, on_passage, passage};
use crate::workbench::bench::{Bench, small_lesson};

#[test]
fn the_cursor_walks_over_beats_bars_and_strings() {
    let mut bench = on_passage((100, 30));
    let mut walk = |keys: &str| {
        bench.strike(keys);
        bench.desk().passage.cursor()
    };
    assert_eq!(walk("Right Right"), (1, 3, 1));
    assert_eq!(walk("Down Down Down"), (1, 3, 4));
    assert_eq!(walk("Right Right"), (2, 1, 4), "a full bar leads to the next");
    assert_eq!(walk("Left"), (1, 4, 4));
    assert_eq!(walk("["), (1, 1, 4));
    assert_eq!(walk("]"), (2, 1, 4));
    assert_eq!(walk("End"), (2, 3, 4));
    assert_eq!(walk("End Right Down Down Down Down"), (2, 3, 6), "it stays where the music and the strings end");
    assert_eq!(walk("Home Up Up Up Up Up Up"), (1, 1, 1));
}

#[test]
fn a_click_puts_the_cursor_on_the_nearest_beat_and_the_wheel_only_scrolls() {
    let mut bench = on_passage((80, 24));
    let pane = bench.state.layout().unwrap().pane(Focus::Passage).area;
    let lines: Vec<String> = bench.pane(Focus::Passage).lines().map(str::to_owned).collect();
    let row = lines.iter().position(|line| line.starts_with(" A │")).unwrap();
    let column = lines.iter().find(|line| line.contains("rh")).unwrap().chars().take_while(|sign| *sign != 'h').count();
    let place = Position { x: pane.x + u16::try_from(column).unwrap(), y: pane.y + u16::try_from(row).unwrap() };
    bench.send(Message::Mouse(Mouse::Click(place)));
    assert_eq!(bench.desk().passage.cursor(), (2, 1, 5));
    bench.send(Message::Mouse(Mouse::WheelDown(place)));
    assert_eq!(bench.desk().passage.cursor(), (2, 1, 5));
}

#[test]
fn the_cursor_is_reversed_and_marked_by_signs_too() {
    let bench = on_passage((80, 24)).plain();
    let pane = bench.state.layout().unwrap().pane(Focus::Passage).area;
    let text = bench.pane(Focus::Passage);
    let row = text.lines().position(|line| line.starts_with('>') && line.contains('|')).unwrap();
    assert!(text.lines().nth(row).unwrap().starts_with(">e |[-]-"), "{text}");
    let cell = &bench.buffer()[(pane.x + 5, pane.y + u16::try_from(row).unwrap())];
    assert!(cell.modifier.contains(Modifier::REVERSED));
}

#[test]
fn what_is_selected_is_reversed_on_every_string() {
    let mut bench = on_passage((80, 24));
    bench.strike("Shift+Right");
    assert!(bench.pane(Focus::Passage).lines().next().unwrap().contains("2 notes or rests selected"));
    let pane = bench.state.layout().unwrap().pane(Focus::Passage).area;
    let text = bench.pane(Focus::Passage);
    let row = text.lines().position(|line| line.starts_with(" A │")).unwrap();
    let column = text.lines().nth(row).unwrap().chars().position(|sign| sign == '3').unwrap();
    let cell = &bench.buffer()[(pane.x + u16::try_from(column).unwrap(), pane.y + u16::try_from(row).unwrap())];
    assert!(cell.modifier.contains(Modifier::REVERSED));
    bench.strike("Esc Esc");
    assert_eq!(bench.notice(), "nothing is selected");
}

#[test]
fn a_segment_that_plays_some_bars_shows_and_grows_these() {
    let mut lesson = small_lesson();
    lesson.segments[1].passages[0].bars = Some(BarRange { first: 1, last: 1 });
    let mut bench = Bench::on(lesson, (100, 30));
    bench.strike("Down P End 7");
    assert_eq!(passage(&bench).bars.len(), 3);
    assert_eq!(frets(passage(&bench), 1), "1/7");
    let range = bench.lesson().segments[1].passages[0].bars.unwrap();
    assert_eq!((range.first, range.last), (1, 2));
    bench.strike("Right Right Right ]");
    assert_eq!(bench.desk().passage.cursor().0, 2, "the third bar is not this segment's");
}

#[test]
fn the_view_follows_the_cursor_through_a_long_passage() {
    let mut lesson = small_lesson();
    let bars = lesson.passages[0].bars.clone();
    lesson.passages[0].bars = bars.iter().cycle().take(200).cloned().collect();
    for size in [(80, 24), (100, 30), (60, 16), (200, 60), (40, 10)] {
        let mut bench = Bench::on(lesson.clone(), size);
        bench.strike("Down P");
        for key in [
            "End",
            "PageUp",
            "PageUp",
            "Home",
            "PageDown",
            "PageDown",
            "PageDown",
            "PageDown",
            "]",
            "[",
            "[",
            "Ctrl+Down",
            "Right",
            "End",
            "Ctrl+Up",
        ] {
            bench.strike(key);
            bench.buffer();
            if size != (40, 10) && !key.starts_with("Ctrl") {
                let pane = bench.pane(Focus::Passage);
                assert!(pane.lines().any(|line| line.starts_with('▸') && line.contains('│')), "{size:?} {key}\n{pane}");
            }
        }
    }
}

#[test]
fn the_editor_at_100_by_30() {
    let mut bench = on_passage((100, 30));
    bench.strike("Right Right Down Down");
    insta::assert_snapshot!(bench.pane(Focus::Passage), @r"
    ▸Passage ───────────────────── Turnaround   bar 1 of 2   next note 1/8   sounds in C   ↓ 1 more line
     4/4  q=92
         C                                 G
     1   q       q       q       q         h               rh
     e │─────────────────────────────────│─────────────────────────────────│
     B │─────────────────────────────────│─────────────────────────────────│
    ▸G │────────────────[0h──────2───────│─────────────────────────────────│
     D │─────────2───────────────────────│─────────────────────────────────│
     A │─3───────────────────────────────│─────────────────────────────────│
     E │─────────────────────────────────│─3───────────────────────────────│
     string 3, fret 0, hammer-on, 1/4
    ");
}

#[test]
fn a_slide_from_one_sheet_of_bars_to_the_next_shows_its_way() {
    let mut lesson = small_lesson();
    let mut bar = lesson.passages[0].bars[0].clone();
    for event in &mut bar.voices[0].0 {
        (event.notes[0].string, event.notes[0].join) = (StringNumber::new(3).unwrap(), None);
    }
    let last = &mut bar.voices[0].0[3].notes[0];
    (last.fret, last.join) = (Fret::new(9).unwrap(), Some(Join::Slide));
    lesson.passages[0].bars = vec![bar; 30];
    let mut bench = Bench::on(lesson, (100, 60));
    bench.strike("Down P");
    // Nine leads down to three in every bar, also over the line after bar 24.
    bench.strike(&"] ".repeat(23));
    let text = bench.desk().passage.text();
    assert!(text.contains("9\\"), "{text}");
    assert!(!text.contains("9/"), "{text}");
}

#[test]
fn a_name_that_is_no_chord_is_written_as_text_by_a_second_enter() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down P Home n \"Hmaj\" Enter");
    assert_eq!(bench.lesson().passages[0].bars[0].voices[0].0[0].chord.as_deref(), Some("C"), "refused");
    assert!(bench.screen().contains("is not a chord symbol"), "{}", bench.screen());
    bench.strike("Left Enter");
    assert!(bench.screen().contains("is not a chord symbol"), "another key begins anew");
    bench.strike("Enter");
    assert_eq!(bench.lesson().passages[0].bars[0].voices[0].0[0].chord.as_deref(), Some("Hmaj"));
    assert!(bench.notice().contains("is written as text"), "{}", bench.notice());
    for known in ["Am7/G", "N.C."] {
        bench.strike(&format!("n Ctrl+U {} \"{known}\" Enter", "Backspace ".repeat(6)));
        assert_eq!(bench.notice(), "", "{known}");
    }
}

#[test]
fn undo_gives_back_the_length_that_was_written_in() {
    let mut bench = on_passage((100, 30));
    let before = bench.desk().passage.writing();
    bench.strike("*");
    let longer = bench.desk().passage.writing();
    assert_ne!(longer, before);
    bench.strike("u");
    assert_eq!(bench.desk().passage.writing(), before);
    bench.strike("U");
    assert_eq!(bench.desk().passage.writing(), longer);
}
