//! The lesson of a session is saved: in its file, beside it or in another place that was typed, and with what words; its draft is
//! kept and goes along. Part of the impure side: it asks for folders. The bytes are not written here; see `store`.

use std::path::{Path, PathBuf};

use crate::lesson::document::Lesson;
use crate::lesson::history::Change;
use crate::store::draft::{Draft, DraftPlaces};
use crate::store::fault::shown;
use crate::store::folders::Folders;
use crate::store::journal::FileSince;
use crate::store::lesson_file::{EXTENSION, Replace, SaveError};
use crate::store::open_lesson::{Access, FormatRenewal, OpenLesson, name_beside};
use crate::store::undo_file::UndoFolder;
use crate::workbench::messages::effect::WorkToSave;
use crate::workbench::messages::message::{Message, SavedFile};
use crate::workbench::questions::program::SaveAs;
use crate::workbench::runtime::draft_file::DraftFile;
use crate::workbench::runtime::session::Session;

impl Session {
    /// Returns where the draft of the lesson at `lesson` may lie.
    pub(super) fn draft_places(&self, lesson: &Path) -> Option<DraftPlaces> {
        let own_folder = self.folders.as_ref().map(Folders::journals);
        let identity = self.file.as_ref().and_then(OpenLesson::identity);
        DraftPlaces::of(lesson, identity, own_folder.as_deref())
    }

    /// Returns the draft of the lesson that was just opened, also where it was kept under a name that the lesson had before.
    pub(super) fn find_draft(&mut self) -> Option<Draft> {
        let places = self.draft_places(self.file.as_ref()?.path())?;
        let (paths, draft) = match places.left() {
            Some(draft) => (Vec::new(), draft),
            None => {
                let (paths, drafts): (Vec<_>, Vec<_>) =
                    places.left_behind(&self.disk(), &self.refuge()).into_iter().unzip();
                (paths, drafts.into_iter().next()?)
            }
        };
        self.draft = DraftFile::found(draft.clone(), paths);
        Some(draft)
    }

    /// Takes the draft of the open lesson away. Returns why it stays if it does.
    pub(super) fn discard_draft(&mut self) -> Option<String> {
        let places = self.draft_places(self.file.as_ref()?.path())?;
        self.draft.discard(&self.disk(), &places)
    }

    /// Keeps the draft once more where it could not be kept, because the lesson is left. Returns what is lost.
    pub(super) fn lost_draft(&mut self) -> Option<String> {
        self.file.as_ref()?;
        self.retry_draft();
        self.draft.lost()
    }

    /// Keeps a draft of the open lesson.
    pub(super) fn keep_draft(&mut self, draft: Draft) -> Option<Message> {
        let places = self.draft_places(self.file.as_ref()?.path())?;
        self.draft.keep(&self.disk(), &places, draft)
    }

    /// Keeps the draft of the open lesson where it could not be kept before.
    pub(super) fn retry_draft(&mut self) -> Option<Message> {
        let places = self.draft_places(self.file.as_ref()?.path())?;
        self.draft.retry(&self.disk(), &places)
    }

    /// Has what is told of journal and draft after a save told before what is told of the save; `before` is the file that the
    /// lesson had until then.
    pub(super) fn with_protection(&mut self, before: Option<PathBuf>, saved: Message) -> Vec<Message> {
        let disk = self.disk();
        let from = before.and_then(|before| self.draft_places(&before));
        let to = self.file.as_ref().and_then(|file| self.draft_places(file.path()));
        let along = from.zip(to).and_then(|(from, to)| self.draft.take_along(&disk, &from, &to));
        let failed = self.file.as_mut().and_then(|file| file.retry().err());
        self.heard_of_journal(failed.as_ref()).into_iter().chain(along).chain([saved]).collect()
    }

    /// Saves the lesson in another folder, under its name, or in another file.
    pub(super) fn save_at(&mut self, work: &WorkToSave, to: &Path) -> Message {
        let Some(file) = &mut self.file else {
            return Message::Saved(Err("no lesson is open".to_owned()));
        };
        let path = lesson_path(to, file.path());
        match file.save_as(&path, &work.lesson, Replace::Nothing) {
            Ok(renewed) => self.saved(&work.changes, renewed),
            Err(error) => Message::Saved(Err(format!("{error}; {}", error.hint()))),
        }
    }

    /// Keeps the changes that undo takes back behind the save, and returns that the lesson was saved.
    fn saved(&self, changes: &[Change], renewed: FormatRenewal) -> Message {
        let Some(file) = &self.file else { return Message::Saved(Err("no lesson is open".to_owned())) };
        if let Some((folders, lesson)) = self.folders.as_ref().zip(file.identity()) {
            UndoFolder::of(folders).keep(lesson, file.fingerprint(), changes);
        }
        Message::Saved(Ok(SavedFile { path: file.path().to_owned(), renewed }))
    }

    /// Returns the changes that undo takes back in a lesson that was just opened: those that led to what its file holds, and those
    /// that led from there to `lesson` as it stands. Changes that something else has come after are not among them.
    pub(super) fn undoable(&self, file: &OpenLesson, lesson: &Lesson) -> (Vec<Change>, Vec<Change>) {
        let known = self.folders.as_ref().zip(file.identity()).filter(|_| *file.access() == Access::Full);
        let behind =
            known.map_or_else(Vec::new, |(folders, lesson)| UndoFolder::of(folders).left(lesson, file.fingerprint()));
        match file.recovered() {
            // What was carried over to a file that was changed is no step: undo would take it along with what lies behind it.
            Some(recovered) if recovered.file == FileSince::Changed && !recovered.reasons.is_empty() => {
                (Vec::new(), Vec::new())
            }
            Some(recovered) => leading_to(lesson, behind, recovered.undoable.clone()),
            None => leading_to(lesson, behind, Vec::new()),
        }
    }

    pub(super) fn save(&mut self, work: &WorkToSave, to: SaveAs) -> Message {
        let Some(file) = &mut self.file else {
            return Message::Saved(Err("no lesson is open".to_owned()));
        };
        let saved = match to {
            SaveAs::Itself => file.save(&work.lesson),
            SaveAs::Over => file.overwrite(&work.lesson),
            SaveAs::NewFile => {
                let path = name_beside(file.path());
                file.save_as(&path, &work.lesson, Replace::Nothing)
            }
        };
        match saved {
            Ok(renewed) => self.saved(&work.changes, renewed),
            Err(error @ (SaveError::ChangedOnDisk { .. } | SaveError::Gone { .. })) => {
                Message::SaveConflict(without_path(&error))
            }
            Err(error) => Message::Saved(Err(format!("{}; {}", without_path(&error), error.hint()))),
        }
    }
}

/// Returns those of the changes that led to `lesson` with nothing between them: the last of `behind`, and `since`; none where `since`
/// itself did not lead there.
fn leading_to(lesson: &Lesson, mut behind: Vec<Change>, since: Vec<Change>) -> (Vec<Change>, Vec<Change>) {
    let (saved, unsaved) = (behind.len(), since.len());
    behind.extend(since);
    let lead_there = lesson.reached_by(&behind);
    if lead_there < unsaved {
        return (Vec::new(), Vec::new());
    }
    let since = behind.split_off(saved);
    (behind.split_off(saved + unsaved - lead_there), since)
}

/// Returns the file that a lesson is saved in where a folder or a file was typed; `~` is the home folder.
fn lesson_path(typed: &Path, now: &Path) -> PathBuf {
    let home = directories::BaseDirs::new().map(|dirs| dirs.home_dir().to_owned());
    let path = match (typed.strip_prefix("~"), home) {
        (Ok(rest), Some(home)) => home.join(rest),
        _ => typed.to_owned(),
    };
    let is_folder = path.is_dir() || typed.as_os_str().as_encoded_bytes().ends_with(b"/");
    let name = now.file_name().unwrap_or_default();
    if is_folder {
        path.join(name)
    } else if path.to_string_lossy().ends_with(EXTENSION) {
        path
    } else {
        let mut named = path.into_os_string();
        named.push(EXTENSION);
        named.into()
    }
}

/// Returns why a lesson was not saved, in words without its path, since only one lesson is open.
fn without_path(error: &SaveError) -> String {
    match error {
        SaveError::ReadOnly { reason, .. } => reason.clone(),
        SaveError::Write { source, .. } | SaveError::Unconfirmed { source, .. } => source.to_string(),
        SaveError::ChangedOnDisk { path }
        | SaveError::Gone { path }
        | SaveError::Exists { path }
        | SaveError::TooLarge { path } => {
            let told = error.to_string();
            told.strip_prefix(&format!("{}: ", shown(path))).unwrap_or(&told).to_owned()
        }
        SaveError::Unwritable { .. } => error.to_string(),
    }
}
