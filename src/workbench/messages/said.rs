//! What was said to the person: the last notice, and those before it.

use crate::workbench::messages::notice::{Notice, Weight};

/// What was said.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Said {
    /// What the status line says.
    pub notice: Option<Notice>,
    /// Whether no key was struck since that was said: then it may take the line of hints as well.
    pub just_now: bool,
    /// What was said last, the latest last, at most [`Said::KEPT`].
    pub messages: Vec<Notice>,
}

impl Said {
    /// How many messages are kept to be read again.
    pub const KEPT: usize = 50;

    /// Says something, and keeps it to be read again.
    pub fn say(&mut self, notice: Notice) {
        if self.messages.last() != Some(&notice) {
            self.messages.push(notice.clone());
        }
        let over = self.messages.len().saturating_sub(Self::KEPT);
        self.messages.drain(..over);
        self.notice = Some(notice);
        self.just_now = true;
    }

    /// Says something more than what was just said.
    pub fn say_also(&mut self, notice: Notice) {
        let before = self.notice.take();
        let text = before.map_or_else(|| notice.text.clone(), |before| format!("{}; {}", before.text, notice.text));
        self.say(Notice::note(text));
    }

    /// Takes a message as read, because the next key was struck. Trouble stays until something else is said.
    pub fn read(&mut self) {
        self.just_now = false;
        if self.notice.as_ref().is_some_and(|notice| notice.weight != Weight::Trouble) {
            self.notice = None;
        }
    }
}
