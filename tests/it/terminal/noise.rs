//! Bytes that nobody would send on purpose, for a minute in all: the program stands, or ends as it should.

use std::thread;
use std::time::{Duration, Instant};

use fingerpost::store::open_lesson::{OpenLesson, OpeningNotice};

use super::screen::{self, LESSON, Session};
use crate::workbench::random::Dice;

/// How long each of the four kinds goes on; together a minute.
const LONG: Duration = Duration::from_secs(15);
/// What stops the process until a shell continues it, and there is no shell here; and, once the workbench has ended
/// and its terminal is as it was, kills what is left of it.
const NOT_FOR_US: [u8; 2] = [0x1a, 0x1c];

const CTRL_C: u8 = 0x03;
/// The most bytes that are sent at once, but for a paste.
const MOST_AT_ONCE: usize = 64;

fn any_bytes(dice: &mut Dice) -> Vec<u8> {
    let count = 1 + dice.roll(MOST_AT_ONCE);
    (0..count).map(|_| u8::try_from(dice.roll(256)).unwrap()).collect()
}

/// Letters and the control characters that keys send.
fn keys(dice: &mut Dice) -> Vec<u8> {
    let count = 1 + dice.roll(24);
    (0..count).map(|_| u8::try_from(dice.roll(128)).unwrap()).collect()
}

/// Control sequences, whole, cut off and made up; ECMA-48, 5.4: parameters, intermediates, one final.
fn sequences(dice: &mut Dice) -> Vec<u8> {
    let mut bytes = b"\x1b[".to_vec();
    for _ in 0..dice.roll(6) {
        let number = dice.number(u16::MAX);
        bytes.extend(number.to_string().bytes());
        bytes.push(dice.pick(b";:<?>"));
    }
    if dice.roll(4) > 0 {
        bytes.push(u8::try_from(0x40 + dice.roll(0x3f)).unwrap());
    }
    bytes.extend(dice.pick(&["", "\x1b", "\x1bO", "a", "\r", "F", "P"]).bytes());
    bytes
}

/// Mouse reports and pasted text, as xterm's control sequences document them.
fn mouse_and_paste(dice: &mut Dice) -> Vec<u8> {
    let (button, column, line) = (dice.pick(&[0, 0, 32, 32, 64, 65, 2]), dice.number(110), dice.number(35));
    match dice.roll(8) {
        0 => b"\x1b[200~e|--3--|\nB|--1--|\n\x1b[31m\xff\xe6\x97\x1b[201~".to_vec(),
        1 => keys(dice),
        _ => format!("\x1b[<{button};{column};{line}{}", dice.pick(&["M", "M", "m"])).into_bytes(),
    }
}

fn noise(seed: u64, make: fn(&mut Dice) -> Vec<u8>) {
    let mut dice = Dice(seed);
    let mut home = screen::home_with_lesson();
    let begun = Instant::now();
    while begun.elapsed() < LONG {
        let mut session = Session::start_in(home, &["open", LESSON], (100, 30), &[]);
        session.wait_for("the lesson", |screen| screen.contains("Timeline"));
        let mut sent = Vec::new();
        let mut runs = true;
        while runs && begun.elapsed() < LONG {
            let mut bytes = make(&mut dice);
            bytes.retain(|byte| !NOT_FOR_US.contains(byte));
            runs = session.type_bytes(&bytes);
            sent.extend(bytes);
            session.wait_a_moment(Duration::from_millis(20));
        }
        // Where it has ended of itself, a Ctrl+S that came too late holds back its last words; this lets them go on.
        if session.type_bytes(b"\x11") {
            session.terminate();
        }
        let code = session.exit_code();
        let tail = String::from_utf8_lossy(&sent[sent.len().saturating_sub(400)..]).into_owned();
        let said = session.sent();
        let fault = said.find("panicked").map(|at| said[at..].chars().take(300).collect::<String>());
        assert!(fault.is_none(), "seed {seed}: after {tail:?}:\n{fault:?}");
        assert!([0, 128 + 15].contains(&code), "seed {seed}: ended with {code} after {tail:?}\n{}", session.screen());
        // Once the terminal is as it was, Ctrl+C throws away what nobody has read of it yet, the farewell with it
        // (termios(3), NOFLSH).
        if !sent.iter().rev().take(3 * MOST_AT_ONCE).any(|byte| *byte == CTRL_C) {
            assert!(!session.is_full_screen(), "seed {seed}: ended with {code} after {tail:?}");
            session.assert_given_back();
        }
        home = session.into_home();
        let opened = OpenLesson::open(&home.path().join(LESSON)).unwrap();
        let kept = opened.file.notices().iter().find(|notice| matches!(notice, OpeningNotice::JournalKept(_)));
        assert!(kept.is_none(), "seed {seed}: {kept:?} after {tail:?}");
    }
}

#[test]
fn a_minute_of_bytes_of_four_kinds_at_once_breaks_nothing() {
    thread::scope(|scope| {
        scope.spawn(|| noise(21, any_bytes));
        scope.spawn(|| noise(22, keys));
        scope.spawn(|| noise(23, sequences));
        scope.spawn(|| noise(24, mouse_and_paste));
    });
}
