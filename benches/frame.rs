//! What a person feels in the workbench: the first frame, and a key until its frame is drawn.
//!
//! Drawn into a buffer of 200 by 60 cells: the terminal's own time is not in these figures.

mod shared;

use std::path::PathBuf;

use fingerpost::lesson::document::Lesson;
use fingerpost::store::demos::DEMOS;
use fingerpost::store::lesson_file::parse;
use fingerpost::workbench::edited_lesson::{Access, Origin};
use fingerpost::workbench::key::Key;
use fingerpost::workbench::keys::KeyTable;
use fingerpost::workbench::look::Look;
use fingerpost::workbench::message::{Message, Opened};
use fingerpost::workbench::panes::start::StartPane;
use fingerpost::workbench::screen::draw;
use fingerpost::workbench::state::State;
use fingerpost::workbench::update::update;
use ratatui::buffer::Buffer;
use ratatui::layout::{Rect, Size};
use shared::large_lesson;

const SIZE: Size = Size { width: 200, height: 60 };

fn main() {
    divan::main();
}

fn demo() -> Lesson {
    let demo = DEMOS.first().expect("there are demos");
    parse(&PathBuf::from("demo.lesson.ron"), demo.text.as_bytes()).expect("it reads").lesson
}

/// Returns the workbench with a lesson open.
fn opened(lesson: Lesson) -> State {
    let start = StartPane::new(Vec::new(), Vec::new());
    let mut state = State::new(SIZE, Look::default(), KeyTable::built_in(), start);
    let opened = Opened {
        lesson,
        path: PathBuf::from("bench.lesson.ron"),
        access: Access::Free,
        origin: Origin::File,
        library: Vec::new(),
        notice: None,
    };
    update(&mut state, Message::Opened(Ok(Box::new(opened))));
    state
}

fn frame(state: &State) -> Buffer {
    let area = Rect::new(0, 0, SIZE.width, SIZE.height);
    let mut buffer = Buffer::empty(area);
    draw(state, area, &mut buffer);
    buffer
}

#[divan::bench]
fn first_frame_of_the_demo() -> Buffer {
    frame(&opened(demo()))
}

#[divan::bench]
fn first_frame_of_500_segments_and_2000_bars(bencher: divan::Bencher) {
    let lesson = large_lesson(500, 4);
    bencher.with_inputs(|| lesson.clone()).bench_values(|lesson| frame(&opened(lesson)));
}

/// A key that moves, and its frame.
#[divan::bench(args = ["Down", "Tab"])]
fn a_key_in_500_segments_and_2000_bars(bencher: divan::Bencher, key: &str) {
    let key: Key = key.parse().expect("a key");
    let mut state = opened(large_lesson(500, 4));
    bencher.bench_local(|| {
        update(&mut state, Message::Key(key));
        frame(&state)
    });
}

/// A finger put on the fretboard: an edit of nothing, but every name is found anew.
#[divan::bench]
fn a_finger_put_down_in_500_segments_and_2000_bars(bencher: divan::Bencher) {
    let mut state = opened(large_lesson(500, 4));
    let fretboard: Key = "F".parse().expect("a key");
    update(&mut state, Message::Key(fretboard));
    let mut fret = 0u32;
    bencher.bench_local(|| {
        fret += 1;
        let digit: Key =
            char::from_digit(fret % 9 + 1, 10).map(String::from).unwrap_or_default().parse().expect("a key");
        update(&mut state, Message::Key(digit));
        frame(&state)
    });
}

/// A key of the tab editor and its frame, in one passage of 500 bars: the cursor moves, a fret is put
/// down at the beginning, and in the middle.
#[divan::bench(args = ["Right", "PageDown", "fret", "fret in the middle", "new bar"])]
fn a_key_in_a_passage_of_500_bars(bencher: divan::Bencher, what: &str) {
    let mut state = opened(large_lesson(1, 500));
    let strike = |state: &mut State, key: &str| {
        update(state, Message::Key(key.parse().expect("a key")));
    };
    strike(&mut state, "P");
    if what == "fret in the middle" {
        (0..40).for_each(|_| strike(&mut state, "PageDown"));
    }
    let mut fret = 0u32;
    bencher.bench_local(|| {
        fret += 1;
        let digit = (fret % 2 + 3).to_string();
        match what {
            "Right" | "PageDown" => strike(&mut state, what),
            "new bar" => strike(&mut state, "I"),
            _ => strike(&mut state, &digit),
        }
        frame(&state)
    });
}

/// A cursor key where every guide is drawn: targets or nodes and notes of the key, beside a ghost; and the key that
/// searches for the same chord elsewhere.
#[divan::bench(args = ["a Left", "g j j Left", ". Left", "a"])]
fn a_key_on_a_marked_neck_of_the_demo(bencher: divan::Bencher, keys: &str) {
    let mut state = opened(demo());
    let strike = |state: &mut State, key: &str| {
        let key: Key = key.parse().expect("a key");
        update(state, Message::Key(key));
    };
    for key in "Down Down Down Down Down F".split(' ') {
        strike(&mut state, key);
    }
    let (before, last) = keys.rsplit_once(' ').unwrap_or(("Esc", keys));
    before.split(' ').for_each(|key| strike(&mut state, key));
    bencher.bench_local(|| {
        let mut state = state.clone();
        strike(&mut state, last);
        frame(&state)
    });
}
