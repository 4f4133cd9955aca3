//! Ranking: what speaks for a voicing and against it.

use std::sync::OnceLock;

use serde::Deserialize;

/// What the ranking looks at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Traits {
    pub(super) strain: u32,
    pub(super) silent: u32,
    pub(super) rootless: bool,
    pub(super) bass: BassTone,
    pub(super) inner_mutes: u32,
    pub(super) treble_mutes: u32,
    pub(super) spare: u32,
    pub(super) sounding: u32,
    pub(super) open: u32,
    /// The lowest fret that is stopped, from the capo; 0 where none is.
    pub(super) lowest: u32,
    pub(super) doubled_thirds: u32,
    /// Times a pitch sounds that another string sounds already.
    pub(super) unisons: u32,
    /// Frets from the lowest wire to the highest.
    pub(super) span: u32,
    /// Whether the eleventh of a thirteenth sounds.
    pub(super) clash: bool,
    /// How many sounding strings make a full chord where the instrument has them.
    pub(super) enough: u32,
    pub(super) build: Build,
    /// Whether every teacher shows it, over the root or the bass that was asked for.
    pub(super) taught: Option<TaughtAs>,
}

/// How a shape is taught.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum TaughtAs {
    /// In one place, beside the nut.
    Open,
    /// All along the neck.
    Movable,
}

/// What the silent strings are to a voicing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Build {
    /// Strings that could have sounded.
    #[default]
    Plain,
    /// A part of it, as in shells and drop voicings: a chord of four tones or more over its root, each tone on one
    /// string, nothing open.
    Compact,
    /// A part of it: root and fifth alone, over the root, with no string between damped.
    Power,
}

/// What the lowest note is to the chord.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum BassTone {
    /// The root, the bass that was asked for, or nothing anybody hears as a bass.
    #[default]
    Proper,
    Fifth,
    Third,
    Other,
}

/// The prices of `assets/voicing_ranking.ron`, explained there.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RankingPrices {
    pub(super) strain: u32,
    pub(super) silent: u32,
    pub(super) rootless: u32,
    pub(super) clash: u32,
    pub(super) bass_fifth: u32,
    pub(super) bass_third: u32,
    pub(super) bass_other: u32,
    pub(super) inner_mute: u32,
    pub(super) compact_mute: u32,
    pub(super) treble_mute: u32,
    pub(super) spare: u32,
    pub(super) few: u32,
    pub(super) silent_string: u32,
    pub(super) position: u32,
    pub(super) doubled_third: u32,
    pub(super) unison: u32,
    pub(super) span: u32,
    pub(super) wide: u32,
    pub(super) high_open: u32,
    pub(super) taught_open: u32,
    pub(super) taught_movable: u32,
}

pub(super) fn prices() -> &'static RankingPrices {
    static PRICES: OnceLock<RankingPrices> = OnceLock::new();
    PRICES.get_or_init(|| {
        ron::from_str(include_str!("../../../assets/voicing_ranking.ron"))
            .expect("a test reads the table that is compiled in")
    })
}

/// From this fret on an open string stands apart from what the fingers hold.
pub(super) const FAR: u32 = 5;
/// The frets from the lowest finger to the highest where each has one of its own.
const EASY_SPAN: u32 = 3;

impl RankingPrices {
    /// Returns what a voicing costs on an instrument of `strings` strings.
    pub(super) fn of(&self, traits: &Traits, strings: u32) -> u32 {
        let few = traits.enough.min(strings).saturating_sub(traits.sounding);
        let apart = if traits.lowest + traits.span >= FAR { traits.open } else { 0 };
        let silent_strings = strings.saturating_sub(traits.sounding) * self.silent_string;
        let left_out = match traits.build {
            Build::Power => 0,
            Build::Compact => traits.inner_mutes * self.compact_mute + silent_strings,
            Build::Plain => {
                traits.inner_mutes * self.inner_mute
                    + traits.treble_mutes * self.treble_mute
                    + traits.spare * self.spare
                    + silent_strings
            }
        };
        let price = traits.strain * self.strain / 10
            + traits.silent * self.silent
            + u32::from(traits.rootless) * self.rootless
            + u32::from(traits.clash) * self.clash
            + self.of_bass(traits.bass)
            + left_out
            + few * self.few
            + self.of_place(traits.lowest, traits.span)
            + traits.doubled_thirds * self.doubled_third
            + traits.unisons * self.unison
            + apart * self.high_open;
        price.saturating_sub(match traits.taught {
            Some(TaughtAs::Open) => self.taught_open,
            Some(TaughtAs::Movable) => self.taught_movable,
            None => 0,
        })
    }

    /// Returns the most that is taken off a price again.
    pub(super) fn most_off(&self) -> u32 {
        self.taught_open.max(self.taught_movable)
    }

    /// Returns what the lowest note costs.
    pub(super) fn of_bass(&self, bass: BassTone) -> u32 {
        match bass {
            BassTone::Proper => 0,
            BassTone::Fifth => self.bass_fifth,
            BassTone::Third => self.bass_third,
            BassTone::Other => self.bass_other,
        }
    }

    /// Returns what it costs that the lowest finger is at `fret` and the highest `span` frets further.
    pub(super) fn of_place(&self, fret: u32, span: u32) -> u32 {
        fret.saturating_sub(1) * self.position + span * self.span + span.saturating_sub(EASY_SPAN) * self.wide
    }
}
