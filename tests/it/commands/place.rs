//! `fingerpost place` as a shell sees it.

use fingerpost::lesson::document::{ChordNames, Lesson};
use fingerpost::store::lesson_file::{self, Replace};
use predicates::prelude::*;
use predicates::str::contains;
use serde_json::Value;

use super::{fingerpost, output};

/// Returns the whole example files of RP-001 by their names, written into a folder.
fn examples(folder: &std::path::Path) -> Vec<String> {
    let table = include_str!("../../reference/smf_examples.tsv");
    let rows = crate::reference::rows(table, ["name", "hex"]);
    let write = |[name, hex]: [&str; 2]| {
        let bytes: Vec<u8> = hex.split(' ').map(|byte| u8::from_str_radix(byte, 16).expect("hex")).collect();
        let path = folder.join(format!("{name}.mid"));
        std::fs::write(&path, bytes).expect("written");
        path.to_str().expect("UTF-8").to_owned()
    };
    rows.into_iter().map(write).collect()
}

fn json(arguments: &[&str]) -> Value {
    serde_json::from_str(&output(arguments, "")).expect("one object")
}

#[test]
fn a_typed_line_is_printed_as_tab() {
    let expected = "\
4/4  q=120
1  e  e  e  e  e  e  e  e
e|-------------------------------|
B|-------------------0--1--------|
G|-------------0--2--------------|
D|----0--2--3--------------------|
A|-3-----------------------------|
E|-------------------------------|
   1  &  2  &  3  &  4  &
";
    let arguments = ["place", "C3", "D3", "E3", "F3", "G3", "A3", "B3", "C4", "--ascii"];
    fingerpost(&arguments).assert().code(0).stdout(contains(expected)).stderr("");
    // The same in one argument, and on standard input.
    fingerpost(&["place", "C3 D3 E3 F3 G3 A3 B3 C4", "--ascii"]).assert().code(0).stdout(contains(expected));
    fingerpost(&["place", "-", "--ascii"])
        .write_stdin("C3 D3 E3 F3\nG3 A3 B3 C4 |\n")
        .assert()
        .code(0)
        .stdout(contains(expected));
}

#[test]
fn a_chord_may_have_one_note_on_two_strings() {
    for (line, arguments, frets) in [
        ("A4+C4+F4+A4:1/2", &["--tuning", "ukulele"][..], ["A|-0-", "E|-1-", "C|-0-", "G|-2-"]),
        ("B3+B3:1/2", &[], ["e|---", "B|-0-", "G|-4-", "D|---"]),
    ] {
        let text = output(&[&["place", line, "--ascii"], arguments].concat(), "");
        for string in frets {
            assert!(text.lines().any(|shown| shown.starts_with(string)), "{string}: {text}");
        }
    }
}

#[test]
fn the_key_shows_signs_that_stand_in_the_tab() {
    for (line, there, absent) in [
        ("E4:1/8. F4:1/16 r:1/2.", &["\ne.  ", "\nrh. "][..], &["q.", "rq "][..]),
        ("E4:1/4. F4:1/8 r:1/4 G4:1/4", &["\nq.  ", "\nrq  "], &["e.", "rh"]),
        ("E4:1/6 F4:1/6 G4:1/6 r:1/2", &["\nq3 "], &["e3"]),
    ] {
        let text = output(&["place", line, "--ascii"], "");
        for sign in there {
            assert!(text.replace("\n ", "\n").contains(sign), "{sign:?}: {text}");
        }
        for sign in absent {
            assert!(!text.contains(sign), "{sign}: {text}");
        }
    }
}

#[test]
fn json_says_where_each_note_lies_and_when() {
    let answer = json(&["place", "C3+E4:3/4 G3:1/2", "--pin", "3=4:5", "--json", "--meter", "3/4", "--capo", "0"]);
    assert_eq!(answer["meter"], "3/4");
    assert_eq!(answer["tuning"], "E2 A2 D3 G3 B3 E4");
    assert_eq!(answer["capo"], Value::Null);
    let notes = answer["notes"].as_array().expect("notes");
    assert_eq!(notes.len(), 3);
    let last = &notes[2];
    for (field, value) in [("note", "3"), ("midi", "55"), ("string", "4"), ("fret", "5")] {
        assert_eq!(last[field].to_string(), value, "{field}");
    }
    assert_eq!((&last["pitch"], &last["start"], &last["length"]), (&"G3".into(), &"3/4".into(), &"1/2".into()));
    assert!(last["finger"].is_u64() && last["position"].is_u64());
}

#[test]
fn limits_are_kept() {
    let answer = json(&["place", "A3 B3 C4 D4 E4 F4 G4 A4", "--frets", "5-9", "--json"]);
    let frets = answer["notes"].as_array().expect("notes").iter().map(|note| note["fret"].as_u64().expect("a fret"));
    assert!(frets.clone().all(|fret| (5..=9).contains(&fret)), "{:?}", frets.collect::<Vec<_>>());
}

#[test]
fn the_examples_of_the_midi_standard_are_read() {
    // RP-001: four notes, C3 and C4 together, then G4, then E5; all end after 2.0 s.
    let folder = tempfile::tempdir().expect("a folder");
    let files = examples(folder.path());
    let answer = json(&["place", &files[0], "--json"]);
    let told: Vec<String> = answer["notes"]
        .as_array()
        .expect("notes")
        .iter()
        .map(|note| format!("{} {} {}", note["midi"], note["start"], note["length"]))
        .collect();
    assert_eq!(told, ["48 \"0\" \"1\"", "60 \"0\" \"1\"", "67 \"1/4\" \"3/4\"", "76 \"1/2\" \"1/2\""]);
    assert_eq!(answer["tempo"], "1/4=120");
    fingerpost(&["place", &files[1]]).assert().code(2).stderr(contains("several tracks have notes, choose one"));
    fingerpost(&["place", &files[1], "--track", "4"]).assert().code(0).stdout(contains("w"));
}

#[test]
fn bad_input_ends_with_status_2_and_says_what_was_not_understood() {
    let folder = tempfile::tempdir().expect("a folder");
    let missing = folder.path().join("none.mid");
    let broken = folder.path().join("broken.mid");
    std::fs::write(&broken, b"MThd\0\0").expect("written");
    for (arguments, expected) in [
        (&["place"][..], "NOTES"),
        (&["place", "E4 H4"], "part 2, `H4`: `H4` is not a note"),
        (&["place", "E4 C1"], "note 2, C1, is not on the guitar, which sounds E2 to D6"),
        (
            &["place", "E4", "--pin", "1=6:5"],
            "note 1, E4, cannot be played on string 6 at fret 5: it lies at string 5, fret 19",
        ),
        (&["place", "E4", "--pin", "2=1"], "note 2 cannot be pinned: there is 1 note"),
        (&["place", "E4", "--pin", "1=9"], "note 1 cannot be pinned to string 9: there are 6"),
        (&["place", "E4", "--pin", "1=1", "--pin", "1=2"], "note 1 is pinned to two places"),
        (&["place", "E4", "--pin", "high"], "expected the note's number, a string"),
        (&["place", "E4", "--frets", "9-5"], "the lower one first"),
        (&["place", "E2", "--frets", "5-9"], "cannot be played within frets 5-9: it lies at string 6 open"),
        (&["place", "E4:1/7.5"], "is not a length"),
        (&["place", "E4", "--tuning", "nonesuch"], "no tuning is called `nonesuch`"),
        (&["place", "E4", "--track", "1"], "choose from a MIDI file"),
        (&["place", missing.to_str().expect("UTF-8")], "there is no such file"),
        (&["place", broken.to_str().expect("UTF-8")], "the file is cut off"),
        (&["place", broken.to_str().expect("UTF-8"), "--meter", "3/4"], "are for typed notes"),
        (&["place", "\u{1b}[31m"], "\\u{1b}[31m"),
    ] {
        fingerpost(arguments).assert().code(2).stdout("").stderr(contains(expected));
    }
}

#[test]
fn a_line_goes_into_a_lesson_in_the_setup_it_is_for() {
    let folder = tempfile::tempdir().expect("a folder");
    let lesson = folder.path().join("mine.lesson.ron");
    let path = lesson.to_str().expect("UTF-8");
    fingerpost(&["new", path, "--tuning", "DADGAD"]).assert().code(0);
    let line = ["place", "D3 A3 D4 E4 F#4:5/8", "--tuning", "DADGAD", "--into", path, "--title", "Rise"];
    fingerpost(&line).assert().code(2).stderr(contains("`5/8` is not a length"));
    let line = ["place", "D3 A3 D4 E4 F#4:1/1", "--tuning", "DADGAD", "--into", path, "--title", "Rise"];
    fingerpost(&line).assert().code(0).stdout(contains("added passage ").and(contains(", 2 bars"))).stderr("");
    let plain = ["place", "D3", "--into", path];
    fingerpost(&plain).assert().code(0).stderr("fingerpost: standard is new in the lesson\n");
    let loaded = fingerpost::store::lesson_file::load(&lesson).expect("it reads").lesson;
    assert_eq!((loaded.passages[0].title.as_str(), loaded.passages[0].setup.is_some()), ("Rise", true));
    // The long note is tied over the bar line.
    let last = loaded.passages[0].bars[0].voices[0].0.last().expect("an event");
    assert_eq!(last.notes[0].join, Some(fingerpost::lesson::music::Join::Tie));
    fingerpost(&["check", path]).assert().stdout(
        contains("note: passage \"Rise\": no segment plays it")
            .and(contains("g: passage \"Rise\"").or(contains("m: passage \"Rise\"")).not()),
    );
}

#[test]
fn what_two_people_add_to_copies_of_a_lesson_has_identities_of_its_own() {
    let folder = tempfile::tempdir().expect("a folder");
    let [mine, yours, other] = ["mine", "yours", "other"].map(|name| folder.path().join(format!("{name}.lesson.ron")));
    let path = |path: &std::path::Path| path.to_str().expect("UTF-8").to_owned();
    fingerpost(&["new", &path(&mine)]).assert().code(0);
    fingerpost(&["new", &path(&other)]).assert().code(0);
    std::fs::copy(&mine, &yours).expect("copied");
    for lesson in [&mine, &yours] {
        fingerpost(&["place", "E2 G2 A2", "--into", &path(lesson)]).assert().code(0);
    }
    let read = |path: &std::path::Path| fingerpost::store::lesson_file::load(path).expect("it reads").lesson;
    let [mine, yours, other] = [read(&mine), read(&yours), read(&other)];
    assert_ne!(mine.passages[0].id, yours.passages[0].id);
    assert_eq!(mine.id, yours.id);
    assert_ne!(mine.id, other.id);
}

#[test]
fn a_passage_is_placed_anew_for_another_tuning() {
    let folder = tempfile::tempdir().expect("a folder");
    let lesson = folder.path().join("mine.lesson.ron");
    let path = lesson.to_str().expect("UTF-8");
    fingerpost(&["new", path]).assert().code(0);
    fingerpost(&["place", "E2 G2 A2 D3", "--into", path, "--title", "Low"]).assert().code(0);
    let before = std::fs::read(&lesson).expect("there");
    let number = fingerpost::store::lesson_file::load(&lesson).expect("it reads").lesson.passages[0].id.to_string();
    let number = number.as_str();
    fingerpost(&["place", "--lesson", path, "--passage", number, "--tuning", "drop D", "--ascii"])
        .assert()
        .code(0)
        .stdout(contains("D|-2--5---"))
        .stderr("");
    fingerpost(&["place", "--lesson", path, "--passage", number, "--tuning", "standard", "--instrument", "ukulele"])
        .assert()
        .code(0)
        .stderr(contains("bar 1: 3 notes are not on the instrument: they are played 2 octaves higher\n"))
        .stderr(contains("string 4: D3 is not on the instrument: it is played an octave higher, D4\n"));
    fingerpost(&["place", "--lesson", path, "--passage", "low", "--tuning", "drop D", "--ascii"])
        .assert()
        .code(0)
        .stdout(contains("D|-2--5---"));
    fingerpost(&["place", "--lesson", path, "--passage", "7", "--tuning", "drop D"]).assert().code(2).stderr(contains(
        format!("mine.lesson.ron: no passage has the number or name `7`; the lesson has {number} \"Low\""),
    ));
    fingerpost(&["place", "--lesson", path, "--passage", number]).assert().code(2).stderr(contains("say what changes"));
    assert_eq!(std::fs::read(&lesson).expect("there"), before);
}

/// A chord over the line decides which shape its notes are held in, and is written over the tab as it is played.
#[test]
fn a_chord_over_the_line_says_which_shape_is_held() {
    let notes = "A#2 F3 A#3 D4 A#3 F3 A#2 A#3";
    let places = |arguments: &[&str]| -> Vec<String> {
        let answer = json(&[&["place", notes, "--json"], arguments].concat());
        let notes = answer["notes"].as_array().expect("notes");
        notes.iter().map(|note| format!("{}/{}", note["string"], note["fret"])).collect()
    };
    let held = ["5/1", "4/3", "3/3", "2/3", "3/3", "4/3", "5/1", "3/3"];
    assert_eq!(places(&["--chord", "1=Bb"]), held);
    // Two names: the second holds from the fifth note on.
    assert_eq!(places(&["--chord", "1=Bb", "--chord", "5=Bb"]), held);
    let tab = output(&["place", notes, "--chord", "1=Bb", "--chord", "5=F/A", "--ascii", "--capo", "1"], "");
    let names = tab.lines().find(|line| line.contains("E/G#")).unwrap_or_else(|| panic!("{tab}"));
    assert_eq!(names.split_whitespace().collect::<Vec<_>>(), ["A", "E/G#"], "{tab}");
}

/// Makes a lesson whose chord names go by `names` and returns its path.
fn lesson_by(folder: &std::path::Path, names: ChordNames) -> String {
    let path = folder.join(format!("{names:?}.lesson.ron"));
    let mut lesson = Lesson::default();
    lesson.header.chord_names = names;
    lesson_file::save(&path, &lesson, Replace::Nothing).expect("saved");
    path.to_str().expect("UTF-8").to_owned()
}

/// Returns the names over the last passage of a lesson.
fn names_over_the_last(path: &str) -> Vec<String> {
    let lesson = lesson_file::load(std::path::Path::new(path)).expect("it reads").lesson;
    let passage = lesson.passages.last().expect("a passage");
    let events = passage.bars.iter().flat_map(|bar| &bar.voices).flat_map(|voice| &voice.0);
    events.filter_map(|event| event.chord.clone()).collect()
}

#[test]
fn over_a_capo_chords_are_named_as_the_lesson_they_go_into_names_them() {
    let folder = tempfile::tempdir().expect("a folder");
    // A quarter note under each of the markers (FF 06 length text) "Bb" and "F/A"; RP-001.
    let mut track = vec![0, 0xFF, 0x06, 2, b'B', b'b', 0, 0x90, 58, 64, 96, 58, 0, 0, 0xFF, 0x06, 3, b'F', b'/', b'A'];
    track.extend([0, 0x90, 57, 64, 96, 57, 0, 0, 0xFF, 0x2F, 0]);
    let mut midi = b"MThd\0\0\0\x06\0\0\0\x01\0\x60MTrk\0\0\0".to_vec();
    midi.push(u8::try_from(track.len()).expect("it is short"));
    midi.extend(track);
    let file = folder.path().join("line.mid");
    std::fs::write(&file, midi).expect("written");
    let file = file.to_str().expect("UTF-8");
    for (names, over) in [(ChordNames::PlayedAs, ["A", "E/G#"]), (ChordNames::SoundsAs, ["Bb", "F/A"])] {
        let path = lesson_by(folder.path(), names);
        for line in [vec![file], vec!["A#3 A3", "--chord", "1=Bb", "--chord", "2=F/A"]] {
            fingerpost(&[&["place"], &line[..], &["--capo", "1", "--into", &path]].concat()).assert().code(0);
            assert_eq!(names_over_the_last(&path), over, "{names:?}: {line:?}");
        }
    }
    // A passage that goes from one of them to the other is named as the other names chords, where nothing else changes too.
    let [shapes, sound] = ["PlayedAs", "SoundsAs"].map(|names| folder.path().join(format!("{names}.lesson.ron")));
    let [shapes, sound] = [&shapes, &sound].map(|path| path.to_str().expect("UTF-8"));
    let go = |from: &str, into: &str, capo: &str| {
        fingerpost(&["place", "--lesson", from, "--passage", "Line", "--capo", capo, "--into", into]).assert().code(0);
        names_over_the_last(into)
    };
    std::fs::copy(shapes, folder.path().join("from.lesson.ron")).expect("copied");
    let from = folder.path().join("from.lesson.ron");
    let lesson = lesson_file::load(&from).expect("it reads").lesson;
    let mut one = lesson;
    one.passages.truncate(1);
    one.passages[0].title = "Line".to_owned();
    lesson_file::save(&from, &one, Replace::Anything).expect("saved");
    let from = from.to_str().expect("UTF-8");
    assert_eq!(go(from, sound, "1"), ["Bb", "F/A"]);
    assert_eq!(go(from, sound, "3"), ["Bb", "F/A"]);
    assert_eq!(go(from, shapes, "3"), ["G", "D/F#"]);
}

#[test]
fn a_chord_that_holds_from_nowhere_is_refused() {
    for (arguments, told) in [
        (["--chord", "3=C"].as_slice(), "no chord can begin at note 3: there are 2 notes"),
        (&["--chord", "0=C"], "expected the note's number and a chord, as in `1=C` or `9=F#m7`"),
        (&["--chord", "C"], "expected the note's number and a chord"),
        (&["--chord", "1=H9x"], "H9x"),
        (&["--chord", "1=C", "--chord", "1=G"], "two chords begin at note 1: leave out one of the two"),
    ] {
        fingerpost(&[&["place", "C3 E3"], arguments].concat()).assert().code(2).stdout("").stderr(contains(told));
    }
}

/// A link from the tab to a chord shape stays where nothing moves, and goes where the shape no longer fits.
#[test]
fn a_passage_that_stays_as_it_is_keeps_its_links_to_chord_shapes() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("mine.lesson.ron");
    let text = include_str!("../../lessons/workbench.lesson.ron");
    let linked =
        text.replacen("(string: 5, fret: 3)], chord: \"C\"", "(string: 5, fret: 3)], voicing: 1, chord: \"C\"", 1);
    assert_ne!(text, linked);
    std::fs::write(&path, linked).expect("it is written");
    let path = path.to_str().expect("UTF-8");
    let place = |tuning: &str| {
        fingerpost(&["place", "--lesson", path, "--passage", "Turnaround", "--tuning", tuning]).assert().code(0)
    };
    place("standard").stderr("");
    place("D2 G2 C3 F3 A3 D4")
        .stderr(contains("the link to the voicing C is deleted: its shape no longer fits the tab"));
}
