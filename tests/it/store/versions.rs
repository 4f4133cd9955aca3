//! Journals of other versions: read where they can be, else kept and truthfully said.

use std::fs;
use std::path::{Path, PathBuf};

use fingerpost::store::fingerprint::Fingerprint;
use fingerpost::store::formats::LESSON_FORMAT;
use fingerpost::store::journal::lines::{Lines, Writer};
use fingerpost::store::journal::{Journal, WhyKept};
use fingerpost::store::lesson_file;
use fingerpost::store::open_lesson::{Opened, OpeningNotice, SavedState};
use tempfile::TempDir;

use super::session::{folder_with_lesson, folder_with_three_titles, notices, open, retitle};
use super::{names_in, titled};

/// A line of a journal, with its checksum: the first 16 digits of the SHA-256 of what follows it.
fn line(content: &str) -> String {
    format!("{} {content}\n", &Fingerprint::of(content.as_bytes()).to_string()[..16])
}

/// Returns the journal of a lesson, line by line without checksums.
fn contents(path: &Path) -> Vec<String> {
    let text = fs::read_to_string(Journal::path_for(path)).unwrap();
    text.lines().map(|line| line[17..].to_owned()).collect()
}

/// Writes a journal of these lines, the first of which is a base line for what the file holds.
fn folder_with_journal(base: &str, rest: &[&str]) -> (TempDir, PathBuf, String) {
    let (folder, path) = folder_with_lesson();
    let fingerprint = lesson_file::load(&path).unwrap().fingerprint;
    let lines = std::iter::once(format!("base {fingerprint}{base}")).chain(rest.iter().map(ToString::to_string));
    let text: String = lines.map(|content| line(&content)).collect();
    fs::write(Journal::path_for(&path), &text).unwrap();
    (folder, path, text)
}

const CHANGE: &str = "change (reason:EditHeader,edits:[Header((title:\"one\",chord_names:PlayedAs))])";

#[test]
fn the_base_line_states_format_and_version() {
    let (_folder, path) = folder_with_three_titles();
    let fingerprint = lesson_file::load(&path).unwrap().fingerprint;
    let lines = contents(&path);
    let start = format!("base {fingerprint} format {LESSON_FORMAT} fingerpost {} chained", env!("CARGO_PKG_VERSION"));
    assert!(lines[0].starts_with(&start), "{}", lines[0]);
    assert!(lines[1].starts_with(&format!("file {fingerprint} ")), "{}", lines[1]);
    assert_eq!(lines.len(), 5);
    assert_eq!(Lines::of(&fs::read(Journal::path_for(&path)).unwrap()).writer, Writer::current());
}

#[test]
fn a_journal_that_states_nothing_is_of_format_1_and_is_written_anew_as_today_s() {
    let (_folder, path, _) = folder_with_journal("", &[CHANGE]);
    let Opened { mut lesson, state, mut file, .. } = open(&path);
    assert_eq!((&lesson, state), (&titled("one"), SavedState::Unsaved));
    file.record(&retitle(&mut lesson, "two")).unwrap();
    file.record(&retitle(&mut lesson, "three")).unwrap();
    drop(file);
    let lines = contents(&path);
    assert!(lines[0].contains(&format!(" format {LESSON_FORMAT} fingerpost {} chained", env!("CARGO_PKG_VERSION"))));
    assert_eq!(lines[2], CHANGE);
    assert_eq!(lines.len(), 5);
    assert_eq!(open(&path).lesson, titled("three"));
}

#[test]
fn a_journal_of_a_newer_version_is_kept_whole_and_the_lesson_opens_beside_it() {
    let newer = LESSON_FORMAT + 7;
    let base = format!(" format {newer} fingerpost 9.1.0");
    let (_folder, path, text) = folder_with_journal(&base, &["change (of:\"a kind not known\")", "flourish 3"]);
    let mut opened = open(&path);
    assert_eq!((&opened.lesson, opened.state), (&titled("start"), SavedState::Saved));
    let kept = path.with_file_name("a.lesson.ron.journal-of-other-version-1");
    assert_eq!(
        notices(&opened),
        [format!(
            "unsaved changes could not be brought back, because fingerpost 9.1.0 wrote them in file version {newer}, and this version, \
             {}, cannot read them; their journal is kept as {}; to have them back, open the lesson with that version before \
             you save it with this one",
            env!("CARGO_PKG_VERSION"),
            kept.display()
        )]
    );
    assert_eq!(fs::read_to_string(&kept).unwrap(), text);
    // The lesson can be worked on.
    opened.file.record(&retitle(&mut opened.lesson, "mine")).unwrap();
    drop(opened);
    assert_eq!(open(&path).lesson, titled("mine"));
    assert_eq!(fs::read_to_string(&kept).unwrap(), text);
}

#[test]
fn a_change_of_another_version_that_means_nothing_here_is_no_damage() {
    let base = format!(" format {LESSON_FORMAT} fingerpost 0.0.9");
    let unknown = CHANGE.replace("EditHeader", "Embellish");
    let (_folder, path, text) = folder_with_journal(&base, &[CHANGE, &unknown]);
    let opened = open(&path);
    assert_eq!(opened.lesson, titled("start"), "all of it or nothing");
    let [OpeningNotice::JournalKept(kept)] = opened.file.notices() else { panic!("{:?}", opened.file.notices()) };
    assert_eq!(kept.why, WhyKept::OtherVersion(Writer { format: LESSON_FORMAT, program: "0.0.9".into() }));
    assert_eq!(fs::read_to_string(kept.path.as_ref().unwrap()).unwrap(), text);
}

#[test]
fn a_change_of_this_version_that_means_nothing_is_kept_and_those_before_it_come_back() {
    let base = format!(" format {LESSON_FORMAT} fingerpost {}", env!("CARGO_PKG_VERSION"));
    let (_folder, path, text) = folder_with_journal(&base, &[CHANGE, "change (reason:Embellish,edits:[])"]);
    let opened = open(&path);
    assert_eq!(opened.lesson, titled("one"));
    let [OpeningNotice::Recovered(_), OpeningNotice::JournalKept(kept)] = opened.file.notices() else {
        panic!("{:?}", opened.file.notices())
    };
    assert_eq!(kept.why, WhyKept::NotUnderstood { line: 3 });
    assert_eq!(fs::read_to_string(kept.path.as_ref().unwrap()).unwrap(), text);
}

/// What a version has kept because it could not read it, one that can brings back by itself.
#[test]
fn a_kept_journal_comes_back_with_a_version_that_can_read_it_unless_the_file_was_saved() {
    let base = format!(" format {LESSON_FORMAT} fingerpost 0.0.9");
    let (_folder, path, text) = folder_with_journal(&base, &[CHANGE]);
    let kept = path.with_file_name("a.lesson.ron.journal-of-other-version-1");
    fs::rename(Journal::path_for(&path), &kept).unwrap();
    let opened = open(&path);
    assert_eq!((&opened.lesson, opened.state), (&titled("one"), SavedState::Unsaved));
    assert!(!kept.exists());
    opened.file.discard().unwrap();

    fs::write(&kept, &text).unwrap();
    lesson_file::save(&path, &titled("saved since"), lesson_file::Replace::Anything).unwrap();
    let opened = open(&path);
    assert_eq!((opened.lesson, opened.state), (titled("saved since"), SavedState::Saved));
    drop(opened.file);
    assert_eq!(names_in(path.parent().unwrap()), ["a.lesson.ron", "a.lesson.ron.journal-of-other-version-1"]);
    assert_eq!(fs::read_to_string(&kept).unwrap(), text);
}
