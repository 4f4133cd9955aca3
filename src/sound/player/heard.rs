//! Which second of the score is heard: written by the callback, read by anybody, without a lock.

use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

use crate::lesson::seconds::Seconds;
use crate::sound::rate::SampleRate;

/// How many bits the second has, in microseconds: some nine years.
const BITS: u32 = 48;
const NOTHING: u64 = (1 << BITS) - 1;

/// Numbers the orders, so that what an older one has left is not taken for a newer one.
pub type OrderNumber = u16;

/// What the callback says and needs to know.
#[derive(Debug)]
pub struct PlayerGauge {
    /// Number and second in one, so that they always belong together.
    position: AtomicU64,
    /// How many samples the device is late.
    latency: AtomicU64,
    /// How many samples were taken in all; a device that takes none is not well.
    taken: AtomicU64,
    underruns: AtomicU64,
    /// Whether the samples go where nobody hears them.
    silent: AtomicBool,
}

impl PlayerGauge {
    /// Nothing is heard.
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

    /// The last order of which anything was said, and its second; `None` when it is over.
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

    /// How many samples the device is late.
    pub fn latency(&self) -> u64 {
        self.latency.load(Ordering::Relaxed)
    }

    /// Counts samples that the device has taken.
    pub fn take(&self, samples: u64) {
        self.taken.fetch_add(samples, Ordering::Relaxed);
    }

    /// How many samples devices have taken so far.
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

    /// Whether samples go where nobody hears them.
    pub fn is_silent(&self) -> bool {
        self.silent.load(Ordering::Relaxed)
    }

    /// How often samples came too late.
    pub fn underruns(&self) -> u64 {
        self.underruns.load(Ordering::Relaxed)
    }
}

/// From samples made to seconds of the score, over the turns of a loop. It counts as the engine does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Timeline {
    rate: SampleRate,
    from: u64,
    span: Option<(u64, u64)>,
}

impl Timeline {
    /// Begins at a second of the score; repeats what lies between two others.
    pub fn new(rate: SampleRate, from: Seconds, span: Option<(Seconds, Seconds)>) -> Self {
        // A cast saturates, and turns NaN into 0.
        let sample = |seconds: Seconds| ((seconds.0 * rate.per_second()).round() as u64).min(u64::MAX / 4);
        let span = span.map(|(from, to)| (sample(from), sample(to)));
        let span = span.filter(|(from, to)| to.saturating_sub(*from) as f64 >= rate.per_second() / 100.0);
        Self { rate, from: sample(from), span }
    }

    /// The second of the score that the sample after so many others belongs to.
    pub fn at(&self, samples: u64) -> Seconds {
        let at = self.from.saturating_add(samples);
        let at = match self.span {
            // A loop that lies before the start is gone to at once.
            Some((from, to)) if self.from >= to => from + samples % (to - from),
            Some((from, to)) if at >= to => from + (at - to) % (to - from),
            _ => at,
        };
        self.rate.length_of(at)
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

    #[test]
    fn a_loop_turns_at_its_end() {
        let timeline = Timeline::new(SampleRate(1000), Seconds(1.5), Some((Seconds(1.0), Seconds(2.0))));
        assert_eq!([0, 499, 500, 1499, 1500].map(|made| timeline.at(made).0), [1.5, 1.999, 1.0, 1.999, 1.0]);
        let plain = Timeline::new(SampleRate(1000), Seconds(f64::NAN), Some((Seconds(2.0), Seconds(1.0))));
        assert_eq!(plain.at(5000), Seconds(5.0));
        let behind = Timeline::new(SampleRate(1000), Seconds(5.0), Some((Seconds(1.0), Seconds(2.0))));
        assert_eq!([0, 999, 1000].map(|made| behind.at(made).0), [1.0, 1.999, 1.0]);
    }
}
