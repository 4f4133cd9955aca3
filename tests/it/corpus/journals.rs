//! Journals.

use super::*;

/// A copy of the files of one journal, and the lesson opened there.
fn journal_opened(format: &Path, name: &str) -> (TempDir, Opened) {
    let folder = TempDir::new().unwrap();
    for path in in_folder(&format.join("journals").join(name)) {
        fs::copy(&path, folder.path().join(path.file_name().unwrap())).unwrap();
    }
    let opened = OpenLesson::open(&folder.path().join("porch.lesson.ron")).unwrap();
    (folder, opened)
}

#[track_caller]
fn recovered(opened: &Opened) -> Vec<Reason> {
    let mut notices = opened.file.notices().iter();
    let reasons = notices.find_map(|notice| match notice {
        OpeningNotice::Recovered(recovered) => Some(recovered.reasons.clone()),
        _ => None,
    });
    reasons.unwrap_or_default()
}

/// Returns the journals of this name in every format: as each wrote them first, and as chains where it came to write them so.
fn all_of(name: &str) -> Vec<(PathBuf, String)> {
    let names = [name.to_owned(), format!("chained-{name}")];
    let all = formats().into_iter().flat_map(|format| names.clone().map(|name| (format.clone(), name)));
    let found: Vec<_> = all.filter(|(format, name)| format.join("journals").join(name).exists()).collect();
    assert!(found.len() >= 3, "only {found:?}");
    found
}

#[test]
fn a_journal_brings_back_every_kind_of_change() {
    for (format, name) in all_of("unsaved") {
        let (folder, opened) = journal_opened(&format, &name);
        let expected = lesson_file::load(&folder.path().join("expected.lesson.ron")).unwrap().lesson;
        // Of format 1, a file states no identity, so that one with other content has another.
        let id = if format.ends_with("format-1") { opened.lesson.id } else { expected.id };
        assert_eq!(opened.lesson, Lesson { id, ..expected });
        assert_eq!(opened.lesson.header.title, "Three chords on the porch");
        assert_eq!(opened.state, SavedState::Unsaved);
        assert!(opened.file.is_locked(), "the lock of a process that is gone holds nobody up");
        let reasons = recovered(&opened);
        assert_eq!(reasons.len(), journal_in(&format.join("journals").join(name)).unwrap().changes().count());
        assert!(reasons.len() >= 50, "{} changes", reasons.len());
    }
}

/// A reason that is written no longer is read as the one it went into.
const FIRST_TWO: [Reason; 2] = [Reason::EditHeader, Reason::EditHeader];

#[test]
fn journals_that_a_crash_left_open_as_they_did() {
    for (format, name) in all_of("torn") {
        let (_folder, torn) = journal_opened(&format, &name);
        assert_eq!(recovered(&torn), FIRST_TWO);
        assert!(torn.file.notices().contains(&OpeningNotice::LastChangeCutOff));
    }
    for (format, name) in all_of("damaged") {
        let (folder, damaged) = journal_opened(&format, &name);
        assert_eq!(recovered(&damaged), FIRST_TWO[..1]);
        let whole = fs::read(format.join("journals").join(name).join(".porch.lesson.ron.journal")).unwrap();
        assert_eq!(fs::read(folder.path().join("porch.lesson.ron.journal-1")).unwrap(), whole);
    }
    for ((format, name), (_, saved_name)) in all_of("about-to-save").into_iter().zip(all_of("saved")) {
        let (_folder, before) = journal_opened(&format, &name);
        assert_eq!(recovered(&before), [&FIRST_TWO[..], &[Reason::EditHeader]].concat());
        let (_folder, saved) = journal_opened(&format, &saved_name);
        assert_eq!((saved.state, saved.file.notices()), (SavedState::Saved, &[][..]));
        assert_eq!(saved.lesson, Lesson { id: saved.lesson.id, ..before.lesson });
    }
}

#[test]
fn a_journal_that_says_nothing_of_its_file_waits_where_that_was_changed() {
    for format in formats().into_iter().filter(|format| format.join("journals/other-file").exists()) {
        let (folder, other) = journal_opened(&format, "other-file");
        assert_eq!(other.lesson.header.title, "Changed by another program");
        // It says nothing of the file that it was made on, so that each thing waits until somebody decides.
        let [OpeningNotice::Recovered(waiting)] = other.file.notices() else { panic!("{:?}", other.file.notices()) };
        assert!(
            waiting.file == FileSince::Changed && waiting.apart.len() >= 2 && waiting.reasons.is_empty(),
            "{waiting:?}"
        );
        assert_eq!(other.file.apart(), waiting.apart);
        drop(other);
        assert!(Journal::path_for(&folder.path().join("porch.lesson.ron")).exists());
    }
}

#[test]
fn a_chain_whose_file_was_changed_carries_over_what_fits_and_the_rest_waits() {
    let (_folder, other) = journal_opened(&corpus().join("format-2"), "chained-other-file");
    assert_eq!(other.lesson.header.title, "Changed by another program");
    assert_eq!(recovered(&other), [Reason::EditHeader]);
    let names: Vec<&str> = other.lesson.instruments.iter().map(|owned| owned.body.name.as_str()).collect();
    assert_eq!(names, ["guitar", "five-string banjo"]);
    let [Edit::Header(waiting)] = other.file.apart() else { panic!("{:?}", other.file.apart()) };
    assert_eq!(waiting.title, "Three chords on the porch");
}

/// It was gone on with on a disk that could not take half a line back.
#[test]
fn a_chain_with_half_a_line_that_the_next_one_tells_of_brings_back_all() {
    let (_folder, opened) = journal_opened(&corpus().join("format-2"), "chained-half-line");
    assert_eq!(recovered(&opened), [&FIRST_TWO[..], &[Reason::EditHeader]].concat());
    assert!(!opened.file.notices().contains(&OpeningNotice::LastChangeCutOff));
}

/// The first of them was begun by format 1, the other by an earlier version of format 2.
#[test]
fn a_journal_that_another_version_began_and_format_2_went_on_with_brings_back_both() {
    for name in ["begun-before", "chained-begun-before"] {
        let (_folder, opened) = journal_opened(&corpus().join("format-2"), name);
        assert_eq!(recovered(&opened), [&FIRST_TWO[..], &[Reason::EditHeader]].concat());
        let names: Vec<&str> = opened.lesson.instruments.iter().map(|owned| owned.body.name.as_str()).collect();
        assert_eq!(names, ["parlour guitar", "five-string banjo"]);
    }
}

/// A chain, with a version that waits and one that was taken over.
#[test]
fn a_chain_brings_back_its_changes_and_what_waits() {
    let (_folder, opened) = journal_opened(&corpus().join("format-2"), "chained");
    assert_eq!(recovered(&opened), [Reason::EditHeader, Reason::TakeOver]);
    assert_eq!(opened.lesson.header.title, "Three chords on the porch");
    assert_eq!(opened.lesson.segments[0].title, "welcome back");
    let [waiting] = opened.file.apart() else { panic!("{:?}", opened.file.apart()) };
    assert!(matches!(waiting, Edit::Segments(ListEdit::Replace(segment)) if segment.title == "the other way"));
}
