//! What a sound device is: how it is opened, where it takes its samples from, what can go wrong with it.

use std::fmt::{self, Debug};
use std::time::Duration;

use crate::sound::rate::SampleRate;
use crate::text::quote::quoted;

/// The names of a device.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DeviceName {
    /// The system's name of the device.
    pub name: String,
    /// The name that the screen shows. It is often the same.
    pub label: String,
}

impl DeviceName {
    /// Returns whether `text` is the device's name or its label, apart from case.
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

/// A source of samples for a device.
pub trait SampleSource: Send {
    /// Fills `out` with the next samples, mono, -1 to 1.
    ///
    /// The callback of a device calls this: it must not allocate, free, lock or panic.
    fn fill(&mut self, out: &mut [f32]);
}

/// Makes a source for the sample rate of the device. It runs before the device asks for the first sample, so that the
/// music is ready by then.
pub type MakeSource = Box<dyn FnOnce(SampleRate) -> Box<dyn SampleSource> + Send>;

/// A device to which samples can be sent.
pub trait OutputDevice: Debug + Send {
    /// Opens the device, which from then on takes samples from the source that `source` makes.
    ///
    /// It returns within a few seconds, whatever the device does. Errors: the device cannot be opened; `source` is
    /// dropped.
    fn open(&mut self, source: MakeSource) -> Result<Box<dyn Stream>, OutputError>;
}

/// An open device. Dropping the stream closes the device.
pub trait Stream: Debug {
    /// Returns the sample rate of the device.
    fn rate(&self) -> SampleRate;

    /// Returns the time between the taking of a sample and its being heard.
    fn latency(&self) -> Duration;

    /// Returns the state of the device. `waits` is the time since it took its last sample. A device that has waited too
    /// long is examined more closely, which may take a second.
    fn state(&mut self, waits: Duration) -> StreamState;

    /// Returns how many times samples have come too late so far.
    fn underruns(&self) -> u64;
}

/// The states of an open device.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StreamState {
    /// It takes samples, or will do so in a moment.
    Works,
    /// It takes samples, but some came too late. After reopening it takes more in advance.
    RunsDry,
    /// The device on which it was opened no longer exists, although it still takes samples. After reopening it plays on
    /// another.
    Moved,
    /// It takes no more samples.
    Fails(OutputError),
}

/// The reason why a device takes no samples.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum OutputError {
    /// There is no sound server to ask for a device.
    #[error("no sound server is running{}", looked_for(.looked))]
    NoServer {
        /// The places where a server was looked for.
        looked: Vec<String>,
    },
    /// A server exists but does not answer.
    #[error("the sound server does not answer")]
    Silence,
    /// The device does not open and gives no reason.
    #[error("the sound device does not answer")]
    Mute,
    /// The server ends the connection before anything is played.
    #[error("the sound server hung up")]
    HungUp,
    /// The server does not speak the protocol.
    #[error("the sound server says what cannot be understood")]
    Nonsense,
    /// A server exists but has no device that sounds.
    #[error("there is no sound device")]
    NoDevice,
    /// No device has this name.
    #[error("no sound device is called `{name}`; there {}", there_are(.known))]
    Unknown {
        /// The name that was asked for.
        name: String,
        /// The names of the devices that exist.
        known: Vec<String>,
    },
    /// The device disappeared after it was opened.
    #[error("the sound device went away")]
    Gone,
    /// Something else has suspended the device for now.
    #[error("the sound device is suspended")]
    Suspended,
    /// The device reports an error that is not expected here.
    #[error("the sound device cannot be used: {0}")]
    Other(String),
}

impl OutputError {
    /// Returns the error that says that no device has this name, and which ones exist.
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
