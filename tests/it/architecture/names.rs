//! One word means one thing: no two types of the house share a name, whoever can see them.
//!
//! Types that only tests have count for nothing, and neither do the types that belong to a trait.

use std::collections::BTreeMap;

use super::text::files;

/// Names that stand for several things still, with how many. The list only shrinks: whoever renames one takes it off.
const SHARED: &[(&str, usize)] = &[];

#[test]
fn no_two_types_share_a_name() {
    let mut places: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for file in files() {
        for name in file.without_tests().lines().filter_map(type_name) {
            places.entry(name.to_owned()).or_default().push(file.shown());
        }
    }
    let known = |name: &str| SHARED.iter().find(|(shared, _)| *shared == name).map_or(1, |(_, count)| *count);
    let shared: Vec<_> = places.iter().filter(|(name, places)| places.len() > known(name)).collect();
    assert!(shared.is_empty(), "types share a name: {shared:#?}");
    let count = |name: &str| places.get(name).map_or(0, Vec::len);
    let gone: Vec<_> = SHARED.iter().filter(|(name, shared)| count(name) < *shared).collect();
    assert!(gone.is_empty(), "fewer types share these names now, take them off the list: {gone:?}");
}

#[test]
fn types_are_found_by_the_line_that_begins_them() {
    for (line, name) in [
        ("pub struct Place {", Some("Place")),
        ("pub(super) enum Spot {", Some("Spot")),
        ("pub(in crate::tab) type Cells = Vec<Cell>;", Some("Cells")),
        ("trait Item<T> {", Some("Item")),
        ("    type Err = PitchError;", None),
        ("struct Unit;", Some("Unit")),
        ("fn structure() {", None),
    ] {
        assert_eq!(type_name(line), name, "{line}");
    }
}

/// Returns the name of the type that a line at the left margin begins.
fn type_name(line: &str) -> Option<&str> {
    let declared = match line.strip_prefix("pub") {
        Some(rest) if rest.starts_with('(') => rest.split_once(") ")?.1,
        Some(rest) => rest.strip_prefix(' ')?,
        None => line,
    };
    let after = ["struct ", "enum ", "trait ", "type "].iter().find_map(|word| declared.strip_prefix(word))?;
    after.split(|c: char| !c.is_alphanumeric() && c != '_').next()
}
