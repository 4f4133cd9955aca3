//! The box that lies over everything else.

use crate::workbench::boxes::choice::ChoiceBox;
use crate::workbench::boxes::entry::EntryBox;
use crate::workbench::boxes::list::ListBox;
use crate::workbench::boxes::marks::MarksBox;
use crate::workbench::boxes::points::PointsBox;
use crate::workbench::boxes::preview::PreviewBox;
use crate::workbench::boxes::search::SearchBox;
use crate::workbench::keys::action::Pane;

/// Any box.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Overlay {
    /// A line to type.
    Entry(EntryBox),
    /// Talking points to write.
    Points(PointsBox),
    /// A list to choose from.
    Choice(ChoiceBox),
    /// A list to mark lines of.
    Marks(MarksBox),
    /// A list to read.
    List(ListBox),
    /// The handout as it will print.
    Preview(PreviewBox),
    /// The search for an action.
    Search(SearchBox),
}

impl Overlay {
    /// Returns the place whose keys work in it.
    pub const fn pane(&self) -> Pane {
        match self {
            Self::Entry(_) => Pane::Entry,
            Self::Points(_) => Pane::Points,
            Self::Choice(_) => Pane::Choice,
            Self::Marks(_) => Pane::Marks,
            Self::List(_) => Pane::List,
            Self::Preview(_) => Pane::Preview,
            Self::Search(_) => Pane::Search,
        }
    }

    /// Types a character, where characters are typed; returns whether they are.
    pub fn type_letter(&mut self, letter: char) -> bool {
        match self {
            Self::Entry(entry) => {
                entry.line.insert(letter);
                entry.error = None;
            }
            Self::Points(points) => points.lines.line_mut().insert(letter),
            Self::Search(search) => search.type_letter(letter),
            Self::Choice(_) | Self::Marks(_) | Self::List(_) | Self::Preview(_) => return false,
        }
        true
    }

    /// Types a pasted text; its line ends begin new lines where there are lines, else become spaces.
    pub fn paste(&mut self, text: &str) {
        for letter in text.replace("\r\n", "\n").chars() {
            match (&mut *self, letter) {
                (Self::Points(points), '\n' | '\r') => points.lines.new_line(),
                (_, '\n' | '\r' | '\t') => _ = self.type_letter(' '),
                (_, letter) if letter.is_control() => {}
                (_, letter) => _ = self.type_letter(letter),
            }
        }
    }
}
