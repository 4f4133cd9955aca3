//! The cues: what there is to say and to play in a segment, as lines of text. Drawing and scrolling them is not done
//! here.

use crate::lesson::document::{Lesson, PassageUse, Segment};
use crate::plan::order::places;
use crate::tab::passage::{render, render_bars, string_labels};
use crate::tab::style::TabStyle;
use crate::text::wrap::wrap;
use crate::workbench::drawing::appearance::Appearance;

/// A line of what there is to say and to play.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum CueLine {
    /// A talking point, or the continuation of one.
    Point(String),
    /// A line of tab.
    Music(String),
    /// The title of the tab, or an empty line.
    Note(String),
}

/// Returns what there is to say and to play in a segment as lines of at most `width` columns.
pub(super) fn cues_of(lesson: &Lesson, segment: &Segment, width: usize, appearance: Appearance) -> Vec<CueLine> {
    let mut lines = Vec::new();
    let room = width.saturating_sub(2).max(1);
    for point in &segment.talking_points {
        for (line, text) in wrap(&appearance.shown(point), room).into_iter().enumerate() {
            let mark = if line == 0 { appearance.glyphs().dot } else { " " };
            lines.push(CueLine::Point(format!("{mark} {text}")));
        }
    }
    for (word, note) in [("shot", &segment.shot), ("tone", &segment.tone)] {
        for text in note.lines().filter(|text| !text.trim().is_empty()) {
            let wrapped = wrap(&appearance.shown(&format!("{word}: {text}")), room);
            lines.extend(wrapped.into_iter().map(CueLine::Note));
        }
    }
    for used in &segment.passages {
        lines.extend(music_of(lesson, used, width, appearance));
    }
    let blank = |line: &CueLine| matches!(line, CueLine::Note(text) if text.is_empty());
    while lines.last().is_some_and(blank) {
        lines.pop();
    }
    lines
}

/// Returns the tab of a passage below its title.
fn music_of(lesson: &Lesson, used: &PassageUse, width: usize, appearance: Appearance) -> Vec<CueLine> {
    let Some(passage) = lesson.passage(used.passage) else { return Vec::new() };
    let bars = used.bars.map_or(String::new(), |bars| format!(", bars {} to {}", bars.first, bars.last));
    let mut lines = vec![CueLine::Note(String::new()), CueLine::Note(format!("{}{bars}", passage.title))];
    let labels = lesson.passage_setup(passage).map_or(Vec::new(), |setup| string_labels(&setup.tuning));
    let style = TabStyle::filled(width, appearance.charset);
    let text = match used.bars {
        Some(range) => render_bars(passage, places(passage.bars.len(), Some(range)), &labels, &style),
        None => render(passage, &labels, &style),
    };
    for system in text.systems {
        lines.extend(system.lines.into_iter().map(CueLine::Music));
        lines.push(CueLine::Note(String::new()));
    }
    lines
}
