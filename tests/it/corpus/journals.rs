//! Journals and drafts.

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

#[test]
fn a_journal_brings_back_every_kind_of_change() {
    for format in formats() {
        let (folder, opened) = journal_opened(&format, "unsaved");
        let expected = lesson_file::load(&folder.path().join("expected.lesson.ron")).unwrap().lesson;
        // Of format 1, a file states no identity, so that one with other content has another.
        let id = if format.ends_with("format-1") { opened.lesson.id } else { expected.id };
        assert_eq!(opened.lesson, Lesson { id, ..expected });
        assert_eq!(opened.lesson.header.title, "Three chords on the porch");
        assert_eq!(opened.state, SavedState::Unsaved);
        assert!(opened.file.is_locked(), "the lock of a process that is gone holds nobody up");
        let reasons = recovered(&opened);
        assert_eq!(reasons.len(), changes(&format).len());
        assert!(reasons.len() >= 50, "{} changes", reasons.len());
    }
}

/// A reason that is written no longer is read as the one it went into.
const FIRST_TWO: [Reason; 2] = [Reason::EditHeader, Reason::EditHeader];

#[test]
fn journals_that_a_crash_left_open_as_they_did() {
    for format in formats() {
        let (_folder, torn) = journal_opened(&format, "torn");
        assert_eq!(recovered(&torn), FIRST_TWO);
        assert!(torn.file.notices().contains(&OpeningNotice::LastChangeCutOff));

        let (folder, damaged) = journal_opened(&format, "damaged");
        assert_eq!(recovered(&damaged), FIRST_TWO[..1]);
        let whole = fs::read(format.join("journals/damaged/.porch.lesson.ron.journal")).unwrap();
        assert_eq!(fs::read(folder.path().join("porch.lesson.ron.journal-1")).unwrap(), whole);

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

        let (_folder, before) = journal_opened(&format, "about-to-save");
        assert_eq!(recovered(&before), [&FIRST_TWO[..], &[Reason::EditHeader]].concat());
        let (_folder, saved) = journal_opened(&format, "saved");
        assert_eq!((saved.state, saved.file.notices()), (SavedState::Saved, &[][..]));
        assert_eq!(saved.lesson, Lesson { id: saved.lesson.id, ..before.lesson });
    }
}

#[test]
fn a_journal_that_format_1_began_and_format_2_went_on_with_brings_back_both() {
    let (_folder, opened) = journal_opened(&corpus().join("format-2"), "begun-before");
    assert_eq!(recovered(&opened), [&FIRST_TWO[..], &[Reason::EditHeader]].concat());
    let names: Vec<&str> = opened.lesson.instruments.iter().map(|owned| owned.body.name.as_str()).collect();
    assert_eq!(names, ["parlour guitar", "five-string banjo"]);
}

/// A chain, with a version that waits and one that was taken over.
#[test]
fn a_chain_brings_back_its_changes_and_what_waits() {
    let (_folder, opened) = journal_opened(&of_today(), "chained");
    assert_eq!(recovered(&opened), [Reason::EditHeader, Reason::TakeOver]);
    assert_eq!(opened.lesson.header.title, "Three chords on the porch");
    assert_eq!(opened.lesson.segments[0].title, "welcome back");
    let [waiting] = opened.file.apart() else { panic!("{:?}", opened.file.apart()) };
    assert!(matches!(waiting, Edit::Segments(ListEdit::Replace(segment)) if segment.title == "the other way"));
}

#[test]
fn a_draft_is_found() {
    for format in formats() {
        let found = draft::left(&format.join("journals/draft/porch.lesson.ron")).unwrap();
        let words = "one\ntwo \"quoted\" ♭".to_owned();
        let (fingers, about) = ("x 3 2? 0 1 0".into(), "Talking points".into());
        assert_eq!(found, Draft { fingers, about, words, ..Draft::default() });
    }
}
