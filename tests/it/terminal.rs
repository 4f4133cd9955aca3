//! The program itself in a pseudo-terminal, its screen read by a terminal emulator.
//!
//! `FINGERPOST_BIN` names another program to drive in place of the one cargo has built.

#[cfg(unix)]
mod killed;
#[cfg(unix)]
mod leaving;
#[cfg(unix)]
mod noise;
mod screen;
mod sizes;
mod split;
mod surroundings;
mod week;
mod whole;

use screen::Session;

/// The demo, drawn.
fn demo(size: (u16, u16), environment: &[(&str, &str)]) -> Session {
    let session = Session::start(&["demo"], size, environment);
    session.wait_for("the demo", |screen| screen.contains("Three strings are plenty") && screen.contains("all keys"));
    session
}

#[test]
fn the_demo_starts_answers_to_keys_and_leaves_the_terminal_as_it_was() {
    let mut session = demo((80, 24), &[]);
    assert!(session.is_full_screen(), "the workbench draws on the terminal's second screen");
    session.type_keys("F");
    session.wait_for("the fretboard in focus", |screen| screen.contains("▸Fretboard"));
    session.type_keys("sx32010\r");
    session.wait_for("the name of the shape", |screen| screen.contains("x 3 2 0 1 0"));
    session.quit();
    assert!(!session.is_full_screen(), "the first screen is back");
    assert!(!session.hides_cursor(), "the cursor is back");
    assert!(!session.reports_mouse(), "the mouse belongs to the terminal again");
}

#[test]
fn a_change_is_undone_saved_and_written_to_the_file() {
    let mut session = demo((100, 30), &[]);
    session.type_keys("aKitchen tea\r");
    session.wait_for("the new segment", |screen| screen.contains("Kitchen tea") && screen.contains("not saved yet"));
    session.type_keys("u");
    session.wait_for("the segment gone", |screen| !screen.contains("Kitchen tea"));
    session.type_keys("U\x13");
    session.wait_for("the lesson saved", |screen| screen.contains("Kitchen tea") && screen.contains("saved in"));
    session.quit();
}

#[test]
#[cfg(target_os = "linux")]
fn folders_named_by_relative_paths_are_ignored() {
    // XDG Base Directory Specification: a relative path in one of its variables is invalid and ignored.
    let home = screen::home();
    let path = home.path().to_str().unwrap().to_owned();
    std::fs::write(home.path().join("mine.lesson.ron"), include_str!("../../demo-lessons/ukulele-strum.lesson.ron"))
        .unwrap();
    let environment =
        [("FINGERPOST_HOME", ""), ("HOME", path.as_str()), ("XDG_CONFIG_HOME", "config"), ("XDG_DATA_HOME", "data")];
    let mut session = Session::start_in(home, &["open", "mine.lesson.ron"], (80, 24), &environment);
    session.wait_for("the lesson", |screen| screen.contains("Down, up"));
    session.quit();
    assert!(session.file(".config/fingerpost/settings.ron").contains("mine.lesson.ron"));
    for relative in ["config", "data"] {
        assert!(!std::path::Path::new(&path).join(relative).exists(), "{relative}");
    }
}

#[test]
fn changes_of_size_are_followed_down_to_the_smallest_and_back() {
    let mut session = Session::start(&["demo"], (100, 30), &[]);
    session.wait_for("the library", |screen| screen.contains("Voicings") && screen.contains("Fretboard"));
    session.resize((40, 10));
    session.wait_for("what it needs", |screen| screen.contains("needs more room"));
    session.resize((80, 24));
    session.wait_for("the title again", |screen| screen.contains("Timeline") && screen.contains("all keys"));
    session.quit();
}

#[test]
fn without_utf8_and_colour_the_screen_is_plain() {
    let mut session = demo((100, 30), &[("LC_ALL", "C"), ("NO_COLOR", "1")]);
    assert!(session.screen().is_ascii(), "{}", session.screen());
    assert!(session.is_colourless());
    session.quit();
}

#[cfg(unix)]
#[test]
fn a_signal_to_end_gives_the_terminal_back_and_keeps_the_work() {
    let mut session = demo((80, 24), &[]);
    session.type_keys("aUnsaved thought\r");
    session.wait_for("the new segment", |screen| screen.contains("Unsaved thought"));
    let lesson = session.lesson_in_demo_folder();
    session.terminate();
    assert_eq!(session.exit_code(), 128 + 15, "as shells report an end by SIGTERM");
    assert!(!session.is_full_screen());

    let mut again = Session::start(&["open", &lesson], (80, 24), &[]);
    again.wait_for("the change brought back", |screen| screen.contains("Unsaved thought"));
    again.wait_for("that it was brought back", |screen| screen.contains("brought back 1 unsaved change"));
    again.type_keys("q");
    again.wait_for("the question", |screen| screen.contains("Not everything is saved"));
    again.type_keys("\r");
    assert_eq!(again.exit_code(), 0);
}

#[test]
fn a_lesson_that_cannot_be_read_is_reported_before_the_screen_is_taken() {
    let mut session = Session::start(&["open", "no-such.lesson.ron"], (80, 24), &[]);
    assert_eq!(session.exit_code(), 2);
    assert!(session.screen().contains("no-such.lesson.ron"), "{}", session.screen());
    assert!(!session.was_full_screen());
}

#[test]
fn a_key_file_of_ones_own_changes_the_keys_and_what_is_faulty_in_it_is_told() {
    let lesson = include_str!("../lessons/workbench.lesson.ron");
    let start = |keys: &str| {
        let home = screen::home();
        let path = home.path().join("own.lesson.ron");
        std::fs::write(&path, lesson).unwrap();
        std::fs::write(home.path().join("keys.ron"), keys).unwrap();
        Session::start_in(home, &["open", &path.to_string_lossy()], (80, 24), &[])
    };
    let mut session = start("[(action: Timeline(AddAfter), keys: [\"z\"])]");
    session.wait_for("the hint for the other key", |screen| screen.contains("z add"));
    session.quit();

    // An action that has lost its only key is told, and found by what it does.
    let mut session = start("[(action: Timeline(AddAfter), keys: [\"t\"])]");
    session.wait_for("what has lost its key", |screen| screen.contains("an action has no key left"));
    session.type_keys("M");
    session.wait_for("all of it", |screen| screen.contains("Timeline(ChoosePassages)") && screen.contains("keys.ron"));
    session.type_keys("q\x06choose the tab\r");
    session.wait_for("the action", |screen| screen.contains("Passages played in this segment"));
    session.type_keys("\x1b");
    session.wait_for("the list put away", |screen| !screen.contains("Passages played in this segment"));
    session.quit();

    let mut session =
        start("[(action: Timeline(AddAfter), keys: [\"t\"]), (action: Timeline(ChoosePassages), keys: [\"t\"])]");
    session.wait_for("the row that is not used", |screen| screen.contains("a row of the key file is not used"));
    session.type_keys("M");
    session.wait_for("why", |screen| screen.contains("would mean two things"));
    session.type_keys("q");
    session.quit();
}

#[test]
fn settings_that_cannot_be_read_are_told_and_left_alone() {
    let home = screen::home();
    std::fs::write(home.path().join("settings.ron"), "(paper: Parchment)").unwrap();
    let mut session = Session::start_in(home, &[], (100, 30), &[]);
    session.wait_for("the trouble", |screen| screen.contains("the settings cannot be read"));
    session.type_keys("M");
    session.wait_for("all of it", |screen| screen.contains("Parchment"));
    session.type_keys("qq");
    assert_eq!(session.exit_code(), 0);
    assert_eq!(session.file("settings.ron"), "(paper: Parchment)");
}

#[test]
fn without_a_terminal_the_program_says_what_to_use_instead() {
    let output = std::process::Command::new(screen::program())
        .arg("demo")
        .env("FINGERPOST_HOME", screen::home().path())
        .stdin(std::process::Stdio::null())
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(2));
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(said.contains("needs a terminal") && said.contains("fingerpost handout FILE"), "{said}");
}

#[test]
fn the_clock_of_the_recording_view_runs_by_itself_and_a_pedals_key_stamps() {
    let mut session = demo((80, 24), &[]);
    session.type_keys("V");
    session.wait_for("the recording view", |screen| screen.contains("READY"));
    session.type_keys("\x1b[6~");
    session.wait_for("a second passed with no key struck", |screen| {
        screen.contains("RUNNING") && screen.contains("0:01 of")
    });
    session.type_keys("\x1b[6~");
    session.wait_for("the question, since the demo is recorded already", |screen| {
        screen.contains("the next press replaces it")
    });
    // A press that follows at once is taken for the bounce of a pedal.
    session.wait_for("more than a second later", |screen| screen.contains("0:04 of"));
    session.type_keys("\x1b[6~");
    session.wait_for("the second segment", |screen| screen.contains("NOW  2"));
    session.type_keys(" ");
    session.wait_for("the clock held", |screen| screen.contains("PAUSED"));
    session.type_keys("V");
    session.wait_for("the panes again", |screen| screen.contains("Timeline"));
    session.type_keys("\x13");
    session.wait_for("the lesson saved", |screen| screen.contains("saved in"));
    session.quit();
}

#[test]
fn a_border_of_the_timeline_is_dragged_with_the_mouse_of_the_terminal() {
    let mut session = demo((100, 30), &[]);
    let screen = session.screen();
    let (row, line) = screen.lines().enumerate().find(|(_, line)| line.starts_with(" planned")).unwrap();
    let column = line.chars().skip(12).position(|letter| letter == '│').unwrap() + 12;
    // Mouse reports as xterm's control sequences document them (SGR, 1006): columns and rows from 1.
    let report = |button: u8, by: usize, end: char| format!("\x1b[<{button};{};{}{end}", column + 1 + by, row + 1);
    session.type_keys(&format!("{}{}{}", report(0, 0, 'M'), report(32, 2, 'M'), report(32, 4, 'M')));
    session.wait_for("the length that it would have", |screen| screen.contains(" long"));
    session.type_keys(&report(0, 4, 'm'));
    session.wait_for("the new length", |screen| screen.contains("planned length:") && screen.contains("not saved yet"));
    session.type_keys("u");
    session.wait_for("the old length", |screen| screen.contains("undone: planned length"));
    session.quit();
}
