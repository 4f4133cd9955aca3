//! The list of all keys: what a screenful of it answers, and how letters narrow it.

use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::keys::action::{Focus, Pane};
use fingerpost::workbench::keys::headings::HelpHeading;
use fingerpost::workbench::keys::keystroke::Keystroke;
use fingerpost::workbench::keys::table::KeyTable;

use super::bench::Bench;

#[test]
fn the_first_screenful_has_every_heading_and_those_of_the_pane_come_first() {
    for (pane, first) in
        [("T", "segments of the video"), ("P", "write notes"), ("F", "fingers on the fretboard"), ("R", "chord names")]
    {
        for size in [(80, 24), (120, 36), (200, 50)] {
            let mut bench = Bench::small(size);
            bench.strike(&format!("{pane} ?"));
            let screen = bench.screen();
            for HelpHeading { heading, .. } in HelpHeading::all() {
                assert!(screen.contains(&heading), "{size:?}: {heading}\n{screen}");
            }
            let top = screen.lines().find(|line| line.contains("│ ▸ ")).expect("a line is selected");
            assert!(top.contains(first), "{pane}: {top}");
        }
    }
}

#[test]
fn a_typed_word_narrows_the_list_to_it_and_enter_does_it() {
    let mut bench = Bench::small((80, 24));
    bench.strike("P ? \"palm mu\"");
    let screen = bench.screen();
    let inside: Vec<&str> = screen.lines().filter(|line| line.contains("palm mute")).collect();
    assert_eq!(inside.len(), 2, "the row, and all of it at the foot: {screen}");
    assert!(screen.contains("techniques") && !screen.contains("write notes"), "{screen}");
    let Some(Overlay::Help(help)) = &bench.state.overlay else { panic!("the list is open") };
    assert_eq!(help.shown().len(), 3, "the heading, the action, and the list that has it too");
    assert!(screen.contains("Enter do it") && !screen.contains("Enter open"), "{screen}");
    bench.strike("Up Up");
    assert!(bench.screen().contains("Enter open"), "on a heading: {}", bench.screen());
    bench.strike("Ctrl+U \"undo\" Enter");
    assert!(bench.state.overlay.is_none());
    assert_eq!(bench.notice(), "nothing to undo");
    bench.strike("T ? \"mute the string\" Enter");
    assert_eq!(bench.desk().focus, Focus::Fretboard, "it is done where it belongs");
}

#[test]
fn a_heading_opens_with_enter_and_shows_the_keys_of_its_job() {
    let mut bench = Bench::small((80, 24));
    bench.strike("P ? Down Enter");
    let screen = bench.screen();
    for shown in ["h            hammer-on or pull-off", "m            palm mute", "!            a dead strum"] {
        assert!(screen.contains(shown), "{shown}: {screen}");
    }
    bench.strike("Enter");
    assert!(!bench.screen().contains("a dead strum:"), "{}", bench.screen());
    bench.strike("Esc");
    assert!(bench.state.overlay.is_none());
}

/// What is listed is the table of keys, whatever a person has made of it.
#[test]
fn the_keys_of_the_person_are_listed_and_an_action_without_one_is_too() {
    let mut bench = Bench::small((80, 24));
    bench.state.keys = KeyTable::built_in().with_own(r#"[(action: Library(Delete), keys: ["u"])]"#).unwrap();
    bench.strike("? \"undo what was done last\"");
    assert!(bench.screen().contains("no key       undo what was done last"), "{}", bench.screen());
    bench.strike("Esc Ctrl+F \"undo\" Enter");
    assert_eq!(bench.notice(), "nothing to undo", "the search still leads there");
    let key: Keystroke = "Ctrl+S".parse().unwrap();
    assert!(bench.state.keys.action(Pane::Timeline, key).is_some());
    bench.strike("?");
    assert!(matches!(bench.state.overlay, Some(Overlay::Help(_))));
}

#[test]
fn what_is_called_so_stands_first_in_the_narrowed_list() {
    for pane in ["T", "P", "F"] {
        let mut bench = Bench::small((80, 24));
        bench.strike(&format!("{pane} ? \"passage\""));
        let Some(Overlay::Help(help)) = &bench.state.overlay else { panic!("the list is open") };
        assert_eq!(help.selected(), 1, "under the first heading: {}", bench.screen());
        let best = help.offer().map(|offer| offer.hint.clone());
        assert_eq!(best.as_deref(), Some("new passage"), "{}", bench.screen());
    }
}

#[test]
fn every_key_of_an_action_is_seen_where_there_is_room() {
    let mut bench = Bench::small((200, 50));
    bench.strike("P ? \"select whole bars\"");
    let Some(Overlay::Help(help)) = &bench.state.overlay else { panic!("the list is open") };
    let keys: Vec<String> = help.offer().iter().map(|offer| offer.keys.clone()).collect();
    for text in &keys {
        assert!(bench.screen().contains(text), "{text}: {}", bench.screen());
    }
    bench.strike("Ctrl+U \"go to the next bar\"");
    assert!(bench.screen().contains("Ctrl+Right, ]"), "{}", bench.screen());
    bench.strike("Esc Ctrl+F \"go to the next bar\"");
    assert!(bench.screen().contains("Ctrl+Right, ]"), "{}", bench.screen());
}
