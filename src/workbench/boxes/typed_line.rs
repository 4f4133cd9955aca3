//! A line to type.

use std::borrow::Cow;

use crate::workbench::boxes::verdict::BoxVerdict;
use crate::workbench::keys::action::EntryAction;
use crate::workbench::questions::passage::PassageQuestion;
use crate::workbench::questions::question::Question;
use crate::workbench::questions::recording::RecordingQuestion;
use crate::workbench::questions::timeline::TimelineQuestion;
use crate::workbench::typing::lines::{NoRoom, TypedLine};
use crate::workbench::typing::time_words::TypedTime;

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
    /// Answers that can be chosen instead of typing one.
    pub offers: Vec<String>,
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
        Self { question, title: title.into(), advice: advice.into(), line, prefill, error: None, offers: Vec::new() }
    }

    /// Returns the line with answers that can be chosen instead of typing one.
    pub fn offering(self, offers: Vec<String>) -> Self {
        Self { offers, ..self }
    }

    /// Says what was understood of a time that is being typed; nothing where the line is for something else.
    pub fn understood(&self) -> Option<String> {
        let sort = match &self.question {
            Question::Timeline(TimelineQuestion::Length(_) | TimelineQuestion::Target) => TypedTime::Length,
            Question::Timeline(TimelineQuestion::Recorded(_)) => TypedTime::Recorded,
            Question::Timeline(TimelineQuestion::SplitAt(_)) => TypedTime::Cut,
            Question::Timeline(TimelineQuestion::Cuts(_)) => TypedTime::LeftOut,
            Question::Recording(RecordingQuestion::Clock) => TypedTime::Instant,
            Question::Timeline(_)
            | Question::Start(_)
            | Question::Desk(_)
            | Question::Passage(_)
            | Question::Fretboard(_)
            | Question::Readings(_)
            | Question::Library(_)
            | Question::Program(_)
            | Question::Sound(_) => return None,
        };
        sort.understood(self.line.text())
    }

    /// Returns which of the offered answers stands in the line.
    pub fn offered(&self) -> Option<usize> {
        self.offers.iter().position(|offer| offer == self.line.text())
    }

    /// Puts an offered answer into the line, all of it selected; none puts back what the line began with.
    fn take_offer(&mut self, place: Option<usize>) {
        let text = place.and_then(|place| self.offers.get(place)).unwrap_or(&self.prefill);
        self.line = TypedLine::prefilled(text);
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

    /// Returns whether the line says something else than it did when the box opened.
    pub fn is_changed(&self) -> bool {
        self.line.text() != self.prefill
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
            EntryAction::OfferBefore if !self.offers.is_empty() => {
                let before = self.offered().and_then(|place| place.checked_sub(1));
                self.take_offer(before);
            }
            EntryAction::NextOffer if !self.offers.is_empty() => {
                let last = self.offers.len() - 1;
                let next = self.offered().map_or(0, |place| (place + 1).min(last));
                self.take_offer(Some(next));
            }
            EntryAction::OfferBefore | EntryAction::NextOffer => {}
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
