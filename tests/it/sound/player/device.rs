//! A device for tests: it takes samples when it is told to, refuses and dies when it is told to, and has no clock.

use std::sync::mpsc::{self, Receiver, Sender};
use std::sync::{Arc, Mutex, MutexGuard};
use std::time::Duration;

use assert_no_alloc::{assert_no_alloc, violation_count};
use fingerpost::sound::output::{MakeSource, OutputDevice, OutputError, SampleSource, Stream, StreamState};
use fingerpost::sound::rate::SampleRate;

use super::DISC;

/// The test's end of the device, and the device itself.
#[derive(Clone, Default)]
pub struct Device(Arc<Mutex<State>>);

#[derive(Default)]
struct State {
    source: Option<Box<dyn SampleSource>>,
    opened: usize,
    latency: Duration,
    refuses: Option<OutputError>,
    fails: Option<OutputError>,
    underruns: u64,
    tight: bool,
}

struct Opened {
    device: Device,
    number: usize,
}

impl std::fmt::Debug for Device {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str("Device")
    }
}

impl std::fmt::Debug for Opened {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str("Opened")
    }
}

impl Device {
    fn state(&self) -> MutexGuard<'_, State> {
        self.0.lock().unwrap()
    }

    /// A device that is late.
    pub fn late_by(latency: Duration) -> Self {
        let device = Self::default();
        device.state().latency = latency;
        device
    }

    /// Takes so many samples, as a callback does; none are taken while it is not open. Memory is neither asked for nor
    /// given back on the way.
    #[track_caller]
    pub fn take(&self, samples: usize) -> Vec<f32> {
        let mut taken = vec![0.0; samples];
        let before = violation_count();
        match &mut self.state().source {
            Some(source) => assert_no_alloc(|| source.fill(&mut taken)),
            None => taken.clear(),
        }
        assert_eq!(violation_count(), before, "memory was asked for or given back in the callback");
        taken
    }

    /// Refuses to be opened, or no longer does.
    pub fn refuse(&self, error: Option<OutputError>) {
        self.state().refuses = error;
    }

    /// Fails as it plays, or no longer does: as when a server is killed, the source is dropped at once.
    pub fn fail(&self, error: Option<OutputError>) {
        let mut state = self.state();
        state.source = None;
        state.fails = error;
    }

    /// Ought to be opened anew.
    pub fn be_tight(&self) {
        self.state().tight = true;
    }

    /// Was late so often.
    pub fn run_dry(&self, times: u64) {
        self.state().underruns = times;
    }

    /// How often it was opened.
    pub fn opened(&self) -> usize {
        self.state().opened
    }

    /// Whether it is open.
    pub fn is_open(&self) -> bool {
        self.state().source.is_some()
    }
}

impl OutputDevice for Device {
    fn open(&mut self, source: MakeSource) -> Result<Box<dyn Stream>, OutputError> {
        let mut state = self.state();
        if let Some(error) = &state.refuses {
            return Err(error.clone());
        }
        state.opened += 1;
        state.fails = None;
        state.source = Some(source(DISC));
        Ok(Box::new(Opened { device: self.clone(), number: state.opened }))
    }
}

impl Stream for Opened {
    fn rate(&self) -> SampleRate {
        DISC
    }

    fn latency(&self) -> Duration {
        self.device.state().latency
    }

    fn state(&mut self, _: Duration) -> StreamState {
        let mut state = self.device.state();
        match state.fails.clone() {
            Some(error) => StreamState::Fails(error),
            None if std::mem::take(&mut state.tight) => StreamState::RunsDry,
            None => StreamState::Works,
        }
    }

    fn underruns(&self) -> u64 {
        self.device.state().underruns
    }
}

impl Drop for Opened {
    fn drop(&mut self) {
        let mut state = self.device.state();
        if state.opened == self.number {
            state.source = None;
        }
    }
}

/// A device that hangs as it is opened, until the other end is dropped.
#[derive(Debug)]
pub struct Stuck(Receiver<()>);

impl Stuck {
    /// The device, and what releases it.
    pub fn new() -> (Self, Sender<()>) {
        let (release, stuck) = mpsc::channel();
        (Self(stuck), release)
    }
}

impl OutputDevice for Stuck {
    fn open(&mut self, _: MakeSource) -> Result<Box<dyn Stream>, OutputError> {
        // It ends when the sender goes.
        let _ = self.0.recv();
        Err(OutputError::Silence)
    }
}
