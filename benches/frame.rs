//! What a person feels in the workbench: the first frame, and a key until its frame is drawn.
//!
//! Drawn into a buffer of 200 by 60 cells: the terminal's own time is not in these figures.

mod shared;

use std::path::{Path, PathBuf};

use fingerpost::lesson::document::Lesson;
use fingerpost::lesson::fresh::Seed;
use fingerpost::store::demos::DEMOS;
use fingerpost::store::lesson_file::parse;
use fingerpost::store::library::LibraryVoicing;
use fingerpost::store::open_lesson::{Access, SavedState};
use fingerpost::workbench::drawing::appearance::Appearance;
use fingerpost::workbench::keys::keystroke::Keystroke;
use fingerpost::workbench::keys::table::KeyTable;
use fingerpost::workbench::library::item::LibraryItem;
use fingerpost::workbench::messages::message::{Message, OpenedLesson};
use fingerpost::workbench::panes::start::pane::StartPane;
use fingerpost::workbench::screen::frame::draw;
use fingerpost::workbench::state::State;
use fingerpost::workbench::update::routing::update;
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
    opened_with(lesson, Vec::new())
}

/// Returns 10,000 voicings, all different.
fn library(lesson: &Lesson) -> Vec<LibraryItem> {
    let first = lesson.voicings.first().expect("there is one");
    let known = LibraryVoicing::of_lesson(lesson, first, Path::new("bench.lesson.ron")).expect("it has a setup");
    let voicing = |number: usize| {
        let frets = [number % 22, number / 22 % 22, number / 484 % 22].map(|fret| fret.to_string()).join(" ");
        LibraryItem::from(LibraryVoicing {
            name: format!("voicing {number}"),
            shape: format!("x x {frets} x").parse().expect("a shape"),
            ..known.clone()
        })
    };
    (0..10_000).map(voicing).collect()
}

/// Returns the workbench with a lesson open and a library.
fn opened_with(lesson: Lesson, library: Vec<LibraryItem>) -> State {
    let start = StartPane::new(Vec::new(), Vec::new());
    let mut state = State::new(SIZE, Appearance::default(), KeyTable::built_in(), start);
    let opened = OpenedLesson {
        lesson,
        path: PathBuf::from("bench.lesson.ron"),
        access: Access::Full,
        state: SavedState::Saved,
        seed: Seed(1),
        library: library.into(),
        apart: Vec::new(),
        undoable_behind: Vec::new(),
        undoable: Vec::new(),
        left_at: None,
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
    let key: Keystroke = key.parse().expect("a key");
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
    let fretboard: Keystroke = "F".parse().expect("a key");
    update(&mut state, Message::Key(fretboard));
    let mut fret = 0u32;
    bencher.bench_local(|| {
        fret += 1;
        let digit: Keystroke =
            char::from_digit(fret % 9 + 1, 10).map(String::from).unwrap_or_default().parse().expect("a key");
        update(&mut state, Message::Key(digit));
        frame(&state)
    });
}

/// Keys in the library pane and their frames, over the same lesson and 10,000 voicings: moving in the
/// list and through the grids, typing and erasing what to look for, changing the order of the lesson.
#[divan::bench(args = ["list: Down", "grids: Down", "find: 7 Backspace", "lesson: Shift+Down Shift+Up"])]
fn keys_with_10_000_voicings_in_the_library(bencher: divan::Bencher, what: &str) {
    let lesson = large_lesson(500, 4);
    let voicings = library(&lesson);
    let mut state = opened_with(lesson, voicings);
    let (place, keys) = what.split_once(": ").expect("a place and keys");
    let before = match place {
        "grids" => "L z",
        "find" => "L f v o",
        "lesson" => "T",
        _ => "L",
    };
    let keys: Vec<Keystroke> = keys.split(' ').map(|key| key.parse().expect("a key")).collect();
    for key in before.split(' ') {
        update(&mut state, Message::Key(key.parse().expect("a key")));
    }
    let mut turn = keys.iter().cycle();
    bencher.bench_local(|| {
        let key = turn.next().expect("they go round");
        update(&mut state, Message::Key(*key));
        frame(&state)
    });
}

/// A letter typed into the search for an action, and its frame.
#[divan::bench]
fn a_letter_in_the_search_for_an_action(bencher: divan::Bencher) {
    let mut state = opened(large_lesson(500, 4));
    update(&mut state, Message::Key("Ctrl+F".parse().expect("a key")));
    let keys: [Keystroke; 2] = ["s", "Backspace"].map(|key| key.parse().expect("a key"));
    let mut turn = keys.iter().cycle();
    bencher.bench_local(|| {
        update(&mut state, Message::Key(*turn.next().expect("they go round")));
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
#[divan::bench(args = ["e Left", "K < < Left", ". Left", "e"])]
fn a_key_on_a_marked_neck_of_the_demo(bencher: divan::Bencher, keys: &str) {
    let mut state = opened(demo());
    let strike = |state: &mut State, key: &str| {
        let key: Keystroke = key.parse().expect("a key");
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
