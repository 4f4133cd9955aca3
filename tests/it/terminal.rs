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
mod surroundings;
mod whole;

use screen::Session;

#[test]
fn the_demo_starts_answers_to_keys_and_leaves_the_terminal_as_it_was() {
    let mut session = Session::start(&["demo"], (80, 24), &[]);
    session.wait_for("the demo's title", |screen| screen.contains("Three strings are plenty"));
    assert!(session.is_full_screen(), "the workbench draws on the terminal's second screen");
    session.type_keys("F");
    session.wait_for("the fretboard in focus", |screen| screen.contains("▸Fretboard"));
    session.type_keys("sx32010\r");
    session.wait_for("the name of the shape", |screen| screen.contains("x 3 2 0 1 0"));
    session.type_keys("q");
    assert_eq!(session.exit_code(), 0);
    assert!(!session.is_full_screen(), "the first screen is back");
    assert!(!session.hides_cursor(), "the cursor is back");
    assert!(!session.reports_mouse(), "the mouse belongs to the terminal again");
}

#[test]
fn a_change_is_undone_saved_and_written_to_the_file() {
    let mut session = Session::start(&["demo"], (100, 30), &[]);
    session.wait_for("the demo", |screen| screen.contains("Three strings are plenty"));
    session.type_keys("aKitchen tea\r");
    session.wait_for("the new segment", |screen| screen.contains("Kitchen tea") && screen.contains("not saved yet"));
    session.type_keys("u");
    session.wait_for("the segment gone", |screen| !screen.contains("Kitchen tea"));
    session.type_keys("r\x13");
    session.wait_for("the lesson saved", |screen| screen.contains("Kitchen tea") && screen.contains("saved in"));
    session.type_keys("q");
    assert_eq!(session.exit_code(), 0);
}

#[test]
fn a_lesson_is_built_from_nothing_to_its_handout_by_keys_alone() {
    let mut session = Session::start(&[], (80, 24), &[]);
    session.wait_for("the start screen", |screen| screen.contains("New lesson"));
    session.type_keys("\rPorch swing\r");
    session.wait_for("the templates", |screen| screen.contains("What the lesson starts from"));
    session.type_keys("\r");
    session.wait_for("the instruments", |screen| screen.contains("The instrument it is played on"));
    session.type_keys("\r");
    session.wait_for("the tunings", |screen| screen.contains("How it is tuned"));
    session.type_keys("\r");
    session.wait_for("the lesson", |screen| screen.contains("Porch swing") && screen.contains("Welcome"));
    session.type_keys("aTwo chords\rl2:30\rpKeep the ring finger down\x13");
    session.wait_for("the segment", |screen| screen.contains("2:30") && screen.contains("say: Keep"));
    session.type_keys("Fsx32010\rv");
    session.wait_for("the voicing saved", |screen| screen.contains("saved C in \"Two chords\""));
    session.type_keys("h");
    session.wait_for("the handout", |screen| screen.contains("the handout is in"));
    session.type_keys("\x13");
    session.wait_for("the lesson saved", |screen| screen.contains("saved in"));
    session.type_keys("q");
    assert_eq!(session.exit_code(), 0);
    let handout = session.file("porch-swing.handout.txt");
    for part in ["Porch swing", "Two chords", "C"] {
        assert!(handout.contains(part), "{handout}");
    }
    let lesson = session.file("porch-swing.lesson.ron");
    for part in ["Keep the ring finger down", "\"2:30\"", "x 3 2 0 1 0"] {
        assert!(lesson.contains(part), "{lesson}");
    }
    assert!(session.file("library.ron").contains("x 3 2 0 1 0"));
}

#[test]
fn a_riff_is_typed_as_tab_and_stands_in_the_handout() {
    const RIGHT: &str = "\x1b[C";
    const DOWN: &str = "\x1b[B";
    let mut session = Session::start(&[], (80, 24), &[]);
    session.wait_for("the start screen", |screen| screen.contains("New lesson"));
    session.type_keys("\rFerry slip\r");
    session.wait_for("the templates", |screen| screen.contains("What the lesson starts from"));
    session.type_keys("\r");
    session.wait_for("the instruments", |screen| screen.contains("The instrument it is played on"));
    session.type_keys("\r");
    session.wait_for("the tunings", |screen| screen.contains("How it is tuned"));
    session.type_keys("\r");
    session.wait_for("the lesson", |screen| screen.contains("Ferry slip") && screen.contains("Welcome"));
    session.type_keys("PAFerry riff\r\r\r");
    session.wait_for("the new passage", |screen| screen.contains("bar 1 of 1"));
    // Four quarters on string 5, the second hammered on to the third, the last on fret 12.
    session.type_keys(&format!("{DOWN}{DOWN}{DOWN}{DOWN}+0{RIGHT}3{RIGHT}5\x1b[Dp{RIGHT}{RIGHT}12"));
    session.wait_for("the riff", |screen| screen.contains("3h──5") && screen.contains("[12]"));
    session.type_keys("o");
    session.wait_for("the word about the clipboard", |screen| screen.contains("1 bar handed to the terminal's"));
    assert!(session.sent().contains("\x1b]52;c;"), "the tab went to the clipboard of the terminal");
    session.type_keys("h");
    session.wait_for("the handout", |screen| screen.contains("the handout is in"));
    session.type_keys("\x13");
    session.wait_for("the lesson saved", |screen| screen.contains("saved in"));
    session.type_keys("q");
    assert_eq!(session.exit_code(), 0);
    let handout = session.file("ferry-slip.handout.txt");
    let line = handout.lines().find(|line| line.starts_with("A│")).unwrap_or(&handout);
    assert_eq!(line.replace('─', ""), "A│03h512│", "{handout}");
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
    session.type_keys("q");
    assert_eq!(session.exit_code(), 0);
    assert!(session.file(".config/fingerpost/settings.ron").contains("mine.lesson.ron"));
    for relative in ["config", "data"] {
        assert!(!std::path::Path::new(&path).join(relative).exists(), "{relative}");
    }
}

#[test]
fn changes_of_size_are_followed_down_to_the_smallest_and_back() {
    let mut session = Session::start(&["demo"], (100, 30), &[]);
    session.wait_for("the library", |screen| screen.contains("Library") && screen.contains("Fretboard"));
    session.resize((40, 10));
    session.wait_for("what it needs", |screen| screen.contains("needs more room"));
    session.resize((80, 24));
    session.wait_for("the title again", |screen| screen.contains("Timeline") && screen.contains("all keys"));
    session.type_keys("q");
    assert_eq!(session.exit_code(), 0);
}

#[test]
fn without_utf8_and_colour_the_screen_is_plain() {
    let mut session = Session::start(&["demo"], (100, 30), &[("LC_ALL", "C"), ("NO_COLOR", "1")]);
    session.wait_for("the demo", |screen| screen.contains("Three strings are plenty") && screen.contains("all keys"));
    assert!(session.screen().is_ascii(), "{}", session.screen());
    assert!(session.is_colourless());
    session.type_keys("q");
    assert_eq!(session.exit_code(), 0);
}

#[cfg(unix)]
#[test]
fn a_signal_to_end_gives_the_terminal_back_and_keeps_the_work() {
    let mut session = Session::start(&["demo"], (80, 24), &[]);
    session.wait_for("the demo", |screen| screen.contains("Three strings"));
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
fn a_key_file_of_ones_own_changes_the_keys_and_a_faulty_one_is_refused() {
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
    session.type_keys("q");
    assert_eq!(session.exit_code(), 0);

    let mut session = start("[(action: Timeline(AddAfter), keys: [\"t\"])]");
    assert_eq!(session.exit_code(), 2);
    assert!(session.screen().contains("would mean two things"), "{}", session.screen());
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
    let mut session = Session::start(&["demo"], (80, 24), &[]);
    session.wait_for("the demo", |screen| screen.contains("Three strings are plenty"));
    session.type_keys("V");
    session.wait_for("the recording view", |screen| screen.contains("READY"));
    session.type_keys("\x1b[6~");
    session.wait_for("a second passed with no key struck", |screen| {
        screen.contains("RUNNING") && screen.contains("0:01 of")
    });
    session.type_keys("\x1b[6~");
    session.wait_for("the second segment", |screen| screen.contains("NOW  2"));
    session.type_keys(" ");
    session.wait_for("the clock held", |screen| screen.contains("HELD"));
    session.type_keys("V");
    session.wait_for("the panes again", |screen| screen.contains("Timeline"));
    session.type_keys("\x13");
    session.wait_for("the lesson saved", |screen| screen.contains("saved in"));
    session.type_keys("q");
    assert_eq!(session.exit_code(), 0);
}

#[test]
fn a_border_of_the_timeline_is_dragged_with_the_mouse_of_the_terminal() {
    let mut session = Session::start(&["demo"], (100, 30), &[]);
    session.wait_for("the demo", |screen| screen.contains("Three strings are plenty"));
    let screen = session.screen();
    let (row, line) = screen.lines().enumerate().find(|(_, line)| line.starts_with(" planned")).unwrap();
    let column = line.chars().skip(12).position(|letter| letter == '│').unwrap() + 12;
    // Mouse reports as xterm's control sequences document them (SGR, 1006): columns and rows from 1.
    let report = |button: u8, by: usize, end: char| format!("\x1b[<{button};{};{}{end}", column + 1 + by, row + 1);
    session.type_keys(&format!("{}{}{}", report(0, 0, 'M'), report(32, 2, 'M'), report(32, 4, 'M')));
    session.wait_for("the length that it would have", |screen| screen.contains(" long"));
    session.type_keys(&report(0, 4, 'm'));
    session
        .wait_for("the new length", |screen| screen.contains("planned length is") && screen.contains("not saved yet"));
    session.type_keys("u");
    session.wait_for("the old length", |screen| screen.contains("undone: planned length"));
    session.type_keys("q");
    assert_eq!(session.exit_code(), 0);
}
