//! What the workbench wants done: effects in three closed families, each of which the runtime matches in one place.
//!
//! `update` returns effects and the runtime performs them in order. An effect is worded as an order and carries
//! everything that the order needs; its outcome comes back as a
//! [`Message`](crate::workbench::messages::message::Message). Nothing here performs an effect.

use std::path::PathBuf;
use std::sync::Arc;

use crate::lesson::document::Lesson;
use crate::lesson::edit::Edit;
use crate::lesson::history::{Change, Transaction};
use crate::store::draft::Draft;
use crate::store::last_places::LastPlace;
use crate::store::library::{LibraryChange, LibraryVoicing};
use crate::store::settings::{HandoutChoice, ListeningSettings, NeckSettings};
use crate::tab::handout::options::HandoutOptions;
use crate::workbench::messages::notice::Notice;
use crate::workbench::playback::playing::SoundOrder;
use crate::workbench::questions::program::{Existing, SaveAs};
use crate::workbench::questions::question::SoughtFile;
use crate::workbench::questions::start::NewLesson;

/// Something the runtime should do.
#[derive(Debug, Clone, PartialEq)]
pub enum Effect {
    /// An effect on the terminal, or on the program in it.
    Terminal(TerminalEffect),
    /// An effect on what is heard.
    Sound(SoundEffect),
    /// An effect on files: the lesson, its journal and draft, the handout, the library, the settings.
    Files(FileEffect),
}

/// An effect on the terminal, or on the program in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TerminalEffect {
    /// Give the terminal back to the shell until the shell continues the program.
    Suspend,
    /// Draw the whole screen again.
    Redraw,
    /// Put text on the clipboard of the terminal.
    CopyOut(String),
    /// Leave the program.
    Quit,
}

/// An effect on what is heard.
#[derive(Debug, Clone, PartialEq)]
pub enum SoundEffect {
    /// Play something at the volume and on the device of the settings, and keep those settings.
    Play(Box<SoundOrder>, ListeningSettings),
    /// Stop everything that plays.
    Stop,
    /// Keep the settings for listening; their volume and device apply at once.
    KeepSettings(ListeningSettings),
    /// Look for sound devices. The answer is
    /// [`Message::DevicesFound`](crate::workbench::messages::message::Message::DevicesFound).
    SeekDevices,
}

/// An effect on files.
#[derive(Debug, Clone, PartialEq)]
pub enum FileEffect {
    /// Append changes to the journal of the open lesson.
    Journal(Vec<Transaction>),
    /// Keep in the journal the versions that wait to be decided about.
    KeepApart(Vec<Edit>),
    /// Save the lesson.
    Save(Box<WorkToSave>, SaveAs),
    /// Save the lesson in another folder, or another file, which is the lesson's file from then on.
    SaveAt(Box<WorkToSave>, PathBuf),
    /// Throw away the changes that are not saved, and close the open lesson.
    Discard,
    /// Keep, beside the open lesson, the draft of what is not in it yet.
    KeepDraft(Box<Draft>),
    /// Open the lesson in a file.
    Open(PathBuf),
    /// Open the lesson for writing that is open for reading only because another window had it, and bring these fingers back.
    OpenForWriting(Box<Draft>),
    /// Create a new lesson and open it.
    New(NewLesson),
    /// Open a copy of a demo lesson.
    OpenDemo(String),
    /// Close the open lesson, and remember where it was left.
    Close(Option<LastPlace>),
    /// Write the handout.
    WriteHandout(Box<Lesson>, HandoutOptions, Existing),
    /// Lay out the pages of the handout for the preview.
    LayOut(Arc<Lesson>, HandoutOptions),
    /// Read the text of a file that may hold tab.
    ReadTab(PathBuf),
    /// Complete the file name that is being typed.
    CompletePath(String, SoughtFile),
    /// Read the library for browsing.
    ReadLibrary,
    /// Change the library, and say this once it is on the disk.
    ChangeLibrary(Box<LibraryOrder>, Notice),
    /// Keep in the settings how the neck is displayed.
    KeepNeckSettings(NeckSettings),
    /// Keep in the settings what is chosen for all handouts.
    KeepHandoutChoice(HandoutChoice),
    /// Keep the name of the theme in the settings; an empty name stands for the terminal's own colours.
    KeepTheme(String),
}

/// A lesson that is to be saved.
#[derive(Debug, Clone, PartialEq)]
pub struct WorkToSave {
    /// The lesson.
    pub lesson: Lesson,
    /// The last changes that led to it, in order: undo goes on behind the save.
    pub changes: Vec<Change>,
}

impl From<Lesson> for WorkToSave {
    fn from(lesson: Lesson) -> Self {
        Self { lesson, changes: Vec::new() }
    }
}

/// What is to be done to the library.
#[derive(Debug, Clone, PartialEq)]
pub enum LibraryOrder {
    /// Put a voicing in.
    Keep(LibraryVoicing),
    /// Replace voicings by others.
    Change(LibraryChange),
    /// Remove a voicing.
    TakeOut(LibraryVoicing),
}

impl Effect {
    /// Returns the effect that appends `changes` to the journal.
    pub const fn journal(changes: Vec<Transaction>) -> Self {
        Self::Files(FileEffect::Journal(changes))
    }

    /// Returns the effect that changes the library, and says `said` once it is on the disk.
    pub fn change_library(order: LibraryOrder, said: Notice) -> Self {
        Self::Files(FileEffect::ChangeLibrary(Box::new(order), said))
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
    /// Returns whether performing the effect waits for the disk long enough for a person to notice. The screen then
    /// first shows what the key did.
    pub const fn waits_for_disk(&self) -> bool {
        match self {
            Self::Save(..) | Self::SaveAt(..) | Self::WriteHandout(..) => true,
            Self::Journal(_)
            | Self::KeepApart(_)
            | Self::Discard
            | Self::KeepDraft(_)
            | Self::Open(_)
            | Self::OpenForWriting(_)
            | Self::New(_)
            | Self::OpenDemo(_)
            | Self::Close(_)
            | Self::LayOut(..)
            | Self::ReadTab(_)
            | Self::CompletePath(..)
            | Self::ReadLibrary
            | Self::ChangeLibrary(..)
            | Self::KeepNeckSettings(_)
            | Self::KeepHandoutChoice(_)
            | Self::KeepTheme(_) => false,
        }
    }
}
