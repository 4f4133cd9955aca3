//! No type of the workbench has more methods than one job asks for.
//!
//! What only needs some of a pane's state is a method of that part, or a function that takes it; a type that everything
//! is a method of is one thing in name only. A function that takes a whole pane or the desk to change it is a method in all
//! but name, so it counts as one. Whoever draws on a region, edits the open lesson or advances the state works on
//! what it is given, and counts for nothing. Methods of traits do not count: the trait asks for them. The source is
//! laid out by rustfmt, so an `impl` ends with the first closing brace at its own indent, and its methods stand one
//! level deeper.

use std::collections::{BTreeMap, BTreeSet};

use super::lengths::function_name;
use super::text::files;

/// The most methods of a type, over all its `impl` blocks, with the functions that are methods in all but name.
const METHODS: usize = 45;

/// Types that have more, each with why. One that has been brought down is taken off the list.
const MANY: &[(&str, &str)] = &[];

#[test]
fn no_type_of_the_workbench_has_more_methods_than_one_job_asks_for() {
    let mut counted = BTreeMap::new();
    for file in files().iter().filter(|file| file.path.first().is_some_and(|folder| folder == "workbench")) {
        count_methods(file.without_tests(), &mut counted);
        count_functions_of_panes(file.without_tests(), &mut counted);
    }
    let many: Vec<_> = counted.iter().filter(|(_, methods)| **methods > METHODS).collect();
    let new: Vec<_> = many.iter().filter(|(name, _)| !MANY.iter().any(|(known, _)| known == name)).collect();
    assert!(new.is_empty(), "types with more than {METHODS} methods: {new:?}");
    for known in MANY {
        assert!(many.iter().any(|(name, _)| *name == known.0), "few enough now, take it off the list: {known:?}");
    }
}

#[test]
fn methods_are_counted_over_every_block_of_a_type() {
    let code = "impl Door {\n    /// Opens.\n    pub fn open(&mut self) {\n        fn inner() {}\n    }\n\n    pub(in crate::a) \
                const fn is_open(\n        &self,\n    ) -> bool {\n    }\n}\n\nimpl Default for Door {\n    fn default() -> \
                Self {\n    }\n}\n\nimpl<'a, T: Fn(&T) -> T> Wall<'a, T>\nwhere\n    T: Copy,\n{\n    fn paint(self) \
                {}\n}\n\nimpl Door {\n    fn shut(&mut self) {}\n}\n\nfn knock() {}\n\nmod inner {\n    impl Bell {\n        \
                fn ring(&self) {}\n    }\n}\n";
    let mut counted = BTreeMap::new();
    count_methods(code, &mut counted);
    let expected = [("Bell", 1), ("Door", 3), ("Wall", 1)].map(|(name, methods)| (name.to_owned(), methods));
    assert_eq!(counted, BTreeMap::from(expected));
}

#[test]
fn a_function_that_changes_a_whole_pane_counts_as_a_method_of_it() {
    let code = "fn aim(pane: &mut DoorPane, at: u8) {}\n\npub(super) fn shut<'a>(\n    lamp: &Lamp,\n    pane: &'a mut \
                DoorPane,\n) -> &'a u8 {\n}\n\nfn look(pane: &DoorPane, lamp: &mut Lamp) {}\n\nfn lay(desk: &mut Desk) \
                {\n    fn inner(pane: &mut DoorPane) {}\n}\n";
    let mut counted = BTreeMap::new();
    count_functions_of_panes(code, &mut counted);
    assert_eq!(counted, BTreeMap::from([("Desk".to_owned(), 1), ("DoorPane".to_owned(), 2)]));
}

/// Adds the functions in `code` that change a whole pane, or the desk, to the methods of those.
fn count_functions_of_panes(code: &str, counted: &mut BTreeMap<String, usize>) {
    let lines: Vec<&str> = code.lines().collect();
    for (at, line) in lines.iter().enumerate() {
        if line.starts_with(' ') || function_name(line).is_none() {
            continue;
        }
        let head = lines[at..].iter().take_while(|line| !line.ends_with('{')).chain(lines.get(at));
        let head: String = head.copied().collect::<Vec<_>>().join(" ");
        let taken = head.split("mut ").skip(1).filter_map(|after| after.split(|c: char| !c.is_alphanumeric()).next());
        let panes: BTreeSet<&str> = taken.filter(|name| name.ends_with("Pane") || *name == "Desk").collect();
        for pane in panes {
            *counted.entry(pane.to_owned()).or_default() += 1;
        }
    }
}

/// Adds the methods in `code` to those of their types that have been counted.
fn count_methods(code: &str, counted: &mut BTreeMap<String, usize>) {
    let lines: Vec<&str> = code.lines().collect();
    for (at, line) in lines.iter().enumerate() {
        if !line.trim_start().starts_with("impl") {
            continue;
        }
        let indent = &line[..line.len() - line.trim_start().len()];
        let Some(opens) = lines[at..].iter().position(|line| line.ends_with('{')).map(|after| at + after) else {
            return;
        };
        let head = lines[at..=opens].join(" ");
        let Some(name) = type_of_block(&head) else { continue };
        let (closing, method) = (format!("{indent}}}"), format!("{indent}    "));
        let body = lines[opens + 1..].iter().take_while(|line| **line != closing);
        let starts = body.filter_map(|line| line.strip_prefix(&method)).filter(|line| !line.starts_with(' '));
        *counted.entry(name.to_owned()).or_default() += starts.filter(|line| function_name(line).is_some()).count();
    }
}

/// Returns the type whose own block a line begins: not that of a trait.
fn type_of_block(line: &str) -> Option<&str> {
    let after = line.trim_start().strip_prefix("impl")?;
    let after = after.strip_prefix(' ').or_else(|| Some(&after[end_of_generics(after)?..]))?.trim_start();
    let name = after.split(|c: char| !c.is_alphanumeric() && c != '_' && c != ':').next()?;
    (!after.contains(" for ")).then(|| name.rsplit("::").next().unwrap_or(name))
}

/// Returns where the generics end that `text` begins with.
fn end_of_generics(text: &str) -> Option<usize> {
    let mut depth = 0;
    let mut before = ' ';
    for (at, sign) in text.char_indices() {
        match sign {
            '<' => depth += 1,
            // The arrow of a function is no bracket.
            '>' if before != '-' => depth -= 1,
            _ => {}
        }
        if depth == 0 {
            return (at > 0).then_some(at + 1);
        }
        before = sign;
    }
    None
}
