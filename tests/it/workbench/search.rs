//! The search for an action.

use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::keys::action::Focus;

use super::bench::Bench;

#[test]
fn an_action_is_found_by_what_it_does_and_done_where_it_belongs() {
    let mut bench = Bench::small((100, 30));
    bench.strike("L Ctrl+F \"title lesson\" Enter");
    assert!(matches!(&bench.state.overlay, Some(Overlay::Entry(entry)) if entry.title == "Title of the lesson"));
    bench.strike("Esc Ctrl+F \"mute the string\" Enter");
    assert_eq!(bench.desk().focus, Focus::Fretboard);
    assert_eq!(bench.desk().fretboard.grip().shape.strings().last(), Some(&None));
    bench.strike("F2 \"quit\" Esc");
    assert!(bench.state.overlay.is_none());
}

#[test]
fn an_action_done_from_the_search_is_undone_like_any_other() {
    let mut bench = Bench::small((100, 30));
    let before = bench.lesson().clone();
    bench.strike("R Ctrl+F \"delete segment\" Enter");
    assert_eq!(bench.lesson().segments.len() + 1, before.segments.len());
    bench.strike("Ctrl+F \"undo\" Enter");
    assert_eq!(*bench.lesson(), before);
}

#[test]
fn what_cannot_be_done_now_is_shown_as_such_and_not_done() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Ctrl+F \"erase the character after\"");
    assert!(bench.screen().contains("not now: typing a line"), "{}", bench.screen());
    bench.strike("Enter");
    assert_eq!(bench.notice(), "not from here: typing a line: erase the character after the cursor");
    assert!(matches!(bench.state.overlay, Some(Overlay::Search(_))));
    bench.strike("Ctrl+U \"qqq\" Enter");
    assert!(bench.notice().starts_with("nothing found"));
    let mut start = Bench::start_screen((80, 24));
    start.strike("Ctrl+F \"mute the string\" Enter");
    assert!(start.notice().starts_with("not from here: fretboard"), "{}", start.notice());
}

#[test]
fn the_search_shows_keys_places_and_what_a_key_file_calls_the_action() {
    let mut bench = Bench::small((80, 24));
    bench.strike("Ctrl+F \"mute str\"");
    let screen = bench.screen();
    assert!(screen.contains("│ mute str_ "), "{screen}");
    assert!(screen.contains("▸ x            mute the string   ") && screen.contains(" fretboard │"), "{screen}");
    assert!(screen.contains("in a key file: Fretboard(Mute)"), "{screen}");
}
