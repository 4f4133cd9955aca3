//! A list to mark lines of.

use crate::lesson::id::SegmentId;
use crate::workbench::boxes::choice::SCREENFUL;
use crate::workbench::boxes::jump::{Jump, Jumped};
use crate::workbench::boxes::verdict::BoxVerdict;
use crate::workbench::keys::action::MarksAction;
use crate::workbench::questions::timeline::Marked;

/// A list to mark lines of: the passages that a segment plays, or the voicings that it shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MarksBox {
    /// The segment.
    pub segment: SegmentId,
    /// What is asked.
    pub title: String,
    /// The lines.
    pub lines: Vec<MarkLine>,
    /// The selected line.
    pub selected: usize,
    /// The letters typed to come to a line.
    pub jump: Jump,
}

/// A line that can be marked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MarkLine {
    /// What it says.
    pub text: String,
    /// What it stands for.
    pub thing: Marked,
    /// Whether it is marked.
    pub marked: bool,
}

impl MarksBox {
    /// Goes to the line that the letters typed so far begin; returns whether the character belongs to them.
    pub fn type_letter(&mut self, letter: char) -> bool {
        match self.jump.add(letter, self.lines.iter().map(|line| line.text.as_str())) {
            Jumped::To(line) => self.selected = line,
            Jumped::Stayed => {}
            Jumped::Nowhere => return false,
        }
        true
    }

    /// Does what was asked.
    pub fn act(&mut self, action: MarksAction) -> BoxVerdict {
        self.jump.forget();
        let last = self.lines.len().saturating_sub(1);
        match action {
            MarksAction::Previous => self.selected = self.selected.saturating_sub(1),
            MarksAction::Next => self.selected = (self.selected + 1).min(last),
            MarksAction::First => self.selected = 0,
            MarksAction::Last => self.selected = last,
            MarksAction::PageUp => self.selected = self.selected.saturating_sub(SCREENFUL),
            MarksAction::PageDown => self.selected = (self.selected + SCREENFUL).min(last),
            MarksAction::Toggle => {
                if let Some(line) = self.lines.get_mut(self.selected) {
                    line.marked = !line.marked;
                }
            }
            MarksAction::Accept => return BoxVerdict::Accept,
            MarksAction::Cancel => return BoxVerdict::Cancel,
        }
        BoxVerdict::Stay
    }

    /// Returns what the lines stand for.
    pub fn offered(&self) -> Vec<Marked> {
        self.lines.iter().map(|line| line.thing).collect()
    }

    /// Returns what is marked.
    pub fn marked(&self) -> Vec<Marked> {
        self.lines.iter().filter(|line| line.marked).map(|line| line.thing).collect()
    }
}
