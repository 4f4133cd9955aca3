//! Talking points or notes to write, a line each.

use crate::lesson::id::SegmentId;
use crate::workbench::boxes::verdict::BoxVerdict;
use crate::workbench::keys::action::PointsAction;
use crate::workbench::questions::timeline::SegmentText;
use crate::workbench::typing::lines::TypedLines;

/// Talking points or notes to write.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PointsBox {
    /// Whose they are.
    pub segment: SegmentId,
    /// What of it.
    pub what: SegmentText,
    /// What is asked.
    pub title: String,
    /// One point a line.
    pub lines: TypedLines,
    /// What was written there before.
    pub before: Vec<String>,
}

impl PointsBox {
    /// Returns whether anything is written that was not there before, or the other way round.
    pub fn holds_work(&self) -> bool {
        let written = |line: &String| !line.trim().is_empty();
        !self.lines.written().iter().eq(self.before.iter().filter(|line| written(line)).map(|line| line.trim()))
    }

    /// Does what was asked.
    pub fn act(&mut self, action: PointsAction) -> BoxVerdict {
        match action {
            PointsAction::Accept => return BoxVerdict::Accept,
            PointsAction::Cancel => return BoxVerdict::Cancel,
            PointsAction::NewLine => {
                return self.lines.new_line().map_or_else(BoxVerdict::Refuse, |()| BoxVerdict::Stay);
            }
            PointsAction::Left => self.lines.left(),
            PointsAction::Right => self.lines.right(),
            PointsAction::Up => self.lines.up(),
            PointsAction::Down => self.lines.down(),
            PointsAction::Start => self.lines.to_start(),
            PointsAction::End => self.lines.to_end(),
            PointsAction::EraseBefore => self.lines.erase_before(),
            PointsAction::EraseAfter => self.lines.erase_after(),
        }
        BoxVerdict::Stay
    }
}
