//! Readings: every sensible name of the tones that sound, best first, with its reason.

use super::degree::Degree;
use super::key::Key;
use super::pitch::{MidiNote, NoteName};
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
}

/// What sort of name a reading gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ReadingKind {
    /// One pitch class, perhaps in octaves.
    Note,
    /// Two pitch classes named by their distance.
    Interval,
    /// Root and fifth, or its inversion.
    PowerChord,
    /// A chord with its root in the bass.
    Chord,
    /// A chord over one of its other tones.
    Inversion,
    /// A chord over a tone that is not its own.
    ForeignBass,
    /// A chord whose root nobody plays.
    Rootless,
    /// No honest name: the notes as they are.
    Cluster,
}

/// One sounding tone as a reading spells it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Tone {
    /// The spelling.
    pub name: NoteName,
    /// Its degree above the reading's root; `None` for a foreign bass or where there is no root.
    pub degree: Option<Degree>,
}

/// One interpretation of what sounds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reading {
    /// The sort of name.
    pub kind: ReadingKind,
    /// The name, ASCII: `Cmaj7/E`, `E5`, `C`, `C-E-F`.
    pub symbol: String,
    /// The root; `None` for notes, intervals without a root and clusters.
    pub root: Option<NoteName>,
    /// The lowest sounding pitch (or the stated bass) as this reading spells it.
    pub bass: NoteName,
    /// The whole formula of the named chord, missing degrees included; a foreign bass stays out.
    pub formula: Vec<Degree>,
    /// The degrees of the formula that do not sound.
    pub missing: Vec<Degree>,
    /// One entry for each input note, in order; `None` where the input was silent.
    pub notes: Vec<Option<Tone>>,
    /// Why this name, in a player's words.
    pub reason: String,
    /// What the reading costs; lower is better, ties never occur within one ranking.
    pub cost: u32,
}

/// Returns every sensible reading of `notes`, best first; empty when nothing sounds.
///
/// `notes` holds one entry for each string, in any order; `None` is silent. The bass is the lowest
/// pitch, not the first entry.
pub fn readings(notes: &[Option<MidiNote>], context: &Context) -> Vec<Reading> {
    let _ = (notes, context);
    Vec::new()
}
