//! What is known beside the tones themselves when they are named: how sure the ear is, the key, the bass.
//!
//! Where an open string sounds above its lower neighbour, the lowest pitch is not heard as a bass: `2 0 1 0` on a
//! ukulele is F, not F/C ([`Lowest::AnyTone`]). The `bass` of a reading is still the lowest pitch.

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

/// What the lowest pitch is to the ear.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Lowest {
    /// The bass: chords over another tone than the root are named with a slash.
    #[default]
    Bass,
    /// Just another tone, as on re-entrant instruments, whose players do not name inversions.
    /// Common practice; no published source.
    AnyTone,
}

impl Lowest {
    /// Returns `symbol` as players name it: where nobody hears a bass, no note is named as one. Where that note is none of the chord's own,
    /// and sounds, other names have it: see `lesson::harmony::named_rightly`.
    pub fn named(self, symbol: &ChordSymbol) -> ChordSymbol {
        match self {
            Self::AnyTone if symbol.bass().is_some() => symbol.over_its_root(),
            Self::Bass | Self::AnyTone => symbol.clone(),
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
