//! A number typed before a movement.

use fingerpost::workbench::keys::action::Action;

use super::bench::{Bench, small_lesson};

#[track_caller]
fn selected(bench: &Bench) -> usize {
    let id = bench.desk().timeline.selected().unwrap();
    bench.lesson().segments.iter().position(|segment| segment.id == id).unwrap()
}

#[test]
fn a_number_repeats_the_movement_after_it() {
    let mut bench = Bench::small((100, 30));
    bench.strike("3 Down");
    assert_eq!(selected(&bench), 3);
    bench.strike("2 Up");
    assert_eq!(selected(&bench), 1);
    bench.strike("Down");
    assert_eq!(selected(&bench), 2, "the count is used up");
    bench.strike("9 9 9 9 9 Up");
    assert_eq!(selected(&bench), 0);
    bench.strike("L 2 Down");
    assert_eq!(bench.desk().library.selected(), bench.desk().library.items().nth(2));
}

#[test]
fn a_count_is_shown_given_up_and_lost_on_what_does_not_move() {
    let mut bench = Bench::small((100, 30));
    bench.strike("1 2");
    assert!(bench.screen().contains("12 times"), "{}", bench.screen());
    bench.strike("Esc Down");
    assert_eq!(selected(&bench), 1);
    bench.strike("3 Delete");
    assert_eq!(bench.lesson().segments.len() + 1, small_lesson().segments.len(), "one is deleted");
    bench.strike("0");
    assert!(bench.notice().starts_with("0: no action here"));
}

#[test]
fn digits_put_frets_on_the_fretboard_and_are_typed_where_text_is_typed() {
    let mut bench = Bench::small((100, 30));
    bench.strike("F 5");
    assert_eq!(bench.state.count, None);
    bench.strike("T l Ctrl+U \"12\"");
    assert_eq!(bench.state.count, None);
    bench.strike("Esc L f \"2\"");
    assert_eq!(bench.state.count, None);
}

#[test]
fn only_movements_are_repeated() {
    let words = ["select", "show", "go ", "next", "before"];
    let mut bench = Bench::small((100, 30));
    for action in Action::all().filter(|action| action.repeats()) {
        let name = format!("{action:?}");
        let place = action.home();
        let row = bench.state.keys.rows_of(place).find(|row| row.action == action).unwrap();
        assert!(words.iter().any(|word| row.help.contains(word)), "{name}");
    }
    bench.strike("2 Tab");
    assert_eq!(bench.state.count, None);
}
