//! What the wheel of the mouse does in the pane that it is turned over.

use fingerpost::workbench::keys::action::Focus;
use fingerpost::workbench::messages::message::{Message, Mouse};
use ratatui::layout::Position;

use super::bench::Bench;

/// A place inside a pane.
fn inside(bench: &Bench, focus: Focus) -> Position {
    let area = bench.state.layout().unwrap().pane(focus).area;
    Position { x: area.x + 2, y: area.y + 2 }
}

/// Turns the wheel toward the person and away again, and compares what is selected before, between and after.
#[track_caller]
fn check<T: PartialEq + std::fmt::Debug>(bench: &mut Bench, focus: Focus, seen: impl Fn(&Bench) -> T) -> (T, T) {
    let before = seen(bench);
    let place = inside(bench, focus);
    bench.send(Message::Mouse(Mouse::WheelDown(place)));
    let between = seen(bench);
    bench.send(Message::Mouse(Mouse::WheelUp(place)));
    assert_eq!(seen(bench), before, "{focus:?}: away from the person is back");
    (before, between)
}

#[test]
fn the_wheel_toward_the_person_goes_on_in_the_pane_under_it() {
    let mut bench = Bench::small((160, 48));
    bench.strike("Down F s \"x32010\" Enter R Home L Home T Home");
    let (first, second) = check(&mut bench, Focus::Library, |bench| bench.desk().library.selected().unwrap().name());
    assert_ne!(first, second, "the library goes to the next voicing");
    let (before, after) = check(&mut bench, Focus::Fretboard, |bench| bench.desk().fretboard.cursor().1.number());
    assert_eq!(after, before + 1, "the fretboard goes toward the body");
    let (before, after) = check(&mut bench, Focus::Timeline, |bench| bench.desk().timeline.selected());
    assert_ne!(before, after, "the timeline goes to the next segment");
    let reading = |bench: &Bench| bench.desk().readings.selected().map(|named| named.reading.symbol.clone());
    let (before, after) = check(&mut bench, Focus::Readings, reading);
    assert_ne!(before, after, "the readings go to the next one");
}
