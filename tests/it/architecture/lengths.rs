//! No function and no file is longer than a reader can hold.
//!
//! The source is laid out by rustfmt, so a function ends with the first closing brace at the indent of its `fn`.

use super::text::files;

/// The most lines of a file, tests within it included.
const FILE: usize = 620;

/// The most lines of a function, from its `fn` to its closing brace.
const FUNCTION: usize = 100;

/// Functions that are longer, each with why. One that has been shortened is taken off the list.
const LONG: &[(&str, &str)] = &[];

#[test]
fn no_file_is_longer_than_a_reader_can_hold() {
    let files = files();
    let lines = files.iter().map(|file| (file.shown(), file.text.lines().count()));
    let long: Vec<(String, usize)> = lines.filter(|(_, lines)| *lines > FILE).collect();
    assert!(long.is_empty(), "files of more than {FILE} lines: {long:?}");
}

#[test]
fn no_function_is_longer_than_a_reader_can_hold() {
    let mut found = Vec::new();
    for file in files() {
        let functions = functions(&file.text).into_iter().filter(|(_, lines)| *lines > FUNCTION);
        found.extend(functions.map(|(name, lines)| (file.shown(), name, lines)));
    }
    let is = |(_, name, _): &(String, String, usize), long: &(&str, &str)| name == long.0;
    let new: Vec<_> = found.iter().filter(|found| !LONG.iter().any(|long| is(found, long))).collect();
    assert!(new.is_empty(), "functions of more than {FUNCTION} lines: {new:?}");
    for long in LONG {
        assert!(found.iter().any(|found| is(found, long)), "short enough now, take it off the list: {long:?}");
    }
}

#[test]
fn functions_are_measured_from_their_first_line_to_their_brace() {
    let code = "impl A {\n    fn one(\n        &self,\n    ) -> u8 {\n        if x {\n        }\n    }\n\n    fn none(&self);\n\n    \
                fn short() {}\n}\n\npub(super) const fn two() {\n}\n";
    let measured = [("one", 6), ("two", 2)].map(|(name, lines)| (name.to_owned(), lines));
    assert_eq!(functions(code), measured);
}

/// Returns the functions of `code` with their lengths in lines; those of one line are left out.
fn functions(code: &str) -> Vec<(String, usize)> {
    let lines: Vec<&str> = code.lines().collect();
    let mut functions = Vec::new();
    for (at, line) in lines.iter().enumerate() {
        let Some(name) = function_name(line.trim_start()) else { continue };
        let ends = |line: &&&str| [';', '{', '}'].iter().any(|end| line.ends_with(*end));
        if !lines[at..].iter().find(ends).is_some_and(|line| line.ends_with('{')) {
            continue;
        }
        let indent = &line[..line.len() - line.trim_start().len()];
        let closing = format!("{indent}}}");
        let length = lines[at..].iter().position(|line| *line == closing).map_or(lines.len() - at, |end| end + 1);
        functions.push((name.to_owned(), length));
    }
    functions
}

/// Returns the name of the function that a line begins.
pub fn function_name(line: &str) -> Option<&str> {
    let (before, after) = line.strip_prefix("fn ").map(|after| ("", after)).or_else(|| line.split_once(" fn "))?;
    let qualifiers = ["pub", "const", "unsafe", "async", "extern"];
    let is_qualifier = |word: &str| qualifiers.contains(&word.split('(').next().unwrap_or(word)) || word.ends_with(')');
    let name = after.split(|c: char| !c.is_alphanumeric() && c != '_').next()?;
    before.split_whitespace().all(is_qualifier).then_some(name)
}
