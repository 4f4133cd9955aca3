//! `sound` and `render`, as a shell sees them.

use std::fs;
use std::path::Path;

use assert_cmd::Command;
use fingerpost::lesson::document::{PassageUse, Segment, Voicing};
use fingerpost::lesson::id::{PassageId, VoicingId};
use fingerpost::theory::pitch::Hertz;
use predicates::prelude::*;
use predicates::str::contains;
use tempfile::TempDir;

use super::fingerpost;
use crate::sound::estimator::{cents, partial};

/// The program, run in a folder.
fn within(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = fingerpost(arguments);
    command.current_dir(folder);
    command
}

fn names(folder: &TempDir) -> Vec<String> {
    let mut names: Vec<String> =
        fs::read_dir(folder.path()).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

#[test]
fn a_shape_becomes_a_file_named_after_it_and_none_is_overwritten() {
    let folder = tempfile::tempdir().unwrap();
    let line = ["sound", "x32010", "--seconds", "0.2"];
    within(folder.path(), &line).assert().code(0).stderr(contains("wrote x-3-2-0-1-0.wav").and(contains("clean")));
    let line = ["sound", "x", "3", "2", "0", "1", "0", "--seconds", "0.2"];
    within(folder.path(), &line).assert().code(0).stderr(contains("wrote x-3-2-0-1-0-2.wav"));
    assert_eq!(names(&folder), ["x-3-2-0-1-0-2.wav", "x-3-2-0-1-0.wav"]);
    let [one, other] = ["x-3-2-0-1-0.wav", "x-3-2-0-1-0-2.wav"].map(|name| fs::read(folder.path().join(name)).unwrap());
    assert!(one == other, "the same to the last bit");
}

#[test]
fn a_file_that_is_named_is_replaced_and_that_is_said() {
    let folder = tempfile::tempdir().unwrap();
    let line = ["sound", "2220", "--tuning", "ukulele", "--seconds", "0.2", "-o", "d.flac", "--bits", "24"];
    within(folder.path(), &line).assert().code(0).stderr(contains("ukulele").and(contains("replaces").not()));
    within(folder.path(), &line).assert().code(0).stderr(contains("it replaces the file that was there"));
    let reader = claxon::FlacReader::open(folder.path().join("d.flac")).unwrap();
    assert_eq!((reader.streaminfo().bits_per_sample, reader.streaminfo().sample_rate), (24, 44_100));
}

#[test]
fn every_way_to_strike_and_every_rate_is_written() {
    let folder = tempfile::tempdir().unwrap();
    for stroke in ["down", "up", "arpeggio", "together"] {
        for (rate, bits) in [("44100", "16"), ("48000", "24"), ("48000", "32")] {
            let line = ["sound", "xx0232", "x02210", "--stroke", stroke, "--rate", rate, "--bits", bits, "--seconds"];
            let line = [&line[..], &["0.1", "-o", "out.wav"]].concat();
            within(folder.path(), &line).assert().code(0);
            let spec = hound::WavReader::open(folder.path().join("out.wav")).unwrap().spec();
            assert_eq!((spec.sample_rate.to_string(), spec.bits_per_sample.to_string()), (rate.into(), bits.into()));
        }
    }
}

#[test]
fn what_cannot_be_sounded_is_said_and_nothing_is_written() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("old.wav"), "what was there").unwrap();
    fs::create_dir(folder.path().join("folder.wav")).unwrap();
    for (line, words) in [
        (&["sound", "x32010", "--sound", "kazoo"][..], "no sound is called `kazoo`; there are nylon, steel, clean"),
        (&["sound", "x3201", "-o", "old.wav"], "5 strings"),
        (&["sound", "x3201z"], "`x3201z`"),
        (&["sound", "x32010", "-o", "tune.mp3"], "ends in .wav or .flac"),
        (&["sound", "x32010", "-o", "-"], "ends in .wav or .flac"),
        (&["sound", "x32010", "-o", "folder.wav"], "it is not a file"),
        (&["sound", "x32010", "-o", "no/tune.wav"], "its folder is not there"),
        (&["sound", "x32010", "-o", "tune.flac", "--bits", "32"], "choose 16 or 24 bits"),
        (&["sound", "x32010", "--rate", "22050"], "44100, 48000"),
        (&["sound", "x32010", "--bits", "8"], "16, 24, 32"),
        (&["sound", "x32010", "--seconds", "0"], "0.1 to 60"),
        (&["sound", "x32010", "--seconds", "NaN"], "0.1 to 60"),
        (&["sound", "x32010", "--reference", "880"], "380 to 500 Hz"),
        (&["sound", "xxxxxx"], "every string is muted"),
        (&["sound"], "SHAPE"),
    ] {
        within(folder.path(), line).assert().code(2).stderr(contains(words));
    }
    assert_eq!(names(&folder), ["folder.wav", "old.wav"]);
    assert_eq!(fs::read_to_string(folder.path().join("old.wav")).unwrap(), "what was there");
}

#[cfg(target_os = "linux")]
#[test]
fn a_folder_without_permission_is_said_so() {
    // Not even the system's own user may make files there.
    let line = ["sound", "x32010", "-o", "/sys/tune.wav"];
    fingerpost(&line).assert().code(2).stderr(contains("no file may be written in its folder"));
}

#[test]
fn a_lesson_is_not_replaced_by_sound_whatever_leads_to_it() {
    let folder = tempfile::tempdir().unwrap();
    within(folder.path(), &["new", "reel.lesson.ron"]).assert().code(0);
    let lesson = fs::read_to_string(folder.path().join("reel.lesson.ron")).unwrap();
    fs::copy(folder.path().join("reel.lesson.ron"), folder.path().join("reel.wav")).unwrap();
    within(folder.path(), &["sound", "x32010", "-o", "reel.wav"]).assert().code(2).stderr(contains("is a lesson file"));
    assert_eq!(fs::read_to_string(folder.path().join("reel.wav")).unwrap(), lesson);
}

#[test]
fn the_help_says_what_ears_bear_and_names_every_sound() {
    for command in ["sound", "render"] {
        let help = contains("80 dB(A)").and(contains("40 hours a week"));
        fingerpost(&[command, "--help"]).assert().code(0).stdout(help);
        for sound in fingerpost::sound::sounds::sounds() {
            fingerpost(&[command, "--help"]).assert().stdout(contains(&sound.name));
        }
    }
}

/// A lesson with two passages of one bar at 120, one voicing and a segment that plays both.
fn lesson(folder: &TempDir) {
    within(folder.path(), &["new", "reel.lesson.ron", "--instrument", "acoustic guitar"]).assert().code(0);
    for (title, notes) in [("Rise", "E2 G2 A2 B2 D3 E3 G3 A3"), ("Rise and fall", "A3 G3 E3 D3 B2 A2 G2 E2")] {
        let line = ["place", notes, "--into", "reel.lesson.ron", "--title", title, "--instrument", "acoustic guitar"];
        within(folder.path(), &line).assert().code(0);
    }
    let path = folder.path().join("reel.lesson.ron");
    let text = fs::read_to_string(&path).unwrap();
    let mut lesson = fingerpost::store::lesson_file::parse(&path, text.as_bytes()).unwrap().lesson;
    for (passage, number) in lesson.passages.iter_mut().zip(1..) {
        passage.id = PassageId(number);
    }
    let both = lesson.passages.iter().map(|passage| PassageUse::whole(passage.id)).collect();
    lesson.segments[0] = Segment { passages: both, title: "Both".into(), ..lesson.segments[0].clone() };
    let voicing = |id| Voicing {
        id: VoicingId(id),
        shape: "x32010".parse().unwrap(),
        doubts: Vec::new(),
        setup: None,
        readings: vec!["C".into()],
        fingers: Vec::new(),
        barre: None,
        tags: Vec::new(),
        notes: String::new(),
    };
    lesson.voicings = vec![voicing(1), voicing(7)];
    fs::write(&path, fingerpost::store::lesson_file::to_text(&lesson).unwrap()).unwrap();
}

/// Seconds of a WAV file.
fn seconds(folder: &TempDir, name: &str) -> f64 {
    let reader = hound::WavReader::open(folder.path().join(name)).unwrap();
    f64::from(reader.duration()) / f64::from(reader.spec().sample_rate)
}

#[test]
fn passages_voicings_and_segments_are_found_by_number_and_name() {
    let folder = tempfile::tempdir().unwrap();
    lesson(&folder);
    for (what, name) in [
        (["--passage", "1"], "rise.wav"),
        (["--passage", "rise"], "rise-2.wav"),
        (["--passage", "Rise and"], "rise-and-fall.wav"),
        (["--segment", "1"], "both.wav"),
        (["--segment", "BOTH"], "both-2.wav"),
        (["--voicing", "7"], "c.wav"),
    ] {
        let line = [&["render", "reel.lesson.ron"], &what[..]].concat();
        let said = format!("wrote {name}");
        within(folder.path(), &line).assert().code(0).stderr(contains(said).and(contains("sound: steel")));
    }
    // A bar of 4/4 at 120 lasts two seconds; what rings on after that is damped or dies away.
    assert!((2.0..9.0).contains(&seconds(&folder, "rise.wav")));
    assert!(seconds(&folder, "both.wav") > seconds(&folder, "rise-and-fall.wav") + 2.0);
}

#[test]
fn tempo_count_in_and_click_are_heard() {
    let folder = tempfile::tempdir().unwrap();
    lesson(&folder);
    let render = |name: &str, options: &[&str]| {
        let line = [&["render", "reel.lesson.ron", "--passage", "1", "-o", name], options].concat();
        within(folder.path(), &line).assert().code(0);
        seconds(&folder, name)
    };
    let plain = render("plain.wav", &[]);
    // At half the tempo the bar is two seconds longer, with count-in (1 bar) another two.
    assert!((render("slow.wav", &["--tempo", "50"]) - plain - 2.0).abs() < 0.5);
    assert!((render("counted.wav", &["--count-in"]) - plain - 2.0).abs() < 0.1);
    render("clicked.wav", &["--click"]);
    let [plain, clicked] = ["plain.wav", "clicked.wav"].map(|name| fs::read(folder.path().join(name)).unwrap());
    assert!(plain != clicked);
}

/// The equal-tempered frequency of a MIDI key in Hz, A4 (key 69) at `reference` Hz: the definition, no code of the program.
fn tempered(key: f64, reference: f64) -> f64 {
    reference * 2_f64.powf((key - 69.0) / 12.0)
}

/// The notes of `x32010`, C3 E3 G3 C4 E4 as MIDI keys, are where A4 at `reference` Hz puts them. Partials of the lower
/// ones lie within a few cents of the lowest of the upper ones, so the lowest three are measured.
#[track_caller]
fn check_tuned(folder: &TempDir, name: &str, reference: f64) {
    let mut reader = hound::WavReader::open(folder.path().join(name)).unwrap();
    let rate = f64::from(reader.spec().sample_rate);
    let samples: Vec<f32> = reader.samples::<i32>().map(|sample| sample.unwrap() as f32 / 32_768.0).collect();
    let steady = &samples[(0.2 * rate) as usize..(1.2 * rate) as usize];
    for key in [48.0, 52.0, 55.0] {
        let meant = tempered(key, reference);
        let off = cents(partial(steady, rate, meant), meant);
        assert!(off.abs() < 1.0, "{name}, key {key} at {reference} Hz: {off:+.2} cents");
    }
}

#[test]
fn chords_are_written_at_the_reference_that_was_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    lesson(&folder);
    let path = folder.path().join("reel.lesson.ron");
    let text = fs::read_to_string(&path).unwrap();
    let mut lesson = fingerpost::store::lesson_file::parse(&path, text.as_bytes()).unwrap().lesson;
    for (reference, asked) in [(440.0, None), (415.0, Some(Hertz(415.0))), (432.0, Some(Hertz(432.0)))] {
        lesson.setups[0].reference = asked;
        fs::write(&path, fingerpost::store::lesson_file::to_text(&lesson).unwrap()).unwrap();
        within(folder.path(), &["render", "reel.lesson.ron", "--voicing", "7", "-o", "voicing.wav"]).assert().code(0);
        check_tuned(&folder, "voicing.wav", reference);
        let hertz = reference.to_string();
        let line = ["sound", "x32010", "--seconds", "1.5", "--reference", &hertz, "-o", "shape.wav"];
        within(folder.path(), &line).assert().code(0);
        check_tuned(&folder, "shape.wav", reference);
    }
}

#[test]
fn what_a_lesson_does_not_have_is_answered_with_what_it_has() {
    let folder = tempfile::tempdir().unwrap();
    lesson(&folder);
    let there = r#"the lesson has 1 "Rise", 2 "Rise and fall""#;
    for (options, words) in [
        (&["--passage", "9"][..], there),
        (&["--passage", "Coda"], "no passage has the number or name `Coda`"),
        (&["--passage", ""], there),
        (&["--voicing", "C"], r#"`C` is the name of more than one voicing: 1 "C" (x 3 2 0 1 0), 7 "C" (x 3 2 0 1 0)"#),
        (&["--segment", "2"], "plays no passage, so there is nothing to play"),
        (&["--segment", "99"], "no segment has the number or name `99`"),
        (&["--passage", "1", "--tempo", "0"], "25 to 150"),
        (&["--passage", "1", "--tempo", "151"], "25 to 150"),
        (&["--passage", "1", "--tempo", "-50"], "25 to 150"),
        (&["--passage", "1", "--segment", "1"], "cannot be used with"),
        (&["--voicing", "1", "--click"], "cannot be used with"),
        (&[], "--passage"),
        (&["--passage", "1", "-o", "reel.lesson.ron"], "ends in .wav or .flac"),
        (&["--passage", "1", "--sound", "kazoo"], "there are nylon"),
        (&["--passage", "1", "-o", "no/tune.wav"], "its folder is not there"),
    ] {
        let line = [&["render", "reel.lesson.ron"], options].concat();
        within(folder.path(), &line).assert().code(2).stderr(contains(words));
    }
    within(folder.path(), &["render", "gone.lesson.ron", "--passage", "1"]).assert().code(2).stderr(contains("gone"));
    assert_eq!(names(&folder).iter().filter(|name| !name.contains("reel")).count(), 0);
}

#[cfg(unix)]
#[test]
fn a_render_that_is_stopped_leaves_nothing_behind() {
    let folder = tempfile::tempdir().unwrap();
    // Strings that are damped after a minute each take long enough to be stopped.
    let shapes = ["x32010"; 200];
    let line = [&["sound", "-o", "long.wav", "--seconds", "60"], &shapes[..]].concat();
    let mut child = std::process::Command::new(assert_cmd::cargo::cargo_bin("fingerpost"))
        .args(line)
        .current_dir(folder.path())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    // As soon as its temporary file is there, it is at work.
    while names(&folder).is_empty() {
        std::thread::yield_now();
    }
    let stopped = std::process::Command::new("kill").args(["-INT", &child.id().to_string()]).status();
    assert!(stopped.is_ok_and(|status| status.success()));
    assert_eq!(child.wait().unwrap().code(), Some(2));
    let mut said = String::new();
    std::io::Read::read_to_string(&mut child.stderr.unwrap(), &mut said).unwrap();
    assert!(said.contains("stopped before the end: nothing was written"), "{said}");
    assert!(names(&folder).is_empty());
}

#[cfg(unix)]
#[test]
fn a_long_render_shows_on_a_terminal_how_far_it_is() {
    use std::io::{Read as _, Write as _};

    let folder = tempfile::tempdir().unwrap();
    let pair = portable_pty::native_pty_system().openpty(portable_pty::PtySize::default()).unwrap();
    let mut command = portable_pty::CommandBuilder::new(assert_cmd::cargo::cargo_bin("fingerpost"));
    command.args(["sound", "-o", "long.wav", "--seconds", "60"]);
    command.args(["x32010"; 200]);
    command.cwd(folder.path());
    let mut child = pair.slave.spawn_command(command).unwrap();
    drop(pair.slave);
    let mut reader = pair.master.try_clone_reader().unwrap();
    let mut shown = String::new();
    let mut bytes = [0; 256];
    while !shown.contains(" %") {
        let read = reader.read(&mut bytes).expect("it shows something");
        assert!(read > 0, "it ended: {shown}");
        shown.push_str(&String::from_utf8_lossy(&bytes[..read]));
    }
    assert!(shown.contains('['), "{shown}");
    // Ctrl-C ends it in order.
    pair.master.take_writer().unwrap().write_all(b"\x03").unwrap();
    // The end of a pseudo-terminal is an error on some systems.
    while let Ok(read @ 1..) = reader.read(&mut bytes) {
        shown.push_str(&String::from_utf8_lossy(&bytes[..read]));
    }
    assert_eq!(child.wait().unwrap().exit_code(), 2);
    assert!(shown.contains("stopped before the end: nothing was written"), "{shown}");
    assert!(names(&folder).is_empty());
}
