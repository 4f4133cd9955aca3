//! The words that were given up stay away from everything that a person reads.
//!
//! They are the last column of the glossary in DEVELOPERS.md, so that table and test cannot drift apart.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use clap::CommandFactory;
use fingerpost::cli::args::CommandLine;
use fingerpost::lesson::document::Lesson;
use fingerpost::store::demos::DEMOS;
use fingerpost::store::formats::LESSON_FORMAT;
use fingerpost::store::lesson_file::parse;
use fingerpost::tab::handout::handout;
use fingerpost::tab::handout::options::{HandoutOptions, UnusedMusic};
use fingerpost::text::charset::Charset;
use fingerpost::workbench::keys::action::Pane;
use fingerpost::workbench::keys::table::KeyTable;

use crate::architecture::text;
use crate::workbench::bench::Bench;

/// Where a word that was given up may stand in the source all the same: the file, the word, and why.
const IN_SOURCE: &[(&str, &str, &str)] = &[
    ("src/cli/args.rs", "\"columns\"", "the older name of an option is still read"),
    ("src/cli/args.rs", "meter", "the older name of an option is still read"),
    ("src/lesson/segment.rs", "\"slowly\"", "the older word for a kind is still read"),
    ("src/store/explanation.rs", "\"event\"", "a name in lesson files"),
    ("src/store/explanation.rs", "setup", "the name of a type, not seen"),
    ("src/lesson/segment.rs", "\"again\"", "an older name in lesson files is still read"),
    ("src/lesson/segment.rs", "\"settled\"", "an older name in lesson files is still read"),
    ("src/lesson/document.rs", "setups", "an older name in lesson files is still read"),
    ("src/lesson/document.rs", "target", "an older name in lesson files is still read"),
    ("src/lesson/document.rs", "setup", "an older name in lesson files is still read"),
    ("src/lesson/music.rs", "setup", "an older name in lesson files is still read"),
    ("src/lesson/music.rs", "meter", "an older name in lesson files is still read"),
    ("src/lesson/document.rs", "doubts", "an older name in lesson files is still read"),
    ("src/store/library.rs", "doubts", "an older name in the library is still read"),
    ("src/store/draft.rs", "doubts", "an older name in drafts is still read"),
    ("src/store/formats.rs", "doubts", "an older name in lesson files"),
    ("src/store/formats.rs", "meter", "an older name in lesson files"),
    ("src/lesson/segment.rs", "setup", "an older name in lesson files is still read"),
    ("src/store/formats.rs", "setups", "an older name in lesson files"),
    ("src/store/formats.rs", "setup", "an older name in lesson files"),
    ("src/store/formats.rs", "target", "an older name in lesson files"),
    ("src/store/formats.rs", "\"again\"", "an older name in lesson files"),
    ("src/store/formats.rs", "\"settled\"", "an older name in lesson files"),
    ("src/store/formats.rs", "\"slowly\"", "an older name in lesson files"),
    ("src/tab/read/written.rs", "meter", "what others write over their tab"),
    ("src/tab/read/written.rs", "metre", "what others write over their tab"),
    ("src/workbench/keys/action/boxes.rs", "mend", "the older name of an action is still read"),
    ("src/workbench/keys/action/panes.rs", "\"hear\"", "the older name of an action is still read"),
    ("src/workbench/keys/action/panes.rs", "\"stroke\"", "the older name of an action is still read"),
    ("src/workbench/keys/action/panes.rs", "\"take\"", "the older name of an action is still read"),
    ("src/workbench/keys/action/panes.rs", "mend", "the older name of an action is still read"),
    ("src/workbench/keys/action/panes.rs", "stamp", "the older name of an action is still read"),
];

/// What a player may type who does not know our words. Nobody reads it: it only leads to an action.
const TYPED_IN_SEARCH: &[&str] = &["doubt", "merge", "meter", "remove", "semitone*", "target", "whammy"];

/// A word or phrase that was given up.
struct GivenUp {
    /// As the glossary has it: a star at its end stands for any ending, double quotes for a whole label.
    written: String,
    /// What is looked for, in lower case.
    wanted: Wanted,
}

enum Wanted {
    /// A whole label.
    Label(String),
    /// A word or phrase.
    Word { stem: String, any_ending: bool },
}

impl GivenUp {
    fn new(written: &str) -> Self {
        let lower = written.to_lowercase();
        let label = lower.strip_prefix('"').and_then(|rest| rest.strip_suffix('"'));
        let wanted = match (label, lower.strip_suffix('*')) {
            (Some(label), _) => Wanted::Label(label.to_owned()),
            (None, Some(stem)) => Wanted::Word { stem: stem.to_owned(), any_ending: true },
            (None, None) => Wanted::Word { stem: lower, any_ending: false },
        };
        Self { written: written.to_owned(), wanted }
    }

    fn is_in(&self, seen: &SeenText) -> bool {
        let (stem, any_ending) = match &self.wanted {
            Wanted::Label(label) => return seen.labels.contains(label),
            Wanted::Word { stem, any_ending } => (stem, *any_ending),
        };
        let inside_word = |sign: Option<char>| sign.is_some_and(|sign| sign.is_alphanumeric() || sign == '_');
        seen.words.match_indices(stem.as_str()).any(|(at, _)| {
            let before = seen.words[..at].chars().next_back();
            let after = seen.words[at + stem.len()..].chars().next();
            !inside_word(before) && before != Some('-') && (any_ending || !inside_word(after))
        })
    }
}

/// A text that somebody reads, in lower case.
struct SeenText {
    /// The words, with one blank between them.
    words: String,
    /// What stands in columns, which have several blanks between them.
    labels: BTreeSet<String>,
}

impl SeenText {
    fn new(text: &str) -> Self {
        let words = text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
        Self { words, labels: text.lines().flat_map(|line| line.split("  ")).map(bare_label).collect() }
    }
}

/// Returns a label without signs around it, in lower case.
fn bare_label(cell: &str) -> String {
    // What stands in quotes are a teacher's own words.
    cell.trim_matches(|sign: char| !sign.is_alphanumeric() && sign != '"').to_lowercase()
}

/// Returns the rows of the glossary: a word, and what was given up for it.
fn glossary() -> Vec<(String, Vec<GivenUp>)> {
    let text = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let (_, section) = text.split_once("\n## Glossary\n").expect("DEVELOPERS.md has a glossary");
    let section = section.split("\n## ").next().unwrap_or_default();
    let rows = section.lines().filter(|line| line.starts_with("| ") && !line.starts_with("| word "));
    rows.map(|row| {
        let cells: Vec<&str> = row.split('|').map(str::trim).collect();
        let [_, word, _, given_up, _] = cells[..] else { panic!("this row has not three cells: {row}") };
        let given_up = given_up.split('`').skip(1).step_by(2);
        (word.to_owned(), given_up.map(GivenUp::new).collect())
    })
    .collect()
}

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Returns what was given up and is in `seen`.
fn given_up_in(glossary: &[(String, Vec<GivenUp>)], seen: &str) -> Vec<String> {
    let all = glossary.iter().flat_map(|(_, given_up)| given_up);
    let seen = SeenText::new(seen);
    all.filter(|given_up| given_up.is_in(&seen)).map(|given_up| given_up.written.clone()).collect()
}

/// Checks texts, each with the place where it is read.
#[track_caller]
fn check(texts: impl IntoIterator<Item = (String, String)>) {
    let glossary = glossary();
    let mut back = Vec::new();
    let mut count = 0;
    for (place, seen) in texts {
        count += 1;
        back.extend(given_up_in(&glossary, &seen).into_iter().map(|word| format!("{place}: `{word}` in {seen}")));
    }
    assert!(count > 0, "nothing was read");
    assert!(back.is_empty(), "words that the glossary of DEVELOPERS.md gives up:\n{}", back.join("\n"));
}

fn demos() -> Vec<Lesson> {
    DEMOS.iter().map(|demo| parse(Path::new(demo.name), demo.text.as_bytes()).unwrap().lesson).collect()
}

#[test]
fn a_word_that_comes_back_is_seen_and_its_second_meaning_is_not() {
    let glossary = glossary();
    let back = |seen: &str| given_up_in(&glossary, seen);
    assert_eq!(back("go to the\n  Next  beat"), ["next beat"]);
    assert_eq!(back("shows it as a ghost"), ["as a ghost"]);
    assert_eq!(back("  3:00  slowly  Verse"), ["\"slowly\""]);
    assert_eq!(back("transpose by semitones"), ["semitone*"]);
    assert_eq!(back("--columns <N>"), ["--columns"]);
    for fine in ["120 beats per minute", "a ghost note", "count it in slowly", "an amended retake", "timestamp"] {
        assert_eq!(back(fine), Vec::<String>::new(), "{fine}");
    }
}

#[test]
fn the_glossary_has_each_word_once_and_gives_up_none_that_it_uses() {
    let glossary = glossary();
    assert!(glossary.len() > 50, "{} rows", glossary.len());
    for (place, (word, _)) in glossary.iter().enumerate() {
        assert!(glossary.iter().skip(place + 1).all(|(other, _)| other != word), "{word} has two rows");
        assert_eq!(given_up_in(&glossary, word), Vec::<String>::new(), "{word}");
    }
}

#[test]
fn no_key_is_explained_with_a_word_that_was_given_up() {
    let table = KeyTable::built_in();
    let rows = || Pane::ALL.iter().flat_map(|pane| table.rows_at(*pane));
    check(rows().flat_map(|row| {
        [("help", &row.help), ("hint", &row.hint)]
            .map(|(what, text)| (format!("{what} of {:?}", row.action), text.clone()))
    }));
    let glossary = glossary();
    for row in rows() {
        let mut back = given_up_in(&glossary, &row.find);
        back.retain(|word| !TYPED_IN_SEARCH.contains(&word.as_str()));
        assert!(back.is_empty(), "{:?} is found by {back:?}", row.action);
    }
}

#[test]
fn no_text_in_the_source_has_a_word_that_was_given_up() {
    let mut used = vec![false; IN_SOURCE.len()];
    let glossary = glossary();
    let mut back = Vec::new();
    for file in text::files().iter().filter(|file| !file.is_for_tests()) {
        for (line, seen) in text::quoted(file.without_tests()) {
            for word in given_up_in(&glossary, &seen) {
                let known = IN_SOURCE.iter().position(|(path, known, _)| *path == file.shown() && *known == word);
                match known {
                    Some(known) => used[known] = true,
                    None => back.push(format!("{}:{line}: `{word}` in \"{seen}\"", file.shown())),
                }
            }
        }
    }
    assert!(back.is_empty(), "words that the glossary of DEVELOPERS.md gives up:\n{}", back.join("\n"));
    let idle: Vec<_> = IN_SOURCE.iter().zip(used).filter(|(_, used)| !used).map(|(exception, _)| exception).collect();
    assert!(idle.is_empty(), "these exceptions are no longer needed: {idle:?}");
}

#[test]
fn no_help_of_a_command_has_a_word_that_was_given_up() {
    let mut all = CommandLine::command();
    all.build();
    let mut helps = vec![(String::from("fingerpost --help"), all.render_long_help().to_string())];
    helps.extend(
        all.get_subcommands_mut().map(|command| {
            (format!("fingerpost {} --help", command.get_name()), command.render_long_help().to_string())
        }),
    );
    assert!(helps.len() > 10, "{} commands", helps.len());
    check(helps);
}

#[test]
fn no_page_of_a_handout_has_a_word_that_was_given_up() {
    let pages = demos().into_iter().flat_map(|lesson| {
        [Charset::Utf8, Charset::Ascii].into_iter().flat_map(move |charset| {
            let options = HandoutOptions { charset, unused: UnusedMusic::Print, ..HandoutOptions::default() };
            handout(&lesson, &options).pages
        })
    });
    check(pages.enumerate().map(|(number, page)| (format!("page {number} of the demos"), page.lines.join("\n"))));
}

#[test]
fn no_screen_at_the_start_has_a_word_that_was_given_up() {
    let mut screens = Vec::new();
    for size in [(80, 24), (120, 36), (200, 50)] {
        let mut start = Bench::start_screen(size);
        screens.push((format!("start screen {size:?}"), start.screen()));
        screens.push((format!("help of the start screen {size:?}"), start.strike("?").screen()));
        for (number, lesson) in demos().into_iter().enumerate() {
            let mut bench = Bench::on(lesson, size);
            for keys in ["", "|", "P", "F", "R", "L", "w", "Esc ?", "Esc H", "Esc V"] {
                screens.push((format!("demo {number} {size:?} after {keys}"), bench.strike(keys).screen()));
            }
        }
    }
    check(screens);
}

#[test]
fn neither_readme_nor_what_is_compiled_in_has_a_word_that_was_given_up() {
    let read = |path: &str| fs::read_to_string(root().join(path)).unwrap();
    let lines = |path: &'static str, text: String| {
        let lines: Vec<String> = text.lines().map(str::to_owned).collect();
        lines.into_iter().enumerate().map(move |(number, line)| (format!("{path}:{}", number + 1), line))
    };
    check(lines("README.md", read("README.md")));
    for path in ["assets/templates.ron", "assets/themes.ron"] {
        check(text::quoted(&read(path)).into_iter().map(|(line, seen)| (format!("{path}:{line}"), seen)));
    }
}

/// Words that were given up after the format of today was settled: the next one renames them.
const OLDER_IN_FILES: &[&str] = &["slide and pick*"];

/// Returns the words outside of texts that stand in a file, those of a name in small letters and apart: `TremoloBarDip` is
/// `tremolo bar dip`.
fn names_in(text: &str) -> BTreeSet<String> {
    const QUOTE: (&str, &str) = ("\\\"", "\u{1}");
    let text: String = text.lines().filter(|line| !line.starts_with("//")).collect::<Vec<_>>().join("\n");
    let text = text.replace(QUOTE.0, QUOTE.1);
    let outside = text.split('"').step_by(2);
    let names = outside.flat_map(|part| part.split(|sign: char| !sign.is_ascii_alphanumeric() && sign != '_'));
    let apart = |name: &str| {
        let mut words = String::new();
        for letter in name.chars() {
            if letter == '_' || letter.is_ascii_uppercase() && !words.is_empty() {
                words.push(' ');
            }
            words.extend(letter.to_lowercase().filter(|letter| *letter != '_'));
        }
        words
    };
    names.filter(|name| name.starts_with(|sign: char| sign.is_ascii_alphabetic())).map(apart).collect()
}

#[test]
fn no_name_in_a_file_that_a_teacher_may_edit_is_a_word_that_was_given_up() {
    let today = root().join(format!("tests/corpus/format-{LESSON_FORMAT}"));
    let mut files: Vec<(String, String)> =
        DEMOS.iter().map(|demo| (demo.name.to_owned(), demo.text.to_owned())).collect();
    for folder in ["lessons", "user", "user-by-hand", "user-handout"] {
        for entry in fs::read_dir(today.join(folder)).unwrap() {
            let path = entry.unwrap().path();
            // A key file names actions as they are called now or were before.
            if !path.ends_with("keys.ron") {
                files.push((path.display().to_string(), fs::read_to_string(&path).unwrap()));
            }
        }
    }
    let names: Vec<(String, String)> =
        files.iter().flat_map(|(file, text)| names_in(text).into_iter().map(|name| (file.clone(), name))).collect();
    for known in ["hammer on from nowhere", "time signature", "heard"] {
        assert!(names.iter().any(|(_, name)| name == known), "no file has {known}");
    }
    // What is given up as a whole label only may still name a field or a technique.
    let glossary = glossary();
    let back = |name: &str| {
        let mut back = given_up_in(&glossary, name);
        back.retain(|word| !word.starts_with('"') && !OLDER_IN_FILES.contains(&word.as_str()));
        back
    };
    for (name, word) in [("meter", "meter"), ("doubts", "doubts"), ("FrettingHandTap", "fretting hand tap")] {
        let name = names_in(&format!("({name}: \"setup\")")).into_iter().collect::<String>();
        assert_eq!(back(&name), [word]);
    }
    let all: Vec<String> = names
        .iter()
        .flat_map(|(file, name)| back(name).into_iter().map(move |word| format!("{file}: {word}")))
        .collect();
    assert!(all.is_empty(), "words that the glossary of DEVELOPERS.md gives up:\n{}", all.join("\n"));
}

#[test]
fn no_message_about_a_broken_file_has_a_word_that_was_given_up() {
    let folder = root().join("tests/lessons/broken");
    let mut messages = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|extension| extension == "message") {
            let text = fs::read_to_string(&path).unwrap();
            // The name of the file, what is between backticks, and the line that is shown from the file are its own.
            let text = text.split_once(' ').map_or("", |(_, said)| said);
            let own: String = text.lines().filter(|line| !line.starts_with("  ")).collect::<Vec<_>>().join("\n");
            let said: String = own.split('`').step_by(2).collect::<Vec<_>>().join(" ");
            messages.push((path.display().to_string(), said));
        }
    }
    check(messages);
}

/// What is quoted stands between the quotes that every keyboard and terminal has.
#[test]
fn what_is_quoted_stands_in_one_kind_of_quotes() {
    let curly = ['\u{201c}', '\u{201d}', '\u{201e}'];
    let mut found = Vec::new();
    for file in text::files().iter().filter(|file| !file.is_for_tests()) {
        let said = text::quoted(file.without_tests()).into_iter().filter(|(_, said)| said.contains(curly));
        found.extend(said.map(|(line, said)| format!("{}:{line}: {said}", file.shown())));
    }
    for row in Pane::ALL.iter().flat_map(|place| KeyTable::built_in().rows_of(*place).cloned().collect::<Vec<_>>()) {
        found.extend(Some(row.help).filter(|help| help.contains(curly)));
    }
    assert!(found.is_empty(), "quote with \": {found:#?}");
}

/// A title is somebody's words and stands in double quotes; what is typed on a command line or in a file stands in backticks.
#[test]
fn no_title_stands_in_backticks() {
    // A title that is put into a text by its name, and one that follows the text.
    let is_title = |put_in: &str| put_in.contains("title");
    let mut found = Vec::new();
    let mut seen = 0;
    for file in text::files().iter().filter(|file| !file.is_for_tests()) {
        let lines: Vec<&str> = file.without_tests().lines().collect();
        for (number, line) in lines.iter().enumerate().filter(|(_, line)| !line.trim_start().starts_with("//")) {
            seen += line.matches("\\\"{title}\\\"").count();
            let named =
                line.split("`{").skip(1).filter_map(|rest| rest.split_once("}`")).any(|(name, _)| is_title(name));
            let behind = lines.iter().skip(number).take(2).any(|line| line.contains(".title"));
            if named || line.contains("`{}`") && behind {
                found.push(format!("{}:{}: {}", file.shown(), number + 1, line.trim()));
            }
        }
    }
    assert!(seen > 10, "{seen} titles stand in quotes");
    assert!(found.is_empty(), "quote a title with \": {found:#?}");
}
