//! The manners: numbers of a performance that notation leaves open, such as how long a strum takes. They are read from
//! `assets/playing.ron`; nothing is played here.

use std::sync::OnceLock;

use serde::Deserialize;

use crate::lesson::seconds::Seconds;
use crate::sound::level::Strength;
use crate::theory::pitch::{Cents, Hertz, Semitones};

/// The numbers of `assets/playing.ron`, which explains each of them.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Manners {
    pub(super) plain: Strength,
    pub(super) ghost: Strength,
    pub(super) strum: Seconds,
    pub(super) arpeggio: Seconds,
    pub(super) slowly: Seconds,
    pub(super) share: f64,
    pub(super) rake: Seconds,
    pub(super) raked: usize,
    pub(super) grace: Seconds,
    pub(super) slide: Seconds,
    pub(super) slide_in: Seconds,
    pub(super) slide_out: Seconds,
    pub(super) slide_in_from: Semitones,
    pub(super) slide_out_to: Semitones,
    pub(super) bend: Seconds,
    pub(super) vibrato_from: Seconds,
    pub(super) vibrato_depth: Cents,
    pub(super) vibrato_rate: Hertz,
    pub(super) trill: Hertz,
    pub(super) tremolo: Hertz,
    pub(super) pinch: u8,
    pub(super) swing: f64,
    pub(super) ring: Seconds,
    pub(super) drone: Strength,
}

pub(super) fn manners() -> &'static Manners {
    static MANNERS: OnceLock<Manners> = OnceLock::new();
    MANNERS.get_or_init(|| {
        ron::from_str(include_str!("../../../assets/playing.ron")).expect("a test reads the table that is compiled in")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_numbers_can_be_played() {
        let all = manners();
        let times = [all.strum, all.arpeggio, all.slowly, all.rake, all.grace, all.slide, all.slide_in, all.slide_out];
        assert!(times.iter().all(|time| (0.001..1.0).contains(&time.0)));
        assert!((0.5..0.9).contains(&all.swing) && (0.0..=1.0).contains(&all.share));
        assert!(all.ghost < all.plain && all.plain < Strength::FULL && all.drone < Strength::FULL);
        assert!(all.trill.0 > 1.0 && all.tremolo.0 > 1.0 && all.pinch > 1 && all.raked > 0);
    }
}
