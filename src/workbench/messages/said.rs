//! What the person was told: the current notice and those before it.

use crate::workbench::keys::action::Pane;
use crate::workbench::keys::table::KeyTable;
use crate::workbench::messages::notice::{Notice, Weight};

/// Whether a box is open, so that keys are for that.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UnderBox {
    /// One is.
    Yes,
    /// None is.
    No,
}

/// A notice that names keys.
#[derive(Debug, Clone, PartialEq, Eq)]
struct NamingKeys {
    /// What it says, with the names of actions in braces in place of their keys.
    with_actions: String,
    /// How it is shown.
    shown: String,
}

/// The current notice and those before it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Said {
    /// The notice on the status line.
    pub notice: Option<Notice>,
    /// The notice where it names keys, so that they can be named again elsewhere.
    naming: Option<NamingKeys>,
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
        self.naming = None;
        self.just_now = true;
        self.is_refusal = false;
    }

    /// Shows a notice as [`Said::say`] does, which may name actions in braces; the keys of the person come in their place.
    pub fn say_with_keys(&mut self, notice: Notice, keys: &KeyTable) {
        let text = keys.name_keys(&notice.text);
        let naming = (text != notice.text).then(|| NamingKeys { with_actions: notice.text, shown: text.clone() });
        self.say(Notice { weight: notice.weight, text });
        self.naming = naming;
    }

    /// Returns how the notice that is shown was said, where it names keys.
    fn take_naming(&mut self) -> Option<NamingKeys> {
        let shown = self.notice.as_ref().map(|notice| notice.text.as_str());
        self.naming.take().filter(|naming| Some(naming.shown.as_str()) == shown)
    }

    /// Has the notice name no keys but those that work at `here`: under a box most keys mean something else. Where no box is open,
    /// it says all that was said.
    pub fn name_keys_at(&mut self, here: Pane, under_box: UnderBox, keys: &KeyTable) {
        let Some(NamingKeys { with_actions, .. }) = self.take_naming() else { return };
        let shown = match under_box {
            UnderBox::Yes => keys.name_keys(&keys.working_at(here, &with_actions)),
            UnderBox::No => keys.name_keys(&with_actions),
        };
        if let Some(notice) = &mut self.notice {
            notice.text.clone_from(&shown);
        }
        self.naming = Some(NamingKeys { with_actions, shown });
    }

    /// Takes away what was said of something refused, because something else is done. Trouble that nobody asked for stays.
    pub fn drop_refusal(&mut self) {
        if self.is_refusal {
            self.notice = None;
        }
    }

    /// Adds a notice to the one that was just shown.
    pub fn say_also(&mut self, notice: Notice) {
        let (naming, before) = (self.take_naming(), self.notice.take());
        let also = |before: String| format!("{before}; {}", notice.text);
        let shown = before.map_or_else(|| notice.text.clone(), |before| also(before.text));
        self.say(Notice::note(shown.clone()));
        self.naming = naming.map(|naming| NamingKeys { with_actions: also(naming.with_actions), shown });
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
