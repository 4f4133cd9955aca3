//! Counts the work done on names over tab, so that a test sees how it grows: what is timed says little on a busy machine.

use std::cell::Cell;

thread_local! {
    static STEPS: Cell<usize> = const { Cell::new(0) };
}

/// Notes one step: a moment that was heard, or a chord that was held against a name.
pub fn step() {
    STEPS.set(STEPS.get() + 1);
}

/// Returns how many steps `work` takes.
pub fn steps_of(work: impl FnOnce()) -> usize {
    let before = STEPS.get();
    work();
    STEPS.get() - before
}
