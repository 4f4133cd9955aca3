//! Sample rates: how many samples make a second. Rates are not converted here.

use crate::lesson::seconds::Seconds;

/// A sample rate, in samples a second.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SampleRate(pub u32);

impl SampleRate {
    /// The rate of a compact disc (IEC 60908).
    pub const DISC: Self = Self(44_100);
    /// The rate of sound beside pictures (AES5).
    pub const VIDEO: Self = Self(48_000);

    /// Returns the number of samples in a second.
    pub fn per_second(self) -> f64 {
        f64::from(self.0)
    }

    /// Returns the duration of `samples`.
    pub fn length_of(self, samples: u64) -> Seconds {
        Seconds(samples as f64 / self.per_second())
    }
}

impl std::fmt::Display for SampleRate {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(formatter, "{} Hz", self.0)
    }
}
