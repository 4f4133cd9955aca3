//! What is asked and offered about how things are heard.

/// What is typed about how things are heard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SoundQuestion {
    /// How fast music is played.
    Tempo,
}

/// What is offered for all that is played.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SoundPick {
    /// A click, or no longer.
    Click,
    /// A bar counted in, or no longer.
    CountIn,
    /// The sound at this place of the table; `None` for that of the instrument.
    Sound(Option<usize>),
    /// The list of the sound devices.
    AskForDevice,
    /// The sound device of this name; without a name, that of the system.
    Device(String),
}
