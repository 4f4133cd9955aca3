//! Which second of the score is heard: written by the callback, read by anybody, without a lock.

use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

use crate::lesson::seconds::Seconds;

/// The bits of the second, which counts in microseconds: some nine years.
const BITS: u32 = 48;
const NOTHING: u64 = (1 << BITS) - 1;

/// Numbers the orders, so that what an older one has left is not taken for a newer one.
pub type OrderNumber = u16;

/// The figures that pass between the callback and everybody else.
#[derive(Debug)]
pub struct PlayerGauge {
    /// Number and second in one, so that they always belong together.
    position: AtomicU64,
    /// The samples by which the device is late.
    latency: AtomicU64,
    /// The samples that were taken in all; a device that takes none is not well.
    taken: AtomicU64,
    underruns: AtomicU64,
    /// Whether the samples go where nobody hears them.
    silent: AtomicBool,
}

impl PlayerGauge {
    /// Makes a gauge that says that nothing is heard.
    pub fn new() -> Self {
        let zero = || AtomicU64::new(0);
        let position = AtomicU64::new(NOTHING);
        Self { position, latency: zero(), taken: zero(), underruns: zero(), silent: AtomicBool::new(false) }
    }

    /// Says which second of an order is heard, or that it is over.
    pub fn say(&self, number: OrderNumber, seconds: Option<Seconds>) {
        let low = seconds.map_or(NOTHING, |seconds| ((seconds.0 * 1e6).max(0.0) as u64).min(NOTHING - 1));
        self.position.store(u64::from(number) << BITS | low, Ordering::Release);
    }

    /// Returns the last order of which anything was said, and its second: `None` where it is over.
    pub fn position(&self) -> (OrderNumber, Option<Seconds>) {
        let both = self.position.load(Ordering::Acquire);
        let low = both & NOTHING;
        // A shift by 48 leaves 16 bits.
        ((both >> BITS) as OrderNumber, (low != NOTHING).then_some(Seconds(low as f64 / 1e6)))
    }

    /// Says how many samples the device is late.
    pub fn set_latency(&self, samples: u64) {
        self.latency.store(samples, Ordering::Relaxed);
    }

    /// Returns how many samples the device is late.
    pub fn latency(&self) -> u64 {
        self.latency.load(Ordering::Relaxed)
    }

    /// Counts samples that the device has taken.
    pub fn take(&self, samples: u64) {
        self.taken.fetch_add(samples, Ordering::Relaxed);
    }

    /// Returns how many samples devices have taken so far.
    pub fn taken(&self) -> u64 {
        self.taken.load(Ordering::Relaxed)
    }

    /// Says how often samples came too late.
    pub fn set_underruns(&self, underruns: u64) {
        self.underruns.store(underruns, Ordering::Relaxed);
    }

    /// Says whether samples go where nobody hears them.
    pub fn set_silent(&self, silent: bool) {
        self.silent.store(silent, Ordering::Relaxed);
    }

    /// Returns whether samples go where nobody hears them.
    pub fn is_silent(&self) -> bool {
        self.silent.load(Ordering::Relaxed)
    }

    /// Returns how often samples came too late.
    pub fn underruns(&self) -> u64 {
        self.underruns.load(Ordering::Relaxed)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn number_and_second_are_read_as_they_were_said() {
        let heard = PlayerGauge::new();
        assert_eq!(heard.position(), (0, None));
        heard.say(65_535, Some(Seconds(3_600.25)));
        assert_eq!(heard.position(), (65_535, Some(Seconds(3_600.25))));
        heard.say(7, None);
        assert_eq!(heard.position(), (7, None));
        heard.say(7, Some(Seconds(f64::INFINITY)));
        assert!(heard.position().1.is_some());
        heard.say(7, Some(Seconds(f64::NAN)));
        assert_eq!(heard.position(), (7, Some(Seconds(0.0))));
    }
}
