//! The choice of the notes that are wanted of a file.

/// The notes of the file that are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct TrackChoice {
    /// The track, counted from 1. If none is given, the only track that has notes is taken.
    pub track: Option<usize>,
    /// The channel, 1 to 16. If none is given, all channels but that of the drums (10) are taken.
    pub channel: Option<u8>,
}
