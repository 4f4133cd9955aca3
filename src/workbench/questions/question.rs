//! The purpose of a typed line.

use serde::{Deserialize, Serialize};

use crate::workbench::questions::desk::DeskQuestion;
use crate::workbench::questions::fretboard::FretboardQuestion;
use crate::workbench::questions::library::LibraryQuestion;
use crate::workbench::questions::passage::PassageQuestion;
use crate::workbench::questions::program::ProgramQuestion;
use crate::workbench::questions::readings::ReadingsQuestion;
use crate::workbench::questions::recording::RecordingQuestion;
use crate::workbench::questions::sound::SoundQuestion;
use crate::workbench::questions::start::StartQuestion;
use crate::workbench::questions::timeline::TimelineQuestion;

/// Declares the askers: what they are, and that the questions of each are questions.
macro_rules! askers {
    ($($(#[$about:meta])* $asker:ident($question:ty),)+) => {
        /// The purpose of a typed line: who asks, and for what.
        #[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
        pub enum Question {
            $($(#[$about])* $asker($question),)+
        }

        $(impl From<$question> for Question {
            fn from(question: $question) -> Self {
                Self::$asker(question)
            }
        })+
    };
}

askers! {
    /// The desk asks.
    Desk(DeskQuestion),
    /// The timeline asks.
    Timeline(TimelineQuestion),
    /// The passage asks.
    Passage(PassageQuestion),
    /// The fretboard asks.
    Fretboard(FretboardQuestion),
    /// The readings ask.
    Readings(ReadingsQuestion),
    /// The library asks.
    Library(LibraryQuestion),
    /// The recording view asks.
    Recording(RecordingQuestion),
    /// The start screen asks.
    Start(StartQuestion),
    /// The program asks.
    Program(ProgramQuestion),
    /// The sound settings ask.
    Sound(SoundQuestion),
}

/// Whether an answer was given before and refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Insistence {
    /// It is given for the first time.
    First,
    /// It was refused just before, with a reason, and is given again as it was.
    Again,
}

/// The files to whose names a typed name can be completed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SoughtFile {
    /// Lesson files.
    Lesson,
    /// All files.
    AnyFile,
}

impl Question {
    /// Returns the files that the question asks for, if it asks for the name of one.
    pub const fn sought(&self) -> Option<SoughtFile> {
        match self {
            Self::Start(StartQuestion::OpenPath) => Some(SoughtFile::Lesson),
            Self::Passage(PassageQuestion::TabFile) => Some(SoughtFile::AnyFile),
            Self::Program(ProgramQuestion::SaveWhere(_)) => Some(SoughtFile::Lesson),
            Self::Program(ProgramQuestion::HandoutSegments | ProgramQuestion::HandoutWidth)
            | Self::Start(StartQuestion::LessonTitle)
            | Self::Passage(_)
            | Self::Desk(_)
            | Self::Timeline(_)
            | Self::Fretboard(_)
            | Self::Readings(_)
            | Self::Library(_)
            | Self::Recording(_)
            | Self::Sound(_) => None,
        }
    }
}
