//! What is wrong with a file, where, and what to do about it, in a teacher's words.

use std::fmt;
use std::path::Path;

use ron::error::{Error as RonError, SpannedError};

use super::explanation::{TextAround, explain};
use crate::text::quote::written_out;
use crate::text::width::width;

/// The place of a fault and what was expected there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// The line, counted from 1.
    pub line: usize,
    /// The column in characters, counted from 1.
    pub column: usize,
    /// What is wrong and what was expected.
    pub problem: String,
    /// The line itself around the place, printable; empty past the end of the file.
    pub excerpt: String,
    /// Where in the excerpt the place is, in columns of the terminal from 0.
    pub excerpt_column: usize,
    /// What to do about it; empty where the problem says it.
    pub hint: String,
}

/// Prints `12:5: what is wrong`.
impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}: {}", self.line, self.column, self.problem)
    }
}

impl Fault {
    /// Describes a fault at a place of `text`.
    pub fn at(text: &str, line: usize, column: usize, problem: impl Into<String>, hint: impl Into<String>) -> Self {
        let (excerpt, excerpt_column) = excerpt(text, line, column);
        Self { line, column, problem: problem.into(), excerpt, excerpt_column, hint: hint.into() }
    }

    /// Describes what the RON reader found wrong in `text`.
    pub fn from_ron(text: &str, error: &SpannedError) -> Self {
        let (line, column) = place(text, error);
        let (problem, hint) = explain(&error.code, &TextAround::of(text, line, column));
        Self::at(text, line, column, written_out(&problem), hint)
    }

    /// Returns the whole message on several lines: place, problem, the line with a mark, what to do.
    pub fn report(&self, path: &Path) -> String {
        let mut report = format!("{}:{self}\n", shown(path));
        if !self.excerpt.is_empty() {
            report.push_str(&format!("  {}\n  {}^\n", self.excerpt, " ".repeat(self.excerpt_column)));
        }
        report.push_str(&self.hint);
        report.trim_end().to_owned()
    }
}

/// Returns what is wrong with what to do about it behind it, where there is something to say of that.
pub fn with_hint(problem: impl fmt::Display, hint: &str) -> String {
    if hint.is_empty() { problem.to_string() } else { format!("{problem}; {hint}") }
}

/// Returns `path` with control characters made visible.
pub fn shown(path: &Path) -> String {
    written_out(&path.to_string_lossy())
}

/// Characters shown before and after the place of a fault.
const BEFORE: usize = 50;
const AFTER: usize = 40;

/// Cuts the part of a line around `column` out of `text`; returns it and the place in it.
fn excerpt(text: &str, line: usize, column: usize) -> (String, usize) {
    let Some(content) = text.lines().nth(line.saturating_sub(1)) else { return (String::new(), 0) };
    let at = column.saturating_sub(1);
    let skipped = at.saturating_sub(BEFORE);
    // Indentation says nothing here.
    let indent = content.chars().take_while(|sign| sign.is_whitespace()).count().min(at).max(skipped);
    let before: String = content.chars().skip(indent).take(at.saturating_sub(indent)).collect();
    let mut after: String = content.chars().skip(at).take(AFTER).collect();
    if content.chars().nth(at.saturating_add(AFTER)).is_some() {
        after.push('…');
    }
    let mut before = written_out(&before);
    if skipped > 0 {
        before.insert(0, '…');
    }
    let mark = width(&before);
    before.push_str(&written_out(&after));
    (before.trim_end().to_owned(), mark)
}

/// Returns the line and column that help most in finding the fault.
fn place(text: &str, error: &SpannedError) -> (usize, usize) {
    let (line, column) = (error.span.start.line, error.span.start.col);
    let lines_before: usize = text.split_inclusive('\n').take(line.saturating_sub(1)).map(str::len).sum();
    let rest = text.get(lines_before..).unwrap_or_default();
    let in_line: usize = rest.chars().take(column.saturating_sub(1)).map(char::len_utf8).sum();
    let (before, after) = text.split_at_checked(lines_before + in_line).unwrap_or((text, ""));
    if error.code == RonError::ExpectedComma {
        // A comma is missed only at the next thing, perhaps lines later; it belongs after the thing before.
        let before = before.trim_end();
        // With a comment in between there is no telling which of its words are data.
        if !before.lines().last().is_some_and(|line| line.contains("//") || line.ends_with("*/")) {
            return end_of(before);
        }
    }
    // What was found instead may stand some blanks or lines later.
    let blank = after.len() - after.trim_start().len();
    match after.split_at_checked(blank) {
        Some((blank, rest)) if !rest.is_empty() => match blank.rsplit_once('\n') {
            Some((lines, indent)) => (line + 1 + lines.matches('\n').count(), indent.chars().count() + 1),
            None => (line, column + blank.chars().count()),
        },
        _ => (line, column),
    }
}

/// Returns the line and column just after the end of `text`.
pub(super) fn end_of(text: &str) -> (usize, usize) {
    let line = text.matches('\n').count() + 1;
    let column = text.chars().rev().take_while(|sign| *sign != '\n').count() + 1;
    (line, column)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_mark_stands_under_the_place_after_wide_characters_and_escapes() {
        let fault = Fault::at("a: \"日本\u{1b}\", b: 1", 1, 11, "", "");
        let columns = width("a: \"日本\\u{1b}\", ");
        assert_eq!(fault.report(Path::new("x")).lines().nth(2), Some(format!("  {}^", " ".repeat(columns)).as_str()));
        assert_eq!(columns, 17);
    }
}
