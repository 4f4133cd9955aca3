//! How many lines the tab needs on the screen: what is shown now, and the tallest of what the segments play.
//!
//! Going from segment to segment must not make the panes jump. So the room that the tab is given while the timeline has
//! the keys rests on all that the segments play, of which only the longest parts are laid out.

use std::collections::BTreeMap;
use std::ops::Range;

use crate::lesson::document::Lesson;
use crate::lesson::id::PassageId;
use crate::lesson::music::Passage;
use crate::tab::passage::string_labels;
use crate::tab::style::TabStyle;
use crate::text::charset::Charset;
use crate::workbench::panes::passage::sheet::{Sheets, TabForm};
use crate::workbench::panes::passage::shown::{bars_of, rig_of};

/// The lines of the pane beside the tab: the heading, and what is under the cursor.
pub(super) const BESIDE: usize = 2;
/// The lines of the pane where there is no tab: the heading, a gap, and which keys put some there.
const WITHOUT_TAB: usize = 4;
/// How many parts of passages are laid out to find the tallest: those with the most bars.
const LAID_OUT: usize = 4;

/// How many lines of the screen the pane needs, its own and those of the tab.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TabHeights {
    /// For one line of tab, all strings with what stands over and under them.
    pub system: usize,
    /// For the tallest of what the segments play.
    pub tallest: usize,
    /// For what is shown now.
    pub shown: usize,
}

impl Default for TabHeights {
    fn default() -> Self {
        Self { system: WITHOUT_TAB, tallest: WITHOUT_TAB, shown: WITHOUT_TAB }
    }
}

/// The screen that the lines are counted for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TabScreen {
    /// The columns of the tab.
    pub width: usize,
    /// The lines of the whole screen; more are not counted.
    pub height: usize,
    /// The characters of the tab.
    pub charset: Charset,
}

impl TabScreen {
    fn form<'a>(self, passage: &'a Passage, bars: &'a Range<usize>, labels: &'a [String]) -> TabForm<'a> {
        TabForm { passage, bars, labels, style: TabStyle::steady(self.width, self.charset), height: self.height }
    }
}

/// What was counted last, and what it was counted of.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CountedTab {
    /// The lines that were counted.
    pub heights: TabHeights,
    sheets: Vec<Sheets>,
    of: Option<(u64, TabScreen)>,
}

impl CountedTab {
    /// Counts the lines of the longest parts that segments play, unless they are those of this revision of the lesson.
    pub(super) fn follow(&mut self, lesson: &Lesson, revision: u64, screen: TabScreen) {
        if self.of == Some((revision, screen)) {
            return;
        }
        self.of = Some((revision, screen));
        self.heights = TabHeights::default();
        let parts = longest_parts(lesson);
        self.sheets.resize(parts.len(), Sheets::default());
        for (sheets, (passage, bars)) in self.sheets.iter_mut().zip(&parts) {
            let (system, all) = count(sheets, lesson, passage, bars, screen);
            self.heights.system = self.heights.system.max(system);
            self.heights.tallest = self.heights.tallest.max(all);
        }
    }

    /// Counts the lines of what is shown, of which `sheets` are kept; `None` is nothing.
    pub(super) fn show(
        &mut self,
        sheets: &mut Sheets,
        lesson: &Lesson,
        shown: Option<(&Passage, &Range<usize>)>,
        screen: TabScreen,
    ) {
        let lines = shown.map(|(passage, bars)| count(sheets, lesson, passage, bars, screen).1);
        self.heights.shown = lines.unwrap_or(WITHOUT_TAB);
    }
}

/// Returns how many lines of the pane the first system and all of some bars need.
fn count(
    sheets: &mut Sheets,
    lesson: &Lesson,
    passage: &Passage,
    bars: &Range<usize>,
    screen: TabScreen,
) -> (usize, usize) {
    let labels = string_labels(rig_of(lesson, passage).tuning());
    let (system, all) = sheets.count(screen.form(passage, bars, &labels));
    (system + BESIDE, all + BESIDE)
}

/// Returns the parts of passages that segments play, those with the most bars, each once.
fn longest_parts(lesson: &Lesson) -> Vec<(&Passage, Range<usize>)> {
    let passages: BTreeMap<PassageId, &Passage> = lesson.passages.iter().map(|passage| (passage.id, passage)).collect();
    let uses = lesson.segments.iter().flat_map(|segment| &segment.passages);
    let parts = uses.filter_map(|used| {
        let passage = *passages.get(&used.passage)?;
        let bars = bars_of(passage, used);
        Some(((bars.start, bars.end, passage.id), passage))
    });
    let parts: BTreeMap<(usize, usize, PassageId), &Passage> = parts.collect();
    let mut parts: Vec<(&Passage, Range<usize>)> =
        parts.into_iter().map(|((start, end, _), passage)| (passage, start..end)).collect();
    parts.sort_by_key(|(_, bars)| std::cmp::Reverse(bars.len()));
    parts.truncate(LAID_OUT);
    parts
}
