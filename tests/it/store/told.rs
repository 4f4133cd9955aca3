//! Whatever call of the disk fails, the person at the keys is told in words; and what is said to be kept or done is so when the lesson
//! is opened again.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::mpsc;

use fingerpost::store::demos::DEMOS;
use fingerpost::store::disk::Disk;
use fingerpost::store::draft::{Draft, DraftPlaces};
use fingerpost::store::folders::Folders;
use fingerpost::store::lesson_file;
use fingerpost::store::lock::{Asked, Lock};
use fingerpost::store::open_lesson::{OpenLesson, Opened, OpeningNotice};
use fingerpost::store::settings::{NeckSettings, Settings, StringOne};
use fingerpost::store::user_file::Patience;
use fingerpost::tab::handout::handout;
use fingerpost::tab::handout::options::HandoutOptions;
use fingerpost::workbench::jobs::queue::Jobs;
use fingerpost::workbench::messages::effect::FileEffect;
use fingerpost::workbench::messages::message::Message;
use fingerpost::workbench::questions::program::{Existing, SaveAs};
use fingerpost::workbench::questions::start::NewLesson;
use fingerpost::workbench::runtime::session::Session;
use tempfile::TempDir;

use super::disk::{Failing, How};
use super::faults::{at_every_call, session_on};
use super::session::{folder_with_lesson, open, retitle};
use super::{names_in, titled};

fn fingers(shape: &str) -> Draft {
    Draft { fingers: shape.into(), ..Draft::default() }
}

fn places(lesson: &Path, folders: &Folders) -> DraftPlaces {
    DraftPlaces::of(lesson, lesson_file::load(lesson).ok().and_then(|read| read.lesson.id), Some(&folders.journals()))
        .unwrap()
}

/// A session on a lesson, the lesson's path, and the folders, all on a disk; what holds them.
fn session(disk: &Disk) -> (Session, PathBuf, Folders, [TempDir; 2]) {
    let (folder, path) = folder_with_lesson();
    let home = TempDir::new().unwrap();
    let folders = Folders::under(home.path());
    (session_on(folders.clone().on(disk.clone()), &path), path, folders, [folder, home])
}

fn told(message: Option<&Message>) -> &str {
    match message {
        Some(Message::Told(notice)) => &notice.text,
        Some(Message::DraftFailed(text)) => text,
        other => panic!("{other:?}"),
    }
}

#[test]
fn what_was_recorded_and_kept_without_a_word_is_there_after_a_crash() {
    let failures = at_every_call(|failing, disk, place| {
        let (mut session, path, folders, _kept) = session(disk);
        let mut jobs = Jobs::at_once();
        let mut lesson = titled("start");
        session.perform(FileEffect::KeepDraft(Box::new(fingers("x x x x x 1"))), &mut jobs);
        failing.arm();
        let change = retitle(&mut lesson, "one");
        let recorded = session.perform(FileEffect::Journal(vec![change]), &mut jobs);
        let kept = session.perform(FileEffect::KeepDraft(Box::new(fingers("x 0 2 2 1 0"))), &mut jobs);
        failing.disarm();
        drop(session);
        // A journal in the program's own folder is found only by whoever knows that folder.
        let again = OpenLesson::open_with(&Disk::real(), &path, &fingerpost::store::journal::Refuge::of(&folders));
        let Opened { lesson, file, .. } = again.unwrap();
        let lost = file.notices().iter().any(|notice| matches!(notice, OpeningNotice::JournalKept(_)));
        assert!(!lost, "{place}: {:?}", file.notices());
        match &recorded[..] {
            [] => assert_eq!(lesson, titled("one"), "{place}"),
            [Message::JournalFailed(text)] => assert!(text.contains("; save the lesson"), "{place}: {text}"),
            other => panic!("{place}: {other:?}"),
        }
        let left = places(&path, &folders).left();
        match kept.first() {
            None => assert_eq!(left, Some(fingers("x 0 2 2 1 0")), "{place}"),
            message => {
                assert!(told(message).contains("would not survive a crash"), "{place}: {kept:?}");
                assert!(left.is_some(), "{place}: the one before is still there");
            }
        }
    });
    assert!(failures >= 20, "only {failures}");
}

#[test]
fn a_handout_is_said_to_be_written_when_it_is() {
    at_every_call(|failing, disk, place| {
        let (mut session, path, _, _kept) = session(disk);
        let (lesson, options) = (titled("start"), HandoutOptions::default());
        failing.arm();
        let write = FileEffect::WriteHandout(Box::new(lesson.clone()), options.clone(), Existing::Ask);
        let written = session.perform(write, &mut Jobs::at_once());
        failing.disarm();
        let there = fs::read_to_string(path.with_file_name("a.handout.txt")).ok();
        let whole = handout(&lesson, &options).to_text();
        match &written[..] {
            [Message::HandoutWritten(Ok(_)) | Message::HandoutReplaced(_)] => assert_eq!(there, Some(whole), "{place}"),
            [Message::HandoutWritten(Err(text))] => {
                assert!(
                    text.starts_with("no handout: ") && there.is_none_or(|there| there == whole),
                    "{place}: {text}"
                );
            }
            other => panic!("{place}: {other:?}"),
        }
    });
}

#[test]
fn what_was_thrown_away_stays_away_or_that_is_told() {
    let failures = at_every_call(|failing, disk, place| {
        let (mut session, path, folders, _kept) = session(disk);
        let mut jobs = Jobs::at_once();
        let change = retitle(&mut titled("start"), "one");
        session.perform(FileEffect::Journal(vec![change]), &mut jobs);
        session.perform(FileEffect::KeepDraft(Box::new(fingers("x 0 2 2 1 0"))), &mut jobs);
        failing.arm();
        let thrown = session.perform(FileEffect::Discard, &mut jobs);
        failing.disarm();
        drop(session);
        let (title, draft) = (open(&path).lesson.header.title, places(&path, &folders).left());
        match &thrown[..] {
            [Message::Discarded(Ok(()))] => assert_eq!((&title[..], draft), ("start", None), "{place}"),
            [Message::Discarded(Err(text))] => {
                assert!(title == "start" || text.contains("were not deleted"), "{place}: {text}");
                let both = draft.is_none() || text.contains("may come up again") || title == "one";
                assert!(both, "{place}: {text}");
            }
            other => panic!("{place}: {other:?}"),
        }
    });
    assert!(failures >= 8, "only {failures}");
}

#[test]
fn a_lesson_made_or_a_demo_copied_is_there_when_it_is_opened() {
    at_every_call(|failing, disk, place| {
        let home = TempDir::new().unwrap();
        let folders = Folders::under(home.path()).on(disk.clone());
        let mut session = Session::new(Some(folders)).making_lessons_in(home.path());
        let (instrument, tuning) = ("guitar".to_owned(), String::new());
        let wanted = NewLesson { title: "Porch".into(), template: String::new(), instrument, tuning };
        let demo = DEMOS.iter().min_by_key(|demo| demo.text.len()).unwrap();
        failing.arm();
        let made = session.perform(FileEffect::New(wanted), &mut Jobs::at_once());
        let copied = session.perform(FileEffect::OpenDemo(demo.name.to_owned()), &mut Jobs::at_once());
        failing.disarm();
        drop(session);
        let text = |opened: &[Message]| match opened.first() {
            Some(Message::Opened(Ok(opened))) => Some(fs::read_to_string(&opened.path).unwrap()),
            Some(Message::Opened(Err(text))) if !text.is_empty() => None,
            other => panic!("{place}: {other:?}"),
        };
        assert!(text(&made).is_none_or(|text| text.contains("Porch") && text.ends_with(")\n")), "{place}");
        assert!(text(&copied).is_none_or(|text| text == demo.text), "{place}");
    });
}

/// On another stick or in another folder, where the own one is full.
#[test]
fn a_lesson_that_is_said_to_be_saved_elsewhere_is_there() {
    let failures = at_every_call(|failing, disk, place| {
        let (mut session, path, _, kept) = session(disk);
        let there = kept[1].path().join("there.lesson.ron");
        let save = || FileEffect::SaveAt(Box::new(titled("mine").into()), there.clone());
        failing.arm();
        let saved = session.perform(save(), &mut Jobs::at_once());
        failing.disarm();
        match saved.last() {
            Some(Message::Saved(Ok(saved))) => {
                let is_there = fs::canonicalize(&saved.path).unwrap() == fs::canonicalize(&there).unwrap();
                assert!(is_there && lesson_file::load(&there).unwrap().lesson == titled("mine"), "{place}");
            }
            Some(Message::Saved(Err(text))) => {
                assert!(
                    !text.is_empty() && lesson_file::load(&path).unwrap().lesson == titled("start"),
                    "{place}: {text}"
                );
            }
            other => panic!("{place}: {other:?}"),
        }
    });
    assert!(failures >= 20, "only {failures}");
}

/// A second window has the lesson for reading only, and saves a copy of it beside.
#[test]
fn a_second_window_takes_no_draft_along_that_it_has_not_written() {
    let (mut first, path, folders, _kept) = session(&Disk::real());
    first.perform(FileEffect::KeepDraft(Box::new(fingers("x 0 2 2 1 0"))), &mut Jobs::at_once());
    let mut second = session_on(folders.clone(), &path);
    let saved =
        second.perform(FileEffect::Save(Box::new(titled("mine").into()), SaveAs::NewFile), &mut Jobs::at_once());
    assert!(matches!(saved.last(), Some(Message::Saved(Ok(_)))), "{saved:?}");
    assert_eq!(places(&path, &folders).left(), Some(fingers("x 0 2 2 1 0")));
    assert_eq!(places(&path.with_file_name("a 2.lesson.ron"), &folders).left(), None);
}

/// Another program renames or moves the lesson; its draft comes along, and a copy of the lesson leaves it where it is.
#[test]
fn the_draft_of_a_lesson_that_was_renamed_or_moved_is_found() {
    let written = fingers("x 0 2 2 1 0");
    let drafted =
        |told: &[Message]| told.iter().any(|message| matches!(message, Message::Drafted(draft) if **draft == written));
    let (mut session, path, folders, kept) = session(&Disk::real());
    session.perform(FileEffect::KeepDraft(Box::new(written.clone())), &mut Jobs::at_once());
    let open = |path: &Path| {
        let mut session = Session::new(Some(folders.clone()));
        let told = session.perform(FileEffect::Open(path.to_owned()), &mut Jobs::at_once());
        (session, told)
    };
    let (copy, renamed) = (path.with_file_name("copy.lesson.ron"), path.with_file_name("renamed.lesson.ron"));
    fs::copy(&path, &copy).unwrap();
    assert!(!drafted(&open(&copy).1), "the draft is that of the file beside it");
    fs::rename(&path, &renamed).unwrap();
    assert!(!drafted(&open(&copy).1), "a window has it open");
    drop(session);
    fs::remove_file(&copy).unwrap();
    // Killed at once, it is found a second time.
    assert!(drafted(&open(&renamed).1) && drafted(&open(&renamed).1));
    let moved = kept[1].path().join("moved.lesson.ron");
    fs::rename(&renamed, &moved).unwrap();
    let (mut session, told) = open(&moved);
    assert!(drafted(&told), "where it was opened before");
    session.perform(FileEffect::KeepDraft(Box::new(written.clone())), &mut Jobs::at_once());
    assert!(names_in(path.parent().unwrap()).is_empty(), "{:?}", names_in(path.parent().unwrap()));
    drop(session);
    fs::rename(&moved, &renamed).unwrap();
    let (mut session, told) = open(&renamed);
    assert!(drafted(&told));
    session.perform(FileEffect::KeepDraft(Box::default()), &mut Jobs::at_once());
    drop(session);
    assert!(!drafted(&open(&renamed).1), "what was answered does not come again");
}

#[test]
fn a_draft_that_could_not_be_kept_is_kept_as_soon_as_there_is_room_and_that_is_said() {
    let failing = Failing::new(How::FromThenOn(std::io::ErrorKind::StorageFull), 0);
    let (mut session, path, folders, _kept) = session(&failing.disk());
    let mut jobs = Jobs::at_once();
    failing.arm();
    let refused = session.perform(FileEffect::KeepDraft(Box::new(fingers("x 0 2 2 1 0"))), &mut jobs);
    assert!(told(refused.first()).contains("would not survive a crash"));
    assert!(session.waits_for_retry() && session.retry(&mut jobs).is_empty(), "it is told once");
    failing.disarm();
    assert!(matches!(session.retry(&mut jobs)[..], [Message::DraftMended]));
    assert!(!session.waits_for_retry());
    assert_eq!(places(&path, &folders).left(), Some(fingers("x 0 2 2 1 0")));
}

/// The first neck is drawn for the left hand, the second with string 1 at the bottom: each one thing more than before.
fn necks() -> [NeckSettings; 2] {
    let left = NeckSettings { left_handed: true, ..NeckSettings::default() };
    [left, NeckSettings { string_one: StringOne::Bottom, ..left }]
}

#[test]
fn settings_that_could_not_be_written_are_told_once_and_written_with_the_next() {
    let failing = Failing::new(How::FromThenOn(std::io::ErrorKind::StorageFull), 0);
    let (mut session, _, folders, _kept) = session(&failing.disk());
    let mut jobs = Jobs::at_once();
    let [first, second] = necks();
    failing.arm();
    let refused = session.perform(FileEffect::KeepNeckSettings(first), &mut jobs);
    assert!(told(refused.first()).contains("settings.ron: not saved"), "{refused:?}");
    assert!(session.perform(FileEffect::KeepTheme("dusk".into()), &mut jobs).is_empty(), "it is told once");
    assert!(session.retry(&mut jobs).is_empty());
    failing.disarm();
    assert!(session.perform(FileEffect::KeepNeckSettings(second), &mut jobs).is_empty());
    let kept = Settings::load(&folders).0;
    assert_eq!((kept.neck, &kept.theme[..]), (second, "dusk"), "nothing that was chosen meanwhile is missing");
}

#[test]
fn no_key_waits_for_another_window_that_is_writing_the_settings() {
    let (_folder, path) = folder_with_lesson();
    let home = TempDir::new().unwrap();
    let folders = Folders::under(home.path()).waiting(Patience::NONE);
    let Asked::Held(lock) = Lock::ask(&folders.settings()) else { panic!("it is free") };
    let (sender, heard) = mpsc::channel();
    let mut jobs = Jobs::by_hand(move |message| sender.send(message).unwrap());
    let mut session = Session::new(Some(folders.clone()));
    session.perform(FileEffect::Open(path), &mut jobs);
    let [first, _] = necks();
    assert!(session.perform(FileEffect::KeepNeckSettings(first), &mut jobs).is_empty());
    assert!(heard.try_recv().is_err(), "nobody has asked for the lock yet");
    jobs.begin();
    let messages: Vec<Message> = heard.try_iter().collect();
    let about = |message: &&Message| matches!(message, Message::Told(notice) if notice.text.contains("is changing it"));
    assert_eq!(messages.iter().filter(about).count(), 1, "{messages:?}");
    assert!(session.waits_for_retry());
    drop(lock);
    assert!(session.retry(&mut jobs).is_empty());
    jobs.begin();
    assert_eq!(Settings::load(&folders).0.neck, first);
}

#[test]
fn a_lesson_that_is_gone_is_forgotten_among_the_last_ones() {
    let (mut session, path, folders, _kept) = session(&Disk::real());
    let mut jobs = Jobs::at_once();
    assert_eq!(Settings::load(&folders).0.recent, std::slice::from_ref(&path));
    session.perform(FileEffect::Close(None), &mut jobs);
    fs::remove_file(&path).unwrap();
    let opened = session.perform(FileEffect::Open(path), &mut jobs);
    assert!(matches!(opened[..], [Message::Opened(Err(_))]), "{opened:?}");
    assert!(Settings::load(&folders).0.recent.is_empty());
}

#[test]
fn a_lesson_that_is_renamed_while_it_is_open_is_told_with_the_next_change_and_once() {
    let (mut session, path, _, _kept) = session(&Disk::real());
    let mut jobs = Jobs::at_once();
    let mut lesson = lesson_file::load(&path).unwrap().lesson;
    let mut change = || FileEffect::Journal(vec![retitle(&mut lesson, "another title")]);
    assert!(session.perform(change(), &mut jobs).is_empty());
    let renamed = path.with_file_name("renamed.lesson.ron");
    fs::rename(&path, &renamed).unwrap();
    let heard = session.perform(change(), &mut jobs);
    let said = "the file of this lesson is called renamed.lesson.ron now; {Desk(Save)} asks where to save";
    assert_eq!(heard.iter().map(|message| told(Some(message))).collect::<Vec<_>>(), [said]);
    assert!(session.perform(change(), &mut jobs).is_empty(), "once");
    fs::rename(&renamed, &path).unwrap();
    assert!(session.perform(change(), &mut jobs).is_empty());
    fs::remove_file(&path).unwrap();
    let heard = session.perform(change(), &mut jobs);
    assert!(told(heard.first()).contains("is gone: another program renamed, moved or deleted it"), "{heard:?}");
}

#[test]
fn no_draft_is_offered_in_a_lesson_that_is_for_reading_only() {
    let (mut first, path, folders, _kept) = session(&Disk::real());
    first.perform(FileEffect::KeepDraft(Box::new(fingers("x 0 2 2 1 0"))), &mut Jobs::at_once());
    let mut second = Session::new(Some(folders));
    let opened = second.perform(FileEffect::Open(path), &mut Jobs::at_once());
    assert!(matches!(opened.first(), Some(Message::Opened(Ok(_)))));
    assert!(!opened.iter().any(|message| matches!(message, Message::Drafted(_))), "{opened:?}");
}

#[test]
fn a_new_lesson_can_be_read_again() {
    let home = TempDir::new().unwrap();
    let mut session = Session::new(None).making_lessons_in(home.path());
    let wanted = NewLesson {
        title: "Porch".into(),
        template: String::new(),
        instrument: "guitar".into(),
        tuning: String::new(),
    };
    session.perform(FileEffect::New(wanted), &mut Jobs::at_once());
    assert_eq!(lesson_file::load(&home.path().join("porch.lesson.ron")).unwrap().lesson.header.title, "Porch");
}
