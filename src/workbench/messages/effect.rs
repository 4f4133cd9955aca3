//! What the workbench wants done: closed lists of effects in three families, each of which the runtime matches once.
//!
//! `update` returns effects and the runtime performs them in order. An effect names what is to be done and carries all
//! that is needed for it; what became of it comes back as a [`Message`](crate::workbench::messages::message::Message).

use std::path::PathBuf;
use std::sync::Arc;

use crate::lesson::document::Lesson;
use crate::lesson::history::Transaction;
use crate::store::draft::Draft;
use crate::store::library::{LibraryChange, LibraryVoicing};
use crate::store::settings::{ListeningSettings, NeckSettings};
use crate::tab::handout::options::HandoutOptions;
use crate::workbench::playback::playing::SoundOrder;
use crate::workbench::questions::program::{Existing, SaveAs};
use crate::workbench::questions::question::SoughtFile;
use crate::workbench::questions::start::NewLesson;

/// Something the runtime should do.
#[derive(Debug, Clone, PartialEq)]
pub enum Effect {
    /// To the terminal, or to the program in it.
    Terminal(TerminalEffect),
    /// To what is heard.
    Sound(SoundEffect),
    /// To files: the lesson, its journal and draft, the handout, the library, the settings.
    Files(FileEffect),
}

/// Something to do to the terminal, or to the program in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TerminalEffect {
    /// Give the terminal back to the shell until the shell continues the program.
    Suspend,
    /// Draw the whole screen again.
    Redraw,
    /// Hand text to the clipboard of the terminal.
    CopyOut(String),
    /// Leave the program.
    Quit,
}

/// Something to do to what is heard.
#[derive(Debug, Clone, PartialEq)]
pub enum SoundEffect {
    /// Play something, at the volume and on the device of the settings, which are kept.
    Play(Box<SoundOrder>, ListeningSettings),
    /// Play nothing more.
    Stop,
    /// Keep in the settings how things are heard; volume and device hold at once.
    KeepSettings(ListeningSettings),
    /// Ask which sound devices there are. The answer is
    /// [`Message::DevicesFound`](crate::workbench::messages::message::Message::DevicesFound).
    SeekDevices,
}

/// Something to do to files.
#[derive(Debug, Clone, PartialEq)]
pub enum FileEffect {
    /// Append changes to the journal of the open lesson.
    Journal(Vec<Transaction>),
    /// Keep in the journal the versions that wait to be decided about.
    KeepApart(Vec<Edit>),
    /// Save the lesson.
    Save(Box<Lesson>, SaveAs),
    /// Save the lesson in another folder, or another file, which is the lesson's file from then on.
    SaveAt(Box<Lesson>, PathBuf),
    /// Throw away what is not saved, and let go of the open lesson.
    Discard,
    /// Keep beside the open lesson what is not in it yet.
    KeepDraft(Box<Draft>),
    /// Open the lesson in a file.
    Open(PathBuf),
    /// Make a new lesson and open it.
    New(NewLesson),
    /// Open a copy of a demo lesson.
    OpenDemo(String),
    /// Let go of the open lesson.
    Close,
    /// Write the handout.
    WriteHandout(Box<Lesson>, HandoutOptions, Existing),
    /// Lay the handout out to be looked at.
    LayOut(Arc<Lesson>, HandoutOptions),
    /// Read the text in a file, for its tab.
    ReadTab(PathBuf),
    /// Complete the name of a file that is being typed.
    CompletePath(String, SoughtFile),
    /// Read the library to be looked through.
    ReadLibrary,
    /// Put a voicing into the library.
    KeepInLibrary(Box<LibraryVoicing>),
    /// Put voicings of the library in the place of others.
    ChangeLibrary(Box<LibraryChange>),
    /// Take a voicing out of the library.
    TakeOutOfLibrary(Box<LibraryVoicing>),
    /// Keep in the settings how the neck is seen.
    KeepNeckSettings(NeckSettings),
    /// Keep in the settings which theme is used, by its name; the terminal's own colours have none.
    KeepTheme(String),
}

impl Effect {
    /// Returns the effect that appends `changes` to the journal.
    pub const fn journal(changes: Vec<Transaction>) -> Self {
        Self::Files(FileEffect::Journal(changes))
    }

    /// Returns the effect that puts `voicing` into the library.
    pub fn keep_in_library(voicing: LibraryVoicing) -> Self {
        Self::Files(FileEffect::KeepInLibrary(Box::new(voicing)))
    }

    /// Returns the effect that changes the library.
    pub fn change_library(change: LibraryChange) -> Self {
        Self::Files(FileEffect::ChangeLibrary(Box::new(change)))
    }

    /// Returns the effect that takes `voicing` out of the library.
    pub fn take_out_of_library(voicing: LibraryVoicing) -> Self {
        Self::Files(FileEffect::TakeOutOfLibrary(Box::new(voicing)))
    }
}

impl From<TerminalEffect> for Effect {
    fn from(effect: TerminalEffect) -> Self {
        Self::Terminal(effect)
    }
}

impl From<SoundEffect> for Effect {
    fn from(effect: SoundEffect) -> Self {
        Self::Sound(effect)
    }
}

impl From<FileEffect> for Effect {
    fn from(effect: FileEffect) -> Self {
        Self::Files(effect)
    }
}

impl FileEffect {
    /// Returns whether performing it waits for the disk so long that a person would notice: then the screen shows first
    /// what the key did.
    pub const fn waits_for_disk(&self) -> bool {
        match self {
            Self::Save(..) | Self::SaveAt(..) | Self::WriteHandout(..) => true,
            Self::Journal(_)
            | Self::KeepApart(_)
            | Self::Discard
            | Self::KeepDraft(_)
            | Self::Open(_)
            | Self::New(_)
            | Self::OpenDemo(_)
            | Self::Close
            | Self::LayOut(..)
            | Self::ReadTab(_)
            | Self::CompletePath(..)
            | Self::ReadLibrary
            | Self::KeepInLibrary(_)
            | Self::ChangeLibrary(_)
            | Self::TakeOutOfLibrary(_)
            | Self::KeepNeckSettings(_)
            | Self::KeepTheme(_) => false,
        }
    }
}
