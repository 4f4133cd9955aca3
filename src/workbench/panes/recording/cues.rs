//! The cues: what there is to say and to play in a segment, as lines of text. Drawing and scrolling them is not done
//! here.

use crate::lesson::bar_numbers::BarNumbers;
use crate::lesson::document::{Lesson, PassageUse, Segment};
use crate::plan::order::places;
use crate::tab::passage::{lay_out, lay_out_bars, string_labels};
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
    /// A row above or below the strings: bar numbers, names, rhythm, counting.
    Beside(String),
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
    let first = lines.iter().position(|line| !blank(line)).unwrap_or(0);
    lines.split_off(first)
}

/// Returns the cues as they are shown in `height` lines: where not all strings of the first line of tab would be in view, empty lines
/// give way, then the title of the tab, then notes, which come behind that line, then the rows around the strings, the upper ones
/// first. Where that is not enough, only the empty lines do.
pub(super) fn fitted(lines: Vec<CueLine>, height: usize) -> Vec<CueLine> {
    let is_music = |line: &CueLine| matches!(line, CueLine::Music(_));
    let end_of_strings = |lines: &[CueLine]| {
        let start = lines.iter().position(is_music)?;
        Some(start + lines.iter().skip(start).take_while(|line| is_music(line)).count())
    };
    if end_of_strings(&lines).is_none_or(|end| end <= height) {
        return lines;
    }
    let without_blanks: Vec<CueLine> =
        lines.into_iter().filter(|line| !matches!(line, CueLine::Note(text) if text.is_empty())).collect();
    let mut tight = without_blanks.clone();
    let mut behind = Vec::new();
    while let Some(end) = end_of_strings(&tight).filter(|end| *end > height) {
        let mut before = tight.iter().take(end);
        // The last note is the title of the tab.
        let note = before.clone().rposition(|line| matches!(line, CueLine::Note(_)));
        let Some(place) = note.or_else(|| before.position(|line| matches!(line, CueLine::Beside(_)))) else {
            return without_blanks;
        };
        behind.insert(0, tight.remove(place));
    }
    behind.retain(|line| matches!(line, CueLine::Note(_)));
    // The title has gone; it was the first to go and is the last here.
    behind.pop();
    let end = end_of_strings(&tight).unwrap_or(0);
    let end = end + tight.iter().skip(end).take_while(|line| matches!(line, CueLine::Beside(_))).count();
    tight.splice(end..end, behind);
    tight
}

/// Returns the tab of a passage below its title.
fn music_of(lesson: &Lesson, used: &PassageUse, width: usize, appearance: Appearance) -> Vec<CueLine> {
    let Some(passage) = lesson.passage(used.passage) else { return Vec::new() };
    let bars = used.bars.map_or(String::new(), |bars| format!(", {}", BarNumbers::of(passage).range(bars)));
    let mut lines = vec![CueLine::Note(String::new()), CueLine::Note(format!("{}{bars}", passage.title))];
    let labels = lesson.passage_setup(passage).map_or(Vec::new(), |setup| string_labels(&setup.tuning));
    let style = TabStyle::filled(width, appearance.charset);
    let laid = match used.bars {
        Some(range) => lay_out_bars(passage, places(passage.bars.len(), Some(range)), &labels, &style),
        None => lay_out(passage, &labels, &style),
    };
    for (system, map) in laid.text.systems.into_iter().zip(laid.maps) {
        let sorted = system.lines.into_iter().enumerate().map(|(place, text)| {
            if map.strings.contains(&place) { CueLine::Music(text) } else { CueLine::Beside(text) }
        });
        lines.extend(sorted);
        lines.push(CueLine::Note(String::new()));
    }
    lines
}
