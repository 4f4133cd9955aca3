//! Which notes of a file are wanted.

/// Which notes of the file are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct TrackChoice {
    /// The track, counted from 1; without it, the only one that has notes.
    pub track: Option<usize>,
    /// The channel, 1 to 16; without it, all but the drums' (10).
    pub channel: Option<u8>,
}
