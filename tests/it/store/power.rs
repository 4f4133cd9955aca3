//! The power fails after any call: what the disk itself has is enough.

use std::fs;
use std::io::{self, ErrorKind};
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use fingerpost::lesson::document::Lesson;
use fingerpost::store::disk::{Call, Disk, Verdict, Witness};
use fingerpost::store::folders::Folders;
use fingerpost::store::journal::Journal;
use fingerpost::store::lesson_file::{self, Replace};
use fingerpost::store::library::Library;
use fingerpost::store::open_lesson::{OpenLesson, Opened, OpeningNotice};
use fingerpost::store::settings::Settings;
use fingerpost::text::paper::Paper;
use fingerpost::workbench::jobs::queue::Jobs;
use fingerpost::workbench::messages::effect::FileEffect;
use fingerpost::workbench::runtime::session::Session;
use tempfile::TempDir;

use super::disk::{Files, Power, lay_out};
use super::session::{folder_with_lesson, folder_with_three_titles, open, retitle};
use super::titled;
use super::user_files::voicing;

/// Opens what a power cut has left.
fn opened_after(files: &Files) -> (TempDir, Opened) {
    let folder = TempDir::new().unwrap();
    lay_out(files, folder.path());
    let opened = OpenLesson::open(&folder.path().join("a.lesson.ron")).unwrap();
    (folder, opened)
}

/// The lesson is titled by how many changes it has seen; as many as were promised are there, and the rest is one of the
/// states it was in. Nothing is said to be lost or to belong elsewhere.
#[track_caller]
fn check_cuts(power: &Power, states: &[Lesson]) {
    let cuts = power.cuts();
    for cut in &cuts {
        for files in &cut.disks {
            let (_folder, opened) = opened_after(files);
            let survived = states.iter().position(|state| *state == opened.lesson);
            let enough = survived.is_some_and(|survived| survived >= cut.promised);
            assert!(
                enough,
                "power cut after {}: {:?} of {} survived of {:?}",
                cut.after,
                survived,
                cut.promised,
                files.keys()
            );
            let kept = opened.file.notices().iter().any(|notice| matches!(notice, OpeningNotice::JournalKept(_)));
            assert!(!kept, "power cut after {}: {:?}", cut.after, opened.file.notices());
        }
    }
    assert!(cuts.len() > 10, "only {} moments", cuts.len());
}

#[test]
fn what_was_synced_or_saved_survives_a_power_cut_at_any_moment() {
    let (_folder, path) = folder_with_lesson();
    let power = Power::over(path.parent().unwrap());
    let Opened { mut lesson, mut file, .. } = OpenLesson::open_on(&power.disk(), &path).unwrap();
    let mut states = vec![lesson.clone()];
    let mut next = |file: &mut OpenLesson, lesson: &mut Lesson| {
        file.record(&retitle(lesson, &format!("change {}", states.len()))).unwrap();
        states.push(lesson.clone());
        states.len() - 1
    };
    next(&mut file, &mut lesson);
    let second = next(&mut file, &mut lesson);
    file.sync().unwrap();
    power.promise(second);
    let third = next(&mut file, &mut lesson);
    file.sync().unwrap();
    power.promise(third);
    let fourth = next(&mut file, &mut lesson);
    file.save(&lesson).unwrap();
    power.promise(fourth);
    let fifth = next(&mut file, &mut lesson);
    let unsynced = file.take_unsynced().unwrap();
    unsynced.sync().unwrap();
    power.promise(fifth);
    next(&mut file, &mut lesson);
    let seventh = next(&mut file, &mut lesson);
    file.save(&lesson).unwrap();
    power.promise(seventh);
    drop(file);
    check_cuts(&power, &states);
}

#[test]
fn work_that_a_crash_left_is_synced_with_what_follows_it() {
    let (_folder, path) = folder_with_three_titles();
    let mut states: Vec<Lesson> = ["start", "one", "two", "three"].map(titled).into();
    let power = Power::over(path.parent().unwrap());
    power.promise(3);
    let Opened { mut lesson, mut file, .. } = OpenLesson::open_on(&power.disk(), &path).unwrap();
    assert!(file.is_unsynced(), "nobody knows what the process before has waited for");
    file.record(&retitle(&mut lesson, "four")).unwrap();
    states.push(lesson.clone());
    file.sync().unwrap();
    power.promise(4);
    drop(file);
    check_cuts(&power, &states);
}

/// What cannot be brought back is kept whole before the journal is cut off, at every moment.
#[test]
fn no_power_cut_takes_the_damaged_part_of_a_journal() {
    let (_folder, path) = folder_with_three_titles();
    let journal = Journal::path_for(&path);
    let damaged = fs::read_to_string(&journal).unwrap().replace("two", "tvo");
    fs::write(&journal, &damaged).unwrap();
    let power = Power::over(path.parent().unwrap());
    let Opened { mut lesson, mut file, .. } = OpenLesson::open_on(&power.disk(), &path).unwrap();
    assert_eq!(lesson, titled("one"));
    file.record(&retitle(&mut lesson, "four")).unwrap();
    file.sync().unwrap();
    for cut in power.cuts() {
        for files in &cut.disks {
            let whole = files.values().any(|bytes| bytes == damaged.as_bytes());
            assert!(whole, "power cut after {}: it is nowhere in {:?}", cut.after, files.keys());
        }
    }
}

/// A disk that does not confirm the names of a folder the first time.
#[derive(Debug)]
struct FirstNamesFail {
    power: Arc<Power>,
    failed: AtomicBool,
}

impl Witness for FirstNamesFail {
    fn before(&self, call: Call<'_>) -> Verdict {
        let fails = matches!(call, Call::SyncFolder(_)) && !self.failed.swap(true, Ordering::SeqCst);
        if fails { Verdict::Refuse(ErrorKind::Other.into()) } else { Verdict::Make }
    }

    fn after(&self, call: Call<'_>, outcome: Result<(), &io::Error>) {
        self.power.after(call, outcome);
    }
}

/// Behind the keys, as in a quiet moment: what failed is told, and waited for once more with the next change.
#[test]
fn a_journal_that_the_disk_did_not_confirm_is_brought_there_with_the_next_change() {
    let (_folder, path) = folder_with_lesson();
    let power = Power::over(path.parent().unwrap());
    let disk = Disk::watched(Arc::new(FirstNamesFail { power: Arc::clone(&power), failed: AtomicBool::new(false) }));
    let Opened { mut lesson, mut file, .. } = OpenLesson::open_on(&disk, &path).unwrap();
    let mut states = vec![lesson.clone()];
    for (title, is_confirmed) in [("one", false), ("two", true)] {
        file.record(&retitle(&mut lesson, title)).unwrap();
        states.push(lesson.clone());
        assert_eq!(file.take_unsynced().unwrap().sync().is_ok(), is_confirmed, "{title}");
    }
    power.promise(2);
    drop(file);
    check_cuts(&power, &states);
}

#[test]
fn changes_that_were_thrown_away_stay_away() {
    let (_folder, path) = folder_with_three_titles();
    let power = Power::over(path.parent().unwrap());
    let file = OpenLesson::open_on(&power.disk(), &path).unwrap().file;
    file.discard().unwrap();
    power.promise(1);
    for cut in power.cuts().iter().filter(|cut| cut.promised == 1) {
        cut.disks.iter().for_each(|files| assert_eq!(opened_after(files).1.lesson, titled("start"), "{}", cut.after));
    }
}

#[test]
fn saving_under_another_name_survives_too() {
    let (_folder, path) = folder_with_lesson();
    let power = Power::over(path.parent().unwrap());
    let Opened { mut lesson, mut file, .. } = OpenLesson::open_on(&power.disk(), &path).unwrap();
    file.record(&retitle(&mut lesson, "one")).unwrap();
    file.save_as(&path.with_file_name("b.lesson.ron"), &lesson, Replace::Nothing).unwrap();
    power.promise(1);
    drop(file);
    for cut in power.cuts().iter().filter(|cut| cut.promised == 1) {
        for files in &cut.disks {
            let folder = TempDir::new().unwrap();
            lay_out(files, folder.path());
            assert_eq!(lesson_file::load(&folder.path().join("b.lesson.ron")).unwrap().lesson, lesson, "{}", cut.after);
        }
    }
}

/// Library and settings: the old or the new content, and the new one once that was said.
#[test]
fn the_user_s_own_files_are_the_old_or_the_new_ones() {
    let home = TempDir::new().unwrap();
    let folders = Folders::under(home.path());
    Library::keep(&folders, &[voicing("x 7 5 7 7 x", "Em9", "soul", "first")]).unwrap();
    Settings::update(&folders, |settings| settings.paper = Paper::A4).unwrap();
    let power = Power::over(home.path());
    let watched = folders.on(power.disk());
    let library = Library::keep(&watched, &[voicing("5 x 5 6 7 x", "A13", "soul", "second")]).unwrap();
    power.promise(1);
    Settings::update(&watched, |settings| settings.paper = Paper::Letter).unwrap();
    power.promise(2);
    let read = |folder: &Path| {
        let folders = Folders::under(folder);
        let (settings, trouble) = Settings::load(&folders);
        assert!(trouble.is_none(), "{trouble:?}");
        (Library::load(&folders).unwrap(), settings.paper)
    };
    for cut in power.cuts() {
        for files in &cut.disks {
            let folder = TempDir::new().unwrap();
            lay_out(files, folder.path());
            let (kept, paper) = read(folder.path());
            assert!(
                [1, 2].contains(&kept.voicings.len()) && kept.voicings[..] == library.voicings[..kept.voicings.len()]
            );
            assert!(cut.promised < 1 || kept == library, "power cut after {}", cut.after);
            assert!(cut.promised < 2 || paper == Paper::Letter, "power cut after {}", cut.after);
        }
    }
}

#[test]
fn a_new_lesson_is_there_once_that_was_said() {
    let folder = TempDir::new().unwrap();
    let path = fs::canonicalize(folder.path()).unwrap().join("a.lesson.ron");
    let power = Power::over(path.parent().unwrap());
    let file = OpenLesson::create_on(&power.disk(), &path, &titled("new")).unwrap();
    power.promise(1);
    drop(file);
    for cut in power.cuts().iter().filter(|cut| cut.promised == 1) {
        cut.disks.iter().for_each(|files| assert_eq!(opened_after(files).1.lesson, titled("new"), "{}", cut.after));
    }
    assert_eq!(open(&path).lesson, titled("new"));
}

/// What the workbench does in a quiet moment, and when it lets go of a lesson.
#[test]
fn a_session_brings_the_journal_to_the_disk_behind_the_keys_and_before_it_lets_go() {
    let (folder, path) = folder_with_lesson();
    let power = Power::over(path.parent().unwrap());
    let home = fs::canonicalize(folder.path()).unwrap();
    let mut session = Session::new(Some(Folders::under(&home).on(power.disk())));
    session.perform(FileEffect::Open(path), &mut Jobs::at_once());
    let mut lesson = titled("start");
    let mut states = vec![lesson.clone()];
    let mut change = |session: &mut Session, title: &str| {
        assert!(
            session.perform(FileEffect::Journal(vec![retitle(&mut lesson, title)]), &mut Jobs::at_once()).is_empty()
        );
        states.push(lesson.clone());
    };
    assert_eq!(session.unsynced(), None);
    change(&mut session, "one");
    change(&mut session, "two");
    assert_eq!(session.unsynced(), Some(2), "two changes are not on the disk");
    assert!(session.sync_behind(&mut Jobs::at_once()).is_none());
    assert_eq!(session.unsynced(), None);
    // Nothing is left to do but to wait for what is under way.
    assert_eq!(session.sync(&mut Jobs::at_once()), None);
    power.promise(2);
    change(&mut session, "three");
    session.perform(FileEffect::Close(None), &mut Jobs::at_once());
    power.promise(3);
    check_cuts(&power, &states);
}
