//! The tab that is in view: made a sheet of bars at a time, and kept while those bars stay the same.
//!
//! A key changes one bar, so the tab is laid out 24 bars at a time: the sheet that the bar is on is made again, the
//! others are kept while their bars are the same. A line of tab therefore breaks at every 24th bar on the screen,
//! which the handout does not.

use std::ops::Range;

use crate::lesson::bar_numbers::{BarName, BarNumbers};
use crate::lesson::music::{Bar, Passage};
use crate::lesson::phrase::Slot;
use crate::lesson::phrase::bars::{BarFrame, frame_at};
use crate::tab::passage::{LaidOut, SystemMap, UsedSigns, lay_out_bars};
use crate::tab::style::TabStyle;
use crate::text::charset::Charset;
use crate::text::fit::pad;
use crate::workbench::drawing::unseen::{Amount, Counted, StringsInView, Unseen};

/// How many bars are laid out together. A key changes one bar, and so long a stretch is laid out in a
/// fraction of a millisecond.
const BARS: usize = 24;

/// What a sheet was made of.
#[derive(Debug, Clone, PartialEq)]
struct Source {
    /// Its bars, and the one that follows: a slide over the last bar line needs to know it.
    bars: Vec<Bar>,
    frame: BarFrame,
    first: usize,
    /// What the first is called: that depends on the beginning of the passage.
    called: BarName,
    style: TabStyle,
    labels: Vec<String>,
}

/// Some bars as tab.
#[derive(Debug, Clone, PartialEq)]
struct Sheet {
    source: Source,
    laid: LaidOut,
    /// Its lines, with an empty one behind each system.
    lines: Vec<String>,
    /// The first line of each system.
    tops: Vec<usize>,
}

/// A place in the lines: which sheet, and which of its lines.
type SheetSpot = (usize, usize);

/// All sheets of what is shown; those that were never in view are not made.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Sheets {
    sheets: Vec<Option<Sheet>>,
    top: SheetSpot,
    /// How many sheets were laid out so far, those that were made again too.
    made: usize,
}

/// How many systems there are, and how many lines they take.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct CountedSheets {
    pub(super) systems: usize,
    /// Without the legend.
    pub(super) lines: usize,
    /// The lines of the legend, with the empty one over it; none where the systems alone are too tall.
    pub(super) signs: usize,
}

/// How the tab is to be made.
#[derive(Debug, Clone, Copy)]
pub(super) struct TabForm<'a> {
    pub(super) passage: &'a Passage,
    /// The bars that are shown.
    pub(super) bars: &'a Range<usize>,
    pub(super) labels: &'a [String],
    pub(super) style: TabStyle,
    pub(super) height: usize,
}

/// What decides where the view is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Follow {
    /// The cursor is in view.
    #[default]
    Cursor,
    /// The view stays where it was scrolled to.
    View,
}

/// One line of the view.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum TabLine {
    /// A line of tab, and the system it belongs to.
    Music { text: String, sheet: usize, system: usize, line: usize },
    /// A line of the legend, or an empty one.
    Note(String),
}

/// Where something stands in the lines of its system.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stand {
    pub(super) sheet: usize,
    pub(super) system: usize,
    pub(super) column: usize,
}

impl Sheets {
    /// Returns how many sheets were laid out so far, those that were made again too.
    pub(super) const fn made(&self) -> usize {
        self.made
    }

    /// Shows the beginning.
    pub(super) const fn rewind(&mut self) {
        self.top = (0, 0);
    }

    /// Brings what is in view up to date and returns its lines.
    pub(super) fn settle(&mut self, paper: TabForm<'_>, cursor: Slot, follow: Follow) -> Vec<TabLine> {
        self.sheets.resize(paper.bars.len().div_ceil(BARS).max(1), None);
        let last = self.sheets.len() - 1;
        self.top.0 = self.top.0.min(last);
        self.make(paper, self.top.0);
        self.top.1 = self.top.1.min(self.length(self.top.0).saturating_sub(1));
        if follow == Follow::Cursor {
            self.show_cursor(paper, cursor);
        }
        let mut lines = self.whole_strings_in_view(paper);
        // No empty lines at the end as long as there is something before the top.
        let missing = paper.height.saturating_sub(lines.len());
        if missing > 0 && self.top > (0, 0) {
            self.top = self.back(paper, self.top, missing);
            lines = self.whole_strings_in_view(paper);
        }
        lines
    }

    /// Returns how many systems the tab has and how many lines they take without the legend, counted up to the height of the paper.
    pub(super) fn count(&mut self, paper: TabForm<'_>) -> CountedSheets {
        self.sheets.resize(paper.bars.len().div_ceil(BARS).max(1), None);
        let mut counted = CountedSheets { systems: 0, lines: 0, signs: 0 };
        for number in 0..self.sheets.len() {
            self.make(paper, number);
            counted.systems += self.get(number).map_or(0, |sheet| sheet.tops.len());
            counted.lines += self.length(number);
            if counted.lines >= paper.height {
                return CountedSheets { lines: paper.height, ..counted };
            }
        }
        // Behind the last system there is nothing to keep apart but the legend.
        let legend = self.legend(0, paper.style.charset).len();
        CountedSheets { lines: counted.lines.saturating_sub(1), signs: legend + usize::from(legend > 0), ..counted }
    }

    /// Returns which bars are not in view where `lines` are: those of which strings are missing. Where all bars are, it is the lines
    /// over the strings that are missing, and those under them, or else what the legend explains.
    pub(super) fn unseen(&self, paper: TabForm<'_>, lines: &[TabLine]) -> Unseen {
        let music = |line: &TabLine| match line {
            TabLine::Music { sheet, system, line, .. } => Some(((*sheet, *system), *line)),
            TabLine::Note(_) => None,
        };
        let (Some(first), Some(last)) = (lines.iter().find_map(music), lines.iter().rev().find_map(music)) else {
            return Unseen::NOTHING;
        };
        let bars = |(sheet, system): (usize, usize)| {
            let map = self.map(sheet, system)?;
            Some((map.bars.first()?.0, map.bars.last()?.0 + 1, &map.strings))
        };
        let (Some(upper), Some(lower)) = (bars(first.0), bars(last.0)) else { return Unseen::NOTHING };
        let cut = |strings: &Range<usize>, seen: Range<usize>| {
            let seen = (strings.start.max(seen.start)..strings.end.min(seen.end)).len();
            if (1..strings.len()).contains(&seen) { StringsInView::Cut } else { StringsInView::Whole }
        };
        let (from, to) = (first.1, last.1 + 1);
        let is_one = first.0 == last.0;
        let upper_strings = cut(upper.2, from..if is_one { to } else { usize::MAX });
        let lower_strings = cut(lower.2, if is_one { from } else { 0 }..to);
        let above = if first.1 <= upper.2.start { upper.0 } else { upper.1 };
        let above = match above.saturating_sub(paper.bars.start) {
            0 => Amount::of(first.1, Counted::Lines),
            bars => Amount::of_tab(bars, Counted::Bars, upper_strings),
        };
        let below = if last.1 + 1 >= lower.2.end { lower.1 } else { lower.0 };
        let below = match paper.bars.end.saturating_sub(below) {
            0 => {
                let (top, end) = self.lines_of(last.0);
                let notes = lines.iter().filter(|line| matches!(line, TabLine::Note(_))).count();
                let legend = self.legend(self.top.0, paper.style.charset).len();
                match end.saturating_sub(top + last.1 + 1) {
                    0 => Amount::of(legend.saturating_sub(notes), Counted::Lines),
                    lines => Amount::of(lines, Counted::Lines),
                }
            }
            bars => Amount::of_tab(bars, Counted::Bars, lower_strings),
        };
        Unseen::beside(above, below)
    }

    /// Returns the lines in view, without empty ones between lines of tab where that brings all strings of the last line of tab into view.
    fn whole_strings_in_view(&mut self, paper: TabForm<'_>) -> Vec<TabLine> {
        let lines = self.lines_in_view(paper);
        let Some(TabLine::Music { sheet, system, line, .. }) = lines.last() else { return lines };
        let Some(strings) = self.map(*sheet, *system).map(|map| map.strings.clone()) else { return lines };
        let missing = strings.end.saturating_sub(line + 1);
        let is_gap = |line: &TabLine| matches!(line, TabLine::Music { text, .. } if text.is_empty());
        let gaps = lines.iter().filter(|line| is_gap(line)).count();
        if *line < strings.start || missing == 0 || missing > gaps {
            return lines;
        }
        let mut left_out = missing;
        let mut taller = self.lines_in_view(TabForm { height: paper.height + missing, ..paper });
        taller.retain(|line| {
            let goes = left_out > 0 && is_gap(line);
            left_out -= usize::from(goes);
            !goes
        });
        taller
    }

    /// Scrolls by lines.
    pub(super) fn scroll(&mut self, paper: TabForm<'_>, lines: isize) {
        if lines < 0 {
            self.top = self.back(paper, self.top, lines.unsigned_abs());
            return;
        }
        let seen = self.lines_in_view(paper).len();
        // The last screenful is where the view ends.
        if seen < paper.height || self.is_end(paper) {
            return;
        }
        self.top.1 += lines.unsigned_abs();
        while self.top.1 >= self.length(self.top.0) && self.top.0 + 1 < self.sheets.len() {
            self.top = (self.top.0 + 1, self.top.1 - self.length(self.top.0));
            self.make(paper, self.top.0);
        }
    }

    fn is_end(&mut self, paper: TabForm<'_>) -> bool {
        let all = TabForm { height: paper.height + 1, ..paper };
        self.lines_in_view(all).len() <= paper.height
    }

    /// Moves the view as little as is needed to have the system of the cursor in it.
    fn show_cursor(&mut self, paper: TabForm<'_>, cursor: Slot) {
        let sheet = self.sheet_of(paper, cursor.bar);
        self.make(paper, sheet);
        let Some(stand) = self.stand(paper, cursor) else { return };
        let (first, end) = self.lines_of((stand.sheet, stand.system));
        if end - first > paper.height {
            // What has no room whole is seen by its strings, with what stands right over them.
            let strings = self.map(stand.sheet, stand.system).map_or(0..0, |map| map.strings.clone());
            self.top = (sheet, first + strings.end.saturating_sub(paper.height).min(strings.start));
            return;
        }
        if (sheet, first) < self.top {
            self.top = (sheet, first);
            return;
        }
        let least = self.back(paper, (sheet, end), paper.height);
        self.top = self.top.max(least);
    }

    /// Returns the first line of a system and the one behind its last.
    fn lines_of(&self, (sheet, system): (usize, usize)) -> (usize, usize) {
        let Some(sheet) = self.get(sheet) else { return (0, 0) };
        let first = sheet.tops.get(system).copied().unwrap_or(0);
        let end = sheet.tops.get(system + 1).map_or(sheet.lines.len(), |next| *next);
        (first, end.saturating_sub(1))
    }

    /// Returns the spot so many lines before another.
    fn back(&mut self, paper: TabForm<'_>, from: SheetSpot, lines: usize) -> SheetSpot {
        let (mut sheet, mut line) = from;
        let mut left = lines;
        while left > line && sheet > 0 {
            left -= line;
            sheet -= 1;
            self.make(paper, sheet);
            line = self.length(sheet);
        }
        (sheet, line.saturating_sub(left))
    }

    fn lines_in_view(&mut self, paper: TabForm<'_>) -> Vec<TabLine> {
        let mut lines = Vec::with_capacity(paper.height);
        let (first, mut skip) = self.top;
        for number in first..self.sheets.len() {
            self.make(paper, number);
            let Some(sheet) = self.get(number) else { break };
            for (place, text) in sheet.lines.iter().enumerate().skip(std::mem::take(&mut skip)) {
                if lines.len() >= paper.height {
                    return lines;
                }
                let system = sheet.tops.iter().rposition(|top| *top <= place).unwrap_or(0);
                let line = place - sheet.tops.get(system).copied().unwrap_or(0);
                lines.push(TabLine::Music { text: text.clone(), sheet: number, system, line });
            }
        }
        let legend = self.legend(first, paper.style.charset);
        let room = paper.height.saturating_sub(lines.len());
        lines.extend(legend.into_iter().take(room));
        lines
    }

    /// Returns what the signs on the sheets from `first` on mean.
    fn legend(&self, first: usize, charset: Charset) -> Vec<TabLine> {
        let mut used = UsedSigns::default();
        self.sheets.iter().skip(first).flatten().for_each(|sheet| used.add(sheet.laid.signs.clone()));
        let entries = used.legend(charset);
        entries.into_iter().map(|entry| TabLine::Note(format!("{} {}", pad(&entry.sign, 6), entry.meaning))).collect()
    }

    fn get(&self, number: usize) -> Option<&Sheet> {
        self.sheets.get(number).and_then(Option::as_ref)
    }

    fn length(&self, number: usize) -> usize {
        self.get(number).map_or(0, |sheet| sheet.lines.len())
    }

    fn sheet_of(&self, paper: TabForm<'_>, bar: usize) -> usize {
        (bar.saturating_sub(paper.bars.start) / BARS).min(self.sheets.len().saturating_sub(1))
    }

    /// Makes a sheet, unless it is there and still holds.
    fn make(&mut self, paper: TabForm<'_>, number: usize) {
        let first = paper.bars.start + number * BARS;
        let end = (first + BARS).min(paper.bars.end);
        let known_to = (end + 1).min(paper.passage.bars.len());
        let bars = paper.passage.bars.get(first..known_to).unwrap_or_default();
        let frame = match first.checked_sub(1) {
            Some(before) => frame_at(paper.passage, before),
            None => BarFrame { meter: paper.passage.meter, tempo: paper.passage.tempo, key: paper.passage.key },
        };
        let called = BarNumbers::of(paper.passage).name(first);
        let Some(place) = self.sheets.get_mut(number) else { return };
        if let Some(Sheet { source: known, .. }) = place
            && (known.bars.as_slice(), known.frame, known.first, known.style) == (bars, frame, first, paper.style)
            && (known.called, known.labels.as_slice()) == (called, paper.labels)
        {
            return;
        }
        let (bars, labels) = (bars.to_vec(), paper.labels.to_vec());
        let source = Source { bars, frame, first, called, style: paper.style, labels };
        *place = Some(Sheet::made(paper.passage, number, first..end, source));
        self.made += 1;
    }

    /// Returns where an event stands, or the place behind the last one.
    pub(super) fn stand(&self, paper: TabForm<'_>, slot: Slot) -> Option<Stand> {
        let number = self.sheet_of(paper, slot.bar);
        let maps = &self.get(number)?.laid.maps;
        let stand = |system, column| Some(Stand { sheet: number, system, column });
        for (system, map) in maps.iter().enumerate() {
            let is_it = |event: &&crate::tab::passage::EventPlace| {
                (event.bar, event.voice, event.event) == (slot.bar, slot.voice, slot.event)
            };
            if let Some(event) = map.events.iter().find(is_it) {
                return stand(system, event.column);
            }
        }
        let behind = slot.event > 0;
        let ends = maps.iter().enumerate().rev();
        for (system, map) in ends {
            if let Some((_, columns)) = map.bars.iter().find(|(bar, _)| *bar == slot.bar) {
                let last = columns.end.saturating_sub(1);
                return stand(system, if behind { last } else { (columns.start + 1).min(last) });
            }
        }
        // A passage without bars is a system without any.
        stand(0, maps.first().map_or(0, |map| map.bars.first().map_or(3, |(_, columns)| columns.start)))
    }

    /// Returns where the bars, strings and events of a system stand.
    pub(super) fn map(&self, sheet: usize, system: usize) -> Option<&SystemMap> {
        self.get(sheet)?.laid.maps.get(system)
    }

    /// Returns the first bar of the system before or after that of `slot`.
    pub(super) fn neighbour(&mut self, paper: TabForm<'_>, slot: Slot, by: isize) -> Option<usize> {
        let stand = self.stand(paper, slot)?;
        let map = self.map(stand.sheet, stand.system)?;
        if by > 0 {
            let last = map.bars.last()?.0;
            return Some(last + 1).filter(|bar| paper.bars.contains(bar));
        }
        let before = map.bars.first()?.0.checked_sub(1).filter(|bar| paper.bars.contains(bar))?;
        let sheet = self.sheet_of(paper, before);
        self.make(paper, sheet);
        let stand = self.stand(paper, Slot::start_of(before, 0))?;
        Some(self.map(stand.sheet, stand.system)?.bars.first()?.0)
    }
}

impl Sheet {
    fn made(passage: &Passage, number: usize, bars: Range<usize>, source: Source) -> Self {
        let mut laid = lay_out_bars(passage, bars, &source.labels, &source.style);
        // The line that gives meter, tempo and key stands over the first sheet alone.
        if number > 0
            && let (Some(system), Some(map)) = (laid.text.systems.first_mut(), laid.maps.first_mut())
            && !system.lines.is_empty()
        {
            system.lines.remove(0);
            map.strings = map.strings.start.saturating_sub(1)..map.strings.end.saturating_sub(1);
            map.names = map.names.and_then(|line| line.checked_sub(1));
        }
        let (mut lines, mut tops) = (Vec::new(), Vec::new());
        for system in &mut laid.text.systems {
            tops.push(lines.len());
            lines.append(&mut system.lines);
            lines.push(String::new());
        }
        Self { source, laid, lines, tops }
    }
}
