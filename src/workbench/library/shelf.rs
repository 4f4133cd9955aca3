//! The library as the workbench has it open, and who reads and writes its file.
//!
//! A library of 10,000 voicings takes a tenth of a second to read or to write, which nobody should feel in a key. So
//! the file has a thread of its own, which does one thing after the other and tells the outcome; what it hands over
//! shares every voicing that has not changed with what it handed over before. A change of a library of at most
//! 400 voicings is waited for, so that what the screen shows is on the disk.

use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::{self, Sender};
use std::thread::{self, JoinHandle};

use crate::store::folders::Folders;
use crate::store::library::{Library, LibraryChange, LibraryVoicing};
use crate::store::settings::Settings;
use crate::store::user_file::UpdateError;
use crate::workbench::library::item::LibraryItem;
use crate::workbench::messages::message::Message;
use crate::workbench::messages::notice::Notice;

/// The voicings kept on the disk. Cheap to clone.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Shelf {
    items: Arc<Vec<Arc<LibraryItem>>>,
    /// What stands for the fingers of each, in order, with the place of the voicing.
    fingers: Arc<Vec<(u64, usize)>>,
}

impl Shelf {
    /// Returns the voicings, in their order.
    pub fn items(&self) -> &[Arc<LibraryItem>] {
        &self.items
    }

    /// Returns whether the same fingers on strings that sound the same are kept.
    pub fn keeps(&self, voicing: &LibraryVoicing) -> bool {
        self.alike(voicing).next().is_some()
    }

    /// Returns the voicings that are the same fingers on strings that sound the same.
    fn alike<'a>(&'a self, voicing: &'a LibraryVoicing) -> impl Iterator<Item = &'a Arc<LibraryItem>> {
        let number = number_of(voicing);
        let first = self.fingers.partition_point(|(known, _)| *known < number);
        let numbered = self.fingers.iter().skip(first).take_while(move |(known, _)| *known == number);
        numbered.filter_map(|(_, place)| self.items.get(*place)).filter(|item| item.voicing.is_same_place(voicing))
    }

    fn of(items: Vec<Arc<LibraryItem>>) -> Self {
        let numbers = items.iter().enumerate().map(|(place, item)| (number_of(&item.voicing), place));
        let mut fingers: Vec<(u64, usize)> = numbers.collect();
        fingers.sort_unstable();
        Self { items: Arc::new(items), fingers: Arc::new(fingers) }
    }

    /// Returns what `library` holds; what is as it was before is not made anew.
    fn after(&self, library: Library) -> Self {
        let item = |voicing: LibraryVoicing| {
            let known = self.alike(&voicing).find(|item| item.voicing == voicing).cloned();
            known.unwrap_or_else(|| Arc::new(LibraryItem::from(voicing)))
        };
        Self::of(library.voicings.into_iter().map(item).collect())
    }
}

impl From<Vec<LibraryItem>> for Shelf {
    fn from(items: Vec<LibraryItem>) -> Self {
        Self::of(items.into_iter().map(Arc::new).collect())
    }
}

/// Returns a number that is the same for the same fingers on strings that sound the same.
fn number_of(voicing: &LibraryVoicing) -> u64 {
    let mut hasher = DefaultHasher::new();
    (&voicing.shape, &voicing.capo).hash(&mut hasher);
    for pitch in voicing.tuning.strings() {
        pitch.midi().hash(&mut hasher);
    }
    hasher.finish()
}

/// How many voicings are written while nobody notices.
const SMALL: usize = 400;

/// Something to be done with the library's file.
#[derive(Debug)]
pub(in crate::workbench) enum ShelfTask {
    /// Read it for the lesson that is open.
    Read,
    /// Read it to be looked through.
    Show,
    /// Put a voicing in.
    Keep(Box<LibraryVoicing>),
    /// Put voicings in the place of others.
    Change(Box<LibraryChange>),
    /// Take a voicing out.
    TakeOut(Box<LibraryVoicing>),
    /// Remember in the settings, which lie beside it, that a lesson was opened.
    Remember(PathBuf),
}

/// Whoever does it: at once, or a thread that says so when it is done.
pub(in crate::workbench) struct Keeper {
    file: ShelfFile,
    /// The way that tasks go which are done behind the keys.
    tasks: Option<Sender<(ShelfTask, Option<Sender<Message>>)>>,
    /// How many voicings the thread found last; the largest number until it has looked.
    count: Arc<AtomicUsize>,
    thread: Thread,
}

/// The thread that does them.
enum Thread {
    /// There is none.
    None,
    /// The thread has not begun, and tasks wait for it.
    Waiting(Box<dyn FnOnce() + Send>),
    Working(JoinHandle<()>),
}

/// The library's file, and what was read there last.
struct ShelfFile {
    folders: Option<Folders>,
    shelf: Shelf,
}

impl Keeper {
    /// Returns a keeper that does at once what it is asked.
    pub(in crate::workbench) fn new(folders: Option<Folders>) -> Self {
        Self {
            file: ShelfFile { folders, shelf: Shelf::default() },
            tasks: None,
            count: Arc::default(),
            thread: Thread::None,
        }
    }

    /// Has a thread do what is asked from now on, one thing after the other; it tells each outcome. It begins when
    /// [`Self::begin`] says so.
    pub(in crate::workbench) fn work_behind(&mut self, tell: impl Fn(Message) + Send + 'static) {
        let (tasks, waiting) = mpsc::channel::<(ShelfTask, Option<Sender<Message>>)>();
        let mut file = ShelfFile { folders: self.file.folders.clone(), shelf: self.file.shelf.clone() };
        let count = Arc::new(AtomicUsize::new(usize::MAX));
        self.count = Arc::clone(&count);
        let work = move || {
            for (task, waits) in waiting {
                let outcome = file.perform(task);
                count.store(file.shelf.items().len(), Ordering::Release);
                let Some(outcome) = outcome else { continue };
                let untold = match waits {
                    Some(waits) => waits.send(outcome).err().map(|unheard| unheard.0),
                    None => Some(outcome),
                };
                untold.into_iter().for_each(&tell);
            }
        };
        self.tasks = Some(tasks);
        self.thread = Thread::Waiting(Box::new(work));
    }

    /// Has the thread begin.
    pub(in crate::workbench) fn begin(&mut self) {
        self.thread = match std::mem::replace(&mut self.thread, Thread::None) {
            Thread::Waiting(work) => Thread::Working(thread::spawn(work)),
            other => other,
        };
    }

    /// Does something, or has it done; returns the outcome if there is one already.
    pub(in crate::workbench) fn perform(&mut self, task: ShelfTask) -> Option<Message> {
        let Some(tasks) = &self.tasks else { return self.file.perform(task) };
        let changes = matches!(task, ShelfTask::Keep(_) | ShelfTask::Change(_) | ShelfTask::TakeOut(_));
        let working = matches!(self.thread, Thread::Working(_));
        let small = working && self.count.load(Ordering::Acquire) <= SMALL;
        let (outcome, told) = mpsc::channel();
        let Err(refused) = tasks.send((task, (changes && small).then_some(outcome))) else {
            // Where nobody is to wait, the other end is gone already.
            return told.recv().ok();
        };
        // The thread is gone, which a fault of ours must have ended: then it is done here.
        self.tasks = None;
        self.file.perform(refused.0.0)
    }

    /// Waits until everything that was asked is done.
    pub(in crate::workbench) fn finish(&mut self) {
        self.begin();
        self.tasks = None;
        if let Thread::Working(thread) = std::mem::replace(&mut self.thread, Thread::None) {
            let _ = thread.join();
        }
    }
}

impl Drop for Keeper {
    fn drop(&mut self) {
        self.finish();
    }
}

impl ShelfFile {
    /// Returns the outcome, if there is anything to tell.
    fn perform(&mut self, task: ShelfTask) -> Option<Message> {
        let Some(folders) = &self.folders else { return without_folders(&task) };
        let done = match &task {
            ShelfTask::Remember(path) => {
                let refused = Settings::update(folders, |settings| settings.remember(path)).err();
                // Settings that cannot be read were told at the start. That they cannot be written is no reason to stop.
                let refused = refused.filter(|error| !matches!(error, UpdateError::Unreadable { .. }));
                return refused.map(|error| Message::Told(Notice::trouble(format!("{error}; {}", error.hint()))));
            }
            ShelfTask::Read | ShelfTask::Show => {
                Library::load(folders).map_err(|error| format!("the library cannot be read: {error}; {}", error.hint()))
            }
            ShelfTask::Keep(voicing) => {
                update(folders, "not in the library", |library| library.add(LibraryVoicing::clone(voicing)))
            }
            ShelfTask::Change(change) => update(folders, "the library is as it was", |library| library.change(change)),
            ShelfTask::TakeOut(voicing) => update(folders, "still in the library", |library| library.take_out(voicing)),
        };
        Some(match (done, task) {
            (Ok(library), ShelfTask::Show) => {
                Message::LibraryRead(Ok(library.voicings.into_iter().map(LibraryItem::from).collect()))
            }
            (Ok(library), _) => {
                self.shelf = self.shelf.after(library);
                Message::LibraryChanged(Ok(self.shelf.clone()))
            }
            (Err(error), ShelfTask::Show) => Message::LibraryRead(Err(error)),
            (Err(error), _) => failed(error),
        })
    }
}

fn without_folders(task: &ShelfTask) -> Option<Message> {
    Some(match task {
        ShelfTask::Remember(_) => return None,
        ShelfTask::Read => Message::LibraryChanged(Ok(Shelf::default())),
        ShelfTask::Show => Message::LibraryRead(Ok(Vec::new())),
        ShelfTask::Keep(_) => failed("there is no home folder to keep a library in".to_owned()),
        ShelfTask::Change(_) | ShelfTask::TakeOut(_) => {
            failed("there is no home folder with a library in it".to_owned())
        }
    })
}

/// Changes the library. Errors: in words, how it stands now and why.
fn update(folders: &Folders, stands: &str, change: impl FnMut(&mut Library)) -> Result<Library, String> {
    Library::update(folders, change).map_err(|error| match error {
        UpdateError::Unconfirmed { .. } => format!("{error}; {}", error.hint()),
        UpdateError::Unreadable { .. }
        | UpdateError::Unwritable { .. }
        | UpdateError::Write { .. }
        | UpdateError::Busy { .. } => format!("{stands}: {error}; {}", error.hint()),
    })
}

fn failed(why: String) -> Message {
    Message::LibraryChanged(Err(why))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::instrument::catalogue::setup_from_text;

    fn voicing(name: &str, shape: &str) -> LibraryVoicing {
        let (instrument, tuning) = setup_from_text(None, None).unwrap();
        LibraryVoicing {
            name: name.to_owned(),
            shape: shape.parse().unwrap(),
            tuning,
            capo: None,
            instrument: instrument.name,
            readings: vec![name.to_owned()],
            doubts: Vec::new(),
            fingers: Vec::new(),
            barre: None,
            tags: Vec::new(),
            notes: String::new(),
            taught_in: Vec::new(),
        }
    }

    #[test]
    fn what_is_asked_is_done_in_order_and_what_stays_is_shared() {
        let home = tempfile::tempdir().unwrap();
        let folders = Folders::under(home.path());
        let mut keeper = Keeper::new(Some(folders.clone()));
        let (sender, told) = mpsc::channel();
        keeper.work_behind(move |message| sender.send(message).unwrap());
        let (c, am) = (voicing("C", "x32010"), voicing("Am", "x02210"));
        for task in [ShelfTask::Keep(Box::new(c.clone())), ShelfTask::Keep(Box::new(am.clone()))] {
            assert!(keeper.perform(task).is_none());
        }
        assert!(told.try_recv().is_err(), "nothing is done before it begins");
        keeper.begin();
        assert!(keeper.perform(ShelfTask::TakeOut(Box::new(c.clone()))).is_none());
        keeper.finish();
        let shelves: Vec<Shelf> = told
            .try_iter()
            .map(|message| match message {
                Message::LibraryChanged(Ok(shelf)) => shelf,
                other => panic!("{other:?}"),
            })
            .collect();
        let [first, both, last] = shelves.as_slice() else { panic!("{} were told", shelves.len()) };
        assert!(first.keeps(&c) && !first.keeps(&am) && both.keeps(&c) && both.keeps(&am) && !last.keeps(&c));
        assert!(Arc::ptr_eq(&first.items()[0], &both.items()[0]) && Arc::ptr_eq(&both.items()[1], &last.items()[0]));
        assert_eq!(Library::load(&folders).unwrap().voicings, [am]);
    }

    #[test]
    fn the_same_fingers_are_the_same_under_another_name_and_not_under_a_capo() {
        let shelf = Shelf::from(vec![LibraryItem::from(voicing("C", "x32010"))]);
        assert!(shelf.keeps(&voicing("Am7/C", "x 3 2 0 1 0")));
        assert!(!shelf.keeps(&voicing("C", "x32013")));
        assert!(!shelf.keeps(&LibraryVoicing { capo: Some("3".parse().unwrap()), ..voicing("C", "x32010") }));
    }
}
