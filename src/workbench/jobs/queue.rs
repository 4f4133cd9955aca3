//! The queues of background work: each kind of job gets one thread, which starts with the first job of that kind.
//!
//! A job has a number in its queue. To give up all jobs so far, the queue writes down the next number: every job with a
//! lower number sees it, whether it waits or runs.

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc::{self, Sender};
use std::thread::{self, JoinHandle};

use crate::workbench::jobs::fault::caught;
use crate::workbench::jobs::kind::{JobKind, JobOrder, OnLeaving};
use crate::workbench::jobs::running::{Report, Running, Ticket};

/// Work that returns its outcome, if there is anything to report.
type JobWork<M> = Box<dyn FnOnce(&Running<'_>) -> Option<M> + Send>;

/// A function that delivers a message to whoever reads messages.
type Tell<M> = Arc<dyn Fn(M) + Send + Sync>;

/// Background work that reports in messages of type `M`. Dropping it calls [`Self::finish`].
pub struct Jobs<M: From<Report> + Send + 'static> {
    /// The function that receives reports; `None` where every job runs at once in the caller's thread.
    tell: Option<Tell<M>>,
    stage: Stage,
    library: Queue<M>,
    settings: Queue<M>,
    journal: Queue<M>,
    layout: Queue<M>,
    devices: Queue<M>,
}

/// Whether the threads have begun.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Stage {
    Waiting,
    Working,
    /// There are no threads: the jobs wait until [`Jobs::begin`] is called, each time.
    ByHand,
}

/// The jobs of one kind.
struct Queue<M> {
    kind: JobKind,
    /// The number that the next job gets.
    next: u64,
    /// Jobs with a lower number are to give up.
    given_up_below: Arc<AtomicU64>,
    thread: Thread<M>,
}

/// The thread that does the jobs of one kind.
enum Thread<M> {
    /// No thread has started yet, and these jobs wait.
    None(Vec<Job<M>>),
    /// A thread takes the jobs from a channel.
    Working(Sender<Job<M>>, JoinHandle<()>),
}

struct Job<M> {
    ticket: Ticket,
    work: JobWork<M>,
    /// The channel on which a caller waits for the outcome; `None` where the outcome is sent as a message.
    waits: Option<Sender<Option<M>>>,
}

impl<M: From<Report> + Send + 'static> Jobs<M> {
    /// Returns a `Jobs` that runs every job at once in the caller's thread.
    pub fn at_once() -> Self {
        Self::new(None, Stage::Working)
    }

    /// Returns a `Jobs` that runs jobs on threads and passes each outcome to `tell`. The jobs wait until
    /// [`Self::begin`].
    pub fn behind(tell: impl Fn(M) + Send + Sync + 'static) -> Self {
        Self::new(Some(Arc::new(tell)), Stage::Waiting)
    }

    /// Returns a `Jobs` without threads, whose jobs wait until [`Self::begin`] is called, each time, or until somebody waits for them or
    /// leaves; so that whoever wants to see what comes in between sees the same each time. Each outcome goes to `tell`.
    pub fn by_hand(tell: impl Fn(M) + Send + Sync + 'static) -> Self {
        Self::new(Some(Arc::new(tell)), Stage::ByHand)
    }

    fn new(tell: Option<Tell<M>>, stage: Stage) -> Self {
        Self {
            tell,
            stage,
            library: Queue::new(JobKind::Library),
            settings: Queue::new(JobKind::Settings),
            journal: Queue::new(JobKind::Journal),
            layout: Queue::new(JobKind::Layout),
            devices: Queue::new(JobKind::Devices),
        }
    }

    /// Starts the threads; where there are none, has the jobs done that wait.
    pub fn begin(&mut self) {
        if self.stage == Stage::Waiting {
            self.stage = Stage::Working;
        }
        let stage = self.stage;
        if let Some(tell) = self.tell.clone() {
            self.queues().into_iter().for_each(|queue| queue.begin(&tell, stage));
        }
    }

    /// Starts `work` after the other jobs of its kind, or in their place ([`JobKind::order`]). Returns the outcome only
    /// where the job ran at once.
    pub fn start(&mut self, kind: JobKind, work: impl FnOnce(&Running<'_>) -> Option<M> + Send + 'static) -> Option<M> {
        self.push(kind, Box::new(work), None).and_then(|refused| refused.done(kind, &|_| {}))
    }

    /// Starts `work` and waits for it. Returns the outcome, which is then not sent as a message. Before [`Self::begin`]
    /// no thread would do the work, so it is only started.
    pub fn wait(&mut self, kind: JobKind, work: impl FnOnce(&Running<'_>) -> Option<M> + Send + 'static) -> Option<M> {
        if self.stage == Stage::Waiting {
            return self.start(kind, work);
        }
        let (waits, told) = mpsc::channel();
        if let Some(refused) = self.push(kind, Box::new(work), Some(waits)) {
            return refused.done(kind, &|_| {});
        }
        if let (Stage::ByHand, Some(tell)) = (self.stage, self.tell.clone()) {
            self.queue(kind).begin(&tell, Stage::ByHand);
        }
        // A job that was given up has no outcome.
        told.recv().ok().flatten()
    }

    /// Drops the waiting jobs of a kind and asks the running one to give up.
    pub fn cancel(&mut self, kind: JobKind) {
        self.queue(kind).give_up();
    }

    /// Ends all work as each kind demands ([`JobKind::on_leaving`]): it waits for what must be done and gives the rest
    /// up. A job that is started afterwards runs at once.
    pub fn finish(&mut self) {
        let (stage, tell) = (self.stage, self.tell.clone());
        if stage != Stage::ByHand {
            self.begin();
        }
        self.tell = None;
        for queue in self.queues() {
            if let (Stage::ByHand, OnLeaving::Finish, Some(tell)) = (stage, queue.kind.on_leaving(), &tell) {
                queue.begin(tell, stage);
            }
            match (std::mem::replace(&mut queue.thread, Thread::None(Vec::new())), queue.kind.on_leaving()) {
                (Thread::Working(sender, thread), OnLeaving::Finish) => {
                    drop(sender);
                    // The thread ends because no more jobs come; panics of its work are caught.
                    let _ = thread.join();
                }
                (Thread::Working(..), OnLeaving::Abandon) | (Thread::None(_), _) => queue.give_up(),
            }
        }
    }

    fn queues(&mut self) -> [&mut Queue<M>; 5] {
        [&mut self.library, &mut self.settings, &mut self.journal, &mut self.layout, &mut self.devices]
    }

    fn queue(&mut self, kind: JobKind) -> &mut Queue<M> {
        match kind {
            JobKind::Library => &mut self.library,
            JobKind::Settings => &mut self.settings,
            JobKind::Journal => &mut self.journal,
            JobKind::Layout => &mut self.layout,
            JobKind::Devices => &mut self.devices,
        }
    }

    /// Puts a job into its queue. Returns the job where the caller has to run it at once.
    fn push(&mut self, kind: JobKind, work: JobWork<M>, waits: Option<Sender<Option<M>>>) -> Option<Job<M>> {
        let (tell, stage) = (self.tell.clone(), self.stage);
        let queue = self.queue(kind);
        let job = Job { ticket: queue.ticket(), work, waits };
        let Some(tell) = tell else { return Some(job) };
        match &mut queue.thread {
            Thread::None(jobs) => jobs.push(job),
            Thread::Working(sender, _) => {
                if let Err(refused) = sender.send(job) {
                    return Some(refused.0);
                }
            }
        }
        if stage == Stage::Working {
            queue.begin(&tell, stage);
        }
        None
    }
}

impl<M: From<Report> + Send + 'static> Drop for Jobs<M> {
    fn drop(&mut self) {
        self.finish();
    }
}

impl<M: From<Report> + Send + 'static> Queue<M> {
    fn new(kind: JobKind) -> Self {
        Self { kind, next: 0, given_up_below: Arc::default(), thread: Thread::None(Vec::new()) }
    }

    /// Returns the place of one more job. Where only the newest job counts, those before it are given up.
    fn ticket(&mut self) -> Ticket {
        match self.kind.order() {
            JobOrder::InTurn => {}
            JobOrder::LatestWins => self.give_up(),
        }
        let number = self.next;
        self.next += 1;
        Ticket { number, given_up_below: Arc::clone(&self.given_up_below) }
    }

    /// Gives up every job so far.
    fn give_up(&mut self) {
        self.given_up_below.store(self.next, Ordering::Release);
    }

    /// Starts a thread for the jobs that wait, or has them done where there are no threads.
    fn begin(&mut self, tell: &Tell<M>, stage: Stage) {
        let Thread::None(waiting) = &mut self.thread else { return };
        if waiting.is_empty() {
            return;
        }
        let waiting = std::mem::take(waiting);
        if stage == Stage::ByHand {
            work_off(self.kind, waiting, tell);
            return;
        }
        let (sender, jobs) = mpsc::channel();
        let (kind, told) = (self.kind, Arc::clone(tell));
        match thread::Builder::new().name(kind.words().to_owned()).spawn(move || work_off(kind, jobs, &told)) {
            Ok(thread) => {
                // The thread takes jobs until the sender is dropped.
                waiting.into_iter().for_each(|job| _ = sender.send(job));
                self.thread = Thread::Working(sender, thread);
            }
            // The system has no more threads to give; a late job is better than none.
            Err(_) => work_off(kind, waiting, tell),
        }
    }
}

impl<M: From<Report>> Job<M> {
    /// Runs the job and returns what there is to report.
    fn done(self, kind: JobKind, tell: &dyn Fn(Report)) -> Option<M> {
        let Self { ticket, work, .. } = self;
        let running = Running { kind, ticket, tell };
        match caught(|| work(&running)) {
            Ok(outcome) => outcome.filter(|_| !running.is_cancelled()),
            Err(fault) => Some(M::from(Report::Fault(kind, fault))),
        }
    }
}

/// Runs the jobs one after the other and reports their outcomes. It skips jobs that were given up.
fn work_off<M: From<Report>>(kind: JobKind, jobs: impl IntoIterator<Item = Job<M>>, tell: &Tell<M>) {
    for mut job in jobs {
        if job.ticket.is_cancelled() {
            continue;
        }
        let waits = job.waits.take();
        let outcome = job.done(kind, &|report| tell(M::from(report)));
        let untold = match waits {
            Some(waits) => waits.send(outcome).err().and_then(|unheard| unheard.0),
            None => outcome,
        };
        if let Some(message) = untold {
            tell(message);
        }
    }
}

#[cfg(test)]
mod tests {
    use std::sync::mpsc::Receiver;

    use super::*;
    use crate::workbench::jobs::running::JobProgress;

    /// The messages that the tests receive.
    #[derive(Debug, PartialEq)]
    enum Told {
        Done(u32),
        Report(Report),
    }

    impl From<Report> for Told {
        fn from(report: Report) -> Self {
            Self::Report(report)
        }
    }

    fn behind() -> (Jobs<Told>, Receiver<Told>) {
        let (sender, told) = mpsc::channel();
        (Jobs::behind(move |message| _ = sender.send(message)), told)
    }

    /// Starts a job that has begun when this returns and ends when it is let go. The job returns its number and tells
    /// the second channel whether it should give up.
    fn start_held(jobs: &mut Jobs<Told>, kind: JobKind, number: u32) -> (Sender<()>, Receiver<bool>) {
        let (begun, has_begun) = mpsc::channel();
        let (let_go, held) = mpsc::channel::<()>();
        let (answer, cancelled) = mpsc::channel();
        let work = move |running: &Running<'_>| {
            begun.send(()).unwrap();
            _ = held.recv();
            running.progress(1, 2);
            // The receiver may be gone where a test does not ask.
            _ = answer.send(running.is_cancelled());
            Some(Told::Done(number))
        };
        assert_eq!(jobs.start(kind, work), None);
        has_begun.recv().unwrap();
        (let_go, cancelled)
    }

    fn count(jobs: &mut Jobs<Told>, kind: JobKind, number: u32) {
        assert_eq!(jobs.start(kind, move |_| Some(Told::Done(number))), None);
    }

    /// The kinds of work that must reach the disk.
    const MUST_BE_DONE: [JobKind; 3] = [JobKind::Library, JobKind::Settings, JobKind::Journal];

    #[test]
    fn jobs_wait_for_the_beginning_and_are_done_in_turn() {
        for kind in MUST_BE_DONE {
            let (mut jobs, told) = behind();
            for number in 0..50 {
                count(&mut jobs, kind, number);
            }
            assert_eq!(jobs.wait(kind, |_| Some(Told::Done(50))), None, "nobody waits before the beginning");
            assert!(told.try_recv().is_err());
            jobs.begin();
            // None gives up or is overtaken, however many come after it.
            let (let_go, cancelled) = start_held(&mut jobs, kind, 51);
            count(&mut jobs, kind, 52);
            let_go.send(()).unwrap();
            assert_eq!(cancelled.recv(), Ok(false), "{kind:?}");
            jobs.finish();
            let done = told.try_iter().filter(|told| matches!(told, Told::Done(_)));
            assert_eq!(done.collect::<Vec<Told>>(), (0..53).map(Told::Done).collect::<Vec<Told>>(), "{kind:?}");
        }
    }

    #[test]
    fn jobs_done_by_hand_wait_for_each_beginning_and_for_whoever_waits_or_leaves() {
        let (sender, told) = mpsc::channel();
        let mut jobs = Jobs::by_hand(move |message| _ = sender.send(message));
        jobs.begin();
        count(&mut jobs, JobKind::Library, 1);
        count(&mut jobs, JobKind::Journal, 2);
        assert!(told.try_recv().is_err());
        assert_eq!(jobs.wait(JobKind::Library, |_| Some(Told::Done(3))), Some(Told::Done(3)));
        assert_eq!(told.try_iter().collect::<Vec<Told>>(), [Told::Done(1)], "of the same kind, and first");
        jobs.begin();
        assert_eq!(told.try_iter().collect::<Vec<Told>>(), [Told::Done(2)]);
        count(&mut jobs, JobKind::Settings, 4);
        count(&mut jobs, JobKind::Devices, 5);
        jobs.finish();
        assert_eq!(told.try_iter().collect::<Vec<Told>>(), [Told::Done(4)]);
    }

    #[test]
    fn a_job_that_was_cancelled_while_it_waits_is_not_begun() {
        let (mut jobs, told) = behind();
        jobs.begin();
        let (let_go, _) = start_held(&mut jobs, JobKind::Library, 1);
        let begun = Arc::new(AtomicU64::new(0));
        let seen = Arc::clone(&begun);
        jobs.start(JobKind::Library, move |_| {
            seen.store(1, Ordering::Release);
            None
        });
        jobs.cancel(JobKind::Library);
        let_go.send(()).unwrap();
        jobs.finish();
        assert_eq!(begun.load(Ordering::Acquire), 0);
        assert!(told.try_recv().is_err());
    }

    #[test]
    fn a_later_job_takes_the_place_of_one_that_waits_and_has_the_running_one_give_up() {
        let (mut jobs, told) = behind();
        jobs.begin();
        let (let_go, cancelled) = start_held(&mut jobs, JobKind::Layout, 1);
        count(&mut jobs, JobKind::Layout, 2);
        count(&mut jobs, JobKind::Layout, 3);
        let_go.send(()).unwrap();
        assert_eq!(cancelled.recv(), Ok(true));
        assert_eq!(told.recv(), Ok(Told::Done(3)));
        jobs.finish();
        assert!(told.try_recv().is_err(), "neither progress nor outcome of the others is told");
    }

    #[test]
    fn a_job_says_how_far_it_is_until_it_is_cancelled() {
        let (mut jobs, told) = behind();
        jobs.begin();
        let (let_go, cancelled) = start_held(&mut jobs, JobKind::Library, 1);
        let_go.send(()).unwrap();
        assert_eq!(cancelled.recv(), Ok(false));
        let progress = Report::Progress(JobKind::Library, JobProgress { done: 1, all: 2 });
        assert_eq!(progress.words(), "reading or writing the library: 1 of 2");
        assert_eq!([told.recv(), told.recv()], [Ok(Told::Report(progress)), Ok(Told::Done(1))]);

        let (let_go, cancelled) = start_held(&mut jobs, JobKind::Library, 2);
        count(&mut jobs, JobKind::Library, 3);
        jobs.cancel(JobKind::Library);
        count(&mut jobs, JobKind::Library, 4);
        let_go.send(()).unwrap();
        assert_eq!(cancelled.recv(), Ok(true));
        assert_eq!(told.recv(), Ok(Told::Done(4)), "what is asked for afterwards is done");
    }

    #[test]
    fn a_job_that_panics_is_told_in_words_and_the_next_one_is_done() {
        let (mut jobs, told) = behind();
        jobs.begin();
        assert_eq!(jobs.start(JobKind::Devices, |_| panic!("no such {}", "thing")), None);
        let Ok(Told::Report(report)) = told.recv() else { panic!("the fault is told") };
        let words = "this is a fault of the program, not yours, while looking for sound devices: no such thing";
        assert!(report.words().starts_with(words), "{}", report.words());
        let waited = jobs.wait(JobKind::Devices, |_| panic!("as text"));
        assert_eq!(waited, Some(Told::Report(Report::Fault(JobKind::Devices, "as text".to_owned()))));
        assert_eq!(jobs.wait(JobKind::Devices, |_| Some(Told::Done(1))), Some(Told::Done(1)));
        assert!(told.try_recv().is_err(), "what is waited for is not told as well");
    }

    #[test]
    fn the_outcome_of_a_job_that_is_waited_for_comes_after_those_before_it() {
        let (mut jobs, told) = behind();
        jobs.begin();
        count(&mut jobs, JobKind::Library, 1);
        assert_eq!(jobs.wait(JobKind::Library, |_| Some(Told::Done(2))), Some(Told::Done(2)));
        assert_eq!(told.try_recv(), Ok(Told::Done(1)));
    }

    #[test]
    fn leaving_waits_for_what_must_reach_the_disk_and_for_nothing_else() {
        let (mut jobs, told) = behind();
        jobs.begin();
        let (let_go, cancelled) = start_held(&mut jobs, JobKind::Devices, 1);
        count(&mut jobs, JobKind::Devices, 2);
        for (number, kind) in (3..).zip(MUST_BE_DONE) {
            // One is under way and one waits.
            let (let_go, _) = start_held(&mut jobs, kind, number);
            count(&mut jobs, kind, number + 10);
            drop(let_go);
        }
        jobs.finish();
        let mut done: Vec<u32> = told
            .try_iter()
            .filter_map(|told| match told {
                Told::Done(number) => Some(number),
                Told::Report(_) => None,
            })
            .collect();
        done.sort_unstable();
        assert_eq!(done, [3, 4, 5, 13, 14, 15]);
        let_go.send(()).unwrap();
        assert_eq!(cancelled.recv(), Ok(true), "who is not waited for is asked to give up");
        assert_eq!(jobs.start(JobKind::Library, |_| Some(Told::Done(4))), Some(Told::Done(4)), "later, it is at once");
        drop(jobs);
        assert!(told.recv().is_err(), "nothing more is told, and nobody is left to tell it");
    }

    #[test]
    fn jobs_without_threads_are_done_at_once() {
        let mut jobs: Jobs<Told> = Jobs::at_once();
        assert_eq!(jobs.start(JobKind::Layout, |_| Some(Told::Done(1))), Some(Told::Done(1)));
        assert_eq!(jobs.wait(JobKind::Library, |_| Some(Told::Done(2))), Some(Told::Done(2)));
        assert_eq!(jobs.start(JobKind::Layout, |_| None), None);
    }
}
