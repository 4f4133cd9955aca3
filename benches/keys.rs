//! A key of every kind until its frame is drawn, on 500 segments, 2,000 bars and 10,000 voicings in the library.
//!
//! What is timed: the update, the effects (the journal is written to a real file), the frame of 200 by 60 cells and
//! its comparison with the one before. Every key is struck on three desks that are alike and the shortest time counts,
//! so that other work of the machine is not taken for ours. Reading and writing the terminal is not in it; `benches/terminal.rs` has that.
//! Words on the command line choose the rows that contain them.

#[path = "shared/full_desk.rs"]
mod full_desk;
mod shared;

use std::path::Path;
use std::sync::mpsc::{self, Receiver};
use std::time::{Duration, Instant};

use fingerpost::store::folders::Folders;
use fingerpost::workbench::drawing::appearance::Appearance;
use fingerpost::workbench::jobs::queue::Jobs;
use fingerpost::workbench::keys::keystroke::Keystroke;
use fingerpost::workbench::keys::table::KeyTable;
use fingerpost::workbench::messages::effect::{Effect, FileEffect};
use fingerpost::workbench::messages::message::Message;
use fingerpost::workbench::panes::start::pane::StartPane;
use fingerpost::workbench::runtime::session::Session;
use fingerpost::workbench::screen::frame::draw;
use fingerpost::workbench::state::State;
use fingerpost::workbench::update::routing::update;
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use ratatui::layout::Size;

const SIZE: Size = Size { width: 200, height: 60 };

/// How many keys are timed in a row of the table.
const SAMPLES: usize = 200;

/// How often each is.
const ROUNDS: usize = 3;

/// What is done, the keys that lead there, and the keys that are timed, one after the other.
const ROWS: [(&str, &str, &str); 41] = [
    ("timeline: next segment", "", "Down"),
    ("timeline: last, first segment", "", "End Home"),
    ("timeline: zoom", "", "+ + + - - -"),
    ("timeline: list with columns", "", "|"),
    ("timeline: title, a box opens and shuts", "", "Enter Esc"),
    ("timeline: a letter in the title", "Enter", "a"),
    ("timeline: title taken", "", "Enter x Enter"),
    ("timeline: length taken, later ones move", ">", "l Ctrl+U 1 : 3 0 Enter l Ctrl+U 1 : 0 1 Enter"),
    ("timeline: video time taken", "Down >", ": Ctrl+U + 1 5 Enter : Ctrl+U - 1 5 Enter"),
    ("timeline: moved on and back", "Down", "Shift+Down Shift+Up"),
    ("timeline: new segment", "", "a n Enter"),
    ("timeline: copied, deleted", "", "c Delete"),
    ("timeline: mend", "Down Down Down", "W u"),
    ("timeline: talking points", "p", "a"),
    ("timeline: undo, redo of a title", "Enter x Enter", "u U"),
    ("passage: next beat", "P", "Right"),
    ("passage: next line", "P", "PageDown"),
    ("passage: fret changed", "P", "3 Esc 4 Esc"),
    ("passage: note lifted and put back", "P", "Delete u"),
    ("passage: new bar, undone", "P", "I u"),
    ("passage: twice as long, half", "P", "* /"),
    ("passage: bar copied and pasted", "P Shift+Down", "c Ctrl+V u"),
    ("passage: transposed", "P", "# 2 Enter u"),
    ("passage: undo, redo of a fret", "P 3 4", "u U"),
    ("fretboard: cursor", "F", "Right"),
    ("fretboard: finger put down", "F", "3 Down 5 Down 7 Up Up"),
    ("fretboard: undo, redo of a finger", "F 3 5 7", "u u U U"),
    ("fretboard: voicing saved", "F Shift+Delete 3 Down 5 Down", "v 7 v 8"),
    ("fretboard: next voicing of the segment", "F", "Ctrl+End"),
    ("fretboard: alternatives, next ghost", "F", "e PageDown Esc"),
    ("readings: next", "R", "Down Up"),
    ("library: next in the list", "L", "Down"),
    ("library: next in the grids", "L z", "Down"),
    ("library: typing what to find", "L f", "v o i c i n g Space 9 Backspace 8 Backspace 7"),
    ("library: to the last and back", "L", "End Home"),
    ("all panes: the next", "", "Tab"),
    ("handout: preview opens and shuts", "", "H Esc"),
    ("handout: page down", "H", "PageDown"),
    ("problems: list opens, moves and shuts", "", "w Down Down Esc"),
    ("actions: typing what to search", "Ctrl+F", "s e g m Backspace Backspace Backspace Backspace"),
    ("recording: view opens, a cue stamped", "", "V Space PageDown PageUp Space Esc"),
];

fn main() {
    // Cargo's own words for a bench begin with a dash.
    let chosen: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with('-')).collect();
    let folder = tempfile::tempdir().expect("a folder");
    let path = full_desk::furnish(folder.path());
    println!("{:<44} {:>6} {:>10} {:>10} {:>10}", "each key, ms", "keys", "median", "99 %", "worst");
    let (mut slowest, mut highest) = (Duration::ZERO, Duration::ZERO);
    for (what, before, keys) in ROWS {
        if !chosen.is_empty() && !chosen.iter().any(|word| what.contains(word.as_str())) {
            continue;
        }
        let rounds = (0..ROUNDS).map(|_| {
            let mut desk = OpenDesk::new(folder.path(), &path);
            keys_of(before).for_each(|key| _ = desk.strike(key));
            let times: Vec<Duration> = keys_of(keys).cycle().take(SAMPLES).map(|key| desk.strike(key)).collect();
            desk.forget();
            times
        });
        let shortest = |one: Vec<Duration>, other: Vec<Duration>| {
            one.into_iter().zip(other).map(|(one, other)| one.min(other)).collect()
        };
        let mut times = rounds.reduce(shortest).unwrap_or_default();
        let worst_key = times.iter().enumerate().max_by_key(|(_, time)| **time).map_or(0, |(place, _)| place);
        let worst_key = keys_of(keys).nth(worst_key % keys_of(keys).count()).expect("one of them");
        times.sort_unstable();
        let at = |part: usize| times.get((times.len() * part / 100).min(times.len() - 1)).copied().unwrap_or_default();
        let worst = times.last().copied().unwrap_or_default();
        println!(
            "{what:<44} {:>6} {:>10.3} {:>10.3} {:>10.3}  {worst_key}",
            times.len(),
            milliseconds(at(50)),
            milliseconds(at(99)),
            milliseconds(worst),
        );
        (slowest, highest) = (slowest.max(worst), highest.max(at(50)));
    }
    println!("highest median {:.3} ms, worst of all {:.3} ms", milliseconds(highest), milliseconds(slowest));
}

fn milliseconds(time: Duration) -> f64 {
    time.as_secs_f64() * 1000.0
}

/// Returns the keys of a text; `Space` and the like are names.
fn keys_of(text: &str) -> impl Iterator<Item = Keystroke> + Clone + '_ {
    text.split_whitespace().map(|key| key.parse().expect("a key"))
}

/// The workbench with the lesson open, as the program has it, but for the terminal.
struct OpenDesk {
    state: State,
    session: Session,
    jobs: Jobs<Message>,
    terminal: Terminal<TestBackend>,
    /// What comes from behind: the library, when it has been written.
    told: Receiver<Message>,
}

impl OpenDesk {
    fn new(folder: &Path, path: &Path) -> Self {
        let start = StartPane::new(Vec::new(), Vec::new());
        let mut state = State::new(SIZE, Appearance::default(), KeyTable::built_in(), start);
        let mut session = Session::new(Some(Folders::under(folder)));
        let (sender, told) = mpsc::channel();
        let mut jobs = Jobs::behind(move |message| _ = sender.send(message));
        jobs.begin();
        for message in session.perform(FileEffect::Open(path.to_owned()), &mut jobs) {
            _ = update(&mut state, message);
        }
        // The library is there before anything is timed.
        _ = update(&mut state, told.recv().expect("the library"));
        let terminal = Terminal::new(TestBackend::new(SIZE.width, SIZE.height)).expect("a terminal");
        let mut desk = Self { state, session, jobs, terminal, told };
        assert!(desk.state.desk().is_some(), "{:?}", desk.state.said.notice);
        desk.draw();
        desk
    }

    /// Strikes a key and returns how long it took until its frame was there.
    fn strike(&mut self, key: Keystroke) -> Duration {
        let begun = Instant::now();
        let mut waiting: Vec<Message> = std::iter::once(Message::Key(key)).chain(self.told.try_iter()).collect();
        while let Some(message) = waiting.pop() {
            for effect in update(&mut self.state, message) {
                match effect {
                    Effect::Files(effect) => waiting.extend(self.session.perform(effect, &mut self.jobs)),
                    Effect::Sound(_) | Effect::Terminal(_) => {}
                }
            }
        }
        self.draw();
        begun.elapsed()
    }

    fn draw(&mut self) {
        let state = &self.state;
        self.terminal.draw(|frame| draw(state, frame.area(), frame.buffer_mut())).expect("drawn");
    }

    /// Throws away what was changed, so that the next row begins on the same lesson.
    fn forget(mut self) {
        _ = self.session.perform(FileEffect::Discard, &mut self.jobs);
    }
}
