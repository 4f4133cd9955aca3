//! The actions of the program, of an open lesson, of each pane and of the two full-screen views.

use serde::{Deserialize, Serialize};

actions! {
    /// What can be asked anywhere.
    ProgramAction {
        /// Leave the program, after a question where something is not saved.
        Quit,
        /// Stop the program and give the terminal back to the shell until the shell continues the program.
        Suspend,
        /// Draw the whole screen again.
        Redraw,
        /// Show the last messages in full.
        ShowMessages,
        /// Search for an action by what it does.
        SearchActions,
        /// Choose the colours.
        ChooseColours,
        /// Decide about the things that another program has changed as well.
        DecideVersions,
        /// Open the lesson for writing that another window had.
        OpenForWriting,
    }
}

actions! {
    /// What can be asked while a lesson is open and no box lies over it.
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
        /// Make the change again that was undone last.
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
    /// What can be asked about listening, in every pane.
    SoundAction {
        /// Play what the pane shows: a stroke down, or the music from the cursor on. Stop music that plays.
        #[serde(rename = "Play", alias = "Hear")]
        Hear,
        /// Play it in a stroke up; in the passage, play all of it.
        #[serde(rename = "PlayUpstroke", alias = "HearUpward")]
        HearUpward,
        /// Play it note by note, the lowest first; in the passage, play all of it.
        #[serde(rename = "PlayNoteByNote", alias = "HearSlowly")]
        HearSlowly,
        /// Play its lowest note alone.
        #[serde(rename = "PlayBass", alias = "HearBass")]
        HearBass,
        /// Play the string under the cursor alone.
        #[serde(rename = "PlayString", alias = "HearString")]
        HearString,
        /// Play two against each other: slots A and B, or a name in root position and the shape.
        #[serde(rename = "PlayBoth", alias = "HearBoth")]
        HearBoth,
        /// Stop everything that is heard.
        Stop,
        /// Play everything softer.
        Softer,
        /// Play everything louder.
        Louder,
        /// Play music slower.
        Slower,
        /// Play music faster.
        Faster,
        /// Type the tempo at which music is played.
        TypeTempo,
        /// Repeat music until it is stopped, or play it once.
        #[serde(rename = "ToggleLoop", alias = "ToggleRound")]
        ToggleRound,
        /// Hold a bass note under chords, or stop holding it.
        ToggleDrone,
        /// Play doubtful strings, or leave them out.
        ToggleUnsure,
        /// Choose click, count-in and sound.
        Choose,
    }
}

actions! {
    /// What can be asked of the recording view.
    RecordingAction {
        /// Say that the next segment starts now; after the last one, that it ends.
        Advance,
        /// Take the last stroke back and go on with the segment before.
        #[serde(rename = "PreviousSegment", alias = "StepBack")]
        StepBack,
        /// Run the clock, or hold it.
        #[serde(rename = "PauseOrResume", alias = "RunOrHold")]
        RunOrHold,
        /// Start the segment again from this moment.
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
        /// Go up a screenful.
        PageUp,
        /// Go down a screenful.
        PageDown,
        /// Add a segment after the selected one.
        AddAfter,
        /// Add a segment before the selected one.
        AddBefore,
        /// Change the title.
        Retitle,
        /// Change the planned length.
        #[serde(rename = "PlanLength", alias = "Retime")]
        Retime,
        /// Type when the segment was recorded.
        #[serde(rename = "SetStart", alias = "Stamp")]
        Stamp,
        /// Type what of its recording is left out of the video.
        EditCuts,
        /// Copy the chapter list to the terminal's clipboard.
        CopyChapters,
        /// Name the segment's piece and the key of the piece.
        NamePiece,
        /// List the pieces of the lesson, to delete them.
        ListPieces,
        /// Choose the kind.
        ChooseKind,
        /// Choose how far the work on the segment is.
        ChooseProgress,
        /// Choose the setup.
        #[serde(rename = "ChooseTuning", alias = "ChooseSetup")]
        ChooseSetup,
        /// Describe a setup that the lesson does not have yet.
        #[serde(rename = "TypeTuning", alias = "AddSetup")]
        AddSetup,
        /// Choose the passages it plays.
        ChoosePassages,
        /// Move it one place earlier.
        MoveEarlier,
        /// Move it one place later.
        MoveLater,
        /// Type the place to which it is moved.
        MoveToPlace,
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
        /// Choose whether the recorded times after a changed one move along or stay.
        #[serde(rename = "ShiftLater", alias = "ToggleRipple")]
        ToggleRipple,
        /// Change the length that the video should have.
        #[serde(rename = "SetGoal", alias = "SetTarget")]
        SetTarget,
        /// Mend what is wrong with the segment, where the remedy leaves nothing to decide.
        #[serde(rename = "Fix", alias = "Mend")]
        Mend,
        /// Show less of the video in the lanes, at a larger scale.
        ZoomIn,
        /// Show more of the video in the lanes, at a smaller scale.
        ZoomOut,
        /// Show the list with all columns, or with the lanes above it.
        #[serde(rename = "ShowTable", alias = "ToggleColumns")]
        ToggleColumns,
    }
}

actions! {
    /// What can be asked of the passage.
    PassageAction {
        /// Go to the beat before.
        #[serde(rename = "PreviousNote", alias = "PreviousEvent")]
        PreviousEvent,
        /// Go to the next beat.
        #[serde(rename = "NextNote", alias = "NextEvent")]
        NextEvent,
        /// Go to the string above.
        StringUp,
        /// Go to the string below.
        StringDown,
        /// Go to the beginning of the bar, or of the bar before.
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
        /// Put the typed fret on the string.
        TypeFret,
        /// Take the note off the string.
        #[serde(rename = "DeleteNote", alias = "Lift")]
        Lift,
        /// Put a rest at the cursor.
        Rest,
        /// Insert a rest before this beat.
        #[serde(rename = "InsertRest", alias = "InsertEvent")]
        InsertEvent,
        /// Take this beat out.
        #[serde(rename = "CloseUp", alias = "RemoveEvent")]
        RemoveEvent,
        /// Fill the bar with rests.
        FillBar,
        /// Make the beat twice as long.
        Longer,
        /// Make the beat half as long.
        Shorter,
        /// Add a dot to the beat.
        Dot,
        /// Make the beat part of a triplet.
        Triplet,
        /// Type a length.
        TypeLength,
        /// List the ways to play the note.
        Techniques,
        /// Hammer on or pull off to the next note.
        Slur,
        /// Slide to the next note.
        Slide,
        /// Tie to the next note.
        Tie,
        /// Bend the note.
        Bend,
        /// Play the note with vibrato.
        Vibrato,
        /// Mute the note with the palm.
        PalmMute,
        /// Make the note a dead note.
        DeadNote,
        /// Make every note of the chord a dead note.
        DeadStrum,
        /// Trill the note.
        Trill,
        /// Let the note ring.
        LetRing,
        /// Tap the note.
        Tap,
        /// Make the note a natural harmonic.
        Harmonic,
        /// Set a stroke down, a stroke up, or none.
        #[serde(rename = "PickStroke", alias = "Stroke")]
        Stroke,
        /// Name the chord over the beat.
        NameChord,
        /// Go through suggested names for the bars that have none.
        NameAll,
        /// Put what is fretted at the cursor on the fretboard.
        ToFretboard,
        /// Mend what is wrong where the cursor stands, where the remedy leaves nothing to decide.
        #[serde(rename = "Fix")]
        Mend,
        /// Write words over the beat.
        WriteWords,
        /// Insert an empty bar after this one.
        InsertBar,
        /// Insert an empty bar before this one.
        InsertBarBefore,
        /// Begin a new bar with this beat.
        SplitBar,
        /// Join this bar with the next one.
        #[serde(rename = "JoinBar", alias = "MergeBar")]
        MergeBar,
        /// Remove this bar.
        #[serde(rename = "DeleteBar", alias = "RemoveBar")]
        RemoveBar,
        /// Choose how the bar begins and ends.
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
        /// Copy the selection.
        Copy,
        /// Copy the selection and remove it.
        Cut,
        /// Insert what was copied.
        Paste,
        /// Copy the selection to the clipboard of the terminal as text tab.
        CopyOut,
        /// Transpose by semitones.
        Transpose,
        /// Move the note to the string above.
        ToStringAbove,
        /// Move the note to the string below.
        ToStringBelow,
        /// Place the passage anew for another setup.
        #[serde(rename = "ChangeTuning", alias = "PlaceAnew")]
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
        /// Put the typed fret on the string.
        TypeFret,
        /// Mute the string.
        Mute,
        /// Take the finger off the string, which is then mute.
        Lift,
        /// Let the string sound open.
        Open,
        /// Type a whole shape.
        TypeShape,
        /// Say how surely the ear hears the string.
        #[serde(rename = "MarkUnsure", alias = "CycleDoubt")]
        CycleDoubt,
        /// Change the labels of the fingers.
        CycleLabels,
        /// Take every finger off.
        Clear,
        /// Put the segment's next voicing on the fretboard.
        NextVoicing,
        /// Put the segment's voicing before on the fretboard.
        PreviousVoicing,
        /// Copy the shape as text to the terminal's clipboard.
        CopyOut,
        /// Save the voicing in the segment and in the library.
        SaveVoicing,
        /// Take the voicing out of the segment.
        #[serde(rename = "DeleteVoicing", alias = "TakeVoicingOut")]
        TakeVoicingOut,
    }
}

actions! {
    /// What can be asked of the fretboard apart from its fingers: other shapes, comparing, the display of the neck.
    NeckAction {
        /// Show the same chord in the next other position on the neck.
        Elsewhere,
        /// Show the same tones with the same highest note.
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
        /// Show a shape this hand can hold in place of one that is too wide.
        Smaller,
        /// Type a chord to see its voicings.
        NameChord,
        /// Show the next suggestion.
        #[serde(rename = "NextSuggestion", alias = "NextGhost")]
        NextGhost,
        /// Show the suggestion before.
        #[serde(rename = "PreviousSuggestion", alias = "PreviousGhost")]
        PreviousGhost,
        /// Take the ghost; where there is none, put or lift a finger.
        #[serde(rename = "UseSuggestion", alias = "TakeGhost")]
        TakeGhost,
        /// Drop the ghost, or the targets.
        #[serde(rename = "CancelSuggestion", alias = "DropGhost")]
        DropGhost,
        /// Write down the fingers that hold the shape.
        SuggestFingers,
        /// Change the size of the hand.
        ChangeHand,
        /// Change the level that suggestions keep to.
        ChangeLevel,
        /// Put the shape into slot A.
        PutInA,
        /// Put the shape into slot B.
        PutInB,
        /// Put the other slot's shape on the fretboard.
        Swap,
        /// Show what is in both slots.
        Compare,
        /// Mark the notes of the key, or remove the marks.
        ShowKeyNotes,
        /// Mark harmonic nodes, or remove the marks.
        ShowNodes,
        /// Show the neck as a left-handed player sees it, or as a right-handed one does.
        TurnLeftHanded,
        /// Reverse the order of the strings.
        TurnStrings,
        /// Show the tones of the passage's next chord as targets.
        #[serde(rename = "NextChord", alias = "NextTarget")]
        NextTarget,
        /// Show the tones of the chord before as targets.
        #[serde(rename = "PreviousChord", alias = "PreviousTarget")]
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
        /// Select the first reading.
        First,
        /// Select the last reading.
        Last,
        /// Keep the selected reading as the voicing's name, or drop it.
        Keep,
        /// State a bass note that somebody else plays.
        StateBass,
        /// Write the name over the notes of the passage that were taken to the fretboard.
        NameInPassage,
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
        /// Start typing a search in the library.
        Find,
        /// Show all voicings again.
        ShowAll,
        /// Put the voicing on the fretboard.
        #[serde(rename = "ToFretboard", alias = "Take")]
        Take,
        /// Put a shape on the fretboard that sounds, on the strings there, as the voicing sounds on its own.
        #[serde(rename = "Refinger", alias = "CarryOver")]
        CarryOver,
        /// Put the voicing into the segment.
        Insert,
        /// Put the voicing into the segment, and into the passage as a chord under its cursor.
        InsertAsChord,
        /// Remove the voicing from the library.
        #[serde(rename = "Delete", alias = "TakeOut")]
        TakeOut,
        /// Select the voicing at the left.
        Left,
        /// Select the voicing at the right.
        Right,
        /// Show grids, or the list again.
        ToggleGrids,
        /// Sort by open shape, or show them as they were saved.
        SortByShape,
        /// Change the tags.
        EditTags,
        /// Join voicings that are the same into one.
        JoinDuplicates,
        /// Show everything that is known about the voicing.
        ShowAbout,
    }
}

actions! {
    /// What can be asked of the start screen.
    StartAction {
        /// Select the line before.
        Previous,
        /// Select the next line.
        Next,
        /// Select the first line.
        First,
        /// Select the last line.
        Last,
        /// Do what the selected line says.
        Accept,
        /// Show every key.
        ShowHelp,
    }
}
