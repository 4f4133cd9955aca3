//! Lessons on disk: what is saved reads back, what is broken says where, nothing is lost.

use std::fs;
use std::path::Path;

use fingerpost::instrument::neck::{Fret, Shape, StringNumber};
use fingerpost::lesson::document::{Header, Lesson, Voicing};
use fingerpost::lesson::id::{LessonId, VoicingId};
use fingerpost::lesson::music::{Bar, Event, Note, Passage, Voice};
use fingerpost::lesson::time::{Length, NoteValue};
use fingerpost::store::atomic::{self, WriteError};
use fingerpost::store::fingerprint::Fingerprint;
use fingerpost::store::lesson_file::{self, LoadError, Loaded, Origin, Replace, SaveError};
use proptest::prelude::*;
use tempfile::TempDir;

use crate::arbitrary::any_lesson;

mod disk;
mod faults;
mod formats;
mod leftovers;
mod locks;
mod outside;
mod power;
mod session;
mod told;
mod user_files;
mod versions;
mod windows;

fn titled(title: &str) -> Lesson {
    let id = Some(LessonId::new([7; 10]));
    Lesson { id, header: Header { title: title.to_owned(), ..Header::default() }, ..Lesson::default() }
}

fn parse(text: &str) -> Result<Loaded, LoadError> {
    lesson_file::parse(Path::new("a.lesson.ron"), text.as_bytes())
}

/// Returns the names of everything in a folder, hidden files included.
fn names_in(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

/// Each file under `tests/lessons/broken` has one fault; the file beside it says what is reported.
///
/// Run with `UPDATE_MESSAGES=1` to write the messages anew, and read every one that changed.
#[test]
fn every_broken_lesson_is_reported_as_written_beside_it() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/lessons/broken");
    let names: Vec<String> = names_in(&folder).into_iter().filter(|name| name.ends_with(".lesson.ron")).collect();
    let mut wrong = Vec::new();
    for name in &names {
        let refused = lesson_file::parse(Path::new(name), &fs::read(folder.join(name)).unwrap());
        let report = refused.expect_err(name).report();
        let message = folder.join(name.replace(".lesson.ron", ".message"));
        if std::env::var_os("UPDATE_MESSAGES").is_some() {
            fs::write(&message, report.clone() + "\n").unwrap();
        }
        let expected = fs::read_to_string(&message).unwrap_or_default();
        if expected.trim_end() != report {
            wrong.push(format!("{name}\n--- expected\n{expected}\n--- reported\n{report}"));
        }
        assert!(!report.chars().any(|sign| sign.is_control() && sign != '\n'), "{name} reaches the terminal");
    }
    assert!(names.len() >= 60, "only {} files under {}", names.len(), folder.display());
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn a_saved_lesson_reads_back_equal_and_saves_the_same_again(lesson in any_lesson()) {
        let text = lesson_file::to_text(&lesson).unwrap();
        prop_assert!(text.ends_with("\n)\n"));
        let loaded = parse(&text).unwrap();
        prop_assert_eq!(&loaded.lesson, &lesson);
        prop_assert_eq!(loaded.origin, Origin::Current);
        prop_assert_eq!(lesson_file::to_text(&loaded.lesson).unwrap(), text);
    }

    #[test]
    fn any_text_in_a_title_reads_back(title in any::<String>(), note in "[\\\\\"'(),:\\[\\]\u{1b}\n\u{301}x]*") {
        let mut lesson = titled(&title);
        lesson.header.rights = note;
        prop_assert_eq!(parse(&lesson_file::to_text(&lesson).unwrap()).unwrap().lesson, lesson);
    }

    #[test]
    fn a_file_with_windows_line_ends_and_a_byte_order_mark_reads_the_same(lesson in any_lesson()) {
        let text = lesson_file::to_text(&lesson).unwrap();
        prop_assert_eq!(parse(&format!("\u{feff}{}", text.replace('\n', "\r\n"))).unwrap().lesson, lesson);
    }

    /// Whatever happens to a file, it is read or refused with a message; it never panics.
    #[test]
    fn a_damaged_file_never_panics(
        lesson in any_lesson(),
        damage in prop::collection::vec((any::<prop::sample::Index>(), any::<prop::sample::Index>(), any::<u8>(), 0..4u8), 1..4),
    ) {
        let mut bytes = lesson_file::to_text(&lesson).unwrap().into_bytes();
        for (place, other, byte, kind) in damage {
            let (from, to) = (place.index(bytes.len()), other.index(bytes.len()));
            match kind {
                0 => bytes[from] = byte,
                1 => bytes.truncate(from.max(1)),
                2 => bytes.swap(from, to),
                _ => {
                    let piece = bytes[from.min(to)..from.max(to)].to_vec();
                    bytes.splice(to..to, piece);
                }
            }
        }
        if let Err(error) = lesson_file::parse(Path::new("a.lesson.ron"), &bytes) {
            prop_assert!(!error.report().chars().any(|sign| sign.is_control() && sign != '\n'));
        }
    }
}

/// Returns a lesson of one passage with `bars` bars of eight picked sixteenths and a chord.
fn lesson_of_bars(bars: usize) -> Lesson {
    let note = |string, fret| Note::plain(StringNumber::new(string).unwrap(), Fret::new(fret).unwrap());
    let eighth = Length::plain(NoteValue::Eighth);
    let bar = |number: usize| {
        let fret = u8::try_from(number % 12).unwrap();
        let events = (0..8).map(|_| Event::notes(eighth, vec![note(3, fret), note(2, fret), note(1, fret)]));
        Bar { voices: vec![Voice(events.collect())], ..Bar::default() }
    };
    let passage = Passage {
        id: fingerpost::lesson::id::PassageId(1),
        title: "long".to_owned(),
        piece: None,
        setup: None,
        key: None,
        meter: "4/4".parse().unwrap(),
        tempo: "1/4=92".parse().unwrap(),
        feel: Default::default(),
        bars: (0..bars).map(bar).collect(),
    };
    Lesson { passages: vec![passage], ..titled("long") }
}

/// Returns how many lines of `after` are not lines of `before` at their place, ends cut off.
fn changed_lines(before: &str, after: &str) -> usize {
    let (before, after): (Vec<&str>, Vec<&str>) = (before.lines().collect(), after.lines().collect());
    let same_start = before.iter().zip(&after).take_while(|(a, b)| a == b).count();
    let same_end = before.iter().rev().zip(after.iter().rev()).take_while(|(a, b)| a == b).count();
    after.len().max(before.len()).saturating_sub(same_start + same_end.min(after.len().min(before.len()) - same_start))
}

#[test]
fn a_change_to_one_thing_changes_few_lines() {
    let before = lesson_of_bars(40);
    let text = lesson_file::to_text(&before).unwrap();
    let mut lesson = before.clone();
    lesson.passages[0].bars[20].voices[0].0[3].notes[1].fret = Fret::new(17).unwrap();
    assert_eq!(changed_lines(&text, &lesson_file::to_text(&lesson).unwrap()), 1);
    lesson = before.clone();
    lesson.passages[0].bars[20].repeat_start = true;
    assert_eq!(changed_lines(&text, &lesson_file::to_text(&lesson).unwrap()), 1);
    lesson = before.clone();
    lesson.header.title = "another".to_owned();
    assert_eq!(changed_lines(&text, &lesson_file::to_text(&lesson).unwrap()), 1);
    lesson = before;
    lesson.voicings.push(Voicing {
        id: VoicingId(1),
        shape: Shape::new(vec![None, Fret::new(7), Fret::new(5), Fret::new(7), Fret::new(7), None]).unwrap(),
        doubts: vec![],
        setup: None,
        readings: vec!["Em9".to_owned()],
        fingers: vec![],
        barre: None,
        tags: vec![],
        notes: String::new(),
    });
    assert_eq!(
        changed_lines(&text, &lesson_file::to_text(&lesson).unwrap()),
        3,
        "the list's two brackets and the item"
    );
}

#[test]
fn the_layout_is_one_thing_a_line() {
    let text = lesson_file::to_text(&lesson_of_bars(1)).unwrap();
    let excerpt: Vec<&str> = text.lines().skip(9).take(12).collect();
    insta::assert_snapshot!(excerpt.join("\n"), @r#"
        passages: [
          (
            id: 1,
            title: "long",
            time_signature: "4/4",
            tempo: "1/4=92",
            bars: [
              (
                voices: [[
                  (length: "1/8", notes: [(string: 3, fret: 0), (string: 2, fret: 0), (string: 1, fret: 0)]),
                  (length: "1/8", notes: [(string: 3, fret: 0), (string: 2, fret: 0), (string: 1, fret: 0)]),
                  (length: "1/8", notes: [(string: 3, fret: 0), (string: 2, fret: 0), (string: 1, fret: 0)]),
    "#);
}

#[test]
fn a_lesson_of_ten_thousand_bars_fits_several_times_over() {
    let lesson = lesson_of_bars(500);
    let text = lesson_file::to_text(&lesson).unwrap();
    assert!((text.len() as u64) * 20 < lesson_file::LARGEST / 2, "{} bytes", text.len());
    assert_eq!(parse(&text).unwrap().lesson, lesson);
}

/// So that the first save of a demo changes what the teacher changed, and nothing else.
#[test]
fn the_demo_lessons_lie_on_disk_as_they_are_saved() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-lessons");
    for name in names_in(&folder).iter().filter(|name| name.ends_with(".lesson.ron")) {
        let text = fs::read_to_string(folder.join(name)).unwrap();
        let saved = lesson_file::to_text(&lesson_file::load(&folder.join(name)).unwrap().lesson).unwrap();
        assert_eq!(changed_lines(&text, &saved), 0, "{name}");
    }
}

#[test]
fn deep_nesting_is_an_error_and_no_stack_overflow() {
    for open in ["(", "[", "{", "(a:", "(lesson:(header:(title:[", "/*"] {
        let text = open.repeat(100_000);
        assert!(parse(&text).is_err(), "{open}");
        assert!(parse(&format!("(format: 1, lesson: {text}")).is_err(), "{open}");
        assert!(parse(&format!("(format: 1, lesson: (header: (title: {text}")).is_err(), "{open}");
    }
}

#[test]
fn links_to_nothing_and_identities_given_twice_are_read() {
    let text = r#"(format: 1, lesson: (
        header: (title: "a"),
        segments: [
            (id: 1, kind: Talk, title: "x", planned: "1:00", pieces: [99]),
            (id: 1, kind: Talk, title: "y", planned: "1:00"),
        ],
    ))"#;
    assert_eq!(parse(text).unwrap().lesson.segments.len(), 2);
}

#[test]
fn a_newer_file_that_still_reads_is_for_reading_only() {
    let text = lesson_file::to_text(&titled("a")).unwrap().replace("format: 4", "format: 5");
    assert_eq!(parse(&text).unwrap().origin, Origin::Newer { format: 5 });
    let error = parse(&text.replace("title", "heading")).unwrap_err();
    assert_eq!(error.to_string(), "a.lesson.ron: the file version is 5, and this program reads up to 4");
}

#[test]
fn what_is_no_lesson_file_is_refused_by_name() {
    let folder = TempDir::new().unwrap();
    let message = |path: &Path| {
        let message = lesson_file::load(path).unwrap_err().to_string();
        message.strip_prefix(&format!("{}: ", path.display())).unwrap().to_owned()
    };
    assert_eq!(message(&folder.path().join("gone.lesson.ron")), "there is no such file");
    assert_eq!(message(&folder.path().join("gone/a.lesson.ron")), "there is no such file");
    assert_eq!(message(folder.path()), "this is a folder, not a file");
    let large = folder.path().join("large.lesson.ron");
    // Fifty million bytes, though none of them is on the disk.
    fs::File::create(&large).unwrap().set_len(50_000_000).unwrap();
    assert_eq!(message(&large), "the file is larger than 32 MB and is not read");
    #[cfg(target_os = "linux")]
    assert_eq!(message(Path::new("/dev/null")), "this is a device or a pipe, not a file");
    assert_eq!(names_in(folder.path()), ["large.lesson.ron"], "nothing was written");
}

#[test]
fn saving_replaces_only_what_it_was_told_to() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("a.lesson.ron");
    let first = lesson_file::save(&path, &titled("first"), Replace::Nothing).unwrap();
    assert!(matches!(lesson_file::save(&path, &titled("x"), Replace::Nothing), Err(SaveError::Exists { .. })));
    let second = lesson_file::save(&path, &titled("second"), Replace::Unchanged(first)).unwrap();
    assert_eq!(lesson_file::load(&path).unwrap().fingerprint, second);

    fs::write(&path, "by another program").unwrap();
    let refused = lesson_file::save(&path, &titled("third"), Replace::Unchanged(second)).unwrap_err();
    assert!(matches!(refused, SaveError::ChangedOnDisk { .. }), "{refused}");
    assert_eq!(fs::read_to_string(&path).unwrap(), "by another program");
    lesson_file::save(&path, &titled("third"), Replace::Anything).unwrap();
    assert_eq!(lesson_file::load(&path).unwrap().lesson, titled("third"));

    fs::remove_file(&path).unwrap();
    let refused = lesson_file::save(&path, &titled("x"), Replace::Unchanged(second)).unwrap_err();
    assert!(matches!(refused, SaveError::Gone { .. }), "{refused}");
    assert!(names_in(folder.path()).is_empty());
}

#[test]
fn a_save_that_fails_half_way_leaves_the_old_file_and_no_litter() {
    use std::io::{self, Write};
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("a.lesson.ron");
    fs::write(&path, "old").unwrap();
    let failed = atomic::replace_with(&path, |file| {
        file.write_all(b"half of the n")?;
        Err(io::ErrorKind::StorageFull.into())
    });
    assert!(matches!(failed, Err(WriteError::DiskFull { .. })), "{failed:?}");
    assert_eq!(fs::read_to_string(&path).unwrap(), "old");
    assert_eq!(names_in(folder.path()), ["a.lesson.ron"]);
}

#[test]
fn a_write_protected_file_and_a_missing_folder_are_refused() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("a.lesson.ron");
    fs::write(&path, "old").unwrap();
    let mut permissions = fs::metadata(&path).unwrap().permissions();
    permissions.set_readonly(true);
    fs::set_permissions(&path, permissions).unwrap();
    let refused = lesson_file::save(&path, &titled("x"), Replace::Anything).unwrap_err();
    assert_eq!(refused.to_string(), format!("{}: not saved: the file is write-protected", path.display()));
    assert_eq!(fs::read_to_string(&path).unwrap(), "old");
    assert_eq!(names_in(folder.path()), ["a.lesson.ron"]);

    let refused =
        lesson_file::save(&folder.path().join("no/a.lesson.ron"), &titled("x"), Replace::Nothing).unwrap_err();
    assert!(refused.to_string().ends_with("not saved: its folder is not there"), "{refused}");
    let refused = lesson_file::save(folder.path(), &titled("x"), Replace::Anything).unwrap_err();
    assert!(refused.to_string().ends_with("not saved: it is not a file"), "{refused}");
}

#[cfg(unix)]
#[test]
fn saving_keeps_permissions_and_symbolic_links() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let folder = TempDir::new().unwrap();
    let (file, link) = (folder.path().join("a.lesson.ron"), folder.path().join("link.lesson.ron"));
    lesson_file::save(&file, &titled("first"), Replace::Nothing).unwrap();
    fs::set_permissions(&file, fs::Permissions::from_mode(0o640)).unwrap();
    symlink("a.lesson.ron", &link).unwrap();
    lesson_file::save(&link, &titled("second"), Replace::Anything).unwrap();
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    assert_eq!(lesson_file::load(&file).unwrap().lesson, titled("second"));
    assert_eq!(fs::metadata(&file).unwrap().permissions().mode() & 0o777, 0o640);

    // A link to a file that is not there yet makes that file.
    symlink("b.lesson.ron", folder.path().join("dangling.lesson.ron")).unwrap();
    lesson_file::save(&folder.path().join("dangling.lesson.ron"), &titled("third"), Replace::Anything).unwrap();
    assert_eq!(lesson_file::load(&folder.path().join("b.lesson.ron")).unwrap().lesson, titled("third"));
    assert_eq!(Fingerprint::of(&fs::read(&file).unwrap()), lesson_file::load(&link).unwrap().fingerprint);
}
