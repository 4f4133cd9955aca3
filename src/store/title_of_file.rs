//! Titles made from file names, and those that lesson files state.

use std::fs::File;
use std::io::Read as _;
use std::path::Path;

/// How much of a lesson file is read to find its title, in bytes: the header stands first.
const HEAD: u64 = 4096;

/// Returns the title that a lesson file states at its beginning; `None` where it cannot be read or states none there. The rest of the
/// file is not read.
pub fn title_stated_in(path: &Path) -> Option<String> {
    // What is no plain file might wait for a writer.
    if !path.metadata().ok()?.is_file() {
        return None;
    }
    let mut head = Vec::new();
    File::open(path).ok()?.take(HEAD).read_to_end(&mut head).ok()?;
    stated_title(&String::from_utf8_lossy(&head)).filter(|title| !title.trim().is_empty())
}

/// Returns the title in the header at the beginning of a lesson.
fn stated_title(head: &str) -> Option<String> {
    let (_, header) = head.split_once("header:")?;
    let (before, value) = header.split_once("title:")?;
    // The header may state none, and something after it may.
    if before.contains(')') {
        return None;
    }
    let value = value.trim_start();
    let mut escaped = false;
    let quote = |(_, sign): &(usize, char)| {
        let ends = *sign == '"' && !escaped;
        escaped = *sign == '\\' && !escaped;
        ends
    };
    let (end, _) = value.char_indices().skip(1).find(quote)?;
    ron::from_str(value.get(..=end)?).ok()
}

/// Makes a title of a file name, without its ending: `slow-reel.lesson.ron` gives `Slow reel`.
///
/// A name that gives none gives `otherwise`.
pub fn title_from(path: &Path, otherwise: &str) -> String {
    let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let stem = name.split('.').next().unwrap_or_default().replace(['-', '_'], " ");
    let mut letters = stem.trim().chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => otherwise.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_title_of_a_lesson_is_read_from_its_head_alone() {
        let stated = |text: &str| stated_title(text);
        let lesson = "// A lesson.\n(format: 4, lesson: (id: \"a\", header: (title: \"Porch \\\"chords\\\" (1)\", author: \"x\"), passages: [(";
        assert_eq!(stated(lesson).as_deref(), Some("Porch \"chords\" (1)"));
        assert_eq!(stated("(lesson: (header: (author: \"x\"), passages: [(title: \"Not it\")]))"), None);
        assert_eq!(stated("(lesson: (header: (title: \"cut o"), None);
        assert_eq!(stated("title: \"no header\""), None);
    }
}
