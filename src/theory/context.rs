//! What is known beside the tones themselves when they are named: how sure the ear is, the key, the bass.
//!
//! Where an open string sounds above its lower neighbour, the lowest pitch is not heard as a bass: `2 0 1 0` on a
//! ukulele is F, not F/C ([`Lowest::AnyTone`]). The `bass` of a reading is still the lowest pitch. On a few high strings it is one
//! only for players who write it ([`Lowest::HighTone`]).

use super::key::Key;
use super::pitch::NoteName;
use super::symbol::ChordSymbol;

/// How sure the ear is of a string.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, serde::Serialize, serde::Deserialize)]
pub enum Doubt {
    /// Heard clearly.
    #[default]
    Sure,
    /// Perhaps heard: readings are given with and without it.
    Unsure,
    /// Fingered but not heard: readings leave it out.
    NotHeard,
}

/// What is known beside the tones themselves.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Context {
    /// The key of the passage: it decides between enharmonic roots.
    pub key: Option<Key>,
    /// A bass played by somebody else, below everything here.
    pub stated_bass: Option<NoteName>,
    /// The chord before this one.
    pub previous: Option<ChordSymbol>,
    /// The chord after this one.
    pub next: Option<ChordSymbol>,
    /// What the lowest pitch is to the ear.
    pub lowest: Lowest,
}

impl Context {
    /// Returns what the lowest pitch is to the ear here: where a bass is stated, or the player writes basses, it is one.
    pub(super) fn lowest_here(&self) -> Lowest {
        let writes_basses = || [&self.previous, &self.next].into_iter().flatten().any(|beside| beside.bass().is_some());
        match self.lowest {
            Lowest::Bass => Lowest::Bass,
            Lowest::AnyTone | Lowest::HighTone if self.stated_bass.is_some() => Lowest::Bass,
            Lowest::HighTone if writes_basses() => Lowest::Bass,
            lowest @ (Lowest::AnyTone | Lowest::HighTone) => lowest,
        }
    }
}

/// What the lowest pitch is to the ear.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Lowest {
    /// The bass: chords over another tone than the root are named with a slash.
    #[default]
    Bass,
    /// Just another tone, as on re-entrant instruments, whose players do not name inversions.
    /// Common practice; no published source.
    AnyTone,
    /// The lowest of a few high strings, as on the mandolin or the baritone ukulele: players name the chord and leave its bass to
    /// others. One who writes basses in the chords around it, or over whom a bass is stated, is told them here too, and a name that
    /// is written over a bass stays as it is. Common practice; no published source.
    HighTone,
}

impl Lowest {
    /// Returns `symbol` as players name it: where nobody hears a bass, no note is named as one. Where that note is none of the chord's own,
    /// and sounds, other names have it: see `lesson::harmony::named_rightly`.
    pub fn named(self, symbol: &ChordSymbol) -> ChordSymbol {
        match self {
            Self::AnyTone if symbol.bass().is_some() => symbol.over_its_root(),
            Self::Bass | Self::AnyTone | Self::HighTone => symbol.clone(),
        }
    }

    /// Returns the name that players would write for `written`; `None` where that is how they write it, and for what is no chord symbol.
    pub fn better_name(self, written: &str) -> Option<String> {
        let symbol: ChordSymbol = written.trim().parse().ok()?;
        let named = self.named(&symbol);
        (named != symbol).then(|| named.to_string())
    }

    /// Returns `written` as players would write it: the better name where there is one.
    pub fn rightly(self, written: &str) -> String {
        self.better_name(written).unwrap_or_else(|| written.to_owned())
    }
}
