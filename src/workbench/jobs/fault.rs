//! Catches work that panics: a fault of the program in a job becomes words and ends nothing else. Who reports those
//! words is not decided here; see [`queue`](super::queue).

use std::any::Any;
use std::cell::{Cell, RefCell};
use std::panic::{self, AssertUnwindSafe, PanicHookInfo};

thread_local! {
    /// Whether this thread is running a job.
    static AT_WORK: Cell<bool> = const { Cell::new(false) };
    /// The source position at which this thread's job panicked.
    static PLACE: RefCell<Option<String>> = const { RefCell::new(None) };
}

/// Runs `work` and returns its result. Errors: `work` panicked; the words say how and where.
pub(super) fn caught<T>(work: impl FnOnce() -> T) -> Result<T, String> {
    let before = AT_WORK.replace(true);
    // A panic leaves nothing of the work behind except what it shares with others, and those who share it allow for
    // that.
    let done = panic::catch_unwind(AssertUnwindSafe(|| {
        provoked_fault();
        work()
    }));
    AT_WORK.set(before);
    done.map_err(|thrown| {
        let said = said(&*thrown);
        PLACE.take().map_or_else(|| said.clone(), |place| format!("{said} ({place})"))
    })
}

/// Returns whether the current panic happened in a job and is therefore caught, so that the screen stays as it is. The
/// panic hook calls it, and it notes where the job panicked.
pub fn is_caught(panic: &PanicHookInfo<'_>) -> bool {
    let at_work = AT_WORK.get();
    if at_work {
        PLACE.set(panic.location().map(|place| format!("{}, line {}", place.file(), place.line())));
    }
    at_work
}

/// Panics on purpose, so that tests can see what follows. Release builds leave it out.
#[cfg(debug_assertions)]
fn provoked_fault() {
    if std::env::var_os("FINGERPOST_FAULT").is_some_and(|place| place == "working") {
        panic!("provoked behind the keys");
    }
}

#[cfg(not(debug_assertions))]
fn provoked_fault() {}

/// Returns the message that a panic carries.
fn said(thrown: &(dyn Any + Send)) -> String {
    let owned = thrown.downcast_ref::<String>().cloned();
    let said = owned.or_else(|| thrown.downcast_ref::<&str>().map(|said| (*said).to_owned()));
    said.unwrap_or_else(|| "it does not say which".to_owned())
}
