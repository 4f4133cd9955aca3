//! Many windows that open one lesson at the same moment: exactly one may write.

use std::path::Path;
use std::sync::Barrier;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use fingerpost::store::lock::{Asked, Lock};
use fingerpost::store::open_lesson::{Access, OpenLesson};

use super::session::folder_with_lesson;

/// How many windows there are at once.
const WINDOWS: usize = 16;

#[test]
fn of_windows_that_open_at_once_exactly_one_may_write() {
    let (_folder, path) = folder_with_lesson();
    for round in 0..50 {
        let start = Barrier::new(WINDOWS);
        let open = || {
            start.wait();
            OpenLesson::open(&path).unwrap().file
        };
        let files: Vec<OpenLesson> = thread::scope(|scope| {
            let windows: Vec<_> = (0..WINDOWS).map(|_| scope.spawn(open)).collect();
            windows.into_iter().map(|window| window.join().unwrap()).collect()
        });
        let writers = files.iter().filter(|file| *file.access() == Access::Full).count();
        assert_eq!(writers, 1, "round {round}");
        assert_eq!(files.iter().filter(|file| file.is_locked()).count(), 1, "round {round}");
    }
}

/// A window that is closed takes its lock file away; whoever opened that file a moment before must not believe in it.
#[test]
fn while_windows_open_and_close_there_is_never_a_second_writer() {
    let (_folder, path) = folder_with_lesson();
    let (start, writers) = (Barrier::new(WINDOWS), AtomicUsize::new(0));
    let open_and_close = |path: &Path| {
        start.wait();
        let mut turns = 0;
        while turns < 30 {
            if let Asked::Held(lock) = Lock::ask(path) {
                assert_eq!(writers.fetch_add(1, Ordering::SeqCst), 0, "two hold the lock");
                thread::yield_now();
                writers.fetch_sub(1, Ordering::SeqCst);
                drop(lock);
                turns += 1;
            }
            thread::yield_now();
        }
    };
    thread::scope(|scope| {
        for _ in 0..WINDOWS {
            scope.spawn(|| open_and_close(&path));
        }
    });
    assert_eq!(writers.load(Ordering::SeqCst), 0);
}
