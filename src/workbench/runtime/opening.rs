//! A lesson is opened, made or copied from a demo, and what is to be told about that. The bytes are not read here; see `store`.

use std::fs;
use std::path::{Path, PathBuf};

use crate::store::atomic;
use crate::store::demos::DEMOS;
use crate::store::fault::{shown, with_hint};
use crate::store::journal::FileSince;
use crate::store::last_places::LastPlaces;
use crate::store::lesson_file::EXTENSION;
use crate::store::open_lesson::{self, OpenLesson, SavedState, name_beside};
use crate::store::random;
use crate::workbench::library::shelf::Shelf;
use crate::workbench::messages::message::{Message, OpenedLesson};
use crate::workbench::messages::notice::Notice;
use crate::workbench::questions::start::NewLesson;
use crate::workbench::runtime::draft_file::DraftFile;
use crate::workbench::runtime::new_lesson::{file_stem, new_lesson};
use crate::workbench::runtime::session::{FilePlace, JournalStands, LockNews, Session};

impl Session {
    pub(super) fn open(&mut self, path: &Path) -> Message {
        // The lesson before is released first, so that the same lesson can be opened again.
        self.file = None;
        match OpenLesson::open_with(&self.disk(), path, &self.refuge()) {
            Ok(opened) => self.opened(opened),
            Err(error) => Message::Opened(Err(with_hint(&error, error.hint()))),
        }
    }

    pub(super) fn opened(&mut self, opened: open_lesson::Opened) -> Message {
        let open_lesson::Opened { lesson, state, file } = opened;
        let path = file.path().to_owned();
        let access = file.access().clone();
        let told: Vec<String> = file.notices().iter().map(told).collect();
        let said = told.join("; ");
        let notice = (!said.is_empty()).then(|| Notice::note(said));
        self.journal = JournalStands::Working;
        self.lock = LockNews::None;
        self.place = FilePlace::AsBefore;
        self.draft = DraftFile::default();
        let apart = file.apart().to_vec();
        let (undoable_behind, undoable) = self.undoable(&file, &lesson);
        let left_at = self.folders.as_ref().zip(lesson.id);
        let left_at = left_at.and_then(|(folders, lesson)| LastPlaces::segment_of(folders, lesson));
        self.file = Some(file);
        // The library is read next; see `with_its_library`.
        let library = Shelf::default();
        let seed = random::seed();
        Message::Opened(Ok(Box::new(OpenedLesson {
            lesson,
            path,
            access,
            state,
            seed,
            library,
            apart,
            undoable_behind,
            undoable,
            left_at,
            notice,
        })))
    }

    pub(super) fn create(&mut self, wanted: &NewLesson) -> Message {
        let title = wanted.title.as_str();
        let lesson = match new_lesson(wanted) {
            Ok(lesson) => lesson,
            Err(error) => return Message::Opened(Err(error)),
        };
        let here = || std::env::current_dir().unwrap_or_else(|_| PathBuf::from("."));
        let folder = self.new_lessons.clone().unwrap_or_else(here);
        let path = folder.join(format!("{}{EXTENSION}", file_stem(title)));
        let path = if fs::symlink_metadata(&path).is_ok() { name_beside(&path) } else { path };
        self.file = None;
        match OpenLesson::create_with(&self.disk(), &path, &lesson, &self.refuge()) {
            Ok(file) => {
                let message = self.opened(open_lesson::Opened { lesson, state: SavedState::Saved, file });
                with_notice(
                    message,
                    format!(
                        "the lesson is in {}, in the folder you are in",
                        shown(Path::new(path.file_name().unwrap_or_default()))
                    ),
                )
            }
            Err(error) => Message::Opened(Err(with_hint(&error, error.hint()))),
        }
    }

    pub(super) fn open_demo(&mut self, name: &str) -> Message {
        let Some(demo) = DEMOS.iter().find(|demo| demo.name == name) else {
            return Message::Opened(Err(format!("no demo is called {name}")));
        };
        let Some(folders) = &self.folders else {
            return Message::Opened(Err("there is no home folder to put a copy in; try `fingerpost demo`".to_owned()));
        };
        let path = folders.demos().join(format!("{name}{EXTENSION}"));
        if path.exists() {
            let message = self.open(&path);
            return with_notice(message, "your copy of the demo, as you left it".to_owned());
        }
        let disk = folders.disk();
        let written = disk.make_folder(&folders.demos()).map_err(|error| error.to_string());
        let written = written.and_then(|()| {
            atomic::replace_on(disk, &path, demo.text.as_bytes()).map_err(|error| format!("{error}; {}", error.hint()))
        });
        match written {
            Ok(()) => {
                let message = self.open(&path);
                with_notice(message, format!("demo copy: your own files are not touched; it is in {}", path.display()))
            }
            Err(error) => Message::Opened(Err(error)),
        }
    }
}

/// Adds a notice to a lesson that was just opened, unless it has a more important one.
fn with_notice(message: Message, text: String) -> Message {
    match message {
        Message::Opened(Ok(mut opened)) => {
            opened.notice.get_or_insert(Notice::done(text));
            Message::Opened(Ok(opened))
        }
        other => other,
    }
}

/// Returns the words for a notice of the store. For recovered changes they say how many there are, and which actions keep them or take them back.
fn told(notice: &open_lesson::OpeningNotice) -> String {
    let open_lesson::OpeningNotice::Recovered(recovered) = notice else { return notice.to_string() };
    if recovered.file == FileSince::Changed || !recovered.apart.is_empty() {
        return notice.to_string();
    }
    let count = recovered.reasons.len();
    let changes = if count == 1 { "change" } else { "changes" };
    let one_by_one = if count == 1 { "{Desk(Undo)} undoes it" } else { "{Desk(Undo)} undoes them one by one" };
    format!("brought back {count} unsaved {changes}; {{Desk(Save)}} saves, {one_by_one}")
}
