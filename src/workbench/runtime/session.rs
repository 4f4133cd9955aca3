//! The files of a session: the open lesson, the library, the settings, the handout.

use std::collections::HashMap;
use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{self, Sender};
use std::thread::{self, JoinHandle};

use crate::instrument::catalogue;
use crate::instrument::rig::Rig;
use crate::lesson::document::Lesson;
use crate::lesson::history::Transaction;
use crate::lesson::template::template_named;
use crate::store::atomic;
use crate::store::demos::DEMOS;
use crate::store::disk::Disk;
use crate::store::draft::{self, Draft};
use crate::store::fault::shown;
use crate::store::fingerprint::Fingerprint;
use crate::store::folders::Folders;
use crate::store::journal::JournalError;
use crate::store::lesson_file::{EXTENSION, LARGEST, Replace, SaveError};
use crate::store::open_lesson::{self, OpenLesson, SavedState, name_beside};
use crate::store::random;
use crate::store::settings::{ListeningSettings, Settings};
use crate::tab::handout::handout;
use crate::tab::handout::options::HandoutOptions;
use crate::workbench::editing::edited_lesson::{Access, Origin};
use crate::workbench::library::shelf::{Keeper, Shelf, ShelfTask};
use crate::workbench::messages::effect::FileEffect;
use crate::workbench::messages::message::{Message, Opened};
use crate::workbench::messages::notice::Notice;
use crate::workbench::questions::program::{Existing, SaveAs};
use crate::workbench::questions::start::NewLesson;
use crate::workbench::runtime::path_names::complete_path;

/// Takes a message to whoever reads them.
type Tell = Arc<dyn Fn(Message) + Send + Sync>;

/// A handout to be laid out.
type Layout = (Arc<Lesson>, HandoutOptions);

/// The files of a session.
pub struct Session {
    folders: Option<Folders>,
    file: Option<OpenLesson>,
    /// What this session wrote as handouts.
    handouts: HashMap<PathBuf, Fingerprint>,
    /// Who reads and writes the library.
    keeper: Keeper,
    /// Who is told what was done behind the keys.
    tell: Option<Tell>,
    /// Where handouts go to be laid out, once one did.
    layouts: Option<Sender<Layout>>,
    /// The key that saves, for what is told about unsaved changes.
    save_key: String,
    /// How many changes were handed to the journal.
    changes: u64,
    /// Who waits for the journal to reach the disk.
    syncing: Option<JoinHandle<()>>,
    /// Why the settings could not be kept the last time; said once.
    settings_trouble: Option<String>,
}

impl Session {
    /// Begins a session that keeps library and settings in `folders`, if there are any.
    pub fn new(folders: Option<Folders>, save_key: String) -> Self {
        let keeper = Keeper::new(folders.clone());
        Self {
            folders,
            file: None,
            handouts: HashMap::new(),
            keeper,
            tell: None,
            layouts: None,
            save_key,
            changes: 0,
            syncing: None,
            settings_trouble: None,
        }
    }

    /// Returns the disk that everything lies on.
    fn disk(&self) -> Disk {
        self.folders.as_ref().map_or_else(Disk::real, |folders| folders.disk().clone())
    }

    /// Has what takes long done behind the keys from now on: the library read and written, handouts laid out to be
    /// looked at. The outcome is told. See [`Self::begin`].
    pub fn work_behind(&mut self, tell: impl Fn(Message) + Send + Sync + 'static) {
        let tell: Tell = Arc::new(tell);
        self.tell = Some(Arc::clone(&tell));
        self.keeper.work_behind(move |message| tell(message));
    }

    /// Has that begin now: not before the first frame, which needs the processor itself.
    pub fn begin(&mut self) {
        self.keeper.begin();
    }

    /// Takes away what is kept of what is not in the lesson yet: who leaves in peace has left it behind.
    pub fn leave(&self) {
        if let Some(file) = &self.file {
            draft::keep_on(&self.disk(), file.path(), &Draft::default());
        }
    }

    /// Waits until everything that was asked of the library is done.
    pub fn finish(&mut self) {
        self.keeper.finish();
    }

    fn lay_out(&mut self, lesson: Arc<Lesson>, options: HandoutOptions) -> Vec<Message> {
        let Some(tell) = &self.tell else { return vec![laid_out(&lesson, options)] };
        let layouts = self.layouts.take().unwrap_or_else(|| lay_out_behind(Arc::clone(tell)));
        // Where the thread is gone, a fault of ours has ended it and was reported.
        let _ = layouts.send((lesson, options));
        self.layouts = Some(layouts);
        Vec::new()
    }

    fn with_library(&mut self, task: ShelfTask) -> Vec<Message> {
        self.keeper.perform(task).into_iter().collect()
    }

    /// Has the library read after a lesson was opened, and the lesson remembered for the next time.
    fn with_its_library(&mut self, opened: Message) -> Vec<Message> {
        let mut messages = Vec::new();
        if let Message::Opened(Ok(opened)) = &opened {
            let path = opened.path.clone();
            messages.extend(self.with_library(ShelfTask::Read));
            messages.extend(self.with_library(ShelfTask::Remember(path)));
        }
        if let Message::Opened(Ok(opened)) = &opened
            && matches!(opened.access, Access::Free)
        {
            messages.extend(draft::left(&opened.path).map(|draft| Message::Drafted(Box::new(draft))));
        }
        messages.insert(0, opened);
        messages
    }

    /// Performs an effect on files and returns what there is to report.
    pub fn perform(&mut self, effect: FileEffect) -> Vec<Message> {
        match effect {
            FileEffect::Journal(changes) => self.record(&changes),
            FileEffect::Save(lesson, to) => vec![self.save(&lesson, to)],
            FileEffect::WriteHandout(lesson, options, existing) => {
                vec![self.write_handout(&lesson, &options, existing)]
            }
            FileEffect::KeepInLibrary(voicing) => self.with_library(ShelfTask::Keep(voicing)),
            FileEffect::ChangeLibrary(change) => self.with_library(ShelfTask::Change(change)),
            FileEffect::TakeOutOfLibrary(voicing) => self.with_library(ShelfTask::TakeOut(voicing)),
            FileEffect::KeepNeckSettings(sight) => self.settings(|settings| settings.neck = sight),
            FileEffect::KeepDraft(draft) => {
                if let Some(file) = &self.file {
                    draft::keep_on(&self.disk(), file.path(), &draft);
                }
                Vec::new()
            }
            FileEffect::KeepTheme(name) => self.settings(|settings| settings.theme.clone_from(&name)),
            FileEffect::LayOut(lesson, options) => self.lay_out(lesson, options),
            FileEffect::ReadTab(path) => {
                let text = self.read_text(&path);
                vec![Message::TabRead(path, text)]
            }
            FileEffect::Discard => {
                self.leave();
                let stays = self.file.take().and_then(|file| file.discard().err());
                let told = stays.map(|error| Message::Told(Notice::trouble(with_hint(&error))));
                std::iter::once(Message::Discarded).chain(told).collect()
            }
            FileEffect::Open(path) => {
                let told = self.let_go();
                let opened = self.open(&path);
                self.with_its_library(opened).into_iter().chain(told).collect()
            }
            FileEffect::New(wanted) => {
                let told = self.let_go();
                let created = self.create(&wanted);
                self.with_its_library(created).into_iter().chain(told).collect()
            }
            FileEffect::CompletePath(typed, sought) => {
                let folder = self.file.as_ref().and_then(|file| file.path().parent());
                vec![complete_path(typed, sought, folder)]
            }
            FileEffect::ReadLibrary => self.with_library(ShelfTask::Show),
            FileEffect::OpenDemo(name) => {
                let told = self.let_go();
                let opened = self.open_demo(&name);
                self.with_its_library(opened).into_iter().chain(told).collect()
            }
            FileEffect::Close => {
                self.leave();
                self.let_go()
            }
        }
    }

    /// Keeps in the settings how things are heard.
    pub fn keep_listening(&mut self, listening: &ListeningSettings) -> Vec<Message> {
        self.settings(|settings| settings.listening.clone_from(listening))
    }

    /// Brings the journal to the disk itself, before leaving; returns why that may have failed.
    pub fn sync(&mut self) -> Option<String> {
        if let Some(syncing) = self.syncing.take() {
            let _ = syncing.join();
        }
        self.file.as_mut().and_then(|file| file.sync().err()).map(|error| with_hint(&error))
    }

    /// Lets go of the open lesson; what is not saved waits in its journal, on the disk itself.
    fn let_go(&mut self) -> Vec<Message> {
        let unconfirmed = self.sync();
        self.file = None;
        unconfirmed.map(|trouble| Message::Told(Notice::trouble(trouble))).into_iter().collect()
    }

    /// Returns how many changes there have been, if some of them may not be on the disk itself.
    pub fn unsynced(&self) -> Option<u64> {
        self.file.as_ref().filter(|file| file.is_unsynced()).map(|_| self.changes)
    }

    /// Has the journal brought to the disk itself behind the keys; that it failed is told.
    pub fn sync_behind(&mut self) {
        let Some(unsynced) = self.file.as_mut().and_then(OpenLesson::take_unsynced) else { return };
        let tell = self.tell.clone();
        let before = self.syncing.take();
        self.syncing = Some(thread::spawn(move || {
            // One after the other: whoever waits for the last waits for all.
            let _ = before.map(JoinHandle::join);
            if let (Err(error), Some(tell)) = (unsynced.sync(), tell) {
                tell(Message::Told(Notice::trouble(with_hint(&error))));
            }
        }));
    }

    fn record(&mut self, changes: &[Transaction]) -> Vec<Message> {
        let Some(file) = &mut self.file else { return Vec::new() };
        self.changes = self.changes.saturating_add(1);
        let failed = changes.iter().find_map(|change| file.record(change).err());
        failed.map(|error| Message::JournalFailed(with_hint(&error))).into_iter().collect()
    }

    fn save(&mut self, lesson: &Lesson, to: SaveAs) -> Message {
        let Some(file) = &mut self.file else {
            return Message::Saved(Err("no lesson is open".to_owned()));
        };
        let saved = match to {
            SaveAs::Itself => file.save(lesson),
            SaveAs::Over => file.overwrite(lesson),
            SaveAs::Beside => {
                let path = name_beside(file.path());
                file.save_as(&path, lesson, Replace::Nothing)
            }
        };
        match saved {
            Ok(()) => Message::Saved(Ok(file.path().to_owned())),
            Err(error @ (SaveError::ChangedOnDisk { .. } | SaveError::Gone { .. })) => {
                Message::SaveConflict(without_path(&error))
            }
            Err(error) => Message::Saved(Err(format!("{}; {}", without_path(&error), error.hint()))),
        }
    }

    /// Reads a text file; a path that leads nowhere from here is tried from the lesson's folder.
    fn read_text(&self, path: &Path) -> Result<String, String> {
        let beside = self.file.as_ref().and_then(|file| file.path().parent()).map(|folder| folder.join(path));
        let path = beside.filter(|beside| !path.exists() && beside.exists()).unwrap_or_else(|| path.to_owned());
        let cannot = |error: std::io::Error| format!("{} cannot be read: {error}", shown(&path));
        // A pipe or a device could keep us waiting for ever.
        if !fs::metadata(&path).map_err(cannot)?.is_file() {
            return Err(format!("{} is no file; name a plain text file", shown(&path)));
        }
        let mut bytes = Vec::new();
        let file = fs::File::open(&path).map_err(cannot)?;
        file.take(LARGEST + 1).read_to_end(&mut bytes).map_err(cannot)?;
        if u64::try_from(bytes.len()).is_ok_and(|length| length > LARGEST) {
            return Err(format!("too long for text tab: at most {} MB are read", LARGEST / (1024 * 1024)));
        }
        // Old files come in old encodings; what is no text is refused by the reader, with its line.
        Ok(String::from_utf8_lossy(&bytes).into_owned())
    }

    fn open(&mut self, path: &Path) -> Message {
        // Let go of the lesson before, so that it can be opened again itself.
        self.file = None;
        match OpenLesson::open_on(&self.disk(), path) {
            Ok(opened) => self.opened(opened),
            Err(error) => {
                if !path.exists() {
                    // Said again at the next key that changes the settings.
                    let _ = self.settings(|settings| settings.forget(path));
                }
                Message::Opened(Err(format!("{error}; {}", error.hint())))
            }
        }
    }

    fn opened(&mut self, opened: open_lesson::Opened) -> Message {
        let open_lesson::Opened { lesson, state, file } = opened;
        let path = file.path().to_owned();
        let access = match file.access() {
            open_lesson::Access::Full => Access::Free,
            open_lesson::Access::ReadOnly(why) => Access::ReadOnly(why.to_string()),
        };
        let origin = match state {
            SavedState::Saved => Origin::File,
            SavedState::Unsaved => Origin::Unsaved,
        };
        let told: Vec<String> = file.notices().iter().map(|notice| self.told(notice)).collect();
        let said = told.join("; ");
        let notice = (!said.is_empty()).then(|| Notice::note(said));
        self.file = Some(file);
        // It is read next; see `with_its_library`.
        let library = Shelf::default();
        let seed = random::seed();
        Message::Opened(Ok(Box::new(Opened { lesson, path, access, origin, seed, library, notice })))
    }

    /// Returns what to tell; of changes brought back, all that there are and how to keep them.
    fn told(&self, notice: &open_lesson::Notice) -> String {
        let open_lesson::Notice::Recovered(recovered) = notice else { return notice.to_string() };
        let count = recovered.reasons.len();
        let changes = if count == 1 { "change" } else { "changes" };
        let labels: Vec<&str> = recovered.reasons.iter().map(|reason| reason.label()).collect();
        format!("brought back {count} unsaved {changes}; {} saves: {}", self.save_key, labels.join(", "))
    }

    fn create(&mut self, wanted: &NewLesson) -> Message {
        let title = wanted.title.as_str();
        let lesson = match new_lesson(wanted) {
            Ok(lesson) => lesson,
            Err(error) => return Message::Opened(Err(error)),
        };
        let folder = std::env::current_dir().unwrap_or_else(|_| PathBuf::from("."));
        let path = folder.join(format!("{}{EXTENSION}", file_stem(title)));
        let path = if fs::symlink_metadata(&path).is_ok() { name_beside(&path) } else { path };
        self.file = None;
        match OpenLesson::create_on(&self.disk(), &path, &lesson) {
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
            Err(error) => Message::Opened(Err(format!("{error}; {}", error.hint()))),
        }
    }

    fn open_demo(&mut self, name: &str) -> Message {
        let Some(demo) = DEMOS.iter().find(|demo| demo.name == name) else {
            return Message::Opened(Err(format!("there is no demo {name}")));
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
                with_notice(message, format!("a copy to play with freely, in {}", path.display()))
            }
            Err(error) => Message::Opened(Err(error)),
        }
    }

    /// Changes the settings; that they cannot be written is no reason to stop, and is said once.
    fn settings(&mut self, change: impl FnMut(&mut Settings)) -> Vec<Message> {
        let Some(folders) = &self.folders else { return Vec::new() };
        let trouble = Settings::update(folders, change).err().map(|error| format!("{error}; {}", error.hint()));
        let said = std::mem::replace(&mut self.settings_trouble, trouble);
        let news = self.settings_trouble.clone().filter(|trouble| said.as_ref() != Some(trouble));
        news.map(|trouble| Message::Told(Notice::trouble(trouble))).into_iter().collect()
    }

    fn write_handout(&mut self, lesson: &Lesson, options: &HandoutOptions, existing: Existing) -> Message {
        let Some(file) = &self.file else {
            return Message::HandoutWritten(Err("no lesson is open".to_owned()));
        };
        let text = handout(lesson, options).to_text();
        let path = handout_path(file.path());
        let there = fs::symlink_metadata(&path).is_ok();
        let path = match existing {
            Existing::Ask if there && !self.wrote(&path, &text) => return Message::HandoutExists(path),
            Existing::Ask | Existing::Replace => path,
            Existing::Beside => free_beside(&path),
        };
        match atomic::replace_on(&self.disk(), &path, text.as_bytes()) {
            Ok(()) => {
                self.handouts.insert(path.clone(), Fingerprint::of(text.as_bytes()));
                Message::HandoutWritten(Ok(path))
            }
            Err(error) => Message::HandoutWritten(Err(format!("no handout: {error}; {}", error.hint()))),
        }
    }

    /// Returns whether the file holds what this session wrote there, or what it is about to write.
    fn wrote(&self, path: &Path, text: &str) -> bool {
        let Ok(there) = fs::read(path) else { return false };
        let now = Fingerprint::of(&there);
        there == text.as_bytes() || self.handouts.get(path) == Some(&now)
    }
}

fn laid_out(lesson: &Lesson, options: HandoutOptions) -> Message {
    let pages = handout(lesson, &options).pages;
    Message::LaidOut(options, pages)
}

/// Starts a thread that lays out what it is sent, and leaves out what something later has come for. Nobody waits for
/// it: who leaves does not want to see pages any more.
fn lay_out_behind(tell: Tell) -> Sender<Layout> {
    let (sender, waiting) = mpsc::channel::<Layout>();
    thread::spawn(move || {
        while let Ok(first) = waiting.recv() {
            let (lesson, options) = waiting.try_iter().last().unwrap_or(first);
            tell(laid_out(&lesson, options));
        }
    });
    sender
}

/// Says what is wrong with the journal and what to do about it.
fn with_hint(error: &JournalError) -> String {
    format!("{error}; {}", error.hint())
}

/// Says why a lesson was not saved, without its path: there is only one lesson open.
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

/// Adds a notice to a lesson just opened, unless there is something weightier to say.
fn with_notice(message: Message, text: String) -> Message {
    match message {
        Message::Opened(Ok(mut opened)) => {
            opened.notice.get_or_insert(Notice::done(text));
            Message::Opened(Ok(opened))
        }
        other => other,
    }
}

/// Returns where the handout of a lesson goes: `NAME.handout.txt` beside it.
fn handout_path(lesson: &Path) -> PathBuf {
    let name = lesson.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let stem = name.strip_suffix(EXTENSION).unwrap_or(&name);
    lesson.with_file_name(format!("{stem}.handout.txt"))
}

/// Returns a name beside `path` that no file has: `NAME.handout 2.txt`.
fn free_beside(path: &Path) -> PathBuf {
    let stem = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let named = |number: u32| path.with_file_name(format!("{stem} {number}.txt"));
    (2..).map(named).find(|path| fs::symlink_metadata(path).is_err()).unwrap_or_else(|| named(u32::MAX))
}

/// Returns a file name made from a title: letters and digits, the rest as hyphens.
fn file_stem(title: &str) -> String {
    let mut stem = String::new();
    for letter in title.chars().take(60) {
        if letter.is_alphanumeric() {
            stem.extend(letter.to_lowercase());
        } else if !stem.is_empty() && !stem.ends_with('-') {
            stem.push('-');
        }
    }
    let stem = stem.trim_matches('-');
    if stem.is_empty() { "lesson".to_owned() } else { stem.to_owned() }
}

/// Returns the lesson to start from. Errors: an instrument or tuning that is not known.
fn new_lesson(wanted: &NewLesson) -> Result<Lesson, String> {
    let tuning = Some(wanted.tuning.as_str()).filter(|tuning| !tuning.is_empty());
    let setup = catalogue::setup_from_text(Some(&wanted.instrument), tuning);
    let (body, tuning) = setup.map_err(|error| error.to_string())?;
    let rig = Rig::new(body, tuning, None).map_err(|error| error.to_string())?;
    Ok(match template_named(&wanted.template) {
        Some(template) => template.lesson(random::lesson_id(), &wanted.title, &rig),
        None => Lesson::blank(random::lesson_id(), &wanted.title, &rig),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lesson::document::Header;
    use crate::lesson::edit::Edit;
    use crate::lesson::history::Reason;
    use crate::store::lesson_file;
    use crate::tab::handout::options::Paper;

    /// A session on a new lesson in a folder of its own, saved once and changed since.
    fn changed_lesson(folder: &Path) -> (Session, PathBuf) {
        let path = folder.join("own.lesson.ron");
        let rig = crate::workbench::editing::rigs::standard_guitar();
        lesson_file::save(&path, &Lesson::blank(random::lesson_id(), "Own", &rig), Replace::Nothing).unwrap();
        let mut session = Session::new(None, "Ctrl+S".to_owned());
        opened(session.perform(FileEffect::Open(path.clone())));
        let header = Header { title: "Changed".to_owned(), ..Header::default() };
        let change = Transaction::one(Reason::EditHeader, Edit::Header(header));
        assert!(session.perform(FileEffect::Journal(vec![change])).is_empty());
        (session, path)
    }

    #[track_caller]
    fn opened(messages: Vec<Message>) -> Opened {
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
        let mut session = Session::new(None, "Ctrl+S".to_owned());
        let back = opened(session.perform(FileEffect::Open(path)));
        assert_eq!(back.lesson.header.title, "Changed");
        let text = back.notice.unwrap().text;
        assert!(text.starts_with("brought back 1 unsaved change; Ctrl+S saves: header"), "{text}");
    }

    #[test]
    fn changes_thrown_away_do_not_come_back() {
        let folder = tempfile::tempdir().unwrap();
        let (mut session, path) = changed_lesson(folder.path());
        assert!(matches!(session.perform(FileEffect::Discard)[..], [Message::Discarded]));
        let again = opened(session.perform(FileEffect::Open(path)));
        assert_eq!((again.lesson.header.title.as_str(), again.origin), ("Own", Origin::File));
    }

    #[test]
    fn tab_is_looked_for_beside_the_lesson_too_and_what_is_no_file_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        let (mut session, _) = changed_lesson(folder.path());
        fs::write(folder.path().join("porch-idea-of-a-test.txt"), "e|--3--|\n").unwrap();
        let mut read = |path: &str| match session.perform(FileEffect::ReadTab(path.into())).remove(0) {
            Message::TabRead(_, text) => text,
            other => panic!("{other:?}"),
        };
        assert_eq!(read("porch-idea-of-a-test.txt").as_deref(), Ok("e|--3--|\n"));
        assert!(read("no-such-file.txt").unwrap_err().starts_with("no-such-file.txt cannot be read"));
        assert!(read("/").unwrap_err().contains("is no file"));
    }

    #[test]
    fn a_save_that_fails_says_so_once_and_without_the_path() {
        let folder = tempfile::tempdir().unwrap();
        let (mut session, _) = changed_lesson(folder.path());
        drop(folder);
        let rig = crate::workbench::editing::rigs::standard_guitar();
        let lesson = Box::new(Lesson::blank(random::lesson_id(), "Own", &rig));
        let Some(Message::Saved(Err(text))) = session.perform(FileEffect::Save(lesson, SaveAs::Over)).pop() else {
            panic!("it cannot be saved in a folder that is gone");
        };
        assert!(!text.contains("not saved") && !text.contains("own.lesson.ron"), "{text}");
    }

    #[test]
    fn of_handouts_laid_out_behind_the_keys_the_last_one_asked_for_comes_last() {
        let lesson =
            Arc::new(Lesson::blank(random::lesson_id(), "Own", &crate::workbench::editing::rigs::standard_guitar()));
        let mut session = Session::new(None, "Ctrl+S".to_owned());
        let (sender, told) = mpsc::channel();
        session.work_behind(move |message| sender.send(message).unwrap());
        let letter = HandoutOptions { paper: Paper::Letter, ..HandoutOptions::default() };
        for options in [HandoutOptions::default(), letter.clone()] {
            assert!(session.perform(FileEffect::LayOut(Arc::clone(&lesson), options)).is_empty());
        }
        drop(session);
        let Some(Message::LaidOut(options, pages)) = told.iter().last() else { panic!("nothing was laid out") };
        assert_eq!((&options, pages), (&letter, handout(&lesson, &letter).pages));
    }

    #[test]
    fn a_title_becomes_a_plain_file_name() {
        assert_eq!(file_stem("Kitchen-table rhythm 4: the ninth!"), "kitchen-table-rhythm-4-the-ninth");
        assert_eq!(file_stem("../../etc"), "etc");
        assert_eq!(file_stem("¿?"), "lesson");
    }

    #[test]
    fn the_handout_lies_beside_the_lesson() {
        assert_eq!(handout_path(Path::new("/a/x.lesson.ron")), Path::new("/a/x.handout.txt"));
        assert_eq!(handout_path(Path::new("y.ron")), Path::new("y.ron.handout.txt"));
    }
}
