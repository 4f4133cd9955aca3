//! What a sound device is: how it is opened, where it takes its samples from, what can go wrong with it.

use std::fmt::{self, Debug};
use std::time::Duration;

use crate::sound::rate::SampleRate;
use crate::text::quote::quoted;

/// The names of a device.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DeviceName {
    /// The name that the system has for it.
    pub name: String,
    /// The name that the screen shows, often the same.
    pub label: String,
}

impl DeviceName {
    /// Returns whether `text` is its name or its label, upper and lower case alike.
    pub fn is_called(&self, text: &str) -> bool {
        let meant = text.trim().to_lowercase();
        [&self.name, &self.label].iter().any(|name| name.to_lowercase() == meant)
    }
}

impl fmt::Display for DeviceName {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(&quoted(&self.name))?;
        if self.name == self.label { Ok(()) } else { write!(formatter, " ({})", quoted(&self.label)) }
    }
}

/// What a device takes its samples from.
pub trait SampleSource: Send {
    /// Fills `out` with the next samples, mono, -1 to 1.
    ///
    /// The callback of a device calls it: it must not allocate, free, lock or panic.
    fn fill(&mut self, out: &mut [f32]);
}

/// Makes a source, given how many samples the device takes in a second. It runs before the first of them is asked for,
/// so that what is to be heard is ready by then.
pub type MakeSource = Box<dyn FnOnce(SampleRate) -> Box<dyn SampleSource> + Send>;

/// Something that samples can be sent to.
pub trait OutputDevice: Debug + Send {
    /// Opens the device. From then on it takes samples from what `source` makes.
    ///
    /// It returns within a few seconds, whatever the device does. Errors: the device cannot be opened; `source` is dropped.
    fn open(&mut self, source: MakeSource) -> Result<Box<dyn Stream>, OutputError>;
}

/// A device that is open, until this is dropped.
pub trait Stream: Debug {
    /// Returns how many samples it takes in a second.
    fn rate(&self) -> SampleRate;

    /// Returns how long after it was taken a sample is heard.
    fn latency(&self) -> Duration;

    /// Returns how it is. `waits` says how long ago it took its last sample: one that waits longer than it should looks
    /// more closely, which may take a second.
    fn state(&mut self, waits: Duration) -> StreamState;

    /// Returns how often samples came too late so far.
    fn underruns(&self) -> u64;
}

/// The states of an open device.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StreamState {
    /// It takes samples, or will in a moment.
    Works,
    /// It takes samples, but some came too late. Opened anew, it takes more in advance.
    RunsDry,
    /// The device that it was opened on is no more, though it still takes samples. Opened anew, it plays on another.
    Moved,
    /// It takes none any more.
    Fails(OutputError),
}

/// The reasons why a device takes no samples.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum OutputError {
    /// There is nothing to ask for a device.
    #[error("no sound server is running{}", looked_for(.looked))]
    NoServer {
        /// The places where it was looked for.
        looked: Vec<String>,
    },
    /// The server that is there does not answer.
    #[error("the sound server does not answer")]
    Silence,
    /// The device does not open, and does not say why.
    #[error("the sound device does not answer")]
    Mute,
    /// It ends the connection before anything is played.
    #[error("the sound server hung up")]
    HungUp,
    /// It speaks something else than the protocol.
    #[error("the sound server says what cannot be understood")]
    Nonsense,
    /// There is a server, but nothing that sounds.
    #[error("there is no sound device")]
    NoDevice,
    /// No device has that name.
    #[error("no sound device is called `{name}`; there {}", there_are(.known))]
    Unknown {
        /// The name that was asked for.
        name: String,
        /// The names of those that there are.
        known: Vec<String>,
    },
    /// It was there, and is no more.
    #[error("the sound device went away")]
    Gone,
    /// Something else has stopped it for now.
    #[error("the sound device is suspended")]
    Suspended,
    /// It says something that we do not expect.
    #[error("the sound device cannot be used: {0}")]
    Other(String),
}

impl OutputError {
    /// Makes the error that says that no device has that name, and which ones there are.
    pub fn unknown(name: &str, known: &[DeviceName]) -> Self {
        Self::Unknown { name: quoted(name), known: known.iter().map(ToString::to_string).collect() }
    }
}

fn looked_for(places: &[String]) -> String {
    match places {
        [] => String::new(),
        [one] => format!(" (looked for {one})"),
        [first, others @ ..] => format!(" (looked for {first} and at {} more places)", others.len()),
    }
}

fn there_are(names: &[String]) -> String {
    match names {
        [] => "is none at all".into(),
        [one] => format!("is {one}"),
        several => format!("are {}", several.join(", ")),
    }
}
