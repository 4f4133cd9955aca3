//! The commands as a shell sees them: output, exit status, messages.

use std::path::Path;

use assert_cmd::Command;
use predicates::prelude::*;
use predicates::str::contains;
use serde_json::Value;

fn fingerpost(arguments: &[&str]) -> Command {
    let mut command = Command::cargo_bin("fingerpost").expect("the program is built");
    command.args(arguments).env("FINGERPOST_HOME", std::env::temp_dir().join("fingerpost-test-home"));
    command
}

/// Runs the program and returns what it wrote to standard output.
#[track_caller]
fn output(arguments: &[&str], input: &str) -> String {
    let result = fingerpost(arguments).write_stdin(input).output().expect("it runs");
    String::from_utf8(result.stdout).expect("UTF-8")
}

#[track_caller]
fn json_lines(arguments: &[&str], input: &str) -> Vec<Value> {
    output(arguments, input).lines().map(|line| serde_json::from_str(line).expect("a line of JSON")).collect()
}

#[test]
fn every_command_has_help_with_an_example() {
    for command in
        ["open", "new", "check", "handout", "chapters", "name", "read-tab", "demo", "tunings", "completions", "man"]
    {
        fingerpost(&[command, "--help"])
            .assert()
            .code(0)
            .stdout(contains("Example").and(contains(format!("fingerpost {command}"))));
    }
    fingerpost(&["--help"]).assert().code(0).stdout(contains("Example"));
}

#[test]
fn bad_use_ends_with_status_2() {
    fingerpost(&["frobnicate"]).assert().code(2);
    fingerpost(&["name"]).assert().code(2);
    fingerpost(&["name", "x32010", "--tuning", "nonesuch"]).assert().code(2).stderr(contains("nonesuch"));
    fingerpost(&["name", "x32010", "--key", "H"]).assert().code(2).stderr(contains("is not a key"));
    fingerpost(&["name", "x32010", "--capo", "40"]).assert().code(2).stderr(contains("'40'"));
    fingerpost(&["handout", "x", "--columns", "10"]).assert().code(2);
}

#[test]
fn a_shape_is_written_the_way_people_write_it() {
    for written in [&["x32010"][..], &["x-3-2-0-1-0"], &["x 3 2 0 1 0"], &["x", "3", "2", "0", "1", "0"]] {
        let arguments = [&["name", "--json", "--limit", "1"], written].concat();
        let answers = json_lines(&arguments, "");
        assert_eq!(answers.len(), 1, "{written:?}");
        assert_eq!(answers[0]["candidates"][0]["symbol"], "C", "{written:?}");
    }
    assert!(output(&["name", "x-10-12-12-x-x"], "").contains("G5"));
}

#[test]
fn json_has_the_agreed_fields() {
    let line = output(&["name", "--batch", "-", "--json", "--limit", "1"], "x 3 2 0 1 0\n");
    let expected = r#"{"shape":"x 3 2 0 1 0","notes":[null,"C3","E3","G3","C4","E4"],"candidates":[{"symbol":"C","root":"C","bass":"C","formula":["1","3","5"],"missing":[],"notes":[null,"C","E","G","C","E"],"reason":"#;
    assert!(line.starts_with(expected), "{line}");
    assert!(line.ends_with("\"}]}\n"), "{line}");
}

#[test]
fn a_batch_answers_every_line_in_order_and_echoes_it_unchanged() {
    let input =
        "x 3 2 0 1 0\n\nnonsense\n0 2 2 1 0 0\r\n  x 0 2 2 1 0 \n99 0 0 0 0 0\n1 2 3\nx x x x x x\n\u{1b}[31m\n320003";
    let answers = json_lines(&["name", "--batch", "-", "--json"], input);
    let shapes: Vec<&str> = answers.iter().map(|answer| answer["shape"].as_str().expect("echoed")).collect();
    assert_eq!(
        shapes,
        [
            "x 3 2 0 1 0",
            "",
            "nonsense",
            "0 2 2 1 0 0",
            "  x 0 2 2 1 0 ",
            "99 0 0 0 0 0",
            "1 2 3",
            "x x x x x x",
            "\u{1b}[31m",
            "320003"
        ]
    );
    let refused: Vec<bool> = answers.iter().map(|answer| answer.get("error").is_some()).collect();
    assert_eq!(refused, [false, true, true, false, false, true, true, false, true, false]);
    assert_eq!(answers[7]["candidates"], serde_json::json!([]), "nothing sounds");
    fingerpost(&["name", "--batch", "-", "--json"]).write_stdin(input).assert().code(1);
}

#[test]
fn a_batch_with_bytes_that_are_no_text_goes_on() {
    let result = fingerpost(&["name", "--batch", "-", "--json"])
        .write_stdin(&b"\xff\xfe\x00\nx 3 2 0 1 0\n"[..])
        .output()
        .expect("it runs");
    let text = String::from_utf8(result.stdout).expect("UTF-8");
    assert_eq!(text.lines().count(), 2);
    assert!(text.lines().nth(1).expect("two lines").contains("\"symbol\":\"C\""));
}

#[test]
fn a_line_that_is_far_too_long_is_one_error_of_the_batch() {
    let long = "3".repeat(2_000_000);
    let answers = json_lines(&["name", "--batch", "-", "--json"], &format!("{long}\nx 3 2 0 1 0\n"));
    assert_eq!(answers.len(), 2);
    assert!(answers[0]["shape"] == *long, "the line is echoed unchanged");
    assert!(answers[0]["error"].as_str().expect("an error").contains("too long for a shape"));
    assert_eq!(answers[1]["candidates"][0]["symbol"], "C");
}

#[test]
fn the_limit_is_ten_unless_said_otherwise() {
    let many = "x 3 2 2 3 0\n";
    let count = |arguments: &[&str]| json_lines(arguments, many)[0]["candidates"].as_array().expect("candidates").len();
    assert!(count(&["name", "--batch", "-", "--json"]) <= 10);
    assert_eq!(count(&["name", "--batch", "-", "--json", "--limit", "2"]), 2);
    assert_eq!(count(&["name", "--batch", "-", "--json", "--limit", "0"]), 0);
}

#[test]
fn the_bass_is_the_lowest_pitch_and_not_the_lowest_string() {
    // Re-entrant ukulele: string 4 is G4, above C4 on string 3. Common practice; no published source.
    let answers = json_lines(&["name", "--json", "--tuning", "ukulele", "0 0 0 3"], "");
    assert_eq!(answers[0]["candidates"][0]["symbol"], "C");
    assert_eq!(answers[0]["candidates"][0]["bass"], "C");
}

#[test]
fn inversions_are_not_named_where_the_lowest_pitch_is_no_bass() {
    // What ukulele books call these shapes. Common practice; no published source.
    for (shape, name) in [("2010", "F"), ("0232", "G"), ("2000", "Am"), ("0212", "G7"), ("0202", "Em7"), ("3211", "Bb")]
    {
        let answers = json_lines(&["name", "--json", "--tuning", "ukulele", shape], "");
        assert_eq!(answers[0]["candidates"][0]["symbol"], name, "{shape}");
    }
    // With a low G the fourth string is a bass like any other.
    let answers = json_lines(&["name", "--json", "--tuning", "low G", "0 0 0 0"], "");
    assert_eq!(answers[0]["candidates"][0]["bass"], "G");
    assert_eq!(answers[0]["candidates"][0]["symbol"], "C6/G");
}

#[test]
fn a_capo_gives_both_names() {
    // G shape, capo 3: sounds B flat. Common practice; no published source.
    let text = output(&["name", "320003", "--capo", "3", "--limit", "1"], "");
    assert!(text.contains("Bb (played as G)"), "{text}");
    let answers = json_lines(&["name", "--json", "320003", "--capo", "3"], "");
    assert_eq!(answers[0]["candidates"][0]["symbol"], "Bb");
    assert_eq!(answers[0]["candidates"][0]["played_as"], "G");
}

#[test]
fn the_key_decides_the_spelling() {
    let symbol =
        |key: &str| json_lines(&["name", "--json", "x46664", "--key", key], "")[0]["candidates"][0]["symbol"].clone();
    assert_eq!(symbol("Ab"), "Db");
    assert_eq!(symbol("E"), "C#");
}

#[test]
fn escapes_in_a_shape_never_reach_the_terminal() {
    let result = fingerpost(&["name", "\u{1b}]0;x\u{7}"]).output().expect("it runs");
    assert_eq!(result.status.code(), Some(2));
    assert!(!result.stdout.contains(&0x1b) && !result.stderr.contains(&0x1b));
}

#[test]
fn a_new_lesson_is_made_once_and_never_overwritten() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("slow-reel");
    let file = folder.path().join("slow-reel.lesson.ron");
    let name = path.to_str().expect("UTF-8");
    fingerpost(&["new", name, "--tuning", "DADGAD", "--capo", "2"])
        .assert()
        .code(0)
        .stdout(contains("slow-reel.lesson.ron"));
    let made = std::fs::read_to_string(&file).expect("it is there");
    assert!(made.contains("\"Slow reel\"") && made.contains("D2 A2 D3 G3 A3 D4"), "{made}");
    fingerpost(&["new", name]).assert().code(2).stderr(contains("already"));
    assert_eq!(std::fs::read_to_string(&file).expect("still there"), made);
    fingerpost(&["chapters", file.to_str().expect("UTF-8"), "--planned"])
        .assert()
        .code(0)
        .stdout("0:00 Welcome\n1:00 Goodbye\n");
}

#[test]
fn a_lesson_that_is_not_there_is_said_plainly() {
    for command in ["chapters", "check", "handout"] {
        fingerpost(&[command, "no-such.lesson.ron"]).assert().code(2).stderr(contains("no-such.lesson.ron"));
    }
}

#[test]
fn a_reader_that_stops_listening_is_no_error() {
    use std::io::Write;
    let mut child = std::process::Command::new(assert_cmd::cargo::cargo_bin("fingerpost"))
        .args(["name", "--batch", "-", "--json"])
        .stdin(std::process::Stdio::piped())
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .expect("it runs");
    drop(child.stdout.take());
    let mut input = child.stdin.take().expect("piped");
    // The program may end before it has read all of this; that is the point.
    let _ = input.write_all("x 3 2 0 1 0\n".repeat(20_000).as_bytes());
    drop(input);
    let result = child.wait_with_output().expect("it ends");
    assert_eq!(result.status.code(), Some(0));
    assert!(result.stderr.is_empty(), "{}", String::from_utf8_lossy(&result.stderr));
}

#[test]
fn completions_and_the_manual_come_from_the_same_definitions() {
    for shell in ["bash", "zsh", "fish"] {
        fingerpost(&["completions", shell]).assert().code(0).stdout(contains("read-tab"));
    }
    let page = output(&["man"], "");
    for command in ["open", "new", "check", "handout", "chapters", "name", "demo"] {
        assert!(page.contains(command), "the manual page leaves {command} out");
    }
}

#[test]
fn the_catalogue_can_be_listed() {
    fingerpost(&["tunings", "--instrument", "ukulele"]).assert().code(0).stdout(contains("G4 C4 E4 A4"));
    assert!(Path::new(env!("CARGO_MANIFEST_DIR")).join("assets/tunings.ron").exists());
}

#[test]
fn the_demo_lessons_are_listed() {
    let list = output(&["demo", "--list"], "");
    assert!(list.starts_with("funk-rhythm "), "{list}");
    fingerpost(&["demo", "nonesuch"])
        .assert()
        .code(2)
        .stderr(contains("funk-rhythm, dadgad-fingerstyle, ukulele-strum"));
}

/// A path below the package, as the shell would write it.
fn demo(name: &str) -> String {
    format!("{}/demo-lessons/{name}.lesson.ron", env!("CARGO_MANIFEST_DIR"))
}

#[test]
fn a_handout_goes_to_standard_output_or_to_a_file() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("handout.txt");
    let path = file.to_str().expect("UTF-8");
    let printed = output(&["handout", &demo("ukulele-strum")], "");
    fingerpost(&["handout", &demo("ukulele-strum"), "-o", path]).assert().code(0).stdout("");
    assert_eq!(std::fs::read_to_string(&file).expect("written"), printed);
    let narrow = output(&["handout", &demo("ukulele-strum"), "--columns", "50", "--ascii"], "");
    assert!(narrow.is_ascii());
    assert!(narrow.lines().all(|line| line.trim_start_matches('\u{c}').len() <= 50));
    let letter = output(&["handout", &demo("ukulele-strum"), "--paper", "letter"], "");
    assert!(letter.split('\u{c}').all(|page| page.trim_end_matches('\n').lines().count() <= 60));
}

#[test]
fn a_handout_never_replaces_a_lesson() {
    let folder = tempfile::tempdir().expect("a folder");
    let lesson = folder.path().join("mine.lesson.ron");
    std::fs::copy(demo("ukulele-strum"), &lesson).expect("copied");
    let before = std::fs::read(&lesson).expect("there");
    let path = lesson.to_str().expect("UTF-8");
    fingerpost(&["handout", path, "-o", path]).assert().code(2).stderr(contains("is a lesson file"));
    assert_eq!(std::fs::read(&lesson).expect("there"), before);
    fingerpost(&["handout", path, "-o", "/no-such-folder/out.txt"]).assert().code(2).stderr(contains("no-such-folder"));
}

#[test]
fn segments_can_be_picked_for_the_handout() {
    let some = output(&["handout", &demo("funk-rhythm"), "--segments", "6"], "");
    assert!(some.contains("Saltmarsh Tram") && !some.contains("Half a Ladder"));
    let kinds = output(&["handout", &demo("funk-rhythm"), "--segments", "1, welcome"], "");
    assert_eq!(kinds, output(&["handout", &demo("funk-rhythm"), "--segments", "1"], ""));
    for (which, expected) in [
        ("99", "there is no segment 99; the lesson has segments 1 to 13"),
        ("1,99", "there is no segment 99"),
        ("12-15", "there is no segment 14"),
        ("1,talk", "no segment is of the kind talk; the lesson has welcome,"),
    ] {
        let command = ["handout", &demo("funk-rhythm"), "--segments", which];
        fingerpost(&command).assert().code(2).stdout("").stderr(contains(expected));
    }
    fingerpost(&["handout", &demo("funk-rhythm"), "--segments", "loudly"]).assert().code(2).stderr(contains("loudly"));
}

#[test]
fn check_tells_problems_from_warnings_by_its_status() {
    fingerpost(&["check", &demo("ukulele-strum")]).assert().code(0).stdout(contains("nothing found"));
    fingerpost(&["check", &demo("funk-rhythm")])
        .assert()
        .code(0)
        .stdout(contains("warning: voicing \"Bm7\", string 5"));
    let folder = tempfile::tempdir().expect("a folder");
    let broken = folder.path().join("broken.lesson.ron");
    let text = std::fs::read_to_string(demo("ukulele-strum")).expect("there").replacen("setup: 1", "setup: 77", 1);
    std::fs::write(&broken, text).expect("written");
    fingerpost(&["check", broken.to_str().expect("UTF-8")]).assert().code(1).stdout(contains("problem: "));
}

#[test]
fn check_goes_on_after_a_file_it_cannot_read() {
    fingerpost(&["check", "no-such.lesson.ron", &demo("ukulele-strum")])
        .assert()
        .code(2)
        .stdout(contains("nothing found"))
        .stderr(contains("no-such.lesson.ron").and(contains("one file could not be read")));
}

#[test]
fn a_string_in_doubt_says_what_it_decides() {
    // Open third string or not: E minor or a power chord. Common practice; no published source.
    let text = output(&["name", "0 2 2 0? 0 0"], "");
    assert!(text.contains("string 3 decides: Em if it sounds, E5 if it does not"), "{text}");
}

/// An invented riff in the ragged way people keep them.
const RIFF: &str = "my riff\n\ne|-----------------|\nB|-----3-----------|\nG|---2---2---------|\nD|-0-------0-2-3---|\n\
                    A|-----------------|\nE|-----------------|\n";

#[test]
fn text_tab_is_read_and_printed_clean_with_its_guesses() {
    fingerpost(&["read-tab", "-"])
        .write_stdin(RIFF)
        .assert()
        .code(0)
        .stdout(contains("D│─0─").and(contains("quarter note")))
        .stderr(contains("standard input:1: ").and(contains("guessed")));
}

#[test]
fn text_tab_goes_into_a_lesson() {
    let folder = tempfile::tempdir().expect("a folder");
    let lesson = folder.path().join("mine.lesson.ron");
    let path = lesson.to_str().expect("UTF-8");
    fingerpost(&["new", path]).assert().code(0);
    fingerpost(&["read-tab", "-", "--into", path, "--title", "Old riff"])
        .write_stdin(RIFF)
        .assert()
        .code(0)
        .stdout(contains("added passage 1, 1 bar"));
    let loaded = fingerpost::store::lesson_file::load(&lesson).expect("it reads").lesson;
    assert_eq!(loaded.passages[0].title, "Old riff");
    let frets: Vec<u8> = loaded.passages[0].bars[0].voices[0]
        .0
        .iter()
        .flat_map(|event| &event.notes)
        .map(|note| note.fret.number())
        .collect();
    assert_eq!(frets, [0, 2, 3, 2, 0, 2, 3]);
}

#[test]
fn what_is_no_tab_is_refused_and_the_lesson_left_alone() {
    let folder = tempfile::tempdir().expect("a folder");
    let lesson = folder.path().join("mine.lesson.ron");
    let path = lesson.to_str().expect("UTF-8");
    fingerpost(&["new", path]).assert().code(0);
    let before = std::fs::read(&lesson).expect("there");
    for junk in [&b"\x00\x01\x02\xff\x1b[31m"[..], b"", b"dear diary\nnothing happened\n"] {
        let result = fingerpost(&["read-tab", "-", "--into", path]).write_stdin(junk).output().expect("it runs");
        assert_eq!(result.status.code(), Some(2));
        assert!(!result.stderr.is_empty() && !result.stderr.contains(&0x1b));
        assert_eq!(std::fs::read(&lesson).expect("there"), before);
    }
}

#[test]
fn the_workbench_asks_for_a_terminal_and_names_what_to_use_instead() {
    for arguments in [&["demo"][..], &["open", "some.lesson.ron"], &[]] {
        fingerpost(arguments).assert().code(2).stderr(contains("terminal").and(contains("fingerpost ")));
    }
}

/// What a terminal would obey: a title set, a colour, a bell.
const ESCAPES: &str = "\u{1b}]0;taken over\u{7}\u{1b}[31mred";

#[test]
fn what_users_type_is_shown_in_messages_and_never_obeyed() {
    let lesson = demo("ukulele-strum");
    for arguments in [
        &["name", "x32010", "--key", ESCAPES][..],
        &["name", "x32010", "--tuning", ESCAPES],
        &["name", "x32010", "--instrument", ESCAPES],
        &["name", "x32010", "--capo", ESCAPES],
        &["name", "--batch", ESCAPES],
        &["name", ESCAPES],
        &["handout", &lesson, "--segments", ESCAPES],
        &["handout", &lesson, "--paper", ESCAPES],
        &["handout", &lesson, "--output", &format!("/no-such-folder/{ESCAPES}")],
        &["check", ESCAPES],
        &["chapters", ESCAPES],
        &["read-tab", ESCAPES],
        &["demo", ESCAPES],
        &["tunings", "--instrument", ESCAPES],
        &["new", "--tuning", ESCAPES, "/no-such-folder/x"],
        &["completions", ESCAPES],
        &[ESCAPES],
        &["name", &format!("--{ESCAPES}")],
    ] {
        let result = fingerpost(arguments).output().expect("it runs");
        assert_eq!(result.status.code(), Some(2), "{arguments:?}");
        let said = String::from_utf8_lossy(&result.stdout) + String::from_utf8_lossy(&result.stderr);
        assert!(said.chars().all(|sign| sign == '\n' || !sign.is_control()), "{arguments:?}: {said:?}");
        assert!(said.contains("taken over"), "{arguments:?}: what was typed is not shown: {said}");
    }
}

#[test]
fn messages_of_the_parser_hold_no_escapes_even_where_it_would_colour_them() {
    use fingerpost::cli::parse::{NoCommand, parse};
    for arguments in
        [&["fingerpost", ESCAPES][..], &["fingerpost", "name", "x32010", "--capo", ESCAPES], &["\u{1b}[31m"]]
    {
        match parse(arguments.iter().map(std::ffi::OsString::from)) {
            Err(NoCommand::Mistake(text)) => {
                assert!(text.chars().all(|sign| sign == '\n' || !sign.is_control()), "{text:?}");
                assert!(text.contains("red"), "{text}");
            }
            other => assert!(arguments.len() == 1, "{other:?}"),
        }
    }
}

#[test]
fn numbers_out_of_range_are_refused_in_a_player_s_words() {
    for (arguments, expected) in [
        (["name", "x32010", "--capo", "300"], "fret 1 to 36"),
        (["name", "x32010", "--capo", "-1"], "fret 1 to 36"),
        (["name", "x32010", "--capo", "two"], "fret 1 to 36"),
        (["name", "x32010", "--limit", "-1"], "whole number"),
        (["handout", "x", "--columns", "39"], "40 to 200"),
        (["handout", "x", "--columns", "NaN"], "40 to 200"),
    ] {
        fingerpost(&arguments).assert().code(2).stderr(contains(expected));
    }
    let most = json_lines(&["name", "--json", "x32010", "--limit", "99999999999999999999999"], "");
    assert!(!most[0]["candidates"].as_array().expect("candidates").is_empty());
}

#[test]
#[cfg(target_os = "linux")]
fn output_that_does_not_arrive_is_an_error() {
    for arguments in
        [&["name", "x32010"][..], &["--help"], &["name", "--help"], &["--version"], &["man"], &["demo", "--list"]]
    {
        let full = std::fs::OpenOptions::new().write(true).open("/dev/full").expect("a full disk");
        let result = std::process::Command::new(assert_cmd::cargo::cargo_bin("fingerpost"))
            .args(arguments)
            .stdout(full)
            .output()
            .expect("it runs");
        assert_eq!(result.status.code(), Some(2), "{arguments:?}");
        let said = String::from_utf8_lossy(&result.stderr);
        assert!(said.contains("the output could not be written"), "{arguments:?}: {said}");
    }
}

#[test]
#[cfg(unix)]
fn a_handout_never_replaces_a_lesson_under_any_name() {
    let folder = tempfile::tempdir().expect("a folder");
    let lesson = folder.path().join("mine.lesson.ron");
    std::fs::copy(demo("ukulele-strum"), &lesson).expect("copied");
    let before = std::fs::read(&lesson).expect("there");
    let [link, hard, plain] = ["link.txt", "hard.txt", "plain.ron"].map(|name| folder.path().join(name));
    std::os::unix::fs::symlink("mine.lesson.ron", &link).expect("linked");
    std::fs::hard_link(&lesson, &hard).expect("linked");
    std::fs::copy(&lesson, &plain).expect("copied");
    for out in [&link, &hard, &plain] {
        let arguments = ["handout", plain.to_str().expect("UTF-8"), "-o", out.to_str().expect("UTF-8")];
        fingerpost(&arguments).assert().code(2).stderr(contains("is a lesson file"));
        assert_eq!(std::fs::read(out).expect("there"), before, "{}", out.display());
    }
}

#[test]
fn a_handout_goes_where_it_was_sent() {
    let folder = tempfile::tempdir().expect("a folder");
    let printed = output(&["handout", &demo("ukulele-strum")], "");
    fingerpost(&["handout", &demo("ukulele-strum"), "-o", "-"])
        .current_dir(folder.path())
        .assert()
        .code(0)
        .stdout(printed);
    fingerpost(&["handout", &demo("ukulele-strum"), "-o", "handouts/"])
        .current_dir(folder.path())
        .assert()
        .code(2)
        .stderr(contains("handouts/: it is not a file"));
    assert_eq!(std::fs::read_dir(folder.path()).expect("a folder").count(), 0);
}

#[test]
fn a_new_lesson_needs_a_name_of_its_own() {
    let folder = tempfile::tempdir().expect("a folder");
    let new = |name: &str| {
        let mut command = fingerpost(&["new", name]);
        command.current_dir(folder.path());
        command
    };
    for name in [".", "..", "lessons/", "./."] {
        new(name).assert().code(2).stderr(contains("names a folder"));
    }
    assert_eq!(std::fs::read_dir(folder.path()).expect("a folder").count(), 0);
    new("slow-reel.lesson").assert().code(0).stdout("slow-reel.lesson.ron\n");
    new("slow-reel").assert().code(2).stderr(contains("choose another name, or open it"));
}

#[test]
fn what_cannot_be_read_is_said_with_its_name() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().to_str().expect("UTF-8");
    fingerpost(&["name", "--batch", path])
        .assert()
        .code(2)
        .stderr(contains(format!("cannot read {path}: this is a folder")));
    fingerpost(&["read-tab", path]).assert().code(2).stderr(contains(format!("cannot read {path}: this is a folder")));
    fingerpost(&["read-tab", "no-such.txt"])
        .assert()
        .code(2)
        .stderr("fingerpost: cannot read no-such.txt: there is no such file or folder\n");
}

#[test]
fn no_candidates_asked_for_is_not_silence() {
    let text = output(&["name", "x32010", "--limit", "0"], "");
    assert!(!text.contains("nothing sounds"), "{text}");
    assert!(output(&["name", "xxxxxx"], "").contains("nothing sounds"));
}

#[test]
fn a_batch_echoes_what_a_terminal_would_obey_as_json_escapes() {
    let lines = ["\u{9b}31m", "\u{7f}", "\u{202e}", "x 3 2 0 1 0 \u{2028}", "\u{e0041}", "♭ 字 😀"];
    let text = output(&["name", "--batch", "-", "--json"], &lines.join("\n"));
    assert!(
        !text.contains(|sign: char| (sign.is_control() && sign != '\n') || ('\u{2028}'..='\u{202e}').contains(&sign))
    );
    assert!(text.contains("♭ 字 😀") && text.contains("\\u009b31m"), "{text}");
    for (line, answer) in lines.iter().zip(text.lines()) {
        let answer: Value = serde_json::from_str(answer).expect("a line of JSON");
        assert_eq!(answer["shape"], *line);
    }
}

#[test]
fn a_batch_may_open_with_a_byte_order_mark() {
    let answers = json_lines(&["name", "--batch", "-", "--json"], "\u{feff}x 3 2 0 1 0\r\nx 0 2 2 1 0\r\n");
    assert_eq!(answers[0]["shape"], "\u{feff}x 3 2 0 1 0");
    assert_eq!(answers[0]["candidates"][0]["symbol"], "C");
    assert_eq!(answers[1]["candidates"][0]["symbol"], "Am");
}

#[test]
fn every_line_of_a_batch_keeps_the_contract_in_any_tuning() {
    // The arithmetic of names, octaves and degrees is written out here once more, apart from the program's own.
    let natural =
        |letter: u8| [9, 11, 0, 2, 4, 5, 7].get(usize::from(letter - b'A')).copied().expect("a letter A to G");
    let signs = |text: &str| {
        text.chars()
            .map(|sign| match sign {
                '#' => 1,
                'b' => -1,
                _ => 0,
            })
            .sum::<i32>()
    };
    let class = |name: &str| (natural(name.as_bytes()[0]) + signs(&name[1..])).rem_euclid(12);
    let midi = |name: &str| {
        let digits = name.find(|sign: char| sign.is_ascii_digit() || sign == '-').expect("an octave");
        let octave: i32 = name[digits..].parse().expect("an octave");
        natural(name.as_bytes()[0]) + signs(&name[1..digits]) + 12 * (octave + 1)
    };
    let degree = |text: &str| {
        let number: usize = text.trim_start_matches(['b', '#']).parse().expect("a degree");
        let semitones = [0, 2, 4, 5, 7, 9, 11][(number - 1) % 7];
        semitones + signs(text)
    };
    let frets = ["x", "0", "2", "3", "7"];
    for (tuning, strings) in [("standard", 6_u32), ("ukulele", 4), ("8-string standard", 8), ("E1 A1 D2 G2", 4)] {
        let lines: Vec<String> = (0..60_u32)
            .map(|line| {
                let fret =
                    |string: u32| frets[((line * 7919 + 13) / 5_u32.pow(string % 5) + string * line) as usize % 5];
                (0..strings).map(fret).collect::<Vec<_>>().join(" ")
            })
            .collect();
        let answers = json_lines(&["name", "--batch", "-", "--json", "--tuning", tuning], &(lines.join("\n") + "\n"));
        assert_eq!(answers.len(), lines.len());
        for (line, answer) in lines.iter().zip(&answers) {
            let texts = |value: &Value| -> Vec<Option<String>> {
                value.as_array().expect("a list").iter().map(|text| text.as_str().map(str::to_owned)).collect()
            };
            assert_eq!(answer["shape"], line.as_str());
            let notes = texts(&answer["notes"]);
            assert_eq!(
                notes.iter().map(Option::is_none).collect::<Vec<_>>(),
                line.split(' ').map(|fret| fret == "x").collect::<Vec<_>>()
            );
            let sounding: Vec<i32> = notes.iter().flatten().map(|note| midi(note)).collect();
            let candidates = answer["candidates"].as_array().expect("candidates");
            assert!(candidates.len() <= 10 && candidates.is_empty() == sounding.is_empty(), "{line}");
            for candidate in candidates {
                let context = format!("{tuning}: {line}: {candidate}");
                let bass = class(candidate["bass"].as_str().expect("a bass"));
                assert_eq!(Some(bass), sounding.iter().min().map(|lowest| lowest.rem_euclid(12)), "{context}");
                for (name, note) in texts(&candidate["notes"]).iter().zip(&notes) {
                    assert_eq!(
                        name.as_deref().map(class),
                        note.as_deref().map(|note| midi(note).rem_euclid(12)),
                        "{context}"
                    );
                }
                let Some(root) = candidate["root"].as_str().map(class) else { continue };
                let tones = |list: &Value| -> Vec<i32> {
                    texts(list).iter().flatten().map(|text| (root + degree(text)).rem_euclid(12)).collect()
                };
                let (formula, missing) = (tones(&candidate["formula"]), tones(&candidate["missing"]));
                let sounds = |tone: &i32| sounding.iter().any(|note| note.rem_euclid(12) == *tone);
                // The whole formula is listed, what is missing does not sound, and all else does.
                assert!(formula.iter().all(|tone| missing.contains(tone) != sounds(tone)), "{context}");
                assert!(missing.iter().all(|tone| formula.contains(tone)), "{context}");
                // Only the bass may be foreign to it.
                assert!(
                    sounding.iter().map(|note| note.rem_euclid(12)).all(|note| note == bass || formula.contains(&note)),
                    "{context}"
                );
                assert_eq!(formula.first(), Some(&root), "{context}");
            }
        }
    }
}

#[test]
fn tab_for_strings_that_no_setup_has_says_so() {
    let folder = tempfile::tempdir().expect("a folder");
    let lesson = folder.path().join("mine.lesson.ron");
    let path = lesson.to_str().expect("UTF-8");
    fingerpost(&["new", path, "--instrument", "ukulele"]).assert().code(0);
    fingerpost(&["read-tab", "-", "--into", path])
        .write_stdin(RIFF)
        .assert()
        .code(0)
        .stderr(contains("no setup of the lesson has the strings E2 A2 D3 G3 B3 E4"));
    let guitar = folder.path().join("guitar.lesson.ron");
    let path = guitar.to_str().expect("UTF-8");
    fingerpost(&["new", path]).assert().code(0);
    fingerpost(&["read-tab", "-", "--into", path])
        .write_stdin(RIFF)
        .assert()
        .code(0)
        .stderr(contains("no setup").not());
}

#[test]
#[cfg(unix)]
fn a_line_without_an_end_is_refused_before_it_fills_the_memory() {
    let endless = std::fs::File::open("/dev/zero").expect("zeros without end");
    let result = std::process::Command::new(assert_cmd::cargo::cargo_bin("fingerpost"))
        .args(["name", "--batch", "-", "--json"])
        .stdin(endless)
        .output()
        .expect("it runs");
    assert_eq!(result.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&result.stderr).contains("one shape a line"));
}

#[test]
fn a_message_repeats_only_the_beginning_of_what_was_typed() {
    let long = "é".repeat(10_000);
    let lone = "1 ".repeat(10_000);
    for arguments in [
        &["name", &long][..],
        &["name", &lone],
        &["name", "x32010", "--key", &long],
        &["name", "x32010", "--key", &format!("C{long}")],
        &["name", "x32010", "--tuning", &long],
        &["name", "x32010", "--tuning", &format!("E2 A2 {long} G3 B3 E4")],
        &["name", "x32010", "--instrument", &long],
        &["demo", &long],
    ] {
        let result = fingerpost(arguments).output().expect("it runs");
        assert_eq!(result.status.code(), Some(2));
        let said = String::from_utf8_lossy(&result.stdout) + String::from_utf8_lossy(&result.stderr);
        let start: String = arguments.concat().chars().take(40).collect();
        assert!(said.chars().count() < 2_000, "{start}: {} characters", said.chars().count());
        assert!(said.contains('…') && (said.contains("éééééééé") || said.contains("1 1 1 1 1")), "{start}: {said}");
    }
}

#[test]
fn chapters_of_a_lesson_without_recorded_times_say_where_to_type_them() {
    use fingerpost::workbench::action::{Action, Pane, TimelineAction};
    let key = fingerpost::workbench::keys::KeyTable::built_in()
        .key_for(Pane::Timeline, Action::Timeline(TimelineAction::Stamp))
        .expect("the key is in the table");
    fingerpost(&["chapters", "tests/lessons/workbench.lesson.ron"])
        .assert()
        .code(2)
        .stderr(contains(format!("the key {key} in the workbench's timeline")).and(contains("--planned")));
}
