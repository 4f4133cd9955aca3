//! The README tells the truth: its picture is what the program draws, its commands exist.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use fingerpost::store::demos::DEMOS;
use fingerpost::store::lesson_file::parse;
use fingerpost::workbench::keys::keystroke::Keystroke;
use fingerpost::workbench::keys::table::{KeyTable, Row};

use crate::workbench::bench::Bench;

/// Each picture stands between a line with its name and this one; `UPDATE_README=1 cargo test readme` draws all anew.
const CLOSING: &str = "<!-- end of the picture -->\n";

/// The pictures in the order of the README: a name, the size, and the keys struck in the first demo.
const PICTURES: [(&str, (u16, u16), &str); 7] = [
    ("the workbench", (100, 30), "Down Down Down Down Down"),
    ("outline", (100, 18), "Down Down Down Down Down y Down Down Down Enter |"),
    ("ear", (80, 24), "Down Down Down Down Down F s \"0 2 2 0? 0 0\" Enter R"),
    ("elsewhere", (80, 24), "Down Down Down Down Down F s \"x02210\" Enter e PageDown"),
    ("tab", (80, 24), "Down Down Down Down Down P Right Right"),
    ("recording", (80, 24), "Down Down Down Down Down V PageDown"),
    ("handout", (80, 24), "H Right Right Right"),
];

fn path() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")
}

/// The main demo after some keys.
fn picture(size: (u16, u16), keys: &str) -> String {
    let demo = DEMOS.first().unwrap();
    let lesson = parse(Path::new(demo.name), demo.text.as_bytes()).unwrap().lesson;
    let mut bench = Bench::on(lesson, size);
    bench.strike(keys);
    format!("```text\n{}\n```\n", bench.screen().trim_end())
}

#[test]
fn the_pictures_are_what_the_workbench_draws() {
    let mut text = fs::read_to_string(path()).unwrap();
    for (name, size, keys) in PICTURES {
        let opening = format!("<!-- picture: {name} -->\n");
        let (before, rest) = text.split_once(&opening).unwrap_or_else(|| panic!("the README has no place for {name}"));
        let (shown, after) = rest.split_once(CLOSING).expect("the picture has an end");
        let picture = picture(size, keys);
        if std::env::var_os("UPDATE_README").is_some() {
            text = format!("{before}{opening}{picture}{CLOSING}{after}");
        } else {
            assert_eq!(shown, picture, "{name}: run `UPDATE_README=1 cargo test readme` and read the difference");
        }
    }
    if std::env::var_os("UPDATE_README").is_some() {
        fs::write(path(), text).unwrap();
    }
}

/// Returns the first word of each piece of code in the first column of the tables, but for the name of the program.
fn commands_in_tables(text: &str) -> BTreeSet<&str> {
    let rows = text.lines().filter(|line| line.starts_with("| `"));
    let named = rows.filter_map(|row| row.split(" | ").next());
    let codes = named.flat_map(|named| named.split('`').skip(1).step_by(2));
    let words = codes.filter_map(|code| code.trim_start_matches("fingerpost").split_whitespace().next());
    // A file stands there in capitals, and may stand in the place of a command.
    words.filter(|word| word.contains(char::is_lowercase)).collect()
}

#[test]
fn its_table_of_commands_lists_each_command_and_no_other() {
    use clap::CommandFactory;
    let known = fingerpost::cli::args::CommandLine::command();
    let text = fs::read_to_string(path()).unwrap();
    let commands: BTreeSet<&str> = known.get_subcommands().map(clap::Command::get_name).collect();
    assert!(commands.len() > 10, "only {commands:?}");
    assert_eq!(commands_in_tables(&text), commands);
}

/// The keys that the README tells, in their order, each with the action that it tells of.
const KEYS: [(&str, &str); 26] = [
    ("c", "Fretboard(CopyOut)"),
    ("Shift+F8", "Program(OpenForWriting)"),
    ("Shift+F9", "Program(DecideVersions)"),
    ("J", "Timeline(MoveToPlace)"),
    ("E", "Passage(ChangeTuning)"),
    ("E", "Timeline(ChooseTuning)"),
    ("N", "Timeline(ListPieces)"),
    ("Ctrl+K", "Timeline(CopyChapters)"),
    ("PageDown", "Recording(Advance)"),
    ("e", "Timeline(EditCuts)"),
    ("F5", "Sound(Play)"),
    ("H", "Desk(PreviewHandout)"),
    ("Ctrl+G", "Passage(ToFretboard)"),
    ("n", "Passage(NameChord)"),
    ("N", "Passage(NameAll)"),
    ("y", "Timeline(ChooseProgress)"),
    ("F5", "Sound(Play)"),
    ("Shift+F12", "Sound(ToggleUnsure)"),
    ("F8", "Sound(PlayBoth)"),
    ("Enter", "Neck(UseSuggestion)"),
    ("F5", "Sound(Play)"),
    ("{", "Sound(Slower)"),
    ("}", "Sound(Faster)"),
    ("@", "Sound(ToggleLoop)"),
    ("Esc", NO_ACTION),
    ("?", NO_ACTION),
];

/// What looks like a key and is none: what a slow line sends, and the sign of a string that is not sure.
const NO_ACTION: &str = "";

/// Returns the README without pictures and commands: its paragraphs in one line each.
fn prose(text: &str) -> String {
    let outside: Vec<&str> = text.split("```").step_by(2).collect();
    outside.join(" ").split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Returns every key between backticks, and what stands around it.
fn keys_in(prose: &str) -> Vec<(&str, String)> {
    let parts: Vec<&str> = prose.split('`').collect();
    let told = parts.iter().enumerate().skip(1).step_by(2).filter(|(_, part)| part.parse::<Keystroke>().is_ok());
    told.map(|(place, key)| {
        let before: String = parts[..place].concat().chars().rev().take(160).collect();
        let after: String = parts[place + 1..].concat().chars().take(160).collect();
        (*key, before.chars().rev().chain([' ']).chain(after.chars()).collect::<String>().to_lowercase())
    })
    .collect()
}

/// Returns what is wrong with the keys that a text tells.
fn wrong_keys(table: &KeyTable, prose: &str) -> Vec<String> {
    let told = keys_in(prose);
    let mut wanted: Vec<(&str, &str)> = KEYS.to_vec();
    let mut wrong = Vec::new();
    for (key, around) in told {
        let Some(at) = wanted.iter().position(|(known, _)| *known == key) else {
            wrong.push(format!("`{key}` is not among KEYS: {around}"));
            continue;
        };
        let (_, action) = wanted.remove(at);
        if action == NO_ACTION {
            continue;
        }
        let row = |row: &&Row| row.action.name() == action && row.keys.iter().any(|own| own.to_string() == key);
        let Some(row) = table.rows().find(row) else {
            wrong.push(format!("{action} is not on `{key}`"));
            continue;
        };
        // What is said around the key is what its row says, in at least one word.
        let said = format!("{} {} {}", row.help, row.hint, row.find).to_lowercase();
        let mut words = said.split(|letter: char| !letter.is_alphabetic()).filter(|word| word.len() > 3);
        if !words.any(|word| around.contains(word)) {
            wrong.push(format!("`{key}` is {action}: {}; told is: {around}", row.help));
        }
    }
    wrong.extend(wanted.iter().map(|(key, action)| format!("`{key}` for {action} is told nowhere")));
    wrong
}

#[test]
fn every_key_that_it_tells_is_the_key_of_that_action() {
    let table = KeyTable::built_in();
    let text = fs::read_to_string(path()).unwrap();
    let prose = prose(&text);
    assert_eq!(wrong_keys(&table, &prose), [""; 0]);
    let bare: String = prose.split('`').step_by(2).collect();
    for held in ["Ctrl+", "Shift+", "Alt+", "Page Down", "Page Up"] {
        assert!(!bare.contains(held), "{held}: keys stand between backticks, where this test sees them");
    }
    // Any of these keys may move; each move is seen.
    for (_, action) in KEYS.iter().filter(|(_, action)| *action != NO_ACTION) {
        let place = table.rows().find(|row| row.action.name() == *action).unwrap().place();
        let own = format!("[(action: {action}, pane: {place:?}, keys: [\"Ctrl+Alt+y\"])]");
        let moved = table.clone().with_own(&own).unwrap();
        assert!(!wrong_keys(&moved, &prose).is_empty(), "{action}");
    }
}
