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

    /// Returns whether all of it is compiled for tests only.
    pub fn is_for_tests(&self) -> bool {
        self.path.iter().any(|part| part.ends_with("_tests"))
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

/// Returns each text between double quotes in `text` with the number of its line, as a reader of the program sees it:
/// line ends and the blanks behind them are one blank, and what is put in later is left out.
pub fn quoted(text: &str) -> Vec<(usize, String)> {
    let (mut found, mut rest, mut line) = (Vec::new(), text, 1);
    while let Some(first) = rest.chars().next() {
        let (skipped, inside) = if rest.starts_with("//") {
            (rest.find('\n').unwrap_or(rest.len()), None)
        } else if let Some(raw) = raw_text(rest) {
            (raw, Some(rest[..raw].trim_matches(['r', '#', '"']).to_owned()))
        } else if first == '"' {
            let end = quoted_text(rest, '"');
            (end, Some(as_seen(&rest[1..end.saturating_sub(1).max(1)])))
        } else if rest.starts_with("'\\") {
            (quoted_text(rest, '\''), None)
        } else if first == '\'' && rest.chars().nth(2) == Some('\'') {
            (rest.char_indices().nth(3).map_or(rest.len(), |(at, _)| at), None)
        } else {
            (first.len_utf8(), None)
        };
        found.extend(inside.map(|inside| (line, inside)));
        line += rest[..skipped].matches('\n').count();
        rest = &rest[skipped..];
    }
    found
}

/// Returns what a string of the source shows: escapes as blanks or signs, nothing for what stands in braces.
fn as_seen(inside: &str) -> String {
    let mut seen = String::new();
    let (mut signs, mut depth) = (inside.chars().peekable(), 0_u32);
    while let Some(sign) = signs.next() {
        match sign {
            '\\' => match signs.next() {
                Some('\n') => while signs.next_if(|next| next.is_whitespace()).is_some() {},
                Some('n' | 't' | 'r') => seen.push(' '),
                Some(other) => seen.push(other),
                None => {}
            },
            '{' => depth += 1,
            '}' => {
                depth = depth.saturating_sub(1);
                seen.push(' ');
            }
            other if depth == 0 => seen.push(other),
            _ => {}
        }
    }
    seen
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
