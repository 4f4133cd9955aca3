//! What is picked when a line of a list is taken.

use crate::workbench::questions::library::LibraryPick;
use crate::workbench::questions::passage::PassagePick;
use crate::workbench::questions::program::ProgramPick;
use crate::workbench::questions::sound::SoundPick;
use crate::workbench::questions::start::StartPick;
use crate::workbench::questions::timeline::TimelinePick;

/// What taking a line of a list means: the place that offered it, and its offer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Pick {
    /// The timeline offered it.
    Timeline(TimelinePick),
    /// The passage offered it.
    Passage(PassagePick),
    /// The library offered it.
    Library(LibraryPick),
    /// The start screen offered it.
    Start(StartPick),
    /// The program offered it.
    Program(ProgramPick),
    /// The sound settings offered it.
    Sound(SoundPick),
    /// What is written in the box that the list covers is taken.
    TakeWritten,
    /// What is written in the box that the list covers is given up.
    GiveUpWritten,
    /// Nothing is done, and what the list covered is shown again.
    Nothing,
}
