//! What the person was told: the current notice and those before it.

use crate::workbench::messages::notice::{Notice, Weight};

/// The current notice and those before it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Said {
    /// The notice on the status line.
    pub notice: Option<Notice>,
    /// Whether no key was struck since the notice appeared. It may then cover the line of hints as well.
    pub just_now: bool,
    /// Whether the notice answers what a person did, so that the next thing that is done takes it away, be it trouble or not.
    pub is_refusal: bool,
    /// The last notices, oldest first, at most [`Said::KEPT`].
    pub messages: Vec<Notice>,
}

impl Said {
    /// The number of notices that are kept to be read again.
    pub const KEPT: usize = 50;

    /// Shows a notice and keeps it to be read again.
    pub fn say(&mut self, notice: Notice) {
        if self.messages.last() != Some(&notice) {
            self.messages.push(notice.clone());
        }
        let over = self.messages.len().saturating_sub(Self::KEPT);
        self.messages.drain(..over);
        self.notice = Some(notice);
        self.just_now = true;
        self.is_refusal = false;
    }

    /// Takes away what was said of something refused, because something else is done. Trouble that nobody asked for stays.
    pub fn drop_refusal(&mut self) {
        if self.is_refusal {
            self.notice = None;
        }
    }

    /// Adds a notice to the one that was just shown.
    pub fn say_also(&mut self, notice: Notice) {
        let before = self.notice.take();
        let text = before.map_or_else(|| notice.text.clone(), |before| format!("{}; {}", before.text, notice.text));
        self.say(Notice::note(text));
    }

    /// Marks the notice as read, because the next key was struck. A notice of trouble stays until another one replaces
    /// it.
    pub fn read(&mut self) {
        self.just_now = false;
        if self.notice.as_ref().is_some_and(|notice| notice.weight != Weight::Trouble) {
            self.notice = None;
        }
    }
}
