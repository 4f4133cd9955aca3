//! Within a floor no file needs another that needs it: each can be read after those it imports.
//!
//! Two files that import each other are one thing in two places. What both need goes into a file of its own below
//! them. That holds for a file and the folder of its parts as well, and for whole folders beside each other.
//!
//! An import is a name that the text holds. Where a file calls a method on a value whose type it does not name, nothing is seen, but for
//! calls by `self.` and `Self::`: the head of `modules.rs` says what is read.

use super::FLOORS;
use super::modules::{House, Imports, circles};
use super::text::{SourceFile, files};

/// Circles that are there, each with why it has not gone yet. One that has gone is taken off the list.
const KNOWN: &[(&[&str], &str)] = &[(
    &[
        "workbench::runtime::journal_file",
        "workbench::runtime::opening",
        "workbench::runtime::saving",
        "workbench::runtime::session",
        "workbench::runtime::taking_over",
    ],
    "the open files of one session: whichever effect is performed may have to save, journal or open another",
)];

#[test]
fn no_files_or_folders_of_a_floor_import_each_other_in_a_circle() {
    let house = House::of(&files());
    let found: Vec<(Vec<String>, String)> = FLOORS.iter().flat_map(|(floor, _)| circles_of(&house, floor)).collect();
    let known = |circle: &[String]| KNOWN.iter().any(|(known, _)| circle == *known);
    let new: String = found.iter().filter(|(circle, _)| !known(circle)).map(|(_, told)| told.as_str()).collect();
    assert!(new.is_empty(), "imports go in circles:\n{new}");
    for (known, _) in KNOWN {
        assert!(found.iter().any(|(circle, _)| circle == known), "no circle any more, take it off the list: {known:?}");
    }
}

/// Returns the circles of a floor, first among its files, then among the files and folders of each of its folders;
/// each with what it is told by.
fn circles_of(house: &House, floor: &str) -> Vec<(Vec<String>, String)> {
    let imports = house.imports(floor);
    let mut found: Vec<_> =
        circles(&imports).into_iter().map(|circle| (circle.clone(), told(&circle, &imports))).collect();
    let folders = house.folders(floor);
    let is_folder = |entry: &String| folders.contains(&entry.replace("::", "/"));
    for folder in &folders {
        let imports = house.imports_of_entries(folder);
        for circle in circles(&imports) {
            // A file and the folder of its parts have been looked at among the files.
            if circle.iter().any(is_folder) && !circle.contains(&folder.replace('/', "::")) {
                found.push((circle.clone(), told(&circle, &imports)));
            }
        }
    }
    found
}

/// Writes down a circle, a line for each module with those of the circle that it imports.
fn told(circle: &[String], imports: &Imports) -> String {
    let line = |module: &String| {
        let within: Vec<&str> =
            imports[module].iter().filter(|target| circle.contains(target)).map(String::as_str).collect();
        format!("  {module} imports {}\n", within.join(", "))
    };
    circle.iter().map(line).chain(["\n".to_owned()]).collect()
}

/// Returns the circles among invented files, each a path below `src/` and what is in it.
#[track_caller]
fn check_circles(invented: &[(&str, &str)], expected: &[&[&str]]) {
    let file = |(path, text): &(&str, &str)| SourceFile {
        path: path.split('/').map(str::to_owned).collect(),
        text: (*text).to_owned(),
    };
    let house = House::of(&invented.iter().map(file).collect::<Vec<_>>());
    assert_eq!(circles(&house.imports("a")), expected, "{invented:?}");
}

#[test]
fn paths_of_every_kind_are_followed() {
    let b = ("a/b", "pub struct B(super::c::C);");
    for c in [
        "use super::b::B; pub struct C;",
        "use crate::a::b::B; pub struct C;",
        "use crate::a::{d::D, b::{self, B}}; pub struct C;",
        "use super::b::*; pub struct C(B);",
        "use super::b; pub struct C(b::B);",
        "pub struct C; fn c() -> crate::a::b::B { todo!() }",
        "pub struct C; impl C { fn c() { let _ = super::b::B; } }",
        "use super::B; pub struct C;",
        "use super::b::B as Other; pub struct C;",
    ] {
        check_circles(&[("a/mod", "pub mod b; pub mod c; pub use b::B;"), b, ("a/c", c)], &[&["a::b", "a::c"]]);
    }
}

#[test]
fn a_file_and_the_folder_of_its_parts_can_be_a_circle() {
    let parent = ("a/b", "mod part; use part::Part; pub struct B;");
    check_circles(&[parent, ("a/b/part", "use super::B; pub struct Part;")], &[&["a::b", "a::b::part"]]);
    check_circles(&[parent, ("a/b/part", "pub struct Part;")], &[]);
}

#[test]
fn methods_of_one_type_that_call_each_other_across_files_are_a_circle() {
    let home = "pub struct B; impl B { pub fn begin(&self) { self.go_on(); } pub fn end(&self) {} }";
    let part = ("a/c", "use super::b::B; impl B { pub fn go_on(&self) { self.end(); } }");
    check_circles(&[("a/b", home), part], &[&["a::b", "a::c"]]);
    // What calls only downwards is none, and neither is another type's method of the same name.
    check_circles(&[("a/b", "pub struct B; impl B { pub fn end(&self) {} }"), part], &[]);
    let other = "pub struct B; struct D; impl D { fn go_on(&self) {} fn all(&self) { self.go_on(); } }";
    check_circles(&[("a/b", other), part], &[]);
    let generic = "pub struct B<T>(T); impl<T: Fn(&u8) -> u8> B<T> { fn begin(&self) { Self::go_on(self); } }";
    let part = ("a/c", "use super::b::B; impl<T: Fn(&u8) -> u8> B<T> { pub fn go_on(&self) {} }");
    check_circles(&[("a/b", generic), part], &[&["a::b", "a::c"]]);
}

#[test]
fn what_only_passes_names_on_or_tests_makes_no_circle() {
    let passes_on = ("a/mod", "mod b; mod c; pub use b::B; pub use c::C;");
    check_circles(&[passes_on, ("a/b", "use super::C; pub struct B;"), ("a/c", "pub struct C;")], &[]);
    let tested = "pub struct C; #[cfg(test)] mod tests { use crate::a::b::B; }";
    check_circles(&[("a/b", "use super::c::C; pub struct B;"), ("a/c", tested)], &[]);
    let spoken_of = "/// See [`super::b::B`].\npub struct C; const TEXT: &str = \"super::b::B\";";
    check_circles(&[("a/b", "use super::c::C; pub struct B;"), ("a/c", spoken_of)], &[]);
}
