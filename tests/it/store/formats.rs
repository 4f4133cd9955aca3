//! Files of format 1 under today's format, and the identity that every lesson has.

use std::fs;
use std::path::{Path, PathBuf};

use fingerpost::lesson::document::{Header, Lesson};
use fingerpost::lesson::edit::Edit;
use fingerpost::lesson::history::{Reason, Transaction};
use fingerpost::lesson::id::LessonId;
use fingerpost::store::demos::DEMOS;
use fingerpost::store::formats::{LESSON_FORMAT, RENAMED_WORDS};
use fingerpost::store::lesson_file::{self, Loaded, Origin, Replace};
use fingerpost::store::open_lesson::{FormatRenewal, OpenLesson, Opened, SavedState};
use serde::Deserialize;
use tempfile::TempDir;

use super::{names_in, titled};

/// Returns the lesson files of format 1: those of the corpus, beside journals too.
fn files_of_format_1() -> Vec<PathBuf> {
    let corpus = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/corpus/format-1");
    let mut folders = vec![corpus.join("lessons")];
    folders.extend(fs::read_dir(corpus.join("journals")).unwrap().map(|folder| folder.unwrap().path()));
    let files = folders.iter().flat_map(|folder| fs::read_dir(folder).unwrap()).map(|file| file.unwrap().path());
    let files: Vec<PathBuf> = files.filter(|path| path.to_string_lossy().ends_with(".lesson.ron")).collect();
    assert!(files.len() >= 12, "{files:?}");
    files
}

fn load(path: &Path) -> Loaded {
    lesson_file::load(path).unwrap_or_else(|error| panic!("{}", error.report()))
}

/// What a file says by its words alone, without the code that brings it up to date.
fn by_its_words(path: &Path) -> Lesson {
    #[derive(Deserialize)]
    struct Document {
        format: u32,
        lesson: Lesson,
    }
    let text = fs::read_to_string(path).unwrap();
    let options = ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
    let document: Document = options.from_str(text.trim_start_matches('\u{feff}')).unwrap();
    assert_eq!(document.format, 1, "{}", path.display());
    document.lesson
}

#[test]
fn every_file_of_format_1_means_what_it_meant_and_is_saved_in_todays() {
    for path in files_of_format_1() {
        let loaded = load(&path);
        assert_eq!(loaded.origin, Origin::Older { format: 1 });
        assert_eq!(Lesson { id: None, ..loaded.lesson.clone() }, by_its_words(&path), "{}", path.display());
        let text = lesson_file::to_text(&loaded.lesson).unwrap();
        let again = lesson_file::parse(&path, text.as_bytes()).unwrap();
        assert_eq!((&again.lesson, again.origin), (&loaded.lesson, Origin::Current), "{}", path.display());
        // What the program itself wrote differs in the format, the identity and the words that were renamed, but for the
        // line at the top and where lines break.
        if !path.ends_with("by-hand.lesson.ron") {
            let before = fs::read_to_string(&path).unwrap();
            let id = text.lines().find(|line| line.starts_with("    id: \"")).unwrap();
            let now = unbroken(&text.replacen(id, "", 1));
            let (format, old) = (format!("(format:{LESSON_FORMAT},"), unbroken(&words_of_today(&before)));
            assert!(now.starts_with(&format), "{now}");
            assert!(now.replacen(&format, "(format:1,", 1) == old, "{}:\n{now}\n{old}", path.display());
        }
    }
}

/// Returns a file without its first line, blanks and the commas before closing brackets.
fn unbroken(text: &str) -> String {
    let all: String = text.lines().skip(1).flat_map(str::chars).filter(|sign| !sign.is_whitespace()).collect();
    all.replace(",)", ")").replace(",]", "]")
}

/// Puts the words of today in the place of the older ones, in all but texts. `tuning` had another meaning, so it goes
/// first.
fn words_of_today(text: &str) -> String {
    let outside_of_texts = |(number, part): (usize, &str)| {
        let words = part.split_inclusive(|sign: char| !sign.is_ascii_alphanumeric());
        let renamed = words.map(|word| {
            let bare = word.trim_end_matches(|sign: char| !sign.is_ascii_alphanumeric());
            let now = match bare {
                "tuning" => Some("strings"),
                _ => RENAMED_WORDS.iter().find(|(older, _)| *older == bare).map(|(_, today)| *today),
            };
            now.map_or_else(|| word.to_owned(), |now| word.replacen(bare, now, 1))
        });
        if number % 2 == 0 { renamed.collect() } else { part.to_owned() }
    };
    // A quote within a text does not end it.
    const QUOTE: (&str, &str) = ("\\\"", "\u{1}");
    let parts = text.replace(QUOTE.0, QUOTE.1);
    let today = parts.split('"').enumerate().map(outside_of_texts).collect::<Vec<String>>().join("\"");
    today.replace(QUOTE.1, QUOTE.0)
}

/// Opens a lesson as the workbench does.
fn open(path: &Path) -> Opened {
    OpenLesson::open(path).unwrap_or_else(|error| panic!("{}", error.report()))
}

#[test]
fn a_lesson_of_format_1_is_the_same_one_on_every_machine_and_stays_it() {
    let old = files_of_format_1().into_iter().find(|path| path.ends_with("ukulele-strum.lesson.ron")).unwrap();
    let text = fs::read_to_string(&old).unwrap();
    let identity = load(&old).lesson.id.unwrap();
    for content in [text.clone(), text.replace('\n', "\r\n"), format!("\u{feff}{text}")] {
        let folder = TempDir::new().unwrap();
        let path = folder.path().join("mine.lesson.ron");
        fs::write(&path, &content).unwrap();
        let Opened { mut lesson, file, .. } = open(&path);
        assert_eq!(lesson.id, Some(identity));
        drop(file);
        assert_eq!(fs::read_to_string(&path).unwrap(), content, "opening changes nothing");
        assert_eq!(names_in(folder.path()), ["mine.lesson.ron"]);

        let mut file = open(&path).file;
        lesson.header.title.push('!');
        file.save(&lesson).unwrap();
        assert!(fs::read_to_string(&path).unwrap().contains(&format!("\n    id: \"{identity}\",\n")));
        let other = folder.path().join("beside.lesson.ron");
        file.save_as(&other, &lesson, Replace::Nothing).unwrap();
        drop(file);
        assert_eq!([&path, &other].map(|path| load(path).lesson.id), [Some(identity); 2]);
    }
}

#[test]
fn the_save_that_changes_the_format_of_a_file_says_so_and_no_other() {
    let old = files_of_format_1().into_iter().find(|path| path.ends_with("ukulele-strum.lesson.ron")).unwrap();
    for way in [OpenLesson::save, OpenLesson::overwrite] {
        let folder = TempDir::new().unwrap();
        let path = folder.path().join("mine.lesson.ron");
        fs::copy(&old, &path).unwrap();
        let Opened { lesson, mut file, .. } = open(&path);
        assert_eq!(file.notices(), [], "nothing is lost by opening it");
        // A new file beside it leaves the old one as it is.
        assert_eq!(
            file.save_as(&folder.path().join("b.lesson.ron"), &lesson, Replace::Nothing).unwrap(),
            FormatRenewal::No
        );
        drop(file);
        assert_eq!(fs::read(&path).unwrap(), fs::read(&old).unwrap());
        let mut file = open(&path).file;
        assert_eq!([0; 2].map(|_| way(&mut file, &lesson).unwrap()), [FormatRenewal::FromOlder, FormatRenewal::No]);
        drop(file);
        assert_eq!(way(&mut open(&path).file, &lesson).unwrap(), FormatRenewal::No);
    }
}

#[test]
fn no_change_makes_it_another_lesson_whichever_version_wrote_the_journal() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("porch.lesson.ron");
    let corpus = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/corpus/format-1/journals/unsaved");
    for name in ["porch.lesson.ron", ".porch.lesson.ron.journal"] {
        fs::copy(corpus.join(name), folder.path().join(name)).unwrap();
    }
    let identity = load(&path).lesson.id;
    let Opened { lesson, mut file, state } = open(&path);
    assert_eq!((lesson.id, state), (identity, SavedState::Unsaved));
    assert_ne!(lesson.header, load(&path).lesson.header, "the journal replaces the header");
    file.save(&lesson).unwrap();
    drop(file);
    let Opened { mut lesson, mut file, state } = open(&path);
    assert_eq!((lesson.id, state), (identity, SavedState::Saved));
    let change = Transaction::one(Reason::EditHeader, Edit::Header(Header::default()));
    lesson.apply_all(change.edits.clone()).unwrap();
    file.record(&change).unwrap();
    drop(file);
    let opened = open(&path);
    assert_eq!((opened.lesson.id, opened.lesson.header), (identity, Header::default()));
}

#[test]
fn a_file_written_by_hand_needs_no_identity_and_a_wrong_one_is_told() {
    let text = "(format: 4, lesson: (header: (title: \"a\")))";
    let read = |text: &str| lesson_file::parse(Path::new("a.lesson.ron"), text.as_bytes());
    let loaded = read(text).unwrap();
    assert_eq!(loaded.origin, Origin::Current);
    assert_eq!(read(text).unwrap().lesson.id, loaded.lesson.id);
    assert_ne!(read(&text.replace("\"a\"", "\"b\"")).unwrap().lesson.id, loaded.lesson.id);
    let stated = text.replace("lesson: (", "lesson: (id: \"7k3m-q2xf-9dwb-r8tz\", ");
    assert_eq!(read(&stated).unwrap().lesson.id.unwrap().to_string(), "7k3m-q2xf-9dwb-r8tz");
    let refused = read(&stated.replace("7k3m", "mine")).unwrap_err();
    let told = "expected the identity of a lesson, four groups of letters and digits as in `7k3m-q2xf-9dwb-r8tz`";
    assert!(refused.to_string().contains(told), "{refused}");
}

#[test]
fn a_lesson_that_has_no_identity_yet_is_saved_as_it_is() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("a.lesson.ron");
    lesson_file::save(&path, &Lesson { id: None, ..titled("a") }, Replace::Nothing).unwrap();
    assert!(!fs::read_to_string(&path).unwrap().contains("id:"));
    assert!(load(&path).lesson.id.is_some());
}

#[test]
fn every_demo_is_a_lesson_of_its_own_and_its_copies_are_that_lesson() {
    let mut identities: Vec<LessonId> = Vec::new();
    for demo in DEMOS {
        let loaded = lesson_file::parse(Path::new(demo.name), demo.text.as_bytes()).unwrap();
        assert_eq!(loaded.origin, Origin::Current);
        let identity = loaded.lesson.id.unwrap();
        assert!(demo.text.contains(&format!("    id: \"{identity}\",\n")), "{} states it", demo.name);
        identities.push(identity);
    }
    identities.sort_unstable();
    identities.dedup();
    assert_eq!(identities.len(), DEMOS.len());
}
