//! What the workbench finds around it: sizes, colours, characters, another window, and nothing to do.

use std::fs;

use super::screen::{self, LESSON, Session};

fn on_lesson(size: (u16, u16), environment: &[(&str, &str)]) -> Session {
    let home = screen::home_with_lesson();
    let session = Session::start_in(home, &["open", LESSON], size, environment);
    session.wait_for("the lesson", |screen| screen.contains("all keys") || screen.contains("? help"));
    session
}

#[test]
fn a_storm_of_sizes_while_typing_loses_no_key_and_ends_at_the_last_size() {
    const SIZES: [(u16, u16); 6] = [(40, 10), (300, 100), (80, 24), (60, 16), (100, 30), (161, 47)];
    let mut session = on_lesson((100, 30), &[]);
    session.type_keys("a");
    session.wait_for("the box", |screen| screen.contains("segment"));
    let mut typed = String::new();
    for (count, letter) in "the quick storm of sizes over every pane at once".chars().enumerate() {
        session.type_keys(&letter.to_string());
        session.resize(SIZES[count % SIZES.len()]);
        typed.push(letter);
    }
    session.resize((200, 60));
    session.wait_for("all that was typed", |screen| screen.contains(&typed));
    session.type_keys("\r");
    session.wait_for("the segment", |screen| screen.contains(&typed) && screen.contains("not saved yet"));
    session.type_keys("\x13");
    session.quit();
    assert!(session.file(LESSON).contains(&typed));
}

#[test]
fn in_a_plain_locale_every_byte_is_ascii_and_without_colour_none_is_sent() {
    for (variable, value) in [("LANG", "C"), ("LC_ALL", "C"), ("LC_CTYPE", "POSIX")] {
        let environment = [("LANG", "C"), (variable, value), ("NO_COLOR", "1")];
        let mut session = on_lesson((100, 30), &environment);
        session.type_keys("PFRLT?");
        session.wait_for("the help", |screen| screen.contains("All keys"));
        session.type_keys("\x1b");
        session.wait_for("the help put away", |screen| !screen.contains("All keys"));
        session.quit();
        let sent = session.sent();
        let odd: Vec<char> = sent.chars().filter(|letter| !letter.is_ascii()).collect();
        assert!(odd.is_empty(), "{variable}: {odd:?}");
        assert_eq!(colours(&sent), Vec::<String>::new(), "{variable}");
    }
}

#[test]
fn with_colour_there_is_some() {
    let mut session = on_lesson((100, 30), &[]);
    session.quit();
    assert!(!colours(&session.sent()).is_empty(), "or the check for none proves nothing");
}

/// The colours asked for; ECMA-48, 8.3.117 (SGR): 30-37, 40-47, and the brighter 90-97, 100-107 and 38, 48 of xterm.
fn colours(sent: &str) -> Vec<String> {
    let sequences = sent.split("\x1b[").filter_map(|rest| rest.split_once('m')).map(|(parameters, _)| parameters);
    let sequences = sequences.filter(|text| text.chars().all(|letter| letter.is_ascii_digit() || letter == ';'));
    let coloured = |text: &&str| {
        let mut numbers = text.split(';').filter_map(|number| number.parse::<u8>().ok());
        numbers.any(|number| matches!(number, 30..=38 | 40..=48 | 90..=97 | 100..=107))
    };
    sequences.filter(coloured).map(str::to_owned).collect()
}

#[test]
fn a_dumb_terminal_is_told_what_to_use_instead() {
    let mut session = Session::start(&["demo"], (80, 24), &[("TERM", "dumb")]);
    assert_eq!(session.exit_code(), 2);
    assert!(!session.was_full_screen());
    let screen = session.screen();
    assert!(screen.contains("TERM=dumb") && screen.contains("fingerpost handout FILE"), "{screen}");
    assert!(!session.sent().contains('\x1b'), "{:?}", session.sent());
}

#[test]
fn wide_and_combining_characters_leave_the_columns_straight() {
    let mut session = on_lesson((100, 30), &[]);
    session.type_keys("T\x1b[B");
    for title in ["日本の歌", "cafe\u{301} noe\u{308}l", "plain one"] {
        session.type_keys("\r\x15");
        session.wait_for("the box", |screen| screen.contains("Enter OK"));
        session.type_keys(&format!("{title}\r"));
        session.wait_for("the title", |screen| screen.contains(title) && !screen.contains("Enter OK"));
        let columns = [session.place_of("standard", "Hello").0, session.place_of("standard", title).0];
        assert_eq!(columns[0], columns[1], "{}", session.screen());
    }
    session.type_keys("\x13");
    session.quit();
}

#[test]
fn a_second_window_may_only_read_and_a_change_on_disk_is_the_users_to_decide() {
    let mut first = on_lesson((100, 30), &[]);
    let path = first.path(LESSON);
    let path = path.to_str().unwrap();
    let mut second = Session::start(&["open", path], (100, 30), &[]);
    second.wait_for("that it is open elsewhere", |screen| screen.contains("reading only"));
    second.type_keys("\x1b[3~");
    second.wait_for("the refusal", |screen| screen.contains("not changed") && screen.contains("Goodbye"));
    second.quit();

    first.type_keys("aMine\r");
    first.wait_for("the segment", |screen| screen.contains("Mine"));
    let other = fs::read_to_string(path).unwrap().replace("Two shapes", "Theirs");
    fs::write(path, &other).unwrap();
    first.type_keys("\x13");
    first.wait_for("the question", |screen| screen.contains("changed by another program"));
    first.type_keys("\r");
    first.wait_for("it saved", |screen| screen.contains("saved in"));
    first.quit();
    let lessons = first.files_ending(".lesson.ron");
    assert_eq!(lessons.len(), 2, "both versions are kept");
    for wanted in ["Theirs", "Mine"] {
        assert!(lessons.iter().any(|text| text.contains(wanted)), "{wanted}");
    }
}

#[test]
#[cfg(target_os = "linux")]
fn idle_takes_no_time_of_the_processor_and_a_running_clock_next_to_none() {
    use std::time::{Duration, Instant};
    // At 100 ticks a second, as on Linux; a redraw in every moment takes all of 200.
    let mut session = on_lesson((100, 30), &[]);
    let watch = |session: &Session| {
        let before = session.ticks();
        let begun = Instant::now();
        while begun.elapsed() < Duration::from_secs(2) {
            session.wait_a_moment(Duration::from_secs(2).saturating_sub(begun.elapsed()));
        }
        session.ticks() - before
    };
    let idle = watch(&session);
    assert!(idle <= 3, "{idle} ticks in two idle seconds");
    session.type_keys("V");
    session.wait_for("the recording view", |screen| screen.contains("READY"));
    session.type_keys("\x1b[6~");
    session.wait_for("the clock running", |screen| screen.contains("RUNNING"));
    let running = watch(&session);
    assert!(running <= 30, "{running} ticks in two seconds of a clock that changes once a second");
}
