//! What the panes have to show, in lines: where they stand on the screen rests on it.

use ratatui::layout::Size;

use crate::text::charset::Charset;
use crate::workbench::desk::line_shares::Wants;
use crate::workbench::desk::open_desk::{Desk, TAB_EDGES};
use crate::workbench::panes::passage::TabScreen;

/// Returns for which screen the lines of the tab are counted.
pub fn tab_screen(size: Size, charset: Charset) -> TabScreen {
    let (width, height) = (usize::from(size.width).saturating_sub(TAB_EDGES), usize::from(size.height));
    TabScreen { width, height, charset }
}

/// Returns what the panes have to show.
pub fn wants(desk: &Desk) -> Wants {
    let lesson = desk.lesson.lesson();
    let strings = desk.fretboard.strings();
    let tunings = lesson.setups.iter().map(|setup| setup.tuning.strings().len());
    Wants {
        strings,
        most_strings: tunings.chain([strings]).max().unwrap_or(strings),
        timeline: desk.timeline.show().list_top(lesson) + lesson.segments.len(),
        passage: desk.passage.counted.heights,
        library: 1 + desk.library.items().count(),
    }
}
