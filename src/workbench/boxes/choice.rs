//! A list to choose a line from.

use crate::workbench::boxes::jump::{Jump, Jumped};
use crate::workbench::boxes::side_by_side::SideBySide;
use crate::workbench::boxes::typed_line::EntryBox;
use crate::workbench::boxes::verdict::BoxVerdict;
use crate::workbench::keys::action::ChoiceAction;
use crate::workbench::questions::pick::Pick;
use crate::workbench::typing::lines::NoRoom;

/// How many lines a screenful is in a box of lines: about as many as the smallest screen shows of them.
pub(super) const SCREENFUL: usize = 8;

/// A list to choose from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChoiceBox {
    /// What is asked.
    pub title: String,
    /// What there is to know first.
    pub advice: Advice,
    /// The lines.
    pub lines: Vec<(String, Pick)>,
    /// The selected line.
    pub selected: usize,
    /// The letters typed to come to a line.
    pub jump: Jump,
    /// The question that what is typed answers where no line begins so.
    pub prompt: Option<Box<TypedPrompt>>,
}

/// A question to which letters go that fit no line of a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TypedPrompt {
    /// The question.
    entry: EntryBox,
    /// All that was typed over the list.
    typed: String,
}

/// What a letter typed over a list of choices comes to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TypedChoice {
    /// It leads to a line, or belongs to what does.
    Line,
    /// No line begins so: this question is asked, with what was typed.
    Asks(Box<EntryBox>),
    /// It means nothing here.
    Nothing,
}

/// What there is to know before a line is chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Advice {
    /// These words, possibly none. Each of their lines stands by itself.
    Words(String),
    /// Two versions, one of which is chosen.
    SideBySide(Box<SideBySide>),
}

impl Advice {
    /// There is nothing to know.
    pub const NONE: Self = Self::Words(String::new());
}

impl<T: Into<String>> From<T> for Advice {
    fn from(words: T) -> Self {
        Self::Words(words.into())
    }
}

impl ChoiceBox {
    /// Returns a list whose first line is selected.
    pub fn new(title: impl Into<String>, advice: impl Into<Advice>, lines: Vec<(String, Pick)>) -> Self {
        Self { title: title.into(), advice: advice.into(), lines, selected: 0, jump: Jump::default(), prompt: None }
    }

    /// Returns the same list, where what is typed and fits no line answers a question.
    #[must_use]
    pub fn or_typed(self, entry: EntryBox) -> Self {
        Self { prompt: Some(Box::new(TypedPrompt { entry, typed: String::new() })), ..self }
    }

    /// Returns the same list with another line selected, counted from 0.
    #[must_use]
    pub fn selecting(self, selected: usize) -> Self {
        Self { selected, ..self }
    }

    /// Goes to the line that the letters typed so far begin, or asks the question that takes what no line begins with. Errors: there is
    /// no room for it.
    pub fn type_letter(&mut self, letter: char) -> Result<TypedChoice, NoRoom> {
        let known = self.jump.letters().chars().count();
        let jumped = self.jump.add(letter, self.lines.iter().map(|(text, _)| text.as_str()));
        let begins_anew = letter.is_alphanumeric() && self.jump.letters().chars().count() <= known;
        if let Some(prompt) = self.prompt.as_mut().filter(|_| self.jump.is_typing()) {
            prompt.typed.push(letter);
            if begins_anew {
                let mut entry = prompt.entry.clone();
                entry.type_all(&prompt.typed)?;
                return Ok(TypedChoice::Asks(Box::new(entry)));
            }
        }
        match jumped {
            Jumped::To(line) => self.selected = line,
            Jumped::Stayed => {}
            Jumped::Nowhere => return Ok(TypedChoice::Nothing),
        }
        Ok(TypedChoice::Line)
    }

    /// Does what was asked.
    pub fn act(&mut self, action: ChoiceAction) -> BoxVerdict {
        self.jump.forget();
        if let Some(prompt) = &mut self.prompt {
            prompt.typed.clear();
        }
        let last = self.lines.len().saturating_sub(1);
        if let Advice::SideBySide(side) = &mut self.advice {
            let scrolled = match action {
                ChoiceAction::PageUp => side.page_up(),
                ChoiceAction::PageDown => side.page_down(),
                ChoiceAction::Previous
                | ChoiceAction::Next
                | ChoiceAction::First
                | ChoiceAction::Last
                | ChoiceAction::Accept
                | ChoiceAction::Cancel => false,
            };
            if scrolled {
                return BoxVerdict::Stay;
            }
        }
        match action {
            ChoiceAction::Previous => self.selected = self.selected.saturating_sub(1),
            ChoiceAction::Next => self.selected = (self.selected + 1).min(last),
            ChoiceAction::First => self.selected = 0,
            ChoiceAction::Last => self.selected = last,
            ChoiceAction::PageUp => self.selected = self.selected.saturating_sub(SCREENFUL),
            ChoiceAction::PageDown => self.selected = (self.selected + SCREENFUL).min(last),
            ChoiceAction::Accept => return BoxVerdict::Accept,
            ChoiceAction::Cancel => return BoxVerdict::Cancel,
        }
        BoxVerdict::Stay
    }

    /// Returns what taking the selected line means.
    pub fn pick(&self) -> Pick {
        self.lines.get(self.selected).map_or(Pick::Nothing, |(_, pick)| pick.clone())
    }
}
