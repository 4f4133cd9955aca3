//! The source as text: its files, and its code without comments and quotes.

use std::fs;
use std::path::{Path, PathBuf};

/// One file of `src/`.
#[derive(Debug, Clone)]
pub struct SourceFile {
    /// The folders that lead to it below `src/`, and its name without `.rs`: `instrument`, `voicing`, `mod`.
    pub path: Vec<String>,
    /// What is in it.
    pub text: String,
}

impl SourceFile {
    /// Returns the path as it is shown: `src/instrument/voicing/mod.rs`.
    pub fn shown(&self) -> String {
        format!("src/{}.rs", self.path.join("/"))
    }

    /// Returns the text up to the module of its tests.
    pub fn without_tests(&self) -> &str {
        self.text.split("#[cfg(test)]\nmod tests {").next().unwrap_or_default()
    }
}

/// Returns every file of `src/` that is not compiled for tests only, in order of their paths.
pub fn files() -> Vec<SourceFile> {
    let mut files = Vec::new();
    collect(&source(), &mut Vec::new(), &mut files);
    files.sort_by(|one, other| one.path.cmp(&other.path));
    files
}

/// Returns the folder `src/`.
pub fn source() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src")
}

fn collect(folder: &Path, path: &mut Vec<String>, files: &mut Vec<SourceFile>) {
    for entry in fs::read_dir(folder).expect("a folder of src can be listed") {
        let entry = entry.expect("a folder of src can be listed").path();
        let stem = entry.file_stem().and_then(|stem| stem.to_str()).expect("names are plain").to_owned();
        if stem == "tests" {
            continue;
        }
        path.push(stem);
        if entry.is_dir() {
            collect(&entry, path, files);
        } else if entry.extension().is_some_and(|extension| extension == "rs") {
            let text = fs::read_to_string(&entry).expect("source is UTF-8");
            files.push(SourceFile { path: path.clone(), text });
        }
        path.pop();
    }
}

/// Returns `text` without comments and without what stands between quotes.
pub fn bare(text: &str) -> String {
    let mut bare = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let skipped = if rest.starts_with("//") {
            rest.find('\n').unwrap_or(rest.len())
        } else if let Some(raw) = raw_text(rest) {
            raw
        } else if first == '"' {
            quoted_text(rest, '"')
        } else if rest.starts_with("'\\") {
            quoted_text(rest, '\'')
        } else if first == '\'' && rest.chars().nth(2) == Some('\'') {
            rest.char_indices().nth(3).map_or(rest.len(), |(at, _)| at)
        } else {
            0
        };
        // Line ends stay, so that a line keeps its number.
        bare.extend(rest[..skipped].chars().filter(|skipped| *skipped == '\n'));
        if skipped == 0 {
            bare.push(first);
        }
        rest = &rest[skipped.max(if skipped == 0 { first.len_utf8() } else { 0 })..];
    }
    bare
}

/// Returns the length of the raw string that `text` begins with.
fn raw_text(text: &str) -> Option<usize> {
    let after = text.strip_prefix('r')?;
    let signs = after.len() - after.trim_start_matches('#').len();
    let inside = after[signs..].strip_prefix('"')?;
    let close = format!("\"{}", "#".repeat(signs));
    Some(text.len() - inside.len() + inside.find(&close)? + close.len())
}

/// Returns the length of the text between two `quote`s that `text` begins with, both included.
fn quoted_text(text: &str, quote: char) -> usize {
    let mut escaped = false;
    for (at, character) in text.char_indices().skip(1) {
        match character {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            other if other == quote => return at + 1,
            _ => {}
        }
    }
    text.len()
}
