//! A program in a pseudo-terminal of a given size.

use std::io::{Read, Write};
use std::num::NonZeroU16;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Barrier, Condvar, Mutex};
use std::thread;
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};
use tempfile::TempDir;

/// Longer than any machine here takes, so that running out of it means a fault.
const PATIENCE: Duration = Duration::from_secs(30);

/// The program to drive.
pub fn program() -> PathBuf {
    std::env::var_os("FINGERPOST_BIN").map_or_else(|| PathBuf::from(env!("CARGO_BIN_EXE_fingerpost")), PathBuf::from)
}

/// A folder for library and settings of one test.
pub fn home() -> TempDir {
    TempDir::new().unwrap()
}

/// A lesson with something of everything in it, as it lies in [`home_with_lesson`].
pub const LESSON: &str = "workbench.lesson.ron";

/// A folder with that lesson.
pub fn home_with_lesson() -> TempDir {
    let home = home();
    std::fs::write(home.path().join(LESSON), include_str!("../../lessons/workbench.lesson.ron")).unwrap();
    home
}

/// What the terminal shows, and what it has been through.
struct Shown {
    parser: vt100::Parser,
    /// Whether the second screen was ever taken.
    taken: bool,
    /// Whether the program has closed its end.
    ended: bool,
    /// Whether nobody will look any more.
    closing: bool,
    /// All that the program has sent.
    sent: Vec<u8>,
}

/// A running program with its terminal.
pub struct Session {
    child: Box<dyn Child + Send + Sync>,
    master: Box<dyn MasterPty + Send>,
    writer: Box<dyn Write + Send>,
    shown: Arc<(Mutex<Shown>, Condvar)>,
    home: TempDir,
}

impl Session {
    /// Starts the program with arguments, a size in columns and lines, and more environment.
    pub fn start(arguments: &[&str], size: (u16, u16), environment: &[(&str, &str)]) -> Self {
        Self::start_in(home(), arguments, size, environment)
    }

    /// Starts the program on a folder for library and settings that is there already.
    pub fn start_in(
        home: TempDir,
        arguments: &[&str],
        (columns, lines): (u16, u16),
        environment: &[(&str, &str)],
    ) -> Self {
        let pair = native_pty_system().openpty(size(columns, lines)).unwrap();
        // A fault can be provoked in the program as cargo has built it, never in a release.
        let provoked = environment.iter().any(|(name, _)| *name == "FINGERPOST_FAULT");
        let program = if provoked { PathBuf::from(env!("CARGO_BIN_EXE_fingerpost")) } else { program() };
        let mut command = CommandBuilder::new(program);
        command.args(arguments);
        command.cwd(home.path());
        for name in ["NO_COLOR", "LC_ALL", "LC_CTYPE"] {
            command.env_remove(name);
        }
        command.env("TERM", "xterm-256color");
        command.env("LANG", "C.UTF-8");
        command.env("FINGERPOST_HOME", home.path());
        // Demo copies go to the temporary folder: keep them with the test.
        command.env("TMPDIR", home.path());
        for (name, value) in environment {
            command.env(name, value);
        }
        let child = pair.slave.spawn_command(command).unwrap();
        drop(pair.slave);
        let parser = vt100::Parser::new(side(lines), side(columns), 0);
        let shown = Arc::new((
            Mutex::new(Shown { parser, taken: false, ended: false, closing: false, sent: Vec::new() }),
            Condvar::new(),
        ));
        read_along(pair.master.try_clone_reader().unwrap(), Arc::clone(&shown));
        let writer = pair.master.take_writer().unwrap();
        Self { child, master: pair.master, writer, shown, home }
    }

    /// Waits until the screen is as described.
    #[track_caller]
    pub fn wait_for(&self, what: &str, mut holds: impl FnMut(&str) -> bool) {
        let (lock, changed) = &*self.shown;
        let begun = Instant::now();
        let mut shown = lock.lock().unwrap();
        while !holds(&shown.parser.screen().contents()) {
            let left = PATIENCE.saturating_sub(begun.elapsed());
            assert!(!shown.ended, "the program ended before {what}:\n{}", shown.parser.screen().contents());
            assert!(!left.is_zero(), "waited in vain for {what}:\n{}", shown.parser.screen().contents());
            shown = changed.wait_timeout(shown, left).unwrap().0;
        }
    }

    pub fn type_keys(&mut self, keys: &str) {
        self.writer.write_all(keys.as_bytes()).unwrap();
        self.writer.flush().unwrap();
    }

    /// Types what a program that has ended meanwhile need not hear; returns whether it still runs.
    pub fn type_bytes(&mut self, bytes: &[u8]) -> bool {
        let heard = self.writer.write_all(bytes).and_then(|()| self.writer.flush());
        heard.is_ok() && !self.shown.0.lock().unwrap().ended
    }

    /// Waits until the program has sent something more, or for a moment where it has nothing to send.
    pub fn wait_a_moment(&self, moment: Duration) {
        let (lock, changed) = &*self.shown;
        let _sent = changed.wait_timeout(lock.lock().unwrap(), moment).unwrap();
    }

    /// Fails where the terminal is not as it was before the program took it.
    #[track_caller]
    pub fn assert_given_back(&self) {
        assert!(!self.is_full_screen(), "the first screen is back");
        assert!(!self.hides_cursor(), "the cursor is back");
        assert!(!self.reports_mouse(), "the mouse belongs to the terminal again");
        assert!(!self.shown.0.lock().unwrap().parser.screen().bracketed_paste(), "pasting is plain again");
    }

    pub fn resize(&self, (columns, lines): (u16, u16)) {
        self.shown.0.lock().unwrap().parser.screen_mut().set_size(side(lines), side(columns));
        self.master.resize(size(columns, lines)).unwrap();
    }

    /// Strikes the key that leaves the workbench, and fails where it does not end well.
    #[track_caller]
    pub fn quit(&mut self) {
        self.type_keys("q");
        assert_eq!(self.exit_code(), 0);
    }

    /// Types while the size goes through others, both from the same moment on.
    pub fn type_while_resizing(&mut self, keys: &str, sizes: &[(u16, u16)]) {
        let Self { master, writer, shown, .. } = self;
        let start = &Barrier::new(2);
        thread::scope(|scope| {
            scope.spawn(move || {
                start.wait();
                for (columns, lines) in sizes {
                    shown.0.lock().unwrap().parser.screen_mut().set_size(side(*lines), side(*columns));
                    master.resize(size(*columns, *lines)).unwrap();
                }
            });
            start.wait();
            writer.write_all(keys.as_bytes()).and_then(|()| writer.flush()).unwrap();
        });
    }

    /// Waits for the end of the program and of what it has to show.
    #[track_caller]
    pub fn exit_code(&mut self) -> u32 {
        let begun = Instant::now();
        let (lock, changed) = &*self.shown;
        let mut shown = lock.lock().unwrap();
        while !shown.ended {
            let left = PATIENCE.saturating_sub(begun.elapsed());
            if left.is_zero() {
                self.child.kill().unwrap();
                panic!("the program does not end:\n{}", shown.parser.screen().contents());
            }
            shown = changed.wait_timeout(shown, left).unwrap().0;
        }
        drop(shown);
        self.child.wait().unwrap().exit_code()
    }

    /// Returns all that the program has sent so far.
    pub fn sent(&self) -> String {
        String::from_utf8_lossy(&self.shown.0.lock().unwrap().sent).into_owned()
    }

    pub fn screen(&self) -> String {
        self.shown.0.lock().unwrap().parser.screen().contents()
    }

    pub fn is_full_screen(&self) -> bool {
        self.shown.0.lock().unwrap().parser.screen().alternate_screen()
    }

    pub fn was_full_screen(&self) -> bool {
        self.shown.0.lock().unwrap().taken
    }

    pub fn hides_cursor(&self) -> bool {
        self.shown.0.lock().unwrap().parser.screen().hide_cursor()
    }

    pub fn reports_mouse(&self) -> bool {
        self.shown.0.lock().unwrap().parser.screen().mouse_protocol_mode() != vt100::MouseProtocolMode::None
    }

    /// Whether every cell has the terminal's own two colours.
    pub fn is_colourless(&self) -> bool {
        let shown = self.shown.0.lock().unwrap();
        let screen = shown.parser.screen();
        let (lines, columns) = screen.size();
        let (lines, columns) = (lines.get(), columns.get());
        let cells = (0..lines).flat_map(|line| (0..columns).map(move |column| (line, column)));
        let plain = |cell: &vt100::Cell| [cell.fgcolor(), cell.bgcolor()].iter().all(|c| *c == vt100::Color::Default);
        cells.filter_map(|(line, column)| screen.cell(line, column)).all(plain)
    }

    /// Asks the program to end, as a system that shuts down does.
    #[cfg(unix)]
    pub fn terminate(&self) {
        let process = self.child.process_id().unwrap().to_string();
        let status = std::process::Command::new("kill").args(["-TERM", &process]).status().unwrap();
        assert!(status.success());
    }

    /// Sends a signal to the program: a name as `kill` takes it.
    #[cfg(unix)]
    pub fn signal(&self, name: &str) {
        let process = self.child.process_id().unwrap().to_string();
        let status = std::process::Command::new("kill").args(["-s", name, &process]).status().unwrap();
        assert!(status.success());
    }

    /// Kills the program as nothing can be caught, and returns its folder and the last that its screen showed.
    #[cfg(unix)]
    pub fn kill(mut self) -> (TempDir, String) {
        self.signal("KILL");
        self.child.wait().unwrap();
        let (lock, changed) = &*self.shown;
        let begun = Instant::now();
        let mut shown = lock.lock().unwrap();
        while !shown.ended && begun.elapsed() < PATIENCE {
            shown = changed.wait_timeout(shown, PATIENCE).unwrap().0;
        }
        let last = tidy(&shown.parser.screen().contents());
        drop(shown);
        (self.home, last)
    }

    /// Closes the terminal as somebody closes its window, and waits for the end; returns the folder and the exit code.
    #[cfg(unix)]
    pub fn close_terminal(self) -> (TempDir, u32) {
        let Self { mut child, master, mut writer, shown, home } = self;
        shown.0.lock().unwrap().closing = true;
        // What reads along holds the terminal open until it has read something more: the help.
        writer.write_all(b"?").unwrap();
        drop((writer, master));
        let code = child.wait().unwrap().exit_code();
        (home, code)
    }

    /// Waits until something is so of the session that its text does not show.
    #[track_caller]
    pub fn wait_until(&self, holds: impl Fn(&Self) -> bool) {
        let begun = Instant::now();
        while !holds(self) {
            assert!(begun.elapsed() < PATIENCE, "waited in vain:\n{}", self.screen());
            self.wait_a_moment(Duration::from_millis(20));
        }
    }

    /// Waits until the process is stopped.
    #[cfg(target_os = "linux")]
    #[track_caller]
    pub fn wait_until_stopped(&self) {
        self.wait_until(|session| {
            // proc(5): the state is the third field, behind the name in parentheses.
            let stat = std::fs::read_to_string(format!("/proc/{}/stat", session.child.process_id().unwrap())).unwrap();
            stat.rsplit_once(") ").is_some_and(|(_, rest)| rest.starts_with('T'))
        });
    }

    /// Fails where the terminal does not gather lines and show what is typed, as outside of raw mode.
    #[cfg(unix)]
    #[track_caller]
    pub fn assert_cooked(&self) {
        let modes = self.master.get_termios().expect("a terminal has modes");
        let flags = format!("{:?}", modes.local_flags);
        assert!(flags.contains("ICANON") && flags.contains("ECHO"), "{flags}");
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.home.path().join(name)
    }

    /// Returns the texts of all files in the folder whose names end so.
    pub fn files_ending(&self, end: &str) -> Vec<String> {
        let files = std::fs::read_dir(self.home.path()).unwrap().map(|entry| entry.unwrap().path());
        files
            .filter(|path| path.to_string_lossy().ends_with(end))
            .map(|path| std::fs::read_to_string(path).unwrap())
            .collect()
    }

    /// Returns the column of the terminal in which a word begins, and the last line that holds it and `mark` too.
    #[track_caller]
    pub fn place_of(&self, word: &str, mark: &str) -> (u16, u16) {
        let shown = self.shown.0.lock().unwrap();
        let screen = shown.parser.screen();
        let (lines, columns) = screen.size();
        let (lines, columns) = (lines.get(), columns.get());
        let line = (0..lines).rev().find(|line| {
            let text = screen.contents_between(*line, 0, *line, columns);
            text.contains(mark) && text.contains(word)
        });
        let line = line.unwrap_or_else(|| panic!("no line with {mark} and {word}:\n{}", screen.contents()));
        let starts = |from: &u16| screen.contents_between(line, *from, line, columns).starts_with(word);
        ((0..columns).find(starts).unwrap(), line)
    }

    /// Returns the time of the processor that the program has had, in clock ticks.
    #[cfg(target_os = "linux")]
    pub fn ticks(&self) -> u64 {
        // proc(5): user and system time are the fields 14 and 15, the name in parentheses being the second.
        let stat = std::fs::read_to_string(format!("/proc/{}/stat", self.child.process_id().unwrap())).unwrap();
        let (_, rest) = stat.rsplit_once(") ").unwrap();
        rest.split(' ').skip(11).take(2).map(|ticks| ticks.parse::<u64>().unwrap()).sum()
    }

    /// Lets go of a program that has ended, and returns its folder.
    pub fn into_home(self) -> TempDir {
        self.home
    }

    /// Returns the text of a file in the folder where the program runs.
    pub fn file(&self, name: &str) -> String {
        std::fs::read_to_string(self.home.path().join(name)).unwrap()
    }

    /// The copy of the demo lesson that this session plays with.
    pub fn lesson_in_demo_folder(&self) -> String {
        find_lesson(self.home.path()).expect("the demo has copied its lesson").to_string_lossy().into_owned()
    }
}

/// Returns a screen without the spaces that nobody sees.
pub fn tidy(screen: &str) -> String {
    let lines: Vec<&str> = screen.lines().map(str::trim_end).collect();
    lines.join("\n").trim_end().to_owned()
}

fn find_lesson(folder: &Path) -> Option<PathBuf> {
    for entry in std::fs::read_dir(folder).ok()?.flatten() {
        let path = entry.path();
        if path.is_dir() {
            if let Some(found) = find_lesson(&path) {
                return Some(found);
            }
        } else if path.to_string_lossy().ends_with(".lesson.ron") {
            return Some(path);
        }
    }
    None
}

/// A side of the screen, which has at least one cell.
#[track_caller]
fn side(cells: u16) -> NonZeroU16 {
    NonZeroU16::new(cells).expect("a screen has lines and columns")
}

fn size(columns: u16, lines: u16) -> PtySize {
    PtySize { rows: lines, cols: columns, pixel_width: 0, pixel_height: 0 }
}

/// Feeds what the program writes to the emulator until there is no more.
fn read_along(mut reader: Box<dyn Read + Send>, shown: Arc<(Mutex<Shown>, Condvar)>) {
    thread::spawn(move || {
        let mut bytes = [0; 4096];
        loop {
            let count = reader.read(&mut bytes).unwrap_or(0);
            let (lock, changed) = &*shown;
            let mut shown = lock.lock().unwrap();
            shown.parser.process(&bytes[..count]);
            shown.sent.extend_from_slice(&bytes[..count]);
            shown.taken |= shown.parser.screen().alternate_screen();
            shown.ended |= count == 0;
            let ended = shown.ended || shown.closing;
            changed.notify_all();
            drop(shown);
            if ended {
                return;
            }
        }
    });
}
