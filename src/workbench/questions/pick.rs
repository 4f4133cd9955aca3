//! What taking a line of a list means.

use crate::workbench::questions::passage::PassagePick;
use crate::workbench::questions::program::ProgramPick;
use crate::workbench::questions::sound::SoundPick;
use crate::workbench::questions::start::StartPick;
use crate::workbench::questions::timeline::TimelinePick;

/// What taking a line of a list means: who offered it, and what.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Pick {
    /// The timeline offered it.
    Timeline(TimelinePick),
    /// The passage offered it.
    Passage(PassagePick),
    /// The start screen offered it.
    Start(StartPick),
    /// The program offered it.
    Program(ProgramPick),
    /// Whoever plays what is heard offered it.
    Sound(SoundPick),
    /// Nothing is done, and what lay under the list is there again.
    Nothing,
}
