//! Drawing the box on top, whichever it is.

use crate::workbench::boxes::choice::{Advice, ChoiceBox};
use crate::workbench::boxes::help_view;
use crate::workbench::boxes::lines_view::{choice_line_at, draw_choice, draw_marks, mark_line_at};
use crate::workbench::boxes::list_view::{self, draw_list, entry_at};
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::boxes::preview_view;
use crate::workbench::boxes::search_view;
use crate::workbench::boxes::side_by_side_view;
use crate::workbench::boxes::typed_view::{draw_entry, draw_points};
use crate::workbench::drawing::appearance::Appearance;
use crate::workbench::drawing::region::Region;

/// Draws the box on top.
pub fn draw(overlay: &Overlay, region: &mut Region<'_>) {
    match overlay {
        Overlay::Entry(entry) => draw_entry(entry, region),
        Overlay::Points(points) => draw_points(points, region),
        Overlay::Choice(choice) => draw_choice(choice, region),
        Overlay::Marks(marks) => draw_marks(marks, region),
        Overlay::List(list) => draw_list(list, region),
        Overlay::Preview(preview) => preview_view::draw(preview, region),
        Overlay::Search(search) => search_view::draw(search, region),
        Overlay::Help(help) => help_view::draw(help, region),
    }
}

/// Returns the line of a list, or the entry, that is drawn at a cell of a screen of this size.
pub fn line_at(
    overlay: &Overlay,
    screen: (usize, usize),
    appearance: Appearance,
    cell: (usize, usize),
) -> Option<usize> {
    match overlay {
        Overlay::Entry(_) | Overlay::Points(_) | Overlay::Preview(_) | Overlay::Search(_) | Overlay::Help(_) => None,
        Overlay::Choice(choice) => choice_line_at(choice, screen, appearance, cell),
        Overlay::Marks(marks) => mark_line_at(marks, screen, appearance, cell),
        Overlay::List(list) => entry_at(list, screen, appearance, cell),
    }
}

/// Notes in a box how it lies on a screen of this size, where that takes long to find out.
pub fn note_measure(overlay: &mut Overlay, screen: (usize, usize), appearance: Appearance) {
    match overlay {
        Overlay::List(list) => list_view::note_measure(list, screen, appearance),
        Overlay::Choice(ChoiceBox { advice: Advice::SideBySide(side), lines, .. }) => {
            side_by_side_view::note_measure(side, lines.len(), screen, appearance);
        }
        Overlay::Choice(_)
        | Overlay::Entry(_)
        | Overlay::Points(_)
        | Overlay::Marks(_)
        | Overlay::Preview(_)
        | Overlay::Search(_)
        | Overlay::Help(_) => {}
    }
}
