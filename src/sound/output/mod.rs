//! Sound devices: they ask for samples, in time.
//!
//! A device is an [`OutputDevice`]. It is opened with a [`SampleSource`], from which a thread of its own takes samples
//! until the [`Stream`] is dropped. Opening may take a while and may fail; only [`super::player`] opens devices, on a
//! thread that nobody waits for. Nothing here knows what a score is.

use std::fmt::{self, Debug};
use std::time::Duration;

#[cfg(any(not(target_os = "linux"), feature = "alsa"))]
pub mod native;
#[cfg(target_os = "linux")]
pub mod pulse;
pub mod silent;

use super::rate::SampleRate;
use crate::text::quote::quoted;

/// The choice of a device.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum DeviceChoice {
    /// The system's default device.
    #[default]
    Usual,
    /// The device of that name.
    Named(String),
    /// No device: what is played is not heard.
    Silent,
}

/// Returns the chosen device. The device is not touched before it is opened.
pub fn output_of(choice: DeviceChoice) -> Box<dyn OutputDevice> {
    match choice {
        DeviceChoice::Usual => here::output(None),
        DeviceChoice::Named(name) => here::output(Some(name)),
        DeviceChoice::Silent => Box::new(silent::Silent),
    }
}

/// Returns the devices that can be chosen by name. This may take some seconds where a server does not answer.
///
/// Errors: there is no server or sound system that can be asked.
pub fn devices() -> Result<Vec<DeviceName>, OutputError> {
    here::devices()
}

/// The devices of this system and these features: those of the sound server.
#[cfg(all(target_os = "linux", not(feature = "alsa")))]
mod here {
    use super::{DeviceName, OutputDevice, OutputError, pulse};

    pub fn output(device: Option<String>) -> Box<dyn OutputDevice> {
        Box::new(pulse::Pulse::new(device))
    }

    pub fn devices() -> Result<Vec<DeviceName>, OutputError> {
        pulse::Pulse::new(None).devices()
    }
}

/// The devices of this system and these features: those of the sound server or, where there is none, those of the
/// machine.
#[cfg(all(target_os = "linux", feature = "alsa"))]
mod here {
    use super::{DeviceName, MakeSource, OutputDevice, OutputError, Stream, native, pulse};

    #[derive(Debug)]
    struct ServerOrMachine(Option<String>);

    impl OutputDevice for ServerOrMachine {
        fn open(&mut self, source: MakeSource) -> Result<Box<dyn Stream>, OutputError> {
            let device = self.0.clone();
            match pulse::Pulse::new(None).devices() {
                Err(OutputError::NoServer { .. }) => native::Native::new(device).open(source),
                _ => pulse::Pulse::new(device).open(source),
            }
        }
    }

    pub fn output(device: Option<String>) -> Box<dyn OutputDevice> {
        Box::new(ServerOrMachine(device))
    }

    pub fn devices() -> Result<Vec<DeviceName>, OutputError> {
        match pulse::Pulse::new(None).devices() {
            Err(OutputError::NoServer { .. }) => native::Native::new(None).devices(),
            answer => answer,
        }
    }
}

/// The devices of this system: those of the machine.
#[cfg(not(target_os = "linux"))]
mod here {
    use super::{DeviceName, OutputDevice, OutputError, native};

    pub fn output(device: Option<String>) -> Box<dyn OutputDevice> {
        Box::new(native::Native::new(device))
    }

    pub fn devices() -> Result<Vec<DeviceName>, OutputError> {
        native::Native::new(None).devices()
    }
}

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
