//! Reads and writes the library file in the background.
//!
//! A library of 10,000 voicings takes a tenth of a second to read or to write, which nobody should feel in a key. Every
//! task on the file is therefore a background job; the jobs run one after the other and report their outcomes. A change
//! of a library of at most 400 voicings is waited for, so that what the screen shows is on the disk. How the panes show
//! the library is not decided here.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

use crate::store::folders::Folders;
use crate::store::library::Library;
use crate::store::user_file::UpdateError;
use crate::workbench::jobs::kind::JobKind;
use crate::workbench::jobs::queue::Jobs;
use crate::workbench::jobs::running::Running;
use crate::workbench::library::item::LibraryItem;
use crate::workbench::library::shelf::Shelf;
use crate::workbench::messages::effect::LibraryOrder;
use crate::workbench::messages::message::Message;
use crate::workbench::messages::notice::Notice;

/// The most voicings that are written without anybody noticing the wait.
const SMALL: usize = 400;

/// A task on the library file.
#[derive(Debug)]
pub(super) enum ShelfTask {
    /// Read it for the lesson that is open.
    Read,
    /// Read it for browsing.
    Show,
    /// Change it, and say this once it is on the disk.
    Change(Box<LibraryOrder>, Notice),
}

/// Keeps the library file and what was last read from it. Its tasks run as jobs.
pub(super) struct Keeper {
    file: Arc<Mutex<ShelfFile>>,
    /// The number of voicings that were found last; the largest number until the file was read.
    count: Arc<AtomicUsize>,
}

/// The library file and what was last read from it.
struct ShelfFile {
    folders: Option<Folders>,
    shelf: Shelf,
}

impl Keeper {
    /// Returns a keeper of the library in `folders`.
    pub(super) fn new(folders: Option<Folders>) -> Self {
        Self {
            file: Arc::new(Mutex::new(ShelfFile { folders, shelf: Shelf::default() })),
            count: Arc::new(AtomicUsize::new(usize::MAX)),
        }
    }

    /// Starts a task and returns its outcome if that is known already. A change of a small library is waited for.
    pub(super) fn perform(&self, task: ShelfTask, jobs: &mut Jobs<Message>) -> Option<Message> {
        let waits = task.changes() && self.count.load(Ordering::Acquire) <= SMALL;
        let (file, count) = (Arc::clone(&self.file), Arc::clone(&self.count));
        let work = move |_: &Running<'_>| {
            // A task that panicked leaves behind what was read before it.
            let mut file = file.lock().unwrap_or_else(PoisonError::into_inner);
            let outcome = file.perform(task);
            count.store(file.shelf.items().len(), Ordering::Release);
            outcome
        };
        if waits { jobs.wait(JobKind::Library, work) } else { jobs.start(JobKind::Library, work) }
    }
}

impl ShelfTask {
    /// Returns whether the task changes the library.
    const fn changes(&self) -> bool {
        match self {
            Self::Change(..) => true,
            Self::Read | Self::Show => false,
        }
    }
}

impl ShelfFile {
    /// Performs a task and returns its outcome, if there is anything to report.
    fn perform(&mut self, task: ShelfTask) -> Option<Message> {
        let Some(folders) = &self.folders else { return Some(without_folders(&task)) };
        let done = match &task {
            ShelfTask::Read | ShelfTask::Show => {
                Library::load(folders).map_err(|error| format!("the library cannot be read: {error}; {}", error.hint()))
            }
            ShelfTask::Change(order, _) => match &**order {
                LibraryOrder::Keep(voicing) => {
                    update(folders, "not in the library", |library| library.add(voicing.clone()))
                }
                LibraryOrder::Change(change) => {
                    update(folders, "the library is as it was", |library| library.change(change))
                }
                LibraryOrder::TakeOut(voicing) => {
                    update(folders, "still in the library", |library| library.take_out(voicing))
                }
            },
        };
        Some(match (done, task) {
            (Ok(library), ShelfTask::Show) => {
                Message::LibraryRead(Ok(library.voicings.into_iter().map(LibraryItem::from).collect()))
            }
            (Ok(library), task) => {
                self.shelf = self.shelf.after(library);
                match task {
                    ShelfTask::Change(_, said) => Message::LibraryKept(self.shelf.clone(), said),
                    ShelfTask::Read | ShelfTask::Show => Message::LibraryChanged(Ok(self.shelf.clone())),
                }
            }
            (Err(error), ShelfTask::Show) => Message::LibraryRead(Err(error)),
            (Err(error), _) => failed(error),
        })
    }
}

fn without_folders(task: &ShelfTask) -> Message {
    match task {
        ShelfTask::Read => Message::LibraryChanged(Ok(Shelf::default())),
        ShelfTask::Show => Message::LibraryRead(Ok(Vec::new())),
        ShelfTask::Change(order, _) => match **order {
            LibraryOrder::Keep(_) => failed("there is no home folder to keep a library in".to_owned()),
            LibraryOrder::Change(_) | LibraryOrder::TakeOut(_) => {
                failed("there is no home folder with a library in it".to_owned())
            }
        },
    }
}

/// Changes the library and returns it. Errors: the file cannot be read or written; the words say how the library stands
/// now and why.
fn update(folders: &Folders, stands: &str, change: impl FnMut(&mut Library)) -> Result<Library, String> {
    Library::update(folders, change).map_err(|error| match error {
        UpdateError::Unconfirmed { .. } => format!("{error}; {}", error.hint()),
        UpdateError::Unreadable { .. }
        | UpdateError::Unwritable { .. }
        | UpdateError::Write { .. }
        | UpdateError::Held { .. }
        | UpdateError::Busy { .. } => format!("{stands}: {error}; {}", error.hint()),
    })
}

fn failed(why: String) -> Message {
    Message::LibraryChanged(Err(why))
}

#[cfg(test)]
mod tests {
    use std::sync::mpsc;

    use super::*;
    use crate::store::library::LibraryVoicing;
    use crate::workbench::editing::rigs::standard_guitar;

    fn voicing(name: &str, shape: &str) -> LibraryVoicing {
        LibraryVoicing::plain(name, shape.parse().unwrap(), &standard_guitar())
    }

    fn change(order: LibraryOrder) -> ShelfTask {
        ShelfTask::Change(Box::new(order), Notice::done("done"))
    }

    #[test]
    fn what_is_asked_is_done_in_order_and_what_stays_is_shared() {
        let home = tempfile::tempdir().unwrap();
        let folders = Folders::under(home.path());
        let keeper = Keeper::new(Some(folders.clone()));
        let (sender, told) = mpsc::channel();
        let mut jobs = Jobs::behind(move |message| sender.send(message).unwrap());
        let (c, am) = (voicing("C", "x32010"), voicing("Am", "x02210"));
        for voicing in [c.clone(), am.clone()] {
            assert!(keeper.perform(change(LibraryOrder::Keep(voicing)), &mut jobs).is_none());
        }
        assert!(told.try_recv().is_err(), "nothing is done before it begins");
        jobs.begin();
        assert!(keeper.perform(change(LibraryOrder::TakeOut(c.clone())), &mut jobs).is_none());
        jobs.finish();
        let shelves: Vec<Shelf> = told
            .try_iter()
            .map(|message| match message {
                Message::LibraryKept(shelf, said) if said == Notice::done("done") => shelf,
                other => panic!("{other:?}"),
            })
            .collect();
        let [first, both, last] = shelves.as_slice() else { panic!("{} were told", shelves.len()) };
        assert!(first.keeps(&c) && !first.keeps(&am) && both.keeps(&c) && both.keeps(&am) && !last.keeps(&c));
        assert!(Arc::ptr_eq(&first.items()[0], &both.items()[0]) && Arc::ptr_eq(&both.items()[1], &last.items()[0]));
        assert_eq!(Library::load(&folders).unwrap().voicings, [am]);
    }

    #[test]
    fn a_change_of_a_small_library_is_waited_for() {
        let home = tempfile::tempdir().unwrap();
        let folders = Folders::under(home.path());
        let keeper = Keeper::new(Some(folders.clone()));
        let (sender, told) = mpsc::channel();
        let mut jobs = Jobs::behind(move |message| sender.send(message).unwrap());
        jobs.begin();
        assert!(keeper.perform(ShelfTask::Read, &mut jobs).is_none());
        assert!(matches!(told.recv(), Ok(Message::LibraryChanged(Ok(shelf))) if shelf.items().is_empty()));
        let kept = keeper.perform(change(LibraryOrder::Keep(voicing("C", "x32010"))), &mut jobs);
        assert!(matches!(kept, Some(Message::LibraryKept(shelf, _)) if shelf.items().len() == 1));
        assert_eq!(Library::load(&folders).unwrap().voicings.len(), 1);
    }
}
