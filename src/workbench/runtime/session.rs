//! The files of a session: the open lesson, the library, the settings and the handouts. Their formats are not here; see
//! `store`. Opening is in `opening`, saving and the draft in `saving`, the journal in `journal_file`.

use std::path::{Path, PathBuf};

use crate::lesson::document::Lesson;
use crate::store::disk::Disk;
use crate::store::folders::Folders;
use crate::store::journal::Refuge;
use crate::store::last_places::{LastPlace, LastPlaces};
use crate::store::open_lesson::{self, OpenLesson};
use crate::store::settings::{ListeningSettings, Settings};
use crate::tab::handout::handout_while;
use crate::tab::handout::options::HandoutOptions;
use crate::workbench::jobs::kind::JobKind;
use crate::workbench::jobs::queue::Jobs;
use crate::workbench::jobs::running::Running;
use crate::workbench::messages::effect::FileEffect;
use crate::workbench::messages::message::Message;
use crate::workbench::runtime::draft_file::DraftFile;
use crate::workbench::runtime::handout_file::WrittenHandouts;
use crate::workbench::runtime::library_file::{Keeper, ShelfTask};
use crate::workbench::runtime::path_names::complete_path;
use crate::workbench::runtime::settings_file::{SettingsChange, SettingsFile};
use crate::workbench::runtime::text_file::read_text;

/// The files of a session.
pub struct Session {
    pub(super) folders: Option<Folders>,
    /// The folder in which new lessons are made; where none is said, the one that the program was started in.
    pub(super) new_lessons: Option<PathBuf>,
    pub(super) file: Option<OpenLesson>,
    /// Whether the person was told that another window has let go of the lesson.
    pub(super) lock: LockNews,
    /// Keeps the draft beside the lesson.
    pub(super) draft: DraftFile,
    /// The handouts that this session wrote.
    handouts: WrittenHandouts,
    /// Reads and writes the library.
    keeper: Keeper,
    /// The number of changes that were handed to the journal.
    pub(super) changes: u64,
    /// Whether a job is syncing the journal to the disk.
    pub(super) syncing: Syncing,
    /// Whether the journal works, as was told last.
    pub(super) journal: JournalStands,
    /// Whether the file of the lesson lay in its place when that was looked at last.
    pub(super) place: FilePlace,
    /// The settings as this window has read or chosen them; another window may have chosen otherwise.
    chosen: Settings,
    /// Writes the settings.
    pub(super) settings: SettingsFile,
}

/// Whether the person was told that another window has let go of the lesson.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum LockNews {
    None,
    Told,
}

/// Whether the file of the lesson lies in its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum FilePlace {
    AsBefore,
    Gone,
}

/// Whether the journal works.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum JournalStands {
    Working,
    Stopped,
}

/// Whether a job is syncing the journal to the disk.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Syncing {
    Idle,
    Behind,
}

impl Session {
    /// Returns a new session that keeps library and settings in `folders`, if there are any.
    pub fn new(folders: Option<Folders>) -> Self {
        let keeper = Keeper::new(folders.clone());
        let settings = SettingsFile::new(folders.clone());
        let disk = disk_of(folders.as_ref());
        let chosen = folders.as_ref().map(|folders| Settings::load(folders).0).unwrap_or_default();
        Self {
            chosen,
            handouts: WrittenHandouts::on(disk, folders.clone()),
            folders,
            new_lessons: None,
            file: None,
            lock: LockNews::None,
            draft: DraftFile::default(),
            keeper,
            changes: 0,
            syncing: Syncing::Idle,
            journal: JournalStands::Working,
            place: FilePlace::AsBefore,
            settings,
        }
    }

    /// Returns the same session that makes new lessons in this folder.
    pub fn making_lessons_in(self, folder: &Path) -> Self {
        Self { new_lessons: Some(folder.to_owned()), ..self }
    }

    /// Returns the disk on which everything is kept.
    pub(super) fn disk(&self) -> Disk {
        disk_of(self.folders.as_ref())
    }

    /// Returns where journals lie that cannot lie beside their lesson, and where lessons were opened that may have been moved.
    pub(super) fn refuge(&self) -> Refuge {
        self.folders.as_ref().map_or_else(Refuge::default, Refuge::of)
    }

    fn with_library(&self, task: ShelfTask, jobs: &mut Jobs<Message>) -> Vec<Message> {
        self.keeper.perform(task, jobs).into_iter().collect()
    }

    /// Reads the library after a lesson was opened, and remembers the lesson for the next time.
    pub(super) fn with_its_library(&mut self, opened: Message, jobs: &mut Jobs<Message>) -> Vec<Message> {
        let mut messages = Vec::new();
        if let Message::Opened(Ok(opened)) = &opened {
            let path = opened.path.clone();
            messages.extend(self.with_library(ShelfTask::Read, jobs));
            messages.extend(self.settings.change(SettingsChange::Remember(path), jobs));
        }
        if let Message::Opened(Ok(opened)) = &opened
            && matches!(opened.access, open_lesson::Access::Full)
        {
            messages.extend(self.find_draft().map(|draft| Message::Drafted(Box::new(draft))));
        }
        messages.insert(0, opened);
        messages.extend(self.retry(jobs));
        messages
    }

    /// Performs an effect on files and returns the messages that are known already; long work goes to `jobs`.
    pub fn perform(&mut self, effect: FileEffect, jobs: &mut Jobs<Message>) -> Vec<Message> {
        match effect {
            FileEffect::Journal(changes) => self.record(&changes),
            FileEffect::KeepApart(apart) => {
                let failed = self.file.as_mut().and_then(|file| file.keep_apart(apart).err());
                self.heard_of_journal(failed.as_ref()).into_iter().collect()
            }
            FileEffect::Save(work, to) => {
                let before = self.file.as_ref().map(|file| file.path().to_owned());
                let saved = self.save(&work, to);
                self.with_protection(before, saved)
            }
            FileEffect::SaveAt(work, path) => {
                let before = self.file.as_ref().map(|file| file.path().to_owned());
                let saved = self.save_at(&work, &path);
                self.with_protection(before, saved)
            }
            FileEffect::WriteHandout(lesson, options, existing) => {
                let Some(file) = &self.file else {
                    return vec![Message::HandoutWritten(Err("no lesson is open".to_owned()))];
                };
                vec![self.handouts.write(file.path(), &lesson, &options, existing)]
            }
            FileEffect::ChangeLibrary(order, said) => self.with_library(ShelfTask::Change(order, said), jobs),
            FileEffect::KeepNeckSettings(neck) => {
                let before = std::mem::replace(&mut self.chosen.neck, neck);
                self.settings.change(SettingsChange::Neck { before, after: neck }, jobs).into_iter().collect()
            }
            FileEffect::KeepHandoutChoice(after) => {
                let before = self.chosen.handout_choice();
                (self.chosen.paper, self.chosen.handout) = (after.paper, after.rest);
                self.settings.change(SettingsChange::Handout { before, after }, jobs).into_iter().collect()
            }
            FileEffect::KeepDraft(draft) => self.keep_draft(*draft).into_iter().collect(),
            FileEffect::KeepTheme(name) => {
                self.settings.change(SettingsChange::Theme(name), jobs).into_iter().collect()
            }
            FileEffect::LayOut(lesson, options) => {
                let laid_out = move |running: &Running<'_>| laid_out(&lesson, options, running);
                jobs.start(JobKind::Layout, laid_out).into_iter().collect()
            }
            FileEffect::ReadTab(path) => vec![Message::TabRead(path.clone(), read_text(&path, self.folder()))],
            FileEffect::Discard => vec![self.discard()],
            FileEffect::Open(path) => {
                let told = self.let_go(jobs);
                let opened = self.open(&path);
                let is_gone = matches!(opened, Message::Opened(Err(_))) && !path.exists();
                let forgotten = if is_gone { self.settings.change(SettingsChange::Forget(path), jobs) } else { None };
                self.with_its_library(opened, jobs).into_iter().chain(told).chain(forgotten).collect()
            }
            FileEffect::OpenForWriting(fingers) => self.open_for_writing(*fingers, jobs),
            FileEffect::New(wanted) => {
                let told = self.let_go(jobs);
                let created = self.create(&wanted);
                self.with_its_library(created, jobs).into_iter().chain(told).collect()
            }
            FileEffect::CompletePath(typed, sought) => vec![complete_path(typed, sought, self.folder())],
            FileEffect::ReadLibrary => self.with_library(ShelfTask::Show, jobs),
            FileEffect::OpenDemo(name) => {
                let told = self.let_go(jobs);
                let opened = self.open_demo(&name);
                self.with_its_library(opened, jobs).into_iter().chain(told).collect()
            }
            FileEffect::Close(left) => {
                self.remember_place(left);
                self.let_go(jobs)
            }
        }
    }

    /// Remembers where the open lesson is left. It is no harm where that cannot be written: the lesson opens at another segment.
    pub(super) fn remember_place(&self, left: Option<LastPlace>) {
        let writes = self.file.as_ref().is_some_and(|file| matches!(file.access(), open_lesson::Access::Full));
        if let Some((folders, left)) = self.folders.as_ref().zip(left).filter(|_| writes) {
            let _remembered = LastPlaces::remember(folders, left);
        }
    }

    /// Returns the folder of the open lesson's file.
    fn folder(&self) -> Option<&Path> {
        self.file.as_ref().and_then(|file| file.path().parent())
    }

    /// Keeps the settings for listening.
    pub fn keep_listening(&mut self, listening: &ListeningSettings, jobs: &mut Jobs<Message>) -> Option<Message> {
        let before = std::mem::replace(&mut self.chosen.listening, listening.clone());
        self.settings.change(SettingsChange::Listening { before, after: listening.clone() }, jobs)
    }
}

/// Lays a handout out, unless another is asked for meanwhile. One of many sections says how far it is.
fn laid_out(lesson: &Lesson, options: HandoutOptions, running: &Running<'_>) -> Option<Message> {
    const MANY: usize = 50;
    let number = |count: usize| u64::try_from(count).unwrap_or(u64::MAX);
    let laid_out = handout_while(lesson, &options, &mut |done, all| {
        if all > MANY {
            running.progress(number(done), number(all));
        }
        !running.is_cancelled()
    });
    laid_out.map(|handout| Message::LaidOut(options, handout.pages))
}

/// Returns the disk that `folders` lie on.
fn disk_of(folders: Option<&Folders>) -> Disk {
    folders.map_or_else(Disk::real, |folders| folders.disk().clone())
}

#[cfg(test)]
mod tests {
    use std::fs;
    use std::sync::Arc;
    use std::sync::mpsc;

    use super::*;
    use crate::lesson::document::Header;
    use crate::lesson::edit::Edit;
    use crate::lesson::history::{Reason, Transaction};
    use crate::lesson::id::SegmentId;
    use crate::store::draft::{self, Draft};
    use crate::store::lesson_file::{self, Replace};
    use crate::store::open_lesson::{FormatRenewal, SavedState};
    use crate::store::random;
    use crate::store::settings::NeckSettings;
    use crate::tab::handout::handout;
    use crate::text::paper::Paper;
    use crate::workbench::messages::effect::WorkToSave;
    use crate::workbench::messages::message::OpenedLesson;
    use crate::workbench::questions::program::SaveAs;

    /// Returns a session on a new lesson in a folder of its own, which was saved once and changed since.
    fn changed_lesson(folder: &Path) -> (Session, PathBuf) {
        let path = folder.join("own.lesson.ron");
        let rig = crate::workbench::editing::rigs::standard_guitar();
        lesson_file::save(&path, &Lesson::blank(random::lesson_id(), "Own", &rig), Replace::Nothing).unwrap();
        let mut session = Session::new(None);
        opened(session.perform(FileEffect::Open(path.clone()), &mut Jobs::at_once()));
        let header = Header { title: "Changed".to_owned(), ..Header::default() };
        let change = Transaction::one(Reason::EditHeader, Edit::Header(header));
        assert!(session.perform(FileEffect::Journal(vec![change]), &mut Jobs::at_once()).is_empty());
        (session, path)
    }

    #[track_caller]
    fn opened(messages: Vec<Message>) -> OpenedLesson {
        match messages.into_iter().next() {
            Some(Message::Opened(Ok(opened))) => *opened,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn changes_that_come_back_are_told_with_the_key_that_keeps_them() {
        let folder = tempfile::tempdir().unwrap();
        let (session, path) = changed_lesson(folder.path());
        drop(session);
        let mut session = Session::new(None);
        let back = opened(session.perform(FileEffect::Open(path), &mut Jobs::at_once()));
        assert_eq!(back.lesson.header.title, "Changed");
        let text = back.notice.unwrap().text;
        assert!(
            text.starts_with("brought back 1 unsaved change; {Desk(Save)} saves, {Desk(Undo)} undoes it"),
            "{text}"
        );
    }

    #[test]
    fn changes_that_were_all_undone_are_nothing_to_bring_back() {
        let folder = tempfile::tempdir().unwrap();
        let (mut session, path) = changed_lesson(folder.path());
        let back = Edit::Header(Header { title: "Own".to_owned(), ..Header::default() });
        let undo = Transaction::one(Reason::EditHeader, back);
        assert!(session.perform(FileEffect::Journal(vec![undo]), &mut Jobs::at_once()).is_empty());
        drop(session);
        let mut session = Session::new(None);
        let again = opened(session.perform(FileEffect::Open(path.clone()), &mut Jobs::at_once()));
        assert_eq!((again.lesson.header.title.as_str(), again.state), ("Own", SavedState::Saved));
        assert!(again.notice.is_none_or(|notice| !notice.text.contains("unsaved")));
        // What is changed then comes back as ever.
        let header = Header { title: "Anew".to_owned(), ..Header::default() };
        let change = Transaction::one(Reason::EditHeader, Edit::Header(header));
        assert!(session.perform(FileEffect::Journal(vec![change]), &mut Jobs::at_once()).is_empty());
        drop(session);
        let back = opened(Session::new(None).perform(FileEffect::Open(path), &mut Jobs::at_once()));
        assert_eq!(back.lesson.header.title, "Anew");
    }

    #[test]
    fn changes_behind_a_save_are_known_at_the_next_opening_unless_the_file_was_changed_since() {
        let folder = tempfile::tempdir().unwrap();
        let (session, path) = changed_lesson(folder.path());
        drop(session);
        let open = || {
            let folders = Folders::under(&folder.path().join("home"));
            let mut session = Session::new(Some(folders));
            let opened = opened(session.perform(FileEffect::Open(path.clone()), &mut Jobs::at_once()));
            (session, opened)
        };
        let (mut session, back) = open();
        assert_eq!((back.undoable_behind, back.undoable.len()), (Vec::new(), 1));
        let work = WorkToSave { lesson: back.lesson.clone(), changes: back.undoable.clone() };
        let saved = session.perform(FileEffect::Save(Box::new(work), SaveAs::Itself), &mut Jobs::at_once()).pop();
        assert!(matches!(saved, Some(Message::Saved(Ok(_)))), "{saved:?}");
        drop(session);
        let (session, again) = open();
        assert_eq!((again.undoable_behind, again.undoable, again.state), (back.undoable, vec![], SavedState::Saved));
        drop(session);
        lesson_file::save(&path, &Lesson { id: again.lesson.id, ..Lesson::default() }, Replace::Anything).unwrap();
        assert_eq!(open().1.undoable_behind, []);
    }

    #[test]
    fn changes_thrown_away_do_not_come_back() {
        let folder = tempfile::tempdir().unwrap();
        let (mut session, path) = changed_lesson(folder.path());
        assert!(matches!(session.perform(FileEffect::Discard, &mut Jobs::at_once())[..], [Message::Discarded(Ok(()))]));
        let again = opened(session.perform(FileEffect::Open(path), &mut Jobs::at_once()));
        assert_eq!((again.lesson.header.title.as_str(), again.state), ("Own", SavedState::Saved));
    }

    #[test]
    fn tab_is_looked_for_beside_the_lesson_too_and_what_is_no_file_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        let (mut session, _) = changed_lesson(folder.path());
        fs::write(folder.path().join("porch-idea-of-a-test.txt"), "e|--3--|\n").unwrap();
        let mut read =
            |path: &str| match session.perform(FileEffect::ReadTab(path.into()), &mut Jobs::at_once()).remove(0) {
                Message::TabRead(_, text) => text,
                other => panic!("{other:?}"),
            };
        assert_eq!(read("porch-idea-of-a-test.txt").as_deref(), Ok("e|--3--|\n"));
        assert!(read("no-such-file.txt").unwrap_err().starts_with("no-such-file.txt cannot be read"));
        assert!(read("/").unwrap_err().contains("is not a file"));
    }

    #[test]
    fn a_save_that_fails_says_so_once_and_without_the_path() {
        let folder = tempfile::tempdir().unwrap();
        let (mut session, _) = changed_lesson(folder.path());
        drop(folder);
        let rig = crate::workbench::editing::rigs::standard_guitar();
        let lesson = Lesson::blank(random::lesson_id(), "Own", &rig);
        let Some(Message::Saved(Err(text))) =
            session.perform(FileEffect::Save(Box::new(lesson.into()), SaveAs::Over), &mut Jobs::at_once()).pop()
        else {
            panic!("it cannot be saved in a folder that is gone");
        };
        assert!(!text.contains("not saved") && !text.contains("own.lesson.ron"), "{text}");
    }

    #[test]
    fn every_opening_draws_identities_of_its_own() {
        let folder = tempfile::tempdir().unwrap();
        let (mut session, path) = changed_lesson(folder.path());
        let mut seed = || opened(session.perform(FileEffect::Open(path.clone()), &mut Jobs::at_once())).seed;
        assert_ne!(seed(), seed());
    }

    #[test]
    fn the_first_save_of_a_file_from_an_older_version_is_told_apart() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("old.lesson.ron");
        fs::write(&path, "(format: 1, lesson: (header: (title: \"Old\")))").unwrap();
        let mut session = Session::new(None);
        let lesson = opened(session.perform(FileEffect::Open(path), &mut Jobs::at_once())).lesson;
        let mut save = || {
            let effect = FileEffect::Save(Box::new(lesson.clone().into()), SaveAs::Itself);
            match session.perform(effect, &mut Jobs::at_once()).pop() {
                Some(Message::Saved(Ok(saved))) => saved.renewed,
                other => panic!("{other:?}"),
            }
        };
        assert_eq!([save(), save()], [FormatRenewal::FromOlder, FormatRenewal::No]);
    }

    #[test]
    fn what_is_chosen_is_kept_in_the_settings() {
        let home = tempfile::tempdir().unwrap();
        let folders = Folders::under(home.path());
        let mut session = Session::new(Some(folders.clone()));
        let neck = NeckSettings { left_handed: true, ..NeckSettings::default() };
        let listening = ListeningSettings { volume: 30, ..ListeningSettings::default() };
        session.perform(FileEffect::KeepNeckSettings(neck), &mut Jobs::at_once());
        session.perform(FileEffect::KeepTheme("dusk".to_owned()), &mut Jobs::at_once());
        assert!(session.keep_listening(&listening, &mut Jobs::at_once()).is_none());
        let kept = Settings::load(&folders).0;
        assert_eq!((kept.neck, kept.theme.as_str(), kept.listening), (neck, "dusk", listening));
    }

    #[test]
    fn what_is_not_in_the_lesson_yet_is_kept_also_where_somebody_leaves_in_peace() {
        let folder = tempfile::tempdir().unwrap();
        let (mut session, path) = changed_lesson(folder.path());
        let written = Draft { fingers: "x 3 2 0 1 0".into(), ..Draft::default() };
        session.perform(FileEffect::KeepDraft(Box::new(written.clone())), &mut Jobs::at_once());
        session = Session::new(None);
        for _ in 0..2 {
            let told = session.perform(FileEffect::Open(path.clone()), &mut Jobs::at_once());
            assert!(told.iter().any(|message| matches!(message, Message::Drafted(draft) if **draft == written)));
            session.perform(FileEffect::Close(None), &mut Jobs::at_once());
        }
        session.perform(FileEffect::Open(path.clone()), &mut Jobs::at_once());
        session.perform(FileEffect::Discard, &mut Jobs::at_once());
        assert_eq!(draft::left(&path), None, "whoever throws the changes away wants none of it");
    }

    #[test]
    fn a_lesson_opens_at_the_segment_where_it_was_closed() {
        let [folder, home] = [tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap()];
        let (session, path) = changed_lesson(folder.path());
        drop(session);
        let mut session = Session::new(Some(Folders::under(home.path())));
        let left = |lesson: &Lesson, segment| Some(LastPlace { lesson: lesson.id?, segment });
        for segment in [None, Some(SegmentId(7)), Some(SegmentId(3)), None] {
            let back = opened(session.perform(FileEffect::Open(path.clone()), &mut Jobs::at_once()));
            session.perform(FileEffect::Close(left(&back.lesson, segment)), &mut Jobs::at_once());
            // Under another name it is the same lesson.
            let moved = folder.path().join("moved.lesson.ron");
            fs::rename(&path, &moved).unwrap();
            let back = opened(session.perform(FileEffect::Open(moved.clone()), &mut Jobs::at_once()));
            assert_eq!(back.left_at, segment);
            session.perform(FileEffect::Close(left(&back.lesson, segment)), &mut Jobs::at_once());
            fs::rename(&moved, &path).unwrap();
        }
    }

    #[test]
    fn of_handouts_laid_out_behind_the_keys_the_last_one_asked_for_comes_last() {
        let lesson =
            Arc::new(Lesson::blank(random::lesson_id(), "Own", &crate::workbench::editing::rigs::standard_guitar()));
        let mut session = Session::new(None);
        let (sender, told) = mpsc::channel();
        let mut jobs = Jobs::behind(move |message| _ = sender.send(message));
        let letter = HandoutOptions { paper: Paper::Letter, ..HandoutOptions::default() };
        for options in [HandoutOptions::default(), letter.clone()] {
            assert!(session.perform(FileEffect::LayOut(Arc::clone(&lesson), options), &mut jobs).is_empty());
        }
        jobs.begin();
        let Ok(Message::LaidOut(options, pages)) = told.recv() else { panic!("nothing was laid out") };
        assert_eq!((&options, pages), (&letter, handout(&lesson, &letter).pages));
    }
}
