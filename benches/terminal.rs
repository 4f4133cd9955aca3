//! The program itself in a pseudo-terminal of 200 by 60, on 500 segments, 2,000 bars and 10,000 voicings in the
//! library: from its start to the first whole frame, from a key to the last byte of its frame, its memory, and what it
//! does while nobody does anything.
//!
//! `FINGERPOST_BIN` names another program to measure in place of the one cargo has built.

#[path = "shared/full_desk.rs"]
mod full_desk;
#[path = "shared/running.rs"]
mod running;
mod shared;

use std::thread;
use std::time::Duration;

use crate::running::Run;

/// How often the program is started.
const STARTS: usize = 20;

/// How many keys are timed for each row.
const KEYS: usize = 40;

/// How long nobody does anything.
const IDLE: Duration = Duration::from_secs(5);

/// What is done, the keys that lead there, and the keys that are timed, one after the other.
const ROWS: [(&str, &[&str], &[&str]); 10] = [
    ("timeline: next segment", &[], &["\x1b[B"]),
    ("timeline: a letter in the title", &["\r"], &["a"]),
    ("timeline: moved on and back", &["\x1b"], &["\x1b[1;2B", "\x1b[1;2A"]),
    ("timeline: undo and redo", &[], &["u", "U"]),
    ("passage: next beat", &["P"], &["\x1b[C"]),
    ("passage: fret changed", &[], &["3", "\x1b", "4", "\x1b"]),
    ("fretboard: finger put down", &["F"], &["3", "5", "7"]),
    ("fretboard: voicing saved", &["v"], &["7", "v", "8", "v"]),
    ("library: typing what to find", &["L", "f"], &["v", "o", "i", "c", "\x7f", "\x7f", "\x7f", "\x7f"]),
    ("library: next in the grids", &["\x1b", "z"], &["\x1b[B"]),
];

fn main() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = full_desk::furnish(folder.path());
    let mut starts: Vec<(Duration, Option<u64>)> = (0..STARTS)
        .map(|_| {
            let mut run = Run::start(folder.path(), &path);
            let first = run.first_frame();
            run.settle();
            let memory = run.memory();
            run.end();
            (first, memory)
        })
        .collect();
    starts.sort_unstable();
    println!("{STARTS} starts, ms until the first whole frame: {}", spread(starts.iter().map(|(time, _)| *time)));
    let memory = starts.iter().filter_map(|(_, memory)| *memory).max();
    println!("most memory by then and until the library was read: {}", megabytes(memory));

    let mut run = Run::start(folder.path(), &path);
    run.first_frame();
    run.settle();
    for (what, before, keys) in ROWS {
        run.rest();
        before.iter().for_each(|key| _ = run.strike(key));
        let mut times: Vec<Duration> = keys.iter().cycle().take(KEYS).filter_map(|key| run.strike(key)).collect();
        times.sort_unstable();
        println!("{what:<36} {:>3} frames, ms: {}", times.len(), spread(times.iter().copied()));
    }
    println!("most memory after all that: {}", megabytes(run.memory()));
    run.rest();
    let before = run.work();
    thread::sleep(IDLE);
    let after = run.work();
    if let (Some((worked, woke)), Some((worked_before, woke_before))) = (after, before) {
        let (worked, woke) = (worked - worked_before, woke - woke_before);
        println!("idle for {} s: {:.3} ms of work, woken {woke} times", IDLE.as_secs(), worked as f64 / 1e6);
    }
    run.end();
}

/// Writes the median and the worst of times in order.
fn spread(times: impl Iterator<Item = Duration>) -> String {
    let times: Vec<f64> = times.map(|time| time.as_secs_f64() * 1000.0).collect();
    let at = |place: usize| times.get(place).copied().unwrap_or(f64::NAN);
    let last = times.len().saturating_sub(1);
    format!("shortest {:.2}, median {:.2}, longest {:.2}", at(0), at(last / 2), at(last))
}

fn megabytes(kilobytes: Option<u64>) -> String {
    kilobytes.map_or_else(|| "not known on this system".to_owned(), |kilobytes| format!("{} MB", kilobytes / 1000))
}
