//! A device that nobody hears: it takes samples in time with the clock and throws them away.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::{Duration, Instant};

use super::device::{MakeSource, OutputDevice, OutputError, SampleSource, Stream, StreamState};
use crate::sound::rate::SampleRate;

const RATE: SampleRate = SampleRate::DISC;
/// The interval at which it takes samples.
const EVERY: Duration = Duration::from_millis(10);
/// The most samples that it takes at once, and the most samples that it catches up on after a long sleep of the
/// machine.
const BLOCK: usize = 512;
const CATCHES_UP: u64 = RATE.0 as u64 / 4;

/// Takes samples in time with the clock.
#[derive(Debug, Clone, Copy, Default)]
pub struct Silent;

impl OutputDevice for Silent {
    fn open(&mut self, source: MakeSource) -> Result<Box<dyn Stream>, OutputError> {
        let ends = Arc::new(AtomicBool::new(false));
        let ended = Arc::clone(&ends);
        let take = move || take_by_the_clock(source(RATE), &ended);
        match thread::Builder::new().name("silence".into()).spawn(take) {
            Ok(_) => Ok(Box::new(SilentStream { ends })),
            Err(error) => Err(OutputError::Other(error.to_string())),
        }
    }
}

#[derive(Debug)]
struct SilentStream {
    ends: Arc<AtomicBool>,
}

impl Stream for SilentStream {
    fn rate(&self) -> SampleRate {
        RATE
    }

    fn latency(&self) -> Duration {
        Duration::ZERO
    }

    fn state(&mut self, _: Duration) -> StreamState {
        StreamState::Works
    }

    fn underruns(&self) -> u64 {
        0
    }
}

impl Drop for SilentStream {
    fn drop(&mut self) {
        self.ends.store(true, Ordering::Relaxed);
    }
}

fn take_by_the_clock(mut source: Box<dyn SampleSource>, ended: &AtomicBool) {
    let mut block = [0.0; BLOCK];
    let start = Instant::now();
    let mut taken: u64 = 0;
    while !ended.load(Ordering::Relaxed) {
        let due = (start.elapsed().as_secs_f64() * RATE.per_second()) as u64;
        taken = taken.max(due.saturating_sub(CATCHES_UP));
        while taken < due {
            let length = (due - taken).min(BLOCK as u64);
            source.fill(&mut block[..length as usize]);
            taken += length;
        }
        thread::sleep(EVERY);
    }
}
