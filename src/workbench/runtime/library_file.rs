//! Reads and writes the library file in the background.
//!
//! A library of 10,000 voicings takes a tenth of a second to read or to write, which nobody should feel in a key. Every
//! task on the file is therefore a background job; the jobs run one after the other and report their outcomes. A change
//! of a library of at most 400 voicings is waited for, so that what the screen shows is on the disk; but no key waits for
//! another window that is writing it: then the change follows behind the keys, and that is said. How the panes show the
//! library is not decided here.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

use crate::store::fault::with_hint;
use crate::store::folders::Folders;
use crate::store::library::Library;
use crate::store::open_lesson::FormatRenewal;
use crate::store::user_file::{Patience, UpdateError};
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
    /// How many changes are still to be made behind the keys.
    behind: Arc<AtomicUsize>,
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
            behind: Arc::default(),
        }
    }

    /// Starts a task and returns its outcome if that is known already. A change of a small library is waited for, unless another
    /// window is writing it or a change before it still waits for that.
    pub(super) fn perform(&self, task: ShelfTask, jobs: &mut Jobs<Message>) -> Option<Message> {
        let is_small = self.count.load(Ordering::Acquire) <= SMALL && self.behind.load(Ordering::Acquire) == 0;
        if !task.changes() || !is_small {
            return self.start(task, jobs);
        }
        let held = Arc::<Mutex<Option<ShelfTask>>>::default();
        let (file, count, left) = (Arc::clone(&self.file), Arc::clone(&self.count), Arc::clone(&held));
        let work = move |_: &Running<'_>| {
            // A task that panicked leaves behind what was read before it.
            let mut file = file.lock().unwrap_or_else(PoisonError::into_inner);
            let outcome = file.perform_at_once(task, &left);
            count.store(file.shelf.items().len(), Ordering::Release);
            outcome
        };
        let outcome = jobs.wait(JobKind::Library, work);
        let task = held.lock().unwrap_or_else(PoisonError::into_inner).take();
        let Some(task) = task else { return outcome };
        let waits = "another window is writing the library; this follows as soon as that is done";
        self.start(task, jobs).or_else(|| Some(Message::Told(Notice::note(waits))))
    }

    /// Starts a task behind the keys.
    fn start(&self, task: ShelfTask, jobs: &mut Jobs<Message>) -> Option<Message> {
        let (file, count, behind) = (Arc::clone(&self.file), Arc::clone(&self.count), Arc::clone(&self.behind));
        let changes = usize::from(task.changes());
        behind.fetch_add(changes, Ordering::AcqRel);
        let work = move |_: &Running<'_>| {
            let mut file = file.lock().unwrap_or_else(PoisonError::into_inner);
            let outcome = file.perform(task);
            count.store(file.shelf.items().len(), Ordering::Release);
            behind.fetch_sub(changes, Ordering::AcqRel);
            outcome
        };
        jobs.start(JobKind::Library, work)
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
    /// Performs a change and returns its outcome, if there is anything to report. Where another window is writing the library, the
    /// change is left in `held` after a moment.
    fn perform_at_once(&mut self, task: ShelfTask, held: &Mutex<Option<ShelfTask>>) -> Option<Message> {
        let (Some(folders), ShelfTask::Change(order, _)) = (&self.folders, &task) else { return self.perform(task) };
        let impatient = folders.clone().waiting(folders.patience().at_most(Patience::AT_A_KEY));
        match change(&impatient, order) {
            Err(UpdateError::Held { .. }) => {
                *held.lock().unwrap_or_else(PoisonError::into_inner) = Some(task);
                None
            }
            done => {
                let done = done.map_err(|error| in_words(order, &error));
                self.outcome(done, task)
            }
        }
    }

    /// Performs a task and returns its outcome, if there is anything to report.
    fn perform(&mut self, task: ShelfTask) -> Option<Message> {
        let Some(folders) = &self.folders else { return Some(without_folders(&task)) };
        let done = match &task {
            ShelfTask::Read | ShelfTask::Show => Library::load(folders)
                .map(|library| (library, FormatRenewal::No))
                .map_err(|error| format!("the library cannot be read: {}", with_hint(&error, error.hint()))),
            ShelfTask::Change(order, _) => change(folders, order).map_err(|error| in_words(order, &error)),
        };
        self.outcome(done, task)
    }

    /// Returns what there is to report of a task that came to `done`.
    fn outcome(&mut self, done: Result<(Library, FormatRenewal), String>, task: ShelfTask) -> Option<Message> {
        Some(match (done, task) {
            (Ok((library, _)), ShelfTask::Show) => {
                Message::LibraryRead(Ok(library.voicings.into_iter().map(LibraryItem::from).collect()))
            }
            (Ok((library, renewal)), task) => {
                self.shelf = self.shelf.after(library);
                match task {
                    ShelfTask::Change(_, said) => Message::LibraryKept(self.shelf.clone(), said_of(said, renewal)),
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

/// Changes the library and returns it, and whether its file had an older format until then. Errors: the file cannot be read or
/// written.
fn change(folders: &Folders, order: &LibraryOrder) -> Result<(Library, FormatRenewal), UpdateError> {
    let mut renewal = FormatRenewal::No;
    let library = Library::update(folders, |library| {
        renewal = library.renewal();
        match order {
            LibraryOrder::Keep(voicing) => library.add(voicing.clone()),
            LibraryOrder::Change(change) => library.change(change),
            LibraryOrder::TakeOut(voicing) => library.take_out(voicing),
        }
    })?;
    Ok((library, renewal))
}

/// Returns what is said of a change of the library; once, that older versions cannot read it any more.
fn said_of(said: Notice, renewal: FormatRenewal) -> Notice {
    match renewal {
        FormatRenewal::No => said,
        FormatRenewal::FromOlder => {
            let text = format!("{}; older versions of fingerpost cannot read the library any more", said.text);
            Notice::note(text)
        }
    }
}

/// Returns how the library stands that could not be changed, and why.
fn in_words(order: &LibraryOrder, error: &UpdateError) -> String {
    let stands = match order {
        LibraryOrder::Keep(_) => "not in the library",
        LibraryOrder::Change(_) => "the library is unchanged",
        LibraryOrder::TakeOut(_) => "still in the library",
    };
    match error {
        UpdateError::Unconfirmed { .. } => with_hint(error, error.hint()),
        UpdateError::Unreadable { .. }
        | UpdateError::Unwritable { .. }
        | UpdateError::Write { .. }
        | UpdateError::Held { .. }
        | UpdateError::Busy { .. } => format!("{stands}: {}", with_hint(error, error.hint())),
    }
}

fn failed(why: String) -> Message {
    Message::LibraryChanged(Err(why))
}

#[cfg(test)]
mod tests {
    use std::sync::mpsc;
    use std::time::Duration;

    use super::*;
    use crate::store::library::LibraryVoicing;
    use crate::store::lock::{Asked, Lock};
    use crate::workbench::editing::rigs::standard_guitar;

    fn voicing(name: &str, shape: &str) -> LibraryVoicing {
        LibraryVoicing::plain(name, shape.parse().unwrap(), &standard_guitar())
    }

    fn task(order: LibraryOrder) -> ShelfTask {
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
            assert!(keeper.perform(task(LibraryOrder::Keep(voicing)), &mut jobs).is_none());
        }
        assert!(told.try_recv().is_err(), "nothing is done before it begins");
        jobs.begin();
        assert!(keeper.perform(task(LibraryOrder::TakeOut(c.clone())), &mut jobs).is_none());
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
        let kept = keeper.perform(task(LibraryOrder::Keep(voicing("C", "x32010"))), &mut jobs);
        assert!(matches!(kept, Some(Message::LibraryKept(shelf, _)) if shelf.items().len() == 1));
        assert_eq!(Library::load(&folders).unwrap().voicings.len(), 1);
    }

    #[test]
    fn the_first_change_of_an_older_library_says_once_that_older_versions_cannot_read_it() {
        let home = tempfile::tempdir().unwrap();
        let folders = Folders::under(home.path());
        let keeper = Keeper::new(Some(folders.clone()));
        Library::keep(&folders, &[voicing("C", "x32010")]).unwrap();
        let today = std::fs::read_to_string(folders.library()).unwrap();
        let older = today.replacen(&format!("format: {}", crate::store::formats::LIBRARY_FORMAT), "format: 1", 1);
        assert_ne!(older, today);
        std::fs::write(folders.library(), older).unwrap();
        let told = |order| match keeper.perform(task(order), &mut Jobs::at_once()) {
            Some(Message::LibraryKept(_, said)) => said.text,
            other => panic!("{other:?}"),
        };
        let first = told(LibraryOrder::Keep(voicing("Am", "x02210")));
        assert_eq!(first, "done; older versions of fingerpost cannot read the library any more");
        assert_eq!(told(LibraryOrder::Keep(voicing("G", "320003"))), "done");
    }

    /// The other window writes for as long as this test likes, and this one would wait for an hour.
    #[test]
    fn no_key_waits_for_another_window_that_is_writing_the_library_and_nothing_is_lost() {
        let home = tempfile::tempdir().unwrap();
        let hour = Duration::from_secs(3600);
        let folders = Folders::under(home.path()).waiting(Patience { still: hour, longest: hour });
        let keeper = Keeper::new(Some(folders.clone()));
        let (sender, told) = mpsc::channel();
        let mut jobs = Jobs::behind(move |message| sender.send(message).unwrap());
        jobs.begin();
        keeper.perform(ShelfTask::Read, &mut jobs);
        told.recv().unwrap();
        let Asked::Held(lock) = Lock::ask(&folders.library()) else { panic!("it is free") };
        let first = keeper.perform(task(LibraryOrder::Keep(voicing("C", "x32010"))), &mut jobs);
        assert!(matches!(&first, Some(Message::Told(notice)) if notice.text.contains("another window")), "{first:?}");
        // The next change waits behind it, and no key does.
        assert!(keeper.perform(task(LibraryOrder::Keep(voicing("Am", "x02210"))), &mut jobs).is_none());
        assert!(told.try_recv().is_err() && Library::load(&folders).unwrap().voicings.is_empty());
        drop(lock);
        for count in [1, 2] {
            let kept = told.recv().unwrap();
            assert!(matches!(&kept, Message::LibraryKept(shelf, _) if shelf.items().len() == count), "{kept:?}");
        }
        assert_eq!(Library::load(&folders).unwrap().voicings.len(), 2);
        let next = keeper.perform(task(LibraryOrder::Keep(voicing("G", "320003"))), &mut jobs);
        assert!(matches!(next, Some(Message::LibraryKept(..))), "a small one is waited for again");
    }
}
