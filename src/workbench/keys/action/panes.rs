//! What can be asked of the program, of an open lesson, of each pane and of the two full views.

use serde::Deserialize;

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
        /// Choose the colours.
        ChooseColours,
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
    /// What can be asked of the ear, in every pane.
    SoundAction {
        /// Hear what the pane shows: a stroke down, or the music from the cursor on; stop music that plays.
        Hear,
        /// Hear it in a stroke up; in the passage all of it.
        HearUpward,
        /// Hear it note by note, the lowest first; in the passage all of it.
        HearSlowly,
        /// Hear its lowest note alone.
        HearBass,
        /// Hear the string under the cursor alone.
        HearString,
        /// Hear two against each other: slots A and B; a name in root position and the shape.
        HearBoth,
        /// Hear nothing more.
        Stop,
        /// Softer.
        Softer,
        /// Louder.
        Louder,
        /// Play music slower.
        Slower,
        /// Play music faster.
        Faster,
        /// Say how fast music is played.
        TypeTempo,
        /// Play music round and round, or once.
        ToggleRound,
        /// Hold a bass note under chords, or no longer.
        ToggleDrone,
        /// Let doubtful strings be heard, or not.
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
        /// Say how far it is.
        ChooseProgress,
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
        /// Begin a new bar with this beat.
        SplitBar,
        /// Join this bar with the next one.
        MergeBar,
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
        /// Put on the fretboard what sounds as the voicing does on its own strings.
        CarryOver,
        /// Put the voicing into the segment.
        Insert,
        /// Put the voicing into the segment, and into the passage as a chord under its cursor.
        InsertAsChord,
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
