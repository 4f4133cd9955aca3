//! The messages of the workbench: a closed list of everything that can happen to it, from keys to finished work. What a
//! message changes is not here; `update` decides that.

use std::path::PathBuf;
use std::time::Duration;

use ratatui::layout::{Position, Size};

use crate::lesson::document::Lesson;
use crate::lesson::edit::Edit;
use crate::lesson::fresh::Seed;
use crate::lesson::history::Change;
use crate::lesson::id::SegmentId;
use crate::lesson::seconds::Seconds;
use crate::store::draft::Draft;
use crate::store::open_lesson::{Access, FormatRenewal, SavedState};
use crate::tab::handout::Page;
use crate::tab::handout::options::HandoutOptions;
use crate::workbench::jobs::running::Report;
use crate::workbench::keys::action::Action;
use crate::workbench::keys::action::changes::Changes;
use crate::workbench::keys::keystroke::Keystroke;
use crate::workbench::library::item::LibraryItem;
use crate::workbench::library::shelf::Shelf;
use crate::workbench::messages::notice::Notice;

/// Something that happened.
#[derive(Debug, Clone)]
pub enum Message {
    /// A key was struck.
    Key(Keystroke),
    /// Text was pasted into the terminal.
    Pasted(String),
    /// The mouse did something.
    Mouse(Mouse),
    /// The terminal now has this size.
    Resized(Size),
    /// This much time has passed since the program started; see [`crate::workbench::state::State::wants_time`].
    Clock(Duration),
    /// The sound devices were looked for: the system's name and the label of each, or the reason why none can be named.
    DevicesFound(Result<Vec<(String, String)>, String>),
    /// A crash left this draft, which was not in the lesson yet.
    Drafted(Box<Draft>),
    /// The draft could not be kept, or not be taken away.
    DraftFailed(String),
    /// The draft is kept again.
    DraftMended,
    /// Enough time has gone by to keep a draft that is too large to be kept at every key.
    DraftDue,
    /// This second of what plays is heard now; `None` where nothing plays any more.
    Heard(Option<Seconds>),
    /// What plays can be heard (`false`), or goes to no sound device (`true`).
    Silent(bool),
    /// An action was asked for without a key.
    Act(Action),
    /// A lesson was opened, or could not be.
    Opened(Result<Box<OpenedLesson>, String>),
    /// The lesson was saved in a file, or could not be.
    Saved(Result<SavedFile, String>),
    /// Another program has changed the lesson's file since it was read; the text says how.
    SaveConflict(String),
    /// The other window has let go of the lesson, which is open for reading only.
    LockFree,
    /// The journal could not be written.
    JournalFailed(String),
    /// All changes are in the journal again.
    JournalMended,
    /// The handout was written to a file, or could not be.
    HandoutWritten(Result<PathBuf, String>),
    /// The handout was written to a file that held an earlier one, or something else that was given up.
    HandoutReplaced(PathBuf),
    /// The handout's place is taken by a file that the workbench did not write.
    HandoutExists(PathBuf),
    /// The pages of a handout were laid out with these options.
    LaidOut(HandoutOptions, Vec<Page>),
    /// The text of a file was read for its tab, or could not be read.
    TabRead(PathBuf, Result<String, String>),
    /// A file name was completed as far as it is unambiguous.
    PathCompleted {
        /// The text that was typed.
        typed: String,
        /// The same text, completed as far as it is unambiguous.
        completed: String,
        /// The names that fit; exactly one where the completion is unambiguous.
        names: Vec<String>,
    },
    /// The library was read for browsing, or could not be read.
    LibraryRead(Result<Vec<LibraryItem>, String>),
    /// The unsaved changes were thrown away, as was asked, or not all could be, in whole words; the lesson is closed all the same.
    Discarded(Result<(), String>),
    /// Something outside ends the program: what is being written goes into the lesson first.
    Ending,
    /// The library changed, or could not be changed.
    LibraryChanged(Result<Shelf, String>),
    /// A change of the library that was asked for is on the disk, and this is to be said of it.
    LibraryKept(Shelf, Notice),
    /// Background work has made progress, or ended by a fault.
    Job(Report),
    /// There is something to tell the person.
    Told(Notice),
}

impl Message {
    /// Returns what it does to the lesson, beside what an action does that it asks for: that has an answer of its own.
    pub const fn changes(&self) -> Changes {
        match self {
            // A click takes what is in a box, puts a finger down or goes to a segment; a border that is let go stays there.
            Self::Mouse(Mouse::Click(_) | Mouse::Release(_)) => Changes::Depends,
            // The wheel goes to another segment; what a crash left are fingers, too.
            Self::Mouse(Mouse::WheelUp(_) | Mouse::WheelDown(_)) | Self::Drafted(_) => Changes::FingersOrLibrary,
            // Tab that is read or pasted fills a passage in which nothing is written.
            Self::TabRead(..) | Self::Pasted(_) | Self::Ending => Changes::Depends,
            Self::Key(_)
            | Self::Act(_)
            | Self::Mouse(Mouse::Drag(_))
            | Self::Resized(_)
            | Self::Clock(_)
            | Self::DevicesFound(_)
            | Self::Heard(_)
            | Self::Silent(_)
            | Self::Opened(_)
            | Self::Saved(_)
            | Self::SaveConflict(_)
            | Self::LockFree
            | Self::JournalFailed(_)
            | Self::JournalMended
            | Self::HandoutWritten(_)
            | Self::HandoutReplaced(_)
            | Self::HandoutExists(_)
            | Self::LaidOut(..)
            | Self::PathCompleted { .. }
            | Self::LibraryRead(_)
            | Self::Discarded(_)
            | Self::DraftFailed(_)
            | Self::DraftMended
            | Self::DraftDue
            | Self::LibraryChanged(_)
            | Self::LibraryKept(..)
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

/// What the mouse did, and the cell in which it happened.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mouse {
    /// The left button went down.
    Click(Position),
    /// The mouse moved while the left button was down.
    Drag(Position),
    /// The left button went up.
    Release(Position),
    /// The wheel turned away from the person.
    WheelUp(Position),
    /// The wheel turned toward the person.
    WheelDown(Position),
}

/// A file that a lesson was saved in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SavedFile {
    /// Its path.
    pub path: PathBuf,
    /// Whether saving changed the format of the file.
    pub renewed: FormatRenewal,
}

/// A lesson as the runtime opened it.
#[derive(Debug, Clone)]
pub struct OpenedLesson {
    /// The lesson.
    pub lesson: Lesson,
    /// The path of its file.
    pub path: PathBuf,
    /// What may be done with its file.
    pub access: Access,
    /// Whether the file holds the same as the lesson.
    pub state: SavedState,
    /// The seed from which new identities are drawn; every opening has another.
    pub seed: Seed,
    /// The library as far as it is known; the program reads it afterwards ([`Message::LibraryChanged`]).
    pub library: Shelf,
    /// The versions of things that another program has changed as well, to be decided about.
    pub apart: Vec<Edit>,
    /// The last changes that led to what the file holds, in order: undo goes on behind the save.
    pub undoable_behind: Vec<Change>,
    /// The changes that were brought back, in order: undo goes on behind them.
    pub undoable: Vec<Change>,
    /// The segment at which it was left; `None` where that is the first one or not known.
    pub left_at: Option<SegmentId>,
    /// What the person should know first, above all what was recovered.
    pub notice: Option<Notice>,
}
