//! What the passage asks and offers about its music.

use crate::lesson::id::SetupId;
use crate::lesson::music::{Feel, Join, Stroke, Technique};
use crate::lesson::time::Meter;

/// What the passage has typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PassageQuestion {
    /// The title of a new passage.
    NewTitle,
    /// Its meter.
    NewMeter {
        /// The title.
        title: String,
    },
    /// Its tempo.
    NewTempo {
        /// The title.
        title: String,
        /// The meter.
        meter: Meter,
    },
    /// Another title.
    Title,
    /// A length.
    Length,
    /// How far a bend goes, and which way.
    Bend,
    /// The other fret of a trill.
    Trill,
    /// The fret a harmonic is touched over.
    TouchedHarmonic,
    /// The fret a harmonic is tapped over.
    TappedHarmonic,
    /// How far the bar dips.
    Dip,
    /// How far the bar dives.
    Dive,
    /// Grace notes before the note.
    Grace,
    /// The finger that frets the note.
    Finger,
    /// The chord name over the beat.
    Chord,
    /// Words over the beat.
    Words,
    /// The meter from this bar on.
    Meter,
    /// The tempo from this bar on.
    Tempo,
    /// The key from this bar on.
    Key,
    /// How often a repeat that ends here is played.
    Times,
    /// The endings this bar belongs to.
    Endings,
    /// How far to transpose.
    Semitones,
    /// The file that text tab is read from.
    TabFile,
    /// The title of the passage that pasted tab becomes.
    PastedTab(String),
}

/// What the passage offers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PassagePick {
    /// A join on the note, or off.
    Join(Join),
    /// A technique on the note, or off.
    Technique(Technique),
    /// A stroke on the beat, or none.
    Stroke(Option<Stroke>),
    /// Something has to be typed first.
    Ask(PassageQuestion),
    /// A repeat begins at this bar, or no longer.
    RepeatStart,
    /// The bar is a pickup, or no longer.
    Pickup,
    /// How even the passage is played.
    Feel(Feel),
    /// Place the passage anew in this setup.
    Setup(SetupId),
}
