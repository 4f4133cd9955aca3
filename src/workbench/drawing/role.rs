//! The parts that text plays on the screen. How each of them looks is for the appearance and the themes.

use serde::Deserialize;

/// The part a piece of text plays.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
pub enum Role {
    /// Ordinary text.
    Plain,
    /// What matters most: the lesson's title, the best reading.
    Strong,
    /// What is there when it is needed: rules, empty places, hints.
    Faint,
    /// The title of the pane in focus.
    FocusedTitle,
    /// The title of another pane.
    Title,
    /// The selected line, in the pane in focus.
    Selected,
    /// The selected line, in another pane.
    SelectedElsewhere,
    /// A finger on a string.
    Finger,
    /// The place where the next key acts.
    Cursor,
    /// Done, saved, sure.
    Good,
    /// To be looked at.
    Caution,
    /// Gone wrong.
    Bad,
    /// A key in the hint line.
    Key,
    /// A part of the timeline already recorded.
    Recorded,
    /// What sounds now.
    Heard,
}

impl Role {
    /// Every part.
    pub const ALL: [Self; 15] = [
        Self::Plain,
        Self::Strong,
        Self::Faint,
        Self::FocusedTitle,
        Self::Title,
        Self::Selected,
        Self::SelectedElsewhere,
        Self::Finger,
        Self::Cursor,
        Self::Good,
        Self::Caution,
        Self::Bad,
        Self::Key,
        Self::Recorded,
        Self::Heard,
    ];
}
