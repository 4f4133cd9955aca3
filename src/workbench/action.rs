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
        /// Open the recording view.
        GoToRecording,
    }
}

actions! {
    /// What can be asked of the recording view.
    RecordingAction {
        /// Say that the next segment starts now; after the last one, that it ends.
        Advance,
        /// Take the last stroke back and go on with the segment before.
        StepBack,
        /// Let the clock run, or hold it.
        RunOrHold,
        /// Have the segment begin again now.
        Retake,
        /// Set the clock.
        SetClock,
        /// Show earlier cues.
        ScrollUp,
        /// Show later cues.
        ScrollDown,
        /// Go back to the panes.
        Close,
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
        /// Write the notes on camera and light.
        EditShot,
        /// Write the notes on the sound of the instrument.
        EditTone,
        /// Choose the voicings it shows.
        ChooseVoicings,
        /// Split it at a time.
        Split,
        /// Join it with the next one.
        JoinNext,
        /// Put a copy after it.
        Duplicate,
        /// Have the recorded times after a changed one move along, or stay.
        ToggleRipple,
        /// Change the length that the video should have.
        SetTarget,
        /// Mend what is wrong with it, where that leaves nothing to decide.
        Mend,
        /// Show less of the video in the lanes, larger.
        ZoomIn,
        /// Show more of the video in the lanes.
        ZoomOut,
        /// Show the list with all columns, or the lanes over it.
        ToggleColumns,
    }
}

actions! {
    /// What can be asked of the passage.
    PassageAction {
        /// Go to the beat before.
        PreviousEvent,
        /// Go to the next beat.
        NextEvent,
        /// Go to the string above.
        StringUp,
        /// Go to the string below.
        StringDown,
        /// Go to the beginning of the bar, or of the one before.
        PreviousBar,
        /// Go to the next bar.
        NextBar,
        /// Go up a line of tab.
        RowUp,
        /// Go down a line of tab.
        RowDown,
        /// Go to the beginning.
        ToStart,
        /// Go behind the last beat.
        ToEnd,
        /// Show earlier lines.
        ScrollUp,
        /// Show later lines.
        ScrollDown,
        /// Write the other voice of the bar.
        SwitchVoice,
        /// Put the fret that is typed on the string.
        TypeFret,
        /// Take the note off the string.
        Lift,
        /// Rest here.
        Rest,
        /// Put a rest in before this beat.
        InsertEvent,
        /// Take this beat out.
        RemoveEvent,
        /// Fill the bar with rests.
        FillBar,
        /// Make it twice as long.
        Longer,
        /// Make it half as long.
        Shorter,
        /// Add a dot.
        Dot,
        /// Make it part of a triplet.
        Triplet,
        /// Type a length.
        TypeLength,
        /// List how the note can be played.
        Techniques,
        /// Hammer on or pull off to the next note.
        Slur,
        /// Slide to the next note.
        Slide,
        /// Tie to the next note.
        Tie,
        /// Bend it.
        Bend,
        /// Vibrato.
        Vibrato,
        /// Palm mute.
        PalmMute,
        /// A dead note.
        DeadNote,
        /// Let it ring.
        LetRing,
        /// Tap it.
        Tap,
        /// A natural harmonic.
        Harmonic,
        /// Down, up or no stroke.
        Stroke,
        /// Name the chord over the beat.
        NameChord,
        /// Write words over the beat.
        WriteWords,
        /// Put an empty bar in after this one.
        InsertBar,
        /// Take this bar out.
        RemoveBar,
        /// Choose what the bar begins and ends with.
        ChooseBar,
        /// Select the beat before.
        ExtendBack,
        /// Select the next beat.
        ExtendForth,
        /// Select the bar before.
        ExtendBarBack,
        /// Select the next bar.
        ExtendBarForth,
        /// Begin a selection.
        Mark,
        /// End the selection.
        DropMark,
        /// Keep what is selected.
        Copy,
        /// Keep what is selected and take it out.
        Cut,
        /// Put in what was copied.
        Paste,
        /// Hand text tab to the clipboard of the terminal.
        CopyOut,
        /// Move by semitones.
        Transpose,
        /// Move the note to the string above.
        ToStringAbove,
        /// Move the note to the string below.
        ToStringBelow,
        /// Place the passage anew for another setup.
        PlaceAnew,
        /// Begin a new passage.
        NewPassage,
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
        /// Go one fret to the left.
        GoLeft,
        /// Go one fret to the right.
        GoRight,
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
    /// What can be asked of the fretboard beside its fingers: alternatives, comparing, how the neck is seen.
    NeckAction {
        /// Show the same chord in the next other place.
        Elsewhere,
        /// Show the same tones under the same highest note.
        SameTop,
        /// Show the next higher inversion.
        InversionUp,
        /// Show the next lower inversion.
        InversionDown,
        /// Show the shape one fret nearer to the nut.
        MoveTowardNut,
        /// Show the shape one fret nearer to the body.
        MoveTowardBody,
        /// Show the same pitches, each one string nearer to string 1.
        TowardFirstString,
        /// Show the same pitches, each one string further from string 1.
        AwayFromFirstString,
        /// Show what this hand holds in place of too wide a shape.
        Smaller,
        /// Type a chord to see its voicings.
        NameChord,
        /// Show the next ghost.
        NextGhost,
        /// Show the ghost before.
        PreviousGhost,
        /// Take the ghost; without one, put a finger or lift it.
        TakeGhost,
        /// Drop the ghost, or the targets.
        DropGhost,
        /// Write down which fingers hold the shape.
        SuggestFingers,
        /// Change the size of the hand.
        ChangeHand,
        /// Put the shape into slot A.
        PutInA,
        /// Put the shape into slot B.
        PutInB,
        /// Put the other slot's shape on the fretboard.
        Swap,
        /// Show what is in both slots.
        Compare,
        /// Mark the notes of the key, or no longer.
        ShowKeyNotes,
        /// Mark harmonic nodes, or no longer.
        ShowNodes,
        /// See the neck as a left-handed player does, or no longer.
        TurnLeftHanded,
        /// Turn the order of the strings round.
        TurnStrings,
        /// Aim at the tones of the passage's next chord.
        NextTarget,
        /// Aim at the tones of the chord before.
        PreviousTarget,
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
        /// Say which bass somebody else plays.
        StateBass,
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
        /// Complete the name of a file.
        Complete,
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
        /// Mend what the selected line is about, where that leaves nothing to decide.
        Mend,
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
    /// Other shapes, and how the neck is seen.
    Neck(NeckAction), "fretboard: alternatives, comparing, guides";
    /// What the fingers can be called.
    Readings(ReadingsAction), "readings";
    /// The voicings of all lessons.
    Library(LibraryAction), "library";
    /// Typing what to look for in the library.
    Find(FindAction), "finding a voicing";
    /// The view for the camera.
    Recording(RecordingAction), "recording view";
    /// The screen without a lesson.
    Start(StartAction), "start screen";
    /// One line to type.
    Entry(EntryAction), "typing a line";
    /// Talking points to write.
    Points(PointsAction), "writing points and notes";
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
            | Self::Neck
            | Self::Start
            | Self::Recording
            | Self::Find
            | Self::Entry
            | Self::Points
            | Self::Choice
            | Self::Marks
            | Self::Preview
            | Self::Search
            | Self::List => &[Self::Program],
            Self::Fretboard => &[Self::Neck, Self::Desk, Self::Program],
            Self::Timeline | Self::Passage | Self::Readings | Self::Library => &[Self::Desk, Self::Program],
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
