//! No struct has more fields than a reader can hold.
//!
//! The source is laid out by rustfmt, so a struct ends with the first closing brace at the indent of its `struct`, and
//! its fields stand one level deeper.

use super::text::files;

/// The most fields of a struct.
const FIELDS: usize = 14;

/// Structs that are wider, each with why. One that has been narrowed is taken off the list.
const WIDE: &[(&str, &str)] = &[
    ("Weights", "the table of assets/placement.ron, a row a price"),
    ("RankingPrices", "the table of assets/voicing_ranking.ron, a row a price"),
    ("Costs", "the table of assets/fingering.ron, a row a price"),
    ("Manners", "the table of how sounds are played, a row a number"),
    ("Sound", "a row of assets/sounds.ron, whose head explains each number"),
    ("Glyphs", "a constant table: the characters of a look"),
    ("PlaceArgs", "the arguments of a command, read once"),
];

#[test]
fn no_struct_is_wider_than_a_reader_can_hold() {
    let mut found = Vec::new();
    for file in files() {
        let structs = structs(file.without_tests()).into_iter().filter(|(_, fields)| *fields > FIELDS);
        found.extend(structs.map(|(name, fields)| (format!("{}::{name}", file.path.join("::")), fields)));
    }
    let is = |(found, _): &(String, usize), wide: &(&str, &str)| {
        found == wide.0 || found.rsplit("::").next() == Some(wide.0)
    };
    let new: Vec<_> = found.iter().filter(|found| !WIDE.iter().any(|wide| is(found, wide))).collect();
    assert!(new.is_empty(), "structs of more than {FIELDS} fields: {new:?}");
    for wide in WIDE {
        assert!(found.iter().any(|found| is(found, wide)), "narrow enough now, take it off the list: {wide:?}");
    }
}

#[test]
fn fields_are_counted_whatever_stands_before_them() {
    let code = "pub struct A {\n    /// One.\n    pub one: u8,\n    #[serde(default)]\n    pub(super) two: Vec<u8>,\n    r#type: \
                [(u8, u8); 2],\n}\n\nstruct B;\n\npub(crate) struct C<'a>\nwhere\n    T: Copy,\n{\n    one: &'a T,\n}\n\nstruct \
                D(u8, u8);\n\nmod inner {\n    struct E {\n        one: u8,\n    }\n}\n";
    let counted = [("A", 3), ("C", 1), ("E", 1)].map(|(name, fields)| (name.to_owned(), fields));
    assert_eq!(structs(code), counted);
}

/// Returns the structs of `code` that name their fields, each with how many.
fn structs(code: &str) -> Vec<(String, usize)> {
    let lines: Vec<&str> = code.lines().collect();
    let mut structs = Vec::new();
    for (at, line) in lines.iter().enumerate() {
        let Some(name) = struct_name(line.trim_start()) else { continue };
        let indent = &line[..line.len() - line.trim_start().len()];
        let opens = lines[at..].iter().position(|line| line.ends_with([';', '{', '}'])).map(|after| at + after);
        let Some(opens) = opens.filter(|opens| lines[*opens].ends_with('{')) else { continue };
        let closing = format!("{indent}}}");
        let body = lines[opens + 1..].iter().take_while(|line| **line != closing);
        structs.push((name.to_owned(), body.filter(|line| is_field(line, indent)).count()));
    }
    structs
}

/// Returns the name of the struct that a line begins.
fn struct_name(line: &str) -> Option<&str> {
    let after = line
        .strip_prefix("struct ")
        .or_else(|| line.strip_prefix("pub").and_then(|rest| rest.split_once(" struct ").map(|(_, after)| after)))?;
    after.split(|c: char| !c.is_alphanumeric() && c != '_').next()
}

/// Returns whether a line names a field of a struct at `indent`.
fn is_field(line: &str, indent: &str) -> bool {
    let Some(line) = line.strip_prefix(indent).and_then(|line| line.strip_prefix("    ")) else { return false };
    let line = match line.strip_prefix("pub(") {
        Some(rest) => rest.split_once(") ").map_or("", |(_, rest)| rest),
        None => line.strip_prefix("pub ").unwrap_or(line),
    };
    let name = line.split_once(':').map_or("", |(name, _)| name);
    let name = name.strip_prefix("r#").unwrap_or(name);
    !name.is_empty() && name.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_')
}
