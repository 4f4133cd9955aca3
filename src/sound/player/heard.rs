//! Which second of the score is heard: the callback writes it, and anybody reads it, without a lock. What is done with
//! it is not here.

use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

use crate::lesson::seconds::Seconds;

/// The number of bits for the second, counted in microseconds: enough for about nine years.
const BITS: u32 = 48;
const NOTHING: u64 = (1 << BITS) - 1;

/// The number of an order, by which the position of an older order is told from that of a newer one.
pub type OrderNumber = u16;

/// The figures that the callback shares with the other threads.
#[derive(Debug)]
pub struct PlayerGauge {
    /// The number of the order and its second in one value, so that they always belong together.
    position: AtomicU64,
    /// The latency of the device, in samples.
    latency: AtomicU64,
    /// The number of samples that devices have taken so far. A device that takes none has a fault.
    taken: AtomicU64,
    underruns: AtomicU64,
    /// Whether nobody hears the samples.
    silent: AtomicBool,
}

/// Who hears what a player plays.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Audience {
    /// Whoever is there: a sound device plays it.
    Somebody,
    /// The samples are thrown away, because no sound device works.
    Nobody,
}

impl PlayerGauge {
    /// Returns a gauge on which nothing is heard.
    pub fn new() -> Self {
        let zero = || AtomicU64::new(0);
        let position = AtomicU64::new(NOTHING);
        Self { position, latency: zero(), taken: zero(), underruns: zero(), silent: AtomicBool::new(false) }
    }

    /// Notes which second of an order is heard; `None` says that the order is over.
    pub fn say(&self, number: OrderNumber, seconds: Option<Seconds>) {
        let low = seconds.map_or(NOTHING, |seconds| ((seconds.0 * 1e6).max(0.0) as u64).min(NOTHING - 1));
        self.position.store(u64::from(number) << BITS | low, Ordering::Release);
    }

    /// Returns the number of the last noted order and its second; `None` where that order is over.
    pub fn position(&self) -> (OrderNumber, Option<Seconds>) {
        let both = self.position.load(Ordering::Acquire);
        let low = both & NOTHING;
        // A shift by 48 leaves 16 bits.
        ((both >> BITS) as OrderNumber, (low != NOTHING).then_some(Seconds(low as f64 / 1e6)))
    }

    /// Notes the latency of the device, in samples.
    pub fn set_latency(&self, samples: u64) {
        self.latency.store(samples, Ordering::Relaxed);
    }

    /// Returns the latency of the device, in samples.
    pub fn latency(&self) -> u64 {
        self.latency.load(Ordering::Relaxed)
    }

    /// Counts samples that the device has taken.
    pub fn take(&self, samples: u64) {
        self.taken.fetch_add(samples, Ordering::Relaxed);
    }

    /// Returns the number of samples that devices have taken so far.
    pub fn taken(&self) -> u64 {
        self.taken.load(Ordering::Relaxed)
    }

    /// Notes how many times samples came too late.
    pub fn set_underruns(&self, underruns: u64) {
        self.underruns.store(underruns, Ordering::Relaxed);
    }

    /// Notes whether somebody hears the samples.
    pub fn set_audience(&self, audience: Audience) {
        self.silent.store(audience == Audience::Nobody, Ordering::Relaxed);
    }

    /// Returns whether nobody hears the samples.
    pub fn is_silent(&self) -> bool {
        self.silent.load(Ordering::Relaxed)
    }

    /// Returns how many times samples came too late.
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
