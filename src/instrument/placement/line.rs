//! What is asked for: notes in time, and what of them is fixed beforehand.

use crate::instrument::neck::{Fret, Place, StringNumber};
use crate::theory::pitch::MidiNote;
use crate::theory::symbol::ChordSymbol;

/// A time or a length of time as the hand feels it, in milliseconds from the start of the line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Milliseconds(pub u64);

/// The notes that start at one moment.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Slice {
    /// When they start. Slices stand in the order of time.
    pub start: Milliseconds,
    /// The notes. A slice may have none, which costs nothing.
    pub notes: Vec<Wanted>,
}

/// One note to be placed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Wanted {
    /// What it is.
    pub target: NoteTarget,
    /// How long it rings. Until then its string is used for nothing else, if that can be done.
    pub length: Milliseconds,
    /// What is fixed beforehand.
    pub pin: Pin,
    /// Whether a finger must hold it.
    pub touch: Touch,
    /// The note it is joined to, which must be on the same string.
    pub follows: Option<Follows>,
}

impl Wanted {
    /// Returns a note that may lie anywhere.
    pub fn pitch(note: MidiNote, length: Milliseconds) -> Self {
        Self { target: NoteTarget::Pitch(note), length, pin: Pin::default(), touch: Touch::Any, follows: None }
    }
}

/// What a note is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum NoteTarget {
    /// A pitch, wherever it lies.
    Pitch(MidiNote),
    /// A place that is given, whatever sounds there: a dead note, a harmonic.
    At(Place),
}

/// What is fixed beforehand of a note; nothing by default.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Pin {
    /// The string.
    pub string: Option<StringNumber>,
    /// The fret.
    pub fret: Option<Fret>,
    /// The hand position: the fret of the index finger, counted as players do from a capo over all strings.
    pub position: Option<Fret>,
}

/// Whether a finger must hold the string.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Touch {
    /// Open or stopped.
    #[default]
    Any,
    /// Stopped: it is bent or slides.
    Stopped,
}

/// An earlier note that a note is joined to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Follows {
    /// Its slice, counted from 0; earlier than the note's own.
    pub slice: usize,
    /// Its place in that slice, counted from 0.
    pub note: usize,
    /// How the two are joined.
    pub how: Joined,
}

/// How two notes on one string are joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Joined {
    /// By a hammer-on or a pull-off.
    Legato,
    /// By a slide: both must be stopped.
    Slide,
}

/// A chord that is named over a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChordOver {
    /// The slice from which on it holds, counted from 0, up to that of the next one.
    pub slice: usize,
    /// Its name, as it sounds.
    pub symbol: ChordSymbol,
}

/// The frets that may be used, as written; an open string is fret 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Limits {
    /// The lowest.
    pub lowest: Fret,
    /// The highest.
    pub highest: Fret,
}

impl Limits {
    /// The whole neck.
    pub const NONE: Self = Self { lowest: Fret::OPEN, highest: Fret::END };

    /// Returns whether `fret` may be used.
    pub fn allow(self, fret: Fret) -> bool {
        (self.lowest..=self.highest).contains(&fret)
    }
}

/// A note of a line, for messages. Slice and place count from 0; the messages count from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NoteSpot {
    /// The slice.
    pub slice: usize,
    /// The place in the slice.
    pub note: usize,
}
