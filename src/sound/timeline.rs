//! From the samples of a voice to the seconds of what it plays. Nothing is played here.

use super::rate::SampleRate;
use crate::lesson::seconds::Seconds;

/// The second to which each sample belongs, over the turns of a loop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Timeline {
    rate: SampleRate,
    from: u64,
    span: Option<(u64, u64)>,
}

impl Timeline {
    /// Returns the timeline of music that begins at second `from` and repeats the span between two seconds.
    ///
    /// A span shorter than a hundredth of a second is ignored.
    pub fn new(rate: SampleRate, from: Seconds, span: Option<(Seconds, Seconds)>) -> Self {
        // A cast saturates, and turns NaN into 0.
        let sample = |seconds: Seconds| ((seconds.0 * rate.per_second()).round() as u64).min(u64::MAX / 4);
        let span = span.map(|(from, to)| (sample(from), sample(to)));
        let span = span.filter(|(from, to)| to.saturating_sub(*from) as f64 >= rate.per_second() / 100.0);
        Self { rate, from: sample(from), span }
    }

    /// Returns the second to which sample number `samples` belongs, counted from 0.
    pub fn at(&self, samples: u64) -> Seconds {
        let at = self.from.saturating_add(samples);
        let at = match self.span {
            // A loop that lies before the start is entered at once.
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
    fn a_loop_turns_at_its_end() {
        let timeline = Timeline::new(SampleRate(1000), Seconds(1.5), Some((Seconds(1.0), Seconds(2.0))));
        assert_eq!([0, 499, 500, 1499, 1500].map(|made| timeline.at(made).0), [1.5, 1.999, 1.0, 1.999, 1.0]);
        let plain = Timeline::new(SampleRate(1000), Seconds(f64::NAN), Some((Seconds(2.0), Seconds(1.0))));
        assert_eq!(plain.at(5000), Seconds(5.0));
        let behind = Timeline::new(SampleRate(1000), Seconds(5.0), Some((Seconds(1.0), Seconds(2.0))));
        assert_eq!([0, 999, 1000].map(|made| behind.at(made).0), [1.0, 1.999, 1.0]);
    }
}
