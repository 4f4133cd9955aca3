//! Thousands of messages nobody would send on purpose.

use std::collections::BTreeSet;
use std::path::Path;
use std::thread;

use fingerpost::lesson::document::Lesson;
use fingerpost::store::lesson_file;
use fingerpost::workbench::keys::action::{Action, DeskAction, Pane};
use fingerpost::workbench::keys::keystroke::{Cap, Keystroke};
use fingerpost::workbench::messages::message::{Message, Mouse};
use ratatui::layout::{Position, Size};

use super::bench::{Bench, small_lesson};

/// A plain generator, so that a failure comes back with its seed.
pub struct Dice(pub u64);

impl Dice {
    pub fn roll(&mut self, sides: usize) -> usize {
        // Marsaglia's xorshift64 with the triple (13, 7, 17).
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % u64::try_from(sides).unwrap()).unwrap()
    }

    pub fn pick<T: Copy>(&mut self, list: &[T]) -> T {
        list[self.roll(list.len())]
    }

    pub fn number(&mut self, below: u16) -> u16 {
        u16::try_from(self.roll(usize::from(below))).unwrap()
    }
}

fn any_key(dice: &mut Dice) -> Keystroke {
    const CAPS: [Cap; 16] = [
        Cap::Up,
        Cap::Down,
        Cap::Left,
        Cap::Right,
        Cap::Home,
        Cap::End,
        Cap::PageUp,
        Cap::PageDown,
        Cap::Enter,
        Cap::Esc,
        Cap::Tab,
        Cap::Backspace,
        Cap::Delete,
        Cap::Insert,
        Cap::Function(1),
        Cap::Function(12),
    ];
    const LETTERS: &str = "abcdefghijklmnopqrstuvwxyzTPFRLVABDINOS0123456789 +-=:.,?#<[]~'/日é\u{301}\u{1f3b8}";
    let letters: Vec<char> = LETTERS.chars().collect();
    let mut key = if dice.roll(3) == 0 {
        Keystroke::plain(dice.pick(&CAPS))
    } else {
        Keystroke::plain(Cap::Char(dice.pick(&letters)))
    };
    key.ctrl = dice.roll(12) == 0;
    key.alt = dice.roll(24) == 0;
    key.shift = dice.roll(6) == 0 && !matches!(key.cap, Cap::Char(_));
    key
}

fn any_message(dice: &mut Dice, actions: &[Action]) -> Message {
    let place = |dice: &mut Dice| Position { x: dice.number(120), y: dice.number(50) };
    match dice.roll(43) {
        0..=27 => Message::Key(any_key(dice)),
        28..=32 => Message::Act(dice.pick(actions)),
        33 => Message::Mouse(Mouse::Click(place(dice))),
        34 => Message::Mouse(Mouse::WheelUp(place(dice))),
        35 => Message::Mouse(Mouse::WheelDown(place(dice))),
        36 => Message::Resized(Size { width: dice.number(180), height: dice.number(60) }),
        37 => Message::Pasted(dice.pick(&["two\nlines \u{1b}[0m x32010", "e|-3-|\rB|-1-|\rG|-0-|\r"]).to_owned()),
        40 => Message::Mouse(Mouse::Drag(place(dice))),
        41 => Message::Mouse(Mouse::Release(place(dice))),
        39 => Message::Clock(std::time::Duration::from_millis(u64::from(dice.number(u16::MAX)) * 40)),
        38 => Message::Saved(Err("the disk is full".to_owned())),
        _ => match dice.roll(5) {
            0 => Message::HandoutExists("/lessons/workbench.handout.txt".into()),
            1 => Message::TabRead("idea.txt".into(), Ok("e|-3-|\nB|---|\nG|---|\n".to_owned())),
            2 => Message::TabRead("letter.txt".into(), Ok("Dear all,".to_owned())),
            3 => Message::Discarded(Ok(())),
            _ => Message::Ending,
        },
    }
}

/// Returns a key that means something where the workbench stands.
fn meant_key(dice: &mut Dice, bench: &Bench) -> Option<Keystroke> {
    let rows = bench.state.keys.rows_at(bench.state.pane());
    let keys: Vec<Keystroke> = rows.filter_map(|row| row.keys.first().copied()).collect();
    (!keys.is_empty()).then(|| dice.pick(&keys))
}

/// What must hold after every message.
fn stands(bench: &Bench, seed: u64) {
    let Some(desk) = bench.state.desk() else { return };
    let lesson = desk.lesson.lesson();
    let selected = desk.timeline.selected();
    let there = selected.is_some_and(|id| lesson.segment(id).is_some());
    assert!(there || lesson.segments.is_empty(), "seed {seed}: the selection is gone");
    let strings = desk.fretboard.rig().strings().count();
    assert_eq!(desk.fretboard.grip().shape.strings().len(), strings, "seed {seed}");
    assert_eq!(desk.fretboard.grip().doubts.len(), strings, "seed {seed}");
}

/// What must hold now and then: the lesson is one that a file can hold and give back.
fn is_valid(lesson: &Lesson, seed: u64) {
    let text = lesson_file::to_text(lesson).unwrap();
    let read = lesson_file::parse(Path::new("random.lesson.ron"), text.as_bytes()).unwrap();
    assert!(read.lesson == *lesson, "seed {seed}: the lesson is another one when it is read again:\n{text}");
}

/// Undoes everything, does everything again, and compares both ends.
fn goes_back_and_forth(bench: &mut Bench, first: &Lesson, seed: u64) {
    assert!(bench.replayed == *bench.lesson(), "seed {seed}: the journal tells another story");
    let mut all = |action: DeskAction, end: &str| {
        bench.state.said.notice = None;
        while bench.notice() != end {
            bench.send(Message::Act(Action::Desk(action)));
        }
        bench.lesson().clone()
    };
    // The last of all is what was undone in between and never done otherwise since.
    let last = all(DeskAction::Redo, "nothing to redo");
    assert!(all(DeskAction::Undo, "nothing to undo") == *first, "seed {seed}: undoing leads elsewhere");
    assert!(all(DeskAction::Redo, "nothing to redo") == last, "seed {seed}: redoing leads elsewhere");
}

/// What one run has come by.
#[derive(Default)]
struct Reached {
    actions: BTreeSet<Action>,
    places: BTreeSet<Pane>,
}

fn run(seed: u64, messages: usize) -> Reached {
    let actions: Vec<Action> = Action::all().collect();
    let mut dice = Dice(seed);
    let mut bench = Bench::small((100, 30));
    let mut first = bench.lesson().clone();
    let mut reached = Reached::default();
    for count in 0..messages {
        let meant = if dice.roll(3) == 0 { meant_key(&mut dice, &bench) } else { None };
        let message = meant.map_or_else(|| any_message(&mut dice, &actions), Message::Key);
        if let Message::Key(key) = message {
            reached.actions.extend(bench.state.action_for(key));
        }
        bench.send(message);
        reached.places.insert(bench.state.pane());
        bench.wanted.clear();
        // An opening from the start screen brings a lesson back, with a new history.
        if bench.state.desk().is_none() && dice.roll(4) == 0 {
            bench.open(small_lesson());
            first = bench.lesson().clone();
        }
        stands(&bench, seed);
        if count % 100 == 0 {
            bench.buffer();
        }
        if count % 500 == 0
            && let Some(desk) = bench.state.desk()
        {
            is_valid(desk.lesson.lesson(), seed);
        }
        // Long before the lesson is so long that all goes slowly.
        if count % 1_000 == 999 {
            if bench.state.desk().is_some() {
                goes_back_and_forth(&mut bench, &first, seed);
            }
            bench = Bench::small((100, 30));
            first = bench.lesson().clone();
        }
    }
    reached
}

#[test]
fn two_hundred_thousand_messages_break_nothing_and_can_be_undone_and_done_again() {
    const SEEDS: [u64; 8] = [1, 0x2545_F491_4F6C_DD1D, 20_061_121, 7_777_777, 31, 4_096_001, 97, 0xDEAD_BEEF];
    let mut reached = Reached::default();
    thread::scope(|scope| {
        let runs = SEEDS.map(|seed| scope.spawn(move || run(seed, 25_000)));
        for run in runs {
            let more = run.join().unwrap();
            reached.actions.extend(more.actions);
            reached.places.extend(more.places);
        }
    });
    // These have no focus of their own: keys that work everywhere, in every pane, and more keys of the fretboard.
    let everywhere = [Pane::Program, Pane::Desk, Pane::Sound, Pane::Neck];
    let missed: Vec<&Pane> =
        Pane::ALL.iter().filter(|place| !everywhere.contains(place) && !reached.places.contains(place)).collect();
    assert!(missed.is_empty(), "never in focus: {missed:?}");
    let missed: Vec<Action> = Action::all().filter(|action| !reached.actions.contains(action)).collect();
    assert!(missed.is_empty(), "no key ever asked for {missed:?}");
}
