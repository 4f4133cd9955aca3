//! The file of a handout: its path, and which files it may replace. The text of the handout is not made here.

use std::collections::HashMap;
use std::fs;
use std::path::{Path, PathBuf};

use crate::lesson::document::Lesson;
use crate::store::atomic;
use crate::store::disk::Disk;
use crate::store::fingerprint::Fingerprint;
use crate::store::folders::Folders;
use crate::store::lesson_file::EXTENSION;
use crate::store::printed::PrintedHandouts;
use crate::tab::handout::handout;
use crate::tab::handout::options::HandoutOptions;
use crate::workbench::messages::message::Message;
use crate::workbench::questions::program::Existing;

/// The handouts that the program wrote, which it may write over.
#[derive(Debug)]
pub(super) struct WrittenHandouts {
    disk: Disk,
    /// Where those of earlier sessions are listed.
    folders: Option<Folders>,
    /// Those of this session.
    written: HashMap<PathBuf, Fingerprint>,
}

impl WrittenHandouts {
    /// Returns the record of handouts on `disk`. Those of earlier sessions are listed in `folders`.
    pub(super) fn on(disk: Disk, folders: Option<Folders>) -> Self {
        Self { disk, folders, written: HashMap::new() }
    }

    /// Writes the handout of `lesson` beside the lesson file `beside`. A file that the program did not write for this
    /// lesson, or that was changed since, stays untouched unless `existing` says otherwise.
    pub(super) fn write(
        &mut self,
        beside: &Path,
        lesson: &Lesson,
        options: &HandoutOptions,
        existing: Existing,
    ) -> Message {
        let text = handout(lesson, options).to_text();
        let path = handout_path(beside, options);
        let there = fs::symlink_metadata(&path).is_ok();
        let path = match existing {
            Existing::Ask if there && !self.wrote(&path, lesson, &text) => return Message::HandoutExists(path),
            Existing::Ask | Existing::Replace => path,
            Existing::OtherName => free_beside(&path),
        };
        let replaced = fs::read(&path).is_ok_and(|earlier| earlier != text.as_bytes());
        match atomic::replace_on(&self.disk, &path, text.as_bytes()) {
            Ok(()) => {
                let content = Fingerprint::of(text.as_bytes());
                self.written.insert(path.clone(), content);
                if let (Some(folders), Some(lesson)) = (&self.folders, lesson.id) {
                    // Where that cannot be remembered, the question comes once more, and nothing is lost.
                    let _remembered = PrintedHandouts::remember(folders, lesson, content);
                }
                if replaced { Message::HandoutReplaced(path) } else { Message::HandoutWritten(Ok(path)) }
            }
            Err(error) => Message::HandoutWritten(Err(format!("no handout: {error}; {}", error.hint()))),
        }
    }

    /// Returns whether the file holds a handout that the program wrote for `lesson`, or what it is about to write.
    fn wrote(&self, path: &Path, lesson: &Lesson, text: &str) -> bool {
        let Ok(there) = fs::read(path) else { return false };
        let now = Fingerprint::of(&there);
        let earlier = || {
            let known = self.folders.as_ref().zip(lesson.id);
            known.is_some_and(|(folders, lesson)| PrintedHandouts::knows(folders, lesson, now))
        };
        there == text.as_bytes() || self.written.get(path) == Some(&now) || earlier()
    }
}

/// Returns the path of a lesson's handout beside the lesson file: `NAME.handout.txt`, `NAME.handout-with-talking-points.txt`.
fn handout_path(lesson: &Path, options: &HandoutOptions) -> PathBuf {
    let name = lesson.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let stem = name.strip_suffix(EXTENSION).unwrap_or(&name);
    lesson.with_file_name(format!("{stem}.handout{}.txt", options.file_words()))
}

/// Returns a free path beside `path`: `NAME.handout 2.txt`.
fn free_beside(path: &Path) -> PathBuf {
    let stem = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let named = |number: u32| path.with_file_name(format!("{stem} {number}.txt"));
    (2..).map(named).find(|path| fs::symlink_metadata(path).is_err()).unwrap_or_else(|| named(u32::MAX))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::random;
    use crate::tab::handout::options::TalkingPoints;
    use crate::workbench::editing::rigs::standard_guitar;

    #[test]
    fn a_handout_that_somebody_else_wrote_is_never_written_over_unasked() {
        let folder = tempfile::tempdir().unwrap();
        let lesson_file = folder.path().join("own.lesson.ron");
        let theirs = folder.path().join("own.handout.txt");
        fs::write(&theirs, "by hand").unwrap();
        let mut lesson = Lesson::blank(random::lesson_id(), "Own", &standard_guitar());
        let options = HandoutOptions::default();
        let mut handouts = WrittenHandouts::on(Disk::real(), None);
        let mut write = |lesson: &Lesson, existing| match handouts.write(&lesson_file, lesson, &options, existing) {
            Message::HandoutWritten(Ok(path)) | Message::HandoutReplaced(path) => Some(path),
            Message::HandoutExists(path) if path == theirs => None,
            other => panic!("{other:?}"),
        };
        assert_eq!(write(&lesson, Existing::Ask), None);
        let beside = folder.path().join("own.handout 2.txt");
        assert_eq!(write(&lesson, Existing::OtherName), Some(beside.clone()));
        assert_eq!(fs::read_to_string(&theirs).unwrap(), "by hand");
        assert_eq!(write(&lesson, Existing::Replace), Some(theirs.clone()));
        // This session may replace what it wrote until somebody else has changed the file.
        lesson.header.title = "Changed".to_owned();
        assert_eq!(write(&lesson, Existing::Ask), Some(theirs.clone()));
        assert!(fs::read_to_string(&theirs).unwrap().contains("Changed"));
        fs::write(&theirs, "by hand again").unwrap();
        assert_eq!(write(&lesson, Existing::Ask), None);
        assert_eq!(fs::read_to_string(&theirs).unwrap(), "by hand again");
    }

    #[test]
    fn a_handout_of_an_earlier_session_is_replaced_unless_it_was_changed_or_is_of_another_lesson() {
        let folder = tempfile::tempdir().unwrap();
        let lesson_file = folder.path().join("own.lesson.ron");
        let written = folder.path().join("own.handout.txt");
        let options = HandoutOptions::default();
        // A session of its own each time.
        let write = |lesson: &Lesson| {
            let mut handouts = WrittenHandouts::on(Disk::real(), Some(Folders::under(folder.path())));
            matches!(
                handouts.write(&lesson_file, lesson, &options, Existing::Ask),
                Message::HandoutWritten(Ok(path)) | Message::HandoutReplaced(path) if path == written
            )
        };
        let mut lesson = Lesson::blank(random::lesson_id(), "Own", &standard_guitar());
        assert!(write(&lesson));
        lesson.header.title = "Changed".to_owned();
        assert!(write(&lesson), "the program wrote what is there");
        let other = Lesson { id: Some(random::lesson_id()), ..lesson.clone() };
        lesson.header.title = "Changed again".to_owned();
        assert!(!write(&Lesson { id: other.id, ..lesson.clone() }), "what is there is of another lesson");
        let there = fs::read_to_string(&written).unwrap();
        fs::write(&written, there.clone() + "a line by hand").unwrap();
        assert!(!write(&lesson), "somebody wrote in it");
        fs::write(&written, there).unwrap();
        fs::write(folder.path().join("handouts.ron"), "(format: 99)").unwrap();
        assert!(!write(&lesson), "nobody knows who wrote it");
    }

    #[test]
    fn the_handout_lies_beside_the_lesson() {
        let plain = HandoutOptions::default();
        assert_eq!(handout_path(Path::new("/a/x.lesson.ron"), &plain), Path::new("/a/x.handout.txt"));
        assert_eq!(handout_path(Path::new("y.ron"), &plain), Path::new("y.ron.handout.txt"));
    }

    #[test]
    fn the_handouts_with_and_without_talking_points_lie_side_by_side_and_what_is_replaced_is_told() {
        let folder = tempfile::tempdir().unwrap();
        let lesson_file = folder.path().join("own.lesson.ron");
        let mut lesson = Lesson::blank(random::lesson_id(), "Own", &standard_guitar());
        let students = HandoutOptions::default();
        let teachers = HandoutOptions { talking_points: TalkingPoints::Print, ..students.clone() };
        let mut handouts = WrittenHandouts::on(Disk::real(), None);
        let mut names = Vec::new();
        for options in [&students, &teachers] {
            match handouts.write(&lesson_file, &lesson, options, Existing::Ask) {
                Message::HandoutWritten(Ok(path)) => names.push(path.file_name().unwrap().to_owned()),
                other => panic!("{other:?}"),
            }
        }
        assert_eq!(names, ["own.handout.txt", "own.handout-with-talking-points.txt"]);
        lesson.header.title = "Changed".to_owned();
        let again = handouts.write(&lesson_file, &lesson, &students, Existing::Ask);
        assert!(matches!(again, Message::HandoutReplaced(_)), "{again:?}");
    }
}
