//! Two windows that write the same library and the same settings: what either has written is there.

use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::Barrier;
use std::thread;

use fingerpost::instrument::hand::HandSize;
use fingerpost::store::folders::Folders;
use fingerpost::store::library::{Library, LibraryChange, LibraryVoicing};
use fingerpost::store::lock::{Asked, Lock};
use fingerpost::store::settings::{ListeningSettings, NeckSettings, Settings};
use fingerpost::store::user_file::Patience;
use fingerpost::workbench::jobs::queue::Jobs;
use fingerpost::workbench::messages::effect::{FileEffect, LibraryOrder};
use fingerpost::workbench::messages::message::Message;
use fingerpost::workbench::messages::notice::Notice;
use fingerpost::workbench::runtime::session::Session;
use tempfile::TempDir;

use super::names_in;
use super::user_files::voicing;

/// How many voicings each of two windows keeps.
const EACH: usize = 40;

fn window_on(folders: &Folders) -> Session {
    Session::new(Some(folders.clone()))
}

/// Keeps a voicing and returns what the window is told.
fn keep(window: &mut Session, voicing: LibraryVoicing) -> Message {
    let order = Box::new(LibraryOrder::Keep(voicing));
    let mut told = window.perform(FileEffect::ChangeLibrary(order, Notice::done("kept")), &mut Jobs::at_once());
    assert_eq!(told.len(), 1, "{told:?}");
    told.remove(0)
}

/// Keeps as many voicings as a window keeps, no two of them the same, and takes a theme for each.
fn keep_many(folders: &Folders, window: usize) {
    let mut session = window_on(folders);
    for number in 0..EACH {
        let shape = format!("{} {} x x x x", number % 20, number / 20 + 2 * window);
        let told = keep(&mut session, voicing(&shape, "X", "", "a"));
        assert!(matches!(&told, Message::LibraryKept(..)), "{told:?}");
        let told = session.perform(FileEffect::KeepTheme(format!("{window}-{number}")), &mut Jobs::at_once());
        assert!(told.is_empty(), "{told:?}");
    }
}

#[track_caller]
fn assert_all_there(home: &Path) {
    let kept = Library::load(&Folders::under(home)).unwrap().voicings;
    assert_eq!(kept.len(), 2 * EACH);
    assert_eq!(names_in(home), ["library.ron", "settings.ron"], "nothing is left behind");
}

#[test]
fn eighty_voicings_that_two_windows_keep_at_the_same_moment_are_all_there() {
    let home = TempDir::new().unwrap();
    let folders = Folders::under(home.path());
    let start = Barrier::new(2);
    let (start, folders) = (&start, &folders);
    thread::scope(|scope| {
        for window in 0..2 {
            scope.spawn(move || {
                start.wait();
                keep_many(folders, window);
            });
        }
    });
    assert_all_there(home.path());
}

/// The other half of the next test: one of two windows.
#[test]
fn a_window_that_keeps_voicings() {
    let Some(home) = std::env::var_os("FINGERPOST_TEST_WINDOW_HOME") else { return };
    let window = std::env::var("FINGERPOST_TEST_WINDOW").unwrap().parse().unwrap();
    println!("ready");
    std::io::stdin().read_line(&mut String::new()).unwrap();
    keep_many(&Folders::under(Path::new(&home)), window);
}

#[test]
fn eighty_voicings_that_two_processes_keep_at_the_same_moment_are_all_there() {
    use std::io::{BufRead, BufReader, Write};
    let home = TempDir::new().unwrap();
    let start = |window: usize| -> Child {
        let mut window = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "store::windows::a_window_that_keeps_voicings", "--nocapture"])
            .env("FINGERPOST_TEST_WINDOW_HOME", home.path())
            .env("FINGERPOST_TEST_WINDOW", window.to_string())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(window.stdout.as_mut().unwrap()).lines().map_while(Result::ok);
        assert!(lines.any(|line| line.ends_with("ready")));
        window
    };
    let mut windows = [start(0), start(1)];
    for window in &mut windows {
        window.stdin.take().unwrap().write_all(b"go\n").unwrap();
    }
    for mut window in windows {
        // What is read no more would stop whoever writes it.
        std::io::copy(window.stdout.as_mut().unwrap(), &mut std::io::sink()).unwrap();
        assert!(window.wait().unwrap().success());
    }
    assert_all_there(home.path());
}

#[test]
fn a_library_that_another_window_does_not_let_go_of_is_left_as_it_is_and_that_is_told() {
    let home = TempDir::new().unwrap();
    let folders = Folders::under(home.path()).waiting(Patience::NONE);
    Library::keep(&folders, &[voicing("x 7 5 7 7 x", "Em9", "", "a")]).unwrap();
    let before = std::fs::read(folders.library()).unwrap();
    let Asked::Held(lock) = Lock::ask(&folders.library()) else { panic!("nobody else has it") };
    let mut window = window_on(&folders);
    let Message::LibraryChanged(Err(text)) = keep(&mut window, voicing("5 x 5 6 7 x", "A13", "", "b")) else {
        panic!("it is not kept");
    };
    assert!(text.starts_with("not in the library: "), "{text}");
    assert!(text.contains("library.ron: not saved, because another window (process "), "{text}");
    assert!(text.ends_with("is changing it; try again; if that does not help, close the other window"), "{text}");
    assert_eq!(std::fs::read(folders.library()).unwrap(), before);
    drop(lock);
    assert!(matches!(keep(&mut window, voicing("5 x 5 6 7 x", "A13", "", "b")), Message::LibraryKept(..)));
}

#[test]
fn what_two_windows_choose_one_after_the_other_holds_for_both() {
    let home = TempDir::new().unwrap();
    let folders = Folders::under(home.path());
    let (mut one, mut other) = (window_on(&folders), window_on(&folders));
    let neck = NeckSettings { left_handed: true, ..NeckSettings::default() };
    one.perform(FileEffect::KeepNeckSettings(neck), &mut Jobs::at_once());
    one.keep_listening(&ListeningSettings { volume: 80, ..ListeningSettings::default() }, &mut Jobs::at_once());
    let neck = NeckSettings { hand: HandSize::Small, ..NeckSettings::default() };
    other.perform(FileEffect::KeepNeckSettings(neck), &mut Jobs::at_once());
    other.keep_listening(
        &ListeningSettings { sound: "overdriven".to_owned(), ..ListeningSettings::default() },
        &mut Jobs::at_once(),
    );
    let kept = Settings::load(&folders).0;
    assert_eq!((kept.neck.left_handed, kept.neck.hand), (true, HandSize::Small));
    assert_eq!((kept.listening.volume, kept.listening.sound.as_str()), (80, "overdriven"));
}

#[test]
fn what_two_windows_change_about_one_voicing_comes_together() {
    let known = voicing("x 7 5 7 7 x", "Em9", "soul", "a");
    let changed = |change: fn(&mut LibraryVoicing)| {
        let mut voicing = known.clone();
        change(&mut voicing);
        LibraryChange { out: vec![(0, known.clone())], put: vec![(0, voicing)] }
    };
    let ours = changed(|voicing| {
        voicing.tags = vec!["soul".to_owned(), "slow".to_owned()];
        voicing.notes = "thumb off".to_owned();
        voicing.name = "Em9 high".to_owned();
    });
    let theirs = changed(|voicing| {
        voicing.tags = vec!["late".to_owned()];
        voicing.notes = "let it ring".to_owned();
        voicing.instrument = "eight strings".to_owned();
    });
    let mut library = Library::default();
    library.add(known.clone());
    library.change(&theirs);
    library.change(&ours);
    let [voicing] = &library.voicings[..] else { panic!("{library:?}") };
    assert_eq!(voicing.tags, ["slow", "late"]);
    assert_eq!((&voicing.name[..], &voicing.instrument[..]), ("Em9 high", "eight strings"));
    assert_eq!(voicing.notes, "thumb off\nlet it ring");
}
