//! Work that panics, caught: a fault of ours in a job is told in words and ends nothing else.

use std::any::Any;
use std::cell::{Cell, RefCell};
use std::panic::{self, AssertUnwindSafe, PanicHookInfo};

thread_local! {
    /// Whether this thread is at a job.
    static AT_WORK: Cell<bool> = const { Cell::new(false) };
    /// Where the job of this thread panicked.
    static PLACE: RefCell<Option<String>> = const { RefCell::new(None) };
}

/// Does `work`. Errors: in words, how it panicked.
pub(super) fn caught<T>(work: impl FnOnce() -> T) -> Result<T, String> {
    let before = AT_WORK.replace(true);
    // Nothing of the work is left when it has panicked, but for what it shares: see those who share.
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

/// Returns whether the panic is one of a job, which is caught: then the screen stays as it is. For the hook of panics;
/// it notes where the job panicked.
pub fn is_caught(panic: &PanicHookInfo<'_>) -> bool {
    let at_work = AT_WORK.get();
    if at_work {
        PLACE.set(panic.location().map(|place| format!("{}, line {}", place.file(), place.line())));
    }
    at_work
}

/// Fails on purpose, for the tests of what happens then; never in a release.
#[cfg(debug_assertions)]
fn provoked_fault() {
    if std::env::var_os("FINGERPOST_FAULT").is_some_and(|place| place == "working") {
        panic!("provoked behind the keys");
    }
}

#[cfg(not(debug_assertions))]
fn provoked_fault() {}

/// Returns the words a panic was thrown with.
fn said(thrown: &(dyn Any + Send)) -> String {
    let owned = thrown.downcast_ref::<String>().cloned();
    let said = owned.or_else(|| thrown.downcast_ref::<&str>().map(|said| (*said).to_owned()));
    said.unwrap_or_else(|| "it does not say which".to_owned())
}
