//! A lesson being worked on: its lock, its journal, crashes at every place, and saving.

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use fingerpost::lesson::document::{Header, Lesson};
use fingerpost::lesson::edit::Edit;
use fingerpost::lesson::history::{Reason, Transaction};
use fingerpost::store::disk::Disk;
use fingerpost::store::journal::{CutOff, Journal, JournalError, OnFile, Refuge};
use fingerpost::store::lesson_file::{self, LoadError, Replace, SaveError};
use fingerpost::store::open_lesson::{Access, LookedAt, OpenLesson, Opened, OpeningNotice, SavedState, name_beside};
use proptest::prelude::*;
use tempfile::TempDir;

use super::disk::{Failing, How};
use super::{names_in, titled};
use crate::arbitrary::{Choices, any_lesson_and_chain, edit_from};

/// A change that gives the lesson another title.
pub fn retitle(lesson: &mut Lesson, title: &str) -> Transaction {
    let header = Header { title: title.to_owned(), ..lesson.header.clone() };
    let change = Transaction::one(Reason::EditHeader, Edit::Header(header));
    lesson.apply_all(change.edits.clone()).unwrap();
    change
}

/// A folder with one saved lesson, titled `start`.
pub fn folder_with_lesson() -> (TempDir, PathBuf) {
    let folder = TempDir::new().unwrap();
    // The real path, since a folder for temporary files may itself be a link.
    let path = fs::canonicalize(folder.path()).unwrap().join("a.lesson.ron");
    lesson_file::save(&path, &titled("start"), Replace::Nothing).unwrap();
    (folder, path)
}

/// A lesson whose title was changed three times, as it stands in the journal only.
pub fn folder_with_three_titles() -> (TempDir, PathBuf) {
    let (folder, path) = folder_with_lesson();
    let Opened { mut lesson, mut file, .. } = open(&path);
    for title in ["one", "two", "three"] {
        file.record(&retitle(&mut lesson, title)).unwrap();
    }
    (folder, path)
}

/// What the lesson's file holds.
pub fn on_file(path: &Path) -> OnFile {
    OnFile::of(&fs::read_to_string(path).unwrap(), lesson_file::load(path).unwrap().lesson.id)
}

pub fn open(path: &Path) -> Opened {
    OpenLesson::open(path).unwrap()
}

pub fn notices(opened: &Opened) -> Vec<String> {
    opened.file.notices().iter().map(ToString::to_string).collect()
}

#[test]
fn opening_and_closing_leaves_nothing_beside_the_file() {
    let (_folder, path) = folder_with_lesson();
    let opened = open(&path);
    assert_eq!(opened.state, SavedState::Saved);
    assert_eq!(opened.file.access(), &Access::Full);
    assert!(opened.file.is_locked());
    assert!(notices(&opened).is_empty());
    drop(opened);
    assert_eq!(names_in(path.parent().unwrap()), ["a.lesson.ron"]);
}

#[test]
fn changes_that_were_not_saved_are_there_after_a_crash() {
    let (_folder, path) = folder_with_lesson();
    let Opened { mut lesson, mut file, .. } = open(&path);
    file.record(&retitle(&mut lesson, "one")).unwrap();
    file.record(&retitle(&mut lesson, "two")).unwrap();
    file.sync().unwrap();
    drop(file);

    let mut opened = open(&path);
    assert_eq!(opened.lesson, titled("two"));
    assert_eq!(opened.state, SavedState::Unsaved);
    assert_eq!(
        notices(&opened),
        ["brought back 2 unsaved changes (the last: title or goal of the lesson); save to keep them"]
    );
    assert_eq!(lesson_file::load(&path).unwrap().lesson, titled("start"), "the file itself is as it was");

    // Work goes on after the recovery, and crashes again.
    opened.file.record(&retitle(&mut opened.lesson, "three")).unwrap();
    drop(opened);
    let mut opened = open(&path);
    assert_eq!(opened.lesson, titled("three"));
    opened.file.save(&opened.lesson).unwrap();
    assert_eq!(names_in(path.parent().unwrap()), [".a.lesson.ron.lock", "a.lesson.ron"]);
    drop(opened);
    let opened = open(&path);
    assert_eq!((opened.lesson, opened.state), (titled("three"), SavedState::Saved));
}

#[test]
fn what_was_undone_before_a_crash_is_not_counted_among_what_came_back() {
    let (_folder, path) = folder_with_lesson();
    let Opened { mut lesson, mut file, .. } = open(&path);
    file.record(&retitle(&mut lesson, "one")).unwrap();
    for title in ["two", "one", "two", "three", "two", "one"] {
        file.record(&retitle(&mut lesson, title)).unwrap();
    }
    drop(file);
    let opened = open(&path);
    assert_eq!((&opened.lesson, opened.state), (&titled("one"), SavedState::Unsaved));
    assert_eq!(
        notices(&opened),
        ["brought back 1 unsaved change (the last: title or goal of the lesson); save to keep them"]
    );
    drop(opened);
    // With the rest of the journal damaged, nothing is left of a change and its undoing but the damage to tell of.
    let Opened { mut lesson, mut file, .. } = open(&path);
    for title in ["start", "four"] {
        file.record(&retitle(&mut lesson, title)).unwrap();
    }
    drop(file);
    let journal = Journal::path_for(&path);
    let damaged = fs::read_to_string(&journal).unwrap().replace("four", "fuor");
    fs::write(&journal, damaged).unwrap();
    let looked_at = LookedAt::at(&path, &Refuge::default()).unwrap().unsaved;
    assert!(
        looked_at.is_some_and(|(_, recovered)| recovered.kept.is_some()),
        "who only looks is told that something is there"
    );
    let opened = open(&path);
    assert_eq!((&opened.lesson, opened.state), (&titled("start"), SavedState::Saved));
    let [told] = &notices(&opened)[..] else { panic!("{:?}", notices(&opened)) };
    assert!(told.starts_with("unsaved changes could not be brought back, because their journal is damaged"), "{told}");
}

#[test]
fn discarded_changes_do_not_come_back() {
    let (_folder, path) = folder_with_lesson();
    let Opened { mut lesson, mut file, .. } = open(&path);
    file.record(&retitle(&mut lesson, "one")).unwrap();
    file.discard().unwrap();
    assert_eq!(open(&path).lesson, titled("start"));
}

#[test]
fn a_journal_cut_at_any_byte_gives_back_a_beginning_of_the_changes() {
    let (_folder, path) = folder_with_lesson();
    let journal = Journal::path_for(&path);
    let Opened { mut lesson, mut file, .. } = open(&path);
    let mut states = vec![lesson.clone()];
    let mut ends = vec![0];
    for title in ["one\nline", "two", "three ♭"] {
        file.record(&retitle(&mut lesson, title)).unwrap();
        states.push(lesson.clone());
        ends.push(fs::metadata(&journal).unwrap().len());
    }
    drop(file);
    let whole = fs::read(&journal).unwrap();
    let (refuge, base) = (Refuge::default(), on_file(&path));
    for length in 0..=whole.len() {
        fs::write(&journal, &whole[..length]).unwrap();
        let mut lesson = titled("start");
        let (mut recovery, recovered) = Journal::recover(&Disk::real(), &path, &refuge, base.clone(), &mut lesson);
        let complete = ends.iter().filter(|end| **end as usize <= length).count() - 1;
        assert_eq!(lesson, states[complete], "cut after {length} bytes");
        assert_eq!(recovered.reasons.len(), complete, "cut after {length} bytes");
        assert_eq!(recovered.kept, None, "cut after {length} bytes");
        // What was cut off does not spoil what comes after it.
        recovery.append(&retitle(&mut lesson, "and on")).unwrap();
        let (_, recovered) = Journal::recover(&Disk::real(), &path, &refuge, base.clone(), &mut titled("start"));
        assert_eq!(
            (recovered.reasons.len(), recovered.cut_off),
            (complete + 1, CutOff::No),
            "cut after {length} bytes"
        );
    }
    assert_eq!(names_in(path.parent().unwrap()), [".a.lesson.ron.journal", "a.lesson.ron"], "nothing else was kept");
}

#[test]
fn a_crash_between_saving_and_removing_the_journal_repeats_nothing() {
    let (_folder, path) = folder_with_lesson();
    let Opened { mut lesson, mut file, .. } = open(&path);
    file.record(&retitle(&mut lesson, "one")).unwrap();
    let journal = Journal::path_for(&path);
    let before_save = fs::read(&journal).unwrap();
    // What a save does first: note in the journal what the file is about to hold.
    drop(file);
    let (mut noting, _) =
        Journal::recover(&Disk::real(), &path, &Refuge::default(), on_file(&path), &mut titled("start"));
    let next = lesson_file::save(&path.with_file_name("b.lesson.ron"), &lesson, Replace::Nothing).unwrap();
    noting.about_to_save(next).unwrap();
    drop(noting);
    let noted = fs::read(&journal).unwrap();
    assert!(noted.starts_with(&before_save) && noted.len() > before_save.len());

    // Crashed before the file was replaced: the change is brought back.
    let opened = open(&path);
    assert_eq!((opened.lesson, opened.state), (titled("one"), SavedState::Unsaved));
    drop(opened.file);
    // Crashed after it: the change is in the file, and not made twice.
    fs::write(&journal, &noted).unwrap();
    fs::copy(path.with_file_name("b.lesson.ron"), &path).unwrap();
    let opened = open(&path);
    assert_eq!((&opened.lesson, opened.state), (&titled("one"), SavedState::Saved));
    assert!(notices(&opened).is_empty());
    assert!(!journal.exists());
}

#[test]
fn changes_that_cancel_out_and_are_saved_are_not_brought_back() {
    let (_folder, path) = folder_with_lesson();
    let base = on_file(&path);
    let mut lesson = titled("start");
    let (mut journal, _) = Journal::recover(&Disk::real(), &path, &Refuge::default(), base.clone(), &mut lesson);
    journal.append(&retitle(&mut lesson, "one")).unwrap();
    journal.append(&retitle(&mut lesson, "start")).unwrap();
    // Crashed while the same content was saved again.
    journal.about_to_save(base.fingerprint).unwrap();
    drop(journal);
    let opened = open(&path);
    assert_eq!((&opened.lesson, opened.state), (&titled("start"), SavedState::Saved));
    assert!(notices(&opened).is_empty());
}

#[test]
fn a_damaged_journal_gives_what_stands_before_the_damage_and_is_kept_whole() {
    let (_folder, path) = folder_with_three_titles();
    let journal = Journal::path_for(&path);
    let damaged = fs::read_to_string(&journal).unwrap().replace("two", "tvo");
    fs::write(&journal, &damaged).unwrap();
    let mut opened = open(&path);
    assert_eq!(opened.lesson, titled("one"));
    assert_eq!(opened.file.notices().len(), 2, "{:?}", notices(&opened));
    assert_eq!(fs::read_to_string(path.with_file_name("a.lesson.ron.journal-1")).unwrap(), damaged);
    opened.file.record(&retitle(&mut opened.lesson, "four")).unwrap();
    drop(opened);
    let opened = open(&path);
    assert_eq!(opened.lesson, titled("four"));
    assert_eq!(opened.file.notices().len(), 1, "the damage is told once");
}

#[test]
fn a_change_that_cannot_be_read_back_stops_the_journal_and_is_not_saved() {
    let (_folder, path) = folder_with_lesson();
    let Opened { mut lesson, mut file, .. } = open(&path);
    let mut setup: fingerpost::lesson::document::Setup =
        ron::from_str(r#"(id: 1, name: "a", instrument: 1, tuning: "E2 A2 D3 G3 B3 E4")"#).unwrap();
    setup.reference = Some(fingerpost::theory::pitch::Hertz(f64::NAN));
    let insert = fingerpost::lesson::edit::ListEdit::Insert { at: 0, item: setup };
    let change = Transaction::one(Reason::AddSetup, Edit::Setups(insert));
    lesson.apply_all(change.edits.clone()).unwrap();
    assert!(matches!(file.record(&change), Err(JournalError::Unwritable { .. })));
    assert!(matches!(file.record(&retitle(&mut titled(""), "x")), Err(JournalError::Stopped { .. })));
    let refused = file.save(&lesson).unwrap_err();
    assert_eq!(refused.to_string(), "the lesson cannot be written: expected a frequency in hertz above 0, got NaN");
    assert_eq!(lesson_file::load(&path).unwrap().lesson, titled("start"));
    lesson.setups.clear();
    file.save(&lesson).unwrap();
    file.record(&retitle(&mut lesson, "after a save the journal works again")).unwrap();
}

#[test]
fn a_second_window_opens_for_reading_only_until_the_first_is_closed() {
    let (_folder, path) = folder_with_lesson();
    let Opened { mut lesson, mut file, .. } = open(&path);
    file.record(&retitle(&mut lesson, "mine")).unwrap();

    #[cfg(unix)]
    let other_name = {
        let link = path.with_file_name("link.lesson.ron");
        std::os::unix::fs::symlink(&path, &link).unwrap();
        link
    };
    #[cfg(not(unix))]
    let other_name = path.clone();
    let mut second = open(&other_name);
    assert!(matches!(second.file.access(), Access::ReadOnly(_)));
    assert_eq!(second.lesson, titled("start"), "the other window's journal is not this one's");
    let told = notices(&second).join("\n");
    #[cfg(unix)]
    assert!(
        told.starts_with(&format!(
            "opened for reading only: it is open in another window (process {}",
            std::process::id()
        )),
        "{told}"
    );
    assert!(told.starts_with("opened for reading only: it is open in another window"), "{told}");
    second.file.record(&retitle(&mut second.lesson, "theirs")).unwrap();
    let refused = second.file.save(&second.lesson).unwrap_err();
    assert!(matches!(refused, SaveError::ReadOnly { .. }), "{refused}");
    let elsewhere = name_beside(&path);
    assert_eq!(elsewhere.file_name().unwrap(), "a 2.lesson.ron");
    second.file.save_as(&elsewhere, &second.lesson, Replace::Nothing).unwrap();
    assert_eq!(lesson_file::load(&elsewhere).unwrap().lesson, titled("theirs"));
    drop(second);

    file.save(&lesson).unwrap();
    drop(file);
    let third = open(&path);
    assert_eq!((third.lesson, third.file.access()), (titled("mine"), &Access::Full));
}

#[test]
fn a_change_on_disk_is_noticed_and_the_choice_is_the_teacher_s() {
    let (_folder, path) = folder_with_lesson();
    let Opened { mut lesson, mut file, .. } = open(&path);
    assert!(!file.differs_on_disk());
    lesson_file::save(&path, &titled("by hand"), Replace::Anything).unwrap();
    assert!(file.differs_on_disk());
    let change = retitle(&mut lesson, "mine");
    file.record(&change).unwrap();
    let refused = file.save(&lesson).unwrap_err();
    assert!(matches!(refused, SaveError::ChangedOnDisk { .. }), "{refused}");
    assert_eq!(lesson_file::load(&path).unwrap().lesson, titled("by hand"));
    file.overwrite(&lesson).unwrap();
    assert_eq!(lesson_file::load(&path).unwrap().lesson, titled("mine"));
    file.save(&titled("and on")).unwrap();
}

#[test]
fn saving_under_another_name_goes_on_there_and_leaves_the_old_file_as_saved() {
    let (_folder, path) = folder_with_lesson();
    let Opened { mut lesson, mut file, .. } = open(&path);
    file.record(&retitle(&mut lesson, "new")).unwrap();
    let next = path.with_file_name("b.lesson.ron");
    fs::write(&next, "something else").unwrap();
    assert!(matches!(file.save_as(&next, &lesson, Replace::Nothing), Err(SaveError::Exists { .. })));
    assert_eq!(file.path(), path);
    file.save_as(&next, &lesson, Replace::Anything).unwrap();
    assert_eq!(file.path(), next);
    let old = open(&path);
    assert_eq!((&old.lesson, old.file.access()), (&titled("start"), &Access::Full));
    file.record(&retitle(&mut lesson, "newer")).unwrap();
    drop((file, old));
    assert_eq!(open(&next).lesson, titled("newer"));
}

#[test]
fn comments_written_by_hand_are_not_dropped_without_a_word() {
    let (_folder, path) = folder_with_lesson();
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, text.replace("title:", "// working title\ntitle:")).unwrap();
    let opened = open(&path);
    assert_eq!(opened.file.notices(), [OpeningNotice::CommentsWillGo]);
}

#[test]
fn a_name_as_long_as_names_can_be_is_saved_though_it_has_no_room_for_a_lock() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("n".repeat(255 - ".lesson.ron".len()) + ".lesson.ron");
    lesson_file::save(&path, &titled("start"), Replace::Nothing).unwrap();
    let Opened { mut lesson, mut file, .. } = open(&path);
    assert_eq!(file.notices(), [OpeningNotice::NoLock]);
    assert!(matches!(file.record(&retitle(&mut lesson, "one")), Err(JournalError::Write { .. })));
    assert!(file.is_unprotected());
    file.save(&lesson).unwrap();
    assert!(!file.is_unprotected());
    assert_eq!(lesson_file::load(&path).unwrap().lesson, titled("one"));
}

#[test]
fn what_cannot_be_opened_gets_no_lock_file_beside_it() {
    let folder = TempDir::new().unwrap();
    assert!(matches!(OpenLesson::open(&folder.path().join("gone.lesson.ron")), Err(LoadError::Missing { .. })));
    assert!(matches!(OpenLesson::open(folder.path()), Err(LoadError::NotAFile { .. })));
    fs::write(folder.path().join("broken.lesson.ron"), "(format: 1,").unwrap();
    assert!(OpenLesson::open(&folder.path().join("broken.lesson.ron")).is_err());
    assert_eq!(names_in(folder.path()), ["broken.lesson.ron"]);
}

#[test]
fn newer_and_write_protected_lessons_open_for_reading_only() {
    let (_folder, path) = folder_with_lesson();
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, text.replace("format: 4", "format: 9")).unwrap();
    let mut opened = open(&path);
    assert_eq!(
        notices(&opened),
        [
            "opened for reading only: its file version is 9, from a newer fingerpost, and saving would lose what version 4 cannot hold"
        ]
    );
    assert!(opened.file.save(&opened.lesson).is_err());
    assert!(opened.file.overwrite(&opened.lesson).is_err());
    drop(opened);
    fs::write(&path, text).unwrap();
    let mut permissions = fs::metadata(&path).unwrap().permissions();
    permissions.set_readonly(true);
    fs::set_permissions(&path, permissions).unwrap();
    assert_eq!(notices(&open(&path)), ["opened for reading only: the file is write-protected"]);
}

/// The other half of the next test: works on the lesson it is given until it is killed.
#[test]
fn a_window_that_will_be_killed() {
    let Some(path) = std::env::var_os("FINGERPOST_TEST_VICTIM") else { return };
    let Opened { mut lesson, mut file, .. } = open(Path::new(&path));
    for title in ["one", "two", "three"] {
        file.record(&retitle(&mut lesson, title)).unwrap();
    }
    println!("ready");
    std::io::stdin().read_line(&mut String::new()).unwrap();
    panic!("nobody killed this window");
}

#[test]
fn a_killed_window_leaves_its_changes_and_no_lock() {
    use std::io::{BufRead, BufReader};
    use std::process::{Command, Stdio};
    let (_folder, path) = folder_with_lesson();
    let mut window = Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "store::session::a_window_that_will_be_killed", "--nocapture"])
        .env("FINGERPOST_TEST_VICTIM", &path)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let lines = BufReader::new(window.stdout.take().unwrap()).lines();
    let ready = lines.map_while(Result::ok).any(|line| line.ends_with("ready"));
    assert!(ready, "the window did its work");
    let meanwhile = open(&path);
    let told = notices(&meanwhile).join("\n");
    #[cfg(unix)]
    assert!(told.contains(&format!("process {}", window.id())), "{told}");
    assert!(told.starts_with("opened for reading only: it is open in another window"), "{told}");
    // On Unix this is signal 9.
    window.kill().unwrap();
    window.wait().unwrap();
    let opened = open(&path);
    assert_eq!((&opened.lesson, opened.file.access()), (&titled("three"), &Access::Full));
    assert_eq!(
        notices(&opened),
        ["brought back 3 unsaved changes (the last: title or goal of the lesson); save to keep them"]
    );
}

#[test]
fn where_nothing_may_be_written_the_lesson_opens_for_reading_only() {
    let (_folder, path) = folder_with_lesson();
    let forbidding = Failing::new(How::FromThenOn(ErrorKind::PermissionDenied), 0);
    forbidding.arm();
    let mut opened = OpenLesson::open_on(&forbidding.disk(), &path).unwrap();
    assert_eq!((&opened.lesson, opened.file.is_locked()), (&titled("start"), false));
    assert_eq!(notices(&opened), ["opened for reading only: nothing may be written in its folder"]);
    let refused = opened.file.save(&opened.lesson).unwrap_err();
    assert!(matches!(refused, SaveError::ReadOnly { .. }), "{refused}");
    let beside =
        opened.file.save_as(&path.with_file_name("b.lesson.ron"), &opened.lesson, Replace::Nothing).unwrap_err();
    assert!(beside.to_string().ends_with("not saved: no file may be written in its folder"), "{beside}");
    assert_eq!(names_in(path.parent().unwrap()), ["a.lesson.ron"]);
}

#[cfg(unix)]
#[test]
fn a_pipe_is_refused_and_not_waited_for() {
    let folder = TempDir::new().unwrap();
    let pipe = folder.path().join("pipe.lesson.ron");
    if std::process::Command::new("mkfifo").arg(&pipe).status().is_ok_and(|made| made.success()) {
        let refused = OpenLesson::open(&pipe).unwrap_err();
        assert!(refused.to_string().ends_with("this is a device or a pipe, not a file"), "{refused}");
    }
}

/// On a real disk that is full; only where the test may mount one.
#[cfg(target_os = "linux")]
#[test]
fn on_a_full_disk_the_old_file_stays_and_the_journal_says_so() {
    use std::process::Command;
    struct Mounted<'a>(&'a Path);
    impl Drop for Mounted<'_> {
        fn drop(&mut self) {
            let _ = Command::new("umount").arg(self.0).status();
        }
    }
    let folder = TempDir::new().unwrap();
    let mounted = Command::new("mount")
        .args(["-t", "tmpfs", "-o", "size=32k", "tmpfs"])
        .arg(folder.path())
        .output()
        .is_ok_and(|output| output.status.success());
    if !mounted {
        return;
    }
    let _mounted = Mounted(folder.path());
    let path = folder.path().join("a.lesson.ron");
    lesson_file::save(&path, &titled("start"), Replace::Nothing).unwrap();
    let before = fs::read(&path).unwrap();
    let Opened { mut lesson, mut file, .. } = open(&path);
    file.record(&retitle(&mut lesson, "small")).unwrap();
    let large = "x".repeat(40_000);
    let change = retitle(&mut lesson, &large);
    assert!(matches!(file.record(&change), Err(JournalError::Write { .. })));
    let refused = file.save(&lesson).unwrap_err();
    assert_eq!(refused.to_string(), format!("{}: not saved: the disk is full", path.display()));
    assert_eq!(fs::read(&path).unwrap(), before);
    drop(file);
    let opened = open(&path);
    assert_eq!(opened.lesson, titled("small"), "the changes before the disk was full are there");
    assert!(!names_in(folder.path()).iter().any(|name| name.ends_with(".part")));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    /// Any lesson, any changes, a crash anywhere: what comes back is the state after some of the
    /// changes, and no fewer than were completely written.
    #[test]
    fn a_crash_anywhere_loses_at_most_the_line_being_written(
        (start, chain) in any_lesson_and_chain(),
        cut in any::<prop::sample::Index>(),
    ) {
        let folder = TempDir::new().unwrap();
        let path = folder.path().join("a.lesson.ron");
        lesson_file::save(&path, &start, Replace::Nothing).unwrap();
        let Opened { mut lesson, mut file, .. } = open(&path);
        prop_assert_eq!(&lesson, &start);
        let journal = Journal::path_for(file.path());
        let mut states = vec![(0, lesson.clone())];
        for numbers in chain {
            let change = Transaction::one(Reason::Remedy, edit_from(&lesson, &mut Choices::new(&numbers)));
            if lesson.apply_all(change.edits.clone()).is_ok() {
                file.record(&change).unwrap();
                states.push((fs::metadata(&journal).unwrap().len(), lesson.clone()));
            }
        }
        drop(file);
        prop_assert_eq!(&open(&path).lesson, &lesson);
        if states.len() > 1 {
            let whole = fs::read(&journal).unwrap();
            let length = cut.index(whole.len() + 1);
            fs::write(&journal, &whole[..length]).unwrap();
            let (_, expected) = states.iter().rfind(|(end, _)| *end <= length as u64).unwrap();
            prop_assert_eq!(&open(&path).lesson, expected);
        }
    }

    /// A line that is missing, moved, doubled or of another journal ends what comes back: it is always the state after the
    /// first so many changes.
    #[test]
    fn a_shuffled_journal_gives_a_lesson_that_once_was(
        (start, chain) in any_lesson_and_chain(),
        shuffled in prop::collection::vec(any::<prop::sample::Index>(), 0..12),
    ) {
        let folder = TempDir::new().unwrap();
        let path = folder.path().join("a.lesson.ron");
        lesson_file::save(&path, &start, Replace::Nothing).unwrap();
        let Opened { mut lesson, mut file, .. } = open(&path);
        let mut states = vec![lesson.clone()];
        for numbers in chain {
            let change = Transaction::one(Reason::Remedy, edit_from(&lesson, &mut Choices::new(&numbers)));
            if lesson.apply_all(change.edits.clone()).is_ok() {
                file.record(&change).unwrap();
                states.push(lesson.clone());
            }
        }
        drop(file);
        let journal = Journal::path_for(&path);
        if states.len() > 1 {
            let whole = fs::read_to_string(&journal).unwrap();
            let lines: Vec<&str> = whole.split_inclusive('\n').collect();
            let text: String = shuffled.iter().map(|index| *index.get(&lines)).collect();
            // The first two lines in their place, so that what follows is looked at.
            fs::write(&journal, lines[..2].concat() + &text).unwrap();
            prop_assert!(states.contains(&open(&path).lesson));
        }
    }

    #[test]
    fn a_damaged_journal_never_panics_and_is_never_lost(
        place in any::<prop::sample::Index>(),
        bytes in prop::collection::vec(any::<u8>(), 1..20),
    ) {
        let (_folder, path) = folder_with_three_titles();
        let journal = Journal::path_for(&path);
        let mut written = fs::read(&journal).unwrap();
        let at = place.index(written.len());
        written.splice(at..(at + 3).min(written.len()), bytes);
        fs::write(&journal, &written).unwrap();
        let opened = open(&path);
        let known = ["start", "one", "two", "three"].map(titled);
        prop_assert!(known.contains(&opened.lesson));
        if opened.lesson == known[3] || opened.file.notices().contains(&OpeningNotice::LastChangeCutOff) {
            return Ok(());
        }
        prop_assert_eq!(fs::read(path.with_file_name("a.lesson.ron.journal-1")).unwrap(), written);
    }
}
