//! `sound`, as a shell sees it.

use std::fs;
use std::path::Path;

use assert_cmd::Command;
use predicates::prelude::*;
use predicates::str::contains;
use tempfile::TempDir;

use super::fingerpost;

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
fn the_help_says_what_ears_bear() {
    fingerpost(&["sound", "--help"]).assert().code(0).stdout(contains("80 dB(A)").and(contains("40 hours a week")));
}
