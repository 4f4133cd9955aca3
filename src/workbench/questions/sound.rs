//! The questions of the sound settings, and what they offer in lists.

use serde::{Deserialize, Serialize};

/// A question that the sound settings ask in a box for typing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum SoundQuestion {
    /// The tempo at which music is played.
    Tempo,
}

/// A line that the sound settings offer in a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SoundPick {
    /// The click is turned on or off.
    Click,
    /// The count-in is turned on or off.
    CountIn,
    /// The sound with this index in the table of sounds; `None` for the instrument's own.
    Sound(Option<usize>),
    /// The list of sound devices is opened.
    AskForDevice,
    /// The sound device of this name; an empty name stands for the system's default.
    Device(String),
}
