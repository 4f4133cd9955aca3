//! Handouts go out and text tab comes in.

use super::*;

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
fn text_tab_is_read_and_printed_clean_with_its_guesses() {
    fingerpost(&["read-tab", "-"])
        .write_stdin(RIFF)
        .assert()
        .code(0)
        .stdout(contains("D│─0─").and(contains("quarter note")))
        .stderr(contains("standard input:1: ").and(contains("guessed")));
}

#[test]
fn a_file_from_an_older_version_is_said_to_be_one_no_longer_when_something_goes_into_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let lesson = folder.path().join("mine.lesson.ron");
    std::fs::write(&lesson, "(format: 1, lesson: (header: (title: \"Old\")))").expect("written");
    let path = lesson.to_str().expect("UTF-8");
    let older = "until now it was as an older version of fingerpost wrote it; older versions cannot open it any more";
    let into = |title: &str| {
        fingerpost(&["read-tab", "-", "--into", path, "--title", title]).write_stdin(RIFF).assert().code(0)
    };
    fingerpost(&["check", path]).assert().stderr("");
    into("First").stdout(contains("added passage \"First\", 1 bar")).stderr(contains(older));
    into("Second").stderr(contains(older).not());
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
        .stdout(contains("added passage ").and(contains(", 1 bar")));
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
fn tab_for_strings_that_the_lesson_does_not_have_brings_its_tuning_along() {
    let folder = tempfile::tempdir().expect("a folder");
    let lesson = folder.path().join("mine.lesson.ron");
    let path = lesson.to_str().expect("UTF-8");
    fingerpost(&["new", path, "--instrument", "ukulele"]).assert().code(0);
    fingerpost(&["read-tab", "-", "--into", path])
        .write_stdin(RIFF)
        .assert()
        .code(0)
        .stderr(contains("read in standard, as its labels say; that tuning is new in the lesson"));
    let loaded = fingerpost::store::lesson_file::load(&lesson).expect("it reads").lesson;
    let setup = loaded.passage_setup(&loaded.passages[0]).expect("a tuning");
    assert_eq!(setup.tuning.to_string(), "E2 A2 D3 G3 B3 E4");
    assert_eq!(loaded.rig(setup).expect("it fits").instrument().name, "guitar");
    let guitar = folder.path().join("guitar.lesson.ron");
    let path = guitar.to_str().expect("UTF-8");
    fingerpost(&["new", path]).assert().code(0);
    fingerpost(&["read-tab", "-", "--into", path])
        .write_stdin(RIFF)
        .assert()
        .code(0)
        .stderr(contains("read in standard, as its labels say").and(contains("new").not()));
}

#[test]
fn labelled_tab_goes_into_the_tuning_without_a_capo() {
    let folder = tempfile::tempdir().expect("a folder");
    let lesson = folder.path().join("capo.lesson.ron");
    let path = lesson.to_str().expect("UTF-8");
    fingerpost(&["new", path, "--capo", "2"]).assert().code(0);
    let loaded = fingerpost::store::lesson_file::load(&lesson).expect("it reads").lesson;
    let capo = loaded.setups.first().expect("a tuning").clone();
    assert!(capo.capo.is_some());
    fingerpost(&["read-tab", "-", "--into", path])
        .write_stdin(RIFF)
        .assert()
        .code(0)
        .stderr(contains(format!("read in {}, as its labels say", capo.name)));
    let mut both = loaded;
    let id = fingerpost::lesson::id::SetupId(capo.id.0 + 1);
    both.setups.push(fingerpost::lesson::document::Setup { id, name: "plain".into(), capo: None, ..capo });
    std::fs::write(&lesson, fingerpost::store::lesson_file::to_text(&both).expect("it is written")).expect("written");
    fingerpost(&["read-tab", "-", "--into", path])
        .write_stdin(RIFF)
        .assert()
        .code(0)
        .stderr(contains("read in plain, as its labels say"));
}
