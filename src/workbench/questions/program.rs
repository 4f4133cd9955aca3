//! What the program asks and offers when it saves, ends, writes the handout or changes its colours.

use serde::{Deserialize, Serialize};

/// What the program has typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum ProgramQuestion {
    /// The folder or the file in which the lesson is saved, and then left.
    SaveWhere(AfterSave),
    /// The segments that the handout is about.
    HandoutSegments,
    /// The length of a line of the handout.
    HandoutWidth,
}

/// A line that the program offers in a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ProgramPick {
    /// The handout is written although a file already has its name.
    WriteHandout(Existing),
    /// The lesson is saved, and then this happens.
    SaveAnd(AfterSave),
    /// The lesson is saved although the file on the disk has changed.
    Save(SaveAs),
    /// The program asks for another place to save in, for a lesson that is then left.
    AskWhere(AfterSave),
    /// It is decided about the thing at this place of those that were changed on both sides.
    Version(VersionPick, usize),
    /// The program ends; the changes stay in the journal.
    QuitUnsaved,
    /// The lesson is closed; the changes stay in the journal.
    CloseUnsaved,
    /// The program asks once more whether the changes are to be thrown away.
    AskToDiscard(AfterSave),
    /// The changes are thrown away, and then this happens.
    Discard(AfterSave),
    /// The screen takes the colours of the theme with this index; `None` takes the terminal's own.
    Colours(Option<usize>),
}

/// What becomes of a thing that was changed on both sides.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VersionPick {
    /// It stays as it is in the file.
    Leave,
    /// The version that was not saved takes its place.
    Take,
    /// It is decided later.
    Later,
}

/// The file in which a lesson is saved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SaveAs {
    /// Its own file, unless another program has changed that file.
    Itself,
    /// Its own file, whatever the file holds now.
    Over,
    /// A new file beside its own, which is the lesson's file from then on.
    NewFile,
}

/// What happens to a handout file that already exists.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Existing {
    /// The person is asked, unless the workbench wrote the file.
    Ask,
    /// The new handout replaces it.
    Replace,
    /// The new handout is written beside it under another name.
    OtherName,
}

/// What happens after the lesson was saved or its changes were thrown away.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum AfterSave {
    /// Nothing more happens.
    #[default]
    Stay,
    /// The program ends.
    Quit,
    /// The lesson is closed.
    Close,
}
