//! Identities: what links in a lesson hold on to. Never positions, so that no edit has to chase indices.
//!
//! Links may dangle. A lesson with a broken link opens, and `check` says where it is broken: refusing to open it
//! would lock the rest away.

use serde::{Deserialize, Serialize};

/// Declares one identity type for each kind of thing a lesson holds.
macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident),+ $(,)?) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub u32);

        impl From<u32> for $name {
            fn from(number: u32) -> Self {
                Self(number)
            }
        }

        impl From<$name> for u32 {
            fn from(id: $name) -> Self {
                id.0
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                self.0.fmt(f)
            }
        }
    )+};
}

ids! {
    /// An instrument the lesson is played on.
    InstrumentId,
    /// A setup: instrument, tuning, capo.
    SetupId,
    /// A piece the lesson draws on.
    PieceId,
    /// A notated passage.
    PassageId,
    /// A voicing.
    VoicingId,
    /// A segment of the video.
    SegmentId,
}
