//! Thousands of messages nobody would send on purpose.

use fingerpost::workbench::action::{Action, DeskAction};
use fingerpost::workbench::key::{Cap, Key};
use fingerpost::workbench::message::{Message, Mouse};
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

fn any_key(dice: &mut Dice) -> Key {
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
    let mut key =
        if dice.roll(3) == 0 { Key::plain(dice.pick(&CAPS)) } else { Key::plain(Cap::Char(dice.pick(&letters))) };
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
            3 => Message::Discarded,
            _ => Message::Ending,
        },
    }
}

#[test]
fn no_run_of_messages_breaks_the_workbench_and_undo_leads_back_to_the_first_lesson() {
    let actions: Vec<Action> = Action::all().collect();
    for seed in [1, 0x2545_F491_4F6C_DD1D, 20_061_121, 7_777_777] {
        let mut dice = Dice(seed);
        let mut bench = Bench::small((100, 30));
        let mut first = bench.lesson().clone();
        for count in 0..5_000 {
            bench.send(any_message(&mut dice, &actions));
            // An opening from the start screen brings the lesson back, with a new history.
            if bench.state.desk().is_none() && dice.roll(4) == 0 {
                bench.open(small_lesson());
                first = bench.lesson().clone();
            }
            if count % 50 == 0 {
                bench.buffer();
            }
            if let Some(desk) = bench.state.desk() {
                let lesson = desk.lesson.lesson();
                let selected = desk.timeline.selected();
                let there = selected.is_some_and(|id| lesson.segment(id).is_some());
                assert!(there || lesson.segments.is_empty(), "seed {seed}: the selection is gone");
                let strings = desk.fretboard.rig().strings().count();
                assert_eq!(desk.fretboard.grip().shape.strings().len(), strings, "seed {seed}");
                assert_eq!(desk.fretboard.grip().doubts.len(), strings, "seed {seed}");
            }
        }
        if bench.state.desk().is_some() {
            assert_eq!(bench.replayed, *bench.lesson(), "seed {seed}: the journal tells another story");
            bench.state.notice = None;
            while bench.notice() != "nothing to undo" {
                bench.send(Message::Act(Action::Desk(DeskAction::Undo)));
            }
            assert_eq!(*bench.lesson(), first, "seed {seed}");
        }
    }
}
