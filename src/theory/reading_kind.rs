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

impl ReadingKind {
    /// Returns whether it is a name that can stand over tab or under a grid; a note, an interval and a cluster only say what sounds.
    pub const fn is_chord_name(self) -> bool {
        match self {
            Self::Note | Self::Interval | Self::Cluster => false,
            Self::PowerChord | Self::Chord | Self::Inversion | Self::ForeignBass | Self::Rootless => true,
        }
    }
}
