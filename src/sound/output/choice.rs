//! Which device is wanted, and which ones there are on this system.

use super::device::{DeviceName, OutputDevice, OutputError};
use super::silent::Silent;

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
        DeviceChoice::Silent => Box::new(Silent),
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
    use crate::sound::output::device::{DeviceName, OutputDevice, OutputError};
    use crate::sound::output::pulse;

    /// Returns the device of this name, or the usual one.
    pub fn output(device: Option<String>) -> Box<dyn OutputDevice> {
        Box::new(pulse::Pulse::new(device))
    }

    /// Returns the devices there are.
    ///
    /// Errors: they cannot be listed.
    pub fn devices() -> Result<Vec<DeviceName>, OutputError> {
        pulse::Pulse::new(None).devices()
    }
}

/// The devices of this system and these features: those of the sound server or, where there is none, those of the
/// machine.
#[cfg(all(target_os = "linux", feature = "alsa"))]
mod here {
    use crate::sound::output::device::{DeviceName, MakeSource, OutputDevice, OutputError, Stream};
    use crate::sound::output::{native, pulse};

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

    /// Returns the device of this name, or the usual one.
    pub fn output(device: Option<String>) -> Box<dyn OutputDevice> {
        Box::new(ServerOrMachine(device))
    }

    /// Returns the devices there are.
    ///
    /// Errors: they cannot be listed.
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
    use crate::sound::output::device::{DeviceName, OutputDevice, OutputError};
    use crate::sound::output::native;

    /// Returns the device of this name, or the usual one.
    pub fn output(device: Option<String>) -> Box<dyn OutputDevice> {
        Box::new(native::Native::new(device))
    }

    /// Returns the devices there are.
    ///
    /// Errors: they cannot be listed.
    pub fn devices() -> Result<Vec<DeviceName>, OutputError> {
        native::Native::new(None).devices()
    }
}
