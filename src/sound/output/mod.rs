//! Sound devices: they ask for samples, in time.
//!
//! A device is an [`OutputDevice`]. It is opened with a [`SampleSource`], from which a thread of its own takes samples
//! until the [`Stream`] is dropped. Opening may take a while and may fail; only [`super::player`] opens devices, on a
//! thread that nobody waits for. All this is said in `device`; `choice` takes the right kind for the system: `pulse`, the sound server of Linux,
//! `native`, what the machine has, or `silent`, which nobody hears. Nothing here knows what a score is.

mod choice;
mod device;
#[cfg(any(not(target_os = "linux"), feature = "alsa"))]
pub mod native;
#[cfg(target_os = "linux")]
pub mod pulse;
pub mod silent;

pub use choice::{DeviceChoice, devices, output_of};
pub use device::{DeviceName, MakeSource, OutputDevice, OutputError, SampleSource, Stream, StreamState};
