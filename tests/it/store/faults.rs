//! The disk fails at any call: the old or the new content is there, whole, and whoever asked is told.

use std::fmt::Display;
use std::fs;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use fingerpost::lesson::document::Lesson;
use fingerpost::store::disk::{Call, Disk, Verdict, Witness};
use fingerpost::store::draft::{self, Draft};
use fingerpost::store::folders::Folders;
use fingerpost::store::journal::Journal;
use fingerpost::store::lesson_file::{self, Replace};
use fingerpost::store::library::Library;
use fingerpost::store::open_lesson::{Access, OpenLesson, Opened, OpeningNotice};
use fingerpost::store::settings::Settings;
use fingerpost::text::paper::Paper;
use fingerpost::workbench::jobs::queue::Jobs;
use fingerpost::workbench::messages::effect::{FileEffect, LibraryOrder};
use fingerpost::workbench::messages::message::Message;
use fingerpost::workbench::messages::notice::Notice;
use fingerpost::workbench::questions::program::SaveAs;
use fingerpost::workbench::runtime::session::Session;
use tempfile::TempDir;

use super::disk::{FAILURES, Failing, How};
use super::session::{folder_with_lesson, folder_with_three_titles, open, retitle};
use super::user_files::voicing;
use super::{names_in, titled};

/// Whether what was asked for was done, as whoever asked was told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Told {
    Done,
    Failed,
}

impl Told {
    fn of<T, E: Display>(outcome: Result<T, E>) -> Self {
        match outcome {
            Ok(_) => Self::Done,
            Err(error) => {
                assert!(!error.to_string().is_empty());
                Self::Failed
            }
        }
    }
}

/// Does something again and again, with the disk failing at its first call, its second, and so on until it makes fewer calls, and
/// in every way. Returns how many calls failed.
pub fn at_every_call(mut with: impl FnMut(&Failing, &Disk, &str)) -> usize {
    let mut failures = 0;
    let ways = FAILURES.len();
    for how in FAILURES {
        for at in 0.. {
            let failing = Failing::new(how, at);
            with(&failing, &failing.disk(), &format!("{how:?}, call {at}"));
            if !failing.was_reached() {
                break;
            }
            failures += 1;
        }
    }
    assert!(failures >= ways, "only {failures} calls failed in {ways} ways");
    failures
}

/// Returns the title that the lesson has when it is opened again, after a check that nothing is said to be lost.
#[track_caller]
fn title_again(path: &Path, place: &str) -> String {
    let opened = open(path);
    let lost = opened
        .file
        .notices()
        .iter()
        .any(|notice| matches!(notice, OpeningNotice::JournalKept(_) | OpeningNotice::LastChangeCutOff));
    assert!(!lost, "{place}: {:?}", opened.file.notices());
    opened.lesson.header.title
}

/// A lesson whose title was changed to `one`, as the journal has it.
fn changed_once(disk: &Disk) -> (TempDir, PathBuf, Lesson, OpenLesson) {
    let (folder, path) = folder_with_lesson();
    let Opened { mut lesson, mut file, .. } = OpenLesson::open_on(disk, &path).unwrap();
    file.record(&retitle(&mut lesson, "one")).unwrap();
    (folder, path, lesson, file)
}

#[test]
fn a_save_leaves_the_old_or_the_new_lesson_and_the_next_one_succeeds() {
    let failures = at_every_call(|failing, disk, place| {
        let (folder, path, mut lesson, mut file) = changed_once(disk);
        failing.arm();
        let told = Told::of(file.save(&lesson));
        failing.disarm();
        // Whole in any case: old, or new.
        let on_disk = lesson_file::load(&path).unwrap_or_else(|error| panic!("{place}: {error}")).lesson;
        assert!(on_disk == titled("one") || (told == Told::Failed && on_disk == titled("start")), "{place}: {told:?}");
        // A crash here loses nothing, whatever was told.
        let copy = TempDir::new().unwrap();
        for name in names_in(folder.path()) {
            fs::copy(folder.path().join(&name), copy.path().join(&name)).unwrap();
        }
        assert_eq!(title_again(&copy.path().join("a.lesson.ron"), place), "one", "{place}");
        // Nor does going on.
        if file.record(&retitle(&mut lesson, "two")).is_ok() {
            fs::copy(Journal::path_for(&path), Journal::path_for(&copy.path().join("a.lesson.ron"))).unwrap();
            fs::copy(&path, copy.path().join("a.lesson.ron")).unwrap();
            assert_eq!(title_again(&copy.path().join("a.lesson.ron"), place), "two", "{place}");
        }
        file.save(&lesson).unwrap_or_else(|error| panic!("{place}: {error}"));
        drop(file);
        assert_eq!(title_again(&path, place), lesson.header.title, "{place}");
        assert!(!Journal::path_for(&path).exists(), "{place}");
    });
    assert!(failures >= 40, "only {failures}");
}

#[test]
fn a_change_is_in_the_journal_or_whoever_made_it_is_told() {
    let failures = at_every_call(|failing, disk, place| {
        let (_folder, path, mut lesson, mut file) = changed_once(disk);
        failing.arm();
        let told = Told::of(file.record(&retitle(&mut lesson, "two")));
        let expected = if told == Told::Done { "two" } else { "one" };
        assert_eq!(file.is_unprotected(), told == Told::Failed, "{place}");
        // Killed now: the changes before it are readable.
        let copy = TempDir::new().unwrap();
        for name in names_in(path.parent().unwrap()) {
            fs::copy(path.with_file_name(&name), copy.path().join(&name)).unwrap();
        }
        assert_eq!(open(&copy.path().join("a.lesson.ron")).lesson.header.title, expected, "{place}");
        if failing.disarm() && told == Told::Failed {
            // Once the disk works again, all of it is there: at the next change, and at the next try without one.
            let again = if place.len() % 2 == 0 { file.retry() } else { file.record(&retitle(&mut lesson, "three")) };
            again.unwrap_or_else(|error| panic!("{place}: {error}"));
            assert!(!file.is_unprotected(), "{place}");
        }
        drop(file);
        let opened = open(&path);
        assert_eq!(opened.lesson, lesson, "{place}: {:?}", opened.file.notices());
    });
    assert!(failures >= 6, "only {failures}");
}

/// The first change after a save makes the journal anew.
#[test]
fn the_journal_begun_after_a_save_holds_the_change_or_whoever_made_it_is_told() {
    let failures = at_every_call(|failing, disk, place| {
        let (_folder, path, mut lesson, mut file) = changed_once(disk);
        failing.arm();
        let saved = Told::of(file.save(&lesson));
        let recorded = Told::of(file.record(&retitle(&mut lesson, "two")));
        failing.disarm();
        drop(file);
        let title = title_again(&path, place);
        let expected = if recorded == Told::Done { "two" } else { "one" };
        assert_eq!(title, expected, "{place}: saved {saved:?}, recorded {recorded:?}");
    });
    assert!(failures >= 50, "only {failures}");
}

/// A save that fails after half a line was written, and could not be taken back, adds its own line after it.
#[test]
fn what_follows_half_a_line_begins_on_a_line_of_its_own() {
    let half = Failing::new(How::HalfFromThenOn(ErrorKind::StorageFull), 0);
    let (_folder, path, mut lesson, mut file) = changed_once(&half.disk());
    half.arm();
    assert!(file.record(&retitle(&mut lesson, "two")).is_err());
    half.disarm();
    let journal = Journal::path_for(&path);
    let torn = fs::read_to_string(&journal).unwrap();
    assert!(!torn.ends_with('\n'), "half a line is there: {torn}");
    // Another program has changed the file: the journal has the line that a save begins with, and no save follows.
    fs::write(&path, fs::read_to_string(&path).unwrap().replace("start", "elsewhere")).unwrap();
    assert!(file.save(&lesson).is_err());
    drop(file);
    fs::write(&path, fs::read_to_string(&path).unwrap().replace("elsewhere", "start")).unwrap();
    let lines = fs::read_to_string(&journal).unwrap();
    assert!(lines.ends_with('\n') && lines.len() > torn.len(), "{lines}");
    assert_eq!(title_again(&path, "after half a line"), "one");
}

/// Lets nothing be taken back from a journal.
#[derive(Debug)]
struct NoCuts(Arc<Failing>);

impl Witness for NoCuts {
    fn before(&self, call: Call<'_>) -> Verdict {
        match call {
            Call::Cut(path, _) if path.extension().is_some_and(|end| end == "journal") => {
                Verdict::Refuse(ErrorKind::Other.into())
            }
            // Nor is there room for a journal written anew.
            Call::Create(path) if path.extension().is_some_and(|end| end == "part") => {
                Verdict::Refuse(ErrorKind::StorageFull.into())
            }
            call => self.0.before(call),
        }
    }

    fn after(&self, _: Call<'_>, _: Result<(), &io::Error>) {}
}

/// The same where taking it back is refused as well, even at the second time.
#[test]
fn half_a_line_that_cannot_be_taken_back_is_passed_over() {
    let half = Failing::new(How::HalfThenOnce(ErrorKind::StorageFull), 0);
    let disk = Disk::watched(Arc::new(NoCuts(Arc::clone(&half))));
    let (_folder, path, mut lesson, mut file) = changed_once(&disk);
    half.arm();
    assert!(file.record(&retitle(&mut lesson, "two")).is_err());
    half.disarm();
    // A save notes what the file is about to hold, and is then refused.
    let before = fs::read_to_string(&path).unwrap();
    fs::write(&path, before.replace("start", "elsewhere")).unwrap();
    assert!(file.save(&lesson).is_err());
    drop(file);
    fs::write(&path, before).unwrap();
    assert!(fs::read_to_string(Journal::path_for(&path)).unwrap().contains(" torn "));
    assert_eq!(title_again(&path, "half a line"), "one");
}

/// Confirms no names.
#[derive(Debug)]
struct NoNames;

impl Witness for NoNames {
    fn before(&self, call: Call<'_>) -> Verdict {
        match call {
            Call::SyncFolder(_) => Verdict::Refuse(ErrorKind::Other.into()),
            _ => Verdict::Make,
        }
    }

    fn after(&self, _: Call<'_>, _: Result<(), &io::Error>) {}
}

/// The new lesson is in place; should the name of its file be lost after all, the journal still has the changes.
#[test]
fn a_save_that_the_disk_does_not_confirm_keeps_the_journal() {
    let (_folder, path, mut lesson, mut file) = changed_once(&Disk::watched(Arc::new(NoNames)));
    let refused = file.save(&lesson).unwrap_err();
    assert!(refused.to_string().contains("the disk did not confirm what was written"), "{refused}");
    assert_eq!(lesson_file::load(&path).unwrap().lesson, titled("one"));
    assert!(Journal::path_for(&path).exists());
    file.record(&retitle(&mut lesson, "two")).unwrap();
    drop(file);
    assert_eq!(title_again(&path, "unconfirmed"), "two");
}

#[test]
fn changes_thrown_away_stay_away_or_that_is_told() {
    at_every_call(|failing, disk, place| {
        let (_folder, path, _, file) = changed_once(disk);
        failing.arm();
        let told = Told::of(file.discard());
        failing.disarm();
        let title = title_again(&path, place);
        assert!(title == "start" || (told == Told::Failed && title == "one"), "{place}: {told:?}, {title}");
    });
}

/// A journal that was found can be neither opened nor written anew; then the disk works again.
#[test]
fn changes_thrown_away_stay_away_also_where_their_journal_could_not_be_gone_on_with() {
    let mut stopped = 0;
    at_every_call(|failing, disk, place| {
        let (_folder, path) = folder_with_three_titles();
        failing.arm();
        let opened = OpenLesson::open_on(disk, &path);
        failing.disarm();
        let Opened { lesson, file, .. } = opened.unwrap_or_else(|error| panic!("{place}: {error}"));
        if lesson != titled("three") {
            return;
        }
        stopped += usize::from(file.is_unprotected());
        file.discard().unwrap_or_else(|error| panic!("{place}: {error}"));
        assert_eq!(title_again(&path, place), "start", "{place}");
    });
    assert!(stopped > 0, "no journal was found that could not be gone on with");
}

#[test]
fn saving_under_another_name_leaves_what_there_was_or_the_whole_lesson_there() {
    at_every_call(|failing, disk, place| {
        let (_folder, path, lesson, mut file) = changed_once(disk);
        let other = path.with_file_name("b.lesson.ron");
        failing.arm();
        let told = Told::of(file.save_as(&other, &lesson, Replace::Nothing));
        failing.disarm();
        match lesson_file::load(&other) {
            Ok(loaded) => assert_eq!(loaded.lesson, lesson, "{place}"),
            Err(error) => assert!(told == Told::Failed && !other.exists(), "{place}: {error}"),
        }
        assert_eq!(file.path() == other, told == Told::Done, "{place}");
        drop(file);
        if told == Told::Failed {
            assert_eq!(title_again(&path, place), "one", "{place}");
        }
    });
}

/// Opening mends a journal: what it cannot use is kept, and nothing in it is lost whatever fails.
#[test]
fn the_damaged_part_of_a_journal_is_somewhere_whatever_fails() {
    at_every_call(|failing, disk, place| {
        let (folder, path) = folder_with_three_titles();
        let journal = Journal::path_for(&path);
        let damaged = fs::read_to_string(&journal).unwrap().replace("two", "tvo");
        fs::write(&journal, &damaged).unwrap();
        failing.arm();
        let Opened { mut lesson, mut file, .. } = OpenLesson::open_on(disk, &path).unwrap();
        let told = Told::of(file.record(&retitle(&mut lesson, "four")));
        failing.disarm();
        assert_eq!(lesson, titled("four"));
        let writable = *file.access() == Access::Full;
        drop(file);
        let whole = names_in(folder.path())
            .iter()
            .any(|name| fs::read(folder.path().join(name)).unwrap() == damaged.as_bytes());
        assert!(whole, "{place}: {:?}", names_in(folder.path()));
        if told == Told::Done && writable {
            assert_eq!(open(&path).lesson, titled("four"), "{place}");
        }
    });
}

#[test]
fn library_and_settings_are_the_old_or_the_new_ones() {
    let failures = at_every_call(|failing, disk, place| {
        let home = TempDir::new().unwrap();
        let real = Folders::under(home.path());
        let (em9, a13) = (voicing("x 7 5 7 7 x", "Em9", "", "a"), voicing("5 x 5 6 7 x", "A13", "", "b"));
        Library::keep(&real, &[em9]).unwrap();
        Settings::update(&real, |settings| settings.paper = Paper::A4).unwrap();
        let folders = real.clone().on(disk.clone());
        failing.arm();
        let kept = Told::of(Library::keep(&folders, &[a13]));
        let chosen = Told::of(Settings::update(&folders, |settings| settings.paper = Paper::Letter));
        let reached = failing.disarm();
        let count = Library::load(&real).unwrap_or_else(|error| panic!("{place}: {error}")).voicings.len();
        assert!(count == 2 || (kept == Told::Failed && count == 1), "{place}: {kept:?}, {count}");
        let (settings, trouble) = Settings::load(&real);
        assert!(trouble.is_none(), "{place}: {trouble:?}");
        let new = settings.paper == Paper::Letter;
        assert!(new || chosen == Told::Failed, "{place}: {chosen:?}");
        assert!(reached || (count == 2 && new), "{place}");
    });
    assert!(failures >= 60, "only {failures}");
}

#[test]
fn a_draft_is_the_old_one_or_the_new_one() {
    at_every_call(|failing, disk, place| {
        let (_folder, path) = folder_with_lesson();
        let draft = |words: &str| Draft { words: words.into(), about: "Title".into(), ..Draft::default() };
        draft::keep(&path, &draft("old")).unwrap();
        failing.arm();
        let kept = draft::keep_on(disk, &path, &draft("new"));
        failing.disarm();
        let there = if kept.is_ok() { "new" } else { "old" };
        assert_eq!(draft::left(&path), Some(draft(there)), "{place}: what cannot be kept is told, {kept:?}");
    });
}

#[test]
fn a_draft_goes_along_to_another_file_and_is_told_of_once_where_it_cannot_be_kept() {
    let (folder, path) = folder_with_lesson();
    let mut session = Session::new(None);
    session.perform(FileEffect::Open(path.clone()), &mut Jobs::at_once());
    let written = Draft { fingers: "x 3 2 0 1 0".into(), ..Draft::default() };
    session.perform(FileEffect::KeepDraft(Box::new(written.clone())), &mut Jobs::at_once());
    session.perform(FileEffect::Save(Box::new(titled("start").into()), SaveAs::NewFile), &mut Jobs::at_once());
    assert_eq!(draft::left(&path), None);
    assert_eq!(draft::left(&path.with_file_name("a 2.lesson.ron")), Some(written.clone()));
    let mut keep = || session.perform(FileEffect::KeepDraft(Box::new(written.clone())), &mut Jobs::at_once());
    assert!(keep().is_empty());
    drop(folder);
    let told = keep();
    assert!(
        matches!(&told[..], [Message::DraftFailed(text)] if text.contains("would not survive a crash")),
        "{told:?}"
    );
    assert!(keep().is_empty(), "it is told once");
}

/// A session on the same files, and what it is told.
pub fn session_on(folders: Folders, path: &Path) -> Session {
    let mut session = Session::new(Some(folders));
    let opened = session.perform(FileEffect::Open(path.to_owned()), &mut Jobs::at_once());
    assert!(matches!(opened.first(), Some(Message::Opened(Ok(_)))), "{opened:?}");
    session
}

#[test]
fn the_person_at_the_keys_is_told_of_a_journal_that_did_not_reach_the_disk_in_a_quiet_moment() {
    let mut count = 0;
    at_every_call(|failing, disk, place| {
        let (_folder, path) = folder_with_lesson();
        let home = TempDir::new().unwrap();
        let mut session = session_on(Folders::under(home.path()).on(disk.clone()), &path);
        let change = retitle(&mut titled("start"), "one");
        assert!(session.perform(FileEffect::Journal(vec![change]), &mut Jobs::at_once()).is_empty());
        failing.arm();
        let told = session.sync_behind(&mut Jobs::at_once());
        failing.disarm();
        match told {
            None => {}
            Some(Message::Told(notice)) => {
                assert!(notice.text.contains("the disk did not confirm"), "{place}: {notice:?}");
                count += 1;
            }
            other => panic!("{place}: {other:?}"),
        }
    });
    // The file and, since it is new, its folder.
    assert!(count >= 2, "told {count} times");
}

/// Whatever fails, the person at the keys is told in words; and what is said to be done is done.
#[test]
fn the_person_at_the_keys_is_told() {
    at_every_call(|failing, disk, place| {
        let (_folder, path) = folder_with_lesson();
        let home = TempDir::new().unwrap();
        let folders = Folders::under(home.path());
        Library::keep(&folders, &[]).unwrap();
        let mut session = session_on(folders.clone().on(disk.clone()), &path);
        let mut lesson = titled("start");
        failing.arm();
        let recorded = session.perform(FileEffect::Journal(vec![retitle(&mut lesson, "one")]), &mut Jobs::at_once());
        let unconfirmed = session.sync(&mut Jobs::at_once());
        let keep = Box::new(LibraryOrder::Keep(voicing("x 7 5 7 7 x", "Em9", "", "a")));
        let keep = FileEffect::ChangeLibrary(keep, Notice::done("in the library"));
        let kept = session.perform(keep, &mut Jobs::at_once());
        let themed = session.perform(FileEffect::KeepTheme("lamp".into()), &mut Jobs::at_once());
        let saved =
            session.perform(FileEffect::Save(Box::new(lesson.clone().into()), SaveAs::Itself), &mut Jobs::at_once());
        failing.disarm();
        drop(session);
        match &recorded[..] {
            // That it is there after a crash is seen in `told`.
            [] => {}
            [Message::JournalFailed(text)] => assert!(text.contains("; save the lesson"), "{place}: {text}"),
            other => panic!("{place}: {other:?}"),
        }
        assert!(unconfirmed.is_none_or(|text| text.contains("the disk did not confirm")), "{place}");
        let in_library = Library::load(&folders).unwrap().voicings.len() == 1;
        match &kept[..] {
            [Message::LibraryKept(_, said)] => assert!(in_library && said.text == "in the library", "{place}"),
            [Message::LibraryChanged(Err(text))] => {
                assert_eq!(text.starts_with("not in the library: "), !in_library, "{place}: {text}");
            }
            other => panic!("{place}: {other:?}"),
        }
        let lamp = Settings::load(&folders).0.theme == "lamp";
        match &themed[..] {
            [] => assert!(lamp, "{place}"),
            [Message::Told(notice)] => assert!(notice.text.contains("settings.ron"), "{place}: {notice:?}"),
            other => panic!("{place}: {other:?}"),
        }
        let (last, before) = saved.split_last().unwrap();
        for message in before {
            let about = matches!(message, Message::JournalFailed(_) | Message::JournalMended | Message::Told(_));
            assert!(about, "{place}: {message:?}");
        }
        match std::slice::from_ref(last) {
            [Message::Saved(Ok(_))] => assert_eq!(lesson_file::load(&path).unwrap().lesson, lesson, "{place}"),
            [Message::Saved(Err(text))] => assert!(!text.is_empty(), "{place}"),
            other => panic!("{place}: {other:?}"),
        }
    });
}
