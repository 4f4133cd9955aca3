//! The box that lies over everything else.

use crate::workbench::boxes::choice::{Advice, ChoiceBox, TypedChoice};
use crate::workbench::boxes::help::HelpBox;
use crate::workbench::boxes::list::ListBox;
use crate::workbench::boxes::marks::MarksBox;
use crate::workbench::boxes::points::PointsBox;
use crate::workbench::boxes::preview::PreviewBox;
use crate::workbench::boxes::search::SearchBox;
use crate::workbench::boxes::typed_line::EntryBox;
use crate::workbench::keys::action::Pane;
use crate::workbench::keys::table::KeyTable;
use crate::workbench::typing::lines::NoRoom;
use crate::workbench::typing::pasted::PastedText;

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
    /// The list of all keys.
    Help(HelpBox),
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
            Self::Help(_) => Pane::Help,
        }
    }

    /// Returns whether letters are being typed that lead to a line.
    pub const fn is_searching(&self) -> bool {
        match self {
            Self::Choice(choice) => choice.jump.is_typing(),
            Self::Marks(marks) => marks.jump.is_typing(),
            Self::List(list) => list.jump.is_typing(),
            Self::Entry(_) | Self::Points(_) | Self::Preview(_) | Self::Search(_) | Self::Help(_) => false,
        }
    }

    /// Returns the key, by its action, that brings what is typed here into the lesson; none where nothing is.
    pub fn kept_by(&self) -> Option<&'static str> {
        match self {
            Self::Entry(entry) => entry.is_changed().then_some("{Entry(Accept)}"),
            Self::Points(points) => points.holds_work().then_some("{Points(Accept)}"),
            Self::Choice(_) | Self::Marks(_) | Self::List(_) | Self::Preview(_) | Self::Search(_) | Self::Help(_) => {
                None
            }
        }
    }

    /// Returns whether so much is typed here that it is not given up without a question.
    pub fn holds_work(&self) -> bool {
        match self {
            Self::Entry(entry) => entry.holds_work(),
            Self::Points(points) => points.holds_work(),
            Self::Choice(_) | Self::Marks(_) | Self::List(_) | Self::Preview(_) | Self::Search(_) | Self::Help(_) => {
                false
            }
        }
    }

    /// Puts the keys of the person in place of the actions that what is said in the box names.
    pub fn name_keys(&mut self, keys: &KeyTable) {
        match self {
            Self::Entry(entry) => {
                for text in [Some(entry.advice.to_mut()), entry.error.as_mut()].into_iter().flatten() {
                    *text = keys.name_keys(text);
                }
            }
            Self::Choice(ChoiceBox { advice: Advice::Words(words), .. }) => *words = keys.name_keys(words),
            Self::List(list) => {
                for line in list.lines.iter_mut().filter(|line| line.text.contains('{')) {
                    line.text = keys.name_keys(&line.text);
                }
            }
            Self::Choice(_) | Self::Points(_) | Self::Marks(_) | Self::Preview(_) | Self::Search(_) | Self::Help(_) => {
            }
        }
    }

    /// Types a character, where characters are typed or lead to a line; returns whether it was taken. Errors: there is no more room.
    pub fn type_letter(&mut self, letter: char) -> Result<bool, NoRoom> {
        match self {
            Self::Entry(entry) => entry.type_all(letter.encode_utf8(&mut [0; 4]))?,
            Self::Points(points) => points.lines.insert(letter)?,
            Self::Search(search) => search.type_all(letter.encode_utf8(&mut [0; 4]))?,
            Self::Help(help) => help.type_all(letter.encode_utf8(&mut [0; 4]))?,
            Self::Choice(choice) => match choice.type_letter(letter)? {
                TypedChoice::Line => {}
                TypedChoice::Asks(entry) => *self = Self::Entry(*entry),
                TypedChoice::Nothing => return Ok(false),
            },
            Self::Marks(marks) => return Ok(marks.type_letter(letter)),
            Self::List(list) => return Ok(list.type_letter(letter)),
            Self::Preview(_) => return Ok(false),
        }
        Ok(true)
    }

    /// Types a pasted text, whole; its line ends begin new lines where there are lines, else they become spaces. Returns whether
    /// anything is typed here. Errors: there is no room for all of it, and nothing of it was taken.
    pub fn paste(&mut self, pasted: &PastedText) -> Result<bool, NoRoom> {
        match self {
            Self::Entry(entry) => entry.type_all(&pasted.in_one_line())?,
            Self::Points(points) => points.lines.paste(&pasted.text)?,
            Self::Search(search) => search.type_all(&pasted.in_one_line())?,
            Self::Help(help) => help.type_all(&pasted.in_one_line())?,
            Self::Choice(_) | Self::Marks(_) | Self::List(_) | Self::Preview(_) => return Ok(false),
        }
        Ok(true)
    }
}
