//! Lines to type behave as everywhere else, and nothing that was written goes without a word.

use std::collections::BTreeSet;

use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::boxes::typed_line::EntryBox;
use fingerpost::workbench::messages::message::{Message, Mouse};
use ratatui::layout::Position;
use ratatui::style::Modifier;

use super::bench::{Bench, small_lesson};

/// Keys that open boxes for a line in which something stands already.
const PREFILLED: [&str; 18] = [
    "Enter",
    "l",
    ":",
    "E End Enter Enter Enter",
    "E End Enter Enter Down Enter",
    "Down n",
    "T Ctrl+T",
    "Down P l",
    "Down P Down Down Down Down b",
    "Down P n",
    "Down P e Enter",
    "Down P e Down Enter",
    "Down P e Down Down Down Down Enter",
    "Down P E End Enter",
    "Down P e End Up Enter",
    "Down P a \"New\" Enter",
    "Down P a \"New\" Enter Enter",
    "Down L e",
];

#[track_caller]
fn entry(bench: &Bench) -> &EntryBox {
    let Some(Overlay::Entry(entry)) = &bench.state.overlay else { panic!("no line to type:\n{}", bench.screen()) };
    entry
}

/// A workbench with such a box open.
#[track_caller]
fn asked(keys: &str) -> Bench {
    let mut bench = Bench::small((100, 30));
    bench.strike(keys);
    assert!(matches!(&bench.state.overlay, Some(Overlay::Entry(_))), "{keys}:\n{}", bench.screen());
    bench
}

#[test]
fn what_stands_in_a_line_is_selected_until_somebody_moves_in_it() {
    let mut prefilled = 0;
    for keys in PREFILLED {
        let asked = asked(keys);
        let before = entry(&asked).line.text().to_owned();
        prefilled += usize::from(!before.is_empty());
        for (key, expected) in [
            ("x", "x".to_owned()),
            ("Backspace", String::new()),
            ("Delete", String::new()),
            ("Ctrl+U", String::new()),
            ("End x", format!("{before}x")),
            ("Right x", format!("{before}x")),
            ("Home x", format!("x{before}")),
        ] {
            let mut bench = asked.clone();
            bench.strike(key);
            assert_eq!(entry(&bench).line.text(), expected, "{keys} then {key}");
        }
        let mut bench = asked.clone();
        bench.strike("Left x");
        let typed = entry(&bench).line.text();
        assert_eq!(typed.replacen('x', "", 1).len(), before.len(), "{keys} then Left x: {typed}");
        let mut bench = asked.clone();
        bench.send(Message::Pasted("pasted".into()));
        assert_eq!(entry(&bench).line.text(), "pasted", "{keys}");
    }
    assert!(prefilled > 14, "{prefilled}");
}

#[test]
fn what_is_selected_is_shown_in_reverse_and_said_in_words() {
    let mut bench = asked("Enter");
    let place = place_of(&bench, "Hello_");
    let reversed = |bench: &Bench| {
        let buffer = bench.buffer();
        let cells = (place.x..place.x + 10).map(|x| &buffer[(x, place.y)]);
        let cells = cells.filter(|cell| cell.modifier.contains(Modifier::REVERSED));
        cells.map(|cell| cell.symbol().to_owned()).collect::<String>()
    };
    assert_eq!(reversed(&bench), "Hello_");
    assert!(bench.screen().contains("typing replaces this"), "{}", bench.screen());
    bench.strike("End");
    assert_eq!(reversed(&bench), "_");
    assert!(!bench.screen().contains("typing replaces this"));
}

/// Where a text begins on the screen.
#[track_caller]
fn place_of(bench: &Bench, text: &str) -> Position {
    let screen = bench.screen();
    let found =
        screen.lines().enumerate().find_map(|(y, line)| line.find(text).map(|at| (line[..at].chars().count(), y)));
    let (x, y) = found.unwrap_or_else(|| panic!("no {text}:\n{screen}"));
    Position::new(u16::try_from(x).unwrap(), u16::try_from(y).unwrap())
}

#[test]
fn a_click_keeps_what_is_selected_and_puts_the_cursor_there() {
    let mut bench = asked("Enter");
    let place = place_of(&bench, "Hello_");
    bench.send(Message::Mouse(Mouse::Click(Position::new(place.x + 2, place.y))));
    bench.strike("x");
    assert_eq!(entry(&bench).line.text(), "Hexllo");
    let mut bench = asked("Enter");
    bench.send(Message::Mouse(Mouse::Click(Position::new(place.x, place.y + 2))));
    bench.strike("x");
    assert_eq!(entry(&bench).line.text(), "Hellox", "beside the line it only keeps it");
}

#[test]
fn a_click_goes_into_the_talking_points() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down p");
    let place = place_of(&bench, "third finger");
    bench.send(Message::Mouse(Mouse::Click(place)));
    bench.strike("\"very \" Ctrl+S");
    assert_eq!(bench.lesson().segments[1].talking_points[0], "The very third finger stays");
}

#[test]
fn saving_with_a_prompt_open_says_that_what_is_typed_is_not_in_it() {
    let mut bench = Bench::small((80, 24));
    bench.strike("Ctrl+S");
    assert!(!bench.notice().contains("without"), "{}", bench.notice());
    bench.strike("Enter Ctrl+S");
    assert!(!bench.notice().contains("without"), "nothing is typed yet: {}", bench.notice());
    bench.strike("\"Two grips\" Ctrl+S");
    assert!(bench.notice().ends_with(", without what is typed here: Enter first"), "{}", bench.notice());
    bench.strike("Enter Ctrl+S");
    assert!(!bench.notice().contains("without"), "{}", bench.notice());
    assert_eq!(bench.lesson().segments[0].title, "Two grips");
}

#[test]
fn a_line_that_goes_on_shows_so_at_each_end() {
    let title: String = (b'a'..=b'z').cycle().take(200).map(char::from).collect();
    let mut bench = Bench::small((80, 24));
    bench.strike("Enter").send(Message::Pasted(title.clone()));
    let line = |bench: &Bench| {
        let screen = bench.screen();
        // Inside its frame.
        let lines = screen.lines().skip_while(|line| !line.contains("Title of")).nth(1).unwrap().to_owned();
        let inside: Vec<char> = lines.chars().skip_while(|sign| *sign != '│').skip(2).collect();
        inside.iter().take_while(|sign| **sign != '│').collect::<String>().trim().to_owned()
    };
    let (at_end, at_start, between) = {
        let at_end = line(&bench);
        bench.strike("Home");
        let at_start = line(&bench);
        bench.strike(&"Right ".repeat(100));
        (at_end, at_start, line(&bench))
    };
    assert!(at_end.starts_with('…') && at_end.ends_with('_'), "{at_end}");
    assert!(at_start.starts_with('a') && at_start.ends_with('…'), "{at_start}");
    assert!(between.starts_with('…') && between.ends_with('…'), "{between}");
    // Every place can be gone to, and what is typed there goes there.
    bench.strike("x");
    let mut typed = title.clone();
    typed.insert(100, 'x');
    assert_eq!(entry(&bench).line.text(), typed);
}

#[test]
fn a_tempo_is_typed_as_players_say_it() {
    let tempo = |typed: &str| {
        let mut bench = Bench::small((100, 30));
        bench.strike(&format!("Down P e Down Enter \"{typed}\" Enter"));
        bench.lesson().passages[0].bars[0].tempo.unwrap_or(bench.lesson().passages[0].tempo).to_string()
    };
    for (typed, expected) in [
        ("132", "1/4=132"),
        ("132 bpm", "1/4=132"),
        ("132BPM", "1/4=132"),
        ("1/8=132", "1/8=132"),
        ("1/4 = 92 bpm", "1/4=92"),
    ] {
        assert_eq!(tempo(typed), expected, "{typed}");
    }
    let mut bench = Bench::small((100, 30));
    bench.strike("Down P a \"New\" Enter \"6/8\" Enter \"70\" Enter");
    assert_eq!(bench.lesson().passages[1].tempo.to_string(), "1/4.=70", "three eighths make a beat");
    for wrong in ["9", "fast", "6000", "132 bars", ""] {
        let mut bench = Bench::small((100, 30));
        bench.strike(&format!("Down P e Down Enter Ctrl+U \"{wrong}\" Enter"));
        assert!(entry(&bench).error.is_some(), "{wrong}");
        assert_eq!(bench.lesson(), &small_lesson());
    }
}

#[test]
fn a_chord_name_that_is_none_takes_a_second_enter() {
    for own in ["Hm", "C/Q", "let ring", "Gsus9b"] {
        let mut bench = Bench::small((100, 30));
        bench.strike(&format!("Down P n \"{own}\" Enter"));
        assert!(entry(&bench).error.as_ref().is_some_and(|error| error.contains("as text")), "{own}");
        assert_eq!(bench.lesson(), &small_lesson());
        let mut again = bench.clone();
        again.strike("Esc");
        assert_eq!(again.lesson(), &small_lesson());
        bench.strike("Enter");
        assert_eq!(bench.lesson().passages[0].bars[0].voices[0].0[0].chord.as_deref(), Some(own));
    }
}

#[test]
fn esc_cancels_whatever_line_or_points_are_typed() {
    let keys: BTreeSet<&str> =
        PREFILLED.into_iter().chain(["a", "A", "Ctrl+N", "p", "'", ";", "F s", "F n", "R b"]).collect();
    for keys in keys {
        let mut bench = Bench::small((100, 30));
        bench.strike(keys);
        let before = bench.lesson().clone();
        bench.strike("\"x\" Esc");
        if bench.screen().contains("Delete what you have written?") {
            bench.strike("Down Down Enter");
        }
        // A step that others came before goes back to them.
        let steps = if keys.contains(" a \"") { keys.matches("Enter").count() } else { 0 };
        bench.strike(&"Esc ".repeat(steps));
        assert!(!matches!(bench.state.overlay, Some(Overlay::Entry(_) | Overlay::Points(_))), "{keys}");
        assert_eq!(bench.lesson(), &before, "{keys}");
    }
}

#[test]
fn a_long_line_is_not_given_up_without_a_question() {
    let mut bench = Bench::small((100, 30));
    let long = "a title that somebody has thought about for a while";
    bench.strike(&format!("Enter \"{long}\" Esc"));
    assert!(bench.screen().contains("Delete what you have written?"), "{}", bench.screen());
    assert!(bench.screen().contains("Esc goes on writing"), "{}", bench.screen());
    assert!(bench.screen().contains("choose \"delete it\": End, Enter"), "{}", bench.screen());
    bench.strike("Esc");
    assert_eq!(entry(&bench).line.text(), long, "Esc goes back to what is written");
    let mut left = bench.clone();
    left.strike("Esc End Enter");
    assert!(left.state.overlay.is_none(), "{}", left.screen());
    assert_eq!(left.lesson(), &small_lesson());
    bench.strike("Esc Down Enter");
    assert_eq!(bench.lesson().segments[0].title, long);
    bench.strike("Enter Esc");
    assert!(bench.state.overlay.is_none(), "where nothing was typed nothing is asked");
}

#[test]
fn the_box_of_the_talking_points_says_how_it_is_left() {
    let mut bench = Bench::small((80, 24));
    bench.strike("p");
    for said in ["Ctrl+S OK", "Enter new line", "Esc cancel"] {
        assert_eq!(bench.screen().matches(said).count(), 1, "{said}: {}", bench.screen());
    }
    bench.strike("\"one\" Tab");
    assert_eq!(bench.lesson().segments[0].talking_points, ["one"], "Tab is a key that every keyboard has");
}

/// As in the chain of a new lesson: what was typed before is there again, and the passage is begun only at its end.
#[test]
fn esc_goes_back_a_step_in_the_chain_of_a_new_passage() {
    for size in [(80, 24), (100, 30), (120, 36), (200, 50)] {
        let mut bench = Bench::small(size);
        let count = bench.lesson().passages.len();
        bench.strike("Down P a \"Mill Race\" Enter \"6/8\" Enter Esc");
        let line = |bench: &Bench| match &bench.state.overlay {
            Some(Overlay::Entry(entry)) => Some((entry.title.clone(), entry.line.text().to_owned())),
            _ => None,
        };
        assert_eq!(line(&bench), Some(("Time signature".to_owned(), "6/8".to_owned())));
        bench.strike("Esc");
        assert_eq!(line(&bench), Some(("Title of the new passage".to_owned(), "Mill Race".to_owned())));
        bench.strike("Enter \"6/8\" Enter Enter");
        let passages = &bench.lesson().passages;
        assert_eq!(passages.len(), count + 1);
        assert_eq!(
            passages.last().map(|new| (new.title.as_str(), new.meter.to_string())),
            Some(("Mill Race", "6/8".to_owned()))
        );
        bench.strike("a Esc");
        assert_eq!(line(&bench), None, "the first step closes");
    }
}
