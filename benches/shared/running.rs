//! The program itself, running in a pseudo-terminal of 200 by 60.
//!
//! `FINGERPOST_BIN` names another program to measure in place of the one cargo has built.

// Each benchmark that takes this in calls a part of it.
#![allow(dead_code)]

use std::fs;
use std::io::{Read, Write};
use std::num::NonZeroU16;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError};
use std::thread;
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};

const SIZE: PtySize = PtySize { rows: 60, cols: 200, pixel_width: 0, pixel_height: 0 };

/// A frame is over when nothing has come for so long.
const QUIET: Duration = Duration::from_millis(40);

/// The program to measure.
fn program() -> PathBuf {
    std::env::var_os("FINGERPOST_BIN").map_or_else(|| PathBuf::from(env!("CARGO_BIN_EXE_fingerpost")), PathBuf::from)
}

/// The program, running.
pub struct Run {
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
    pub fn start(home: &Path, lesson: &Path) -> Self {
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
        let side = |cells: u16| NonZeroU16::new(cells).expect("the screen has lines and columns");
        let parser = vt100::Parser::new(side(SIZE.rows), side(SIZE.cols), 0);
        Self { child, _master: pair.master, writer, sent, parser, begun }
    }

    /// Returns how long it took until the first frame was whole, to its last line.
    pub fn first_frame(&mut self) -> Duration {
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
    pub fn settle(&mut self) {
        while let Ok((_, bytes)) = self.sent.recv_timeout(Duration::from_millis(400)) {
            self.parser.process(&bytes);
        }
    }

    /// Waits until all is done that goes on behind the keys.
    pub fn rest(&mut self) {
        let mut before = None;
        while before.is_none() || self.work() != before {
            before = self.work();
            self.settle();
        }
    }

    /// Strikes a key; returns how long it took until the last byte of its frame had come, if one came.
    pub fn strike(&mut self, key: &str) -> Option<Duration> {
        while let Ok((_, bytes)) = self.sent.try_recv() {
            self.parser.process(&bytes);
        }
        let begun = Instant::now();
        self.send(key);
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

    /// Strikes a key and waits for nothing.
    pub fn send(&mut self, key: &str) {
        self.writer.write_all(key.as_bytes()).expect("it listens");
        self.writer.flush().expect("it listens");
    }

    /// Waits for something to be drawn, so long at most; returns whether something was.
    pub fn comes(&mut self, at_most: Duration) -> bool {
        let some = self.sent.recv_timeout(at_most);
        if let Ok((_, bytes)) = &some {
            self.parser.process(bytes);
        }
        some.is_ok()
    }

    /// Returns what the last line of the screen says.
    pub fn last_line(&self) -> String {
        self.parser.screen().contents().lines().last().unwrap_or_default().trim_end().to_owned()
    }

    /// Returns the most memory it has had so far, in kilobytes.
    pub fn memory(&self) -> Option<u64> {
        let status = fs::read_to_string(format!("/proc/{}/status", self.child.process_id()?)).ok()?;
        let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
        line.split_whitespace().next()?.parse().ok()
    }

    /// Returns how long all its threads have worked, in nanoseconds, and how often they were given a processor.
    pub fn work(&self) -> Option<(u64, u64)> {
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
    pub fn end(mut self) {
        self.child.kill().expect("it runs");
        self.child.wait().expect("it ends");
    }
}
