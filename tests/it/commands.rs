//! The commands as a shell sees them: output, exit status, messages.

use std::path::Path;

use assert_cmd::Command;
use predicates::prelude::*;
use predicates::str::contains;
use serde_json::Value;

mod batch;
mod music;
mod naming;
mod place;
mod sound;
mod unsaved;
mod voicings;

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
    for command in [
        "open",
        "new",
        "check",
        "handout",
        "chapters",
        "name",
        "read-tab",
        "place",
        "render",
        "sound",
        "demo",
        "tunings",
        "completions",
        "man",
    ] {
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
    // With a low G the fourth string is the lowest, but four high strings leave the bass to others.
    let answers = json_lines(&["name", "--json", "--tuning", "low G", "0 0 0 0"], "");
    assert_eq!(answers[0]["candidates"][0]["bass"], "G");
    assert_eq!(answers[0]["candidates"][0]["symbol"], "C6");
    let answers = json_lines(&["name", "--json", "--tuning", "low G", "--previous", "G/B", "0 0 0 0"], "");
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
fn a_command_does_its_work_also_where_nobody_reads_its_notes() {
    let folder = tempfile::tempdir().expect("a folder");
    let text = std::fs::read_to_string("demo-lessons/funk-rhythm.lesson.ron").expect("a demo lesson");
    let newer = folder.path().join("newer.lesson.ron");
    std::fs::write(&newer, text.replacen("format: 4", "format: 5", 1)).expect("written");
    let mut child = std::process::Command::new(assert_cmd::cargo::cargo_bin("fingerpost"))
        .arg("handout")
        .arg(&newer)
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .expect("it runs");
    drop(child.stderr.take());
    let result = child.wait_with_output().expect("it ends");
    assert_eq!(result.status.code(), Some(0));
    assert!(!result.stdout.is_empty());
}

#[test]
fn a_handout_whose_reader_has_enough_ends_quietly() {
    let mut child = std::process::Command::new(assert_cmd::cargo::cargo_bin("fingerpost"))
        .args(["handout", "demo-lessons/funk-rhythm.lesson.ron"])
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .expect("it runs");
    drop(child.stdout.take());
    let result = child.wait_with_output().expect("it ends");
    assert_eq!(result.status.code(), Some(0));
    assert!(result.stderr.is_empty(), "{}", String::from_utf8_lossy(&result.stderr));
}

#[test]
fn a_command_clears_what_a_killed_one_has_left() {
    let folder = tempfile::tempdir().expect("a folder");
    let lesson = folder.path().join("a.lesson.ron");
    std::fs::copy("demo-lessons/funk-rhythm.lesson.ron", &lesson).expect("copied");
    // Larger than the number of any process: proc(5), pid_max.
    let left = folder.path().join(".fingerpost-4194305-0.part");
    std::fs::write(&left, "half").expect("written");
    fingerpost(&["check", lesson.to_str().expect("UTF-8")]).assert().code(0);
    assert!(!left.exists());
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
fn check_tells_problems_from_warnings_by_its_status() {
    fingerpost(&["check", &demo("ukulele-strum")]).assert().code(0).stdout(contains("no problems"));
    fingerpost(&["check", &demo("funk-rhythm")])
        .assert()
        .code(0)
        .stdout(contains("warning: voicing \"Bm7\", string 5"));
    let folder = tempfile::tempdir().expect("a folder");
    let broken = folder.path().join("broken.lesson.ron");
    let text = std::fs::read_to_string(demo("ukulele-strum")).expect("there").replacen("tuning: 1", "tuning: 77", 1);
    std::fs::write(&broken, text).expect("written");
    fingerpost(&["check", broken.to_str().expect("UTF-8")]).assert().code(1).stdout(contains("problem: "));
}

#[test]
fn check_goes_on_after_a_file_it_cannot_read() {
    fingerpost(&["check", "no-such.lesson.ron", &demo("ukulele-strum")])
        .assert()
        .code(2)
        .stdout(contains("no problems"))
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
        .stderr("fingerpost: cannot read no-such.txt: there is no such file or folder; check the name\n");
}

#[test]
fn no_candidates_asked_for_is_not_silence() {
    let text = output(&["name", "x32010", "--limit", "0"], "");
    assert!(!text.contains("nothing sounds"), "{text}");
    assert!(output(&["name", "xxxxxx"], "").contains("nothing sounds"));
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
    use fingerpost::workbench::keys::action::{Action, Pane, TimelineAction};
    let key = fingerpost::workbench::keys::table::KeyTable::built_in()
        .key_for(Pane::Timeline, Action::Timeline(TimelineAction::Stamp))
        .expect("the key is in the table");
    fingerpost(&["chapters", "tests/lessons/workbench.lesson.ron"])
        .assert()
        .code(2)
        .stderr(contains(format!(
            "have no start time: set them in the workbench (`{key}` in the timeline), or use --planned for the planned times"
        )));
}

#[test]
fn chapters_that_video_hosts_refuse_are_printed_with_a_word_about_it() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("late.lesson.ron");
    let text = std::fs::read_to_string("tests/lessons/workbench.lesson.ron").unwrap();
    let mut lesson = fingerpost::store::lesson_file::parse(&path, text.as_bytes()).unwrap().lesson;
    for (segment, start) in lesson.segments.iter_mut().zip([5_437, 41_000, 48_000, 48_500]) {
        let start = fingerpost::lesson::time::VideoTime(start);
        segment.recorded = Some(fingerpost::lesson::document::Recorded { start, end: None });
    }
    std::fs::write(&path, fingerpost::store::lesson_file::to_text(&lesson).unwrap()).unwrap();
    let said = fingerpost(&["chapters", path.to_str().unwrap()]).assert().success();
    let said = String::from_utf8_lossy(&said.get_output().stderr).into_owned();
    let found: Vec<&str> = said.lines().collect();
    assert_eq!(found.len(), 3, "{said}");
    assert!(found[0].starts_with("the first chapter starts at 0:05; a list that does not start at 0:00"), "{said}");
    assert!(found[1].starts_with("chapter 2 \"Two shapes\": a chapter of 0:07, and video hosts"), "{said}");
    assert!(
        found[2].contains(": the chapter after this one starts at 0:48, in the same second; correct one"),
        "{said}"
    );
}

#[test]
fn chapters_that_are_all_too_short_are_told_in_one_line() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("short.lesson.ron");
    let text = std::fs::read_to_string("tests/lessons/workbench.lesson.ron").unwrap();
    let mut lesson = fingerpost::store::lesson_file::parse(&path, text.as_bytes()).unwrap().lesson;
    for (segment, seconds) in lesson.segments.iter_mut().zip([5, 30, 4, 3]) {
        segment.planned = fingerpost::lesson::time::VideoLength::from_seconds(seconds);
    }
    std::fs::write(&path, fingerpost::store::lesson_file::to_text(&lesson).unwrap()).unwrap();
    let said = fingerpost(&["chapters", "--planned", path.to_str().unwrap()]).assert().success();
    assert_eq!(
        String::from_utf8_lossy(&said.get_output().stderr),
        "3 chapters are shorter than the 0:10 that video hosts usually want: chapters 1 and 3-4; make each of them \
         longer, or join it with a neighbour\n"
    );
}

#[test]
fn the_handout_command_takes_the_choices_of_the_workbench_and_its_file_is_known_there() {
    let home = tempfile::tempdir().unwrap();
    let folders = fingerpost::store::folders::Folders::under(home.path());
    let run = |arguments: &[&str]| {
        let mut command = fingerpost(arguments);
        command.env("FINGERPOST_HOME", home.path());
        String::from_utf8(command.output().expect("it runs").stdout).expect("UTF-8")
    };
    let lesson = "tests/lessons/workbench.lesson.ron";
    let plain = run(&["handout", lesson]);
    let point = fingerpost::store::lesson_file::load(Path::new(lesson)).unwrap().lesson;
    let point = point.segments.iter().find_map(|segment| segment.talking_points.first().cloned()).unwrap();
    assert!(!plain.contains(&point), "{plain}");
    assert!(run(&["handout", lesson, "--talking-points"]).contains(&point));
    fingerpost::store::settings::Settings::update(&folders, |settings| {
        settings.paper = fingerpost::text::paper::Paper::Letter;
        settings.handout.talking_points = true;
        settings.handout.characters = fingerpost::store::settings::Characters::Ascii;
    })
    .unwrap();
    let chosen = run(&["handout", lesson]);
    assert!(chosen.contains(&point) && chosen.is_ascii(), "{chosen}");
    let spelled_out = ["handout", lesson, "--paper", "a4", "--utf8", "--no-talking-points"];
    assert_eq!(run(&spelled_out), plain);
    // What is written by the command may be replaced by the workbench without a question.
    let out = home.path().join("out.txt");
    run(&["handout", lesson, "-o", out.to_str().unwrap()]);
    let content = fingerpost::store::fingerprint::Fingerprint::of(&std::fs::read(&out).unwrap());
    let id = fingerpost::store::lesson_file::load(Path::new(lesson)).unwrap().lesson.id.unwrap();
    assert!(fingerpost::store::printed::PrintedHandouts::knows(&folders, id, content));
}

#[test]
fn what_is_published_has_the_times_of_the_cut_video_and_the_uncut_ones_are_offered() {
    // Cut out are 10.5 seconds at the beginning and 10 more before the second segment, which is recorded at 1:02.
    let lesson = "tests/corpus/format-2/lessons/retakes.lesson.ron";
    fingerpost(&["chapters", lesson])
        .assert()
        .success()
        .stdout("Chapters (cut video)\n0:00 hello\n0:41 the swing\n")
        .stderr(contains("the times of the cut video, 0:20.5 shorter than the recording; --uncut gives"));
    fingerpost(&["chapters", lesson, "--uncut"])
        .assert()
        .success()
        .stdout("Chapters (uncut video)\n0:00 hello\n1:02 the swing\n")
        .stderr(contains("the times of the uncut video, 0:20.5 longer"));
    let few =
        "2 chapters, and video hosts usually want 3 or more; split a segment in two, or publish without chapters\n";
    fingerpost(&["chapters", lesson, "--planned"]).assert().success().stderr(few);
    fingerpost(&["chapters", lesson, "--planned", "--uncut"]).assert().code(2);
    fingerpost(&["handout", lesson])
        .assert()
        .success()
        .stdout(contains("times in the cut video").and(contains("2  0:41  walkthrough")));
    fingerpost(&["handout", lesson, "--uncut"])
        .assert()
        .success()
        .stdout(contains("times in the uncut video").and(contains("2  1:02  walkthrough")));
}
