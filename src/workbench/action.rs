//! Everything a person can ask of the workbench, one enum for each place that can be in focus.
//!
//! Rows of the key table name these; the table is the only way from a key to an action.

use serde::Deserialize;

/// Declares the actions of one place, with a list of all of them.
macro_rules! actions {
    ($(#[$doc:meta])* $name:ident { $($(#[$action_doc:meta])* $action:ident),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
        pub enum $name { $($(#[$action_doc])* $action),+ }

        impl $name {
            /// Every action of this place.
            pub const ALL: &'static [Self] = &[$(Self::$action),+];
        }
    };
}

actions! {
    /// What can be asked anywhere.
    ProgramAction {
        /// Leave, after a question where something is not saved.
        Quit,
        /// Stop and give the terminal back to the shell until it continues us.
        Suspend,
        /// Draw the whole screen again.
        Redraw,
        /// Show the last messages in full.
        ShowMessages,
        /// Search for an action by what it does.
        SearchActions,
    }
}

actions! {
    /// What can be asked while looking at the handout.
    PreviewAction {
        /// Go up a line.
        Up,
        /// Go down a line.
        Down,
        /// Go up a screenful.
        PageUp,
        /// Go down a screenful.
        PageDown,
        /// Go to the page before.
        PreviousPage,
        /// Go to the next page.
        NextPage,
        /// Go to the first page.
        FirstPage,
        /// Go to the last page.
        LastPage,
        /// Show what lies further left.
        ShiftLeft,
        /// Show what lies further right.
        ShiftRight,
        /// Lay it out for other paper.
        SwitchPaper,
        /// Lay it out in other characters.
        SwitchCharacters,
        /// Print the talking points, or leave them out.
        SwitchPoints,
        /// Write it beside the lesson as it is shown.
        Write,
        /// Go back to the lesson.
        Close,
    }
}

actions! {
    /// What can be asked while searching for an action.
    SearchAction {
        /// Select the action before.
        Previous,
        /// Select the next action.
        Next,
        /// Go up a screenful.
        PageUp,
        /// Go down a screenful.
        PageDown,
        /// Erase the last character.
        Erase,
        /// Erase everything.
        EraseAll,
        /// Do what the selected line says.
        Accept,
        /// Do nothing.
        Cancel,
    }
}

actions! {
    /// What can be asked while a lesson is open and no box is.
    DeskAction {
        /// Go to the next pane.
        NextPane,
        /// Go to the pane before.
        PreviousPane,
        /// Go to the timeline.
        GoToTimeline,
        /// Go to the passage.
        GoToPassage,
        /// Go to the fretboard.
        GoToFretboard,
        /// Go to the readings.
        GoToReadings,
        /// Go to the library.
        GoToLibrary,
        /// Take the last change back.
        Undo,
        /// Make the change again that was taken back last.
        Redo,
        /// Save the lesson.
        Save,
        /// Write the handout beside the lesson.
        ExportHandout,
        /// Look at the handout as it will print.
        PreviewHandout,
        /// List what is wrong with the lesson.
        ShowProblems,
        /// Show every key.
        ShowHelp,
        /// Change the title of the lesson.
        RetitleLesson,
        /// Close the lesson and go to the start screen.
        GoToStart,
    }
}

actions! {
    /// What can be asked of the timeline.
    TimelineAction {
        /// Select the segment before.
        Previous,
        /// Select the next segment.
        Next,
        /// Select the first segment.
        First,
        /// Select the last segment.
        Last,
        /// Add a segment after the selected one.
        AddAfter,
        /// Add a segment before the selected one.
        AddBefore,
        /// Change the title.
        Retitle,
        /// Change the planned length.
        Retime,
        /// Say when it was recorded.
        Stamp,
        /// Name its piece and the key of it.
        NamePiece,
        /// Choose the kind.
        ChooseKind,
        /// Choose the setup.
        ChooseSetup,
        /// Describe a setup that the lesson does not have yet.
        AddSetup,
        /// Choose the passages it plays.
        ChoosePassages,
        /// Move it one place earlier.
        MoveEarlier,
        /// Move it one place later.
        MoveLater,
        /// Delete it.
        Delete,
        /// Write the talking points.
        EditPoints,
    }
}

actions! {
    /// What can be asked of the passage.
    PassageAction {
        /// Show earlier lines.
        ScrollUp,
        /// Show later lines.
        ScrollDown,
        /// Show the screenful before.
        PageUp,
        /// Show the next screenful.
        PageDown,
        /// Show the beginning.
        ToStart,
        /// Show the end.
        ToEnd,
        /// Show the next passage of the segment.
        NextPassage,
        /// Show the passage before.
        PreviousPassage,
        /// Read text tab from a file into a new passage.
        ReadTab,
    }
}

actions! {
    /// What can be asked of the fretboard.
    FretboardAction {
        /// Go to the string above.
        StringUp,
        /// Go to the string below.
        StringDown,
        /// Go one fret toward the nut.
        TowardNut,
        /// Go one fret toward the body.
        TowardBody,
        /// Go to the nut.
        ToNut,
        /// Go to the last fret.
        ToLastFret,
        /// Put a finger under the cursor, or lift it.
        PutFinger,
        /// Put the fret that is typed on the string.
        TypeFret,
        /// Mute the string.
        Mute,
        /// Let the string sound open.
        Open,
        /// Type a whole shape.
        TypeShape,
        /// Say how sure the ear is of the string.
        CycleDoubt,
        /// Change what the fingers are labelled with.
        CycleLabels,
        /// Take every finger off.
        Clear,
        /// Put the segment's next voicing on the fretboard.
        NextVoicing,
        /// Put the segment's voicing before on the fretboard.
        PreviousVoicing,
        /// Save the voicing in the segment and in the library.
        SaveVoicing,
        /// Take the voicing out of the segment.
        TakeVoicingOut,
    }
}

actions! {
    /// What can be asked of the readings.
    ReadingsAction {
        /// Select the reading before.
        Previous,
        /// Select the next reading.
        Next,
        /// Keep the selected reading as the voicing's name, or drop it.
        Keep,
    }
}

actions! {
    /// What can be asked of the library.
    LibraryAction {
        /// Select the voicing before.
        Previous,
        /// Select the next voicing.
        Next,
        /// Go up a screenful.
        PageUp,
        /// Go down a screenful.
        PageDown,
        /// Select the first voicing.
        First,
        /// Select the last voicing.
        Last,
        /// Start typing what to look for.
        Find,
        /// Show all voicings again.
        ShowAll,
        /// Put the voicing on the fretboard.
        Take,
        /// Put the voicing into the segment.
        Insert,
        /// Take the voicing out of the library.
        TakeOut,
        /// Select the voicing at the left.
        Left,
        /// Select the voicing at the right.
        Right,
        /// Show grids, or the list again.
        ToggleGrids,
        /// Change the tags.
        EditTags,
        /// Make one voicing of those that are the same.
        JoinDuplicates,
        /// Show all that is known of the voicing.
        ShowAbout,
    }
}

actions! {
    /// What can be asked while typing what to look for in the library.
    FindAction {
        /// Select the voicing before.
        Previous,
        /// Select the next voicing.
        Next,
        /// Erase the last character.
        Erase,
        /// Keep what was found.
        Accept,
        /// Show all voicings again.
        Cancel,
    }
}

actions! {
    /// What can be asked of the start screen.
    StartAction {
        /// Select the line before.
        Previous,
        /// Select the next line.
        Next,
        /// Do what the selected line says.
        Accept,
        /// Show every key.
        ShowHelp,
    }
}

actions! {
    /// What can be asked while typing one line.
    EntryAction {
        /// Take what was typed.
        Accept,
        /// Drop what was typed.
        Cancel,
        /// Go one character left.
        Left,
        /// Go one character right.
        Right,
        /// Go to the beginning.
        Start,
        /// Go to the end.
        End,
        /// Erase the character before the cursor.
        EraseBefore,
        /// Erase the character after the cursor.
        EraseAfter,
        /// Erase everything.
        EraseAll,
    }
}

actions! {
    /// What can be asked while writing talking points.
    PointsAction {
        /// Take what was written.
        Accept,
        /// Begin a new point.
        NewLine,
        /// Go one character left.
        Left,
        /// Go one character right.
        Right,
        /// Go up a line.
        Up,
        /// Go down a line.
        Down,
        /// Go to the beginning of the line.
        Start,
        /// Go to the end of the line.
        End,
        /// Erase the character before the cursor.
        EraseBefore,
        /// Erase the character after the cursor.
        EraseAfter,
    }
}

actions! {
    /// What can be asked of a list to choose from.
    ChoiceAction {
        /// Select the line before.
        Previous,
        /// Select the next line.
        Next,
        /// Take the selected line.
        Accept,
        /// Choose nothing.
        Cancel,
    }
}

actions! {
    /// What can be asked of a list to mark lines of.
    MarksAction {
        /// Select the line before.
        Previous,
        /// Select the next line.
        Next,
        /// Mark the selected line, or take its mark away.
        Toggle,
        /// Keep the marks.
        Accept,
        /// Leave the marks as they were.
        Cancel,
    }
}

actions! {
    /// What can be asked of a list to read.
    ListAction {
        /// Go up a line.
        Up,
        /// Go down a line.
        Down,
        /// Go up a screenful.
        PageUp,
        /// Go down a screenful.
        PageDown,
        /// Go to the place the selected line is about.
        GoThere,
        /// Put the list away.
        Close,
    }
}

/// Declares [`Action`] and [`Pane`] side by side, so that no group of actions lacks its place.
macro_rules! groups {
    ($($(#[$doc:meta])* $group:ident($actions:ty), $word:literal);+ $(;)?) => {
        /// Everything a person can ask for.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
        pub enum Action { $($(#[$doc])* $group($actions)),+ }

        /// A place that can be in focus and has keys of its own.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
        pub enum Pane { $($(#[$doc])* $group),+ }

        impl Action {
            /// Returns every action there is.
            pub fn all() -> impl Iterator<Item = Self> {
                let nothing = std::iter::empty();
                $(let nothing = nothing.chain(<$actions>::ALL.iter().copied().map(Self::$group));)+
                nothing
            }

            /// Returns the place the action belongs to.
            pub const fn home(self) -> Pane {
                match self { $(Self::$group(_) => Pane::$group),+ }
            }
        }

        impl Pane {
            /// Every place.
            pub const ALL: &'static [Self] = &[$(Self::$group),+];

            /// Returns what it is called on the screen.
            pub const fn word(self) -> &'static str {
                match self { $(Self::$group => $word),+ }
            }
        }
    };
}

groups! {
    /// Anywhere.
    Program(ProgramAction), "everywhere";
    /// Any pane of an open lesson.
    Desk(DeskAction), "in every pane";
    /// The segments of the video.
    Timeline(TimelineAction), "timeline";
    /// The tab of the segment.
    Passage(PassageAction), "passage";
    /// Strings, frets and fingers.
    Fretboard(FretboardAction), "fretboard";
    /// What the fingers can be called.
    Readings(ReadingsAction), "readings";
    /// The voicings of all lessons.
    Library(LibraryAction), "library";
    /// Typing what to look for in the library.
    Find(FindAction), "finding a voicing";
    /// The screen without a lesson.
    Start(StartAction), "start screen";
    /// One line to type.
    Entry(EntryAction), "typing a line";
    /// Talking points to write.
    Points(PointsAction), "writing talking points";
    /// A list to choose from.
    Choice(ChoiceAction), "choosing";
    /// A list to mark lines of.
    Marks(MarksAction), "marking";
    /// The handout as it will print.
    Preview(PreviewAction), "looking at the handout";
    /// The search for an action.
    Search(SearchAction), "searching for an action";
    /// A list to read.
    List(ListAction), "reading a list";
}

impl Action {
    /// Returns whether a number typed before it says how often it is done: movements.
    pub const fn repeats(self) -> bool {
        matches!(
            self,
            Self::Timeline(TimelineAction::Previous | TimelineAction::Next)
                | Self::Passage(
                    PassageAction::ScrollUp
                        | PassageAction::ScrollDown
                        | PassageAction::PageUp
                        | PassageAction::PageDown
                        | PassageAction::NextPassage
                        | PassageAction::PreviousPassage
                )
                | Self::Readings(ReadingsAction::Previous | ReadingsAction::Next)
                | Self::Library(
                    LibraryAction::Previous
                        | LibraryAction::Next
                        | LibraryAction::Left
                        | LibraryAction::Right
                        | LibraryAction::PageUp
                        | LibraryAction::PageDown
                )
                | Self::Start(StartAction::Previous | StartAction::Next)
                | Self::Choice(ChoiceAction::Previous | ChoiceAction::Next)
                | Self::Marks(MarksAction::Previous | MarksAction::Next)
                | Self::List(ListAction::Up | ListAction::Down | ListAction::PageUp | ListAction::PageDown)
                | Self::Preview(
                    PreviewAction::Up
                        | PreviewAction::Down
                        | PreviewAction::PageUp
                        | PreviewAction::PageDown
                        | PreviewAction::PreviousPage
                        | PreviewAction::NextPage
                        | PreviewAction::ShiftLeft
                        | PreviewAction::ShiftRight
                )
        )
    }
}

impl Pane {
    /// Returns whether what is struck there is typed, unless it asks for something.
    pub const fn types(self) -> bool {
        matches!(self, Self::Find | Self::Entry | Self::Points | Self::Search)
    }

    /// Returns the places whose keys work here too.
    pub const fn also(self) -> &'static [Self] {
        match self {
            Self::Program => &[],
            Self::Desk
            | Self::Start
            | Self::Find
            | Self::Entry
            | Self::Points
            | Self::Choice
            | Self::Marks
            | Self::Preview
            | Self::Search
            | Self::List => &[Self::Program],
            Self::Timeline | Self::Passage | Self::Fretboard | Self::Readings | Self::Library => {
                &[Self::Desk, Self::Program]
            }
        }
    }
}

/// One of the five panes of an open lesson, in the order Tab visits them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Focus {
    /// The timeline.
    #[default]
    Timeline,
    /// The passage.
    Passage,
    /// The fretboard.
    Fretboard,
    /// The readings.
    Readings,
    /// The library.
    Library,
}

impl Focus {
    /// The panes in order.
    pub const ALL: [Self; 5] = [Self::Timeline, Self::Passage, Self::Fretboard, Self::Readings, Self::Library];

    /// Returns the pane after this one, the first after the last.
    pub const fn next(self) -> Self {
        match self {
            Self::Timeline => Self::Passage,
            Self::Passage => Self::Fretboard,
            Self::Fretboard => Self::Readings,
            Self::Readings => Self::Library,
            Self::Library => Self::Timeline,
        }
    }

    /// Returns the pane before this one, the last before the first.
    pub const fn previous(self) -> Self {
        match self {
            Self::Timeline => Self::Library,
            Self::Passage => Self::Timeline,
            Self::Fretboard => Self::Passage,
            Self::Readings => Self::Fretboard,
            Self::Library => Self::Readings,
        }
    }

    /// Returns the place whose keys work in it.
    pub const fn pane(self) -> Pane {
        match self {
            Self::Timeline => Pane::Timeline,
            Self::Passage => Pane::Passage,
            Self::Fretboard => Pane::Fretboard,
            Self::Readings => Pane::Readings,
            Self::Library => Pane::Library,
        }
    }

    /// Returns the title of the pane.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Timeline => "Timeline",
            Self::Passage => "Passage",
            Self::Fretboard => "Fretboard",
            Self::Readings => "Readings",
            Self::Library => "Library",
        }
    }
}
