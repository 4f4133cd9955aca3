//! What the RON reader found wrong, in a teacher's words, and what to do about it.

use std::borrow::Cow;

use ron::error::Error as RonError;

use super::formats::{
    LAST_PLACES_FORMAT, LESSON_FORMAT, LIBRARY_FORMAT, PRINTED_FORMAT, SETTINGS_FORMAT, is_older_word, word_of_today,
};

const COMPLETE: &str =
    "the file does not end in `)` and seems cut off: complete it in a text editor, or open an older copy";
/// The problem itself says what is expected.
const NO_HINT: &str = "";
const ADD_FIELD: &str = "add it before the closing bracket here";
const CORRECT_FIELD: &str = "correct the name, or delete the field";
const NOT_A_LESSON: &str =
    "check that this is the file you meant; if it holds text tab, `fingerpost read-tab FILE` reads it";

/// The text around the place of a fault.
pub(super) struct TextAround<'a> {
    before: &'a str,
    after: &'a str,
}

impl<'a> TextAround<'a> {
    /// Returns what stands before and after a place, lines and columns counted from 1.
    pub(super) fn of(text: &'a str, line: usize, column: usize) -> Self {
        let line_at: usize = text.split_inclusive('\n').take(line.saturating_sub(1)).map(str::len).sum();
        let rest = text.get(line_at..).unwrap_or_default();
        let in_line: usize = rest.chars().take(column.saturating_sub(1)).map(char::len_utf8).sum();
        let (before, after) = text.split_at_checked(line_at + in_line).unwrap_or((text, ""));
        Self { before, after }
    }

    /// Returns the field whose value begins here.
    fn field(&self) -> Option<&'a str> {
        let name = self.before.trim_end().strip_suffix(':')?.trim_end();
        let start = name.rfind(|sign: char| !sign.is_ascii_alphanumeric() && sign != '_').map_or(0, |at| at + 1);
        name.get(start..).filter(|name| !name.is_empty())
    }

    /// Returns whether the place lies between a digit and decimals.
    fn splits_a_number(&self) -> bool {
        let decimals =
            self.after.strip_prefix('.').is_some_and(|rest| rest.starts_with(|sign: char| sign.is_ascii_digit()));
        decimals && self.before.ends_with(|sign: char| sign.is_ascii_digit())
    }

    /// Returns whether the file ends without its last bracket.
    fn is_cut_off(&self) -> bool {
        let end = if self.after.trim_end().is_empty() { self.before } else { self.after };
        !end.trim_end().ends_with(')')
    }
}

/// Returns the problem and what to do about it; no words where the problem says it.
pub(super) fn explain(error: &RonError, around: &TextAround<'_>) -> (String, Cow<'static, str>) {
    if let Some(explained) = of_the_format(error) {
        return explained;
    }
    let (problem, hint) = match error {
        RonError::ExpectedComma if around.splits_a_number() => {
            ("expected a whole number, without decimals".to_owned(), NO_HINT)
        }
        RonError::ExpectedString => (expected_text(around.field()), NO_HINT),
        other => explain_alone(other),
    };
    let hint = match hint {
        NO_HINT | ADD_FIELD | CORRECT_FIELD if around.is_cut_off() => COMPLETE,
        NO_HINT if around.after.starts_with('#') => "a comment begins with `//`",
        NO_HINT if around.after.starts_with([')', ']', '}']) && *error != RonError::ExpectedStructLike => {
            "look for a bracket before this one that is missing, or closes too early"
        }
        other => other,
    };
    (problem, hint.into())
}

/// Explains that the number of the format is missing, or that the file is no lesson at all.
fn of_the_format(error: &RonError) -> Option<(String, Cow<'static, str>)> {
    let add = |format: u32| format!("write `format: {format},` after the first bracket").into();
    match error {
        RonError::MissingStructField { field: "format", outer } => {
            // A lesson has another format than the files of the user.
            let hint = match outer.as_deref() {
                Some("Document") => add(LESSON_FORMAT),
                Some("Library") => add(LIBRARY_FORMAT),
                Some("PrintedHandouts") => add(PRINTED_FORMAT),
                Some("LastPlaces") => add(LAST_PLACES_FORMAT),
                Some(_) | None => add(SETTINGS_FORMAT),
            };
            Some(("the file version is missing".to_owned(), hint))
        }
        RonError::ExpectedDifferentStructName { expected: "Document", .. }
        | RonError::ExpectedNamedStructLike("Document") => {
            let problem = format!("this is not a lesson file: expected `(format: {LESSON_FORMAT}, lesson: (…))`");
            Some((problem, NOT_A_LESSON.into()))
        }
        _ => None,
    }
}

/// Says that a text is expected, with an example where the field is known to hold a special one.
fn expected_text(field: Option<&str>) -> String {
    let field = field.map(word_of_today);
    let example = match field {
        Some("time_signature") => "4/4",
        Some("tempo") => "1/4=92",
        Some("length") => "1/8",
        Some("key") => "Em",
        Some("shape") => "x 3 2 0 1 0",
        Some("strings" | "tuning") => "E2 A2 D3 G3 B3 E4",
        Some("planned" | "goal" | "start" | "end") => "1:30",
        Some(field) => return format!("expected `{field}` as a text in double quotes"),
        None => return "expected a text in double quotes".to_owned(),
    };
    format!("expected `{}` in double quotes, as in `\"{example}\"`", field.unwrap_or_default())
}

/// Returns the problem and what to do about it, from the reader's error alone.
fn explain_alone(error: &RonError) -> (String, &'static str) {
    of_the_file(error)
        .or_else(|| of_a_name(error))
        .or_else(|| of_signs(error))
        .unwrap_or_else(|| (of_a_value(error), NO_HINT))
}

/// Explains what is wrong with a file as a whole: it ends too early, goes on too long, or is something else.
fn of_the_file(error: &RonError) -> Option<(String, &'static str)> {
    let (problem, hint) = match error {
        RonError::Eof => ("the file ends too early", COMPLETE),
        RonError::ExceededRecursionLimit => {
            ("brackets are nested far deeper than in any lesson", "this is not a lesson file, or a damaged one")
        }
        RonError::TrailingCharacters => (
            "expected the end of the file after the last closing bracket",
            "delete what follows, or the bracket that closes too early",
        ),
        RonError::NoSuchExtension(_) | RonError::ExpectedAttribute | RonError::ExpectedAttributeEnd => {
            ("an `#![enable(...)]` line is not needed here", "delete that line")
        }
        _ => return None,
    };
    Some((problem.to_owned(), hint))
}

/// Explains what is wrong with the name of a field or with one of the words that are known: it is unknown, missing or
/// there twice.
fn of_a_name(error: &RonError) -> Option<(String, &'static str)> {
    let whose = |outer: &Option<String>| outer.as_deref().map_or("this".to_owned(), thing);
    Some(match error {
        RonError::NoSuchStructField { expected, found, outer } => {
            (format!("{} has no field `{found}`: expected {}", whose(outer), one_of(expected)), CORRECT_FIELD)
        }
        RonError::MissingStructField { field, outer } => {
            (format!("{} needs `{field}`, which is missing", whose(outer)), ADD_FIELD)
        }
        RonError::DuplicateStructField { field, outer } => {
            (format!("{} has `{field}` twice", whose(outer)), "delete one of the two")
        }
        RonError::NoSuchEnumVariant { expected, found, outer } => {
            let of = outer.as_deref().map_or(String::new(), |outer| format!(" as {}", thing(outer)));
            (
                format!("`{found}` is not known{of}: expected {}", one_of(expected)),
                "write one of the words that are known, with capital letters as shown",
            )
        }
        RonError::SuggestRawIdentifier(found) | RonError::InvalidIdentifier(found) => {
            (format!("expected a word here, found `{found}`"), "write one of the words that are known here")
        }
        _ => return None,
    })
}

/// Explains quotes, backslashes, commas and signs of comments that are missing or too many.
fn of_signs(error: &RonError) -> Option<(String, &'static str)> {
    let (problem, hint) = match error {
        RonError::ExpectedStringEnd => (
            "a text begins here and never ends: expected a closing `\"`",
            "put the missing quote where the text ends; if the file is cut off, open an older copy",
        ),
        RonError::UnclosedBlockComment => {
            ("a comment begins with `/*` and never ends", "put `*/` where the comment ends")
        }
        RonError::ExpectedComma => (
            "expected a comma or a closing bracket here",
            "put in what is missing; if this is inside a text, a quote is missing before it",
        ),
        RonError::InvalidEscape(_) => (
            "a backslash in a text is followed by something that has no meaning",
            "write `\\\\` for a backslash, `\\\"` for a quote, `\\n` for a new line",
        ),
        _ => return None,
    };
    Some((problem.to_owned(), hint))
}

/// Says what was expected where something else stands.
fn of_a_value(error: &RonError) -> String {
    let problem = match error {
        RonError::ExpectedStructLike => "expected `(` and a value after this word, as in `Bend(\"1/2\")`",
        RonError::ExpectedStructName(_)
        | RonError::ExpectedDifferentStructName { .. }
        | RonError::ExpectedNamedStructLike("") => "expected an opening `(`",
        RonError::ExpectedStructLikeEnd | RonError::ExpectedOptionEnd => "expected a comma or a closing `)`",
        RonError::ExpectedArray => "expected a list in square brackets, as in `[1, 2]`",
        RonError::ExpectedArrayEnd => "expected a comma or a closing `]`",
        RonError::ExpectedMap => "expected an opening `{`",
        RonError::ExpectedMapEnd => "expected a comma or a closing `}`",
        RonError::ExpectedMapColon => "expected a colon between the name of a field and its value",
        RonError::ExpectedBoolean => "expected `true` or `false`",
        RonError::ExpectedInteger => "expected a whole number",
        RonError::ExpectedFloat => "expected a number",
        RonError::ExpectedIdentifier => "expected the name of a field, without quotes",
        RonError::ExpectedOption => "expected a value or `None`",
        RonError::IntegerOutOfBounds => "this number is too large, or negative where that is not possible",
        RonError::ExpectedNamedStructLike(name) => {
            let example = example(name).map_or(", starting with `(`".into(), |example| format!(", as in `{example}`"));
            return format!("expected {} in brackets{example}", thing(name));
        }
        RonError::InvalidValueForType { expected, found } => {
            // The reader says what kind of value it is; the value itself says enough.
            let value = found.find('`').and_then(|at| found.get(at..)).unwrap_or(found);
            return format!("expected {expected}, found {value}");
        }
        RonError::ExpectedDifferentLength { expected, found } => return format!("expected {expected}, found {found}"),
        RonError::UnexpectedChar(sign) => return format!("`{sign}` has no meaning here"),
        RonError::Message(message) => message,
        other => return lower_first(&other.to_string()),
    };
    problem.to_owned()
}

/// Lists what may stand somewhere.
fn one_of(words: &[&str]) -> String {
    // The strings of a tuning were called `tuning` themselves.
    let is_older = |word: &str| is_older_word(word) || word == "tuning" && words.contains(&"strings");
    let quoted: Vec<String> = words.iter().filter(|word| !is_older(word)).map(|word| format!("`{word}`")).collect();
    match quoted.split_last() {
        None => "nothing".to_owned(),
        Some((only, [])) => only.clone(),
        Some((last, others)) => format!("{} or {last}", others.join(", ")),
    }
}

/// Returns a small thing as it is written.
fn example(name: &str) -> Option<&'static str> {
    Some(match name {
        "Capo" => "(fret: 3)",
        "BarRange" => "(first: 1, last: 4)",
        "Barre" => "(fret: 5, from: 6, to: 1)",
        "Recorded" => "(start: \"1:00\", end: \"2:30\")",
        "VideoCut" => "(from: \"0:10\", to: \"0:25\")",
        "PassageUse" => "(passage: 1)",
        "ShortString" => "(string: 5, starts_at: 5)",
        "Note" => "(string: 3, fret: 5)",
        "Event" => "(length: \"1/4\", notes: [(string: 3, fret: 5)])",
        _ => return None,
    })
}

/// Returns what a teacher calls a thing that the code calls `name`: mostly the same, `a paper size` for `PaperSize`.
fn thing(name: &str) -> String {
    let known = match name {
        "Document" => "a lesson file",
        "Header" => "the header",
        "OwnedInstrument" => "an entry of `instruments`",
        "ShortString" => "the short string",
        "LibraryVoicing" => "a voicing",
        "Recorded" => "a recorded time",
        "PassageUse" => "an entry of a segment's `passages`",
        "BarRange" => "a range of bars",
        "Library" => "the voicing library",
        "Settings" => "the settings",
        "TaughtIn" => "an entry of `taught_in`",
        "Characters" => "a set of characters",
        "ChordNames" => "a way to name chords",
        "SegmentKind" => "a kind of segment",
        "Setup" => "a tuning (an entry of `tunings`)",
        "Event" => "a note or rest (an entry of a voice)",
        "Join" => "a tie, slur or slide",
        other => return in_words(other),
    };
    known.to_owned()
}

/// Returns the words that a name of the code is made of, with their article: `a voicing` for `Voicing`.
fn in_words(name: &str) -> String {
    let mut words = String::new();
    for letter in name.chars() {
        if letter.is_uppercase() && !words.is_empty() {
            words.push(' ');
        }
        words.extend(letter.to_lowercase());
    }
    let article = if words.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
    format!("{article} {words}")
}

fn lower_first(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or(String::new(), |first| first.to_lowercase().chain(chars).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn things_are_called_what_a_teacher_calls_them() {
        for (name, called) in [
            ("Event", "a note or rest (an entry of a voice)"),
            ("PaperSize", "a paper size"),
            ("Voicing", "a voicing"),
            ("Header", "the header"),
            ("SegmentKind", "a kind of segment"),
        ] {
            assert_eq!(thing(name), called);
        }
    }
}
