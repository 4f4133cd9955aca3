//! What the panes have to show, in lines: where they stand on the screen rests on it.

use ratatui::layout::Size;

use crate::text::charset::Charset;
use crate::workbench::desk::line_shares::{EMPTY_LIBRARY, EMPTY_TIMELINE, Wants};
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::panes::fretboard::view::label_lines;
use crate::workbench::panes::passage::{TAB_EDGES, TabScreen};

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
    let lanes = desk.timeline.show().list_top(lesson);
    let voicings = desk.library.items().count();
    Wants {
        strings,
        most_strings: tunings.chain([strings]).max().unwrap_or(strings),
        labels: label_lines(&desk.fretboard, desk.readings.likeliest()),
        readings: desk.readings.lines(),
        lanes,
        timeline: if lesson.segments.is_empty() { EMPTY_TIMELINE } else { lanes + lesson.segments.len() },
        selected_row: desk.timeline.row_lines(),
        passage: desk.passage.counted.heights,
        library: if voicings == 0 { EMPTY_LIBRARY } else { desk.library.list_top() + voicings },
    }
}
