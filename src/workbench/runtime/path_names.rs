//! Completes file names while a path is typed. It belongs to the impure part because it reads folders.

use std::fs;
use std::path::Path;

use crate::store::lesson_file::EXTENSION;
use crate::workbench::messages::message::Message;
use crate::workbench::questions::question::SoughtFile;

/// The most names of a folder that are read.
const MOST: usize = 20_000;

/// Completes `typed` as far as the result is unambiguous. A path that matches nothing from the current folder is looked
/// up from `beside` as well.
pub fn complete_path(typed: String, sought: SoughtFile, beside: Option<&Path>) -> Message {
    let cut = typed.rfind('/').map_or(0, |slash| slash + 1);
    let (folder, begun) = typed.split_at_checked(cut).unwrap_or(("", &typed));
    let here = if folder.is_empty() { Path::new(".") } else { Path::new(folder) };
    let mut names = names_in(here, begun, sought);
    if let Some(beside) = beside.filter(|_| names.is_empty()) {
        names = names_in(&beside.join(folder), begun, sought);
    }
    names.sort_unstable();
    let common = names.iter().skip(1).fold(names.first().cloned().unwrap_or_default(), |common, name| {
        let alike = common.chars().zip(name.chars()).take_while(|(one, other)| one == other);
        alike.map(|(letter, _)| letter).collect()
    });
    let completed = if names.is_empty() { typed.clone() } else { format!("{folder}{common}") };
    Message::PathCompleted { typed, completed, names }
}

/// Returns the names in a folder that begin with `begun`; those of folders end in a slash. It leaves out names that are
/// not text, and hidden names unless their dot is typed.
fn names_in(folder: &Path, begun: &str, sought: SoughtFile) -> Vec<String> {
    let Ok(entries) = fs::read_dir(folder) else { return Vec::new() };
    let entries = entries.take(MOST).filter_map(Result::ok);
    entries
        .filter_map(|entry| {
            let name = entry.file_name().into_string().ok()?;
            let hidden = name.starts_with('.') && !begun.starts_with('.');
            if hidden || !name.starts_with(begun) || name.chars().any(char::is_control) {
                return None;
            }
            if entry.path().is_dir() {
                return Some(format!("{name}/"));
            }
            let fits = match sought {
                SoughtFile::Lesson => name.ends_with(EXTENSION),
                SoughtFile::AnyFile => true,
            };
            fits.then_some(name)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn completed(folder: &Path, typed: &str, sought: SoughtFile) -> (String, Vec<String>) {
        let typed = format!("{}/{typed}", folder.display());
        match complete_path(typed, sought, None) {
            Message::PathCompleted { completed, names, .. } => {
                (completed.strip_prefix(&format!("{}/", folder.display())).unwrap().to_owned(), names)
            }
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn a_name_is_completed_as_far_as_it_is_clear() {
        let folder = tempfile::tempdir().unwrap();
        for name in
            ["reel-in-g.lesson.ron", "reel-slow.lesson.ron", "reel.txt", ".hidden.lesson.ron", "日本.lesson.ron"]
        {
            fs::write(folder.path().join(name), "").unwrap();
        }
        fs::create_dir(folder.path().join("ideas")).unwrap();
        let lesson = |typed| completed(folder.path(), typed, SoughtFile::Lesson);
        assert_eq!(lesson("r"), ("reel-".into(), vec!["reel-in-g.lesson.ron".into(), "reel-slow.lesson.ron".into()]));
        assert_eq!(lesson("reel-s").0, "reel-slow.lesson.ron");
        assert_eq!(lesson("i"), ("ideas/".into(), vec!["ideas/".into()]));
        assert_eq!(lesson("日").0, "日本.lesson.ron");
        assert_eq!(lesson("x"), ("x".into(), vec![]));
        assert_eq!(lesson(".h").0, ".hidden.lesson.ron");
        assert_eq!(completed(folder.path(), "reel.", SoughtFile::AnyFile).0, "reel.txt");
    }

    #[test]
    fn a_path_that_leads_nowhere_from_here_is_looked_up_beside_the_lesson() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("porch-idea-of-a-test.txt"), "").unwrap();
        let message = complete_path("porch-idea-of".into(), SoughtFile::AnyFile, Some(folder.path()));
        assert!(
            matches!(&message, Message::PathCompleted { completed, .. } if completed == "porch-idea-of-a-test.txt"),
            "{message:?}"
        );
    }
}
