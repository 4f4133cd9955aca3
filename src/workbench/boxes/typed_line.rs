//! A line to type.

use std::borrow::Cow;

use crate::workbench::boxes::verdict::BoxVerdict;
use crate::workbench::keys::action::EntryAction;
use crate::workbench::questions::passage::PassageQuestion;
use crate::workbench::questions::question::Question;
use crate::workbench::typing::lines::{NoRoom, TypedLine};

/// A line to type.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EntryBox {
    /// What it is for.
    pub question: Question,
    /// What is asked.
    pub title: String,
    /// What may be typed, with an example.
    pub advice: Cow<'static, str>,
    /// What is typed.
    pub line: TypedLine,
    /// What the line began with.
    pub prefill: String,
    /// Why the last try was not taken.
    pub error: Option<String>,
}

impl EntryBox {
    /// The longest text, in characters, that is given up without a question.
    const SHORT: usize = 30;

    /// Returns a line to type that begins with `text`, all of it selected.
    pub fn new(
        question: impl Into<Question>,
        title: impl Into<String>,
        advice: impl Into<Cow<'static, str>>,
        text: impl Into<String>,
    ) -> Self {
        let (question, prefill) = (question.into(), text.into());
        let line = TypedLine::prefilled(&prefill);
        Self { question, title: title.into(), advice: advice.into(), line, prefill, error: None }
    }

    /// Puts another text in the place of what was typed.
    pub fn retype(&mut self, text: String) {
        self.line = TypedLine::new(text);
        self.error = None;
    }

    /// Types a text in one go. Errors: there is no room for all of it, and nothing of it was taken.
    pub fn type_all(&mut self, text: &str) -> Result<(), NoRoom> {
        self.line.insert_all(text)?;
        self.error = None;
        Ok(())
    }

    /// Returns whether so much was written that it is not given up without a question.
    pub fn holds_work(&self) -> bool {
        let text = self.line.text();
        let pasted = matches!(self.question, Question::Passage(PassageQuestion::PastedTab(_)));
        pasted || text != self.prefill && text.chars().count() > Self::SHORT
    }

    /// Does what was asked.
    pub fn act(&mut self, action: EntryAction) -> BoxVerdict {
        match action {
            EntryAction::Accept => return BoxVerdict::Accept,
            EntryAction::Cancel => return BoxVerdict::Cancel,
            EntryAction::Left => _ = self.line.left(),
            EntryAction::Right => _ = self.line.right(),
            EntryAction::Start => self.line.to_start(),
            EntryAction::End => self.line.to_end(),
            EntryAction::EraseBefore => _ = self.line.erase_before(),
            EntryAction::EraseAfter => _ = self.line.erase_after(),
            EntryAction::EraseAll => self.line.erase_all(),
            // Names of files are asked for outside; see `update`.
            EntryAction::Complete => {}
        }
        self.error = None;
        BoxVerdict::Stay
    }
}
