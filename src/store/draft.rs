//! What stands on the screen and not in the lesson yet: words in boxes that are open, fingers that no voicing holds.
//!
//! It is kept in a hidden file beside the lesson, written anew as it changes, and is there at the next opening, whether the program
//! was killed or left in peace. Words go when their box is answered or put away, fingers when a voicing holds them.

use std::fs;
use std::io;
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
    /// What was being written, in the words of its box: in a draft of a version that did not open the box again.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub about: String,
    /// The words, in such a draft.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub words: String,
    /// The boxes in which something was being written, the one on top last.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub boxes: Vec<BoxDraft>,
    /// Where the person stood who was asked, as the workbench writes it.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub standpoint: String,
}

/// A box in which something was being written.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct BoxDraft {
    /// What was being written, in the words of the box.
    pub about: String,
    /// The words.
    pub words: String,
    /// All else that the box takes to be opened again, as the workbench writes it.
    pub form: String,
}

/// A draft could not be kept.
#[derive(Debug, thiserror::Error)]
pub enum DraftError {
    /// It could not be written.
    #[error("what is not in the lesson yet, fingers or words in an open box, would not survive a crash")]
    Write {
        /// What the system said.
        source: io::Error,
    },
    /// One of before could not be taken away.
    #[error("what was answered already may come up again when the lesson is opened next")]
    Remove {
        /// What the system said.
        source: io::Error,
    },
}

impl Draft {
    /// Returns whether there is nothing to keep.
    pub fn is_empty(&self) -> bool {
        self.fingers.is_empty() && self.words.is_empty() && self.boxes.is_empty()
    }
}

fn place(lesson: &Path) -> Option<PathBuf> {
    let name = lesson.file_name()?.to_string_lossy().into_owned();
    Some(folder_of(lesson).join(format!(".{name}.draft")))
}

/// Keeps `draft` beside `lesson`; see [`keep_on`]. Errors: those of [`keep_on`].
pub fn keep(lesson: &Path, draft: &Draft) -> Result<(), DraftError> {
    keep_on(&Disk::real(), lesson, draft)
}

/// Keeps `draft` beside `lesson` on this disk, or takes away what is there where nothing is left of it.
///
/// The file is whole at any moment as long as the power stays; it is not waited for.
///
/// Errors: the folder or the disk refuses; what was kept before is still there.
pub fn keep_on(disk: &Disk, lesson: &Path, draft: &Draft) -> Result<(), DraftError> {
    let Some(place) = place(lesson) else { return Ok(()) };
    if draft.is_empty() {
        return match disk.remove(&place) {
            Err(source) if source.kind() != io::ErrorKind::NotFound => Err(DraftError::Remove { source }),
            Ok(()) | Err(_) => Ok(()),
        };
    }
    // Text and numbers can always be written.
    let Ok(text) = ron::to_string(draft) else { return Ok(()) };
    replace_unsynced(disk, &place, text.as_bytes()).map_err(|source| DraftError::Write { source })
}

/// Takes the draft of a lesson along to another file that is the lesson's from now on.
///
/// Errors: those of [`keep_on`]; it then stays where it was.
pub fn take_along(disk: &Disk, from: &Path, to: &Path) -> Result<(), DraftError> {
    match left(from) {
        Some(draft) if from != to => {
            keep_on(disk, to, &draft)?;
            keep_on(disk, from, &Draft::default())
        }
        Some(_) | None => Ok(()),
    }
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
        let written = BoxDraft { about: "Talking points".into(), words, form: "(\"a\")".into() };
        let draft = Draft { fingers: "x 3 2 0 1 0".into(), boxes: vec![written], ..Draft::default() };
        keep(&lesson, &draft).unwrap();
        assert_eq!(left(&lesson), Some(draft.clone()));
        let other = folder.path().join("other.lesson.ron");
        take_along(&Disk::real(), &lesson, &other).unwrap();
        assert_eq!((left(&lesson), left(&other)), (None, Some(draft.clone())));
        take_along(&Disk::real(), &other, &other).unwrap();
        assert_eq!(left(&other), Some(draft));
        keep(&other, &Draft::default()).unwrap();
        keep(&other, &Draft::default()).unwrap();
        assert_eq!(left(&lesson), None);
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
        let nowhere =
            keep(Path::new("/no/such/folder/reel.lesson.ron"), &Draft { words: "x".into(), ..Draft::default() });
        assert!(matches!(nowhere, Err(DraftError::Write { .. })), "{nowhere:?}");
    }
}
