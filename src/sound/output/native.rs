//! The sound devices of the machine itself, through CoreAudio, WASAPI or plain ALSA. The Linux sound server is not
//! here; see `pulse`.

use std::convert::Infallible;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError, Sender, SyncSender};
use std::thread;
use std::time::Duration;

use cpal::traits::{DeviceTrait, HostTrait, StreamTrait};
use cpal::{Device, ErrorKind, FromSample, OutputCallbackInfo, SampleFormat, SizedSample, StreamConfig};

use super::device::{DeviceName, MakeSource, OutputDevice, OutputError, SampleSource, Stream, StreamState};
use crate::sound::rate::SampleRate;

/// The longest time that a device may take to open, and to close.
const OPENS: Duration = Duration::from_secs(4);
const CLOSES: Duration = Duration::from_secs(1);
/// A device that takes no samples for this long has stopped; where it has also reported a failure, after this shorter
/// time. Drivers report failures that stop nothing: the next block is taken as if nothing had happened.
const STALLS: Duration = Duration::from_secs(2);
const DOUBTED: Duration = Duration::from_millis(600);
/// A device that took its last sample within this time takes samples.
const TAKES: Duration = Duration::from_millis(50);
/// The number of failures that wait to be looked at. A driver may report thousands in a second, all of one kind.
const FAILURES: usize = 16;
const BLOCK: usize = 256;

/// A device of the machine.
#[derive(Debug, Clone)]
pub struct Native {
    device: Option<String>,
}

impl Native {
    /// Returns the device of this name; without a name, the system's default device.
    pub const fn new(device: Option<String>) -> Self {
        Self { device }
    }

    /// Returns the devices of the machine.
    ///
    /// Errors: the system cannot list them.
    pub fn devices(&self) -> Result<Vec<DeviceName>, OutputError> {
        Ok(all()?.into_iter().map(|(name, _)| name).collect())
    }

    fn open_here(
        &self,
        source: MakeSource,
        too_late: &AtomicBool,
    ) -> Result<(cpal::Stream, OpenedStream), OutputError> {
        let device = self.chosen()?;
        let usual = device.default_output_config().map_err(|error| told(&error))?;
        let config = usual.config();
        let source = source(SampleRate(config.sample_rate));
        match usual.sample_format() {
            SampleFormat::F32 => open::<f32>(&device, config, source, too_late),
            SampleFormat::I16 => open::<i16>(&device, config, source, too_late),
            SampleFormat::U16 => open::<u16>(&device, config, source, too_late),
            SampleFormat::I32 => open::<i32>(&device, config, source, too_late),
            SampleFormat::F64 => open::<f64>(&device, config, source, too_late),
            other => Err(OutputError::Other(format!("it takes samples as {other}"))),
        }
    }

    fn chosen(&self) -> Result<Device, OutputError> {
        let Some(wanted) = &self.device else {
            return cpal::default_host().default_output_device().ok_or(OutputError::NoDevice);
        };
        let devices = all()?;
        let names: Vec<DeviceName> = devices.iter().map(|(name, _)| name.clone()).collect();
        let found = devices.into_iter().find(|(name, _)| name.is_called(wanted)).map(|(_, device)| device);
        found.ok_or_else(|| OutputError::unknown(wanted, &names))
    }
}

fn all() -> Result<Vec<(DeviceName, Device)>, OutputError> {
    let name_of = |device: &Device| {
        let label = device.description().map(|description| description.name().to_owned());
        let name = device.id().map(|id| id.to_string());
        let label = label.or_else(|_| name.clone()).ok()?;
        Some(DeviceName { name: name.unwrap_or_else(|_| label.clone()), label })
    };
    let devices = cpal::default_host().output_devices().map_err(|error| told(&error))?;
    Ok(devices.filter_map(|device| Some((name_of(&device)?, device))).collect())
}

impl OutputDevice for Native {
    /// Opens the device on a thread of its own, which keeps it while it is open. A driver may take long or never
    /// answer, and some devices have to be closed by the thread that opened them.
    fn open(&mut self, source: MakeSource) -> Result<Box<dyn Stream>, OutputError> {
        let native = self.clone();
        let (tell, told) = mpsc::channel();
        let (open, closing) = mpsc::channel::<Infallible>();
        let (closed, end) = mpsc::channel::<Infallible>();
        let given_up = Arc::new(AtomicBool::new(false));
        let too_late = Arc::clone(&given_up);
        let keeper = move || {
            match native.open_here(source, &too_late) {
                Ok((stream, opened)) => {
                    if tell.send(Ok(opened)).is_ok() {
                        // An error means the end: the stream was dropped.
                        let _ = closing.recv();
                    }
                    drop(stream);
                }
                // The receiver is gone where the answer came too late.
                Err(error) => _ = tell.send(Err(error)),
            }
            drop(closed);
        };
        thread::Builder::new().spawn(keeper).map_err(|error| OutputError::Other(error.to_string()))?;
        match told.recv_timeout(OPENS) {
            Ok(Ok(opened)) => Ok(Box::new(NativeStream { opened, doubt: None, open: Some(open), end })),
            Ok(Err(error)) => Err(error),
            Err(RecvTimeoutError::Timeout) => {
                given_up.store(true, Ordering::Relaxed);
                Err(OutputError::Mute)
            }
            Err(RecvTimeoutError::Disconnected) => Err(OutputError::Gone),
        }
    }
}

fn open<T: SizedSample + FromSample<f32>>(
    device: &Device,
    config: StreamConfig,
    mut source: Box<dyn SampleSource>,
    too_late: &AtomicBool,
) -> Result<(cpal::Stream, OpenedStream), OutputError> {
    let (fails, to_us) = mpsc::sync_channel(FAILURES);
    let seen = Arc::new(DeviceSeen::default());
    let (late, dry) = (Arc::clone(&seen), Arc::clone(&seen));
    let channels = usize::from(config.channels).max(1);
    let callback = move |samples: &mut [T], about: &OutputCallbackInfo| {
        late.hear(about);
        fill(source.as_mut(), samples, channels);
    };
    let errors = move |error| heed(&error, &dry, &fails);
    let stream = device.build_output_stream(config, callback, errors, None).map_err(|error| told(&error))?;
    // By now another device plays the order.
    if too_late.load(Ordering::Relaxed) {
        return Err(OutputError::Mute);
    }
    stream.play().map_err(|error| told(&error))?;
    Ok((stream, OpenedStream { rate: SampleRate(config.sample_rate), fails: to_us, seen }))
}

fn fill<T: SizedSample + FromSample<f32>>(source: &mut dyn SampleSource, samples: &mut [T], channels: usize) {
    let mut block = [0.0; BLOCK];
    for frames in samples.chunks_mut(BLOCK * channels) {
        let block = &mut block[..frames.len().div_ceil(channels)];
        source.fill(block);
        for (frame, sample) in frames.chunks_mut(channels).zip(block) {
            frame.fill(T::from_sample(*sample));
        }
    }
}

/// Returns the error that a person should see for an error of the library.
fn told(error: &cpal::Error) -> OutputError {
    match error.kind() {
        ErrorKind::DeviceNotAvailable => OutputError::NoDevice,
        ErrorKind::HostUnavailable => OutputError::NoServer { looked: vec!["the sound system of the machine".into()] },
        _ => OutputError::Other(error.to_string()),
    }
}

/// Handles an error that an open device reports. Some errors stop nothing.
fn heed(error: &cpal::Error, seen: &DeviceSeen, fails: &SyncSender<OutputError>) {
    match error.kind() {
        ErrorKind::Xrun => {
            seen.underruns.fetch_add(1, Ordering::Relaxed);
        }
        ErrorKind::DeviceChanged | ErrorKind::RealtimeDenied => {}
        ErrorKind::DeviceNotAvailable => {
            // The receiver may be gone, or has failures enough.
            let _ = fails.try_send(OutputError::Gone);
        }
        _ => {
            let _ = fails.try_send(told(error));
        }
    }
}

/// The figures that the callbacks write down.
#[derive(Debug, Default)]
struct DeviceSeen {
    microseconds: AtomicU64,
    underruns: AtomicU64,
}

impl DeviceSeen {
    fn hear(&self, about: &OutputCallbackInfo) {
        let times = about.timestamp();
        let late = times.playback.duration_since(times.callback);
        self.microseconds.store(u64::try_from(late.as_micros()).unwrap_or(0), Ordering::Relaxed);
    }
}

/// An open device as seen from outside the thread that keeps it.
#[derive(Debug)]
struct OpenedStream {
    rate: SampleRate,
    fails: Receiver<OutputError>,
    seen: Arc<DeviceSeen>,
}

/// An open device. Dropping it has the device closed and waits a moment for that, since the device may be opened again
/// next.
#[derive(Debug)]
struct NativeStream {
    opened: OpenedStream,
    /// The last failure that may have stopped nothing.
    doubt: Option<OutputError>,
    open: Option<Sender<Infallible>>,
    end: Receiver<Infallible>,
}

impl Drop for NativeStream {
    fn drop(&mut self) {
        self.open = None;
        let _ = self.end.recv_timeout(CLOSES);
    }
}

impl Stream for NativeStream {
    fn rate(&self) -> SampleRate {
        self.opened.rate
    }

    fn latency(&self) -> Duration {
        Duration::from_micros(self.opened.seen.microseconds.load(Ordering::Relaxed))
    }

    fn state(&mut self, waits: Duration) -> StreamState {
        let mut fails_again = false;
        for error in self.opened.fails.try_iter() {
            match error {
                OutputError::Other(_) => (self.doubt, fails_again) = (Some(error), true),
                certain => return StreamState::Fails(certain),
            }
        }
        if waits < TAKES && !fails_again {
            self.doubt = None;
        }
        match &self.doubt {
            Some(error) if waits > DOUBTED => StreamState::Fails(error.clone()),
            None if waits > STALLS => StreamState::Fails(OutputError::Suspended),
            Some(_) | None => StreamState::Works,
        }
    }

    fn underruns(&self) -> u64 {
        self.opened.seen.underruns.load(Ordering::Relaxed)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Returns an open device, and where its driver reports failures.
    fn open() -> (NativeStream, SyncSender<OutputError>) {
        let (fails, to_us) = mpsc::sync_channel(FAILURES);
        let opened = OpenedStream { rate: SampleRate::VIDEO, fails: to_us, seen: Arc::default() };
        let (open, _) = mpsc::channel();
        let (_, end) = mpsc::channel();
        (NativeStream { opened, doubt: None, open: Some(open), end }, fails)
    }

    const NOW: Duration = Duration::ZERO;
    const AFTER: Duration = Duration::from_millis(700);

    fn passing() -> OutputError {
        OutputError::Other("I/O error (5)".into())
    }

    #[test]
    fn a_failure_after_which_samples_are_taken_has_stopped_nothing() {
        let (mut stream, fails) = open();
        fails.send(passing()).unwrap();
        assert_eq!(stream.state(NOW), StreamState::Works);
        assert_eq!(stream.state(NOW), StreamState::Works);
        // It is forgotten: a later pause is a pause.
        assert_eq!(stream.state(AFTER), StreamState::Works);
        assert_eq!(stream.state(STALLS * 2), StreamState::Fails(OutputError::Suspended));
    }

    #[test]
    fn a_failure_after_which_no_sample_is_taken_is_the_reason() {
        let (mut stream, fails) = open();
        fails.send(passing()).unwrap();
        assert_eq!(stream.state(NOW), StreamState::Works);
        assert_eq!(stream.state(Duration::from_millis(100)), StreamState::Works);
        assert_eq!(stream.state(AFTER), StreamState::Fails(passing()));
    }

    #[test]
    fn a_device_that_is_gone_is_gone_at_once() {
        let (mut stream, fails) = open();
        fails.send(passing()).unwrap();
        fails.send(OutputError::Gone).unwrap();
        assert_eq!(stream.state(NOW), StreamState::Fails(OutputError::Gone));
    }
}
