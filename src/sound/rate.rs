//! How many samples make a second.

use crate::lesson::seconds::Seconds;

/// A sample rate, in samples a second.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SampleRate(pub u32);

impl SampleRate {
    /// The rate of a compact disc (IEC 60908).
    pub const DISC: Self = Self(44_100);
    /// The rate of sound beside pictures (AES5).
    pub const VIDEO: Self = Self(48_000);

    /// Returns the samples of a second as a floating-point number.
    pub fn per_second(self) -> f64 {
        f64::from(self.0)
    }

    /// Returns how long `samples` last.
    pub fn length_of(self, samples: u64) -> Seconds {
        Seconds(samples as f64 / self.per_second())
    }
}

impl std::fmt::Display for SampleRate {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(formatter, "{} Hz", self.0)
    }
}
