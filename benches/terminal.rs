//! The program itself in a pseudo-terminal of 200 by 60, on 500 segments, 2,000 bars and 10,000 voicings in the
//! library: from its start to the first whole frame, from a key to the last byte of its frame, its memory, and what it
//! does while nobody does anything.
//!
//! `FINGERPOST_BIN` names another program to measure in place of the one cargo has built.

#[path = "shared/full_desk.rs"]
mod full_desk;
mod shared;

use std::fs;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError};
use std::thread;
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};

const SIZE: PtySize = PtySize { rows: 60, cols: 200, pixel_width: 0, pixel_height: 0 };

/// How often the program is started.
const STARTS: usize = 20;

/// How many keys are timed for each row.
const KEYS: usize = 40;

/// A frame is over when nothing has come for so long.
const QUIET: Duration = Duration::from_millis(40);

/// How long nobody does anything.
const IDLE: Duration = Duration::from_secs(5);

/// What is done, the keys that lead there, and the keys that are timed, one after the other.
const ROWS: [(&str, &[&str], &[&str]); 10] = [
    ("timeline: next segment", &[], &["\x1b[B"]),
    ("timeline: a letter in the title", &["t"], &["a"]),
    ("timeline: moved on and back", &["\x1b"], &["f", "e"]),
    ("timeline: undo and redo", &[], &["u", "r"]),
    ("passage: next beat", &["P"], &["\x1b[C"]),
    ("passage: fret changed", &[], &["3", "\x1b", "4", "\x1b"]),
    ("fretboard: finger put down", &["F"], &["3", "5", "7"]),
    ("fretboard: voicing saved", &["v"], &["7", "v", "8", "v"]),
    ("library: typing what to find", &["L", "f"], &["v", "o", "i", "c", "\x7f", "\x7f", "\x7f", "\x7f"]),
    ("library: next in the grids", &["\x1b", "g"], &["\x1b[B"]),
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

/// The program to measure.
fn program() -> PathBuf {
    std::env::var_os("FINGERPOST_BIN").map_or_else(|| PathBuf::from(env!("CARGO_BIN_EXE_fingerpost")), PathBuf::from)
}

/// The program, running.
struct Run {
    child: Box<dyn Child + Send + Sync>,
    /// Kept open as long as the program runs.
    _master: Box<dyn MasterPty + Send>,
    writer: Box<dyn Write + Send>,
    /// What it sends, with the moment it came.
    sent: Receiver<(Instant, Vec<u8>)>,
    parser: vt100::Parser,
    begun: Instant,
}

impl Run {
    fn start(home: &Path, lesson: &Path) -> Self {
        let pair = native_pty_system().openpty(SIZE).expect("a pseudo-terminal");
        let mut command = CommandBuilder::new(program());
        command.args(["open".as_ref(), lesson.as_os_str()]);
        for (name, value) in [("TERM", "xterm-256color"), ("LANG", "C.UTF-8")] {
            command.env(name, value);
        }
        command.env("FINGERPOST_HOME", home);
        let mut reader = pair.master.try_clone_reader().expect("its end to read");
        let writer = pair.master.take_writer().expect("its end to write");
        let (sender, sent) = mpsc::channel();
        let begun = Instant::now();
        let child = pair.slave.spawn_command(command).expect("it starts");
        drop(pair.slave);
        thread::spawn(move || {
            let mut bytes = [0; 1 << 16];
            while let Ok(count) = reader.read(&mut bytes) {
                let some = bytes.get(..count).filter(|some| !some.is_empty());
                let Some(some) = some else { return };
                if sender.send((Instant::now(), some.to_vec())).is_err() {
                    return;
                }
            }
        });
        let parser = vt100::Parser::new(SIZE.rows, SIZE.cols, 0);
        Self { child, _master: pair.master, writer, sent, parser, begun }
    }

    /// Returns how long it took until the first frame was whole, to its last line.
    fn first_frame(&mut self) -> Duration {
        loop {
            let Ok((at, bytes)) = self.sent.recv_timeout(Duration::from_secs(10)) else {
                panic!("no whole frame comes:\n{}", self.parser.screen().contents());
            };
            self.parser.process(&bytes);
            let screen = self.parser.screen().contents();
            if screen.contains("A very long lesson")
                && screen.lines().last().is_some_and(|line| line.contains("to look at"))
            {
                return at - self.begun;
            }
        }
    }

    /// Waits until nothing comes any more.
    fn settle(&mut self) {
        while let Ok((_, bytes)) = self.sent.recv_timeout(Duration::from_millis(400)) {
            self.parser.process(&bytes);
        }
    }

    /// Waits until all is done that goes on behind the keys.
    fn rest(&mut self) {
        let mut before = None;
        while before.is_none() || self.work() != before {
            before = self.work();
            self.settle();
        }
    }

    /// Strikes a key; returns how long it took until the last byte of its frame had come, if one came.
    fn strike(&mut self, key: &str) -> Option<Duration> {
        while let Ok((_, bytes)) = self.sent.try_recv() {
            self.parser.process(&bytes);
        }
        let begun = Instant::now();
        self.writer.write_all(key.as_bytes()).expect("it listens");
        self.writer.flush().expect("it listens");
        let mut last = None;
        loop {
            match self.sent.recv_timeout(QUIET) {
                Ok((at, bytes)) => {
                    self.parser.process(&bytes);
                    // What comes much later is no part of this frame: it shows what came from behind.
                    if last.is_none_or(|last: Instant| at - last < Duration::from_millis(5)) {
                        last = Some(at);
                    }
                }
                Err(RecvTimeoutError::Timeout) => return last.map(|last| last - begun),
                Err(RecvTimeoutError::Disconnected) => panic!("it ended: {}", self.parser.screen().contents()),
            }
        }
    }

    /// Returns the most memory it has had so far, in kilobytes.
    fn memory(&self) -> Option<u64> {
        let status = fs::read_to_string(format!("/proc/{}/status", self.child.process_id()?)).ok()?;
        let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
        line.split_whitespace().next()?.parse().ok()
    }

    /// Returns how long all its threads have worked, in nanoseconds, and how often they were given a processor.
    fn work(&self) -> Option<(u64, u64)> {
        let tasks = fs::read_dir(format!("/proc/{}/task", self.child.process_id()?)).ok()?;
        let mut sum = (0, 0);
        for task in tasks.flatten() {
            let text = fs::read_to_string(task.path().join("schedstat")).ok()?;
            let mut numbers = text.split_whitespace().filter_map(|number| number.parse::<u64>().ok());
            let (worked, _waited, times) = (numbers.next()?, numbers.next()?, numbers.next()?);
            sum = (sum.0 + worked, sum.1 + times);
        }
        Some(sum)
    }

    /// Has it end, and its changes thrown away with its journal.
    fn end(mut self) {
        self.child.kill().expect("it runs");
        self.child.wait().expect("it ends");
    }
}
