//! Every action of the key table is reachable by keys, and something comes of it.

use std::collections::BTreeSet;

use fingerpost::workbench::keys::action::Action;

use super::bench::{Bench, small_lesson};

/// Scripts that together ask for everything there is.
const SCRIPTS: [&str; 25] = [
    "Down Up Home End a \"x\" Enter b Esc t Esc l Esc v Esc X i Esc I Esc k Esc y Esc s Esc n Esc N Esc m Esc Shift+Up Shift+Down d",
    "Home k Home End PageUp PageDown Esc m Home End PageUp PageDown Esc Down p \"one\" Enter Left Right Up Down Home End Backspace Delete Ctrl+S p \"x\" Esc Down Down Enter p Esc",
    "t Up Down Left Right Home End \"x\" Backspace Delete Ctrl+E Tab Esc t Enter",
    "k Down Up Enter k Esc",
    "Home Down P Down Up PageDown PageUp End Home Right Left a Esc M Esc N B ] [ Ctrl+Down Ctrl+Up O O",
    "Home Down P 1 2 Delete Space - + . , l Ctrl+E \"1/8\" Enter Left Enter Esc p s t b Enter v m x g y < k n \"F\" Enter",
    "Home Down P Right X u j u f Esc Shift+Right Shift+Left Esc Shift+Down Shift+Up c Ctrl+V Ctrl+X o # \"1\" Enter ' \"so\" Enter i d z",
    "Home Down P Down Down Down Down Alt+Down Alt+Up I D e Down Down Down Enter S Enter Enter A \"Two\" Enter Enter Enter",
    "Down P Ctrl+G Ctrl+G R Ctrl+G P I Down 1 Down 0 Down 2 Down 3 Ctrl+N Esc",
    "v Enter i Ctrl+E \"Porch waltz\" Enter \"A\" Enter m Down Up Space Enter m Esc",
    "F Up Down Left Right Home End Space 5 x o s Esc d l c c n p v k n t",
    "Down F s \"x32010\" Enter a PageDown PageUp Enter m Esc i I Esc > < y Y Esc - e \"G\" Enter Enter f v",
    "Down F A B = b Esc z g j . , W O R b Esc",
    "R Down Up k v l",
    "L Down Up PageDown PageUp Home End f \"a\" Down Up Backspace Enter f Esc Esc Enter L i t g Left Right Down g e Esc s Esc j p n L C Esc",
    "Tab Shift+Tab T P F R L u r Ctrl+S h Ctrl+T Esc ? Esc",
    "W + - | | x \"0:10\" Enter j c > S \"close\" Ctrl+S o Esc g Space Enter G \"5:00\" Enter",
    "V PageDown PageUp Space a c Esc Down Up u r Esc V ? Esc M Esc",
    "w Down Up PageDown PageUp m Enter w Esc",
    "H Down Up PageDown PageUp Right Left End Home Shift+Right Shift+Left p c t h Esc H H",
    "Down F s \"x32010\" Enter F5 Shift+F5 F6 F7 Shift+F7 A B F8 F3 F4 _ U F9 Esc Ctrl+P",
    "Home Down P F5 { } % Esc @ F6 F5",
    "Ctrl+Z Ctrl+L Ctrl+C Shift+F9 Esc Shift+F8",
    "Ctrl+O Esc q Esc",
    "Ctrl+F \"x\" Down Up PageDown PageUp Backspace \"y\" Ctrl+E Esc Ctrl+F \"redo\" Enter",
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
    start.strike("Down Up ? Esc Enter");
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
