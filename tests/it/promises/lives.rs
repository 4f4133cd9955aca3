//! Lives of a lesson between which its file is exchanged: whatever comes back is there behind undo and redo, and "saved" is
//! said only of what the file holds.

use std::fs;

use fingerpost::lesson::document::Lesson;
use fingerpost::store::lesson_file;
use proptest::prelude::*;

use super::at_the_keys::{AtTheKeys, House};
use super::{Beginning, house};

/// What may be done in a life; each leaves no box open.
const SCRIPTS: &[&str] = &[
    "T Home Enter Home \"Re \" Enter",
    "T Home Down Enter Home \"Two \" Enter",
    "T Home l \"7:30\" Enter",
    "T Home Down l \"+5\" Enter",
    "T Home a \"New part\" Enter",
    "T End Delete",
    "T Home c",
    "Ctrl+T \"!\" Enter",
    "u",
    "u u",
    "U",
    "Ctrl+S",
    "Ctrl+S",
    "Ctrl+S",
];

/// One life: what is done in it, and which of the contents that the file has had lies there at the next opening.
#[derive(Debug, Clone)]
struct Life {
    scripts: Vec<&'static str>,
    file: Option<prop::sample::Index>,
}

fn lives() -> impl Strategy<Value = Vec<Life>> {
    let scripts = prop::collection::vec(prop::sample::select(SCRIPTS), 0..6);
    let file = prop::option::weighted(0.7, any::<prop::sample::Index>());
    prop::collection::vec((scripts, file).prop_map(|(scripts, file)| Life { scripts, file }), 2..6)
}

fn lesson(seat: &AtTheKeys) -> Lesson {
    seat.lesson().cloned().unwrap()
}

/// Checks that "saved" is said only of what the file holds.
#[track_caller]
fn check_saved(seat: &AtTheKeys, house: &House) {
    let screen = seat.screen();
    let head = screen.lines().next().unwrap().trim_end();
    if head.ends_with("saved") {
        assert!(
            lesson_file::load(&house.path).unwrap().lesson == lesson(seat),
            "said to be saved, and it is not: {head}"
        );
    }
}

/// Strikes a key of undo or redo until it says that there is nothing left; returns what stood before each time.
#[track_caller]
fn go_on_until(seat: &mut AtTheKeys, house: &House, key: &str, nothing: &str) -> Vec<Lesson> {
    let mut stood = Vec::new();
    for _ in 0..300 {
        let before = lesson(seat);
        seat.strike(key);
        check_saved(seat, house);
        if seat.state().said.notice.as_ref().is_some_and(|notice| notice.text == nothing) {
            return stood;
        }
        stood.push(before);
    }
    panic!("{key} never ends")
}

/// Undoes everything, and does everything again: each of the ways it stood is there again.
#[track_caller]
fn check_undo(seat: &mut AtTheKeys, house: &House) {
    check_saved(seat, house);
    let came_back = lesson(seat);
    let mut down = go_on_until(seat, house, "u", "nothing to undo");
    down.reverse();
    let up = go_on_until(seat, house, "U", "nothing to redo");
    assert!(lesson(seat) == came_back, "undo took along what no step is about");
    assert!(up.get(1..).unwrap_or_default() == &down[..down.len().saturating_sub(1)], "other steps up than down");
}

fn live(lives: &[Life]) {
    let house = house(Beginning::Saved);
    let mut contents = vec![fs::read(&house.path).unwrap()];
    let mut seat = AtTheKeys::start(&house).unwrap();
    for life in lives {
        for script in &life.scripts {
            seat.strike(script);
            check_saved(&seat, &house);
            let content = fs::read(&house.path).unwrap();
            if !contents.contains(&content) {
                contents.push(content);
            }
        }
        seat.kill();
        if let Some(file) = &life.file {
            fs::write(&house.path, file.get(&contents)).unwrap();
            house.weather.changed_outside(&house.path);
        }
        seat = AtTheKeys::start(&house).unwrap();
        // The list of what both sides have changed can wait.
        seat.strike("Esc");
        check_undo(&mut seat, &house);
    }
    seat.kill();
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, max_shrink_iters: 60, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn undone_and_redone_to_the_end_it_is_what_came_back(plan in lives()) {
        live(&plan);
    }
}

/// A change that was carried over to another content of the file, which then was put back, is no step that undo may take along.
#[test]
fn what_was_carried_over_to_a_file_that_was_exchanged_stays_when_everything_is_undone() {
    let house = house(Beginning::Saved);
    let mut seat = AtTheKeys::start(&house).unwrap();
    seat.strike("T Home Enter Home \"Re \" Enter Ctrl+S");
    let first = fs::read(&house.path).unwrap();
    seat.strike("T Home Down Enter Home \"Two \" Enter Ctrl+S");
    let second = fs::read(&house.path).unwrap();
    seat.kill();
    fs::write(&house.path, &first).unwrap();
    let mut seat = AtTheKeys::start(&house).unwrap();
    seat.strike("T Home l \"7:30\" Enter");
    seat.kill();
    fs::write(&house.path, &second).unwrap();
    let mut seat = AtTheKeys::start(&house).unwrap();
    let came_back = lesson(&seat);
    assert_eq!(came_back.segments[0].planned.to_string(), "7:30");
    let undone = go_on_until(&mut seat, &house, "u", "nothing to undo");
    assert_eq!((undone.len(), &lesson(&seat)), (0, &came_back), "it is in no list of steps");
    // A step behind it is undone as ever, and goes on behind the next save.
    seat.strike("T Home Enter Home \"Own \" Enter Ctrl+S");
    seat.kill();
    let mut seat = AtTheKeys::start(&house).unwrap();
    let undone = go_on_until(&mut seat, &house, "u", "nothing to undo");
    assert_eq!((undone.len(), &lesson(&seat)), (1, &came_back));
    seat.kill();
}
