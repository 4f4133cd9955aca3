//! What happens to the workbench: a closed list, told by whoever it happens to.

use std::path::PathBuf;
use std::time::Duration;

use ratatui::layout::{Position, Size};

use crate::lesson::document::Lesson;
use crate::lesson::fresh::Seed;
use crate::lesson::seconds::Seconds;
use crate::store::draft::Draft;
use crate::store::open_lesson::{Access, SavedState};
use crate::tab::handout::Page;
use crate::tab::handout::options::HandoutOptions;
use crate::workbench::jobs::running::Report;
use crate::workbench::keys::action::Action;
use crate::workbench::keys::action::changes::Changes;
use crate::workbench::keys::key::Key;
use crate::workbench::library::item::LibraryItem;
use crate::workbench::library::shelf::Shelf;
use crate::workbench::messages::notice::Notice;

/// Something that happened.
#[derive(Debug, Clone)]
pub enum Message {
    /// A key was struck.
    Key(Key),
    /// Text was pasted into the terminal.
    Pasted(String),
    /// The mouse did something.
    Mouse(Mouse),
    /// The terminal has this size now.
    Resized(Size),
    /// What time it is, counted from when the program started; see [`crate::workbench::state::State::wants_time`].
    Clock(Duration),
    /// The sound devices there are, each by its name and by what it is called; or why none can be named.
    DevicesFound(Result<Vec<(String, String)>, String>),
    /// What a crash left that was not in the lesson yet.
    Drafted(Box<Draft>),
    /// Which second of what plays is heard now; `None` where nothing plays any more.
    Heard(Option<Seconds>),
    /// Whether what plays goes where nobody hears it.
    Silent(bool),
    /// Something was asked for without a key.
    Act(Action),
    /// A lesson was opened, or could not be.
    Opened(Result<Box<LessonForDesk>, String>),
    /// The lesson was saved in a file, or could not be.
    Saved(Result<PathBuf, String>),
    /// Another program has changed the lesson's file meanwhile; says what happened.
    SaveConflict(String),
    /// The journal could not be written.
    JournalFailed(String),
    /// The handout was written to a file, or could not be.
    HandoutWritten(Result<PathBuf, String>),
    /// A file that the workbench did not write stands where the handout should go.
    HandoutExists(PathBuf),
    /// A handout was laid out with these options.
    LaidOut(HandoutOptions, Vec<Page>),
    /// The text in a file was read for its tab, or could not be.
    TabRead(PathBuf, Result<String, String>),
    /// The name of a file was completed: what was typed, how far it is clear, and what it could be.
    PathCompleted {
        /// What was typed.
        typed: String,
        /// The same, as far as it is clear.
        completed: String,
        /// The names it could be; one where it is clear.
        names: Vec<String>,
    },
    /// The library was read to be looked through, or could not be.
    LibraryRead(Result<Vec<LibraryItem>, String>),
    /// The changes that were not saved are gone, as was asked.
    Discarded,
    /// The program ends from outside: what is being written goes into the lesson first.
    Ending,
    /// The library changed, or could not be changed.
    LibraryChanged(Result<Shelf, String>),
    /// Work behind the keys is so far, or ended by a fault.
    Job(Report),
    /// Something to say.
    Told(Notice),
}

impl Message {
    /// Returns what it does to the lesson, beside what an action does that it asks for: that has an answer of its own.
    pub const fn changes(&self) -> Changes {
        match self {
            // A click takes what is in a box, puts a finger down or goes to a segment; a border that is let go stays there.
            Self::Mouse(Mouse::Click(_) | Mouse::Release(_)) => Changes::Depends,
            // The wheel goes to another segment; what a crash left are fingers, too.
            Self::Mouse(Mouse::WheelUp(_) | Mouse::WheelDown(_)) | Self::Drafted(_) => Changes::Beside,
            Self::TabRead(..) | Self::Ending => Changes::Depends,
            Self::Key(_)
            | Self::Act(_)
            | Self::Mouse(Mouse::Drag(_))
            | Self::Pasted(_)
            | Self::Resized(_)
            | Self::Clock(_)
            | Self::DevicesFound(_)
            | Self::Heard(_)
            | Self::Silent(_)
            | Self::Opened(_)
            | Self::Saved(_)
            | Self::SaveConflict(_)
            | Self::JournalFailed(_)
            | Self::HandoutWritten(_)
            | Self::HandoutExists(_)
            | Self::LaidOut(..)
            | Self::PathCompleted { .. }
            | Self::LibraryRead(_)
            | Self::Discarded
            | Self::LibraryChanged(_)
            | Self::Job(_)
            | Self::Told(_) => Changes::Never,
        }
    }
}

impl From<Report> for Message {
    fn from(report: Report) -> Self {
        Self::Job(report)
    }
}

/// What the mouse did, with the cell it happened in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mouse {
    /// The left button went down.
    Click(Position),
    /// The mouse moved while the left button is down.
    Drag(Position),
    /// The left button went up.
    Release(Position),
    /// The wheel turned away from the person.
    WheelUp(Position),
    /// The wheel turned toward the person.
    WheelDown(Position),
}

/// A lesson as the runtime opened it.
#[derive(Debug, Clone)]
pub struct LessonForDesk {
    /// What it holds.
    pub lesson: Lesson,
    /// Where it is kept.
    pub path: PathBuf,
    /// What may be done with its file.
    pub access: Access,
    /// Whether the file holds the same.
    pub state: SavedState,
    /// Where new identities are drawn from; every opening has another.
    pub seed: Seed,
    /// The library, where it is known already; the program reads it afterwards ([`Message::LibraryChanged`]).
    pub library: Shelf,
    /// What the person should know, first of all what was recovered.
    pub notice: Option<Notice>,
}
