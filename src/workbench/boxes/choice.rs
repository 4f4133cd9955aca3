//! A list to choose a line from.

use crate::workbench::boxes::verdict::BoxVerdict;
use crate::workbench::keys::action::ChoiceAction;
use crate::workbench::questions::pick::Pick;

/// How many lines a screenful is in a box of lines: about as many as the smallest screen shows of them.
pub(super) const SCREENFUL: usize = 8;

/// A list to choose from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChoiceBox {
    /// What is asked.
    pub title: String,
    /// What there is to know first, possibly nothing.
    pub advice: String,
    /// The lines.
    pub lines: Vec<(String, Pick)>,
    /// The selected line.
    pub selected: usize,
}

impl ChoiceBox {
    /// Does what was asked.
    pub fn act(&mut self, action: ChoiceAction) -> BoxVerdict {
        let last = self.lines.len().saturating_sub(1);
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
