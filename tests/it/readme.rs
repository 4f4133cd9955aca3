//! The README tells the truth: its picture is what the program draws, its commands exist.

use std::fs;
use std::path::{Path, PathBuf};

use fingerpost::store::demos::DEMOS;
use fingerpost::store::lesson_file::parse;

use crate::workbench::bench::Bench;

/// The picture stands between these two lines.
const OPENING: &str = "<!-- the workbench at 100 by 30; `UPDATE_README=1 cargo test readme` draws it anew -->\n";
const CLOSING: &str = "<!-- end of the picture -->\n";

fn path() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")
}

/// The main demo with its sixth segment selected.
fn picture() -> String {
    let demo = DEMOS.first().unwrap();
    let lesson = parse(Path::new(demo.name), demo.text.as_bytes()).unwrap().lesson;
    let mut bench = Bench::on(lesson, (100, 30));
    bench.strike("Down Down Down Down Down");
    format!("```text\n{}\n```\n", bench.screen().trim_end())
}

#[test]
fn the_picture_is_what_the_workbench_draws() {
    let text = fs::read_to_string(path()).unwrap();
    let (before, rest) = text.split_once(OPENING).expect("the README has a place for the picture");
    let (shown, after) = rest.split_once(CLOSING).expect("the picture has an end");
    let picture = picture();
    if std::env::var_os("UPDATE_README").is_some() {
        fs::write(path(), format!("{before}{OPENING}{picture}{CLOSING}{after}")).unwrap();
    } else {
        assert_eq!(shown, picture, "run `UPDATE_README=1 cargo test readme` and read the difference");
    }
}

#[test]
fn every_command_it_names_exists() {
    use clap::CommandFactory;
    let known = fingerpost::cli::args::CommandLine::command();
    let text = fs::read_to_string(path()).unwrap();
    for line in text.lines().filter(|line| line.starts_with("| `")) {
        let named = line.split(" | ").next().unwrap_or_default();
        for code in named.split('`').skip(1).step_by(2) {
            let word = code.trim_start_matches("fingerpost").split_whitespace().next().unwrap_or_default();
            assert!(word.is_empty() || known.find_subcommand(word).is_some(), "the README names `{code}`");
        }
    }
    for sub in known.get_subcommands() {
        assert!(text.contains(sub.get_name()), "the README leaves `{}` out", sub.get_name());
    }
}
