//! A key and a change of size at the same moment.

use super::screen::{self, LESSON, Session, tidy};
use crate::workbench::bench::Bench;
use crate::workbench::random::Dice;

/// What is struck, and what a terminal sends for it by xterm's control sequences.
const KEYS: [(&str, &str); 15] = [
    ("Down", "\x1b[B"),
    ("Up", "\x1b[A"),
    ("Right", "\x1b[C"),
    ("Left", "\x1b[D"),
    ("T", "T"),
    ("F", "F"),
    ("P", "P"),
    ("R", "R"),
    ("L", "L"),
    ("5", "5"),
    ("Space", " "),
    ("*", "*"),
    ("<", "<"),
    ("Delete", "\x1b[3~"),
    ("u", "u"),
];
const SIZES: [(u16, u16); 5] = [(80, 24), (60, 16), (100, 30), (161, 47), (200, 60)];

/// A key and the sizes that the terminal goes through, which may reach the program in any order, and of the sizes only
/// the last; `None` where it matters in which.
fn any_order(before: &Bench, key: &str, sizes: &[(u16, u16)]) -> Option<Bench> {
    let last = &sizes[sizes.len() - 1..];
    let orders = [sizes, last].into_iter().flat_map(|sizes| (0..=sizes.len()).map(move |at| (sizes, at)));
    let mut benches = orders.map(|(sizes, at)| {
        let mut bench = before.clone();
        for (place, (columns, lines)) in sizes.iter().enumerate() {
            if place == at {
                bench.strike(key);
            }
            bench.resize(*columns, *lines);
        }
        if at == sizes.len() {
            bench.strike(key);
        }
        bench
    });
    let bench = benches.next()?;
    let state = format!("{:?}", bench.state);
    benches.all(|other| format!("{:?}", other.state) == state).then_some(bench)
}

#[test]
fn a_key_struck_while_the_size_changes_is_answered_without_another() {
    const TIMES: usize = 100;
    let mut dice = Dice(0x2545_F491_4F6C_DD1D);
    let mut bench = Bench::small((100, 30));
    let mut session = Session::start_in(screen::home_with_lesson(), &["open", LESSON], (100, 30), &[]);
    session.wait_for("the lesson", |screen| screen.contains("all keys"));
    let mut times = 0;
    while times < TIMES {
        let (key, sent) = dice.pick(&KEYS);
        // Now and then to another size and straight on to the last one.
        let sizes = [dice.pick(&SIZES), dice.pick(&SIZES)];
        let sizes = &sizes[..1 + dice.roll(2)];
        match any_order(&bench, key, sizes) {
            Some(after) => {
                bench = after;
                session.type_while_resizing(sent, sizes);
                times += 1;
            }
            None => {
                bench.strike(key);
                session.type_keys(sent);
            }
        }
        let wanted = tidy(&bench.screen());
        let what = format!("the answer to {key}, the {times}th at {sizes:?}:\n{wanted}\n");
        session.wait_for(&what, |screen| tidy(screen) == wanted);
    }
    session.type_keys("\x13");
    session.quit();
}
