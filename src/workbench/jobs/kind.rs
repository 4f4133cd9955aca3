//! The kinds of work behind the keys, and how each is queued and left.

/// What a job works on. Each kind has a queue and a thread of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum JobKind {
    /// The file of the library, read or written.
    Library,
    /// The journal, brought to the disk itself.
    Journal,
    /// The pages of a handout, laid out to be looked at.
    Layout,
    /// The sound devices there are.
    Devices,
}

/// In which order the jobs of one kind are done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum JobOrder {
    /// Each in its turn, the first asked for first.
    InTurn,
    /// Only the one asked for last: it takes the place of those that wait, and the one that runs is asked to give up.
    LatestWins,
}

/// What becomes of the jobs of one kind when the program is left.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OnLeaving {
    /// All of them are done first.
    Finish,
    /// Those that wait are dropped, and the one that runs is asked to give up and not waited for.
    Abandon,
}

impl JobKind {
    /// Returns in which order its jobs are done.
    pub const fn order(self) -> JobOrder {
        match self {
            Self::Library | Self::Journal | Self::Devices => JobOrder::InTurn,
            Self::Layout => JobOrder::LatestWins,
        }
    }

    /// Returns what becomes of its jobs when the program is left.
    pub const fn on_leaving(self) -> OnLeaving {
        match self {
            Self::Library | Self::Journal => OnLeaving::Finish,
            // Who leaves does not want to see pages any more, and a sound server may take seconds to answer.
            Self::Layout | Self::Devices => OnLeaving::Abandon,
        }
    }

    /// Returns what is being done, in words that follow "while".
    pub const fn words(self) -> &'static str {
        match self {
            Self::Library => "reading or writing the library",
            Self::Journal => "bringing the journal to the disk",
            Self::Layout => "laying out the handout",
            Self::Devices => "looking for sound devices",
        }
    }
}
