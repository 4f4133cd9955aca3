//! The library as the workbench has it open, and who reads and writes its file.
//!
//! A library of 10,000 voicings takes a tenth of a second to read or to write, which nobody should feel in a key. So
//! the file has a thread of its own, which does one thing after the other and tells the outcome; what it hands over
//! shares every voicing that has not changed with what it handed over before.

use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::mpsc::{self, Sender};
use std::thread::{self, JoinHandle};

use super::library_item::LibraryItem;
use super::message::Message;
use crate::store::folders::Folders;
use crate::store::library::{Library, LibraryChange, LibraryVoicing};
use crate::store::settings::Settings;

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

/// Something to be done with the library's file.
#[derive(Debug)]
pub(super) enum ShelfTask {
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
pub(super) struct Keeper {
    file: ShelfFile,
    thread: Option<(Sender<ShelfTask>, JoinHandle<()>)>,
}

/// The library's file, and what was read there last.
struct ShelfFile {
    folders: Option<Folders>,
    shelf: Shelf,
}

impl Keeper {
    /// Returns a keeper that does at once what it is asked.
    pub(super) fn new(folders: Option<Folders>) -> Self {
        Self { file: ShelfFile { folders, shelf: Shelf::default() }, thread: None }
    }

    /// Has a thread do what is asked from now on, one thing after the other; it tells each outcome.
    pub(super) fn work_behind(&mut self, tell: impl Fn(Message) + Send + 'static) {
        let (tasks, waiting) = mpsc::channel();
        let mut file = ShelfFile { folders: self.file.folders.clone(), shelf: self.file.shelf.clone() };
        let work = move || waiting.iter().filter_map(|task| file.perform(task)).for_each(tell);
        self.thread = Some((tasks, thread::spawn(work)));
    }

    /// Does something, or has it done; returns the outcome if there is one already.
    pub(super) fn perform(&mut self, task: ShelfTask) -> Option<Message> {
        let Some((tasks, _)) = &self.thread else { return self.file.perform(task) };
        let refused = tasks.send(task).err()?;
        // The thread is gone, which a fault of ours must have ended: then it is done here.
        self.thread = None;
        self.file.perform(refused.0)
    }

    /// Returns the library as it was read last.
    pub(super) fn shelf(&self) -> Shelf {
        self.file.shelf.clone()
    }

    /// Waits until everything that was asked is done.
    pub(super) fn finish(&mut self) {
        if let Some((tasks, thread)) = self.thread.take() {
            drop(tasks);
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
        let (done, trouble) = match &task {
            ShelfTask::Remember(path) => {
                // That they cannot be written is no reason to stop.
                let _ = Settings::update(folders, |settings| settings.remember(path));
                return None;
            }
            ShelfTask::Read | ShelfTask::Show => {
                let read = Library::load(folders).map_err(|error| format!("{error}; {}", error.hint()));
                (read, "the library cannot be read")
            }
            ShelfTask::Keep(voicing) => {
                (update(folders, |library| library.add(LibraryVoicing::clone(voicing))), "not in the library")
            }
            ShelfTask::Change(change) => {
                (update(folders, |library| library.change(change)), "the library is as it was")
            }
            ShelfTask::TakeOut(voicing) => {
                (update(folders, |library| library.take_out(voicing)), "still in the library")
            }
        };
        Some(match (done, task) {
            (Ok(library), ShelfTask::Show) => {
                Message::LibraryRead(Ok(library.voicings.into_iter().map(LibraryItem::from).collect()))
            }
            (Ok(library), _) => {
                self.shelf = self.shelf.after(library);
                Message::LibraryChanged(Ok(self.shelf.clone()))
            }
            (Err(error), ShelfTask::Show) => Message::LibraryRead(Err(format!("{trouble}: {error}"))),
            (Err(error), _) => failed(format!("{trouble}: {error}")),
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

fn update(folders: &Folders, change: impl FnMut(&mut Library)) -> Result<Library, String> {
    Library::update(folders, change).map_err(|error| format!("{error}; {}", error.hint()))
}

fn failed(why: String) -> Message {
    Message::LibraryChanged(Err(why))
}
