//! The house stands as DEVELOPERS.md draws it: a floor imports only from floors below it,
//! and folders of one floor do not know each other unless a line here says why.

mod circles;
mod heads;
mod lengths;
mod methods;
mod modules;
mod names;
mod rooms;
pub mod text;
mod widths;

use std::collections::BTreeSet;
use std::fs;

/// Each folder of `src/` with its floor.
const FLOORS: &[(&str, u8)] = &[
    ("text", 0),
    ("theory", 1),
    ("instrument", 2),
    ("lesson", 3),
    ("tab", 4),
    ("plan", 4),
    ("sound", 4),
    ("exchange", 4),
    ("store", 4),
    ("workbench", 5),
    ("cli", 5),
];

/// Which folders of one floor may know each other: who, whom, and why. All others may not.
const SIBLINGS: &[(&str, &str, &str)] = &[
    ("sound", "plan", "the order of played bars and the time they take are worked out in one place"),
    ("sound", "store", "a file of sound takes its name when it is whole, by the same steps as a lesson"),
];

/// What measures and folds text. Only the ground floor uses it, so that all agree on a column.
const MEASURES: &[&str] = &["unicode_width", "unicode_segmentation", "deunicode"];

/// Folders that only compute: nothing in them may name the world outside.
const PURE: &[&str] = &["text", "theory", "instrument", "lesson", "tab", "plan", "exchange"];

/// What a pure folder must not name.
const OUTSIDE: &[&str] = &[
    "std::fs",
    "std::io",
    "std::env",
    "std::net",
    "std::process",
    "std::thread",
    "Instant::now",
    "SystemTime",
    "crossterm",
    "ratatui",
    "println!",
    "eprintln!",
];

#[test]
fn no_floor_imports_from_the_floors_above_it() {
    let mut climbs = Vec::new();
    for (folder, floor) in FLOORS {
        for (place, line) in code_lines(folder) {
            for (other, other_floor) in FLOORS {
                if other_floor > floor && names_module(&line, other) {
                    climbs.push(format!("{place}: {folder} names {other}: {line}"));
                }
            }
        }
    }
    assert!(climbs.is_empty(), "imports climb:\n{}", climbs.join("\n"));
}

#[test]
fn siblings_know_each_other_only_where_a_line_says_why() {
    let mut found = BTreeSet::new();
    let mut unnamed = Vec::new();
    for (folder, floor) in FLOORS {
        for (place, line) in code_lines(folder) {
            let siblings = FLOORS.iter().filter(|(other, other_floor)| other_floor == floor && other != folder);
            for (other, _) in siblings.filter(|(other, _)| names_module(&line, other)) {
                found.insert((*folder, *other));
                if !SIBLINGS.iter().any(|(who, whom, _)| (who, whom) == (folder, other)) {
                    unnamed.push(format!("{place}: {folder} names {other}: {line}"));
                }
            }
        }
    }
    assert!(unnamed.is_empty(), "siblings know each other:\n{}", unnamed.join("\n"));
    for (who, whom, why) in SIBLINGS {
        assert!(found.contains(&(*who, *whom)), "{who} does not know {whom} any more ({why}): the line can go");
    }
}

#[test]
fn only_the_ground_floor_measures_text() {
    let mut found = Vec::new();
    for (folder, _) in FLOORS.iter().filter(|(folder, _)| *folder != "text") {
        for (place, line) in code_lines(folder) {
            found.extend(MEASURES.iter().filter(|word| line.contains(*word)).map(|word| format!("{place}: {word}")));
        }
    }
    assert!(found.is_empty(), "text is measured by hand:\n{}", found.join("\n"));
}

#[test]
fn the_computing_floors_name_no_terminal_file_or_clock() {
    let mut found = Vec::new();
    for folder in PURE {
        for (place, line) in code_lines(folder) {
            for word in OUTSIDE.iter().filter(|word| line.contains(*word)) {
                found.push(format!("{place}: {word}"));
            }
        }
    }
    assert!(found.is_empty(), "the outside world is named:\n{}", found.join("\n"));
}

#[test]
fn every_folder_of_the_house_has_its_floor() {
    for entry in fs::read_dir(text::source()).expect("src is there") {
        let path = entry.expect("src can be listed").path();
        if path.is_dir() {
            let name = path.file_name().and_then(|name| name.to_str()).unwrap_or_default().to_owned();
            assert!(FLOORS.iter().any(|(folder, _)| *folder == name), "src/{name} has no floor");
        }
    }
}

fn names_module(line: &str, module: &str) -> bool {
    let path = format!("crate::{module}");
    line.match_indices(&path).any(|(at, _)| {
        let after = line[at + path.len()..].chars().next();
        !after.is_some_and(|next| next.is_alphanumeric() || next == '_')
    })
}

/// Returns the lines of code of a folder outside comments and test modules, each with its place.
fn code_lines(folder: &str) -> Vec<(String, String)> {
    let mut lines = Vec::new();
    for file in text::files().iter().filter(|file| file.path.first().is_some_and(|first| first == folder)) {
        for (number, line) in file.without_tests().lines().enumerate() {
            let line = line.trim();
            if !line.starts_with("//") {
                lines.push((format!("{}:{}", file.shown(), number + 1), line.to_owned()));
            }
        }
    }
    lines
}
