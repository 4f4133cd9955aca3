//! What is wrong with a file, where, and what to do about it, in a teacher's words.

use std::fmt;
use std::path::Path;

use ron::error::{Error as RonError, SpannedError};

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
    /// Where in the excerpt the place is, in characters from 0.
    pub excerpt_column: usize,
    /// What to do about it.
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
        let (mut problem, mut hint) = explain(&error.code);
        if error.code == RonError::ExpectedComma && starts_with_decimals(text, line, column) {
            (problem, hint) = ("expected a whole number, without decimals".to_owned(), BY_HAND);
        }
        if matches!(hint, BY_HAND | ADD_FIELD | CORRECT_FIELD) && !text.trim_end().ends_with(')') {
            hint = COMPLETE;
        }
        Self::at(text, line, column, printable(&problem), hint)
    }

    /// Returns the whole message on several lines: place, problem, the line with a mark, what to do.
    pub fn report(&self, path: &Path) -> String {
        let mut report = format!("{}:{self}\n", shown(path));
        if !self.excerpt.is_empty() {
            report.push_str(&format!("  {}\n  {}^\n", self.excerpt, " ".repeat(self.excerpt_column)));
        }
        report.push_str(&self.hint);
        report
    }
}

/// Returns `path` with control characters made visible.
pub fn shown(path: &Path) -> String {
    printable(&path.to_string_lossy())
}

/// Returns `text` with every character that a terminal might act on written as an escape.
pub fn printable(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for sign in text.chars() {
        if sign.is_control()
            || matches!(sign, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}')
        {
            out.extend(sign.escape_default());
        } else {
            out.push(sign);
        }
    }
    out
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
    let mut before = printable(&before);
    if skipped > 0 {
        before.insert(0, '…');
    }
    let mark = before.chars().count();
    before.push_str(&printable(&after));
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
    let blank = after.chars().take_while(|sign| *sign == ' ').count();
    (line, column + blank)
}

/// Whether the place lies between a digit and decimals.
fn starts_with_decimals(text: &str, line: usize, column: usize) -> bool {
    let line = text.lines().nth(line.saturating_sub(1)).unwrap_or_default();
    let mut around = line.chars().skip(column.saturating_sub(2));
    let mut digit = |wanted: fn(char) -> bool| around.next().is_some_and(wanted);
    digit(|sign| sign.is_ascii_digit()) && digit(|sign| sign == '.') && digit(|sign| sign.is_ascii_digit())
}

/// Returns the line and column just after the end of `text`.
pub(super) fn end_of(text: &str) -> (usize, usize) {
    let line = text.matches('\n').count() + 1;
    let column = text.chars().rev().take_while(|sign| *sign != '\n').count() + 1;
    (line, column)
}

const COMPLETE: &str = "the file does not end in `)` and seems cut off: complete it by hand, or open an older copy";
const BY_HAND: &str = "correct this place in a text editor and open the file again";
const ADD_FIELD: &str = "add it before the closing bracket here";
const CORRECT_FIELD: &str = "correct the name, or take the field out if it is not needed";
const NOT_A_LESSON: &str =
    "check that this is the file you meant; if it holds text tab, `fingerpost read-tab FILE` reads it";

/// Returns the problem and what to do about it.
fn explain(error: &RonError) -> (String, &'static str) {
    let problem = match error {
        RonError::Eof => return ("the file ends too early".to_owned(), COMPLETE),
        RonError::ExpectedStringEnd => {
            return (
                "a text begins here and never ends: expected a closing `\"`".to_owned(),
                "put the missing quote where the text ends; if the file is cut off, open an older copy",
            );
        }
        RonError::UnclosedBlockComment => {
            return ("a comment begins with `/*` and never ends".to_owned(), "put `*/` where the comment ends");
        }
        RonError::ExceededRecursionLimit => {
            return (
                "brackets are nested far deeper than in any lesson".to_owned(),
                "this is no lesson file, or a damaged one",
            );
        }
        RonError::TrailingCharacters => {
            return (
                "expected the end of the file after the last closing bracket".to_owned(),
                "take out what follows, or the bracket that closes too early",
            );
        }
        RonError::NoSuchStructField { expected, found, outer } => {
            return unknown_field(expected, found, outer.as_deref());
        }
        RonError::NoSuchEnumVariant { expected, found, outer } => {
            let of = outer.as_deref().map_or(String::new(), |outer| format!(" as {}", thing(outer)));
            return (
                format!("`{found}` is not known{of}: expected {}", one_of(expected)),
                "write one of the words that are known, with capital letters as shown",
            );
        }
        RonError::MissingStructField { field: "format", .. } => {
            return (
                "the number of the file's format is missing".to_owned(),
                "write `format: 1,` after the first bracket",
            );
        }
        RonError::MissingStructField { field, outer } => {
            let of = outer.as_deref().map_or("this".to_owned(), thing);
            return (format!("{of} needs `{field}`, which is missing"), ADD_FIELD);
        }
        RonError::DuplicateStructField { field, outer } => {
            let of = outer.as_deref().map_or("this".to_owned(), thing);
            return (format!("{of} has `{field}` twice"), "take one of the two out");
        }
        RonError::ExpectedDifferentStructName { expected: "Document", .. }
        | RonError::ExpectedNamedStructLike("Document") => {
            return ("this is no lesson file: expected `(format: 1, lesson: (…))`".to_owned(), NOT_A_LESSON);
        }
        RonError::ExpectedStructName(_)
        | RonError::ExpectedDifferentStructName { .. }
        | RonError::ExpectedStructLike => "expected an opening `(`".to_owned(),
        RonError::ExpectedNamedStructLike("") => "expected an opening `(`".to_owned(),
        RonError::ExpectedNamedStructLike(name) => format!("expected {} in brackets, starting with `(`", thing(name)),
        RonError::ExpectedStructLikeEnd | RonError::ExpectedOptionEnd => "expected a comma or a closing `)`".to_owned(),
        RonError::ExpectedArray => "expected a list in square brackets, as in `[1, 2]`".to_owned(),
        RonError::ExpectedArrayEnd => "expected a comma or a closing `]`".to_owned(),
        RonError::ExpectedMap => "expected an opening `{`".to_owned(),
        RonError::ExpectedMapEnd => "expected a comma or a closing `}`".to_owned(),
        RonError::ExpectedMapColon => "expected a colon between the name of a field and its value".to_owned(),
        RonError::ExpectedComma => {
            return (
                "expected a comma or a closing bracket here".to_owned(),
                "put in what is missing; if this is inside a text, a quote is missing before it",
            );
        }
        RonError::ExpectedBoolean => "expected `true` or `false`".to_owned(),
        RonError::ExpectedInteger => "expected a whole number".to_owned(),
        RonError::ExpectedFloat => "expected a number".to_owned(),
        RonError::ExpectedString => "expected a text in double quotes".to_owned(),
        RonError::ExpectedIdentifier => "expected the name of a field, without quotes".to_owned(),
        RonError::ExpectedOption => "expected a value or `None`".to_owned(),
        RonError::IntegerOutOfBounds => "this number is too large, or negative where that is not possible".to_owned(),
        RonError::InvalidValueForType { expected, found } => format!("expected {expected}, found {found}"),
        RonError::ExpectedDifferentLength { expected, found } => format!("expected {expected}, found {found}"),
        RonError::InvalidEscape(_) => {
            return (
                "a backslash in a text is followed by something that has no meaning".to_owned(),
                "write `\\\\` for a backslash, `\\\"` for a quote, `\\n` for a new line",
            );
        }
        RonError::UnexpectedChar(sign) => format!("`{sign}` has no meaning here"),
        RonError::NoSuchExtension(_) | RonError::ExpectedAttribute | RonError::ExpectedAttributeEnd => {
            return ("an `#![enable(...)]` line is not needed here".to_owned(), "take that line out");
        }
        RonError::Message(message) => message.clone(),
        other => lower_first(&other.to_string()),
    };
    (problem, BY_HAND)
}

fn unknown_field(expected: &[&str], found: &str, outer: Option<&str>) -> (String, &'static str) {
    let of = outer.map_or("this".to_owned(), thing);
    (format!("{of} has no field `{found}`: expected {}", one_of(expected)), CORRECT_FIELD)
}

/// Lists what may stand somewhere.
fn one_of(words: &[&str]) -> String {
    let quoted: Vec<String> = words.iter().map(|word| format!("`{word}`")).collect();
    match quoted.split_last() {
        None => "nothing".to_owned(),
        Some((only, [])) => only.clone(),
        Some((last, others)) => format!("{} or {last}", others.join(", ")),
    }
}

/// Returns what a teacher calls a thing that the code calls `name`.
fn thing(name: &str) -> String {
    let known = match name {
        "Document" => "a lesson file",
        "Lesson" => "a lesson",
        "Header" => "the header",
        "OwnedInstrument" => "an entry of `instruments`",
        "Instrument" => "an instrument",
        "ShortString" => "the short string",
        "Setup" => "a setup",
        "Capo" => "a capo",
        "Piece" => "a piece",
        "Passage" => "a passage",
        "Bar" => "a bar",
        "Event" => "an event",
        "Note" => "a note",
        "Voicing" | "LibraryVoicing" => "a voicing",
        "Barre" => "a barre",
        "Segment" => "a segment",
        "Recorded" => "a recorded time",
        "PassageUse" => "an entry of a segment's `passages`",
        "BarRange" => "a range of bars",
        "Library" => "the voicing library",
        "Settings" => "the settings",
        "TaughtIn" => "an entry of `taught_in`",
        "PaperSize" => "a paper size",
        "Characters" => "a set of characters",
        "ChordNames" => "a way to name chords",
        "SegmentKind" => "a kind of segment",
        "Feel" => "a feel",
        "Join" => "a join between notes",
        "Technique" => "a technique",
        "Stroke" => "a stroke",
        "Finger" => "a finger",
        "Doubt" => "a doubt",
        other => return format!("`{other}`"),
    };
    known.to_owned()
}

fn lower_first(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or(String::new(), |first| first.to_lowercase().chain(chars).collect())
}
