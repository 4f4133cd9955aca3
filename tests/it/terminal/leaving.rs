//! Ways to end, or to stop for a while, that nobody at the workbench chose.

use tempfile::TempDir;

use super::screen::{self, LESSON, Session};

/// A program on the small lesson, with a change that is not saved.
fn changed(environment: &[(&str, &str)]) -> Session {
    let home = screen::home_with_lesson();
    let mut session = Session::start_in(home, &["open", LESSON], (80, 24), environment);
    session.wait_for("the lesson", |screen| screen.contains("Two shapes"));
    session.type_keys("aUnsaved thought\r");
    session.wait_for("the new segment", |screen| screen.contains("Unsaved thought"));
    session
}

/// The change is there when the lesson is opened again, and the program says so.
fn comes_back(home: TempDir) {
    let mut again = Session::start_in(home, &["open", LESSON], (80, 24), &[]);
    again.wait_for("the change brought back", |screen| {
        screen.contains("Unsaved thought") && screen.contains("brought back 1 unsaved change")
    });
    again.type_keys("\x13");
    again.wait_for("it saved", |screen| screen.contains("saved in"));
    again.quit();
}

#[test]
fn every_signal_to_end_gives_the_terminal_back_and_keeps_the_work() {
    for (name, number) in [("TERM", 15), ("HUP", 1), ("INT", 2)] {
        let mut session = changed(&[]);
        session.signal(name);
        assert_eq!(session.exit_code(), 128 + number, "as shells report an end by SIG{name}");
        session.assert_given_back();
        session.assert_cooked();
        assert!(session.screen().contains(&format!("ended by signal {number}")), "{}", session.screen());
        comes_back(session.into_home());
    }
}

#[test]
fn undo_goes_on_behind_a_recovery_with_what_had_not_been_undone() {
    let mut session = changed(&[]);
    session.type_keys("aSecond thought\r");
    session.wait_for("the second", |screen| screen.contains("Second thought"));
    session.type_keys("u");
    session.wait_for("it undone", |screen| screen.contains("undone"));
    let (home, _) = session.kill();
    let mut again = Session::start_in(home, &["open", LESSON], (100, 30), &[]);
    again.wait_for("the changes brought back", |screen| {
        screen.contains("brought back 1 unsaved change;") && screen.contains("Unsaved thought")
    });
    for _ in 0..6 {
        again.type_keys("u");
    }
    again.wait_for("all undone", |screen| screen.contains("nothing to undo") && !screen.contains("Unsaved thought"));
    again.type_keys("U");
    again.wait_for("the first made again", |screen| screen.contains("Unsaved thought") && !screen.contains("Second"));
    again.type_keys("\x13");
    again.quit();
}

#[test]
fn what_is_being_written_is_kept_too() {
    let mut session = changed(&[]);
    session.type_keys("pThe thumb stays down");
    session.wait_for("the point", |screen| screen.contains("The thumb stays down"));
    session.signal("HUP");
    assert_eq!(session.exit_code(), 128 + 1);
    let again = Session::start_in(session.into_home(), &["open", LESSON], (100, 30), &[]);
    again.wait_for("the point brought back", |screen| screen.contains("brought back 2 unsaved changes"));
}

#[test]
fn a_terminal_that_is_closed_keeps_the_work() {
    // Words that are being written are in the lesson, too.
    for written in ["", "pThe thumb stays down"] {
        let mut session = changed(&[]);
        session.type_keys(written);
        session.wait_for("the words", |screen| screen.contains(written.trim_start_matches('p')));
        let (home, code) = session.close_terminal();
        assert_eq!(code, 128 + 1, "as shells report an end by SIGHUP");
        let mut again = Session::start_in(home, &["open", LESSON], (100, 30), &[]);
        let changes = if written.is_empty() { "1 unsaved change;" } else { "2 unsaved changes" };
        again.wait_for("the change brought back", |screen| screen.contains(&format!("brought back {changes}")));
        again.type_keys("\x13");
        again.quit();
    }
}

#[test]
fn a_window_opened_for_reading_only_takes_over_when_the_other_is_gone() {
    let first = changed(&[]);
    let path = first.path("");
    let mut second = Session::start_in(screen::home(), &["open", path.join(LESSON).to_str().unwrap()], (120, 30), &[]);
    second.wait_for("it for reading only", |screen| screen.contains("open in another window"));
    // Shift+F8, as xterm sends it.
    second.type_keys("\x1b[19;2~");
    second
        .wait_for("who still has it", |screen| screen.contains("still for reading only: it is open in another window"));
    let (_home, _) = first.kill();
    second.wait_for("that it is free", |screen| screen.contains("to write in it here: Shift+F8"));
    second.type_keys("\x1b[19;2~");
    second.wait_for("the lesson with what waited in its journal", |screen| {
        screen.contains("Unsaved thought") && screen.contains("brought back 1 unsaved change")
    });
    second.type_keys("\x13");
    second.wait_for("it saved", |screen| screen.contains("saved in"));
    second.quit();
}

#[test]
#[cfg(target_os = "linux")]
fn stopped_and_continued_it_gives_the_terminal_back_meanwhile() {
    for by_key in [true, false] {
        let mut session = changed(&[]);
        if by_key {
            session.type_keys("\x1a");
        } else {
            session.signal("TSTP");
        }
        session.wait_until_stopped();
        session.wait_for("the first screen", |_| true);
        session.wait_until(|session| !session.is_full_screen());
        session.assert_given_back();
        session.assert_cooked();
        session.resize((100, 30));
        session.signal("CONT");
        session.wait_until(Session::is_full_screen);
        session.wait_for("the panes at their new size", |screen| {
            screen.contains("Unsaved thought") && screen.contains("Voicings") && screen.contains("Fretboard")
        });
        session.type_keys("u");
        session.wait_for("keys answered again", |screen| screen.contains("undone"));
        session.type_keys("\x13");
        session.quit();
        session.assert_given_back();
    }
}

#[test]
#[cfg(debug_assertions)]
fn a_fault_of_our_own_gives_the_terminal_back_and_is_told() {
    for place in ["reading", "updating"] {
        let mut session = changed(&[("FINGERPOST_FAULT", place), ("RUST_BACKTRACE", "0")]);
        // F12, as xterm sends it.
        session.type_keys("\x1b[24~");
        assert_eq!(session.exit_code(), 101, "{place}");
        session.assert_given_back();
        session.assert_cooked();
        let screen = session.screen();
        assert!(screen.contains("this is a fault of the program, not yours"), "{place}: {screen}");
        assert!(screen.contains("in the journal"), "{place}: {screen}");
        comes_back(session.into_home());
    }
}

/// Nobody strikes a key or leaves: a moment after the change the disk is asked by itself.
#[test]
#[cfg(debug_assertions)]
fn a_disk_that_does_not_confirm_the_journal_is_told_of_once_the_keys_are_quiet() {
    let mut session = changed(&[("FINGERPOST_FAULT", "syncing")]);
    session.wait_for("what the disk said", |screen| screen.contains("the disk did not confirm the"));
    session.type_keys("\x13");
    session.wait_for("it saved", |screen| screen.contains("saved in"));
    session.quit();
}

#[test]
#[cfg(debug_assertions)]
fn a_fault_in_work_behind_the_keys_is_told_on_the_screen_and_the_keys_go_on() {
    let environment = [("FINGERPOST_FAULT", "working")];
    let mut session = Session::start_in(screen::home_with_lesson(), &["open", LESSON], (100, 30), &environment);
    // The first work behind the keys is to read the library or to write the settings, whichever comes first.
    session.wait_for("the fault", |screen| screen.contains("a fault of the program, not yours, while "));
    session.type_keys("aStill here\r");
    session.wait_for("keys answered", |screen| screen.contains("Still here"));
    session.type_keys("\x13");
    session.wait_for("it saved", |screen| screen.contains("saved in"));
    session.quit();
    session.assert_given_back();
}

#[test]
fn a_mouse_report_of_column_nought_is_let_be() {
    let mut session = changed(&[]);
    session.type_keys("\x1b[<0;0;0M\x1b[<0;0;5m\x1b[32;0;0M");
    session.type_keys("u");
    session.wait_for("keys answered", |screen| screen.contains("undone"));
    session.type_keys("\x13");
    session.quit();
}

#[test]
fn words_in_a_box_and_fingers_on_the_neck_outlive_kills_at_once_one_after_the_other() {
    let mut session = Session::start_in(screen::home_with_lesson(), &["open", LESSON], (160, 48), &[]);
    session.wait_for("the lesson", |screen| screen.contains("Porch chords"));
    session.type_keys("Fs131211\rTpHalf a sen\x1b[D");
    session.wait_for("the words", |screen| screen.contains("Half a sen"));
    for _ in 0..3 {
        let (folder, _) = session.kill();
        session = Session::start_in(folder, &["open", LESSON], (160, 48), &[]);
        session.wait_for("the words in their box", |screen| screen.contains("Half a sen"));
        session.wait_for("the fingers", |screen| screen.contains("the fingers 1 3 1 2 1 1 are back"));
    }
    session.type_keys("tence, mai");
    session.wait_for("more words where the cursor was", |screen| screen.contains("Half a setence, main"));
    // Taken into the lesson and saved, the words are not there a second time; the fingers are, until a voicing holds them.
    session.type_keys("\x13");
    session.wait_for("the words taken", |screen| screen.contains("talking points changed"));
    session.type_keys("\x13");
    session.wait_for("it saved", |screen| screen.contains("saved in"));
    session.quit();
    let mut session = Session::start_in(session.into_home(), &["open", LESSON], (160, 48), &[]);
    session.wait_for("the fingers", |screen| screen.contains("the fingers 1 3 1 2 1 1 are back"));
    session.type_keys("Fv");
    // The library is written behind the keys and tells of it whenever it is done, so Ctrl+S waits for that.
    session.wait_for("the voicing in the library", |screen| screen.contains("and in the library"));
    session.type_keys("\x13");
    session.wait_for("it saved", |screen| screen.contains("saved in"));
    session.quit();
    assert!(!session.path(&format!(".{LESSON}.draft")).exists());
}

#[test]
fn a_script_of_100_000_words_is_kept_while_it_lies_in_its_box() {
    let script: Vec<String> = (0..100_000).map(|number| format!("word{number}")).collect();
    let mut session = Session::start_in(screen::home_with_lesson(), &["open", LESSON], (160, 48), &[]);
    session.wait_for("the lesson", |screen| screen.contains("Porch chords"));
    session.type_keys("p");
    session.wait_for("the box", |screen| screen.contains("Talking points"));
    session.type_keys(&format!(
        "\x1b[200~{}\x1b[201~",
        script.chunks(10).map(|line| line.join(" ")).collect::<Vec<_>>().join("\r")
    ));
    session.wait_for("the end of it", |screen| screen.contains("word99999"));
    session.type_keys("!");
    session.wait_for("the key", |screen| screen.contains("word99999!"));
    // A moment later all of it is kept, although no key is struck.
    let draft = session.path(&format!(".{LESSON}.draft"));
    session.wait_until(|_| std::fs::read_to_string(&draft).is_ok_and(|text| text.contains("word99999!")));
    let (folder, _) = session.kill();
    let mut session = Session::start_in(folder, &["open", LESSON], (160, 48), &[]);
    session.wait_for("the script in its box", |screen| screen.contains("word99999!"));
    session.type_keys("\x13");
    session.wait_for("the script taken", |screen| screen.contains("talking points changed"));
    session.type_keys("\x13");
    session.wait_for("it saved", |screen| screen.contains("saved in"));
    session.quit();
    let saved = session.file(LESSON);
    assert!(script.chunks(10).all(|line| saved.contains(&line.join(" "))));
}
