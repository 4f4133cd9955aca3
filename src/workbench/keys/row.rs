//! One row of the table of actions and keys, as the built-in table and a teacher's own key file write it.

use serde::Deserialize;

use crate::workbench::keys::action::{Action, Pane};
use crate::workbench::keys::keystroke::Keystroke;

/// One row: in this place, these keys ask for this action.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Row {
    /// The action.
    pub action: Action,
    /// The place where the keys work; without it, the home of the action.
    #[serde(default)]
    pub pane: Option<Pane>,
    /// The keys; the first one is shown.
    pub keys: Vec<Keystroke>,
    /// The word that a letter among the keys stands for, in this place as in every other; empty where no letter is among
    /// them.
    #[serde(default)]
    pub word: String,
    /// What the action does, for the help screen.
    #[serde(default)]
    pub help: String,
    /// One or two words for the hint line; empty for an action that needs no hint.
    #[serde(default)]
    pub hint: String,
    /// The same in fewer letters, for a hint line that is too narrow for everything that is of use; empty where the hint is short.
    #[serde(default)]
    pub short: String,
    /// Words that a player may look for it by and that are not in the help, with spaces between; often empty.
    #[serde(default)]
    pub find: String,
}

impl Row {
    /// Returns the place where the keys work.
    pub fn place(&self) -> Pane {
        self.pane.unwrap_or_else(|| self.action.home())
    }

    pub(super) fn hint_in(&self, wording: HintWording) -> &str {
        match wording {
            HintWording::Short if !self.short.is_empty() => &self.short,
            HintWording::Short | HintWording::Full => &self.hint,
        }
    }
}

/// In how many letters the hint line says what keys do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HintWording {
    /// In its full words.
    Full,
    /// In the short words, where a key has some.
    Short,
}

/// Reads the rows of a text, in which a place is written without `Some`.
pub(super) fn read(text: &str) -> Result<Vec<Row>, ron::error::SpannedError> {
    ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME).from_str(text)
}
