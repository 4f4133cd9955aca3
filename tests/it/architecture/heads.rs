//! Whoever opens a folder is told what is in it: the head of its `mod.rs` names each of its modules.

use std::collections::BTreeSet;

use super::text::files;

/// What a head says instead of names, where the folder holds the same thing many times.
const ONE_EACH: [&str; 2] = ["one file for each", "one folder for each"];

/// Returns the modules that a file declares, those of its tests left out.
fn modules(text: &str) -> Vec<&str> {
    let mut lines = text.lines().peekable();
    let mut found = Vec::new();
    while let Some(line) = lines.next() {
        if line == "#[cfg(test)]" {
            lines.next();
            continue;
        }
        let declared = line.strip_suffix(';').and_then(|line| line.rsplit_once("mod "));
        let is_open = |before: &str| before.is_empty() || (before.starts_with("pub") && before.ends_with(' '));
        found.extend(declared.filter(|(before, _)| is_open(before)).map(|(_, name)| name));
    }
    found
}

/// Returns the words of the code in the head of a file.
fn words_in_head(head: &str) -> BTreeSet<&str> {
    let codes = head.split('`').skip(1).step_by(2);
    codes.flat_map(|code| code.split(|sign: char| sign != '_' && !sign.is_alphanumeric())).collect()
}

#[test]
fn the_head_of_each_folder_names_what_is_in_it() {
    let mut missing = Vec::new();
    let mut count = 0;
    for file in files().iter().filter(|file| file.path.last().is_some_and(|name| name == "mod")) {
        let head: String =
            file.text.lines().filter(|line| line.starts_with("//!")).map(|line| line[3..].to_owned() + " ").collect();
        if ONE_EACH.iter().any(|words| head.contains(words)) {
            continue;
        }
        let words = words_in_head(&head);
        let modules = modules(&file.text);
        count += modules.len();
        missing.extend(
            modules
                .into_iter()
                .filter(|name| !words.contains(name))
                .map(|name| format!("{}: {name}", file.path.join("/"))),
        );
    }
    assert!(count > 200, "only {count} modules");
    assert!(missing.is_empty(), "not named in the head of its folder: {missing:#?}");
}
