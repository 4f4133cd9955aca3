//! Why music cannot be changed as asked.

use crate::instrument::neck::{Fret, StringNumber};
use crate::lesson::bar_numbers::BarName;

/// A change of a passage that cannot be made; the passage is as it was.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PhraseError {
    /// There is no event at the slot.
    #[error("nothing is written here yet: put a fret or a rest first")]
    NoEvent,
    /// The event has no note on the string.
    #[error("there is no note on string {0} here")]
    NoNote(StringNumber),
    /// There is no bar at the slot.
    #[error("there is no bar here yet")]
    NoBar,
    /// A bar is to be split before its first beat or behind its last.
    #[error("a bar is split before the note or rest under the cursor: go to one that is not the first")]
    NothingToSplit,
    /// The other voice sounds across the place.
    #[error("a note or rest of the other voice lasts across this place: split that first")]
    AcrossSplit,
    /// There is no bar after this one.
    #[error("there is no bar after this one to join it with")]
    LastBar,
    /// A repeat or an ending stands between two bars.
    #[error("a repeat, an ending or a change of time signature, tempo or key stands between the bars: delete it first")]
    BarsApart,
    /// Nothing was copied.
    #[error("nothing has been copied yet")]
    NothingCopied,
    /// A length has no longer or shorter neighbour.
    #[error("there is no {0} length than this")]
    NoLength(&'static str),
    /// The tuplet does not come out even.
    #[error("{actual}:{normal} of this length does not come out even; use a longer one")]
    Uneven {
        /// How many notes.
        actual: u8,
        /// In the time of how many.
        normal: u8,
    },
    /// The voice fills its bar already.
    #[error("nothing is missing in this bar")]
    Full,
    /// What is missing in the bar cannot be written as rests.
    #[error("no rests fill this bar exactly: complete the tuplet in it, or correct a length")]
    NoRestsFill,
    /// The string does not have the pitch.
    #[error("string {string} does not have the pitch of fret {fret} on string {from}")]
    NotOnString {
        /// The string it should go to.
        string: StringNumber,
        /// The string it is on.
        from: StringNumber,
        /// Its fret.
        fret: Fret,
    },
    /// Another note is on the string at the same time.
    #[error("string {0} already has a note here")]
    StringTaken(StringNumber),
    /// There is no such string.
    #[error("there is no string beyond this one")]
    NoString,
    /// A note's pitch is not known, so it cannot be moved.
    #[error("{bar}: fret {fret} on string {string} is not on this instrument")]
    OffTheNeck {
        /// What the bar is called.
        bar: BarName,
        /// The string.
        string: StringNumber,
        /// The fret.
        fret: Fret,
    },
    /// A note has no place when it is transposed.
    #[error(
        "{bar}: fret {fret} on string {string} has no place {semitones:+} half steps away; try an octave, \
         or refinger the passage for another tuning"
    )]
    NoPlace {
        /// What the bar is called.
        bar: BarName,
        /// The string.
        string: StringNumber,
        /// The fret.
        fret: Fret,
        /// How far it should go.
        semitones: i32,
    },
}
