//! What stands on the screen and not in the lesson yet: words in boxes that are open, fingers that no voicing holds.
//!
//! It is kept in a hidden file beside the lesson, written anew as it changes, and is there at the next opening, whether the program
//! was killed or left in peace. Words go when their box is answered or put away, fingers when a voicing holds them. Where nothing
//! can be written beside the lesson, it goes to the program's own folder, as the journal does. It says which lesson it is of and where
//! that lay, so that it is found, as the journal is, where another program has renamed or moved the lesson.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::atomic::{folder_of, replace_unsynced};
use super::disk::Disk;
use super::fingerprint::Fingerprint;
use super::journal::{Refuge, is_left_behind};
use super::temporary;
use crate::instrument::hand::{Barre, Finger};
use crate::lesson::id::LessonId;
use crate::theory::reading::Doubt;

/// What is not in the lesson yet.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Draft {
    /// The fingers, as a shape is typed; nothing where a voicing holds them. Earlier versions wrote the doubts into it.
    pub fingers: String,
    /// The tuning and capo that the fingers were put down in, in words; empty in drafts of earlier versions.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub tuning: String,
    /// How sure the ear is of each string, as in the shape; empty where it is sure of all.
    #[serde(skip_serializing_if = "Vec::is_empty", rename = "heard", alias = "doubts")]
    pub doubts: Vec<Doubt>,
    /// The readings that were kept for these fingers, the name first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub readings: Vec<String>,
    /// The bass that somebody else plays, as it sounds; nothing where nobody is said to.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub bass: String,
    /// The finger on each string, as in the shape; empty where that is not decided.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub held_with: Vec<Option<Finger>>,
    /// The barre, if one finger holds several strings.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub barre: Option<Barre>,
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
    /// Which lesson it is of, as its file says; `None` in what is not in a file.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub origin: Option<DraftOrigin>,
}

/// The lesson that a draft is of.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct DraftOrigin {
    /// Which lesson it is.
    pub lesson: LessonId,
    /// Where it lay when the draft was written.
    pub path: PathBuf,
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

/// Where the draft of one lesson may lie.
///
/// What lies elsewhere is written only where nothing can be written beside the lesson, and goes as soon as that works again: where
/// there is one elsewhere, it is the later one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftPlaces {
    /// The lesson.
    lesson: PathBuf,
    /// Which lesson it is, where that is known.
    identity: Option<LessonId>,
    /// Beside the lesson.
    beside: PathBuf,
    /// In the program's own folder, where it has one.
    elsewhere: Option<PathBuf>,
}

impl DraftPlaces {
    /// Returns the places of the draft of the lesson at `lesson`, which is `identity` where that is known; `own_folder` is the
    /// program's own, for what cannot lie beside a lesson. Returns `None` for a path without a file name.
    pub fn of(lesson: &Path, identity: Option<LessonId>, own_folder: Option<&Path>) -> Option<Self> {
        let name = lesson.file_name()?.to_string_lossy().into_owned();
        let elsewhere = format!("lesson-{:016x}.draft", Fingerprint::of(lesson.as_os_str().as_encoded_bytes()).short());
        Some(Self {
            lesson: lesson.to_owned(),
            identity,
            beside: folder_of(lesson).join(format!(".{name}.draft")),
            elsewhere: own_folder.map(|folder| folder.join(elsewhere)),
        })
    }

    /// Keeps `draft`, or takes away what is there where nothing is left of it.
    ///
    /// The file is whole at any moment as long as the power stays; it is not waited for.
    ///
    /// Errors: no place takes it, or one of before stays that would come up again; what was kept before is still there.
    pub fn keep(&self, disk: &Disk, draft: &Draft) -> Result<(), DraftError> {
        if draft.is_empty() {
            return self.take_away(disk);
        }
        let origin = self.identity.map(|lesson| DraftOrigin { lesson, path: self.lesson.clone() });
        let with_origin = Draft { origin, ..draft.clone() };
        // All but a path that is no text can always be written.
        let Ok(text) = ron::to_string(&with_origin).or_else(|_| ron::to_string(draft)) else { return Ok(()) };
        match replace_unsynced(disk, &self.beside, text.as_bytes()) {
            Ok(()) => self.clear_elsewhere(disk, &text),
            Err(source) => self.keep_elsewhere(disk, &text).map_err(|_| DraftError::Write { source }),
        }
    }

    /// Returns what was kept, if anything was that can be read.
    pub fn left(&self) -> Option<Draft> {
        let places = self.elsewhere.iter().chain([&self.beside]);
        let text = places.into_iter().find_map(|place| fs::read_to_string(place).ok())?;
        let draft = ron::from_str::<Draft>(&text).ok().filter(|draft| !draft.is_empty())?;
        Some(Draft { origin: None, ..draft })
    }

    /// Returns the drafts of the same lesson under names that it had before, each with where it lies, the later ones first: the files
    /// beside which they were kept are not there any more and open in no window.
    pub fn left_behind(&self, disk: &Disk, refuge: &Refuge) -> Vec<(PathBuf, Draft)> {
        let Some(identity) = self.identity else { return Vec::new() };
        let folders = [folder_of(&self.lesson)].into_iter().chain(refuge.earlier.iter().map(PathBuf::as_path));
        let beside = folders.flat_map(|folder| drafts_in(folder, "."));
        let mut found: Vec<PathBuf> = Vec::new();
        for path in refuge.folder.iter().flat_map(|own| drafts_in(own, "lesson-")).chain(beside) {
            if !found.contains(&path) {
                found.push(path);
            }
        }
        let left = |path: PathBuf| {
            let draft: Draft = ron::from_str(&fs::read_to_string(&path).ok()?).ok()?;
            let origin = draft.origin.as_ref().filter(|origin| origin.lesson == identity)?;
            let is_left = !draft.is_empty() && is_left_behind(disk, &origin.path, identity);
            is_left.then_some((path, Draft { origin: None, ..draft }))
        };
        found.into_iter().filter_map(left).collect()
    }

    fn take_away(&self, disk: &Disk) -> Result<(), DraftError> {
        // The later one last, so that nothing older than it comes up again.
        for place in [&self.beside].into_iter().chain(&self.elsewhere) {
            if let Err(source) = removed(disk, place) {
                return Err(DraftError::Remove { source });
            }
        }
        Ok(())
    }

    /// Removes an older draft from the program's own folder, or writes the same into it where it cannot be removed.
    fn clear_elsewhere(&self, disk: &Disk, text: &str) -> Result<(), DraftError> {
        let Some(elsewhere) = &self.elsewhere else { return Ok(()) };
        let Err(source) = removed(disk, elsewhere) else { return Ok(()) };
        replace_unsynced(disk, elsewhere, text.as_bytes()).map_err(|_| DraftError::Write { source })
    }

    fn keep_elsewhere(&self, disk: &Disk, text: &str) -> io::Result<()> {
        let elsewhere = self.elsewhere.as_ref().ok_or(io::ErrorKind::NotFound)?;
        let folder = folder_of(elsewhere);
        disk.make_folder(folder)?;
        temporary::clear(disk, folder);
        replace_unsynced(disk, elsewhere, text.as_bytes())
    }
}

/// Returns the drafts in a folder whose names begin like this.
fn drafts_in(folder: &Path, beginning: &'static str) -> impl Iterator<Item = PathBuf> + use<> {
    let entries = fs::read_dir(folder).into_iter().flatten().filter_map(Result::ok);
    let is_draft = move |entry: &fs::DirEntry| {
        let name = entry.file_name();
        name.to_str().is_some_and(|name| name.starts_with(beginning) && name.ends_with(".draft"))
    };
    entries.filter(is_draft).map(|entry| entry.path())
}

/// Takes away a draft that was left behind under a name that its lesson had before.
///
/// Errors: it stays.
pub fn clear_left_behind(disk: &Disk, draft: &Path) -> Result<(), DraftError> {
    removed(disk, draft).map_err(|source| DraftError::Remove { source })
}

/// Takes a file away, if it is there.
fn removed(disk: &Disk, path: &Path) -> io::Result<()> {
    if fs::symlink_metadata(path).is_err_and(|error| error.kind() == io::ErrorKind::NotFound) {
        return Ok(());
    }
    disk.remove(path).or_else(|error| if error.kind() == io::ErrorKind::NotFound { Ok(()) } else { Err(error) })
}

/// Keeps `draft` beside `lesson`; see [`DraftPlaces::keep`]. Errors: those of [`DraftPlaces::keep`].
pub fn keep(lesson: &Path, draft: &Draft) -> Result<(), DraftError> {
    keep_on(&Disk::real(), lesson, draft)
}

/// Keeps `draft` beside `lesson` on this disk; see [`DraftPlaces::keep`]. Errors: those of [`DraftPlaces::keep`].
pub fn keep_on(disk: &Disk, lesson: &Path, draft: &Draft) -> Result<(), DraftError> {
    DraftPlaces::of(lesson, None, None).map_or(Ok(()), |places| places.keep(disk, draft))
}

/// Returns what was kept beside `lesson`, if anything was that can be read.
pub fn left(lesson: &Path) -> Option<Draft> {
    DraftPlaces::of(lesson, None, None)?.left()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_the_ear_is_not_sure_of_has_the_word_of_lesson_files_and_the_older_one_is_read() {
        let doubts = vec![Doubt::Sure, Doubt::Unsure];
        let draft = Draft { fingers: "x 3".into(), doubts: doubts.clone(), ..Draft::default() };
        let text = ron::to_string(&draft).unwrap();
        assert!(text.contains("heard:[") && !text.contains("doubts"), "{text}");
        for text in [text.clone(), text.replace("heard:", "doubts:")] {
            assert_eq!(ron::from_str::<Draft>(&text).unwrap().doubts, doubts, "{text}");
        }
    }

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
        keep(&lesson, &Draft::default()).unwrap();
        keep(&lesson, &Draft::default()).unwrap();
        assert_eq!(left(&lesson), None);
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
        let nowhere =
            keep(Path::new("/no/such/folder/reel.lesson.ron"), &Draft { words: "x".into(), ..Draft::default() });
        assert!(matches!(nowhere, Err(DraftError::Write { .. })), "{nowhere:?}");
    }

    #[test]
    fn where_nothing_can_be_written_beside_the_lesson_it_is_kept_in_the_program_s_own_folder() {
        let home = tempfile::tempdir().unwrap();
        let own = home.path().join("journals");
        let folder = home.path().join("lessons");
        let places = DraftPlaces::of(&folder.join("reel.lesson.ron"), None, Some(&own)).unwrap();
        let draft = |words: &str| Draft { words: words.into(), ..Draft::default() };
        // The folder is not there: nothing can be written in it.
        places.keep(&Disk::real(), &draft("one")).unwrap();
        assert_eq!((places.left(), fs::read_dir(&own).unwrap().count()), (Some(draft("one")), 1));
        // It is there again: what lies elsewhere would be older.
        fs::create_dir(&folder).unwrap();
        places.keep(&Disk::real(), &draft("two")).unwrap();
        assert_eq!((places.left(), fs::read_dir(&own).unwrap().count()), (Some(draft("two")), 0));
        fs::rename(&folder, home.path().join("away")).unwrap();
        places.keep(&Disk::real(), &draft("three")).unwrap();
        fs::rename(home.path().join("away"), &folder).unwrap();
        assert_eq!(places.left(), Some(draft("three")), "the older one beside the lesson does not count");
        places.keep(&Disk::real(), &Draft::default()).unwrap();
        assert_eq!(places.left(), None);
    }
}
