//! Keys whose bytes arrive one by one, as over a slow line: nothing is done that nobody has struck.

use std::fs;
use std::time::Duration;

use fingerpost::store::folders::Folders;

use super::screen::{self, LESSON, Session};

/// A program that waits a second for the rest of a key, so that a busy machine changes nothing.
fn patient() -> Session {
    let home = screen::home_with_lesson();
    let settings = Folders::under(home.path()).settings();
    fs::create_dir_all(settings.parent().unwrap()).unwrap();
    fs::write(settings, "(escape_wait: 1000)").unwrap();
    let session = Session::start_in(home, &["open", LESSON], (100, 30), &[]);
    session.wait_for("the lesson", |screen| screen.contains("all keys"));
    session
}

/// Types bytes in two parts with a moment between them.
fn type_split(session: &mut Session, sequence: &str, cut: usize) {
    let (begin, rest) = sequence.as_bytes().split_at(cut);
    assert!(session.type_bytes(begin));
    session.wait_a_moment(Duration::from_millis(50));
    assert!(session.type_bytes(rest));
}

#[test]
fn a_key_whose_bytes_are_split_changes_nothing_in_the_lesson() {
    let mut session = patient();
    session.type_keys("T\x1b[H\x1b[BP");
    // xterm's control sequences for Left, Home, Delete on nothing, F5, Shift+Left, Insert, Ctrl+Left and a wheel of the mouse. Their
    // letters alone would remove a bar, add one, or write frets.
    for sequence in ["\x1b[D", "\x1bOD", "\x1b[H", "\x1b[15~", "\x1b[1;2D", "\x1b[1;5D", "\x1b[<65;3;3M"] {
        for cut in 1..sequence.len() {
            type_split(&mut session, sequence, cut);
        }
    }
    session.type_keys("?");
    session.wait_for("the help, after all of them", |screen| screen.contains("All keys"));
    session.type_keys("\x1b");
    session.wait_for("the help put away", |screen| !screen.contains("All keys"));
    // A lesson with a change would ask before it is left.
    session.quit();
}

#[test]
fn pasted_text_whose_first_byte_comes_alone_is_pasted_and_not_struck() {
    let mut session = patient();
    let mut pasted = String::new();
    session.type_keys("a");
    session.wait_for("the box", |screen| screen.contains("segment"));
    for cut in 1..6 {
        type_split(&mut session, &format!("\x1b[200~Dd{cut} \x1b[201~"), cut);
        pasted.push_str(&format!("Dd{cut} "));
    }
    type_split(&mut session, "\x1b[200~end\x1b[201~", 10);
    pasted.push_str("end");
    session.wait_for("the text", |screen| screen.contains(&pasted));
    session.type_keys("\x1b");
    session.wait_for("the box put away", |screen| !screen.contains("Dd1"));
    session.quit();
}
