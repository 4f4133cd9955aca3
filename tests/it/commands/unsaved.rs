//! What the commands say of changes that are not saved, and how they take them along.

use std::fs;
use std::path::{Path, PathBuf};

use fingerpost::lesson::document::{Header, Lesson};
use fingerpost::lesson::edit::Edit;
use fingerpost::lesson::history::{Reason, Transaction};
use fingerpost::store::lesson_file::{self, Replace};
use fingerpost::store::open_lesson::{OpenLesson, Opened};
use predicates::prelude::*;
use predicates::str::contains;
use tempfile::TempDir;

use super::fingerpost;

/// A copy of the lesson of the tests, opened and with another title that is not saved.
fn with_an_unsaved_title() -> (TempDir, PathBuf, OpenLesson) {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("a.lesson.ron");
    fs::copy(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/lessons/workbench.lesson.ron"), &path).unwrap();
    let Opened { lesson, mut file, .. } = OpenLesson::open(&path).unwrap();
    let header = Header { title: "A title not saved".to_owned(), ..lesson.header };
    file.record(&Transaction::one(Reason::EditHeader, Edit::Header(header))).unwrap();
    (folder, path, file)
}

const LEFT_OUT: &str = "a.lesson.ron has an unsaved change, in an open window or from a crash, which is left out; --with-unsaved includes it\n";

#[test]
fn a_command_says_in_one_line_that_changes_are_left_out_and_takes_them_along_when_asked() {
    let (_folder, path, file) = with_an_unsaved_title();
    let path = path.to_str().unwrap();
    // While the window is open, and after it has crashed.
    let mut window = Some(file);
    for _ in 0..2 {
        for arguments in [vec!["handout", path], vec!["check", path], vec!["chapters", "--planned", path]] {
            let said = fingerpost(&arguments).assert();
            said.stderr(contains(LEFT_OUT).and(predicate::function(|text: &str| text.lines().count() == 1)));
            let with = [&arguments[..], &["--with-unsaved"]].concat();
            fingerpost(&with).assert().stderr("");
        }
        fingerpost(&["handout", path]).assert().code(0).stdout(contains("A title not saved").not());
        fingerpost(&["handout", path, "--with-unsaved"]).assert().code(0).stdout(contains("A title not saved"));
        drop(window.take());
    }
    assert!(fs::read_to_string(path).is_ok_and(|text| !text.contains("A title not saved")), "nothing was saved");
}

#[test]
fn what_another_program_changed_as_well_is_left_out_and_said() {
    let (_folder, path, file) = with_an_unsaved_title();
    drop(file);
    let mut theirs = lesson_file::load(&path).unwrap().lesson;
    theirs.header.title = "Their title".to_owned();
    lesson_file::save(&path, &theirs, Replace::Anything).unwrap();
    let path = path.to_str().unwrap();
    let said = fingerpost(&["handout", path, "--with-unsaved"]).assert().code(0);
    said.stdout(contains("Their title"))
        .stderr(contains("a thing was changed by another program as well and is as in the file"));
}

#[test]
fn into_refuses_a_lesson_with_comments_written_by_hand() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("a.lesson.ron");
    let lesson = Lesson { header: Header { title: "Own".into(), ..Header::default() }, ..Lesson::default() };
    lesson_file::save(&path, &lesson, Replace::Nothing).unwrap();
    let text = fs::read_to_string(&path).unwrap().replace("title:", "// mine\n title:");
    fs::write(&path, &text).unwrap();
    let refused = fingerpost(&["place", "E4", "G4", "--into", path.to_str().unwrap()]).assert().code(2);
    refused.stderr(contains("has comments written by hand, which would be lost"));
    assert_eq!(fs::read_to_string(&path).unwrap(), text);
}
