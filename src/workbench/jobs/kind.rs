//! The kinds of background work, and for each kind how its jobs queue up and what becomes of them on leaving.

/// What a job works on. Each kind has a queue and a thread of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum JobKind {
    /// The library file is read or written.
    Library,
    /// The settings are written.
    Settings,
    /// The journal is synced to the disk.
    Journal,
    /// The pages of a handout are laid out for the preview.
    Layout,
    /// The system is asked for its sound devices.
    Devices,
}

/// The order in which the jobs of one kind run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum JobOrder {
    /// The jobs run one after the other, the oldest first.
    InTurn,
    /// Only the newest job counts: it replaces those that wait, and the running one is asked to give up.
    LatestWins,
}

/// What becomes of the jobs of one kind when the program ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OnLeaving {
    /// All of them are finished first.
    Finish,
    /// The jobs that wait are dropped, and the running one is asked to give up and not waited for.
    Abandon,
}

impl JobKind {
    /// Returns the order in which jobs of this kind run.
    pub const fn order(self) -> JobOrder {
        match self {
            Self::Library | Self::Settings | Self::Journal | Self::Devices => JobOrder::InTurn,
            Self::Layout => JobOrder::LatestWins,
        }
    }

    /// Returns what becomes of jobs of this kind when the program ends.
    pub const fn on_leaving(self) -> OnLeaving {
        match self {
            Self::Library | Self::Settings | Self::Journal => OnLeaving::Finish,
            // A person who leaves does not want to see pages any more, and a sound server may take seconds to answer.
            Self::Layout | Self::Devices => OnLeaving::Abandon,
        }
    }

    /// Returns a description of the work that can follow the word "while".
    pub const fn words(self) -> &'static str {
        match self {
            Self::Library => "reading or writing the library",
            Self::Settings => "writing the settings",
            Self::Journal => "saving the journal",
            Self::Layout => "laying out the handout",
            Self::Devices => "looking for sound devices",
        }
    }
}
