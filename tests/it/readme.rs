//! The README tells the truth: its picture is what the program draws, its commands exist.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use fingerpost::store::demos::DEMOS;
use fingerpost::store::lesson_file::parse;

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
    codes.filter_map(|code| code.trim_start_matches("fingerpost").split_whitespace().next()).collect()
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
