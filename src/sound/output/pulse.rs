//! The sound server of most Linux desktops, through the native protocol of PulseAudio and PipeWire. Finding its socket
//! is not done here; see `socket`.
//!
//! No call of the client library has a time-out, and a stopped server answers none. Each call is therefore made on a
//! thread that may hang, and its answer is waited for only for a limited time. The library asks for samples under a
//! lock of its own, so the callback only makes samples.
//!
//! Opening is given up after four seconds and a single answer at the start after 1.5 seconds. A server that says
//! nothing for a second while it takes no samples counts as lost. A stream begins with 25 ms in advance, so that the
//! cursor agrees with the ear and a stop is immediate. Where samples come too late, it is opened again with twice as
//! much, up to 200 ms, and later streams begin with that. Where there is no sound card, servers offer a device that
//! throws everything away (`auto_null`). Playing on it would look like sound, so it is reported as no device.

use std::ffi::CString;
use std::io;
use std::os::unix::net::UnixStream;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicU32, Ordering};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError, Sender, TryRecvError};
use std::thread;
use std::time::{Duration, Instant};

use futures::executor::block_on;
use pulseaudio::protocol::stream::{BufferAttr, StreamFlags};
use pulseaudio::protocol::{
    ChannelMap, PlaybackLatency, PlaybackStreamParams, ProtocolError, PulseError, SampleFormat, SampleSpec, SinkInfo,
};
use pulseaudio::{AsPlaybackSource, Client, ClientError, PlaybackStream};

pub mod socket;

use socket::Surroundings;

use super::device::{DeviceName, MakeSource, OutputDevice, OutputError, SampleSource, Stream, StreamState};
use crate::lesson::seconds::Seconds;
use crate::sound::rate::SampleRate;

/// The longest time that a single answer may take, and that opening as a whole may take.
const ANSWERS: Duration = Duration::from_millis(1500);
const OPENS: Duration = Duration::from_secs(4);
/// The amount of sound in advance, its limit, and the amount asked for at once, in milliseconds. Where the amount is
/// too small because the machine is busy, it is doubled up to the limit.
const AHEAD: u32 = 25;
const MOST_AHEAD: u32 = 200;
const AT_ONCE: u32 = 6;
/// The server is asked about a device that takes no samples for this long. About every other device it is asked for the
/// latency, at the second of these intervals.
const STALLS: Duration = Duration::from_millis(500);
const ASKS: Duration = Duration::from_secs(1);
/// A device that reports that it does not play may still have two seconds of silence from before the stream began;
/// after this time it counts as suspended.
const SUSPENDED: Duration = Duration::from_millis(2500);
/// The longest time that the server may take to answer about a device.
const SAYS: Duration = Duration::from_secs(1);

/// The length of the native protocol's cookie, in bytes (the servers' constant `NATIVE_COOKIE_LENGTH`).
const COOKIE: usize = 256;
/// A stream has run dry if it has played for less than this share of the time since the server was last asked.
const PLAYED: f64 = 0.8;
/// The bytes of a frame: two channels of 32-bit samples.
const FRAME: usize = 8;
const BLOCK: usize = 256;
/// The device that servers provide where there is no real one.
const MADE_UP: &str = "auto_null";

/// A device of a sound server.
#[derive(Debug, Clone)]
pub struct Pulse {
    sockets: Option<Vec<PathBuf>>,
    device: Option<String>,
    ahead: Arc<AtomicU32>,
}

impl Pulse {
    /// Returns the device of this name on the server of this session; without a name, the server's default device.
    pub fn new(device: Option<String>) -> Self {
        Self { sockets: None, device, ahead: Arc::new(AtomicU32::new(AHEAD)) }
    }

    /// Returns a device of the server behind a socket.
    pub fn at(socket: PathBuf, device: Option<String>) -> Self {
        Self { sockets: Some(vec![socket]), ..Self::new(device) }
    }

    /// Returns the devices of the server.
    ///
    /// Errors: there is no server, or it does not answer in time.
    pub fn devices(&self) -> Result<Vec<DeviceName>, OutputError> {
        let sockets = self.sockets();
        in_time(OPENS, move || {
            let client = connect(sockets)?;
            Ok(sinks(&client)?.iter().map(name_of).collect())
        })
    }

    fn sockets(&self) -> Vec<PathBuf> {
        // The sockets are looked up each time, because a server may have started since.
        self.sockets.clone().unwrap_or_else(|| Surroundings::here().sockets())
    }
}

impl OutputDevice for Pulse {
    fn open(&mut self, source: MakeSource) -> Result<Box<dyn Stream>, OutputError> {
        let (sockets, device) = (self.sockets(), self.device.clone());
        let (gone, to_us) = mpsc::channel();
        let ahead = self.ahead.load(Ordering::Relaxed);
        let opening = move || {
            let client = connect(sockets)?;
            let sink = chosen(&client, device)?;
            let stream = create(&client, sink.as_ref(), ahead, source, gone)?;
            Ok(PlayedStream { client, sink: sink.map(|sink| sink.index), stream })
        };
        Ok(Box::new(PulseStream::new(in_time(OPENS, opening)?, to_us, Arc::clone(&self.ahead))?))
    }
}

/// Does some work on a thread of its own and waits for it up to the longest time. Errors: those of the work, or it took
/// too long.
fn in_time<T: Send + 'static>(
    longest: Duration,
    work: impl FnOnce() -> Result<T, OutputError> + Send + 'static,
) -> Result<T, OutputError> {
    let (done, to_us) = mpsc::channel();
    let work = move || {
        // The receiver may be gone.
        let _ = done.send(work());
    };
    spawn("sound server", work)?;
    match to_us.recv_timeout(longest) {
        Ok(result) => result,
        Err(RecvTimeoutError::Timeout) => Err(OutputError::Silence),
        Err(RecvTimeoutError::Disconnected) => Err(OutputError::Nonsense),
    }
}

fn spawn(name: &str, work: impl FnOnce() + Send + 'static) -> Result<(), OutputError> {
    let thread = thread::Builder::new().name(name.into()).spawn(work);
    thread.map(drop).map_err(|error| OutputError::Other(error.to_string()))
}

/// Connects to the first server that accepts the connection. Errors: no server does.
fn connect(sockets: Vec<PathBuf>) -> Result<Client, OutputError> {
    let mut worst = OutputError::NoServer { looked: sockets.iter().map(|path| path.display().to_string()).collect() };
    for path in sockets {
        let Ok(socket) = UnixStream::connect(path) else { continue };
        match greet(socket) {
            Ok(client) => return Ok(client),
            Err(error) => worst = told(error),
        }
    }
    Err(worst)
}

fn greet(socket: UnixStream) -> Result<Client, ClientError> {
    socket.set_read_timeout(Some(ANSWERS))?;
    socket.set_write_timeout(Some(ANSWERS))?;
    let kept = pulseaudio::cookie_path_from_env().and_then(|path| std::fs::read(path).ok());
    Client::new_unix(c"fingerpost", socket, Some(cookie(kept)))
}

/// Returns the cookie for the server: the one in the user's file, or as many zeros. A server that knows the user by the
/// socket checks only the length, and PipeWire's refuses any other length.
fn cookie(kept: Option<Vec<u8>>) -> Vec<u8> {
    kept.filter(|kept| kept.len() == COOKIE).unwrap_or_else(|| vec![0; COOKIE])
}

/// Returns the chosen device; `None` leaves the choice to the server. Errors: there is no such device.
fn chosen(client: &Client, device: Option<String>) -> Result<Option<SinkInfo>, OutputError> {
    let Some(device) = device else {
        // A failure to find out the default device is no reason not to play.
        let usual = block_on(client.server_info()).ok().and_then(|server| server.default_sink_name);
        return match usual {
            Some(name) if name.to_bytes() == MADE_UP.as_bytes() => Err(OutputError::NoDevice),
            Some(name) => Ok(sinks(client).ok().and_then(|sinks| sinks.into_iter().find(|sink| sink.name == name))),
            None => Ok(None),
        };
    };
    let sinks = sinks(client)?;
    let names: Vec<DeviceName> = sinks.iter().map(name_of).collect();
    match names.iter().position(|name| name.is_called(&device)) {
        Some(place) => Ok(sinks.into_iter().nth(place)),
        None => Err(OutputError::unknown(&device, &names)),
    }
}

/// Returns the devices of a server without the one that it provides in place of a real one.
fn sinks(client: &Client) -> Result<Vec<SinkInfo>, OutputError> {
    let mut sinks = block_on(client.list_sinks()).map_err(told)?;
    sinks.retain(|sink| sink.name.to_bytes() != MADE_UP.as_bytes());
    Ok(sinks)
}

fn name_of(sink: &SinkInfo) -> DeviceName {
    let name = sink.name.to_string_lossy().into_owned();
    let label = sink.description.as_ref().map(|label| label.to_string_lossy().into_owned());
    DeviceName { label: label.unwrap_or_else(|| name.clone()), name }
}

fn create(
    client: &Client,
    sink: Option<&SinkInfo>,
    ahead: u32,
    source: MakeSource,
    gone: Sender<()>,
) -> Result<PlaybackStream, OutputError> {
    // The device's own rate is used where it is a usual one, so that nothing has to be converted.
    let rate = sink.map_or(SampleRate::VIDEO, |sink| SampleRate(sink.sample_spec.sample_rate));
    let rate = if rate == SampleRate::DISC { rate } else { SampleRate::VIDEO };
    let bytes = |milliseconds: u32| rate.0 * milliseconds / 1000 * FRAME as u32;
    let params = PlaybackStreamParams {
        sample_spec: SampleSpec { format: SampleFormat::Float32Le, channels: 2, sample_rate: rate.0 },
        channel_map: ChannelMap::stereo(),
        sink_name: sink.map(|sink| CString::from(sink.name.as_c_str())),
        // By default a server takes two seconds of sound in advance.
        buffer_attr: BufferAttr {
            max_length: u32::MAX,
            target_length: bytes(ahead),
            pre_buffering: u32::MAX,
            minimum_request_length: bytes(AT_ONCE),
            fragment_size: u32::MAX,
        },
        flags: StreamFlags { adjust_latency: true, ..StreamFlags::default() },
        ..PlaybackStreamParams::default()
    };
    let (mut source, guard) = (source(rate), DropReport(gone));
    let callback = move |bytes: &mut [u8]| {
        // The guard belongs to the callback, so that it is dropped together with the callback.
        let _guard = &guard;
        fill(source.as_mut(), bytes)
    };
    block_on(client.create_playback_stream(params, callback.as_playback_source())).map_err(told)
}

/// Reports that it was dropped. The library drops a callback when the connection to its server ends, and reports that
/// in no other way.
struct DropReport(Sender<()>);

impl Drop for DropReport {
    fn drop(&mut self) {
        let _ = self.0.send(());
    }
}

/// Fills a buffer of stereo frames and returns how many bytes it has filled. That is never zero, which would end the
/// stream.
fn fill(source: &mut dyn SampleSource, bytes: &mut [u8]) -> usize {
    let mut block = [0.0; BLOCK];
    let whole = bytes.len() / FRAME * FRAME;
    if whole == 0 {
        bytes.fill(0);
        return bytes.len();
    }
    for frames in bytes[..whole].chunks_mut(BLOCK * FRAME) {
        let block = &mut block[..frames.len() / FRAME];
        source.fill(block);
        for (frame, sample) in frames.chunks_exact_mut(FRAME).zip(block) {
            let sample = sample.to_le_bytes();
            frame[..4].copy_from_slice(&sample);
            frame[4..].copy_from_slice(&sample);
        }
    }
    whole
}

/// Returns the error that a person should see for an error of the library.
fn told(error: ClientError) -> OutputError {
    match error {
        ClientError::Disconnected => OutputError::Gone,
        ClientError::ServerError(PulseError::NoEntity) => OutputError::NoDevice,
        ClientError::Io(error) | ClientError::Protocol(ProtocolError::Io(error)) => match error.kind() {
            io::ErrorKind::WouldBlock | io::ErrorKind::TimedOut => OutputError::Silence,
            io::ErrorKind::UnexpectedEof | io::ErrorKind::ConnectionReset | io::ErrorKind::BrokenPipe => {
                OutputError::HungUp
            }
            _ => OutputError::Other(error.to_string()),
        },
        ClientError::ServerError(error) | ClientError::Protocol(ProtocolError::ServerError(error)) => {
            OutputError::Other(error.to_string())
        }
        ClientError::Protocol(_) | ClientError::UnexpectedSequenceNumber => OutputError::Nonsense,
        ClientError::ServerUnavailable => OutputError::NoServer { looked: Vec::new() },
    }
}

/// An opened stream, its server, and the number of its device where that is known.
struct PlayedStream {
    client: Client,
    sink: Option<u32>,
    stream: PlaybackStream,
}

impl PlayedStream {
    /// Asks the server about the stream.
    fn ask(&self) -> StreamAnswer {
        let timing = match block_on(self.stream.timing_info()) {
            Ok(timing) => timing,
            Err(_) => return StreamAnswer::Gone,
        };
        // Some servers let a stream go on unheard after its device was unplugged.
        let sink = self.sink.map(|sink| block_on(self.client.sink_info(sink)));
        match sink {
            Some(Err(ClientError::ServerError(PulseError::NoEntity))) => StreamAnswer::Moved,
            _ => StreamAnswer::Timing(timing),
        }
    }
}

/// The answer of the server about a stream.
#[derive(Debug)]
enum StreamAnswer {
    Timing(PlaybackLatency),
    /// The device on which it was opened no longer exists.
    Moved,
    /// The server no longer answers.
    Gone,
}

/// A stream, and the channels to a thread that asks the server about it.
#[derive(Debug)]
struct PulseStream {
    stream: PlaybackStream,
    gone: Receiver<()>,
    ask: Sender<()>,
    answers: Receiver<StreamAnswer>,
    /// The moment when the server was last asked, and whether its answer is still to come.
    asked: Instant,
    pending: bool,
    /// The moment of the last answer, and the seconds that had been played since the stream last ran dry.
    played: Option<(Instant, f64)>,
    latency: Duration,
    underruns: u64,
    /// The milliseconds of sound that the next stream has in advance.
    ahead: Arc<AtomicU32>,
}

impl PulseStream {
    fn new(played: PlayedStream, gone: Receiver<()>, ahead: Arc<AtomicU32>) -> Result<Self, OutputError> {
        let (ask, asked) = mpsc::channel::<()>();
        let (answer, answers) = mpsc::channel();
        let stream = played.stream.clone();
        let asks = move || {
            while asked.recv().is_ok() && answer.send(played.ask()).is_ok() {}
        };
        spawn("sound server", asks)?;
        let rate = SampleRate(stream.sample_spec().sample_rate);
        let latency = Duration::from_secs_f64(seconds(u64::from(stream.buffer_attr().target_length), rate).0);
        let asked = Instant::now();
        Ok(Self { stream, gone, ask, answers, asked, pending: false, played: None, latency, underruns: 0, ahead })
    }

    /// Evaluates the server's answer. Returns whether samples came too late since the last one.
    fn hear(&mut self, timing: &PlaybackLatency) -> bool {
        let rate = self.rate();
        let waiting = u64::try_from(timing.write_offset - timing.read_offset).unwrap_or(0);
        // The buffer was full when it was last filled; the sound that the device holds is added to that.
        let full = u64::from(self.stream.buffer_attr().target_length);
        let latency = seconds(waiting.max(full), rate).0 + timing.sink_usec as f64 / 1e6;
        let latency = Duration::from_secs_f64(latency.min(10.0));
        // The device's share rises and falls with each block that it plays, so a mean is kept.
        self.latency = if self.played.is_none() { latency } else { (3 * self.latency + latency) / 4 };
        let (now, played) = (Instant::now(), seconds(timing.playing_for, rate).0);
        let ran_dry = self.played.is_some_and(|(then, before)| played < before + PLAYED * (now - then).as_secs_f64());
        self.underruns += u64::from(ran_dry);
        self.played = Some((now, played));
        ran_dry
    }
}

impl Stream for PulseStream {
    fn rate(&self) -> SampleRate {
        SampleRate(self.stream.sample_spec().sample_rate)
    }

    fn latency(&self) -> Duration {
        self.latency
    }

    fn state(&mut self, waits: Duration) -> StreamState {
        if !matches!(self.gone.try_recv(), Err(TryRecvError::Empty)) {
            return StreamState::Fails(OutputError::Gone);
        }
        match self.answers.try_recv() {
            Ok(StreamAnswer::Moved) => return StreamState::Moved,
            Ok(StreamAnswer::Timing(timing)) => {
                self.pending = false;
                let ran_dry = self.hear(&timing);
                if waits > SUSPENDED && !timing.playing {
                    return StreamState::Fails(OutputError::Suspended);
                }
                let ahead = self.ahead.load(Ordering::Relaxed);
                if ran_dry && ahead < MOST_AHEAD {
                    self.ahead.store((2 * ahead).min(MOST_AHEAD), Ordering::Relaxed);
                    return StreamState::RunsDry;
                }
            }
            Ok(StreamAnswer::Gone) | Err(TryRecvError::Disconnected) => return StreamState::Fails(OutputError::Gone),
            Err(TryRecvError::Empty) if self.pending && self.asked.elapsed() > SAYS => {
                return StreamState::Fails(OutputError::Silence);
            }
            Err(TryRecvError::Empty) => {}
        }
        if !self.pending && (waits > STALLS || self.asked.elapsed() > ASKS) {
            self.pending = self.ask.send(()).is_ok();
            self.asked = Instant::now();
        }
        StreamState::Works
    }

    fn underruns(&self) -> u64 {
        self.underruns
    }
}

/// Returns the duration of `bytes` of samples.
fn seconds(bytes: u64, rate: SampleRate) -> Seconds {
    Seconds(bytes as f64 / FRAME as f64 / rate.per_second())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_server_is_shown_a_cookie_of_the_length_it_asks_for() {
        assert_eq!(cookie(Some(vec![7; 256])), vec![7; 256]);
        for kept in [None, Some(vec![]), Some(vec![7; 255]), Some(vec![7; 4096])] {
            assert_eq!(cookie(kept), vec![0; 256]);
        }
    }
}
