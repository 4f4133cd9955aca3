//! The actions of the boxes: what a person can ask for while something is typed, chosen or read over the panes.

use serde::{Deserialize, Serialize};

actions! {
    /// What can be asked of the preview of the handout.
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
        /// Lay the handout out for the other paper size.
        SwitchPaper,
        /// Lay the handout out in the other set of characters.
        SwitchCharacters,
        /// Print the talking points, or leave them out.
        SwitchPoints,
        /// Choose the segments that it is about.
        ChooseSegments,
        /// Print music that no segment plays, or leave it out.
        SwitchUnused,
        /// Print the times of the cut or of the uncut video.
        SwitchVideo,
        /// Choose the length of a line.
        ChooseWidth,
        /// Write the handout beside the lesson as it is shown.
        Write,
        /// Go back to the lesson.
        Close,
    }
}

actions! {
    /// What can be asked of the search for an action.
    SearchAction {
        /// Select the action before.
        Previous,
        /// Select the next action.
        Next,
        /// Select the first line.
        First,
        /// Select the last line.
        Last,
        /// Go up a screenful.
        PageUp,
        /// Go down a screenful.
        PageDown,
        /// Erase the last character.
        Erase,
        /// Erase everything.
        EraseAll,
        /// Do the action of the selected line.
        Accept,
        /// Do nothing.
        Cancel,
    }
}

actions! {
    /// What can be asked of the list of all keys.
    HelpAction {
        /// Select the line before.
        Previous,
        /// Select the next line.
        Next,
        /// Select the first line.
        First,
        /// Select the last line.
        Last,
        /// Go up a screenful.
        PageUp,
        /// Go down a screenful.
        PageDown,
        /// Erase the last character.
        Erase,
        /// Erase everything.
        EraseAll,
        /// Open or close the heading, or do the action of the selected line.
        Open,
        /// Close the list.
        Close,
    }
}

actions! {
    /// What can be asked of the search line of the library.
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
    /// What can be asked while one line is typed.
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
        /// Put the offered answer before into the line.
        OfferBefore,
        /// Put the next offered answer into the line.
        NextOffer,
    }
}

actions! {
    /// What can be asked while talking points are written.
    PointsAction {
        /// Take what was written.
        Accept,
        /// Drop what was written.
        Cancel,
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
    /// What can be asked of a list from which one line is chosen.
    ChoiceAction {
        /// Select the line before.
        Previous,
        /// Select the next line.
        Next,
        /// Select the first line.
        First,
        /// Select the last line.
        Last,
        /// Go up a screenful.
        PageUp,
        /// Go down a screenful.
        PageDown,
        /// Take the selected line.
        Accept,
        /// Choose nothing.
        Cancel,
    }
}

actions! {
    /// What can be asked of a list in which lines are marked.
    MarksAction {
        /// Select the line before.
        Previous,
        /// Select the next line.
        Next,
        /// Select the first line.
        First,
        /// Select the last line.
        Last,
        /// Go up a screenful.
        PageUp,
        /// Go down a screenful.
        PageDown,
        /// Mark the selected line, or remove its mark.
        Toggle,
        /// Keep the marks.
        Accept,
        /// Leave the marks as they were.
        Cancel,
    }
}

actions! {
    /// What can be asked of a list that is only read.
    ListAction {
        /// Go up a line.
        Up,
        /// Go down a line.
        Down,
        /// Go up a screenful.
        PageUp,
        /// Go down a screenful.
        PageDown,
        /// Go to the first line.
        First,
        /// Go to the last line.
        Last,
        /// Go to the place the selected line is about.
        GoThere,
        /// Mend what the selected line is about, where the remedy leaves nothing to decide.
        #[serde(rename = "Fix", alias = "Mend")]
        Mend,
        /// Close the list.
        Close,
    }
}
