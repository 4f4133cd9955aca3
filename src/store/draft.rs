//! What stands on the screen and not in the lesson yet: words in a box that is open, fingers that no voicing holds.
//!
//! It is kept in a hidden file beside the lesson, written anew with every key that changes it and taken away when the
//! lesson is left. What is found at the next opening is what a crash has left.

use std::fs;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::atomic::{folder_of, replace_unsynced};
use super::disk::Disk;

/// What is not in the lesson yet.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Draft {
    /// The fingers, as a shape is typed, doubts and all; nothing where a voicing holds them.
    pub fingers: String,
    /// What was being written, in the words of its box.
    pub about: String,
    /// The words.
    pub words: String,
}

impl Draft {
    /// Returns whether there is nothing to keep.
    pub fn is_empty(&self) -> bool {
        self.fingers.is_empty() && self.words.is_empty()
    }
}

fn place(lesson: &Path) -> Option<PathBuf> {
    let name = lesson.file_name()?.to_string_lossy().into_owned();
    Some(folder_of(lesson).join(format!(".{name}.draft")))
}

/// Keeps `draft` beside `lesson`, or takes away what is there where nothing is left of it.
///
/// The file is whole at any moment as long as the power stays; it is not waited for. Where it cannot be written nothing is
/// said: the lesson itself has its journal.
pub fn keep(lesson: &Path, draft: &Draft) {
    keep_on(&Disk::real(), lesson, draft);
}

/// Keeps `draft` on this disk; see [`keep`].
pub fn keep_on(disk: &Disk, lesson: &Path, draft: &Draft) {
    let Some(place) = place(lesson) else { return };
    if draft.is_empty() {
        let _ = disk.remove(&place);
        return;
    }
    let Ok(text) = ron::to_string(draft) else { return };
    let _ = replace_unsynced(disk, &place, text.as_bytes());
}

/// Returns what was kept beside `lesson`, if anything was that can be read.
pub fn left(lesson: &Path) -> Option<Draft> {
    let text = fs::read_to_string(place(lesson)?).ok()?;
    ron::from_str::<Draft>(&text).ok().filter(|draft| !draft.is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_kept_is_found_until_nothing_is_left_of_it() {
        let folder = tempfile::tempdir().unwrap();
        let lesson = folder.path().join("reel.lesson.ron");
        assert_eq!(left(&lesson), None);
        let words = "one\ntwo \"quoted\" 日本".to_owned();
        let draft = Draft { fingers: "x 3 2 0 1 0".into(), about: "Talking points".into(), words };
        keep(&lesson, &draft);
        assert_eq!(left(&lesson), Some(draft));
        keep(&lesson, &Draft::default());
        assert_eq!(left(&lesson), None);
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
        // Nowhere to write is no reason to stop.
        keep(Path::new("/no/such/folder/reel.lesson.ron"), &Draft { words: "x".into(), ..Draft::default() });
    }
}
