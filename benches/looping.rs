//! How often sound comes too late while the workbench itself plays a loop: the program in a pseudo-terminal on the full
//! desk, an overdriven passage round and round, with lit fingers that follow it, and a key five times a second. What is
//! too late is counted by the sound server, in its log.
//!
//! `.ci/sound bench MINUTES` starts the server that it needs.

#[path = "shared/full_desk.rs"]
mod full_desk;
#[path = "shared/running.rs"]
mod running;
mod shared;

use std::fs;
use std::time::{Duration, Instant};

use fingerpost::store::folders::Folders;
use fingerpost::store::settings::Settings;

use crate::running::Run;

/// Where the server writes down what it does.
const LOG: &str = "FINGERPOST_SOUND_LOG";

/// What the server writes when samples come again after it had none.
const CAME_LATE: &str = "due to end of underrun";

/// How often a key is struck.
const KEYS: Duration = Duration::from_millis(200);

fn main() {
    let minutes: f64 = std::env::args().skip(1).find_map(|word| word.parse().ok()).unwrap_or(0.1);
    let Some(log) = std::env::var_os(LOG) else { return println!("{LOG} names no log of a sound server") };
    let late = || String::from_utf8_lossy(&fs::read(&log).unwrap_or_default()).matches(CAME_LATE).count();
    let folder = tempfile::tempdir().expect("a folder");
    let path = full_desk::furnish(folder.path());
    Settings::update(&Folders::under(folder.path()), |settings| settings.listening.sound = "overdriven".to_owned())
        .expect("saved");
    let mut run = Run::start(folder.path(), &path);
    run.first_frame();
    run.settle();
    // The whole passage, loop.
    for key in ["P", "@", "\x1b[17~"] {
        run.strike(key);
    }
    let before = late();
    let (begun, worked) = (Instant::now(), run.work());
    let (mut keys, mut frames, mut next) = (0, 0, Duration::ZERO);
    while begun.elapsed().as_secs_f64() < minutes * 60.0 {
        run.send(if keys % 20 < 10 { "\x1b[C" } else { "\x1b[D" });
        keys += 1;
        next += KEYS;
        while begun.elapsed() < next {
            frames += usize::from(run.comes(next.saturating_sub(begun.elapsed())));
        }
    }
    println!("{minutes} minutes of a loop in the workbench, {keys} keys, {frames} pieces of frames drawn");
    println!("samples that came too late, by the server's log: {}", late() - before);
    if let (Some((worked, _)), Some((before, _))) = (run.work(), worked) {
        let share = (worked - before) as f64 / begun.elapsed().as_nanos() as f64 * 100.0;
        println!("its threads worked {share:.1} % of one core");
    }
    println!("its last line:{}", run.last_line());
    run.end();
}
