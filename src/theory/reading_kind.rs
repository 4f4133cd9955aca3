//! The sorts of names that a reading can give.

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
