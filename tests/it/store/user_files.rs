//! The voicing library and the settings in the user's folders.

use std::fs;
use std::path::{Path, PathBuf};

use fingerpost::instrument::tuning::Capo;
use fingerpost::lesson::document::{Lesson, OwnedInstrument, Setup, Voicing};
use fingerpost::store::folders::Folders;
use fingerpost::store::lesson_file::LoadError;
use fingerpost::store::library::{Library, LibraryVoicing, TaughtIn};
use fingerpost::store::settings::Settings;
use fingerpost::text::paper::Paper;
use fingerpost::workbench::editing::rigs::standard_guitar;
use tempfile::TempDir;

use super::{names_in, titled};

fn folders() -> (TempDir, Folders) {
    let home = TempDir::new().unwrap();
    let folders = Folders::under(&home.path().join("not/there/yet"));
    (home, folders)
}

/// A voicing of standard tuning, taught in one lesson.
pub fn voicing(shape: &str, name: &str, tag: &str, lesson: &str) -> LibraryVoicing {
    LibraryVoicing {
        tags: vec![tag.to_owned()],
        taught_in: vec![TaughtIn { lesson: lesson.to_owned(), path: format!("{lesson}.lesson.ron") }],
        ..LibraryVoicing::plain(name, shape.parse().unwrap(), &standard_guitar())
    }
}

#[test]
fn voicings_are_kept_across_lessons_and_one_shape_is_kept_once() {
    let (_home, folders) = folders();
    assert_eq!(Library::load(&folders).unwrap(), Library::default());
    Library::keep(&folders, &[voicing("x 7 5 7 7 x", "Em9", "soul", "first")]).unwrap();
    let mut again = voicing("x 7 5 7 7 x", "Gmaj7", "rootless", "second");
    again.notes = "leave the thumb off".to_owned();
    Library::keep(&folders, &[again, voicing("5 x 5 6 7 x", "A13", "soul", "second")]).unwrap();

    let library = Library::load(&folders).unwrap();
    assert_eq!(library.voicings.len(), 2);
    let first = &library.voicings[0];
    assert_eq!(first.name, "Gmaj7");
    assert_eq!(first.readings, ["Gmaj7", "Em9"]);
    assert_eq!(first.tags, ["soul", "rootless"]);
    assert_eq!(first.notes, "leave the thumb off");
    assert_eq!(first.taught_in.iter().map(|taught| &taught.lesson[..]).collect::<Vec<_>>(), ["first", "second"]);
}

#[test]
fn the_same_shape_over_another_tuning_or_capo_is_another_voicing() {
    let mut library = Library::default();
    let plain = voicing("0 0 0 2 3 2", "D", "", "a");
    library.add(plain.clone());
    library.add(LibraryVoicing { tuning: "D2 A2 D3 G3 B3 E4".parse().unwrap(), ..plain.clone() });
    library.add(LibraryVoicing { capo: ron::from_str::<Capo>("(fret: 3)").ok(), ..plain.clone() });
    // Spelled in another way it sounds the same.
    library.add(LibraryVoicing { tuning: "Fb2 A2 D3 G3 B3 E4".parse().unwrap(), ..plain.clone() });
    assert_eq!(library.voicings.len(), 3);
    let mut merged = library.clone();
    merged.merge(library.clone());
    assert_eq!(merged, library);
}

#[test]
fn the_library_file_has_one_field_a_line() {
    let (_home, folders) = folders();
    Library::keep(&folders, &[voicing("x 7 5 7 7 x", "Em9", "soul", "a")]).unwrap();
    let text = fs::read_to_string(folders.library()).unwrap();
    insta::assert_snapshot!(text.lines().skip(3).take(9).collect::<Vec<_>>().join("\n"), @r#"
      voicings: [
        (
          name: "Em9",
          shape: "x 7 5 7 7 x",
          tuning: "E2 A2 D3 G3 B3 E4",
          instrument: "guitar",
          readings: ["Em9"],
          tags: ["soul"],
          taught_in: [(lesson: "a", path: "a.lesson.ron")],
    "#);
}

#[test]
fn a_voicing_of_a_lesson_takes_its_tuning_along() {
    let instrument: OwnedInstrument =
        ron::from_str(r#"(id: 1, body: (name: "guitar", strings: 6, frets: 22, scale: 648.0))"#).unwrap();
    let setup: Setup = ron::from_str(r#"(id: 1, name: "a", instrument: 1, tuning: "D2 A2 D3 G3 B3 E4")"#).unwrap();
    let voicing: Voicing = ron::from_str(r#"(id: 1, shape: "0 0 0 2 3 2", readings: ["D"])"#).unwrap();
    let lesson = Lesson { instruments: vec![instrument], setups: vec![setup], ..titled("Drop it") };
    let kept = LibraryVoicing::of_lesson(&lesson, &voicing, Path::new("drop.lesson.ron")).unwrap();
    assert_eq!((&kept.name[..], &kept.instrument[..]), ("D", "guitar"));
    assert_eq!(kept.tuning.to_string(), "D2 A2 D3 G3 B3 E4");
    assert_eq!(kept.taught_in, [TaughtIn { lesson: "Drop it".to_owned(), path: "drop.lesson.ron".to_owned() }]);
    assert_eq!(LibraryVoicing::of_lesson(&titled("no setup"), &voicing, Path::new("a")), None);
}

#[test]
fn a_broken_library_is_reported_and_never_written_over() {
    let (_home, folders) = folders();
    Library::keep(&folders, &[]).unwrap();
    let broken = "(format: 1, voicings: [(name: \"Em9\", shape: \"x 7 5 99 7 x\")])";
    fs::write(folders.library(), broken).unwrap();
    let error = Library::load(&folders).unwrap_err();
    assert_eq!(
        error.to_string(),
        format!(
            "{}:1:46: fret 99 at character 7 is past the end of any neck: the last is 36",
            folders.library().display()
        )
    );
    let refused = Library::keep(&folders, &[voicing("x 7 5 7 7 x", "Em9", "", "a")]).unwrap_err();
    assert!(refused.to_string().ends_with("; it is left as it is, and nothing is added to it"), "{refused}");
    assert_eq!(fs::read_to_string(folders.library()).unwrap(), broken);

    for newer in ["(format: 3, voicings: [])", "(format: 3, voicings: [(title: \"Em9\", frets: [\"x\", 7])])"] {
        fs::write(folders.library(), newer).unwrap();
        let found = Library::load(&folders);
        assert!(matches!(found, Err(LoadError::Newer { format: 3, newest: 2, .. })), "{newer}: {found:?}");
    }
}

#[test]
fn a_library_of_an_older_format_is_written_in_todays_with_its_words() {
    let (_home, folders) = folders();
    Library::keep(&folders, &[]).unwrap();
    let older =
        r#"(format: 1, voicings: [(name: "C", shape: "x 3 2 0 1 0", tuning: "E2 A2 D3 G3 B3 E4", doubts: [Unsure])])"#;
    fs::write(folders.library(), older).unwrap();
    Library::keep(&folders, &[voicing("x 7 5 7 7 x", "Em9", "", "a")]).unwrap();
    let text = fs::read_to_string(folders.library()).unwrap();
    assert!(text.contains("format: 2,") && text.contains("heard: [Unsure]") && !text.contains("doubts"), "{text}");
}

/// As an editor does, which asks for no lock.
#[test]
fn what_was_written_without_asking_for_the_lock_stays() {
    let (_home, folders) = folders();
    let mut theirs = Library::default();
    theirs.add(voicing("x 7 5 7 7 x", "Em9", "", "theirs"));
    let mut calls = 0;
    let library = Library::update(&folders, |library| {
        calls += 1;
        if calls == 1 {
            fs::write(folders.library(), ron::to_string(&theirs).unwrap()).unwrap();
        }
        library.add(voicing("5 x 5 6 7 x", "A13", "", "ours"));
    })
    .unwrap();
    assert_eq!(library.voicings.len(), 2);
    assert_eq!(Library::load(&folders).unwrap(), library);
    assert_eq!(calls, 2);
}

#[test]
fn settings_fall_back_to_defaults_and_are_kept() {
    let (_home, folders) = folders();
    let (settings, error) = Settings::load(&folders);
    assert!(error.is_none());
    assert_eq!(settings, Settings::default());
    Settings::update(&folders, |settings| settings.paper = Paper::Letter).unwrap();
    assert_eq!(Settings::load(&folders).0.paper, Paper::Letter);
    Settings::update(&folders, |settings| settings.neck.left_handed = true).unwrap();
    assert!(Settings::load(&folders).0.neck.left_handed);
    assert_eq!(Settings::load(&folders).0.paper, Paper::Letter);
    assert_eq!(names_in(folders.settings().parent().unwrap()), ["settings.ron"]);

    fs::write(folders.settings(), "(format: 1, speaking_rate: 10, paper: A4)").unwrap();
    let (settings, error) = Settings::load(&folders);
    assert_eq!(settings, Settings::default());
    assert!(error.unwrap().to_string().ends_with("expected 60 to 300 words a minute, got 10"));
    assert!(Settings::update(&folders, |settings| settings.paper = Paper::Letter).is_err());
    assert_eq!(fs::read_to_string(folders.settings()).unwrap(), "(format: 1, speaking_rate: 10, paper: A4)");

    // By hand, somebody writes only what differs.
    fs::write(folders.settings(), "(paper: Letter)").unwrap();
    assert_eq!(Settings::load(&folders).0.paper, Paper::Letter);
}

#[test]
fn how_long_the_rest_of_a_key_is_waited_for_is_set_by_hand_and_written_only_where_it_is_not_the_usual() {
    let home = tempfile::tempdir().unwrap();
    let folders = Folders::under(home.path());
    let wait = || Settings::load(&folders).0.escape_wait().as_millis();
    assert_eq!(wait(), 75);
    Settings::update(&folders, |settings| settings.neck.left_handed = true).unwrap();
    assert!(!fs::read_to_string(folders.settings()).unwrap().contains("escape_wait"));
    fs::write(folders.settings(), "(escape_wait: 0)").unwrap();
    Settings::update(&folders, |settings| settings.neck.left_handed = true).unwrap();
    assert_eq!(wait(), 0, "it is still there when something else has changed");
    fs::write(folders.settings(), "(escape_wait: 1001)").unwrap();
    let error = Settings::load(&folders).1.unwrap().to_string();
    assert!(error.ends_with("expected 0 to 1000 milliseconds, got 1001"), "{error}");
}

#[test]
fn the_last_twenty_lessons_are_remembered_the_latest_first() {
    let mut settings = Settings::default();
    for number in 0..30 {
        settings.remember(&PathBuf::from(format!("{number}.lesson.ron")));
    }
    settings.remember(Path::new("25.lesson.ron"));
    assert_eq!(settings.recent.len(), Settings::RECENT);
    assert_eq!(settings.last_lesson(), Some(Path::new("25.lesson.ron")));
    assert_eq!(settings.recent[1], Path::new("29.lesson.ron"));
    settings.forget(Path::new("25.lesson.ron"));
    assert_eq!(settings.last_lesson(), Some(Path::new("29.lesson.ron")));
}
