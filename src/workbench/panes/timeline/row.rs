//! How a row of the list begins and ends: the pointer, the mark of what is wrong, and the paint of the selected one.

use crate::workbench::drawing::region::{Focused, Region};
use crate::workbench::drawing::role::Role;

/// Whether a row is the selected one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RowSelection {
    /// The row is selected.
    Here,
    /// Another row is selected.
    Elsewhere,
}

impl RowSelection {
    /// Returns `Here` for the selected place.
    pub fn of(place: usize, selected: usize) -> Self {
        if place == selected { Self::Here } else { Self::Elsewhere }
    }
}

/// Draws the pointer of a row in column 0 and the mark of what is wrong with it in column 1; returns the role of its
/// text.
pub fn begin_row(mark: &str, here: RowSelection, region: &mut Region<'_>) -> Role {
    let pointer = if here == RowSelection::Here { region.appearance().glyphs().pointer } else { " " };
    region.text(0, 0, pointer, Role::Strong);
    region.text(1, 0, mark, Role::Caution);
    if here == RowSelection::Here { Role::Strong } else { Role::Plain }
}

/// Shows a selected row as such.
pub fn end_row(mark: &str, here: RowSelection, region: &mut Region<'_>, focused: Focused) {
    if here == RowSelection::Here {
        // The mark of what is wrong keeps its own look.
        let from = if mark.is_empty() { 1 } else { 2 };
        region.paint(from, region.width(), 0, focused.selection());
    }
}
