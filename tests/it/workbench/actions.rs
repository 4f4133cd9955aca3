//! Every action of the key table is reachable by keys, and something comes of it.

use std::collections::BTreeSet;

use fingerpost::workbench::keys::action::Action;

use super::bench::{Bench, small_lesson};

/// Scripts that together ask for everything there is.
const SCRIPTS: [&str; 25] = [
    "Down Up Home End PageUp PageDown a \"x\" Enter A Esc Enter Esc l Esc : Esc e Esc n Esc N Esc Ctrl+K k Esc y Esc E Esc Ctrl+N Esc J Esc t Esc Shift+Up Shift+Down Delete",
    "Home k Home End PageUp PageDown Esc t Home End PageUp PageDown Esc Down p \"one\" Enter Left Right Up Down Home End Backspace Delete Ctrl+S p \"x\" Esc Down Down Enter p Esc",
    "Enter Left Right Home End \"x\" Backspace Delete Ctrl+U Tab Esc Enter Enter",
    "k Down Up Enter k Esc",
    "Home Down P Down Up PageDown PageUp End Home Right Left A Esc M Esc Ctrl+End Ctrl+Home ] [ Ctrl+Down Ctrl+Up O O",
    "Home Down P 1 2 Delete Space / * . , l Ctrl+U \"1/8\" Enter Left Enter Esc h s t b Esc v m x ! & Esc g + < k n \"F\" Enter",
    "Home Down P Right X u j u S Esc Shift+Right Shift+Left Esc Shift+Down Shift+Up c Ctrl+V Ctrl+X Ctrl+K # \"1\" Enter ' \"so\" Enter i Shift+Delete Y W Esc",
    "Home Down P Down Down Down Down ) ( I D B D e Down Down Down Enter E Enter Enter a \"Two\" Enter Enter Enter",
    "Down P Ctrl+G Ctrl+G R Ctrl+G P I Down 1 Down 2 Down 2 Down 0 N Esc n Down Up Esc",
    ": Enter n Ctrl+U \"Porch waltz\" Enter \"A\" Enter t Down Up Space Enter t Esc",
    "F Up Down Left Right Home End Space 5 x o s Esc c d z Delete Shift+Delete Shift+Delete Ctrl+End Ctrl+Home v N Ctrl+End D",
    "Down F s \"x32010\" Enter e PageDown PageUp Enter = Esc i I Esc Shift+Right Shift+Left Shift+Up Shift+Down Esc - n \"G\" Enter Enter Y v",
    "Down F A B S f Esc Q l K < Ctrl+Right Ctrl+Left O Z R b Esc",
    "R Down Up End Home N v z",
    "L Down Up PageDown PageUp Home End f \"a\" Down Up Backspace Enter f Esc Esc Enter L i Delete Esc z Left Right Down z e Esc v Esc j o I E L C Esc",
    "Tab Shift+Tab T P F R L u U Ctrl+S Ctrl+E Ctrl+T Esc ? \"x\" Backspace Down Up End Home PageDown PageUp Enter Ctrl+U Esc",
    "W Ctrl+Up Ctrl+Down | | X \"0:10\" Enter j c > ' \"close\" Ctrl+S ; Esc v Space Enter G \"5:00\" Enter",
    "V PageDown PageUp Space r : Esc Down Up u U Esc V ? Esc M Esc",
    "w Down Up PageDown PageUp Home End W Enter w Esc",
    "H Down Up PageDown PageUp Right Left End Home Shift+Right Shift+Left Tab z p t V S Esc l Esc Ctrl+E Esc H H",
    "Down F s \"x32010\" Enter F5 Shift+F5 F6 F7 Shift+F7 A B F8 F3 F4 _ Shift+F12 F9 Esc Ctrl+P",
    "Home Down P F5 { } % Esc @ F6 F5",
    "Ctrl+Z Ctrl+L Ctrl+C Shift+F9 Esc Shift+F8",
    "Ctrl+O Esc q Esc",
    "Ctrl+F \"x\" Down Up End Home PageDown PageUp Backspace \"y\" Ctrl+U Esc Ctrl+F \"redo\" Enter",
];

#[test]
fn every_action_is_asked_for_by_some_key() {
    let mut asked = BTreeSet::new();
    for script in SCRIPTS {
        let mut bench = Bench::small((100, 30));
        bench.strike(script);
        asked.append(&mut bench.asked);
    }
    let mut start = Bench::start_screen((100, 30));
    start.strike("Down Up End Home ? Esc Enter");
    asked.append(&mut start.asked);
    let missing: Vec<Action> = Action::all().filter(|action| !asked.contains(action)).collect();
    assert!(missing.is_empty(), "no script asks for {missing:?}");
}

#[test]
fn every_script_can_be_undone_to_the_lesson_it_began_with() {
    for script in SCRIPTS {
        let mut bench = Bench::small((100, 30));
        bench.strike(script);
        if bench.state.desk().is_none() {
            continue;
        }
        assert_eq!(bench.replayed, *bench.lesson(), "{script}");
        bench.strike("Esc Esc T");
        for _ in 0..100 {
            bench.strike("u");
        }
        assert_eq!(bench.lesson(), &small_lesson(), "{script}");
    }
}
