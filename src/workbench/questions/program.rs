//! What the program asks and offers when it saves, leaves, writes the handout or changes its colours.

/// What the program has typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ProgramQuestion {
    /// The folder or the file in which the lesson is saved, and then left.
    SaveWhere(AfterSave),
}

/// What the program offers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ProgramPick {
    /// The handout is written where a file stands already.
    WriteHandout(Existing),
    /// The lesson is saved, then left.
    SaveAnd(AfterSave),
    /// The lesson is saved in spite of what is on the disk.
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
    /// The changes are thrown away, then the lesson is left.
    Discard(AfterSave),
    /// The screen has the colours of the theme at this place; `None` for the terminal's own.
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

/// Where a lesson is saved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SaveAs {
    /// In its file, unless another program has changed that.
    Itself,
    /// In its file, whatever is in it.
    Over,
    /// In a new file beside it, which is the lesson's file from then on.
    Beside,
}

/// What happens to a handout file that is there already.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Existing {
    /// The person is asked, unless the workbench wrote the file.
    Ask,
    /// The new one is written over it.
    Replace,
    /// The new one is written beside it under another name.
    Beside,
}

/// What happens after the lesson is saved, or its changes are thrown away.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum AfterSave {
    /// Nothing.
    #[default]
    Stay,
    /// The program ends.
    Quit,
    /// The lesson is closed.
    Close,
}
