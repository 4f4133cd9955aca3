//! Ranking: what a voicing costs for each thing that speaks against it.

use std::sync::OnceLock;

use serde::Deserialize;

/// The traits of a voicing that the ranking looks at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Traits {
    /// How hard the shape is to hold, in the points of `assets/fingering.ron`.
    pub(super) strain: u32,
    pub(super) tones: ToneTraits,
    pub(super) strings: StringTraits,
    /// The lowest fret that is stopped, from the capo; 0 where none is.
    pub(super) lowest: u32,
    /// Frets from the lowest wire to the highest.
    pub(super) span: u32,
    pub(super) bass: BassTone,
    /// Whether players call it by the name of another chord first.
    pub(super) renamed: bool,
    /// Whether it is a suspended triad that is another one over its own root, and not taught.
    pub(super) suspended: bool,
    /// How many things speak against showing it among the first.
    pub(super) clutter: u32,
    pub(super) build: Build,
    /// Whether the chord has five tones or more.
    pub(super) extended: bool,
    /// Whether the instrument has no string to spare for a bass, as a ukulele or a mandolin.
    pub(super) small: bool,
    /// How every teacher shows it, over the root or the bass that was asked for, where they do.
    pub(super) taught: Option<TaughtAs>,
}

/// What of the chord sounds, what does not, and what sounds more than once.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct ToneTraits {
    /// How many tones are silent that are missed.
    pub(super) silent: u32,
    pub(super) rootless: bool,
    /// Whether the eleventh of a thirteenth sounds.
    pub(super) clash: bool,
    /// How many thirds sound beside the first.
    pub(super) doubled_thirds: u32,
    /// Times a pitch sounds that another string sounds already.
    pub(super) unisons: u32,
}

/// How many strings do what.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct StringTraits {
    pub(super) sounding: u32,
    /// How many sounding strings make a full chord where the instrument has them.
    pub(super) enough: u32,
    /// On a bass, how many sound beyond that.
    pub(super) thick: u32,
    pub(super) open: u32,
    /// Strings that are damped between sounding ones.
    pub(super) inner_mutes: u32,
    /// Strings that are silent after the last sounding one.
    pub(super) treble_mutes: u32,
    /// Those of them that could have sounded a tone of the chord open, or under the index finger.
    pub(super) spare: u32,
}

/// How a shape is taught.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum TaughtAs {
    /// In one place, beside the nut.
    Open,
    /// So too, but as the second form of a chord that has another there.
    AlsoOpen,
    /// All along the neck.
    Movable,
}

/// What silent strings mean in a voicing.
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
    /// A part of it: on a bass, where each string is plucked by itself and none has to be damped; a chord over its root,
    /// each tone on one string, nothing open.
    Plucked,
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
    pub(super) renamed: u32,
    pub(super) suspended: u32,
    pub(super) clutter: u32,
    pub(super) thumb: u32,
    pub(super) inner_mute: u32,
    pub(super) compact_mute: u32,
    pub(super) treble_mute: u32,
    pub(super) spare: u32,
    pub(super) few: u32,
    pub(super) thick: u32,
    pub(super) silent_string: u32,
    pub(super) position: u32,
    pub(super) position_small: u32,
    pub(super) small_frets: u32,
    pub(super) doubled_third: u32,
    pub(super) unison: u32,
    pub(super) span: u32,
    pub(super) wide: u32,
    pub(super) high_open: u32,
    pub(super) taught_open: u32,
    pub(super) taught_movable: u32,
    pub(super) taught_fret: u32,
    pub(super) taught_least: u32,
    pub(super) taught_second: u32,
    pub(super) taught_extended: u32,
    pub(super) taught_extended_fret: u32,
}

/// Returns the prices that are compiled in.
pub(super) fn prices() -> &'static RankingPrices {
    static PRICES: OnceLock<RankingPrices> = OnceLock::new();
    PRICES.get_or_init(|| {
        ron::from_str(include_str!("../../../assets/voicing_ranking.ron"))
            .expect("a test reads the table that is compiled in")
    })
}

/// The fret from which on an open string stands apart from what the fingers hold.
pub(super) const FAR: u32 = 5;
/// The frets from the lowest finger to the highest where each has one of its own.
const EASY_SPAN: u32 = 3;

impl RankingPrices {
    /// Returns what a voicing costs on an instrument of `strings` strings, in points.
    pub(super) fn of(&self, traits: &Traits, strings: u32) -> u32 {
        let Traits { tones, strings: used, .. } = traits;
        let few = used.enough.min(strings).saturating_sub(used.sounding);
        let apart = if traits.lowest + traits.span >= FAR { used.open } else { 0 };
        let silent_strings = strings.saturating_sub(used.sounding) * self.silent_string;
        let left_out = match traits.build {
            Build::Power | Build::Plucked => 0,
            Build::Compact => used.inner_mutes * self.compact_mute + silent_strings,
            Build::Plain => {
                used.inner_mutes * self.inner_mute
                    + used.treble_mutes * self.treble_mute
                    + used.spare * self.spare
                    + silent_strings
            }
        };
        let price = traits.strain * self.strain / 10
            + tones.silent * self.silent
            + u32::from(tones.rootless) * self.rootless
            + u32::from(tones.clash) * self.clash
            + self.of_bass(traits.bass)
            + u32::from(traits.renamed) * self.renamed
            + u32::from(traits.suspended) * self.suspended
            + traits.clutter * self.clutter
            + left_out
            + few * self.few
            + used.thick * self.thick
            + self.of_place(traits.lowest, traits.span, traits.small)
            + tones.doubled_thirds * self.doubled_third
            + tones.unisons * self.unison
            + apart * self.high_open;
        let along = |each: u32| each * traits.lowest.saturating_sub(1);
        // Added to all others rather than taken off, so that none comes to less than nothing.
        price + self.most_off()
            - match (traits.taught, traits.build) {
                (None, _) => 0,
                // A power chord is one form that slides, wherever it stands.
                (Some(_), Build::Power) => self.taught_movable,
                (Some(TaughtAs::Open), _) => self.taught_open,
                (Some(TaughtAs::AlsoOpen), _) => self.taught_open.saturating_sub(self.taught_second),
                (Some(TaughtAs::Movable), _) if traits.extended => {
                    self.taught_extended.saturating_sub(along(self.taught_extended_fret)).max(self.taught_least)
                }
                // Of two forms of one chord, the one nearer the nut is shown first.
                (Some(TaughtAs::Movable), _) => {
                    self.taught_movable.saturating_sub(along(self.taught_fret)).max(self.taught_least)
                }
            }
    }

    /// Returns the most points that are taken off a price for a shape that is taught.
    pub(super) fn most_off(&self) -> u32 {
        self.taught_open.max(self.taught_movable).max(self.taught_least).max(self.taught_extended)
    }

    /// Returns what the lowest note costs, in points.
    pub(super) fn of_bass(&self, bass: BassTone) -> u32 {
        match bass {
            BassTone::Proper => 0,
            BassTone::Fifth => self.bass_fifth,
            BassTone::Third => self.bass_third,
            BassTone::Other => self.bass_other,
        }
    }

    /// Returns what it costs, in points, that the lowest finger is at `fret` and the highest one `span` frets further.
    ///
    /// On a small instrument there are few low places, and each is shown before the higher ones.
    pub(super) fn of_place(&self, fret: u32, span: u32, small: bool) -> u32 {
        let above = fret.saturating_sub(1);
        let low = if small { above.min(self.small_frets) * self.position_small } else { 0 };
        above * self.position + low + span * self.span + span.saturating_sub(EASY_SPAN) * self.wide
    }
}
