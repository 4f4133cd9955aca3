//! How long it takes from a key to the first sample that the sound server gets, and how often samples come too late
//! while a loop plays. It needs the sound server of the session (`.ci/sound bench` starts one that nobody hears):
//!
//! `cargo bench --bench player`, or for ten minutes of the loop `cargo bench --bench player -- 10`.

#[path = "shared/plain_note.rs"]
mod plain_note;

use std::iter;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::thread::sleep;
use std::time::{Duration, Instant};

use fingerpost::lesson::seconds::Seconds;
use fingerpost::sound::output::{DeviceChoice, MakeSource, OutputDevice, OutputError, SampleSource, Stream, output_of};
use fingerpost::sound::player::{PlayOrder, Player};
use fingerpost::sound::rendition::Rendition;
use fingerpost::sound::score::{OpenString, Score};
use fingerpost::sound::sounds::sound_named;
use fingerpost::theory::pitch::{FinePitch, Hertz};

use crate::plain_note::plain_note;

/// A device that looks at what it gets.
#[derive(Debug)]
struct Probe {
    output: Box<dyn OutputDevice>,
    seen: Arc<Seen>,
}

/// When samples came, in nanoseconds since the start: 0 is never.
#[derive(Debug)]
struct Seen {
    start: Instant,
    first: AtomicU64,
    longest: AtomicU64,
    most: AtomicU64,
}

struct Probing {
    source: Box<dyn SampleSource>,
    seen: Arc<Seen>,
    last: Option<u64>,
}

impl OutputDevice for Probe {
    fn open(&mut self, source: MakeSource) -> Result<Box<dyn Stream>, OutputError> {
        let seen = Arc::clone(&self.seen);
        self.output.open(Box::new(|rate| Box::new(Probing { source: source(rate), seen, last: None })))
    }
}

impl SampleSource for Probing {
    fn fill(&mut self, out: &mut [f32]) {
        let before = self.seen.now();
        self.source.fill(out);
        let now = self.seen.now();
        if out.iter().any(|sample| *sample != 0.0) {
            let _ = self.seen.first.compare_exchange(0, now, Ordering::Relaxed, Ordering::Relaxed);
        }
        if let Some(last) = self.last.replace(now) {
            self.seen.longest.fetch_max(before - last, Ordering::Relaxed);
        }
        self.seen.most.fetch_max(now - before, Ordering::Relaxed);
    }
}

impl Seen {
    fn now(&self) -> u64 {
        self.start.elapsed().as_nanos() as u64
    }
}

/// Six strings, strummed four times in two seconds.
fn strums(sound: &str) -> PlayOrder {
    let open = [64.0, 59.0, 55.0, 50.0, 45.0, 40.0];
    let strum = |beat: usize| {
        open.iter().enumerate().map(move |(string, pitch)| {
            plain_note(string, beat as f64 * 0.5 + string as f64 * 0.01, f64::INFINITY, *pitch)
        })
    };
    PlayOrder {
        music: Arc::new(Rendition {
            score: Arc::new(Score {
                strings: open.map(|pitch| OpenString { pitch: FinePitch(pitch) }).into(),
                notes: (0..4).flat_map(strum).collect(),
                end: Seconds(2.0),
                ..Score::default()
            }),
            sound: sound_named(sound).expect("a sound"),
            reference: Hertz::STANDARD_PITCH,
        }),
        from: Seconds::ZERO,
        span: None,
    }
}

/// Presses the key and waits for the first sample.
fn key_to_sample(player: &mut Player, seen: &Seen, sound: &str) -> Option<f64> {
    let order = strums(sound);
    seen.first.store(0, Ordering::Relaxed);
    let key = seen.now();
    player.play(order);
    while seen.first.load(Ordering::Relaxed) == 0 {
        if seen.now() - key > 5_000_000_000 {
            return None;
        }
        std::thread::yield_now();
    }
    Some((seen.first.load(Ordering::Relaxed) - key) as f64 / 1e6)
}

fn report(what: &str, mut times: Vec<f64>) {
    times.sort_by(f64::total_cmp);
    let (Some(least), Some(most)) = (times.first(), times.last()) else { return };
    println!("{what}: median {:.1} ms, {least:.1} to {most:.1} ms", times[times.len() / 2]);
}

fn main() {
    let minutes: f64 = std::env::args().skip(1).find_map(|word| word.parse().ok()).unwrap_or(0.1);
    let zero = || AtomicU64::new(0);
    let seen = Arc::new(Seen { start: Instant::now(), first: zero(), longest: zero(), most: zero() });
    let player = || {
        let probe = Probe { output: output_of(DeviceChoice::Usual), seen: Arc::clone(&seen) };
        Player::on(Box::new(probe), output_of(DeviceChoice::Silent))
    };
    let mut warm = player();
    for sound in ["steel", "overdriven"] {
        let closed = || {
            // The player before is gone, but its last samples may still be asked for.
            sleep(Duration::from_millis(300));
            key_to_sample(&mut player(), &seen, sound)
        };
        report(
            &format!("{sound}, key to first sample, device closed"),
            iter::repeat_with(closed).take(25).flatten().collect(),
        );
        key_to_sample(&mut warm, &seen, sound);
        let open = || {
            warm.stop();
            sleep(Duration::from_millis(200));
            key_to_sample(&mut warm, &seen, sound)
        };
        report(
            &format!("{sound}, key to first sample, device open"),
            iter::repeat_with(open).take(25).flatten().collect(),
        );
    }
    if let Some(notice) = warm.take_notice() {
        return println!("{notice}");
    }
    let before = warm.underruns();
    warm.play(PlayOrder { span: Some((Seconds(0.0), Seconds(2.0))), ..strums("overdriven") });
    sleep(Duration::from_secs_f64(minutes * 60.0));
    let late = warm.underruns() - before;
    let [longest, most] = [&seen.longest, &seen.most].map(|time| time.load(Ordering::Relaxed) as f64 / 1e6);
    println!(
        "{minutes} minutes of a loop: {late} underruns; at most {longest:.1} ms between blocks, {most:.1} ms in one"
    );
    println!("it plays at second {:?}; notice: {:?}", warm.heard(), warm.take_notice());
}
