//! The sound server of most Linux desktops, by the native protocol that PulseAudio and PipeWire speak.
//!
//! No call of the client library has a time-out, and a server that is stopped answers none. So each is made on a thread
//! that may hang, and its answer is waited for as long as is decent. The library calls for samples under a lock of its
//! own: in there nothing is done but making them.
//!
//! Opening is given up after four seconds, a single answer at the start after 1.5, and a server that says nothing
//! for a second while it takes no samples is taken for lost. A stream begins with 25 ms in advance, so that the
//! cursor and the ear agree and a stop is a stop; where samples come too late it is opened anew with twice as much,
//! up to 200 ms, and the next ones begin with that. Where there is no sound card, servers offer a device that
//! throws everything away (`auto_null`): to play on it would look like sound, so it is reported as no device.

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
/// How much is on its way to the ear, and how much is asked for at once, in milliseconds. Where that is too little because
/// the machine has much else to do, it is twice as much from then on, up to a limit.
const AHEAD: u32 = 25;
const MOST_AHEAD: u32 = 200;
const AT_ONCE: u32 = 6;
/// A device that takes nothing for so long is asked how it is; else it is asked so often how late it is.
const STALLS: Duration = Duration::from_millis(500);
const ASKS: Duration = Duration::from_secs(1);
/// One that says it does not play may still have two seconds of silence from before we came; after this long it is suspended.
const SUSPENDED: Duration = Duration::from_millis(2500);
/// The longest time that it may take to say so.
const SAYS: Duration = Duration::from_secs(1);

/// The length of the native protocol's cookie, in bytes: the servers' common `NATIVE_COOKIE_LENGTH`.
const COOKIE: usize = 256;
/// A stream that has played less than this much of the time since it was asked last has run dry.
const PLAYED: f64 = 0.8;
/// Two channels of 32-bit samples.
const FRAME: usize = 8;
const BLOCK: usize = 256;
/// The device that servers make up where there is none.
const MADE_UP: &str = "auto_null";

/// A sound server.
#[derive(Debug, Clone)]
pub struct Pulse {
    sockets: Option<Vec<PathBuf>>,
    device: Option<String>,
    ahead: Arc<AtomicU32>,
}

impl Pulse {
    /// Names the device to open on the server of this session; without a name it is the one that everything uses.
    pub fn new(device: Option<String>) -> Self {
        Self { sockets: None, device, ahead: Arc::new(AtomicU32::new(AHEAD)) }
    }

    /// Names a device of the server behind a socket.
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
        // Looked up each time: a server may have come up since.
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

/// Does something on a thread of its own, and waits for it as long as it may take.
fn in_time<T: Send + 'static>(
    longest: Duration,
    work: impl FnOnce() -> Result<T, OutputError> + Send + 'static,
) -> Result<T, OutputError> {
    let (done, to_us) = mpsc::channel();
    let work = move || {
        // Nobody may be waiting any more.
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

/// Connects to the first server that takes us.
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

/// Returns what to show the server: what is kept, or as many noughts. A server that knows us by our user looks no further
/// than the length, but PipeWire's refuses any other.
fn cookie(kept: Option<Vec<u8>>) -> Vec<u8> {
    kept.filter(|kept| kept.len() == COOKIE).unwrap_or_else(|| vec![0; COOKIE])
}

/// Returns the device that is wanted; `None` leaves it to the server.
fn chosen(client: &Client, device: Option<String>) -> Result<Option<SinkInfo>, OutputError> {
    let Some(device) = device else {
        // What we cannot find out here is no reason not to play.
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

/// Returns the devices of a server, without the one that it makes up.
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
    // The rate of the device, where that is a usual one: then nobody has to convert.
    let rate = sink.map_or(SampleRate::VIDEO, |sink| SampleRate(sink.sample_spec.sample_rate));
    let rate = if rate == SampleRate::DISC { rate } else { SampleRate::VIDEO };
    let bytes = |milliseconds: u32| rate.0 * milliseconds / 1000 * FRAME as u32;
    let params = PlaybackStreamParams {
        sample_spec: SampleSpec { format: SampleFormat::Float32Le, channels: 2, sample_rate: rate.0 },
        channel_map: ChannelMap::stereo(),
        sink_name: sink.map(|sink| CString::from(sink.name.as_c_str())),
        // Left to itself, a server takes two seconds of sound in advance.
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
    let (mut source, guard) = (source(rate), Gone(gone));
    let callback = move |bytes: &mut [u8]| {
        // The guard is part of the callback, so that it goes when the callback goes.
        let _guard = &guard;
        fill(source.as_mut(), bytes)
    };
    block_on(client.create_playback_stream(params, callback.as_playback_source())).map_err(told)
}

/// Says when it is dropped: the library drops a callback when the link to its server dies, and says nothing else.
struct Gone(Sender<()>);

impl Drop for Gone {
    fn drop(&mut self) {
        let _ = self.0.send(());
    }
}

/// Fills a buffer of stereo frames. Returns how many bytes it has filled: never none, for that would end the stream.
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

/// Returns what an error of the library means to whoever wants to hear something.
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

/// A stream that was opened, its server, and the number of its device where we know it.
struct PlayedStream {
    client: Client,
    sink: Option<u32>,
    stream: PlaybackStream,
}

impl PlayedStream {
    /// Asks the server how the stream is.
    fn ask(&self) -> StreamAnswer {
        let timing = match block_on(self.stream.timing_info()) {
            Ok(timing) => timing,
            Err(_) => return StreamAnswer::Gone,
        };
        // Some servers let a stream whose device is unplugged go on where nothing is heard.
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
    /// The device is no more that it was opened on.
    Moved,
    /// There is nobody to ask any more.
    Gone,
}

/// A stream, and a thread that asks the server about it.
#[derive(Debug)]
struct PulseStream {
    stream: PlaybackStream,
    gone: Receiver<()>,
    ask: Sender<()>,
    answers: Receiver<StreamAnswer>,
    /// The moment when the server was asked last, and whether it has yet to answer.
    asked: Instant,
    pending: bool,
    /// The moment when it answered last, and the seconds that it had played since it last ran dry.
    played: Option<(Instant, f64)>,
    latency: Duration,
    underruns: u64,
    /// The milliseconds that the next stream is to have in advance.
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

    /// Takes in what the server says. Returns whether samples came too late since it was asked last.
    fn hear(&mut self, timing: &PlaybackLatency) -> bool {
        let rate = self.rate();
        let waiting = u64::try_from(timing.write_offset - timing.read_offset).unwrap_or(0);
        // The buffer was full when it was filled last; what the device holds comes on top.
        let full = u64::from(self.stream.buffer_attr().target_length);
        let latency = seconds(waiting.max(full), rate).0 + timing.sink_usec as f64 / 1e6;
        let latency = Duration::from_secs_f64(latency.min(10.0));
        // The share of the device goes up and down with each block that it plays: what counts is the middle.
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

/// Returns how long `bytes` of samples last.
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
